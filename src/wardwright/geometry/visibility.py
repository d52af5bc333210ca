"""What can be seen from a point on a storey: exact visibility polygons by triangular expansion.

One constrained Delaunay triangulation of the free space serves every query. From the query point the view spreads from
triangle to triangle through a cone that each triangle's far corner narrows; only orientations of input corners and the
query point are compared, so plain doubles suffice [BUNGIU-2014]. Boundaries count as seen (the free space is closed).
"""

import math
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely import MultiPolygon, Polygon

from wardwright.errors import GeometryError
from wardwright.geometry.disc import arc_points, clip_to_disc, piece_area

Segment = tuple[float, float, float, float]
"""x0, y0, x1, y1 of a piece of boundary, relative to the query point, anticlockwise as seen from it. [m]"""

_Across = tuple[float, float, int, int]
"""Far corner of the triangle beyond an edge, and the two edges by which one leaves it (right, left)."""

ON_EDGE = 1e-9
"""A point this close to an edge, as a share of the scene's size, counts as on it. [-]"""


@dataclass(frozen=True, eq=False)
class Scene:
    """Free space of a storey, triangulated once.

    Half-edge ``h`` is edge ``h % 3`` of triangle ``h // 3``, directed so that its triangle lies to the left.
    """

    free_space: Polygon | MultiPolygon
    corners: list[tuple[float, float]] = field(repr=False)
    """Start corner of every half-edge. [m]"""
    across: list[_Across | None] = field(repr=False)
    """What lies beyond every half-edge; None at the boundary."""
    tolerance: float
    """Distance within which a point counts as on an edge. [m]"""
    _origin: tuple[float, float, float] = field(repr=False)
    _columns: int = field(repr=False)
    _buckets: list[tuple[int, ...]] = field(repr=False)

    @staticmethod
    def from_polygon(free_space: Polygon | MultiPolygon) -> "Scene":
        """Triangulate a free space.

        Parameters
        ----------
        free_space : Polygon or MultiPolygon
            Where sight is free; holes and everything outside block it. [m]

        Returns
        -------
        Scene
            Ready for any number of queries.

        Raises
        ------
        GeometryError
            If the shape is empty or crosses itself.
        """
        if free_space.is_empty or free_space.area <= 0.0:
            raise GeometryError("the free space is empty; a shape with some area was expected")
        if not free_space.is_valid:
            raise GeometryError(f"the free space is not a proper shape: {shapely.is_valid_reason(free_space)}")
        parts = shapely.get_parts(shapely.constrained_delaunay_triangles(free_space))
        rings = shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3]
        a, b, c = rings[:, 0], rings[:, 1], rings[:, 2]
        turn = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
        rings = np.where((turn < 0.0)[:, None, None], rings[:, ::-1], rings)
        corners = [(float(x), float(y)) for x, y in rings.reshape(-1, 2)]
        minx, miny, maxx, maxy = free_space.bounds
        size = max(maxx - minx, maxy - miny)
        cell = max(math.sqrt((maxx - minx) * (maxy - miny) / (2.0 * len(rings))), size / 400.0)
        columns, buckets = _bucket(rings, minx, miny, cell, size * ON_EDGE)
        return Scene(free_space, corners, _join(corners), size * ON_EDGE, (minx, miny, cell), columns, buckets)

    def triangles_at(self, point: tuple[float, float]) -> list[int]:
        """Triangles that hold a point: one inside, two on an inner edge, several at a corner, none outside.

        Parameters
        ----------
        point : tuple of float
            Where. [m]

        Returns
        -------
        list of int
            Numbers of the triangles. [-]
        """
        x, y = point
        x0, y0, cell = self._origin
        ix, iy = int((x - x0 + self.tolerance) / cell), int((y - y0 + self.tolerance) / cell)
        bucket = iy * self._columns + ix
        if not (0 <= ix < self._columns and 0 <= bucket < len(self._buckets)):
            return []
        found = []
        corners = self.corners
        for t in self._buckets[bucket]:
            ax, ay = corners[3 * t]
            bx, by = corners[3 * t + 1]
            cx, cy = corners[3 * t + 2]
            ab = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
            bc = (cx - bx) * (y - by) - (cy - by) * (x - bx)
            ca = (ax - cx) * (y - cy) - (ay - cy) * (x - cx)
            if ab > 0.0 and bc > 0.0 and ca > 0.0:
                return [t]
            slack = -self.tolerance
            if (
                ab >= slack * math.hypot(bx - ax, by - ay)
                and bc >= slack * math.hypot(cx - bx, cy - by)
                and ca >= slack * math.hypot(ax - cx, ay - cy)
            ):
                found.append(t)
        return found

    def holds(self, point: tuple[float, float]) -> bool:
        """Whether a point lies in the free space or on its edge.

        Parameters
        ----------
        point : tuple of float
            Where. [m]

        Returns
        -------
        bool
            True inside and on the edge. [-]
        """
        return bool(self.triangles_at(point))


