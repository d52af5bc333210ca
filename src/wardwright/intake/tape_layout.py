"""Rooms of a tape survey laid out against one another, storey by storey, from what adjoins what.

A room is set down beside rooms already there. Where the form fixes it (a second neighbour, a level corner, one door
measured from both sides) it goes there; where it does not, it is set flush with a corner, clear of the others, and its
place is marked as assumed.
"""

import itertools
import math
from dataclasses import dataclass, field

from shapely import Polygon
from shapely.affinity import translate

from wardwright.intake.draft import Assumption
from wardwright.intake.tape_form import Form, FormRoom, Slips
from wardwright.intake.tape_rooms import Edge, Outline
from wardwright.model import XY

MEET_M = 0.05
"""Walls of neighbours that miss their wall thickness by more than this are reported. [m]"""
TORN_M = 0.60
"""Neighbours further apart than this, or overlapping by more, contradict each other. [m]"""
ASIDE_M = 1.0
"""Room left beside everything else for a room that joins nothing. [m]"""


@dataclass(frozen=True)
class Relation:
    """Two rooms with a wall between them, as one line says."""

    line: int
    first: str
    second: str
    first_edge: Edge
    """Before any room is placed: from its own south-west corner. [m]"""
    second_edge: Edge
    gap_m: float
    """Thickness of the wall between. [m]"""
    shift_m: float | None = None
    """Where the second room's edge ends (it is walked against the first), along the first from its start.
    None: not measured. [m]"""
    how: str = ""

    def turned(self) -> "Relation":
        """The same wall seen from the other room."""
        shift = None
        if self.shift_m is not None:
            shift = self.shift_m + self.second_edge.length - self.first_edge.length
        return Relation(
            self.line, self.second, self.first, self.second_edge, self.first_edge, self.gap_m, shift, self.how
        )


@dataclass
class Layout:
    """Where every room's south-west corner lies."""

    corner: dict[str, XY] = field(default_factory=dict)
    assumed: set[str] = field(default_factory=set)
    """Rooms whose place was a guess."""
    notes: list[Assumption] = field(default_factory=list)


def lay_out(form: Form, outlines: dict[str, Outline], relations: list[Relation], slips: Slips) -> Layout:
    """Set every room down.

    Parameters
    ----------
    form : Form
        The rooms as typed, in order.
    outlines : dict of str to Outline
        Closed outlines by room name; rooms that could not be closed are absent.
    relations : list of Relation
        What adjoins what.
    slips : Slips
        Where contradictions are added.

    Returns
    -------
    Layout
        South-west corners of the rooms' bounding boxes.
    """
    layout = Layout()
    for index in range(len(form.storeys)):
        rooms = [r for r in form.rooms if r.storey == index and r.name in outlines]
        _storey(form, rooms, outlines, relations, layout)
        _judge(rooms, outlines, relations, layout, slips)
    return layout


def _storey(
    form: Form, rooms: list[FormRoom], outlines: dict[str, Outline], relations: list[Relation], layout: Layout
) -> None:
    here = {r.name for r in rooms}
    waiting = list(rooms)
    for room in rooms:
        if room.at_m is not None:
            layout.corner[room.name] = room.at_m
            waiting.remove(room)
    both = [r for pair in ((x, x.turned()) for x in relations if x.first in here and x.second in here) for r in pair]
    while waiting:
        ready = [(sum(r.second == room.name and r.first in layout.corner for r in both), room) for room in waiting]
        count, room = max(ready, key=lambda c: c[0])
        waiting.remove(room)
        known = [r for r in both if r.second == room.name and r.first in layout.corner]
        if count:
            corner, sure = _beside(room, known, outlines, {k: v for k, v in layout.corner.items() if k in here})
            if not sure:
                layout.assumed.add(room.name)
                layout.notes.append(
                    Assumption(
                        "place of a room",
                        (room.name,),
                        f"set flush with a corner of “{known[0].first}”: nothing says how far along the wall it lies",
                        f"measure one door between them from both sides, or write “level at west end” in line "
                        f"{known[0].line}",
                    )
                )
        else:
            corner = _stands_alone(form, room, rooms, outlines, layout)
        layout.corner[room.name] = corner


