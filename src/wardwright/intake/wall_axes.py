"""Wall bodies of any outline taken apart into axes with a thickness.

A wall on plan is two faces looking away from each other with solid between them. Every pair of such faces gives a
piece of axis; pieces of one line are joined across the walls that meet it, pieces of a curve are chained, ends run on
into the wall they meet. What no pair of faces explains (a column, a pier) becomes a short wall of its own.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.model import XY

THICKEST_M = 1.0
"""Two faces further apart than this are not one wall. [m]"""
THINNEST_M = 0.015
PARALLEL = math.sin(math.radians(2.5))
SMALLEST_LEFT_OVER_M2 = 0.01


@dataclass(frozen=True)
class Axis:
    """A wall's centre line and thickness."""

    points: tuple[XY, ...]
    thickness: float
    """[m]"""

    @property
    def line(self) -> LineString:
        """Its centre line."""
        return LineString(self.points)

    def body(self) -> BaseGeometry:
        """Its outline, ends square."""
        return self.line.buffer(self.thickness / 2, cap_style="flat", join_style="mitre")


def polygons_of(shape: BaseGeometry) -> list[Polygon]:
    """The polygons in a shape, lines and points left out.

    Parameters
    ----------
    shape : BaseGeometry
        Anything shapely knows.

    Returns
    -------
    list of Polygon
        Not empty ones only.
    """
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    return [p for part in getattr(shape, "geoms", ()) for p in polygons_of(part)]


def grown(shape: BaseGeometry, by: float) -> BaseGeometry:
    """A shape with its edges moved outward, corners kept sharp; inward for a negative distance.

    Parameters
    ----------
    shape : BaseGeometry
        Any shape. [m]
    by : float
        Distance. [m]
    """
    with np.errstate(divide="ignore", invalid="ignore"):  # the mitre of a needle has no end; it is cut off
        return shape.buffer(by, join_style="mitre")


def closed_up(shape: BaseGeometry, by: float) -> BaseGeometry:
    """A shape with gaps narrower than twice a distance closed. [m]"""
    return grown(grown(shape, by), -by)


def without_slivers(shape: BaseGeometry, by: float) -> BaseGeometry:
    """A shape without the parts narrower than twice a distance. [m]"""
    return grown(grown(shape, -by), by)


def wall_axes(solid: BaseGeometry, *, thickest: float = THICKEST_M) -> list[Axis]:
    """Axes and thicknesses of the walls in a solid plan.

    Parameters
    ----------
    solid : BaseGeometry
        Everything that is wall on one storey, openings filled. [m]
    thickest : float
        Two faces further apart are not one wall. [m]

    Returns
    -------
    list of Axis
        Together they cover the solid, junctions included.
    """
    parts = polygons_of(shapely.simplify(solid, 0.001))
    found: list[Axis] = []
    for part in parts:
        if part.area < SMALLEST_LEFT_OVER_M2:
            continue
        pieces = _most_slender(_face_pairs(part, thickest))
        pieces = _chained(_joined(pieces, part))
        pieces = _run_into_neighbours(pieces, part)
        pieces += _left_over(part, pieces)
        found += _needed(pieces)
    return found


def _needed(pieces: list[Axis]) -> list[Axis]:
    """Without the stubs, wider than long, whose ground other pieces cover."""
    kept = list(pieces)
    for stub in [a for a in pieces if _length(a) < a.thickness]:
        others = [a.body() for a in kept if a is not stub]
        if others and stub.body().difference(shapely.union_all(others)).area < 0.1 * stub.body().area:
            kept.remove(stub)
    return kept


def _edges(part: Polygon) -> tuple[np.ndarray, np.ndarray]:
    starts, ends = [], []
    for ring in shapely.geometry.polygon.orient(part).exterior, *shapely.geometry.polygon.orient(part).interiors:
        xy = np.asarray(ring.coords)[:, :2]
        starts.append(xy[:-1])
        ends.append(xy[1:])
    p, q = np.vstack(starts), np.vstack(ends)
    long = np.hypot(*(q - p).T) > 0.01
    return p[long], q[long]


