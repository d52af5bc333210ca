"""Openings of a tape survey put into their walls on the plan."""

import math

from wardwright.errors import InputError
from wardwright.intake.draft import Assumption, DraftOpening
from wardwright.intake.tape_adjoining import INNER_M, FoundOpening, SlabOpening, centre_from_start, destination
from wardwright.intake.tape_contents import OUTER_M, Placed, key_of
from wardwright.intake.tape_form import SIDES, Form, Slips
from wardwright.intake.tape_rooms import Edge
from wardwright.premises.openings import NEIGHBOUR, OUTSIDE, OpeningKind


def wall_openings(
    form: Form,
    found: list[FoundOpening],
    placed: dict[str, Placed],
    taken: set[str],
    notes: list[Assumption],
    slips: Slips,
) -> list[DraftOpening]:
    """Every opening in a wall, where it was measured or in the middle of what is free.

    Parameters
    ----------
    form : Form
        The survey as typed.
    found : list of FoundOpening
        Openings as the lines name them.
    placed : dict of str to Placed
        Rooms on the plan by name.
    taken : set of str
        Ids in use; those given here are added.
    notes : list of Assumption
        Guesses are added.
    slips : Slips
        What does not fit is added.
    """
    made: list[DraftOpening] = []
    spans: dict[tuple[str, int], list[tuple[float, float, int]]] = {}
    unplaced: list[FoundOpening] = []
    centres: dict[int, float] = {}
    for item in found:
        if item.merged:
            continue
        try:
            start = _where(item, placed)
            if start is None:
                unplaced.append(item)
            else:
                _claim(item, start, spans)
                centres[id(item)] = start
        except InputError as error:
            slips.add(item.line, item.room.name, error.message)
    for item in unplaced:
        try:
            start = _free_place(item, placed, spans)
            _claim(item, start, spans)
            centres[id(item)] = start
        except InputError as error:
            slips.add(item.line, item.room.name, error.message)
    for item in found:
        if id(item) in centres:
            made.append(_draft_opening(form, item, centres[id(item)], item in unplaced, placed, taken, notes))
    return made


def _where(item: FoundOpening, placed: dict[str, Placed]) -> float | None:
    """Centre along the wall from its start, measured in this room or in the next; None where in neither. [m]"""
    words = item.words
    if words.width_m is None:
        raise InputError(f"the {words.kind} in the {item.edge.side} wall has no width; write it as 0.80 x 2.00")
    if words.width_m > item.edge.length + 0.005:
        raise InputError(
            f"the {words.kind} is {words.width_m:.2f} m wide, but the {item.edge.side} wall is only "
            f"{item.edge.length:.2f} m long"
        )
    start = centre_from_start(item)
    if start is None and item.twin is not None:
        theirs = centre_from_start(item.twin)
        if theirs is not None:
            there = placed[item.twin.room.name]
            x, y = item.twin.edge.moved(*there.corner).at(theirs)
            edge = item.edge.moved(*placed[item.room.name].corner)
            start = (x - edge.start[0]) * edge.along[0] + (y - edge.start[1]) * edge.along[1]
    if start is not None and not words.width_m / 2 - 0.02 <= start <= item.edge.length - words.width_m / 2 + 0.02:
        raise InputError(
            f"the {words.kind} would reach beyond the end of the {item.edge.side} wall, which is "
            f"{item.edge.length:.2f} m long"
        )
    return start


def _claim(item: FoundOpening, start: float, spans: dict[tuple[str, int], list[tuple[float, float, int]]]) -> None:
    half = (item.words.width_m or 0.0) / 2
    held = spans.setdefault((item.room.name, item.edge.number), [])
    for low, high, line in held:
        if start - half < high - 0.01 and start + half > low + 0.01:
            raise InputError(f"the {item.words.kind} runs into the opening of line {line} in the same wall")
    held.append((start - half, start + half, item.line))


def _free_place(
    item: FoundOpening, placed: dict[str, Placed], spans: dict[tuple[str, int], list[tuple[float, float, int]]]
) -> float:
    """Middle of the widest free stretch of the wall, of what both rooms share where it leads to a room. [m]"""
    low, high = 0.0, item.edge.length
    if item.to in placed:
        edge = item.edge.moved(*placed[item.room.name].corner)
        facing = SIDES[(SIDES.index(edge.side) + 4) % 8]
        stretches = []
        for other in placed[item.to].edges:
            if other.side == facing:
                ends = [
                    (x - edge.start[0]) * edge.along[0] + (y - edge.start[1]) * edge.along[1]
                    for x, y in (other.start, other.end)
                ]
                stretches.append((max(low, min(ends)), min(high, max(ends))))
        if stretches:
            low, high = max(stretches, key=lambda s: s[1] - s[0])
    gaps, at = [], low
    for begin, end, _ in sorted(spans.get((item.room.name, item.edge.number), [])):
        gaps.append((at, min(begin, high)))
        at = max(at, end)
    gaps.append((at, high))
    begin, end = max(gaps, key=lambda g: g[1] - g[0])
    if end - begin < (item.words.width_m or 0.0) - 0.005:
        raise InputError(f"there is no room left in the {item.edge.side} wall for the {item.words.kind}")
    return (begin + end) / 2


