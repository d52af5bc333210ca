"""Exact shortest path inside a polygon with holes, by a visibility graph: what walks on a grid are compared with.

Small plans only: the work grows with the square of the number of re-entrant corners. A shortest path inside a polygon
bends only at re-entrant corners, so it is a shortest path in the graph whose nodes are those corners and the two ends,
joined where the straight line between them stays inside (Lozano-Pérez and Wesley, 1979).
"""

import math

import numpy as np
import shapely
from scipy.sparse import csr_array
from shapely import Polygon

from wardwright.errors import GeometryError, NoSolutionError
from wardwright.geometry.shortest import chain_to_root, shortest_tree
from wardwright.model import XY

TOUCH_M = 1e-9
"""How far a line may run outside and still count as touching the outline: rounding, not passage. [m]"""


def reflex_corners(polygon: Polygon) -> list[XY]:
    """Corners at which a shortest path may bend.

    Parameters
    ----------
    polygon : Polygon
        A valid polygon, holes allowed. [m]

    Returns
    -------
    list of (float, float)
        Corners whose inner angle exceeds 180 degrees, in ring order. [m]
    """
    found: list[XY] = []
    oriented = shapely.geometry.polygon.orient(polygon)
    for ring in (oriented.exterior, *oriented.interiors):
        points = list(ring.coords)[:-1]
        count = len(points)
        for i, (x, y) in enumerate(points):
            (px, py), (nx, ny) = points[i - 1], points[(i + 1) % count]
            if (x - px) * (ny - y) - (y - py) * (nx - x) < 0.0:
                found.append((float(x), float(y)))
    return found


def shortest_path(polygon: Polygon, start: XY, end: XY) -> tuple[float, tuple[XY, ...]]:
    """Shortest path between two points without leaving a polygon; its outline may be touched.

    Parameters
    ----------
    polygon : Polygon
        Where one may go, holes allowed. [m]
    start, end : (float, float)
        The ends, inside or on the outline. [m]

    Returns
    -------
    length : float
        Length of the path. [m]
    points : tuple of (float, float)
        Its corners, ends included. [m]

    Raises
    ------
    GeometryError
        If the polygon is not valid or an end lies outside it.
    NoSolutionError
        If no path joins the ends (cannot happen in a valid polygon; guards against rounding).

    Notes
    -----
    ``length = min over chains (start, c1, ..., ck, end) of sum |c_i - c_(i-1)|`` with every link inside the polygon and
    every ``c`` a re-entrant corner. Valid for any simple polygon with holes. Source: Lozano-Pérez and Wesley, "An
    algorithm for planning collision-free paths among polyhedral obstacles", Communications of the ACM 22(10), 1979
    (from memory).
    """
    if not polygon.is_valid:
        raise GeometryError("a path was asked for in an outline that crosses itself")
    shapely.prepare(polygon)
    for name, (x, y) in (("start", start), ("end", end)):
        if polygon.distance(shapely.Point(x, y)) > TOUCH_M:
            raise GeometryError(f"the {name} of the path ({x:.3f}, {y:.3f}) lies outside the outline")
    nodes = np.array([start, end, *reflex_corners(polygon)], dtype=np.float64)
    first, second = np.triu_indices(len(nodes), k=1)
    links = shapely.linestrings(np.stack([nodes[first], nodes[second]], axis=1))
    clear = shapely.covers(polygon, links)
    # An end on the outline may lie a rounding outside it; corners are exact.
    doubtful = ~clear & (first < 2)
    clear[doubtful] = shapely.length(shapely.difference(links[doubtful], polygon)) <= TOUCH_M
    first, second = first[clear], second[clear]
    lengths = np.hypot(*(nodes[first] - nodes[second]).T)
    graph = csr_array((np.maximum(lengths, 1e-300), (first, second)), shape=(len(nodes), len(nodes)))
    reached, before = shortest_tree(graph + graph.T, 0)
    if not math.isfinite(float(reached[1])):
        raise NoSolutionError("no path joins the two points")
    points = tuple((float(nodes[i, 0]), float(nodes[i, 1])) for i in reversed(chain_to_root(before, 1)))
    return float(reached[1]), points
