"""Floor plans as JSON polygons: elements by kind, walls with slabs, or an outline with holes."""

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.errors import InputError, IntakeError
from wardwright.intake.draft import Assumption, Draft, DraftOpening, DraftRoom, DraftStorey, DraftWall
from wardwright.intake.lengths import UNITS_M, unit_named
from wardwright.intake.names import is_outdoors
from wardwright.intake.rooms_from_walls import rings_of
from wardwright.intake.unit_evidence import NO_UNIT, Clue, Scale, infer_scale, scale_from_doors, scale_given
from wardwright.intake.wall_axes import Axis, closed_up, grown, polygons_of, wall_axes, without_slivers
from wardwright.intake.wall_gaps import Gap, wall_gaps
from wardwright.model import XY
from wardwright.premises.openings import OpeningKind

LARGEST_FILE = 200_000_000
STOREY = "ground"
SMALLEST_M, LARGEST_M = 1.5, 1000.0
"""Nothing smaller or larger across is a building. [m]"""
_OPENINGS = {
    "door": OpeningKind.DOOR,
    "front_door": OpeningKind.DOOR,
    "window": OpeningKind.WINDOW,
    "garage_door": OpeningKind.GARAGE_DOOR,
    "opening": OpeningKind.PASSAGE,
    "passage": OpeningKind.PASSAGE,
}
_NOT_ROOMS = {"wall", "walls", "inner", "outer", "land", "neighbor", "neighbour", "graph", "parcel", "plot"}
_FACADE_M = 0.20
_SLIVER_M = 0.05


@dataclass
class _Reading:
    """One plan being read: its scale once known, and the report."""

    where: str
    scale: float = 1.0
    notes: list[Assumption] = field(default_factory=list)

    def note(self, what: str, where: Sequence[str], assumed: str, correct_by: str, *, missing: bool = False) -> None:
        self.notes.append(Assumption(what, tuple(where), assumed, correct_by, missing))


def read_plan_json(
    path: Path, *, plan: str | None = None, scale: float | None = None, unit: str | None = None
) -> Draft:
    """Read one floor plan from a JSON file of polygons.

    Parameters
    ----------
    path : Path
        A file that holds one plan, or a collection of them.
    plan : str, optional
        Id of the plan wanted, for a collection.
    scale : float, optional
        Metres per unit of the file. Overrides whatever the file says.
    unit : str, optional
        Name of the file's unit. Overrides whatever the file says.

    Returns
    -------
    Draft
        Walls, rooms and openings in metres, with every adaptation listed.

    Raises
    ------
    IntakeError
        If the file is no such plan, an element cannot be used, or no unit can be found.
    """
    path = Path(path)
    chosen, name = _chosen(_load(path), plan, path.name)
    where = f"{path.name}, plan {name}" if name else path.name
    given = scale_given(scale, unit, where=where)
    reading = _Reading(where)
    elements = chosen.get("elements")
    if isinstance(elements, Mapping):
        draft = _from_elements(reading, chosen, elements, given)
    elif "walls" in chosen:
        draft = _from_walls(reading, chosen, given)
    elif "outline" in chosen:
        draft = _from_outline(reading, chosen, given, name)
    else:
        raise IntakeError("no plan is in it; expected an object with “elements”, “walls” or “outline”", where=where)
    walls, rooms, openings = draft
    return Draft(
        name=name or path.stem,
        source=f"{path.name} (JSON polygons)",
        storeys=(DraftStorey(STOREY, "ground floor", 0.0),),
        walls=tuple(walls),
        rooms=tuple(rooms),
        openings=tuple(openings),
        assumptions=tuple(reading.notes),
    )


def _load(path: Path) -> Any:
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise IntakeError(f"the file is larger than {LARGEST_FILE // 1_000_000} MB", where=path.name)
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise IntakeError(f"the file cannot be opened ({error.strerror})", where=path.name) from None
    except UnicodeDecodeError:
        raise IntakeError("the file is not text, so it is not JSON", where=path.name) from None
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        raise IntakeError(
            f"the file is not whole JSON: {error.msg} at line {error.lineno}, column {error.colno}", where=path.name
        ) from None
    except (RecursionError, ValueError):
        raise IntakeError(
            "the file is nested too deeply or holds a number too long to be a plan", where=path.name
        ) from None


