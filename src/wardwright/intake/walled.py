"""Walls drawn by hand, corner by corner or round a room: put up where none stands yet."""

import math
from collections.abc import Sequence
from itertools import pairwise

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.errors import GeometryError
from wardwright.intake.report import Ids
from wardwright.model import XY
from wardwright.premises.fabric import Wall
from wardwright.premises.model import Premises

SHORTEST_M = 0.10
"""What is left of a wall beside one that stands already is not put up if it is shorter. [m]"""
_PARALLEL = math.sin(math.radians(2.0))


def walled(
    premises: Premises,
    storey_id: str,
    line: Sequence[XY],
    *,
    closed: bool,
    thickness_m: float,
    inner: bool = False,
    used: frozenset[str] = frozenset(),
) -> tuple[Wall, ...]:
    """New walls along a line, left out where a wall stands already.

    Parameters
    ----------
    premises : Premises
        The building.
    storey_id : str
        Storey they stand on.
    line : sequence of XY
        Corners. [m]
    closed : bool
        The line runs back to its first corner.
    thickness_m : float
        Thickness of each. [m]
    inner : bool
        The line follows the inner faces of a room, as a tape does; otherwise the middles of the walls.
    used : frozenset of str
        Ids that may not be given again.

    Returns
    -------
    tuple of Wall
        One for each straight stretch; none where every stretch stands already.

    Raises
    ------
    GeometryError
        If the line crosses itself or has no length.
    """
    premises.storey(storey_id)
    corners = _axis(line, closed=closed, shift=thickness_m / 2 if inner else 0.0)
    standing = [w for w in premises.walls if w.storey_id == storey_id]
    ids = Ids()
    ids.given |= used | premises.ids
    new: list[Wall] = []
    for a, b in pairwise(corners):
        for start, end in _bare(a, b, standing, thickness_m):
            new.append(Wall(id=ids.number("wall"), storey_id=storey_id, axis=(start, end), thickness_m=thickness_m))
    return tuple(new)


def _axis(line: Sequence[XY], *, closed: bool, shift: float) -> list[XY]:
    points = [p for n, p in enumerate(line) if n == 0 or math.dist(p, line[n - 1]) > 1e-6]
    if closed and len(points) > 1 and math.dist(points[0], points[-1]) < 1e-6:
        points.pop()
    if len(points) < (3 if closed else 2):
        raise GeometryError("a wall needs two corners, a room three", where="line")
    if not closed:
        return points
    ring = Polygon(points)
    if not ring.is_valid or ring.area < 0.05:
        raise GeometryError("the walls cross each other, or close off nothing", where="line")
    if shift:
        grown = ring.buffer(shift, join_style="mitre", mitre_limit=20.0)
        points = [(round(x, 4), round(y, 4)) for x, y, *_ in grown.exterior.coords][:-1]
    return [*points, points[0]]


def _bare(a: XY, b: XY, standing: Sequence[Wall], thickness_m: float) -> list[tuple[XY, XY]]:
    """The stretches of a line along which no wall stands."""
    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    covered: list[BaseGeometry] = []
    for wall in standing:
        for p, q in pairwise(wall.axis):
            reach = math.dist(p, q)
            if reach > 0 and abs((q[0] - p[0]) * uy - (q[1] - p[1]) * ux) / reach < _PARALLEL:
                near = max(wall.thickness_m, thickness_m) / 2 + 0.02
                covered.append(LineString([p, q]).buffer(near, cap_style="flat"))
    whole = LineString([a, b])
    left = whole.difference(shapely.union_all(covered)) if covered else whole
    found = []
    for part in getattr(left, "geoms", [left]):
        if part.length >= SHORTEST_M:
            start, end = part.coords[0], part.coords[-1]
            found.append(((float(start[0]), float(start[1])), (float(end[0]), float(end[1]))))
    return found