@dataclass(frozen=True, eq=False)
class View:
    """What is seen from one point."""

    origin: tuple[float, float]
    """The query point. [m]"""
    segments: tuple[Segment, ...] = field(repr=False)
    """Boundary pieces in sight, relative to the origin, anticlockwise, not yet cut to ``reach``. [m]"""
    reach: float | None = None
    """Range limit; None: as far as walls allow. [m]"""

    @cached_property
    def pieces(self) -> list[tuple[bool, Segment]]:
        """Outline pieces cut to the reach: (is an arc about the origin, its ends). [m]"""
        if self.reach is None:
            return [(False, s) for s in self.segments]
        return clip_to_disc(self.segments, self.reach)

    @cached_property
    def area(self) -> float:
        """Area in sight, arcs exact. [m²]"""
        if self.reach is None:
            return 0.5 * sum([x0 * y1 - x1 * y0 for x0, y0, x1, y1 in self.segments])
        return math.fsum(piece_area(arc, s, self.reach) for arc, s in self.pieces)

    def polygon(self, arc_step: float = math.radians(3.0)) -> Polygon:
        """Outline for drawing; arcs are inscribed.

        Parameters
        ----------
        arc_step : float
            Widest angle a chord of an arc may span. [rad]

        Returns
        -------
        Polygon
            What is seen; empty where nothing is. [m]
        """
        if not self.segments:
            return Polygon()
        qx, qy = self.origin
        outline: list[tuple[float, float]] = []
        px, py = self.pieces[-1][1][2:]
        for arc, (x0, y0, x1, y1) in self.pieces:
            if abs(px * y0 - py * x0) > 1e-9 * math.hypot(px, py) * math.hypot(x0, y0) or px * x0 + py * y0 < 0.0:
                outline.append((0.0, 0.0))  # nothing is seen between these two: a side of the field, or a wall
            px, py = x1, y1
            outline.append((x0, y0))
            if arc:
                outline.extend(arc_points(x0, y0, x1, y1, arc_step))
            outline.append((x1, y1))
        cleaned = [p for i, p in enumerate(outline) if p != outline[i - 1]]
        if len(cleaned) < 3:
            return Polygon()
        return Polygon([(x + qx, y + qy) for x, y in cleaned])

    def contains(self, x: ArrayLike, y: ArrayLike, *, slack: float = 1e-9) -> NDArray[np.bool_]:
        """Whether points are in sight.

        Parameters
        ----------
        x, y : array_like
            Coordinates of the points. [m]
        slack : float
            Distance a point may lie behind the wall it touches. [m]

        Returns
        -------
        ndarray of bool
            One truth per point. [-]
        """
        px = np.asarray(x, dtype=np.float64) - self.origin[0]
        py = np.asarray(y, dtype=np.float64) - self.origin[1]
        seen = np.zeros(px.shape, dtype=np.bool_)
        x0, y0, x1, y1, begin, end = self._fan
        if not len(begin):
            return seen
        angle = np.arctan2(py, px)
        turned = begin[0] + np.mod(angle - begin[0], 2.0 * np.pi)
        k = np.clip(np.searchsorted(begin, turned, side="right") - 1, 0, len(begin) - 1)
        dx, dy = x1[k] - x0[k], y1[k] - y0[k]
        inward = dx * (py - y0[k]) - dy * (px - x0[k])
        seen = (inward >= -slack * np.hypot(dx, dy)) & (turned <= end[k] + 1e-12)
        if self.reach is not None:
            seen &= np.hypot(px, py) <= self.reach + slack
        return np.asarray(seen, dtype=np.bool_)

    def depth(self, angle: ArrayLike) -> NDArray[np.float64]:
        """Distance to the wall along directions.

        Parameters
        ----------
        angle : array_like
            Directions, anticlockwise from +x. [rad]

        Returns
        -------
        ndarray
            Distance, not beyond the reach; 0 where the field does not extend. [m]
        """
        a = np.asarray(angle, dtype=np.float64)
        x0, y0, x1, y1, begin, end = self._fan
        if not len(begin):
            return np.zeros(a.shape)
        turned = begin[0] + np.mod(a - begin[0], 2.0 * np.pi)
        k = np.clip(np.searchsorted(begin, turned, side="right") - 1, 0, len(begin) - 1)
        dx, dy = x1[k] - x0[k], y1[k] - y0[k]
        turn = np.cos(turned) * dy - np.sin(turned) * dx
        with np.errstate(divide="ignore", invalid="ignore"):
            away = np.where(turn > 0.0, (x0[k] * dy - y0[k] * dx) / turn, np.hypot(x1[k], y1[k]))
        if self.reach is not None:
            away = np.minimum(away, self.reach)
        return np.asarray(np.where(turned <= end[k] + 1e-9, away, 0.0))

    @cached_property
    def _fan(self) -> tuple[NDArray[np.float64], ...]:
        """Segments with the angles at which each begins and ends, rising from the first."""
        s = np.array(self.segments, dtype=np.float64).reshape(-1, 4)
        turn = s[:, 0] * s[:, 3] - s[:, 2] * s[:, 1]
        s = s[turn > 0.0]
        if not len(s):
            return tuple(np.empty(0) for _ in range(6))
        begin = np.arctan2(s[:, 1], s[:, 0])
        span = np.arctan2(s[:, 0] * s[:, 3] - s[:, 2] * s[:, 1], s[:, 0] * s[:, 2] + s[:, 1] * s[:, 3])
        begin = begin[0] + np.mod(begin - begin[0] + 1e-12, 2.0 * np.pi) - 1e-12
        order = np.argsort(begin, kind="stable")
        s, begin, span = s[order], begin[order], span[order]
        return s[:, 0], s[:, 1], s[:, 2], s[:, 3], begin, begin + span