def _chosen(data: Any, plan: str | None, file: str) -> tuple[Mapping[str, Any], str]:
    plans = data.get("plans") if isinstance(data, Mapping) else data
    if isinstance(data, Mapping) and not isinstance(plans, list):
        own = data.get("id")
        name = str(own) if isinstance(own, str | int) else ""
        if plan is not None and plan != name:
            raise IntakeError(
                f"there is no plan “{plan}” in it; it holds one plan, “{name or 'without an id'}”", where=file
            )
        return data, name
    if not isinstance(plans, list):
        raise IntakeError("no plan is in it; expected a JSON object or a list of plans", where=file)
    held = {str(p.get("id", k + 1)): p for k, p in enumerate(plans) if isinstance(p, Mapping)}
    if not held:
        raise IntakeError("the collection holds no plan", where=file)
    if plan is None and len(held) == 1:
        plan = next(iter(held))
    ids = ", ".join(list(held)[:60]) + (", …" if len(held) > 60 else "")
    if plan is None:
        raise IntakeError(f"it holds {len(held)} plans; say which one with --plan: {ids}", where=file)
    if plan not in held:
        raise IntakeError(f"there is no plan “{plan}” in it; it holds {ids}", where=file)
    return held[plan], plan


def _ring(reading: _Reading, value: Any, element: str) -> list[XY]:
    """Points of a ring as they stand in the file, checked one by one. [file units]"""
    if not isinstance(value, Sequence) or isinstance(value, str):
        raise IntakeError(f"{element}: expected a list of points", where=reading.where)
    points: list[XY] = []
    for k, p in enumerate(value, start=1):
        ok = isinstance(p, Sequence) and not isinstance(p, str) and len(p) >= 2
        if not ok or not all(isinstance(c, int | float) and not isinstance(c, bool) for c in p[:2]):
            raise IntakeError(f"{element}: point {k} is {_short(p)}; expected two numbers", where=reading.where)
        try:
            x, y = float(p[0]), float(p[1])
        except OverflowError:
            x = y = math.inf
        if not (math.isfinite(x) and math.isfinite(y)) or max(abs(x), abs(y)) > 1e9:
            raise IntakeError(
                f"{element}: point {k} is {_short(p)}, which is no place on a plan; expected two finite numbers",
                where=reading.where,
            )
        if not points or math.dist((x, y), points[-1]) > 1e-9:
            points.append((x, y))
    if len(points) > 1 and math.dist(points[0], points[-1]) <= 1e-9:
        points.pop()
    return points


def _listed(reading: _Reading, value: Any, element: str) -> Sequence[Any]:
    if value is None:
        return ()
    if not isinstance(value, Sequence) or isinstance(value, str):
        raise IntakeError(f"{element}: expected a list of outlines", where=reading.where)
    return value


def _check_size(reading: _Reading, shapes: Iterable[BaseGeometry]) -> None:
    """Refuse what is no building at the scale taken. Shapes in file units."""
    x0, y0, x1, y1 = shapely.union_all([s.envelope for s in shapes if not s.is_empty]).bounds
    size = max(x1 - x0, y1 - y0) * reading.scale
    if not SMALLEST_M <= size <= LARGEST_M:
        raise IntakeError(
            f"what is drawn would be {size:.3g} m across, which is no building; give --scale or --unit",
            where=reading.where,
        )


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 40 else text[:39] + "…"


