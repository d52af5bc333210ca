"""Moving a whole draft: plans drawn a long way from the origin are brought near it."""

import math
from collections.abc import Iterable
from dataclasses import replace

from wardwright.intake.draft import Assumption, Draft
from wardwright.model import XY, Ring

FURTHEST_M = 1000.0
"""Further from the origin than this, a plan is brought back. [m]"""


def near_origin(draft: Draft) -> Draft:
    """The draft with its plan brought to the origin where it lies further than a kilometre away.

    Parameters
    ----------
    draft : Draft
        As read.

    Returns
    -------
    Draft
        The same draft, or one moved by whole metres with a note of how far.
    """
    points = [p for p in _points(draft) if math.isfinite(p[0]) and math.isfinite(p[1])]
    if not points:
        return draft
    xs, ys = sorted(x for x, _ in points), sorted(y for _, y in points)
    middle = (xs[len(xs) // 2], ys[len(ys) // 2])
    if math.hypot(*middle) <= FURTHEST_M:
        return draft
    dx, dy = -float(round(middle[0])), -float(round(middle[1]))
    note = Assumption(
        "place of the plan",
        (),
        f"moved by ({dx:.0f}, {dy:.0f}) m to lie near the origin; directions and sizes are unchanged",
        "nothing to do, unless drawings must share the source's coordinates",
    )
    return moved(draft, dx, dy, note)


def _points(draft: Draft) -> Iterable[XY]:
    for wall in draft.walls:
        yield from wall.axis or wall.body
    for room in draft.rooms:
        yield from room.outline


def moved(draft: Draft, dx: float, dy: float, note: Assumption) -> Draft:
    """Every point of a draft moved alike.

    Parameters
    ----------
    draft : Draft
        As read.
    dx, dy : float
        Shift. [m]
    note : Assumption
        What the report says about it.
    """

    def point(p: XY) -> XY:
        return p[0] + dx, p[1] + dy

    def maybe(p: XY | None) -> XY | None:
        return None if p is None else point(p)

    def ring(points: Ring) -> Ring:
        return tuple(point(p) for p in points)

    return replace(
        draft,
        walls=tuple(replace(w, axis=ring(w.axis), body=ring(w.body)) for w in draft.walls),
        rooms=tuple(replace(r, outline=ring(r.outline), holes=tuple(map(ring, r.holes))) for r in draft.rooms),
        openings=tuple(replace(o, centre=maybe(o.centre), outline=ring(o.outline)) for o in draft.openings),
        stairs=tuple(replace(s, outline=ring(s.outline), foot=maybe(s.foot), head=maybe(s.head)) for s in draft.stairs),
        obstacles=tuple(replace(o, outline=ring(o.outline)) for o in draft.obstacles),
        standings=tuple(replace(s, outline=ring(s.outline)) for s in draft.standings),
        heat=tuple((key, kind, storey, point(p), h) for key, kind, storey, p, h in draft.heat),
        services=tuple(replace(s, position=point(s.position), outline=ring(s.outline)) for s in draft.services),
        beds=tuple(b.model_copy(update={"position": point(b.position)}) for b in draft.beds),
        targets=tuple(t.model_copy(update={"position": point(t.position)}) for t in draft.targets),
        assumptions=(*draft.assumptions, note),
    )
