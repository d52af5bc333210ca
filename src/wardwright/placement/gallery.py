"""The fewest corners from which a whole floor can be seen: the art-gallery problem with guards at corners.

Range and field of view are left out on purpose: whatever is bought, no number of devices hung in fewer corners can see
all of the floor at once. Solved by witnesses: the corners are chosen to see a finite set of points, which bounds the
number from below; where the chosen corners leave a piece unseen, a point of it joins the witnesses, until nothing is
left unseen. [COUTO-2011]_
"""

from dataclasses import dataclass
from time import monotonic

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.sightlines import sightlines
from wardwright.geometry.visibility import Scene, visible
from wardwright.model import XY
from wardwright.placement.covering import cover_rows, solve_cover
from wardwright.premises.model import Premises

GRID = 1e-10
"""Grid to which the last unions are rounded, as a share of the size of the floor.

Quick unions without one go wrong now and then where sides nearly coincide. [-]
"""

SLIVER = 1e-8
"""Radius up to which an unseen piece is taken for rounding, as a share of the size of the floor. [-]"""


@dataclass(frozen=True)
class Gallery:
    """Corners that see a floor, and how few there can be."""

    corners: tuple[XY, ...]
    """Chosen corners. [m]"""
    at_least: int
    """No fewer corners see all of it. [-]"""
    unseen_m2: float
    """What the chosen ones do not see; slivers of rounding only, where the floor is seen whole. [m²]"""
    whole: bool
    """No piece wider than rounding is left unseen."""
    rounds: int
    """How often the witnesses were added to. [-]"""

    @property
    def proved(self) -> bool:
        """Fewest there can be."""
        return self.whole and len(self.corners) == self.at_least


def fewest_corners(free_space: Polygon | MultiPolygon, *, time_limit_s: float = 60.0) -> Gallery:
    """Fewest corners of a free space that between them see all of it.

    Parameters
    ----------
    free_space : Polygon or MultiPolygon
        Where sight is free; what blocks it is outside or a hole. [m]
    time_limit_s : float
        After this the best so far is returned, with its bound.
    """
    end = monotonic() + time_limit_s
    scene = Scene.from_polygon(free_space)
    rings = [ring for part in shapely.get_parts(free_space) for ring in (part.exterior, *part.interiors)]
    corners: list[XY] = [(float(x), float(y)) for ring in rings for x, y in list(ring.coords)[:-1]]
    views = [visible(scene, corner) for corner in corners]
    shapes = [shapely.make_valid(view.polygon()) for view in views]
    size = max(free_space.bounds[2] - free_space.bounds[0], free_space.bounds[3] - free_space.bounds[1])

    def seeing(points: NDArray[np.float64]) -> list[list[int]]:
        seen = np.array([view.contains(points[:, 0], points[:, 1]) for view in views])
        return [np.flatnonzero(column).tolist() for column in seen.T]

    triangles = np.array(scene.corners).reshape(-1, 3, 2)
    lists = seeing(triangles.mean(axis=1))
    chosen: tuple[int, ...] = ()
    at_least, rounds = 0, 0
    while True:
        grid: float | None = None
        rows = cover_rows([(seen, [1.0] * len(seen)) for seen in lists], len(corners))
        result = solve_cover(np.ones(len(corners)), rows, time_limit_s=end - monotonic(), start=chosen)
        chosen, at_least = result.chosen, max(at_least, round(result.bound))
        while True:
            seen = shapely.union_all([shapes[j] for j in chosen], grid_size=grid)
            unseen = shapely.difference(free_space, seen, grid_size=grid)
            pieces = [spot for p in shapely.get_parts(unseen) if (spot := _roomiest(p, SLIVER * size)) is not None]
            found = seeing(np.array(pieces).reshape(-1, 2))
            news = [seen for seen in found if not set(seen) & set(chosen)]
            if news or grid is not None:
                break
            grid = GRID * size  # the quick union may have gone wrong: nothing is believed finished without the slow one
        if not news or monotonic() >= end:
            break
        lists += news
        rounds += 1
    return Gallery(tuple(corners[j] for j in chosen), at_least, float(unseen.area), not pieces, rounds)


def _roomiest(piece: Polygon, least: float) -> XY | None:
    """Middle of the widest circle in a triangle of a piece; None where none is wider than rounding.

    A point well inside: pieces trail slivers along the sides of views, and a point of those would be in sight.
    """
    if piece.area <= 0.0:
        return None
    parts = shapely.get_parts(shapely.constrained_delaunay_triangles(piece))
    if not len(parts):
        return None
    corners = shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3]
    opposite = np.hypot(*(np.roll(corners, -1, axis=1) - np.roll(corners, 1, axis=1)).transpose(2, 0, 1))
    around = opposite.sum(axis=1)
    radius = 2.0 * shapely.area(parts) / around
    k = int(np.argmax(radius))
    if radius[k] <= least:
        return None
    x, y = (corners[k] * opposite[k][:, None]).sum(axis=0) / around[k]
    return float(x), float(y)


def storey_corners(premises: Premises, mode: Mode, *, time_limit_s: float = 60.0) -> dict[str, Gallery]:
    """Fewest corners of every storey, doors standing as the household leaves them.

    Parameters
    ----------
    premises : Premises
        The building.
    mode : Mode
        Away, or with people inside: bedroom and bathroom doors are shut then.
    time_limit_s : float
        For each storey.

    Returns
    -------
    dict of str to Gallery
        By id of the storey; storeys without rooms are not in it. What stands in a room does not block sight here:
        what is low can be looked over from the height at which detectors hang.
    """
    doors = open_inner_doors(premises, mode)
    seen = {storey.id: sightlines(premises, storey.id, doors) for storey in premises.storeys}
    return {
        key: fewest_corners(lines.free, time_limit_s=time_limit_s) for key, lines in seen.items() if lines is not None
    }