def _face_pairs(part: Polygon, thickest: float) -> list[Axis]:
    """Pieces of axis between faces that look away from each other, each face paired with the nearest one."""
    p, q = _edges(part)
    if len(p) < 2:
        return []
    length = np.hypot(*(q - p).T)
    u = (q - p) / length[:, None]
    n = np.column_stack([-u[:, 1], u[:, 0]])  # solid lies on the left
    nearest: list[list[tuple[float, float, float, int]]] = []
    for i in range(len(p)):
        across = (u @ u[i] < 0) & (np.abs(u @ n[i]) < PARALLEL)
        depth = ((p + q) / 2 - p[i]) @ n[i]
        across &= (depth > THINNEST_M) & (depth <= thickest)
        sp, sq = (p - p[i]) @ u[i], (q - p[i]) @ u[i]
        low, high = np.maximum(np.minimum(sp, sq), 0.0), np.minimum(np.maximum(sp, sq), length[i])
        across &= high - low > 0.005
        free = [(0.0, float(length[i]))]
        mine: list[tuple[float, float, float, int]] = []
        for j in sorted((int(k) for k in np.flatnonzero(across)), key=lambda k: float(depth[k])):
            left: list[tuple[float, float]] = []
            for a, b in free:
                lo, hi = max(a, float(low[j])), min(b, float(high[j]))
                if hi - lo <= 0.005:
                    left.append((a, b))
                    continue
                mine.append((lo, hi, float(depth[j]), j))
                left += [(x, y) for x, y in ((a, lo), (hi, b)) if y - x > 0.005]
            free = left
        nearest.append(mine)
    pieces: list[Axis] = []
    shapely.prepare(part)
    for i, mine in enumerate(nearest):
        for lo, hi, depth_ij, j in mine:
            if j < i:
                continue
            for a, b, _, back in nearest[j]:
                if back != i:
                    continue
                ends = sorted(float((p[j] + u[j] * t - p[i]) @ u[i]) for t in (a, b))
                start, end = max(lo, ends[0]), min(hi, ends[1])
                if end - start <= 0.005:
                    continue
                middle = p[i] + n[i] * depth_ij / 2
                # Faces that are not quite parallel: the axis keeps to the middle at both ends.
                slope = float(u[j] @ n[i]) / float(u[j] @ u[i]) / 2
                mid_s = float(((p[j] + q[j]) / 2 - p[i]) @ u[i])
                one = middle + u[i] * start + n[i] * slope * (start - mid_s)
                two = middle + u[i] * end + n[i] * slope * (end - mid_s)
                if part.buffer(0.004).covers(LineString([one, two])):
                    pieces.append(Axis((_xy(one), _xy(two)), depth_ij))
    return pieces


def _xy(point: np.ndarray) -> XY:
    return (float(point[0]), float(point[1]))


def _length(axis: Axis) -> float:
    return float(axis.line.length)


def _most_slender(pieces: list[Axis]) -> list[Axis]:
    """Of pieces over the same ground the slender ones: the ends of a wall are faces too, but not the wall's."""
    kept: list[Axis] = []
    bodies: list[BaseGeometry] = []
    for piece in sorted(pieces, key=lambda a: a.thickness / _length(a)):
        body = piece.body()
        near = [b for b in bodies if b.intersects(body)]
        covered = shapely.union_all(near).intersection(body).area if near else 0.0
        if covered < 0.6 * body.area:
            kept.append(piece)
            bodies.append(body)
    return kept


def _direction(a: XY, b: XY) -> tuple[float, float]:
    d = math.dist(a, b)
    return ((b[0] - a[0]) / d, (b[1] - a[1]) / d)


def _joined(pieces: list[Axis], part: Polygon) -> list[Axis]:
    """Pieces of one line joined where the wall between them is solid."""
    inside = part.buffer(0.004)
    shapely.prepare(inside)
    todo = sorted(pieces, key=_length, reverse=True)
    done: list[Axis] = []
    while todo:
        axis = todo.pop(0)
        grew = True
        while grew:
            grew = False
            for other in list(todo):
                joined = _join(axis, other, inside)
                if joined is not None:
                    axis, grew = joined, True
                    todo.remove(other)
        done.append(axis)
    return done


def _join(a: Axis, b: Axis, inside: BaseGeometry) -> Axis | None:
    if abs(a.thickness - b.thickness) > max(0.012, 0.08 * a.thickness):
        return None
    ux, uy = _direction(a.points[0], a.points[-1])
    x0, y0 = a.points[0]

    def along(p: XY) -> float:
        return (p[0] - x0) * ux + (p[1] - y0) * uy

    def off(p: XY) -> float:
        return -(p[0] - x0) * uy + (p[1] - y0) * ux

    bx, by = _direction(b.points[0], b.points[-1])
    if abs(ux * by - uy * bx) > 2 * PARALLEL and _length(b) > 0.1:
        return None
    if max(abs(off(p)) for p in b.points) > 0.02:
        return None
    spans = [sorted((along(a.points[0]), along(a.points[-1]))), sorted((along(b.points[0]), along(b.points[-1])))]
    first, second = sorted(spans)
    if second[0] > first[1] + 1e-6:
        gap = LineString([(x0 + ux * s, y0 + uy * s) for s in (first[1], second[0])])
        if not inside.covers(gap):
            return None
    ends = [min(spans[0][0], spans[1][0]), max(spans[0][1], spans[1][1])]
    wider = max(a, b, key=_length).thickness
    return Axis(tuple((x0 + ux * s, y0 + uy * s) for s in ends), wider)


