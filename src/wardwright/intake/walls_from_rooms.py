"""Walls put up round rooms of which only the outlines are known."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from shapely import LineString, Polygon

from wardwright.intake.draft import DraftOpening, DraftRoom, DraftWall
from wardwright.intake.rooms_from_walls import rings_of
from wardwright.intake.wall_axes import polygons_of
from wardwright.model import XY

INNER_THICKNESS_M = 0.10
"""Assumed where two rooms share an edge. [m]"""
OUTER_THICKNESS_M = 0.25
"""Assumed where nothing lies beyond. [m]"""
THICKEST_M = 0.60
"""Rooms further apart than this have no wall in common, unless an opening joins them. [m]"""
THICKEST_WITH_OPENING_M = 1.20
SHARED_M = 0.03
"""Edges closer than this are one and the same edge. [m]"""
_PARALLEL = math.sin(math.radians(3.0))


@dataclass
class _Edge:
    room: DraftRoom
    start: XY
    ux: float
    uy: float
    length: float
    hole: bool
    spans: list[tuple[float, float, float, "_Edge | None"]] = field(default_factory=list)
    """From, to, distance to the edge that faces it, and that edge."""

    def at(self, along: float, across: float = 0.0) -> XY:
        """Point at a distance along the edge and outward from the room."""
        return (self.start[0] + self.ux * along + self.uy * across, self.start[1] + self.uy * along - self.ux * across)

    def project(self, p: XY) -> tuple[float, float]:
        """Distance along the edge, and outward from the room."""
        dx, dy = p[0] - self.start[0], p[1] - self.start[1]
        return dx * self.ux + dy * self.uy, dx * self.uy - dy * self.ux


def walls_from_rooms(
    rooms: Sequence[DraftRoom], openings: Sequence[DraftOpening], *, outer_thickness_m: float = OUTER_THICKNESS_M
) -> tuple[DraftWall, ...]:
    """Walls that would enclose the rooms as outlined.

    Parameters
    ----------
    rooms : sequence of DraftRoom
        Rooms that share edges, or stand a wall's thickness apart.
    openings : sequence of DraftOpening
        One that lies between two rooms shows that a thick wall stands there.
    outer_thickness_m : float
        Thickness of walls with nothing beyond them. [m]

    Returns
    -------
    tuple of DraftWall
        All with ``assumed`` set: an inner wall where rooms share an edge or face each other across a wall's thickness,
        an outside wall along every other edge of an indoor room.
    """
    walls: list[DraftWall] = []
    for storey_key in dict.fromkeys(r.storey_key for r in rooms):
        here = [r for r in rooms if r.storey_key == storey_key]
        edges = [e for room in here for e in _edges(room)]
        spots = [o.centre for o in openings if o.storey_key == storey_key and o.centre is not None]
        for edge in edges:
            edge.spans = _tidied(_facing(edge, edges, spots))
        done: set[tuple[int, int]] = set()
        number = 0
        for edge in edges:
            for low, high, gap, other in edge.spans:
                wall = _wall(edge, low, high, gap, other, outer_thickness_m)
                if wall is None or (id(other), id(edge)) in done:
                    continue  # already put up from the other side
                done.add((id(edge), id(other)))
                number += 1
                axis, thickness, outside = wall
                key = f"{storey_key}-wall-{number}"
                walls.append(
                    DraftWall(key, storey_key, axis, thickness, base_m=edge.room.base_m, outside=outside, assumed=True)
                )
    return tuple(walls)


def _edges(room: DraftRoom) -> list[_Edge]:
    edges: list[_Edge] = []
    for part in polygons_of(Polygon(room.outline, room.holes).buffer(0)):
        outer, holes = rings_of(part, tolerance=0.002)
        for ring, is_hole in ((outer, False), *((h, True) for h in holes)):
            for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
                length = math.dist(a, b)
                if length > 0.02:
                    edges.append(_Edge(room, a, (b[0] - a[0]) / length, (b[1] - a[1]) / length, length, is_hole))
    return edges


def _facing(edge: _Edge, edges: Sequence[_Edge], spots: Sequence[XY]) -> list[tuple[float, float, float, _Edge | None]]:
    """Stretches of the edge with what faces them, nearest first; the rest faces nothing."""
    seen: list[tuple[float, float, float, _Edge]] = []
    for other in edges:
        if other is edge or edge.ux * other.ux + edge.uy * other.uy > 0:
            continue
        if abs(edge.ux * other.uy - edge.uy * other.ux) > _PARALLEL:
            continue
        s0, d0 = edge.project(other.start)
        s1, d1 = edge.project(other.at(other.length))
        low, high, gap = max(0.0, min(s0, s1)), min(edge.length, max(s0, s1)), (d0 + d1) / 2
        if high - low < 0.02 or gap < -SHARED_M:
            continue
        if other.room is edge.room and gap < SHARED_M:
            continue
        limit = THICKEST_M
        if gap > THICKEST_M and any(_between(edge, spot, low, high, gap) for spot in spots):
            limit = THICKEST_WITH_OPENING_M
        if gap <= limit:
            seen.append((low, high, max(gap, 0.0), other))
    free = [(0.0, edge.length)]
    spans: list[tuple[float, float, float, _Edge | None]] = []
    for low, high, gap, other in sorted(seen, key=lambda s: s[2]):
        left: list[tuple[float, float]] = []
        for a, b in free:
            lo, hi = max(a, low), min(b, high)
            if hi - lo < 0.01:
                left.append((a, b))
                continue
            spans.append((lo, hi, gap, other))
            left += [(x, y) for x, y in ((a, lo), (hi, b)) if y - x > 0.01]
        free = left
    return sorted([*spans, *((a, b, 0.0, None) for a, b in free)], key=lambda s: s[0])


def _between(edge: _Edge, spot: XY, low: float, high: float, gap: float) -> bool:
    along, across = edge.project(spot)
    return low <= along <= high and -0.05 <= across <= gap + 0.05


def _tidied(spans: list[tuple[float, float, float, _Edge | None]]) -> list[tuple[float, float, float, _Edge | None]]:
    """Short free stretches are the ends of cross walls seen from this side: they go to the neighbour beside them."""
    kept: list[tuple[float, float, float, _Edge | None]] = []
    for k, (low, high, gap, other) in enumerate(spans):
        before, after = (kept[-1] if kept else None), (spans[k + 1] if k + 1 < len(spans) else None)
        short = other is None and high - low <= THICKEST_M
        beside = [s for s in (before, after) if s is not None and s[3] is not None]
        if short and beside and (len(beside) == 2 or high - low <= 0.4):
            if before is not None and before[3] is not None:
                kept[-1] = (before[0], high, before[2], before[3])
            elif after is not None:
                spans[k + 1] = (low, after[1], after[2], after[3])
            continue
        if before is not None and before[3] is other and other is None:
            kept[-1] = (before[0], high, gap, other)
            continue
        kept.append((low, high, gap, other))
    return kept


def _wall(
    edge: _Edge, low: float, high: float, gap: float, other: _Edge | None, outer_thickness_m: float
) -> tuple[tuple[XY, XY], float, bool | None] | None:
    if other is None:
        if not edge.room.indoors:
            return None  # a balcony's or yard's edge is a rail or a fence
        thickness = outer_thickness_m
        # Run on by half a wall at either end, so that corners close.
        start = low - (thickness / 2 if low < 0.01 else 0.0)
        end = high + (thickness / 2 if high > edge.length - 0.01 else 0.0)
        start, end = _short_of_own_room(edge, start, end, thickness)
        outside = None if edge.hole else True
        return (edge.at(start, thickness / 2), edge.at(end, thickness / 2)), thickness, outside
    indoors = edge.room.indoors or other.room.indoors
    if not indoors:
        return None
    thickness = gap if gap >= SHARED_M else INNER_THICKNESS_M
    outside = edge.room.indoors != other.room.indoors
    reach = min(0.05, thickness / 2)
    return (edge.at(low - reach, gap / 2), edge.at(high + reach, gap / 2)), thickness, outside


def _short_of_own_room(edge: _Edge, start: float, end: float, thickness: float) -> tuple[float, float]:
    """At an inward corner the run-on would stand in the room itself: leave it out there."""
    room = Polygon(edge.room.outline, edge.room.holes).buffer(-0.01)
    for at_start in (True, False):
        a, b = (start, max(start, 0.0)) if at_start else (min(end, edge.length), end)
        if b - a > 0.01 and LineString([edge.at(a, thickness / 2), edge.at(b, thickness / 2)]).intersects(room):
            start, end = (max(start, 0.0), end) if at_start else (start, min(end, edge.length))
    return start, end