def visible(
    scene: Scene,
    point: tuple[float, float],
    *,
    reach: float | None = None,
    heading: float | None = None,
    field: float | None = None,
) -> View:
    r"""See from a point.

    Parameters
    ----------
    scene : Scene
        The triangulated free space.
    point : tuple of float
        Where the eye is. Outside the free space nothing is seen; on an edge or corner, what its inner side sees. [m]
    reach : float, optional
        Range limit, > 0; the arc is exact in :attr:`View.area`. [m]
    heading : float, optional
        Direction of the middle of the field, anticlockwise from +x. [rad]
    field : float, optional
        Whole opening angle of the field of view, 0 to :math:`2\pi`; needs ``heading``. [rad]

    Returns
    -------
    View
        What is seen. [m]

    Notes
    -----
    Triangular expansion: a cone :math:`(r, l)` enters a triangle with far corner :math:`v`; it goes on through the
    right edge when :math:`(r-q)\times(v-q) > 0` and through the left one when :math:`(l-q)\times(v-q) < 0`.

    Sources: [BUNGIU-2014].
    """
    if reach is not None and not reach > 0.0:
        raise GeometryError(f"the range must be more than nothing, not {reach:g} m")
    triangles = scene.triangles_at(point)
    qx, qy = point
    if field is None or field >= 2.0 * math.pi - 1e-12:
        starts = _starting_edges(scene, triangles, qx, qy)
    else:
        if heading is None or not field > 0.0:
            raise GeometryError("a field of view needs a direction and an angle of more than nothing")
        starts = _narrow(_starting_edges(scene, triangles, qx, qy), heading, field)
    reach2 = math.inf if reach is None else reach * reach
    return View(point, tuple(_expand(scene.across, starts, qx, qy, reach2)), reach)


