"""A building from a DXF drawing: unit, walls, openings, rooms and their names, each decided from what is drawn."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.errors import InputError, IntakeError
from wardwright.intake.draft import Assumption, Draft, DraftOpening, DraftRoom, DraftStorey, DraftWall
from wardwright.intake.dxf_layers import Meaning
from wardwright.intake.dxf_openings import OPENING_MEANINGS, Found, find_openings, panels
from wardwright.intake.dxf_strokes import Dimension, Label, Sheet, Stroke, in_metres, read_sheet
from wardwright.intake.lengths import UNITS_M, parse_length
from wardwright.intake.room_labels import Part, RoomName, joint_use, parted, room_names
from wardwright.intake.rooms_from_walls import free_spaces, rings_of
from wardwright.intake.size_codes import leaves_of, size_code
from wardwright.intake.unit_evidence import Clue, Ratio, Scale, infer_scale, scale_given
from wardwright.intake.wall_axes import Axis, polygons_of, wall_axes
from wardwright.intake.wall_faces import segments_of, strips_between, typical_gap
from wardwright.intake.wall_junctions import solid_of
from wardwright.premises.openings import Leaf, LeafRole, Movement, OpeningKind

STOREY = "ground"
HEADER_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 10: "yd", 14: "dm", 21: "ft"}
"""Codes of the header variable $INSUNITS that a building may be drawn in."""
FAR_M = 500.0
"""A plan further from the origin than this is moved. [m]"""
SINGLE_LINE_M = 0.10
"""Thickness taken for walls drawn as single lines. [m]"""
DOOR_HEAD_M = 2.03
"""Door heads where no code says: common practice, no source. [m]"""
LARGEST_HOUSE_M = 1000.0
SHAFT_M2 = 2.0
"""In a plan with named rooms a smaller space without a name and without an opening is a shaft or a chimney. [m²]"""
BARE_GAPS_M = (1.3, 2.0, 3.2)
"""Widest gap with nothing drawn in it that counts as an opening, tried in turn. [m]"""


@dataclass
class _Reading:
    where: str
    notes: list[Assumption] = field(default_factory=list)

    def note(self, what: str, where: Sequence[str], assumed: str, correct_by: str, *, missing: bool = False) -> None:
        self.notes.append(Assumption(what, tuple(where), assumed, correct_by, missing))


def read_dxf(path: Path, *, scale: float | None = None, unit: str | None = None) -> Draft:
    """Read a floor plan from a DXF file.

    Parameters
    ----------
    path : Path
        The drawing.
    scale : float, optional
        Metres per drawing unit. Overrides the header and the evidence.
    unit : str, optional
        Name of the drawing unit. Overrides the header and the evidence.

    Returns
    -------
    Draft
        One storey in metres: walls with thickness, openings with leaves, rooms with names, and every guess.

    Raises
    ------
    IntakeError
        If the file is no floor plan, or no unit can be found.
    """
    path = Path(path)
    given = scale_given(scale, unit, where=path.name)
    sheet = read_sheet(path)
    reading = _Reading(path.name)
    walls = [s for s in sheet.strokes if s.meaning is Meaning.WALL]
    named = bool(walls)
    if not named:
        walls = [s for s in sheet.strokes if s.meaning is Meaning.UNKNOWN]
    outlines = [s for s in sheet.strokes if s.meaning is Meaning.ROOM and s.closed]
    if not walls and not outlines:
        raise IntakeError(f"no walls were found in it ({_layers(sheet)})", where=path.name)
    if not named and not outlines and not _like_walls(walls):
        raise IntakeError(f"no walls were found in it ({_layers(sheet)})", where=path.name)
    found_scale = given or _scale(sheet, walls or outlines, named)
    _note_scale(reading, found_scale)
    x0, y0, x1, y1 = _extent(walls or outlines)
    size = max(x1 - x0, y1 - y0) * found_scale.metres_per_unit
    if not 1.5 <= size <= LARGEST_HOUSE_M:
        raise IntakeError(
            f"what is drawn is {size:.3g} m across in {found_scale.name}, which is no building; "
            "give --scale (metres per drawing unit) or --unit",
            where=path.name,
        )
    far = max(abs(c) for c in (x0, y0, x1, y1)) * found_scale.metres_per_unit > FAR_M
    origin = (math.floor(x0), math.floor(y0)) if far else (0.0, 0.0)
    if far:
        reading.note(
            "position", (), f"the plan lies far from the drawing's origin; {origin[0]:g}, {origin[1]:g} became 0, 0",
            "nothing to do, unless several files must fit together",
        )  # fmt: skip
    plan = in_metres(sheet, found_scale.metres_per_unit, origin)
    _note_sheet(reading, sheet)
    return _drafted(reading, plan, named, path)


def _drafted(reading: _Reading, plan: Sheet, named: bool, path: Path) -> Draft:
    wanted = Meaning.WALL if named else Meaning.UNKNOWN
    drawn = [s for s in plan.strokes if s.meaning is wanted]
    solid = _solid(reading, drawn, named)
    strokes = [
        s for s in plan.strokes if s.meaning in (*OPENING_MEANINGS, Meaning.HEADER, Meaning.WALL, Meaning.UNKNOWN)
    ]
    if not named:
        strokes += _lights(reading, drawn, solid)
    axes = wall_axes(solid)
    plan_of = _closed_off(strokes, plan, solid, axes, BARE_GAPS_M[0])
    for bare in BARE_GAPS_M[1:]:
        more = _closed_off(strokes, plan, solid, axes, bare)
        # A wider gap counts only where it closes off what would lie open.
        if _area(more) > 1.03 * _area(plan_of):
            plan_of = more
    found, walls, free = plan_of.found, plan_of.walls, plan_of.free
    names = room_names(plan.labels)
    rooms, mouths = _rooms(reading, free, found, names)
    if not rooms:
        rooms, walls, found = _outlined(reading, plan, names, named, path)
    openings = _openings(reading, found, rooms, plan.strokes) + mouths
    _note_spare(reading, [t.text for t in plan_of.spare], plan_of.homeless)
    reading.note("storeys", (), "the drawing was read as one storey", "give each storey a file of its own")
    return Draft(
        name=path.stem,
        source=f"{path.name} (DXF)",
        storeys=(DraftStorey(STOREY, "ground floor", 0.0),),
        walls=tuple(walls),
        rooms=tuple(rooms),
        openings=tuple(openings),
        assumptions=tuple(reading.notes),
    )


@dataclass(frozen=True)
class _Plan:
    """Openings found, and what the walls close off with them shut."""

    found: list[Found]
    spare: list[Label]
    homeless: int
    walls: list[DraftWall]
    free: list[Polygon]


def _closed_off(
    strokes: Sequence[Stroke], plan: Sheet, solid: BaseGeometry, axes: Sequence[Axis], bare: float
) -> _Plan:
    found, spare, homeless = find_openings(strokes, plan.labels, solid, axes, bare=bare)
    closed = shapely.union_all([solid, *(f.strip(0.03) for f in found)])
    closed = closed.buffer(0.005, join_style="mitre").buffer(-0.005, join_style="mitre")
    walls = [
        DraftWall(f"wall_{n}", STOREY, axis.points, axis.thickness) for n, axis in enumerate(wall_axes(closed), start=1)
    ]
    return _Plan(found, spare, homeless, walls, free_spaces(walls, []))


def _area(plan: _Plan) -> float:
    return float(sum(p.area for p in plan.free))


def _lights(reading: _Reading, drawn: Sequence[Stroke], solid: BaseGeometry) -> list[Stroke]:
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
        reading.note(
            "windows", (), f"{len(found)} short lines in the middle of walls were taken for windows",
            "put windows on a layer whose name says so",
        )  # fmt: skip
    return found


# --- unit -------------------------------------------------------------------------------------------------------------


def _scale(sheet: Sheet, walls: Sequence[Stroke], named: bool) -> Scale:
    header = HEADER_UNITS.get(sheet.unit_code)
    ratios = [_dimension_ratios(sheet.dimensions)]
    swings = [s.arc for s in sheet.strokes if s.arc and s.meaning in OPENING_MEANINGS and 15 <= s.arc.sweep_deg <= 120]
    radii = tuple(a.radius for a in swings)
    coded: list[float] = []
    for label in sheet.labels:
        code = size_code(label.text)
        if code is None or code.pair or not swings:
            continue
        nearest = min(swings, key=lambda a: math.dist(a.centre, label.at))
        if math.dist(nearest.centre, label.at) < 2.0 * nearest.radius:
            coded.append(code.widths[0] / nearest.radius)
    if coded:
        ratios.append(Ratio("size codes beside door leaves", tuple(coded)))
    x0, y0, x1, y1 = _extent(walls)
    clues = [Clue("the plan's overall size", (max(x1 - x0, y1 - y0),), 2.5, 300.0)]
    if radii:
        clues.append(Clue(f"{len(radii)} door leaves", radii, 0.5, 1.3, strong=len(radii) >= 2))
    extent = max(x1 - x0, y1 - y0, 1e-12)
    gap = typical_gap(segments_of([(s.points, s.closed) for s in walls], shortest=extent * 1e-4))
    if gap is not None and named:
        clues.append(Clue("the walls' thickness", (gap,), 0.05, 0.65))
    return infer_scale([r for r in ratios if r.values], clues, header, where=sheet.name)


def _like_walls(strokes: Sequence[Stroke]) -> bool:
    """Whether unnamed lines look like walls at all: many in pairs a little apart, or leaves that swing."""
    x0, y0, x1, y1 = _extent(strokes)
    shortest = max(x1 - x0, y1 - y0, 1e-12) * 1e-4
    swings = [s for s in strokes if s.arc and 80 <= s.arc.sweep_deg <= 100]
    return (
        len(swings) >= 2
        or typical_gap(segments_of([(s.points, s.closed) for s in strokes], shortest=shortest)) is not None
    )


def _dimension_ratios(dimensions: Sequence[Dimension]) -> Ratio:
    values: list[float] = []
    for dimension in dimensions:
        text = dimension.text.strip()
        if any(mark in text for mark in "'\"′″") or text[-1:].isalpha():
            try:
                length = parse_length(text, "m")
            except InputError:
                continue
            if length > 0:
                values.append(length / dimension.drawn)
            continue
        try:
            figure = float(text.replace(",", "."))
        except ValueError:
            continue
        # A bare figure a power of ten off what it measures: drawn in one metric unit, written in another.
        ratio = figure / dimension.drawn
        for power, drawn_unit in ((1e-3, "mm"), (1e-2, "cm"), (0.1, "mm"), (10.0, "cm"), (100.0, "m"), (1000.0, "m")):
            if abs(ratio / power - 1) < 0.005:
                values.append(UNITS_M[drawn_unit])
    return Ratio("dimensions", tuple(values))


def _extent(strokes: Sequence[Stroke]) -> tuple[float, float, float, float]:
    xs = [p[0] for s in strokes for p in s.points]
    ys = [p[1] for s in strokes for p in s.points]
    return min(xs), min(ys), max(xs), max(ys)


def _note_scale(reading: _Reading, scale: Scale) -> None:
    if scale.reasons == ("given",):
        return
    assumed = f"{scale.name} ({'; '.join(scale.reasons)})"
    if scale.overruled:
        assumed += f"; the header says {scale.overruled}, which was not believed"
    reading.note("length unit", (), assumed, "give --unit or --scale; check with one measured wall")


def _note_sheet(reading: _Reading, sheet: Sheet) -> None:
    if sheet.mended:
        reading.note(
            "damaged file", (), f"{sheet.mended} faults in the file were mended while reading",
            "save the drawing again as DXF and compare",
        )  # fmt: skip
    if sheet.unread:
        reading.note(
            "unreadable parts", (), f"{sheet.unread} drawn things could not be read and were left out",
            "look whether something is missing", missing=True,
        )  # fmt: skip
    if sheet.missing_references:
        names = ", ".join(sheet.missing_references[:5])
        reading.note(
            "attached drawings", sheet.missing_references[:5], f"the drawing refers to other files ({names}), not read",
            "bind them into the drawing and save it again", missing=True,
        )  # fmt: skip
    if sheet.hidden_layers:
        reading.note(
            "hidden layers", sheet.hidden_layers[:8], "layers switched off or frozen were left out",
            "switch them on and save again, if they belong to the building", missing=True,
        )  # fmt: skip


def _layers(sheet: Sheet) -> str:
    names = sheet.layers[:12]
    if not names:
        return "nothing but texts is drawn"
    listed = ", ".join(names)
    return f"layers: {listed}; expected walls on a layer whose name says so, or pairs of lines that enclose rooms"


# --- walls and rooms --------------------------------------------------------------------------------------------------


def _solid(reading: _Reading, drawn: Sequence[Stroke], named: bool) -> BaseGeometry:
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
        reading.note(
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
    reading: _Reading, free: Sequence[Polygon], found: Sequence[Found], names: Sequence[RoomName]
) -> tuple[list[DraftRoom], list[DraftOpening]]:
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
                    f"open_{number}",
                    STOREY,
                    f"open boundary {number}",
                    OpeningKind.PASSAGE,
                    ((line.start[0] + line.end[0]) / 2, (line.start[1] + line.end[1]) / 2),
                    math.atan2(line.end[1] - line.start[1], line.end[0] - line.start[0]),
                    width,
                    sill_m=0.0,
                )
            )
    if mouths:
        reading.note(
            "open space", tuple(m.key for m in mouths), "parted between two room names where it is narrowest",
            "move or remove the boundary, if it stands elsewhere",
        )  # fmt: skip
    if voids:
        reading.note(
            "enclosed spaces", (), f"{voids} without a name and without a door were taken for shafts, not rooms",
            "give the space a name or draw its door",
        )  # fmt: skip
    rooms = [_room(n, p) for n, p in enumerate(sorted(parts, key=lambda p: -p.shape.area), start=1)]
    together = [r.name for r in rooms if " / " in r.name]
    if together:
        reading.note(
            "open space", tuple(together), "several names stand in one space without a wall or narrow place between: "
            "one room", "draw a boundary, if the parts should count apart",
        )  # fmt: skip
    outside = [n.text for n in names if not any(shape.covers(Point(n.at)) for shape in free)]
    if outside and rooms:
        reading.note(
            "names outside", tuple(dict.fromkeys(outside)), "they stand in no space that walls close off: no room",
            "draw the walls or the edge, if it is one", missing=True,
        )  # fmt: skip
    return rooms, mouths


def _has_opening(shape: Polygon, found: Sequence[Found]) -> bool:
    near = shape.buffer(0.12)
    return any(near.intersects(f.strip()) for f in found)


def _room(number: int, part: Part) -> DraftRoom:
    outer, holes = rings_of(part.shape)
    names = part.names
    areas = [n.area for n in names]
    stated = sum(a for a in areas if a is not None) if names and all(a is not None for a in areas) else None
    return DraftRoom(
        f"room_{number}",
        STOREY,
        " / ".join(n.text for n in names) or f"room {number}",
        outer,
        holes,
        use=joint_use(names),
        stated_area_m2=stated,
        indoors=not (names and all(n.outdoors for n in names)),
    )


def _outlined(
    reading: _Reading, plan: Sheet, names: Sequence[RoomName], named: bool, path: Path
) -> tuple[list[DraftRoom], list[DraftWall], list[Found]]:
    """Rooms drawn as outlines, where walls close nothing off."""
    shapes: list[Polygon] = []
    for stroke in plan.strokes:
        if stroke.meaning is Meaning.ROOM and stroke.closed and len(stroke.points) >= 3:
            shapes += [p for p in polygons_of(shapely.make_valid(Polygon(stroke.points))) if p.area >= 0.5]
    shapes = [s for k, s in enumerate(shapes) if not any(s.equals(o) for o in shapes[:k])]
    # An outline that holds others is a floor, not a room.
    shapes = [s for s in shapes if sum(s.buffer(0.05).contains(o) for o in shapes) < 3]
    if not shapes:
        if named:
            raise IntakeError(
                "its walls close off no room: they are too far apart where they should meet, or stand alone",
                where=path.name,
            )
        raise IntakeError(f"no walls that enclose a room were found in it ({_layers(plan)})", where=path.name)
    reading.note(
        "walls", (), "rooms are drawn as outlines; walls are put up round them", "measure a wall; survey the openings"
    )
    parts = [Part(s, tuple(n for n in names if s.contains(Point(n.at)))) for s in shapes]
    return [_room(n, p) for n, p in enumerate(sorted(parts, key=lambda p: -p.shape.area), start=1)], [], []


# --- openings ---------------------------------------------------------------------------------------------------------


def _openings(
    reading: _Reading, found: Sequence[Found], rooms: Sequence[DraftRoom], strokes: Sequence[Stroke]
) -> list[DraftOpening]:
    indoor = shapely.union_all([Polygon(r.outline, r.holes) for r in rooms if r.indoors])
    symbols = [s for s in strokes if s.meaning in OPENING_MEANINGS]
    heads = [f.code.height for f in found if f.code and f.code.kind is not OpeningKind.WINDOW and f.code.height > 1.85]
    head = sorted(heads)[len(heads) // 2] if heads else DOOR_HEAD_M
    guessed: dict[str, list[str]] = {}
    made: list[DraftOpening] = []
    for number, one in enumerate(found, start=1):
        sides = _sides(one, indoor)
        if not any(sides):
            continue
        kind, guess = _kind(one, all(sides))
        key = f"opening_{number}"
        if guess:
            guessed.setdefault(guess, []).append(key)
        height = one.code.height if one.code else None
        sill = None
        if kind is not OpeningKind.WINDOW:
            sill = 0.0
        elif height is not None:
            sill = max(0.0, head - height)
            guessed.setdefault("sill", []).append(key)
        label = f" ({one.code.text})" if one.code else ""
        made.append(
            DraftOpening(
                key=key,
                storey_key=STOREY,
                name=f"{kind.value} {number}{label}",
                kind=kind,
                centre=one.centre,
                along_rad=one.along,
                width_m=one.width,
                height_m=height,
                sill_m=sill,
                leaves=_leaves(key, one, kind, symbols),
                outside=not all(sides),
            )
        )
    _note_guesses(reading, guessed, head)
    return made


def _sides(one: Found, indoor: BaseGeometry) -> tuple[bool, bool]:
    """Whether either side of an opening lies indoors."""
    nx, ny = -math.sin(one.along), math.cos(one.along)
    reach = one.thickness / 2 + 0.12
    x, y = one.centre
    return (
        bool(indoor.covers(Point(x + nx * reach, y + ny * reach))),
        bool(indoor.covers(Point(x - nx * reach, y - ny * reach))),
    )


def _kind(one: Found, inside: bool) -> tuple[OpeningKind, str]:
    """What an opening is; and, where that is a guess, which one."""
    meanings, code = one.meanings, one.code
    if Meaning.GARAGE_DOOR in meanings or (code and code.kind is OpeningKind.GARAGE_DOOR):
        return OpeningKind.GARAGE_DOOR, ""
    if code and code.kind is not None:
        return code.kind, ""
    if one.arcs:
        return OpeningKind.DOOR, ""
    if Meaning.WINDOW in meanings and Meaning.DOOR not in meanings:
        return OpeningKind.WINDOW, ""
    if Meaning.DOOR in meanings:
        return OpeningKind.DOOR, ""
    if code and code.height >= 1.75 and one.width >= 0.55:
        return OpeningKind.DOOR, ""
    if code and not inside:
        return OpeningKind.WINDOW, "narrow" if code.height >= 1.75 else ""
    if meanings and not inside:
        return OpeningKind.WINDOW, "window"
    if meanings:
        return OpeningKind.DOOR, "door"
    if not inside:
        return OpeningKind.DOOR, "bare outside"
    return OpeningKind.PASSAGE, "bare inside"


def _note_guesses(reading: _Reading, guessed: dict[str, list[str]], head: float) -> None:
    said = {
        "narrow": ("narrow light", "a fixed light: too narrow for a door"),
        "window": ("kind of opening", "windows: lines run through them, no leaf swings"),
        "door": ("kind of opening", "inside doors: something is drawn in them, no leaf swings"),
        "bare outside": ("gap in an outside wall", "doors: nothing is drawn in the gap"),
        "bare inside": ("gap in an inside wall", "doorways without a leaf: nothing is drawn in the gap"),
        "sill": ("sill height", f"window heads level with the door heads at {head:.2f} m, less the height by the code"),
    }
    for guess, keys in guessed.items():
        what, assumed = said[guess]
        reading.note(what, tuple(keys), assumed, "look on site and correct the opening")


def _leaves(key: str, one: Found, kind: OpeningKind, symbols: Sequence[Stroke]) -> tuple[Leaf, ...]:
    if one.arcs and kind is OpeningKind.DOOR:
        by_size = sorted(one.arcs, key=lambda a: -a.radius)
        return tuple(
            Leaf(
                id=f"{key}-{n}",
                role=LeafRole.ACTIVE if n == 1 else LeafRole.INACTIVE,
                movement=Movement.HINGED,
                width_m=arc.radius,
            )
            for n, arc in enumerate(by_size, start=1)
        )
    if one.code and one.code.movements:
        glazed = kind is OpeningKind.DOOR and Movement.FIXED in one.code.movements
        return leaves_of(key, one.code, one.width, glazed)
    if kind is OpeningKind.GARAGE_DOOR:
        return (Leaf(id=f"{key}-1", movement=Movement.OVERHEAD, width_m=one.width),)
    if kind is OpeningKind.DOOR:
        count, pocket = panels(one, symbols)
        if pocket:
            return (Leaf(id=f"{key}-1", movement=Movement.POCKET, width_m=one.width),)
        if count >= 2:
            return tuple(Leaf(id=f"{key}-{n}", movement=Movement.SLIDING, width_m=one.width / 2) for n in (1, 2))
        return (Leaf(id=f"{key}-1", movement=Movement.UNKNOWN, width_m=one.width),)
    if kind is OpeningKind.WINDOW and one.code and one.width < 0.55 and one.code.height >= 1.75:
        return (Leaf(id=f"{key}-1", role=LeafRole.SIDELIGHT, movement=Movement.FIXED, width_m=one.width),)
    return ()


def _note_spare(reading: _Reading, codes: Sequence[str], homeless: int) -> None:
    if codes:
        reading.note(
            "size codes", tuple(codes), "they stand beside no opening that could be found: left out",
            "look where the opening is, and add it", missing=True,
        )  # fmt: skip
    if homeless:
        reading.note(
            "door and window symbols", (), f"{homeless} lie on no wall that could be found: left out",
            "look where the opening is, and add it", missing=True,
        )  # fmt: skip
