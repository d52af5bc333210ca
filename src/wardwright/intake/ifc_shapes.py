"""Meshes of building elements, and the plan shapes cut from them."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.model import XY, Ring

Element = Any
"""An entity of an IFC file."""

SNAP_M = 1e-5
"""Plan coordinates are snapped to this before rings are closed. [m]"""


@dataclass(frozen=True)
class Mesh:
    """Triangles of one element in metres, world axes."""

    points: NDArray[np.float64]
    faces: NDArray[np.int64]
    glassy: NDArray[np.bool_]
    """Triangles whose surface style lets light through."""

    @cached_property
    def low(self) -> NDArray[np.float64]:
        """Least x, y, z. [m]"""
        return np.asarray(self.points.min(axis=0))

    @cached_property
    def high(self) -> NDArray[np.float64]:
        """Greatest x, y, z. [m]"""
        return np.asarray(self.points.max(axis=0))

    @property
    def bottom(self) -> float:
        """Lowest z. [m]"""
        return float(self.low[2])

    @property
    def top(self) -> float:
        """Highest z. [m]"""
        return float(self.high[2])

    def extent(self, direction: XY) -> tuple[float, float]:
        """Least and greatest coordinate along a horizontal direction. [m]"""
        along = self.points[:, 0] * direction[0] + self.points[:, 1] * direction[1]
        return float(along.min()), float(along.max())

    @cached_property
    def plan(self) -> BaseGeometry:
        """Outline from above of everything in the mesh. [m]"""
        flat = self.points[self.faces][:, :, :2]
        doubled = np.abs(
            (flat[:, 1, 0] - flat[:, 0, 0]) * (flat[:, 2, 1] - flat[:, 0, 1])
            - (flat[:, 2, 0] - flat[:, 0, 0]) * (flat[:, 1, 1] - flat[:, 0, 1])
        )
        flat = flat[doubled > 1e-8]
        if len(flat) == 0:
            return Polygon()
        triangles = shapely.polygons(flat)
        return shapely.union_all(triangles, grid_size=1e-4)

    @cached_property
    def hull(self) -> BaseGeometry:
        """Convex outline from above. [m]"""
        return shapely.MultiPoint(self.points[:, :2]).convex_hull

    @cached_property
    def normals(self) -> NDArray[np.float64]:
        """Unit normals of the triangles."""
        a, b, c = (self.points[self.faces[:, i]] for i in range(3))
        cross = np.cross(b - a, c - a)
        length = np.linalg.norm(cross, axis=1)
        return np.asarray(cross / np.where(length > 0.0, length, 1.0)[:, None])

    @cached_property
    def areas(self) -> NDArray[np.float64]:
        """Areas of the triangles. [m²]"""
        a, b, c = (self.points[self.faces[:, i]] for i in range(3))
        return np.asarray(np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0)


def joined(meshes: Iterable[Mesh]) -> Mesh | None:
    """Several meshes as one, or None when there is none."""
    parts = list(meshes)
    if not parts:
        return None
    offsets = np.cumsum([0, *(len(m.points) for m in parts[:-1])])
    return Mesh(
        np.vstack([m.points for m in parts]),
        np.vstack([m.faces + o for m, o in zip(parts, offsets, strict=True)]),
        np.concatenate([m.glassy for m in parts]),
    )


def slice_at(mesh: Mesh, z: float) -> BaseGeometry:
    """Plan section of a mesh.

    Parameters
    ----------
    mesh : Mesh
        The solid; it need not be perfectly closed.
    z : float
        Height of the cut. [m]

    Returns
    -------
    BaseGeometry
        Polygon or several; empty where the cut meets nothing.
    """
    tri = mesh.points[mesh.faces]
    above = tri[:, :, 2] > z
    cut = tri[above.any(axis=1) & ~above.all(axis=1)]
    if len(cut) == 0:
        return Polygon()
    up = cut[:, :, 2] > z
    # Turn every triangle so that its lone vertex comes first: the cut crosses the two edges that leave it.
    lone = np.where(up.sum(axis=1) == 1, up.argmax(axis=1), (~up).argmax(axis=1))
    rows = np.arange(len(cut))
    a = cut[rows, lone]
    ends = []
    for step in (1, 2):
        b = cut[rows, (lone + step) % 3]
        t = (z - a[:, 2]) / (b[:, 2] - a[:, 2])
        ends.append(a[:, :2] + t[:, None] * (b[:, :2] - a[:, :2]))
    segments = np.round(np.stack(ends, axis=1) / SNAP_M) * SNAP_M
    segments = segments[np.abs(segments[:, 0] - segments[:, 1]).max(axis=1) > SNAP_M / 2]
    if len(segments) == 0:
        return Polygon()
    lines = shapely.multilinestrings(shapely.linestrings(segments))
    area = shapely.build_area(lines)
    if area.is_empty:
        area = shapely.build_area(shapely.node(lines))
    if area.is_empty:  # an open shell: the hull is the best that can be said
        area = lines.convex_hull if lines.convex_hull.area > 0.0 else Polygon()
    return shapely.make_valid(area) if not area.is_valid else area


def biggest(shape: BaseGeometry) -> Polygon:
    """The largest polygon in a shape; an empty one where there is none."""
    if isinstance(shape, Polygon):
        return shape
    parts = [p for p in getattr(shape, "geoms", ()) if isinstance(p, Polygon | MultiPolygon)]
    return max((biggest(p) for p in parts), key=lambda p: p.area, default=Polygon())


def floor_outline(mesh: Mesh) -> BaseGeometry:
    """Floor of a space: the cut just above its lowest point, or higher up where its floor is stepped or sloped.

    Parameters
    ----------
    mesh : Mesh
        Solid of the space.
    """
    height = mesh.top - mesh.bottom
    low = slice_at(mesh, mesh.bottom + min(0.02, 0.1 * height))
    if height < 0.5:
        return low
    mid = slice_at(mesh, mesh.bottom + min(1.0, 0.5 * height))
    return mid if low.area < 0.7 * mid.area else low


def tidy_ring(points: Iterable[XY], *, tolerance: float = 1e-3) -> Ring:
    """Ring without repeated or needless points, anticlockwise.

    Parameters
    ----------
    points : iterable of XY
        Outline; the first point may be repeated at the end.
    tolerance : float
        Largest shift allowed. [m]
    """
    shape = Polygon(list(points)).simplify(tolerance)
    ring = list(shapely.geometry.polygon.orient(biggest(shape)).exterior.coords)[:-1]
    return tuple((float(x), float(y)) for x, y, *_ in ring)


def rings(shape: Polygon) -> tuple[Ring, tuple[Ring, ...]]:
    """Outer ring and holes of a polygon."""
    holes = tuple(tidy_ring(h.coords) for h in shape.interiors if Polygon(h).area > 0.01)
    return tidy_ring(shape.exterior.coords), holes


def box_outline(shape: BaseGeometry) -> Ring:
    """Corners of the smallest turned rectangle round a shape."""
    box = shape.minimum_rotated_rectangle
    return tidy_ring(box.exterior.coords) if isinstance(box, Polygon) and box.area > 0.0 else ()


def unit_xy(x: float, y: float) -> XY | None:
    """Unit vector, or None for one without a length."""
    length = math.hypot(x, y)
    return None if length < 1e-6 else (x / length, y / length)