def sees(scene: Scene, a: tuple[float, float], b: tuple[float, float]) -> bool:
    """Whether the straight line between two points stays in the free space.

    Parameters
    ----------
    scene : Scene
        The triangulated free space.
    a, b : tuple of float
        The points. [m]

    Returns
    -------
    bool
        True if it does; touching walls and corners is allowed. False where either point is outside. [-]

    Notes
    -----
    The triangles along the line are walked one after the other; where the line meets a corner exactly, both sides are
    followed.
    """
    ends = set(scene.triangles_at(b))
    begins = scene.triangles_at(a)
    if not ends or not begins:
        return False
    if not ends.isdisjoint(begins):
        return True
    qx, qy = a
    dx, dy = b[0] - qx, b[1] - qy
    slack = scene.tolerance * math.hypot(dx, dy)
    stack: list[int] = []
    for t in begins:
        for h in (3 * t, 3 * t + 1, 3 * t + 2):
            (ax, ay), (bx, by) = scene.corners[h], scene.corners[h - 2 if h % 3 == 2 else h + 1]
            if dx * (ay - qy) - dy * (ax - qx) <= slack and dx * (by - qy) - dy * (bx - qx) >= -slack:
                stack.append(h)
    done: set[int] = set()
    while stack:
        h = stack.pop()
        beyond = scene.across[h]
        if beyond is None or h in done:
            continue
        done.add(h)
        vx, vy, right, left = beyond
        if right // 3 in ends:
            return True
        side = dx * (vy - qy) - dy * (vx - qx)
        if side >= -slack:
            stack.append(right)
        if side <= slack:
            stack.append(left)
    return False


_Start = tuple[int, float, float, float, float, float, float, float, float]
"""Half-edge, its right and left ends, and the points the right and left rays of the cone pass, relative to the eye."""


def _expand(across: list[_Across | None], starts: list[_Start], qx: float, qy: float, reach2: float) -> list[Segment]:
    """Spread the view from the starting edges; boundary pieces come out anticlockwise."""
    out: list[Segment] = []
    stack = starts[::-1]
    push, pop, emit = stack.append, stack.pop, out.append
    limited = reach2 < math.inf
    while stack:
        h, ax, ay, bx, by, rx, ry, lx, ly = pop()
        beyond = across[h]
        if beyond is not None:
            if limited:
                # an edge wholly out of reach ends the view as well as a wall would: the arc cuts it off
                ex, ey = bx - ax, by - ay
                turn = ax * ey - ay * ex
                if turn * turn > reach2 * (ex * ex + ey * ey):
                    beyond = None
            if beyond is not None:
                vx, vy, right, left = beyond
                vx -= qx
                vy -= qy
                if lx * vy - ly * vx < 0.0:
                    if rx * vy - ry * vx > 0.0:
                        push((left, vx, vy, bx, by, vx, vy, lx, ly))
                        push((right, ax, ay, vx, vy, rx, ry, vx, vy))
                    else:
                        push((left, vx, vy, bx, by, rx, ry, lx, ly))
                else:
                    push((right, ax, ay, vx, vy, rx, ry, lx, ly))
                continue
        ex, ey = bx - ax, by - ay
        if rx == ax and ry == ay:
            x0, y0 = ax, ay
        else:
            turn = rx * ey - ry * ex
            if turn <= 0.0:
                continue
            s = (ax * ey - ay * ex) / turn
            x0, y0 = s * rx, s * ry
        if lx == bx and ly == by:
            emit((x0, y0, bx, by))
        else:
            turn = lx * ey - ly * ex
            if turn <= 0.0:
                continue
            s = (ax * ey - ay * ex) / turn
            emit((x0, y0, s * lx, s * ly))
    return out