def _stands_alone(
    form: Form, room: FormRoom, rooms: list[FormRoom], outlines: dict[str, Outline], layout: Layout
) -> XY:
    """Corner of a room that touches none so far: over another, at the origin, or beside everything."""
    placed = [r for r in rooms if r.name in layout.corner]
    below = form.room(room.over) if room.over else None
    if below is not None and below.name in layout.corner:
        return layout.corner[below.name]
    if not placed and room.storey == 0:
        return (0.0, 0.0)
    layout.assumed.add(room.name)
    if not placed:
        under = next((r for r in form.rooms if r.storey == room.storey - 1 and r.name in layout.corner), None)
        corner = layout.corner[under.name] if under else (0.0, 0.0)
        layout.notes.append(
            Assumption(
                "place of a storey",
                (form.storeys[room.storey].name,),
                f"“{room.name}” set over “{under.name}”, their south-west corners in line"
                if under
                else "set at the origin",
                f"write “over” and the room below it in line {room.line}",
            )
        )
        return corner
    east = max(layout.corner[r.name][0] + max(e.start[0] for e in outlines[r.name].edges) for r in placed)
    south = min(layout.corner[r.name][1] for r in placed)
    layout.notes.append(
        Assumption(
            "place of a room",
            (room.name,),
            "set down beside the other rooms: no line says what it adjoins",
            f"write what lies beyond one of its walls under line {room.line}, for example “west: Hall”",
        )
    )
    return (east + ASIDE_M, south)


def _beside(
    room: FormRoom, known: list[Relation], outlines: dict[str, Outline], corner: dict[str, XY]
) -> tuple[XY, bool]:
    """Best corner for a room next to placed ones, and whether the form fixes it."""
    fixed, loose = [], []
    for relation in known:
        measured = [p for p in [_along(relation, corner, relation.shift_m)] if relation.shift_m is not None]
        fixed += measured
        if not measured:
            loose += _flush(relation, outlines, corner)
    for a, b in itertools.combinations(known, 2):
        crossing = _crossing(a, b, corner)
        if crossing is not None:
            fixed.append(crossing)
    taken = [_shape(outlines[name], at) for name, at in corner.items()]

    def badness(at: XY) -> float:
        shape = _shape(outlines[room.name], at)
        overlap = sum(shape.intersection(other).area for other in taken)
        miss = sum(_miss(relation, corner, at) for relation in known)
        return round(20.0 * float(overlap) + 10.0 * miss, 2)

    best_fixed = min(fixed, key=badness, default=None)
    best_loose = min(loose, key=badness, default=None)
    if best_fixed is not None and (best_loose is None or badness(best_fixed) <= badness(best_loose) + 2.0):
        return best_fixed, True
    assert best_loose is not None
    return best_loose, False


def _shape(outline: Outline, at: XY) -> Polygon:
    return translate(Polygon(outline.ring), at[0], at[1])


def _along(relation: Relation, corner: dict[str, XY], shift: float | None) -> XY:
    """Corner of the second room when its edge ends a distance along the first's. [m]"""
    edge = relation.first_edge.moved(*corner[relation.first])
    # The second room's edge is walked the other way, so its end is what lies nearest the first edge's start.
    x, y = edge.at(shift or 0.0, relation.gap_m)
    return (x - relation.second_edge.end[0], y - relation.second_edge.end[1])


def _flush(relation: Relation, outlines: dict[str, Outline], corner: dict[str, XY]) -> list[XY]:
    """Corners for a room along a wall, the likeliest first: flush with its left-hand end, next to what is there, flush
    with its right-hand end. [m]
    """
    size, thick = relation.second_edge.length, relation.gap_m
    edge = relation.first_edge.moved(*corner[relation.first])
    after, before = [], []
    for name, at in corner.items():
        if name != relation.first:
            spans = [
                (x + at[0] - edge.start[0]) * edge.along[0] + (y + at[1] - edge.start[1]) * edge.along[1]
                for x, y in outlines[name].ring
            ]
            after.append(max(spans) + thick)
            before.append(min(spans) - thick - size)
    shifts = [0.0, *sorted(after), edge.length - size, *sorted(before, reverse=True)]
    inside = [s for s in shifts if -size + 0.3 <= s <= edge.length - 0.3]
    return [_along(relation, corner, s) for s in inside] or [_along(relation, corner, 0.0)]