def _shape(reading: _Reading, value: Any, element: str) -> BaseGeometry:
    """A polygon with holes, mended where its ring crosses itself. [file units]"""
    holes: list[list[XY]] = []
    if isinstance(value, Mapping):
        ring = next((value[k] for k in ("ring", "outline", "polygon", "points", "exterior") if k in value), None)
        listed = _listed(reading, value.get("holes"), f"{element}, holes")
        holes = [_ring(reading, h, f"{element}, hole {k}") for k, h in enumerate(listed, start=1)]
    else:
        ring = value
    points = _ring(reading, ring, element)
    if len(points) < 3:
        raise IntakeError(f"{element}: {len(points)} different points do not make an outline", where=reading.where)
    shape: BaseGeometry = Polygon(points, [h for h in holes if len(h) >= 3])
    if not shape.is_valid:
        mended = polygons_of(shapely.make_valid(shape))
        shape = shapely.union_all(mended) if mended else Polygon()
        reading.note(
            "outline crosses or touches itself",
            (element,),
            "the areas it encloses were kept (of a room: the largest)",
            "redraw the outline of this element",
        )
    if shape.area <= 0.0:
        reading.note("outline without area", (element,), "left out", "redraw the outline of this element", missing=True)
        return Polygon()
    return shape


def _shapes(reading: _Reading, elements: Mapping[str, Any], kind: str) -> dict[str, BaseGeometry]:
    value = elements.get(kind)
    if value is None:
        return {}
    if not isinstance(value, Sequence) or isinstance(value, str):
        raise IntakeError(f"elements.{kind}: expected a list of polygons", where=reading.where)
    found = {f"{kind}_{k}": _shape(reading, v, f"{kind}_{k}") for k, v in enumerate(value)}
    return {k: s for k, s in found.items() if not s.is_empty}


def _scaled(shape: BaseGeometry, factor: float) -> BaseGeometry:
    return shapely.transform(shape, lambda xy: xy * factor)


def _box(shape: BaseGeometry) -> tuple[XY, float, float, float]:
    """Centre, direction of the long side, long and short side of the smallest turned rectangle round a shape."""
    box = shape.minimum_rotated_rectangle
    if not isinstance(box, Polygon):
        return (shape.centroid.x, shape.centroid.y), 0.0, 0.0, 0.0
    a, b, c, _ = [(float(p[0]), float(p[1])) for p in box.exterior.coords[:4]]
    if math.dist(a, b) < math.dist(b, c):
        a, b = b, c
    along = math.atan2(b[1] - a[1], b[0] - a[0]) % math.pi
    return (box.centroid.x, box.centroid.y), along, math.dist(a, b), _short_side(box)


def _short_side(box: BaseGeometry) -> float:
    if not isinstance(box, Polygon):
        return 0.0
    a, b, c, _ = [(float(p[0]), float(p[1])) for p in box.exterior.coords[:4]]
    return min(math.dist(a, b), math.dist(b, c))


def _settle_scale(reading: _Reading, found: Scale, stated: bool) -> None:
    reading.scale = found.metres_per_unit
    if stated and not found.overruled:
        return
    spread = f", between {found.low:.3g} and {found.high:.3g}" if found.low is not None else ""
    assumed = f"{found.name}{spread}: {'; '.join(found.reasons)}"
    if found.overruled:
        assumed += f"; the file says {found.overruled}"
    reading.note("length unit", (), assumed, "give --scale (metres per unit) or --unit; check with one measured wall")


def _stated_unit(plan: Mapping[str, Any]) -> str | None:
    for key in ("units", "unit"):
        value = plan.get(key)
        if isinstance(value, str) and value.strip().lower() not in ("", "none", "unknown", "px", "pixel", "pixels"):
            try:
                return unit_named(value)
            except InputError:
                return None
    return None


def _positive(value: Any) -> float | None:
    if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value > 0:
        return float(value)
    return None


# --- elements by kind -------------------------------------------------------------------------------------------------