def _chained(pieces: list[Axis]) -> list[Axis]:
    """Short pieces that follow a curve, chained into one axis of many points."""
    short = [a for a in pieces if _length(a) < 1.5]
    straight = [a for a in pieces if _length(a) >= 1.5]
    chains: list[Axis] = []
    while short:
        points, thickness = list(short[0].points), short.pop(0).thickness
        grew = True
        while grew:
            grew = False
            for other in list(short):
                more = _continued(points, other, thickness)
                if more is not None:
                    points, grew = more, True
                    short.remove(other)
        chains.append(Axis(tuple(points), thickness))
    return straight + chains


def _continued(points: list[XY], other: Axis, thickness: float) -> list[XY] | None:
    if abs(other.thickness - thickness) > max(0.015, 0.1 * thickness):
        return None
    reach = 0.25 * thickness + 0.02
    for mine in (points, points[::-1]):
        for theirs in (list(other.points), list(other.points[::-1])):
            if math.dist(mine[-1], theirs[0]) > reach:
                continue
            ux, uy = _direction(mine[-2], mine[-1])
            vx, vy = _direction(theirs[0], theirs[1])
            turn = math.degrees(math.atan2(ux * vy - uy * vx, ux * vx + uy * vy))
            if 1.0 < abs(turn) < 25.0:
                corner = ((mine[-1][0] + theirs[0][0]) / 2, (mine[-1][1] + theirs[0][1]) / 2)
                return [*mine[:-1], corner, *theirs[1:]]
    return None


def _run_into_neighbours(pieces: list[Axis], part: Polygon) -> list[Axis]:
    """Ends run on into the wall they meet: to its middle, or right through where they make a corner."""
    inside = part.buffer(0.002)
    half = [_extended(a, inside, 0.5) for a in pieces]
    bodies = [a.body() for a in half]
    tree = shapely.STRtree(bodies)
    result: list[Axis] = []
    for k, axis in enumerate(pieces):
        ends = list(half[k].points)
        full = _extended(axis, inside, 1.0)
        for at in (0, -1):
            if math.dist(full.points[at], ends[at]) < 0.01:
                continue
            extra = LineString([ends[at], full.points[at]]).buffer(axis.thickness / 2, cap_style="flat")
            extra = extra.intersection(part)
            near = [bodies[j] for j in tree.query(extra) if j != k]
            bare = extra.difference(shapely.union_all(near)) if near else extra
            if bare.area > 0.25 * extra.area:
                ends[at] = full.points[at]
        result.append(Axis(tuple(ends), axis.thickness))
    return result


def _extended(axis: Axis, inside: BaseGeometry, share: float) -> Axis:
    ends = list(axis.points)
    for at, before in ((0, 1), (-1, -2)):
        ux, uy = _direction(axis.points[before], axis.points[at])
        x, y = axis.points[at]
        far = LineString([(x, y), (x + ux * 2 * THICKEST_M, y + uy * 2 * THICKEST_M)])
        run = far.intersection(inside)
        pieces = [run] if isinstance(run, LineString) else [g for g in run.geoms if isinstance(g, LineString)]
        first = next((g for g in pieces if g.distance(Point(x, y)) < 1e-6), None)
        if first is not None and 0.01 < first.length < THICKEST_M:
            run_on = (first.length - 0.002) * share
            ends[at] = (x + ux * run_on, y + uy * run_on)
    return Axis(tuple(ends), axis.thickness)


def _left_over(part: Polygon, pieces: list[Axis]) -> list[Axis]:
    """Solid that no pair of faces explains: columns, piers, odd corners."""
    rest = part.difference(shapely.union_all([a.body() for a in pieces])) if pieces else part
    rest = without_slivers(rest, 0.02)
    found: list[Axis] = []
    for bit in polygons_of(rest if isinstance(rest, Polygon | MultiPolygon) else Polygon()):
        if bit.area < SMALLEST_LEFT_OVER_M2:
            continue
        box = bit.minimum_rotated_rectangle
        if not isinstance(box, Polygon):
            continue
        a, b, c, d = list(box.exterior.coords)[:4]
        if math.dist(a, b) < math.dist(b, c):
            a, b, c, d = b, c, d, a
        thickness = math.dist(b, c)
        if thickness >= THINNEST_M and bit.area > 0.3 * box.area:
            one, two = ((a[0] + d[0]) / 2, (a[1] + d[1]) / 2), ((b[0] + c[0]) / 2, (b[1] + c[1]) / 2)
            found.append(Axis((one, two), min(thickness, 5.0)))
    return found
