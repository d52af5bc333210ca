"""What lies at a point of a storey: a room, a wall, out of doors, or somewhere the source does not name."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.model import XY
from wardwright.premises.openings import OUTSIDE

_PROBES_M = (0.03, 0.10, 0.20, 0.35, 0.60)
"""Distances beyond a wall's face at which a room is looked for: finishes and furring stand between. [m]"""
_CLOSING_M = 0.35
"""Gaps between walls up to twice this do not let the outside in. [m]"""

Side = str | None
"""A room id, ``outside``, or None for somewhere unnamed."""


@dataclass(frozen=True)
class Space:
    """A room as far as looking for it goes."""

    room_id: str
    shape: Polygon
    low: float
    """Floor above the building's zero. [m]"""
    high: float
    """Ceiling. [m]"""
    indoors: bool


class Enclosure:
    """Rooms and walls of one storey, asked what lies where."""

    def __init__(
        self, spaces: Sequence[Space], bodies: Sequence[Polygon], covers: BaseGeometry | None, low: float, high: float
    ) -> None:
        self.spaces = [s for s in spaces if min(s.high, high) - max(s.low, low) > 0.5 and not s.shape.is_empty]
        self._shapes = np.array([s.shape for s in self.spaces], dtype=object)
        shapely.prepare(self._shapes)
        indoors = [s.shape for s in self.spaces if s.indoors]
        self.walls = shapely.union_all(list(bodies)) if bodies else Polygon()
        built = shapely.union_all([*indoors, self.walls])
        closed = built.buffer(_CLOSING_M).buffer(-_CLOSING_M)
        whole = [Polygon(p.exterior) for p in getattr(closed, "geoms", [closed]) if not p.is_empty]
        gaps = [Polygon(h) for p in getattr(closed, "geoms", [closed]) if not p.is_empty for h in p.interiors]
        # A gap under no roof, in a building that has roofs drawn, is a courtyard.
        yards = [g for g in gaps if covers is not None and covers.intersection(g).area < 0.3 * g.area]
        self.within = shapely.difference(shapely.union_all(whole), shapely.union_all(yards)) if whole else Polygon()
        shapely.prepare(self.within)
        shapely.prepare(self.walls)

    def at(self, points: NDArray[np.float64], low: float, high: float) -> list[Side]:
        """What lies at each point between two heights.

        Parameters
        ----------
        points : ndarray
            n by 2. [m]
        low, high : float
            Range of heights that matters, above the building's zero. [m]

        Returns
        -------
        list of str or None
            Room id, ``outside``, ``wall`` for inside a wall, or None.
        """
        found: list[Side] = [None] * len(points)
        if len(self.spaces):
            inside = shapely.contains_xy(self._shapes[:, None], points[None, :, 0], points[None, :, 1])
            need = min(0.3, 0.3 * (high - low))
            fits = np.array([min(s.high, high + 0.05) - max(s.low - 0.05, low) > need for s in self.spaces])
            area = np.array([s.shape.area for s in self.spaces])
            for n in range(len(points)):
                hits = np.nonzero(inside[:, n] & fits)[0]
                if len(hits):
                    space = self.spaces[int(hits[np.argmin(area[hits])])]
                    found[n] = space.room_id if space.indoors else OUTSIDE
        within = shapely.contains_xy(self.within, points[:, 0], points[:, 1])
        in_wall = shapely.contains_xy(self.walls, points[:, 0], points[:, 1])
        for n in range(len(points)):
            if found[n] is None:
                found[n] = "wall" if in_wall[n] else None if within[n] else OUTSIDE
        return found

    def beyond(
        self, centre: XY, normal: XY, face: float, width: float, low: float, high: float
    ) -> Side | Literal["wall"]:
        """What lies beyond one face of a wall.

        Parameters
        ----------
        centre : XY
            A point on the wall's axis. [m]
        normal : XY
            Unit vector towards the side asked about.
        face : float
            Distance from axis to face. [m]
        width : float
            Width along the wall over which to look. [m]
        low, high : float
            Range of heights. [m]
        """
        tangent = (-normal[1], normal[0])
        spread = (0.0, -0.3 * width, 0.3 * width)
        points = np.array(
            [
                (
                    centre[0] + normal[0] * (face + d) + tangent[0] * s,
                    centre[1] + normal[1] * (face + d) + tangent[1] * s,
                )
                for d in _PROBES_M
                for s in spread
            ]
        )
        sides = self.at(points, low, high)
        for n in range(len(_PROBES_M)):
            three = [s for s in sides[3 * n : 3 * n + 3] if s not in (None, OUTSIDE, "wall")]
            if three:
                return max(three, key=lambda s: (three.count(s), s == three[0]))
        far = sides[-3:]
        near = sides[6:9]
        for answer in (OUTSIDE, None):
            if near.count(answer) >= 2 or far.count(answer) >= 2:
                return answer
        return OUTSIDE if OUTSIDE in far else "wall" if "wall" in far else None


def left_normal(angle: float) -> XY:
    """Unit vector 90 degrees anticlockwise from a direction.

    Parameters
    ----------
    angle : float
        Direction. [rad]
    """
    return -math.sin(angle), math.cos(angle)