def _from_elements(
    reading: _Reading, plan: Mapping[str, Any], elements: Mapping[str, Any], given: Scale | None
) -> tuple[list[DraftWall], list[DraftRoom], list[DraftOpening]]:
    walls = {k: s for kind in ("wall", "walls") for k, s in _shapes(reading, elements, kind).items()}
    opened = {k: (kind, s) for kind in _OPENINGS for k, s in _shapes(reading, elements, kind).items()}
    kinds = [k for k in elements if k not in _OPENINGS and k not in _NOT_ROOMS]
    rooms = {k: s for kind in kinds for k, s in _shapes(reading, elements, kind).items()}
    if not rooms and not walls:
        raise IntakeError("the plan has neither rooms nor walls", where=reading.where)
    inner = _shapes(reading, elements, "inner")
    _settle_scale(reading, *_element_scale(reading, plan, given, walls, opened, rooms, inner))
    _check_size(reading, [*walls.values(), *rooms.values()])
    factor = reading.scale
    walls = {k: _scaled(s, factor) for k, s in walls.items()}
    rooms = _without_slivers(reading, {k: _scaled(s, factor) for k, s in rooms.items()})
    holes = {k: (kind, _scaled(s, factor)) for k, (kind, s) in opened.items()}
    openings = [_opening(key, kind, shape, rooms) for key, (kind, shape) in holes.items()]
    drafted: list[DraftWall] = []
    if walls:
        solid = shapely.union_all([*walls.values(), *(s for _, s in holes.values())])
        solid = closed_up(solid, 0.02)
        axes = wall_axes(solid)
        gaps = [g for g in wall_gaps(axes, solid) if g.in_line]
        if gaps:
            openings += _undrawn(reading, gaps, rooms)
            axes = wall_axes(shapely.union_all([solid, *(g.strip() for g in gaps)]))
        drafted = _walls(axes)
    fabric = shapely.union_all([*walls.values(), *(s for _, s in holes.values())])
    openings += _open_boundaries(rooms, fabric)
    _check_connections(reading, plan, openings)
    counts: dict[str, int] = {}
    for key in rooms:
        counts[key.rsplit("_", 1)[0]] = counts.get(key.rsplit("_", 1)[0], 0) + 1
    return drafted, [_room(key, shape, counts) for key, shape in rooms.items()], openings


def _element_scale(
    reading: _Reading,
    plan: Mapping[str, Any],
    given: Scale | None,
    walls: Mapping[str, BaseGeometry],
    opened: Mapping[str, tuple[str, BaseGeometry]],
    rooms: Mapping[str, BaseGeometry],
    inner: Mapping[str, BaseGeometry],
) -> tuple[Scale, bool]:
    if given is not None:
        return given, True
    widths = {kind: [_box(s)[2] for k, s in opened.values() if k == kind] for kind in ("door", "front_door")}
    everything = shapely.union_all([*walls.values(), *rooms.values()])
    x0, y0, x1, y1 = everything.bounds
    stated = _stated_unit(plan)
    if stated is not None:
        clues = [
            Clue("its doors", tuple(widths["door"] + widths["front_door"]), 0.5, 1.6, strong=True),
            Clue("the plan's overall size", (max(x1 - x0, y1 - y0),), 2.0, 500.0),
        ]
        return infer_scale([], clues, stated, where=reading.where), True
    net = _positive(plan.get("net_area_m2"))
    if net is not None:
        floor = shapely.union_all(list(inner.values())) if inner else None
        what = "its inner outline"
        if floor is None:
            indoor = [s for k, s in rooms.items() if not is_outdoors(k.rsplit("_", 1)[0])]
            floor, what = shapely.union_all(indoor), "its indoor rooms together"
        factor = math.sqrt(net / floor.area)
        reason = f"the stated net area of {net:g} m² over the area of {what}, {1 / factor:.2f} units per metre"
        return Scale(factor, f"1 unit = {factor:.4g} m", (reason,)), False
    return scale_from_doors(widths["door"], widths["front_door"], where=reading.where), False


def _without_slivers(reading: _Reading, rooms: Mapping[str, BaseGeometry]) -> dict[str, BaseGeometry]:
    kept: dict[str, BaseGeometry] = {}
    for key, shape in rooms.items():
        plain = without_slivers(shape, _SLIVER_M)
        parts = sorted(polygons_of(plain), key=lambda p: -p.area)
        if not parts or parts[0].area < 0.2:
            reading.note(
                "sliver of a room", (key,), "left out: it is narrower than 10 cm or smaller than 0.2 m²",
                "draw the room if it is one", missing=True,
            )  # fmt: skip
            continue
        lost = shape.area - parts[0].area
        if lost > 1e-3 * shape.area:
            reading.note(
                "slivers of a room", (key,), f"strips narrower than 10 cm, {lost:.2f} m² together, were cut off",
                "redraw the room's outline",
            )  # fmt: skip
            kept[key] = parts[0]
        else:
            kept[key] = max(polygons_of(shape), key=lambda p: p.area)
    return kept


