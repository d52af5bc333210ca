"""What joins what: open boundaries between rooms, dwellings of one building, stairs in their rooms."""

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import linemerge

from wardwright.intake.room_outlines import Floor
from wardwright.model import XY
from wardwright.premises.fabric import RoomUse

TOUCH_M = 0.05
"""Rooms drawn this near each other touch. [m]"""
WALKABLE_M = 0.50
"""An open boundary shorter than this lets nobody through. [m]"""
LIVED_IN = frozenset(
    {RoomUse.KITCHEN, RoomUse.BATHROOM, RoomUse.BEDROOM, RoomUse.LIVING, RoomUse.DINING, RoomUse.OFFICE, RoomUse.SHOP}
)


@dataclass(frozen=True)
class OpenBoundary:
    """Where two rooms meet and nothing stands between them."""

    first: Floor
    second: Floor
    start: XY
    end: XY


def open_boundaries(floors: Sequence[Floor], walls: BaseGeometry) -> list[OpenBoundary]:
    """Stretches along which rooms of one storey meet without a wall.

    Parameters
    ----------
    floors : sequence of Floor
        Rooms of one storey.
    walls : BaseGeometry
        Bodies of the walls of that storey. [m]

    Returns
    -------
    list of OpenBoundary
        Straight stretches wide enough for a person.
    """
    solid = walls.buffer(0.03)
    found: list[OpenBoundary] = []
    for n, first in enumerate(floors):
        near = first.shape.buffer(TOUCH_M)
        for second in floors[n + 1 :]:
            if not near.intersects(second.shape) or min(first.high, second.high) - max(first.low, second.low) < 1.5:
                continue
            if not (first.draft.indoors or second.draft.indoors):
                continue
            edge = second.shape.boundary.intersection(near).difference(solid)
            for start, end in _stretches(edge):
                found.append(OpenBoundary(first, second, start, end))
    return found


def _stretches(edge: BaseGeometry) -> Iterable[tuple[XY, XY]]:
    lines = [g for g in getattr(edge, "geoms", [edge]) if isinstance(g, LineString) and g.length > 1e-6]
    if not lines:
        return
    merged = linemerge(lines) if len(lines) > 1 else lines[0]
    for line in getattr(merged, "geoms", [merged]):
        points = list(line.simplify(0.02).coords)
        for a, b in itertools.pairwise(points):
            if math.dist(a, b) >= WALKABLE_M:
                yield (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))


def dwellings(floors: Sequence[Floor], joins: Iterable[tuple[str, str]], entered: Iterable[str]) -> dict[str, str]:
    """Which rooms belong to which customer, where a building holds several.

    Rooms joined by inner doors, open boundaries and stairs are one group. A group is a dwelling when it has a way in
    of its own and is lived in. One group, or none: the building is one customer's.

    Parameters
    ----------
    floors : sequence of Floor
        Rooms.
    joins : iterable of pair of str
        Keys of rooms one walks between indoors.
    entered : iterable of str
        Keys of rooms with a door to the outside.

    Returns
    -------
    dict of str to str
        Dwelling by room key; empty where there is only one.
    """
    keys = [f.key for f in floors if f.draft.indoors]
    group = {k: k for k in keys}

    def root(k: str) -> str:
        while group[k] != k:
            k = group[k]
        return k

    for a, b in joins:
        if a in group and b in group:
            group[root(a)] = root(b)
    members: dict[str, list[Floor]] = {}
    for floor in floors:
        if floor.key in group:
            members.setdefault(root(floor.key), []).append(floor)
    doors = set(entered)
    real = [
        m
        for m in members.values()
        if any(f.key in doors for f in m) and len(m) >= 2 and sum(f.draft.use in LIVED_IN for f in m) >= 2
    ]
    if len(real) < 2:
        return {}
    names = _names(real)
    found = {f.key: name for m, name in zip(real, names, strict=True) for f in m}
    # A room nobody walks into from outside goes with the dwelling it lies nearest to.
    for floor in floors:
        if floor.draft.indoors and floor.key not in found and not doors & {f.key for f in members[root(floor.key)]}:
            distances = {
                name: min(f.shape.distance(floor.shape) + 3.0 * abs(f.low - floor.low) for f in group_of)
                for group_of, name in zip(real, names, strict=True)
            }
            found[floor.key] = min(distances, key=lambda name: distances[name])
    return found


def _names(groups: Sequence[Sequence[Floor]]) -> list[str]:
    """A dwelling's name: what its rooms' numbers begin with, or a number."""
    stems = []
    for group in groups:
        numbers = [w for f in group for w in f.draft.name.split() if any(c.isdigit() for c in w) and w[0].isalpha()]
        stem = _common_start(numbers).rstrip("0123456789.-") if len(numbers) >= 0.8 * len(group) else ""
        stems.append(stem)
    if all(stems) and len(set(stems)) == len(stems):
        return stems
    return [f"dwelling {n}" for n in range(1, len(groups) + 1)]


def _common_start(words: Sequence[str]) -> str:
    start = words[0]
    for word in words:
        while not word.startswith(start):
            start = start[:-1]
    return start


def into_room(point: XY, floors: Sequence[Floor], *, reach: float = 1.2) -> tuple[Floor | None, XY]:
    """The room a point lies in, or the nearest one with the point moved just inside it.

    Parameters
    ----------
    point : XY
        On plan. [m]
    floors : sequence of Floor
        Rooms of the storey.
    reach : float
        Furthest a point is moved. [m]

    Returns
    -------
    tuple
        Room or None, and the point.
    """
    spot = Point(point)
    inside = [f for f in floors if f.shape.contains(spot)]
    if inside:
        return min(inside, key=lambda f: f.shape.area), point
    near = min(floors, key=lambda f: f.shape.distance(spot), default=None)
    if near is None or near.shape.distance(spot) > reach:
        return None, point
    core: Polygon | BaseGeometry = near.shape.buffer(-0.25)
    core = near.shape.representative_point() if core.is_empty else core
    moved = shapely.ops.nearest_points(core, spot)[0]
    return near, (float(moved.x), float(moved.y))
