"""Gaps in walls: where a wall stops and goes on again a door's or a window's width further."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from wardwright.intake.wall_axes import Axis
from wardwright.model import XY

SHORTEST_M = 0.35
DOOR_LIKE_M = 1.30
"""A gap no wider than this may be taken for a doorway where nothing is drawn in it. [m]"""


@dataclass(frozen=True)
class Gap:
    """A break in a wall."""

    start: XY
    end: XY
    thickness: float
    """Of the wall that stops. [m]"""
    in_line: bool
    """The wall goes on beyond in the same line; False: it meets the face of another."""

    @property
    def width(self) -> float:
        """Clear width. [m]"""
        return math.dist(self.start, self.end)

    @property
    def centre(self) -> XY:
        """Middle of the gap. [m]"""
        return ((self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2)

    @property
    def along(self) -> float:
        """Direction of the wall. [rad]"""
        return math.atan2(self.end[1] - self.start[1], self.end[0] - self.start[0])

    def strip(self, beyond: float = 0.02) -> BaseGeometry:
        """The ground the wall would cover if it went on. [m]"""
        ux, uy = math.cos(self.along), math.sin(self.along)
        a = (self.start[0] - ux * beyond, self.start[1] - uy * beyond)
        b = (self.end[0] + ux * beyond, self.end[1] + uy * beyond)
        return LineString([a, b]).buffer(self.thickness / 2, cap_style="flat")


def wall_gaps(
    axes: Sequence[Axis], solid: BaseGeometry, *, shortest: float = SHORTEST_M, longest: float = DOOR_LIKE_M
) -> list[Gap]:
    """Breaks in walls, each found once, shortest first.

    Parameters
    ----------
    axes : sequence of Axis
        Walls of one storey.
    solid : BaseGeometry
        Their bodies together. [m]
    shortest, longest : float
        Limits of the clear width. [m]

    Returns
    -------
    list of Gap
        From every free end of a wall straight on to the next wall, where that lies within the limits.
    """
    shapely.prepare(solid)
    tips = [tip for a in axes for tip in _tips(a)]
    spots = shapely.STRtree([Point(t) for t, _, _ in tips])
    found: list[Gap] = []
    for tip, before, thickness in tips:
        length = math.dist(tip, before)
        if length < 1e-9:
            continue
        ux, uy = (tip[0] - before[0]) / length, (tip[1] - before[1]) / length
        start = (tip[0] + ux * 0.005, tip[1] + uy * 0.005)
        if solid.intersects(Point(start)):
            continue
        ahead = LineString([start, (tip[0] + ux * (longest + 0.01), tip[1] + uy * (longest + 0.01))])
        hit = ahead.intersection(solid)
        if hit.is_empty:
            continue
        width = Point(tip).distance(hit)
        if not shortest <= width <= longest:
            continue
        end = (tip[0] + ux * width, tip[1] + uy * width)
        beyond = spots.query(Point(end), predicate="dwithin", distance=0.6 * thickness + 0.02)
        in_line = any(_same_line(tips[k][0], tips[k][1], ux, uy) for k in beyond)
        found.append(Gap(tip, end, thickness, in_line))
    order = sorted(range(len(found)), key=lambda k: (not found[k].in_line, found[k].width))
    lines = [LineString([g.start, g.end]) for g in found]
    tree = shapely.STRtree(lines)
    kept: set[int] = set()
    for k in order:
        near = [int(j) for j in tree.query(lines[k], predicate="dwithin", distance=0.15) if j in kept]
        if not any(math.dist(found[k].centre, found[j].centre) < 0.15 or lines[k].crosses(lines[j]) for j in near):
            kept.add(k)
    return sorted((found[k] for k in kept), key=lambda g: g.width)


def _tips(axis: Axis) -> list[tuple[XY, XY, float]]:
    """Ends of a wall with the point before each, and the wall's thickness; of a pier, all four sides."""
    length = axis.line.length
    if length < 0.5 * axis.thickness:
        return []
    tips = [(axis.points[at], axis.points[before], axis.thickness) for at, before in ((0, 1), (-1, -2))]
    if length <= 1.3 * axis.thickness:
        (x0, y0), (x1, y1) = axis.points[0], axis.points[-1]
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        nx, ny = -(y1 - y0) / length * axis.thickness / 2, (x1 - x0) / length * axis.thickness / 2
        tips += [((middle[0] + s * nx, middle[1] + s * ny), middle, length) for s in (1.0, -1.0)]
    return tips


def _same_line(tip: XY, before: XY, ux: float, uy: float) -> bool:
    length = math.dist(tip, before)
    return length > 1e-9 and abs(ux * (tip[1] - before[1]) - uy * (tip[0] - before[0])) < 0.05 * length