def _room(key: str, shape: BaseGeometry, counts: Mapping[str, int]) -> DraftRoom:
    kind, number = key.rsplit("_", 1)
    word = kind.replace("_", " ").strip() or "room"
    name = f"{word} {int(number) + 1}" if counts[kind] > 1 else word
    outer, holes = rings_of(max(polygons_of(shape), key=lambda p: p.area), tolerance=1e-4)
    return DraftRoom(key, STOREY, name, outer, holes, indoors=not is_outdoors(word))


def _opening(key: str, kind: str, shape: BaseGeometry, rooms: Mapping[str, BaseGeometry]) -> DraftOpening:
    centre, along, width, depth = _box(shape)
    sure = width > 1.25 * depth
    word = kind.replace("_", " ")
    joins = _beside(centre, along, depth, rooms) if sure else ()
    return DraftOpening(
        key=key,
        storey_key=STOREY,
        name=f"{word} {int(key.rsplit('_', 1)[1]) + 1}",
        kind=_OPENINGS[kind],
        centre=centre,
        along_rad=along if sure else None,
        width_m=width,
        joins=joins,
        outside=True if kind == "front_door" else None,
        final_exit=True if kind == "front_door" else None,
    )


def _undrawn(reading: _Reading, gaps: Sequence[Gap], rooms: Mapping[str, BaseGeometry]) -> list[DraftOpening]:
    """Breaks in walls in which the file shows nothing."""
    found: list[DraftOpening] = []
    for number, gap in enumerate(gaps, start=1):
        joins = _beside(gap.centre, gap.along, gap.thickness, rooms)
        if joins[0] == joins[1]:
            continue
        kind = OpeningKind.DOOR if "outside" in joins else OpeningKind.PASSAGE
        taken = "a door to the outside" if kind is OpeningKind.DOOR else "a doorway without a leaf"
        key = f"gap_{number}"
        reading.note(
            "gap in a wall", (key,), f"nothing is drawn in a gap {gap.width:.2f} m wide between {' and '.join(joins)}: "
            f"taken for {taken}", "look what is there, and draw it",
        )  # fmt: skip
        found.append(
            DraftOpening(key, STOREY, f"gap {number}", kind, gap.centre, gap.along, gap.width, sill_m=0.0, joins=joins)
        )
    return found


def _beside(centre: XY, along: float, depth: float, rooms: Mapping[str, BaseGeometry]) -> tuple[str, ...]:
    """The room on either side of an opening, ``outside`` where there is none."""
    nx, ny = -math.sin(along), math.cos(along)
    sides: list[str] = []
    for sign in (1.0, -1.0):
        reach = depth / 2 + 0.15
        line = LineString([centre, (centre[0] + sign * nx * reach, centre[1] + sign * ny * reach)])
        tip = Point(line.coords[-1])
        near = [k for k, s in rooms.items() if s.distance(tip) < 0.05]
        sides.append(min(near, key=lambda k: rooms[k].distance(tip)) if near else "outside")
    return (sides[0], sides[1])


def _open_boundaries(rooms: Mapping[str, BaseGeometry], fabric: BaseGeometry) -> list[DraftOpening]:
    """Where two rooms touch with no wall between them they are open to each other."""
    found: list[DraftOpening] = []
    blocked = fabric.buffer(0.02)
    keys = list(rooms)
    for i, a in enumerate(keys):
        for b in keys[i + 1 :]:
            if rooms[a].distance(rooms[b]) > 0.06:
                continue
            shared = rooms[a].boundary.intersection(rooms[b].buffer(0.06)).difference(blocked)
            for number, (p, q) in enumerate(_straight(shared), start=1):
                if is_outdoors(a.rsplit("_", 1)[0]) or is_outdoors(b.rsplit("_", 1)[0]):
                    continue
                found.append(
                    DraftOpening(
                        key=f"open_{a}_{b}_{number}",
                        storey_key=STOREY,
                        name=f"open boundary {a.replace('_', ' ')} – {b.replace('_', ' ')}",
                        kind=OpeningKind.PASSAGE,
                        centre=((p[0] + q[0]) / 2, (p[1] + q[1]) / 2),
                        along_rad=math.atan2(q[1] - p[1], q[0] - p[0]),
                        width_m=math.dist(p, q),
                        sill_m=0.0,
                        joins=(a, b),
                    )
                )
    return found


