"""What lies on either side of an opening, decided from where it is; the source's flags are only compared."""

from shapely import Point

from wardwright.intake.enclosure import left_normal
from wardwright.intake.hosting import Hosted
from wardwright.intake.site import Site
from wardwright.premises.openings import NEIGHBOUR, OUTSIDE

Sides = tuple[str | None, str | None]
"""Room id, ``outside``, ``neighbour``, or None for not known."""


def sides_of(site: Site, opening: Hosted) -> Sides:
    """What lies on either side of an opening.

    Parameters
    ----------
    site : Site
        The building so far.
    opening : Hosted
        The opening on its wall.
    """
    enclosure = site.by_level[opening.level.id]
    if opening.wall is None:
        return _sides_of_lying(site, opening)
    if opening.centre is None:
        return None, None
    nx, ny = left_normal(opening.along)
    sides: list[str | None] = []
    for sign in (1.0, -1.0):
        found = enclosure.beyond(
            opening.centre,
            (sign * nx, sign * ny),
            opening.wall.thickness / 2.0,
            opening.width,
            opening.low + 0.05,
            opening.high - 0.05,
        )
        sides.append(None if found == "wall" else found)
    return _with_hints(site, opening, opening.wall.party, (sides[0], sides[1]))


def _with_hints(site: Site, opening: Hosted, party: bool, sides: Sides) -> Sides:
    """What geometry cannot tell, the source may: whose premises lie beyond, and a room where the plan shows nothing."""
    said = [site.names.get(j, j) for j in opening.draft.joins]
    theirs = party or (NEIGHBOUR in said and OUTSIDE not in said)
    found = [NEIGHBOUR if side == OUTSIDE and theirs else side for side in sides]
    for n, side in enumerate(found):
        left = [s for s in said if s not in found]
        if side is None and len(left) == 1:
            found[n] = left[0]
            site.report.add(
                "what lies beside an opening",
                (opening.draft.key,),
                "as the source says: the plan shows nothing there",
                "nothing to do, unless the source is wrong",
            )
    return found[0], found[1]


def _sides_of_lying(site: Site, opening: Hosted) -> Sides:
    """A rooflight or hatch: the room below it, and what lies above."""
    if opening.centre is None:
        return None, None
    spot = Point(opening.centre)
    over = [f for f in site.floors if f.draft.indoors and f.shape.contains(spot)]
    below = [f for f in over if f.low < opening.low + 0.1]
    above = [f for f in over if f.low >= opening.low - 0.1 and f.low < opening.low + 1.5]
    under = max(below, key=lambda f: f.low, default=None)
    top = min(above, key=lambda f: f.low, default=None)
    return (
        None if under is None else site.names[under.key],
        OUTSIDE if top is None else site.names[top.key],
    )


def compare_with_source(site: Site, opening: Hosted, opening_id: str, sides: Sides) -> None:
    """Report where the source's own word differs from where the opening lies.

    Parameters
    ----------
    site : Site
        The building so far.
    opening : Hosted
        The opening on its wall.
    opening_id : str
        Its id.
    sides : tuple
        What was decided.
    """
    draft = opening.draft
    outdoors = OUTSIDE in sides or NEIGHBOUR in sides
    if draft.outside is not None and None not in sides and draft.outside != outdoors:
        site.report.add(
            "outside or inside",
            (opening_id,),
            f"{'outside' if outdoors else 'inside'}, from where it lies; the source's flag says the opposite",
            "nothing to do, unless the plan is wrong",
        )
    said = {site.names.get(j, j) for j in draft.joins}
    found = {s for s in sides if s is not None and s != OUTSIDE}
    if said and found and not said & found:
        site.report.add(
            "rooms an opening joins",
            (opening_id,),
            f"{' and '.join(sorted(found))}, from where it lies; the source says {' and '.join(sorted(said))}",
            "move the opening if the drawing is wrong",
        )
    if None in sides:
        site.report.add(
            "what lies beside an opening",
            (opening_id,),
            "not known: no room is drawn there, and it is not plainly out of doors",
            "say which room lies on that side",
            missing=True,
        )
