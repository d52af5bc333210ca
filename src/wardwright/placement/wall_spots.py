"""Places on the walls of a room where a detector can hang: its corners, and along walls too long to leave bare."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from wardwright.model import XY
from wardwright.premises.model import Premises
from wardwright.premises.plan import StoreyPlan, storey_plans
from wardwright.worked_out import once

OFF_M = 0.08
"""In front of the wall. [m]"""
LONG_M = 4.0
"""A wall longer than this gets spots along it, no farther apart. Assumption. [m]"""
CORNER_DEG = 150.0
"""A vertex whose inner angle is below this is a corner. [°]"""
HOLD_M = 0.25
"""A spot has solid wall within this. [m]"""
LEAST_M2 = 1.0
"""Smaller rooms are left out. [m²]"""


IN_WALL = 0.005
"""Share of a room that may lie within walls before it is taken for drawn to their middles. [-]"""


@dataclass(frozen=True)
class WallSpot:
    """A place on a wall, looking into the room."""

    id: str
    storey_id: str
    room_id: str
    position: XY
    heading_rad: float
    """Away from the wall, or along the bisector of the corner. [rad]"""
    walls: tuple[tuple[float, float], ...] = ()
    """In a corner, the two walls that meet there: the way each runs from it [rad], and its length [m]."""


@once(4)
def wall_spots(premises: Premises) -> tuple[WallSpot, ...]:
    """Every spot of every room indoors. Worked out once for each premises value.

    Parameters
    ----------
    premises : Premises
        The building.

    Returns
    -------
    tuple of WallSpot
        Room by room; none where a room is open towards its neighbour and there is no wall.
    """
    return tuple(spot for plan in storey_plans(premises).values() for spot in _storey_spots(plan))


def slid(premises: Premises, room_id: str, place: XY, by: float) -> XY | None:
    """A place on a room's wall moved along it.

    Parameters
    ----------
    premises : Premises
        The building.
    room_id : str
        The room.
    place : (float, float)
        On its wall. [m]
    by : float
        Along the wall, round corners too. [m]

    Returns
    -------
    (float, float) or None
        As far in front of the wall as spots are; None where there is no solid wall there, or an opening.
    """
    plan = next(p for p in storey_plans(premises).values() if room_id in p.room_shapes)
    shape = _between_faces(plan.room_shapes[room_id], plan.solid())
    ring = _turned(shape).exterior
    at = (ring.project(Point(place)) + by) % ring.length
    here, ahead = ring.interpolate(at), ring.interpolate((at + 0.05) % ring.length)
    look = math.atan2(ahead.y - here.y, ahead.x - here.x) + math.pi / 2.0
    spot = Point(here.x + OFF_M * math.cos(look), here.y + OFF_M * math.sin(look))
    solid = plan.solid()
    free = shape.contains(spot) and solid.distance(spot) <= HOLD_M and not solid.contains(spot)
    if not free or any(s.outline.distance(spot) <= OFF_M for s in plan.openings):
        return None
    return (round(spot.x, 3), round(spot.y, 3))


def _between_faces(shape: Polygon, solid: BaseGeometry) -> Polygon:
    """A room between the faces of its walls, where it was drawn to their middles."""
    if shape.intersection(solid).area < IN_WALL * shape.area:
        return shape
    parts = [p for p in shapely.get_parts(shape.difference(solid)) if isinstance(p, Polygon)]
    return max(parts, key=lambda p: p.area, default=shape)


def _storey_spots(plan: StoreyPlan) -> Iterator[WallSpot]:
    solid = plan.solid()
    shapely.prepare(solid)
    holes = shapely.union_all([s.outline for s in plan.openings]) if plan.openings else Polygon()
    for room in plan.rooms:
        shape = _between_faces(plan.room_shapes[room.id], solid)
        if not room.indoors or shape.area < LEAST_M2:
            continue
        kept: list[XY] = []
        for (x, y), heading, walls in _around(shape):
            spot = Point(x, y)
            free = shape.contains(spot) and solid.distance(spot) <= HOLD_M and not solid.contains(spot)
            if free and holes.distance(spot) > OFF_M and all(math.dist((x, y), k) > 1.0 for k in kept):
                kept.append((x, y))
                key = f"{room.id}-{len(kept)}"
                yield WallSpot(key, plan.storey.id, room.id, (round(x, 3), round(y, 3)), heading, walls)


def _around(shape: Polygon) -> Iterator[tuple[XY, float, tuple[tuple[float, float], ...]]]:
    """Corners first, then points along long walls; each with the way it looks, corners with their walls."""
    points = list(_turned(shape).exterior.coords)[:-1]
    count = len(points)
    for i in range(count):
        before, here, after = points[i - 1], points[i], points[(i + 1) % count]
        back = math.atan2(before[1] - here[1], before[0] - here[0])
        ahead = math.atan2(after[1] - here[1], after[0] - here[0])
        inner = (back - ahead) % (2.0 * math.pi)
        if inner < math.radians(CORNER_DEG):
            look = ahead + inner / 2.0
            out = OFF_M / max(0.3, math.sin(inner / 2.0))
            walls = ((ahead, math.dist(here, after)), (back, math.dist(here, before)))
            yield (here[0] + out * math.cos(look), here[1] + out * math.sin(look)), look % (2.0 * math.pi), walls
    for a, b in pairwise([*points, points[0]]):
        line = LineString([a, b])
        pieces = math.ceil(line.length / LONG_M)
        if line.length <= LONG_M:
            continue
        look = math.atan2(b[1] - a[1], b[0] - a[0]) + math.pi / 2.0
        for k in range(1, pieces):
            at = line.interpolate(k / pieces, normalized=True)
            yield (at.x + OFF_M * math.cos(look), at.y + OFF_M * math.sin(look)), look % (2.0 * math.pi), ()


def _turned(shape: Polygon) -> Polygon:
    simple: BaseGeometry = shape.simplify(0.05)
    assert isinstance(simple, Polygon)
    return orient(simple)