def _starting_edges(scene: Scene, triangles: list[int], qx: float, qy: float) -> list[_Start]:
    """Edges the view first spreads through, anticlockwise."""
    corners = scene.corners
    if len(triangles) == 1:
        t = 3 * triangles[0]
        (ax, ay), (bx, by), (cx, cy) = corners[t], corners[t + 1], corners[t + 2]
        ax, bx, cx, ay, by, cy = ax - qx, bx - qx, cx - qx, ay - qy, by - qy, cy - qy
        if ax * by - ay * bx > 0.0 and bx * cy - by * cx > 0.0 and cx * ay - cy * ax > 0.0:
            return [
                (t, ax, ay, bx, by, ax, ay, bx, by),
                (t + 1, bx, by, cx, cy, bx, by, cx, cy),
                (t + 2, cx, cy, ax, ay, cx, cy, ax, ay),
            ]
    # On an edge or a corner: every edge of the triangles round the point that faces it. The others lie along the
    # line of sight (or between two of these triangles) and show nothing.
    starts: list[_Start] = []
    held = set(triangles)
    near = scene.tolerance
    for t in triangles:
        for h in (3 * t, 3 * t + 1, 3 * t + 2):
            (ax, ay), (bx, by) = corners[h], corners[h - 2 if h % 3 == 2 else h + 1]
            ax, ay, bx, by = ax - qx, ay - qy, bx - qx, by - qy
            if ax * by - ay * bx <= near * math.hypot(bx - ax, by - ay):
                continue
            beyond = scene.across[h]
            if beyond is not None and beyond[2] // 3 in held:
                continue
            starts.append((h, ax, ay, bx, by, ax, ay, bx, by))
    starts.sort(key=lambda s: math.atan2(s[2], s[1]))
    return starts


def _narrow(edges: list[_Start], heading: float, field: float) -> list[_Start]:
    """Starting edges cut to a field of view, anticlockwise from its right-hand side."""
    parts = 1 if field < math.pi - 1e-6 else 3
    width = field / parts
    starts: list[_Start] = []
    for part in range(parts):
        begin = heading - field / 2.0 + part * width
        crx, cry, clx, cly = math.cos(begin), math.sin(begin), math.cos(begin + width), math.sin(begin + width)
        for h, ax, ay, bx, by, rx, ry, lx, ly in edges:
            right_in = _between(rx, ry, crx, cry, clx, cly)
            cone_in = _between(crx, cry, rx, ry, lx, ly)
            if not (right_in or cone_in):
                continue
            nrx, nry = (rx, ry) if right_in else (crx, cry)
            nlx, nly = (lx, ly) if _between(lx, ly, crx, cry, clx, cly) else (clx, cly)
            if nrx * nly - nry * nlx > 0.0:
                starts.append((h, ax, ay, bx, by, nrx, nry, nlx, nly))
    side = heading - field / 2.0
    starts.sort(key=lambda s: (math.atan2(s[6], s[5]) - side + 1e-9) % (2.0 * math.pi))
    return starts


def _between(x: float, y: float, rx: float, ry: float, lx: float, ly: float) -> bool:
    """Whether a direction lies in a cone of less than half a turn, its sides included."""
    return rx * y - ry * x >= 0.0 and x * ly - y * lx >= 0.0


def _join(corners: list[tuple[float, float]]) -> list[_Across | None]:
    """For every half-edge, the far corner and the two ways on beyond it."""
    owner = {}
    for h, corner in enumerate(corners):
        owner[corner, corners[h - 2 if h % 3 == 2 else h + 1]] = h
    joined: list[_Across | None] = []
    for h, corner in enumerate(corners):
        twin = owner.get((corners[h - 2 if h % 3 == 2 else h + 1], corner))
        if twin is None:
            joined.append(None)
            continue
        base = 3 * (twin // 3)
        right, left = base + (twin + 1) % 3, base + (twin + 2) % 3
        joined.append((*corners[left], right, left))
    return joined


def _bucket(
    rings: NDArray[np.float64], x0: float, y0: float, cell: float, slack: float
) -> tuple[int, list[tuple[int, ...]]]:
    """Triangles by square cell of a coarse grid, for finding the one a point lies in."""
    low = np.floor((rings.min(axis=1) - slack - (x0, y0)) / cell + 0.0).astype(int).clip(0)
    high = np.floor((rings.max(axis=1) + 3 * slack - (x0, y0)) / cell).astype(int)
    columns, rows = int(high[:, 0].max()) + 1, int(high[:, 1].max()) + 1
    buckets: list[list[int]] = [[] for _ in range(columns * rows)]
    for t, ((ix0, iy0), (ix1, iy1)) in enumerate(zip(low.tolist(), high.tolist(), strict=True)):
        for iy in range(iy0, iy1 + 1):
            for ix in range(ix0, ix1 + 1):
                buckets[iy * columns + ix].append(t)
    return columns, [tuple(b) for b in buckets]