def _crossing(a: Relation, b: Relation, corner: dict[str, XY]) -> XY | None:
    """Corner that meets two walls that are not parallel. [m]"""
    p, q = _along(a, corner, 0.0), _along(b, corner, 0.0)
    (ux, uy), (vx, vy) = a.first_edge.along, b.first_edge.along
    turn = ux * vy - uy * vx
    if abs(turn) < 0.2:
        return None
    t = ((q[0] - p[0]) * vy - (q[1] - p[1]) * vx) / turn
    return (p[0] + ux * t, p[1] + uy * t)


def _apart(relation: Relation, corner: dict[str, XY], at: XY) -> tuple[float, float]:
    """How much wider than its wall the space between two edges is, and the stretch they share. [m]"""
    a = relation.first_edge.moved(*corner[relation.first])
    b = relation.second_edge.moved(*at)
    (ux, uy), (nx, ny) = a.along, a.outward
    ends = [((x - a.start[0]) * ux + (y - a.start[1]) * uy) for x, y in (b.start, b.end)]
    gap = (b.start[0] - a.start[0]) * nx + (b.start[1] - a.start[1]) * ny
    return gap - relation.gap_m, min(a.length, max(ends)) - max(0.0, min(ends))


def _miss(relation: Relation, corner: dict[str, XY], at: XY) -> float:
    excess, shared = _apart(relation, corner, at)
    miss = abs(excess) + max(0.0, 0.3 - shared)
    if relation.shift_m is not None:
        wanted = _along(relation, corner, relation.shift_m)
        miss += math.dist(wanted, at)
    return miss


def _judge(
    rooms: list[FormRoom], outlines: dict[str, Outline], relations: list[Relation], layout: Layout, slips: Slips
) -> None:
    """Report rooms that do not meet as said, and rooms that overlap."""
    names = {r.name for r in rooms}
    for relation in relations:
        if relation.first not in names or relation.second not in names:
            continue
        at = layout.corner[relation.second]
        excess, shared = _apart(relation, layout.corner, at)
        wall = f"the {relation.first_edge.side} wall of “{relation.first}”"
        if shared <= 0.0 or abs(excess) > TORN_M:
            how = "too far apart" if excess > 0 else "into each other"
            far = "apart" if shared <= 0.0 else f"{abs(excess):.2f} m {how}"
            where = f"but the other lines put them {far}"
            slips.add(
                relation.line,
                relation.first,
                f"“{relation.second}” is said to lie beyond {wall}, {where}; one of the lengths or neighbours is wrong",
            )
            continue
        if abs(excess) > MEET_M:
            way = "further apart than" if excess > 0 else "closer together than"
            layout.notes.append(
                Assumption(
                    "rooms that do not meet",
                    (relation.first, relation.second),
                    f"they lie {abs(excess):.2f} m {way} the thickness of {wall}",
                    f"measure both rooms across that wall again, or its thickness (line {relation.line})",
                )
            )
        if relation.shift_m is not None:
            off = math.dist(_along(relation, layout.corner, relation.shift_m), at)
            off = math.sqrt(max(0.0, off**2 - excess**2))
            if off > MEET_M:
                layout.notes.append(
                    Assumption(
                        "rooms that do not meet",
                        (relation.first, relation.second),
                        f"{relation.how or 'the measured corner'} would have them {off:.2f} m from where they lie",
                        f"measure again along {wall} (line {relation.line})",
                    )
                )
    for a, b in itertools.combinations(rooms, 2):
        first, second = (_shape(outlines[r.name], layout.corner[r.name]) for r in (a, b))
        overlap = float(first.intersection(second).area)
        if overlap > 0.25 * min(first.area, second.area):
            slips.add(
                b.line,
                b.name,
                f"it would lie over “{a.name}” by {overlap:.1f} m²; check what adjoins what under lines {a.line} and "
                f"{b.line}",
            )
        elif overlap > 0.02:
            layout.notes.append(
                Assumption(
                    "rooms that overlap",
                    (a.name, b.name),
                    f"they overlap by {overlap:.2f} m² as drawn",
                    "measure both rooms again, or say how far along the wall they begin",
                )
            )