def _straight(lines: BaseGeometry) -> list[tuple[XY, XY]]:
    merged = shapely.line_merge(lines) if lines.geom_type == "MultiLineString" else lines
    pieces = (
        [merged]
        if isinstance(merged, LineString)
        else [g for g in getattr(merged, "geoms", ()) if isinstance(g, LineString)]
    )
    runs: list[tuple[XY, XY]] = []
    for line in pieces:
        xy = [(float(c[0]), float(c[1])) for c in shapely.simplify(line, 0.03).coords]
        runs += [(p, q) for p, q in pairwise(xy) if math.dist(p, q) >= 0.5]
    return runs


def _check_connections(reading: _Reading, plan: Mapping[str, Any], openings: Sequence[DraftOpening]) -> None:
    """What the file's own list of connections says and the drawing does not show."""
    listed = plan.get("connections")
    if not isinstance(listed, list):
        return
    shown = {frozenset(o.joins) for o in openings}
    fronts = {j for o in openings if o.final_exit for j in o.joins}
    for entry in listed:
        if not isinstance(entry, Mapping):
            continue
        a, b = str(entry.get("source", "")), str(entry.get("target", ""))
        if b.startswith("front_door"):
            seen = a in fronts
        elif a.startswith("front_door"):
            seen = b in fronts
        else:
            seen = frozenset((a, b)) in shown
        if not seen:
            reading.note(
                "connection listed but not drawn", (a, b), "left out: the drawing shows no opening between them",
                "look whether there is a door, and draw it", missing=True,
            )  # fmt: skip


def _walls(axes: Sequence[Axis], real: BaseGeometry | None = None) -> list[DraftWall]:
    walls: list[DraftWall] = []
    for number, axis in enumerate(axes, start=1):
        middle = axis.line.interpolate(0.5, normalized=True)
        assumed = real is not None and axis.body().intersection(real).area < 0.5 * axis.body().area
        assumed = assumed and not (real is not None and real.buffer(0.01).contains(middle))
        walls.append(DraftWall(f"wall_{number}", STOREY, axis.points, axis.thickness, assumed=assumed))
    return walls


# --- walls with slabs -------------------------------------------------------------------------------------------------


