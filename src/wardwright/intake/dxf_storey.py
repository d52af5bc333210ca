"""One storey of a drawing: walls from faces, openings in them, the rooms they close off and the names in these."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.intake.draft import DraftOpening, DraftRoom, DraftWall
from wardwright.intake.dxf_layers import Meaning
from wardwright.intake.dxf_opening_kinds import drafted_openings
from wardwright.intake.dxf_openings import OPENING_MEANINGS, Found, find_openings
from wardwright.intake.dxf_strokes import Label, Sheet, Stroke
from wardwright.intake.report import Report
from wardwright.intake.room_labels import Part, RoomName, joint_use, parted, room_names
from wardwright.intake.rooms_from_walls import free_spaces, rings_of
from wardwright.intake.wall_axes import Axis, closed_up, polygons_of, wall_axes
from wardwright.intake.wall_faces import segments_of, strips_between
from wardwright.intake.wall_junctions import solid_of
from wardwright.premises.openings import OpeningKind

SINGLE_LINE_M = 0.10
"""Thickness taken for walls drawn as single lines. [m]"""
SHAFT_M2 = 2.0
"""In a plan with named rooms a smaller space without a name and without an opening is a shaft or a chimney. [m²]"""
BARE_GAPS_M = (1.3, 2.0, 3.2)
"""Widest gap with nothing drawn in it that counts as an opening, tried in turn. [m]"""


@dataclass(frozen=True)
class Drawn:
    """A storey as read."""

    walls: tuple[DraftWall, ...]
    rooms: tuple[DraftRoom, ...]
    openings: tuple[DraftOpening, ...]


def drawn_storey(report: Report, plan: Sheet, key: str, prefix: str, named: bool) -> Drawn:
    """Read one storey.

    Parameters
    ----------
    report : Report
        Takes every guess.
    plan : Sheet
        What is drawn of the storey. [m]
    key : str
        Key of the storey.
    prefix : str
        Put before the keys of its elements, so that they differ from other storeys'.
    named : bool
        Walls stand on a layer whose name says so; False: every unnamed line may be one.

    Returns
    -------
    Drawn
        Without rooms where nothing is closed off and none is outlined.
    """
    wanted = Meaning.WALL if named else Meaning.UNKNOWN
    drawn = [s for s in plan.strokes if s.meaning is wanted]
    solid = _solid(report, drawn, named)
    strokes = [
        s for s in plan.strokes if s.meaning in (*OPENING_MEANINGS, Meaning.HEADER, Meaning.WALL, Meaning.UNKNOWN)
    ]
    if not named:
        strokes += _lights(report, drawn, solid)
    axes = wall_axes(solid)
    closed = _closed_off(strokes, plan, solid, axes, BARE_GAPS_M[0])
    for bare in BARE_GAPS_M[1:]:
        more = _closed_off(strokes, plan, solid, axes, bare)
        # A wider gap counts only where it closes off what would lie open.
        if more.area > 1.03 * closed.area:
            closed = more
    names = room_names(plan.labels)
    rooms, mouths = _rooms(report, closed, names, key, prefix)
    if not rooms:
        return Drawn((), tuple(_outlined(report, plan, names, key, prefix)), ())
    walls = tuple(
        DraftWall(f"{prefix}wall_{n}", key, axis.points, axis.thickness) for n, axis in enumerate(closed.axes, start=1)
    )
    openings = drafted_openings(report, closed.found, rooms, plan.strokes, key, prefix)
    _note_spare(report, [t.text for t in closed.spare], closed.homeless)
    return Drawn(walls, tuple(rooms), (*openings, *mouths))


@dataclass(frozen=True)
class _Closed:
    """Openings found, and what the walls close off with them shut."""

    found: list[Found]
    spare: list[Label]
    homeless: int
    axes: list[Axis]
    free: list[Polygon]

    @property
    def area(self) -> float:
        return float(sum(p.area for p in self.free))


def _closed_off(
    strokes: Sequence[Stroke], plan: Sheet, solid: BaseGeometry, axes: Sequence[Axis], bare: float
) -> _Closed:
    found, spare, homeless = find_openings(strokes, plan.labels, solid, axes, bare=bare)
    shut = shapely.union_all([solid, *(f.strip(0.03) for f in found)])
    shut = closed_up(shut, 0.005)
    whole = wall_axes(shut)
    walls = [DraftWall(str(n), "", axis.points, axis.thickness) for n, axis in enumerate(whole)]
    return _Closed(found, spare, homeless, whole, free_spaces(walls, []))


def _lights(report: Report, drawn: Sequence[Stroke], solid: BaseGeometry) -> list[Stroke]:
    """Where no layer says what is what: short lines in the middle of a wall are panes of glass."""
    core = solid.buffer(-0.025)
    found: list[Stroke] = []
    for stroke in drawn:
        if stroke.arc is not None or stroke.filled:
            continue
        ends = (*stroke.points[1:], stroke.points[0]) if stroke.closed else stroke.points[1:]
        for a, b in zip(stroke.points, ends, strict=False):
            length = math.dist(a, b)
            if not 0.4 <= length <= 3.6:
                continue
            middle = LineString(
                [(a[0] * 0.9 + b[0] * 0.1, a[1] * 0.9 + b[1] * 0.1), (a[0] * 0.1 + b[0] * 0.9, a[1] * 0.1 + b[1] * 0.9)]
            )
            if core.covers(middle):
                found.append(Stroke(stroke.layer, Meaning.WINDOW, (a, b)))
    if found:
        report.add(
            "windows", (), f"{len(found)} short lines in the middle of walls were taken for windows",
            "put windows on a layer whose name says so",
        )  # fmt: skip
    return found


def _solid(report: Report, drawn: Sequence[Stroke], named: bool) -> BaseGeometry:
    lines = [s for s in drawn if not s.filled and not s.width]
    segments = segments_of([(s.points, s.closed) for s in lines], shortest=0.01)
    strips, share = strips_between(segments)
    bodies: list[BaseGeometry] = [
        LineString(s.points + (s.points[:1] if s.closed else ())).buffer(s.width / 2, cap_style="flat")
        for s in drawn
        if s.width > 0.03 and not s.filled
    ]
    bodies += _filled(drawn)
    if named and share < 0.3 and not bodies and len(segments):
        report.add(
            "wall thickness", (), f"walls are drawn as single lines: {SINGLE_LINE_M:g} m was taken",
            "measure a wall",
        )  # fmt: skip
        single = [LineString([(r[0], r[1]), (r[2], r[3])]) for r in segments]
        return shapely.union_all([s.buffer(SINGLE_LINE_M / 2, cap_style="square", join_style="mitre") for s in single])
    return solid_of(strips, bodies)


def _filled(drawn: Sequence[Stroke]) -> list[BaseGeometry]:
    groups: dict[int, BaseGeometry] = {}
    for stroke in drawn:
        if not stroke.filled or len(stroke.points) < 3:
            continue
        shape = shapely.make_valid(Polygon(stroke.points))
        held = groups.get(stroke.filled)
        groups[stroke.filled] = shape if held is None else held.symmetric_difference(shape)
    return [p for shape in groups.values() for p in polygons_of(shape) if p.area > 1e-4]


def _rooms(
    report: Report, closed: _Closed, names: Sequence[RoomName], key: str, prefix: str
) -> tuple[list[DraftRoom], list[DraftOpening]]:
    free, found = closed.free, closed.found
    parts: list[Part] = []
    mouths: list[DraftOpening] = []
    voids = 0
    inner = [n for n in names if any(shape.contains(Point(n.at)) for shape in free)]
    for shape in free:
        mine, lines = parted(shape, inner)
        if shape.area < SHAFT_M2 and len(inner) >= 3 and not mine[0].names and not _has_opening(shape, found):
            voids += 1
            continue
        parts += mine
        for line in lines:
            number = len(mouths) + 1
            width = math.dist(line.start, line.end)
            mouths.append(
                DraftOpening(
                    f"{prefix}open_{number}",
                    key,
                    f"open boundary {number}",
                    OpeningKind.PASSAGE,
                    ((line.start[0] + line.end[0]) / 2, (line.start[1] + line.end[1]) / 2),
                    math.atan2(line.end[1] - line.start[1], line.end[0] - line.start[0]),
                    width,
                    sill_m=0.0,
                )
            )
    if mouths:
        report.add(
            "open space", tuple(m.key for m in mouths), "parted between two room names where it is narrowest",
            "move or remove the boundary, if it stands elsewhere",
        )  # fmt: skip
    if voids:
        report.add(
            "enclosed spaces", (), f"{voids} without a name and without a door were taken for shafts, not rooms",
            "give the space a name or draw its door",
        )  # fmt: skip
    rooms = [_room(n, p, key, prefix) for n, p in enumerate(sorted(parts, key=lambda p: -p.shape.area), start=1)]
    together = [r.name for r in rooms if " / " in r.name]
    if together:
        report.add(
            "open space", tuple(together), "several names stand in one space without a wall or narrow place between: "
            "one room", "draw a boundary, if the parts should count apart",
        )  # fmt: skip
    outside = [n.text for n in names if not any(shape.covers(Point(n.at)) for shape in free)]
    if outside and rooms:
        report.add(
            "names outside", tuple(dict.fromkeys(outside)), "they stand in no space that walls close off: no room",
            "draw the walls or the edge, if it is one", missing=True,
        )  # fmt: skip
    return rooms, mouths


def _has_opening(shape: Polygon, found: Sequence[Found]) -> bool:
    near = shape.buffer(0.12)
    return any(near.intersects(f.strip()) for f in found)


def _room(number: int, part: Part, key: str, prefix: str) -> DraftRoom:
    outer, holes = rings_of(part.shape)
    names = part.names
    areas = [n.area for n in names]
    stated = sum(a for a in areas if a is not None) if names and all(a is not None for a in areas) else None
    return DraftRoom(
        f"{prefix}room_{number}",
        key,
        " / ".join(n.text for n in names) or f"room {number}",
        outer,
        holes,
        use=joint_use(names),
        stated_area_m2=stated,
        indoors=not (names and all(n.outdoors for n in names)),
    )


def _outlined(report: Report, plan: Sheet, names: Sequence[RoomName], key: str, prefix: str) -> list[DraftRoom]:
    """Rooms drawn as outlines, where walls close nothing off."""
    shapes: list[Polygon] = []
    for stroke in plan.strokes:
        if stroke.meaning is Meaning.ROOM and stroke.closed and len(stroke.points) >= 3:
            shapes += [p for p in polygons_of(shapely.make_valid(Polygon(stroke.points))) if p.area >= 0.5]
    shapes = [s for k, s in enumerate(shapes) if not any(s.equals(o) for o in shapes[:k])]
    # An outline that holds others is a floor, not a room.
    shapes = [s for s in shapes if sum(s.buffer(0.05).contains(o) for o in shapes) < 3]
    if shapes:
        report.add(
            "walls", (), "rooms are drawn as outlines; walls are put up round them",
            "measure a wall; survey the openings",
        )  # fmt: skip
    parts = [Part(s, tuple(n for n in names if s.contains(Point(n.at)))) for s in shapes]
    return [_room(n, p, key, prefix) for n, p in enumerate(sorted(parts, key=lambda p: -p.shape.area), start=1)]


def _note_spare(report: Report, codes: Sequence[str], homeless: int) -> None:
    if codes:
        report.add(
            "size codes", tuple(codes), "they stand beside no opening that could be found: left out",
            "look where the opening is, and add it", missing=True,
        )  # fmt: skip
    if homeless:
        report.add(
            "door and window symbols", (), f"{homeless} lie on no wall that could be found: left out",
            "look where the opening is, and add it", missing=True,
        )  # fmt: skip
