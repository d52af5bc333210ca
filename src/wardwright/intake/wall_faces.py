"""Wall bodies from the lines a draughtsman draws for their faces: two parallel lines a wall's thickness apart.

Two faces belong together where each is the nearest line to the other; a closet's depth or a corridor's width is never
the nearest, because the face of the next wall lies behind its own.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely import LineString, Polygon

from wardwright.model import XY

THICKEST_M = 0.65
THINNEST_M = 0.035
_PARALLEL = math.sin(math.radians(1.5))

Segments = npt.NDArray[np.float64]
"""One row for each segment: x0, y0, x1, y1."""


@dataclass(frozen=True)
class Strip:
    """Ground between two faces."""

    start: XY
    end: XY
    """Of the middle line. [m]"""
    thickness: float
    """[m]"""
    faces: tuple[int, int] = (-1, -1)
    """Numbers of the two lines it lies between."""

    @property
    def direction(self) -> tuple[float, float]:
        """Unit vector along it."""
        length = math.dist(self.start, self.end)
        return ((self.end[0] - self.start[0]) / length, (self.end[1] - self.start[1]) / length)

    def band(self, before: float = 0.0, beyond: float = 0.0) -> Polygon:
        """Its outline, lengthened before its start and beyond its end. [m]"""
        ux, uy = self.direction
        half = self.thickness / 2
        a = (self.start[0] - ux * before, self.start[1] - uy * before)
        b = (self.end[0] + ux * beyond, self.end[1] + uy * beyond)
        return Polygon(
            [
                (a[0] - uy * half, a[1] + ux * half),
                (b[0] - uy * half, b[1] + ux * half),
                (b[0] + uy * half, b[1] - ux * half),
                (a[0] + uy * half, a[1] - ux * half),
            ]
        )


def segments_of(chains: Sequence[tuple[tuple[XY, ...], bool]], *, shortest: float) -> Segments:
    """Straight segments of polylines, without doubles.

    Parameters
    ----------
    chains : sequence
        Points of each polyline, and whether it is closed.
    shortest : float
        Shorter segments are left out. [same unit as the points]
    """
    rows: dict[tuple[float, ...], tuple[float, float, float, float]] = {}
    for points, closed in chains:
        ends = (*points[1:], points[0]) if closed else points[1:]
        for a, b in zip(points, ends, strict=False):
            if math.dist(a, b) >= shortest:
                one, two = sorted((a, b))
                rows[tuple(round(c / shortest) for c in (*one, *two))] = (*one, *two)
    return np.array(list(rows.values()), dtype=np.float64).reshape(-1, 4)


@dataclass(frozen=True)
class _Facing:
    low: float
    high: float
    depth: float
    """Signed distance across: positive on the left. [m]"""
    other: int


def _nearest(segments: Segments, thinnest: float, thickest: float) -> list[list[_Facing]]:
    """For every segment the stretches along which some parallel one is the nearest, on either side."""
    p, q = segments[:, :2], segments[:, 2:]
    length = np.hypot(*(q - p).T)
    u = (q - p) / length[:, None]
    n = np.column_stack([-u[:, 1], u[:, 0]])
    middle = (p + q) / 2
    result: list[list[_Facing]] = []
    for i in range(len(segments)):
        depth = (middle - p[i]) @ n[i]
        near = (np.abs(u @ n[i]) < _PARALLEL) & (np.abs(depth) >= thinnest) & (np.abs(depth) <= thickest)
        sp, sq = (p - p[i]) @ u[i], (q - p[i]) @ u[i]
        low, high = np.maximum(np.minimum(sp, sq), 0.0), np.minimum(np.maximum(sp, sq), length[i])
        near &= high - low > 1e-3 * thickest
        chosen = sorted((int(k) for k in np.flatnonzero(near)), key=lambda k: abs(float(depth[k])))
        free = [(0.0, float(length[i]))]
        mine: list[_Facing] = []
        for j in chosen:
            left: list[tuple[float, float]] = []
            for a, b in free:
                lo, hi = max(a, float(low[j])), min(b, float(high[j]))
                if hi - lo <= 1e-3 * thickest:
                    left.append((a, b))
                    continue
                mine.append(_Facing(lo, hi, float(depth[j]), j))
                left += [(x, y) for x, y in ((a, lo), (hi, b)) if y - x > 1e-3 * thickest]
            free = left
        result.append(mine)
    return result


def strips_between(
    segments: Segments, *, thinnest: float = THINNEST_M, thickest: float = THICKEST_M
) -> tuple[list[Strip], float]:
    """Strips of wall between paired faces.

    Parameters
    ----------
    segments : array
        Faces, one row each. [m]
    thinnest, thickest : float
        Limits of a wall's thickness. [m]

    Returns
    -------
    tuple
        The strips, and the share of the drawn length that found a partner.
    """
    if len(segments) < 2:
        return [], 0.0
    p, q = segments[:, :2], segments[:, 2:]
    length = np.hypot(*(q - p).T)
    u = (q - p) / length[:, None]
    n = np.column_stack([-u[:, 1], u[:, 0]])
    nearest = _nearest(segments, thinnest, thickest)
    strips: list[Strip] = []
    paired = np.zeros(len(segments))
    for i, mine in enumerate(nearest):
        for face in mine:
            j, depth = face.other, abs(face.depth)
            for lo, hi, back in _seen_from(p, u, i, j, face, nearest[j]):
                mutual = abs(back - depth) < 0.02 * depth + 1e-3
                # A leaf of a cavity wall: nearest for the outer face, while the inner one has the cavity nearer.
                leaf = back <= depth and depth <= max(3.0 * back, 0.2)
                if not (mutual or leaf) or (mutual and j < i):
                    continue
                across = n[i] * face.depth / 2
                one, two = p[i] + u[i] * lo + across, p[i] + u[i] * hi + across
                strips.append(Strip((float(one[0]), float(one[1])), (float(two[0]), float(two[1])), depth, (i, j)))
                paired[i] += hi - lo
                paired[j] += hi - lo
    by_length = sorted((s.thickness, math.dist(s.start, s.end)) for s in strips)
    middle = _weighted_median(by_length)
    jamb_like = max(0.45, 1.5 * middle)
    lines = shapely.linestrings(segments.reshape(-1, 2, 2))
    tree = shapely.STRtree(lines)
    strips = [
        s for s in strips if math.dist(s.start, s.end) >= s.thickness or s.thickness < jamb_like or _end_drawn(s, tree)
    ]
    share = float(np.minimum(paired, length).sum() / length.sum())
    return strips, share


def _weighted_median(rows: Sequence[tuple[float, float]]) -> float:
    half, run = sum(w for _, w in rows) / 2, 0.0
    for value, weight in rows:
        run += weight
        if run >= half:
            return value
    return 0.0


def _end_drawn(strip: Strip, tree: shapely.STRtree) -> bool:
    """A piece wider than long is a pier only if an end of it is drawn; else its faces are the jambs of an opening."""
    corners = list(strip.band().exterior.coords)
    ends = [LineString(e) for e in pairwise(corners) if math.dist(*e) > 0.99 * strip.thickness]
    for end in ends:
        near = shapely.union_all(tree.geometries.take(tree.query(end, predicate="dwithin", distance=0.02)))
        if end.intersection(near.buffer(0.02)).length > 0.6 * end.length:
            return True
    return False


def _seen_from(
    p: Segments, u: Segments, i: int, j: int, face: _Facing, theirs: Sequence[_Facing]
) -> list[tuple[float, float, float]]:
    """Stretches of segment i in front of j, each with the distance from j to what is nearest to j there."""
    found: list[tuple[float, float, float]] = []
    for other in theirs:
        ends = sorted(float((p[j] + u[j] * t - p[i]) @ u[i]) for t in (other.low, other.high))
        lo, hi = max(face.low, ends[0]), min(face.high, ends[1])
        if hi - lo > 1e-4:
            found.append((lo, hi, abs(other.depth)))
    return found


def typical_gap(segments: Segments) -> float | None:
    """Median distance between lines that are nearest to each other, whatever the unit: mostly a wall's thickness.

    Parameters
    ----------
    segments : array
        Faces. [drawing units]

    Returns
    -------
    float or None
        None where too few lines have a partner. [drawing units]
    """
    if len(segments) < 6:
        return None
    x0, y0 = segments[:, [0, 2]].min(), segments[:, [1, 3]].min()
    extent = float(max(segments[:, [0, 2]].max() - x0, segments[:, [1, 3]].max() - y0))
    nearest = _nearest(segments, extent * 1e-4, extent * 0.06)
    rows = sorted((abs(f.depth), f.high - f.low) for mine in nearest for f in mine)
    total = sum(w for _, w in rows)
    if len(rows) < 4 or total < extent:
        return None
    return _weighted_median(rows)