def _from_walls(
    reading: _Reading, plan: Mapping[str, Any], given: Scale | None
) -> tuple[list[DraftWall], list[DraftRoom], list[DraftOpening]]:
    listed = plan["walls"]
    if not isinstance(listed, list) or not listed:
        raise IntakeError("“walls” holds no wall; expected a list of wall outlines", where=reading.where)
    bodies: list[BaseGeometry] = []
    for k, entry in enumerate(listed):
        name = f"wall {entry.get('id', k + 1)}" if isinstance(entry, Mapping) else f"wall {k + 1}"
        if isinstance(entry, Mapping):
            _check_figures(reading, entry, name)
        shape = _shape(reading, entry, name)
        if not shape.is_empty:
            bodies.append(shape)
    if not bodies:
        raise IntakeError("none of the walls has an outline that can be used", where=reading.where)
    slabs = [
        _shape(reading, s, f"slab {k}") for k, s in enumerate(_listed(reading, plan.get("slabs"), "slabs"), start=1)
    ]
    if given is None:
        x0, y0, x1, y1 = shapely.union_all(bodies).bounds
        clues = [
            Clue("the walls' thicknesses", tuple(_short_side(b.minimum_rotated_rectangle) for b in bodies), 0.04, 0.8),
            Clue("the plan's overall size", (max(x1 - x0, y1 - y0),), 2.0, 500.0),
        ]
        stated = _stated_unit(plan)
        _settle_scale(reading, infer_scale([], clues, stated, where=reading.where), stated is not None)
    else:
        _settle_scale(reading, given, True)
    _check_size(reading, bodies)
    solid = _scaled(shapely.union_all(bodies), reading.scale)
    solid = closed_up(solid, 0.01)
    floor = _scaled(shapely.union_all([s for s in slabs if not s.is_empty]), reading.scale) if slabs else Polygon()
    facade = _facade(floor, solid)
    if facade.area > 0.0:
        reading.note(
            "outside wall", ("the slab's edge",),
            f"where the slab's edge has no wall a light outside wall of {_FACADE_M:g} m was set; "
            "what is in it (windows, doors) is not known",
            "survey the outside walls and their openings",
        )  # fmt: skip
    whole = closed_up(shapely.union_all([solid, facade]), 0.01)
    axes = wall_axes(whole)
    gaps = wall_gaps(axes, whole)
    if gaps:
        widths = f"{gaps[0].width:.2f} to {gaps[-1].width:.2f} m"
        reading.note(
            "doorways", tuple(f"gap_{k}" for k in range(1, len(gaps) + 1)),
            f"{len(gaps)} gaps in walls, {widths} wide, were taken for doorways without a leaf",
            "say which of them have a door",
        )  # fmt: skip
    openings = [
        DraftOpening(f"gap_{k}", STOREY, f"gap {k}", OpeningKind.PASSAGE, g.centre, g.along, g.width, sill_m=0.0)
        for k, g in enumerate(gaps, start=1)
    ]
    closed = shapely.union_all([whole, *(g.strip() for g in gaps)])
    return _walls(wall_axes(closed), solid if facade.area else None), [], openings


def _check_figures(reading: _Reading, entry: Mapping[str, Any], name: str) -> None:
    for key in ("thickness", "angle", "length"):
        value = entry.get(key)
        if value is not None and (
            isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value)
        ):
            reading.note(
                key, (name,), f"the file says {_short(value)}, not a number: taken from the outline instead",
                f"correct the {key} of this wall",
            )  # fmt: skip


def _facade(floor: BaseGeometry, solid: BaseGeometry) -> BaseGeometry:
    """A band along the slab's edge wherever no wall stands there."""
    if floor.is_empty:
        return Polygon()
    inner = grown(floor, -_FACADE_M)
    band = floor.difference(inner).difference(solid)
    band = without_slivers(band, 0.05)
    return shapely.union_all([p for p in polygons_of(band) if p.area > 0.5 * _FACADE_M * 0.3])


# --- an outline with holes --------------------------------------------------------------------------------------------


def _from_outline(
    reading: _Reading, plan: Mapping[str, Any], given: Scale | None, name: str
) -> tuple[list[DraftWall], list[DraftRoom], list[DraftOpening]]:
    shape = _shape(reading, {"ring": plan["outline"], "holes": plan.get("holes")}, "outline")
    if shape.is_empty:
        raise IntakeError("the outline has no area", where=reading.where)
    if given is None:
        stated = _stated_unit(plan)
        area = _positive(plan.get("net_area_m2"))
        if stated is None and area is None:
            raise IntakeError(NO_UNIT, where=reading.where)
        if stated is None and area is not None:
            factor = math.sqrt(area / shape.area)
            given = Scale(factor, f"1 unit = {factor:.4g} m", (f"the stated net area of {area:g} m²",))
            _settle_scale(reading, given, False)
        elif stated is not None:
            _settle_scale(reading, Scale(UNITS_M[stated], stated, ("stated",)), True)
    else:
        _settle_scale(reading, given, True)
    _check_size(reading, [shape])
    plain = _scaled(shape, reading.scale)
    outer, holes = rings_of(max(polygons_of(plain), key=lambda p: p.area), tolerance=0.0)
    reading.note(
        "walls", (), "the file gives outlines only; walls are put up round them, openings are not known",
        "survey the openings", missing=True,
    )  # fmt: skip
    return [], [DraftRoom("room_1", STOREY, name or "room", outer, holes)], []