def _draft_opening(
    form: Form,
    item: FoundOpening,
    start: float,
    guessed: bool,
    placed: dict[str, Placed],
    taken: set[str],
    notes: list[Assumption],
) -> DraftOpening:
    words, here = item.words, placed[item.room.name]
    edge = item.edge.moved(*here.corner)
    thick = (form.outer or (OUTER_M, ""))[0]
    if item.to in placed:
        thick = _gap(edge, start, placed[item.to]) or (form.inner or (INNER_M, ""))[0]
    elif item.to == NEIGHBOUR:
        thick = (form.party or form.outer or (OUTER_M, ""))[0]
    centre = edge.at(start, thick / 2)
    name = words.called or _name(item)
    key = key_of(name, taken)
    if guessed:
        notes.append(
            Assumption(
                "place along a wall",
                (name,),
                f"in the middle of the free stretch of the {edge.side} wall of “{item.room.name}”",
                f"write how far it is from a corner, for example “0.50 from left”, in line {item.line}",
            )
        )
    joins = [here.key]
    if item.to is not None:
        joins.append(placed[item.to].key if item.to in placed else item.to)
    sill = words.sill_m
    if sill is None and words.kind in (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR, OpeningKind.PASSAGE):
        sill = 0.0
    outside = None if item.to is None else item.to in (OUTSIDE, NEIGHBOUR)
    return DraftOpening(
        key=key,
        storey_key=here.storey_key,
        name=name,
        kind=words.kind,
        centre=(round(centre[0], 4), round(centre[1], 4)),
        along_rad=_angle(edge),
        width_m=words.width_m,
        height_m=words.height_m,
        sill_m=sill,
        joins=tuple(joins),
        leaves=tuple(leaf.model_copy(update={"id": f"{key}.{leaf.id}"}) for leaf in words.leaves),
        outside=outside,
        final_exit=words.final_exit,
        position_assumed=guessed,
        usually=words.usually,
    )


def _name(item: FoundOpening) -> str:
    if item.to not in (None, OUTSIDE, NEIGHBOUR):
        return f"{item.words.kind.capitalize()} from {item.room.name} to {item.to}"
    return f"{item.room.name} {item.edge.side} {item.words.kind}"


def _gap(edge: Edge, start: float, other: Placed) -> float | None:
    """Thickness of the wall there really is on the plan to the room beyond; None where they do not face. [m]"""
    best = None
    for facing in other.edges:
        ux, uy = facing.along
        if abs(ux * edge.along[0] + uy * edge.along[1] + 1.0) > 0.01:
            continue
        x, y = edge.at(start)
        out = (facing.start[0] - x) * edge.outward[0] + (facing.start[1] - y) * edge.outward[1]
        on = (x - facing.start[0]) * ux + (y - facing.start[1]) * uy
        if -0.05 <= on <= facing.length + 0.05 and 0.0 < out < 1.2:
            best = out if best is None else min(best, out)
    return best


def _angle(edge: Edge) -> float:
    return math.atan2(edge.along[1], edge.along[0])


def slab_openings(
    slabs: list[SlabOpening],
    placed: dict[str, Placed],
    heights: list[float],
    form: Form,
    taken: set[str],
    notes: list[Assumption],
    slips: Slips,
) -> list[DraftOpening]:
    """Hatches and rooflights in floors and ceilings.

    Parameters
    ----------
    slabs : list of SlabOpening
        As the lines name them.
    placed : dict of str to Placed
        Rooms on the plan by name.
    heights : list of float
        Clear heights by storey. [m]
    form : Form
        The survey as typed.
    taken : set of str
        Ids in use; those given here are added.
    notes : list of Assumption
        Guesses are added.
    slips : Slips
        What does not fit is added.
    """
    made = []
    for item in slabs:
        here, words = placed[item.room.name], item.words
        try:
            to = destination(form, words.to)
            if words.width_m is None or words.height_m is None:
                raise InputError(f"the {words.kind} has no size; write it as 0.60 x 0.60")
        except InputError as error:
            slips.add(item.line, item.room.name, error.message)
            continue
        name = words.called or f"{item.room.name} {words.kind}"
        key = key_of(name, taken)
        west, south = here.corner
        if words.spot_m is None:
            x, y = here.middle[0] - words.width_m / 2, here.middle[1] - words.height_m / 2
            text = f"in the middle of “{item.room.name}”"
            fix = f"write “at 1.00 east 0.50 north” (from its south-west corner) in line {item.line}"
            notes.append(Assumption("place of a hatch or rooflight", (name,), text, fix))
        else:
            x, y = west + words.spot_m[0], south + words.spot_m[1]
        outline = ((x, y), (x + words.width_m, y), (x + words.width_m, y + words.height_m), (x, y + words.height_m))
        if to is None and words.kind is OpeningKind.ROOFLIGHT:
            to = OUTSIDE
        height = here.room.height_m or heights[here.room.storey]
        made.append(
            DraftOpening(
                key=key,
                storey_key=here.storey_key,
                name=name,
                kind=words.kind,
                centre=(x + words.width_m / 2, y + words.height_m / 2),
                width_m=words.width_m,
                height_m=words.height_m,
                sill_m=words.sill_m if words.sill_m is not None else (height if item.overhead else 0.0),
                joins=(here.key, *((placed[to].key if to in placed else to,) if to else ())),
                outline=outline,
                leaves=tuple(leaf.model_copy(update={"id": f"{key}.{leaf.id}"}) for leaf in words.leaves),
                outside=None if to is None else to in (OUTSIDE, NEIGHBOUR),
                final_exit=words.final_exit,
                position_assumed=words.spot_m is None,
                usually=words.usually,
            )
        )
    return made
