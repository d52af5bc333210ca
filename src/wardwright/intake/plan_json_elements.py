"""A JSON plan whose polygons are sorted by kind: walls, doors, windows, rooms by their own names."""

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from wardwright.errors import IntakeError
from wardwright.intake.draft import DraftOpening, DraftRoom, DraftWall
from wardwright.intake.names import is_outdoors
from wardwright.intake.plan_json_parts import (
    STOREY,
    Reading,
    box_of,
    check_size,
    drafted_walls,
    positive,
    scaled,
    settle_scale,
    shapes_of,
    stated_unit,
)
from wardwright.intake.rooms_from_walls import rings_of
from wardwright.intake.unit_evidence import Clue, Scale, infer_scale, scale_from_doors
from wardwright.intake.wall_axes import closed_up, polygons_of, wall_axes, without_slivers
from wardwright.intake.wall_gaps import Gap, wall_gaps
from wardwright.model import XY
from wardwright.premises.openings import OpeningKind

_OPENINGS = {
    "door": OpeningKind.DOOR,
    "front_door": OpeningKind.DOOR,
    "window": OpeningKind.WINDOW,
    "garage_door": OpeningKind.GARAGE_DOOR,
    "opening": OpeningKind.PASSAGE,
    "passage": OpeningKind.PASSAGE,
}
_NOT_ROOMS = {"wall", "walls", "inner", "outer", "land", "neighbor", "neighbour", "graph", "parcel", "plot"}
_SLIVER_M = 0.05


def from_elements(
    reading: Reading, plan: Mapping[str, Any], elements: Mapping[str, Any], given: Scale | None
) -> tuple[list[DraftWall], list[DraftRoom], list[DraftOpening]]:
    """Walls, rooms and openings of a plan with ``elements``.

    Parameters
    ----------
    reading : Reading
        Takes the scale and every guess.
    plan : Mapping
        The plan.
    elements : Mapping
        Lists of polygons by kind.
    given : Scale, optional
        What a person asked for.
    """
    walls = {k: s for kind in ("wall", "walls") for k, s in shapes_of(reading, elements, kind).items()}
    opened = {k: (kind, s) for kind in _OPENINGS for k, s in shapes_of(reading, elements, kind).items()}
    kinds = [k for k in elements if k not in _OPENINGS and k not in _NOT_ROOMS]
    rooms = {k: s for kind in kinds for k, s in shapes_of(reading, elements, kind).items()}
    if not rooms and not walls:
        raise IntakeError("the plan has neither rooms nor walls", where=reading.where)
    inner = shapes_of(reading, elements, "inner")
    settle_scale(reading, *_element_scale(reading, plan, given, walls, opened, rooms, inner))
    check_size(reading, [*walls.values(), *rooms.values()])
    factor = reading.scale
    walls = {k: scaled(s, factor) for k, s in walls.items()}
    rooms = _without_slivers(reading, {k: scaled(s, factor) for k, s in rooms.items()})
    holes = {k: (kind, scaled(s, factor)) for k, (kind, s) in opened.items()}
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
        drafted = drafted_walls(axes)
    fabric = shapely.union_all([*walls.values(), *(s for _, s in holes.values())])
    openings += _open_boundaries(rooms, fabric)
    _check_connections(reading, plan, openings)
    counts: dict[str, int] = {}
    for key in rooms:
        counts[key.rsplit("_", 1)[0]] = counts.get(key.rsplit("_", 1)[0], 0) + 1
    return drafted, [_room(key, shape, counts) for key, shape in rooms.items()], openings


def _element_scale(
    reading: Reading,
    plan: Mapping[str, Any],
    given: Scale | None,
    walls: Mapping[str, BaseGeometry],
    opened: Mapping[str, tuple[str, BaseGeometry]],
    rooms: Mapping[str, BaseGeometry],
    inner: Mapping[str, BaseGeometry],
) -> tuple[Scale, bool]:
    if given is not None:
        return given, True
    widths = {kind: [box_of(s)[2] for k, s in opened.values() if k == kind] for kind in ("door", "front_door")}
    everything = shapely.union_all([*walls.values(), *rooms.values()])
    x0, y0, x1, y1 = everything.bounds
    stated = stated_unit(plan)
    if stated is not None:
        clues = [
            Clue("its doors", tuple(widths["door"] + widths["front_door"]), 0.5, 1.6, strong=True),
            Clue("the plan's overall size", (max(x1 - x0, y1 - y0),), 2.0, 500.0),
        ]
        return infer_scale([], clues, stated, where=reading.where), True
    net = positive(plan.get("net_area_m2"))
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


def _without_slivers(reading: Reading, rooms: Mapping[str, BaseGeometry]) -> dict[str, BaseGeometry]:
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
    centre, along, width, depth = box_of(shape)
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


def _undrawn(reading: Reading, gaps: Sequence[Gap], rooms: Mapping[str, BaseGeometry]) -> list[DraftOpening]:
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


def _check_connections(reading: Reading, plan: Mapping[str, Any], openings: Sequence[DraftOpening]) -> None:
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
