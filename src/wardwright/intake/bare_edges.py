"""Edges of rooms along which the source draws no wall and no room: a wall that was left out, put up and reported."""

import itertools
import math
from collections.abc import Sequence

import shapely
from shapely import LineString, Point, Polygon
from shapely.ops import linemerge

from wardwright.intake.levels import Level
from wardwright.intake.report import Report
from wardwright.intake.room_outlines import Floor
from wardwright.intake.wall_axes import polygons_of
from wardwright.intake.wall_pieces import DEFAULT_OUTER_M, Piece
from wardwright.model import XY

_NEAR_M = 0.45
"""A wall this near a room's edge is the room's wall: finishes and linings stand between. [m]"""
_SHORTEST_M = 0.60
_STEP_M = 0.50


def walls_left_out(
    floors: Sequence[Floor], pieces: Sequence[Piece], levels: Sequence[Level], report: Report
) -> list[Piece]:
    """Walls along the bare edges of indoor rooms.

    Parameters
    ----------
    floors : sequence of Floor
        All rooms.
    pieces : sequence of Piece
        All walls.
    levels : sequence of Level
        Storeys.
    report : Report
        Takes the guesses.

    Returns
    -------
    list of Piece
        Straight walls just outside the rooms, marked as assumed.
    """
    made: list[Piece] = []
    for level in levels:
        bodies = [p.body for p in pieces if p.storey_id == level.id]
        if not bodies:
            continue
        here = [f for f in floors if min(f.high, level.ceiling) - max(f.low, level.elevation) > 1.0]
        walls = shapely.union_all(bodies).buffer(_NEAR_M)
        built = shapely.union_all([*bodies, *(f.shape for f in here if f.draft.indoors)])
        closed = built.buffer(_NEAR_M).buffer(-_NEAR_M)
        within = shapely.union_all([Polygon(p.exterior) for p in polygons_of(closed)])
        for floor in here:
            if not floor.draft.indoors or floor.draft.storey_key != level.key:
                continue
            others = [f.shape for f in here if f is not floor]
            covered = shapely.union_all([walls, *(o.buffer(_NEAR_M) for o in others)])
            bare = floor.shape.boundary.difference(covered)
            for n, (a, b) in enumerate(_stretches(bare), start=1):
                if within.contains(Point(_beyond(a, b, floor.shape, _STEP_M))):
                    continue  # a stairwell or a void in the floor: inside the building, and railed, not walled
                axis = _beside(a, b, floor.shape)
                key = f"{floor.key}|edge{n}"
                made.append(
                    Piece(
                        id="",
                        source_key=key,
                        storey_id=level.id,
                        axis=axis,
                        thickness=DEFAULT_OUTER_M,
                        low=level.elevation,
                        high=level.ceiling,
                        assumed=True,
                    )
                )
                report.add(
                    "a wall the source leaves out",
                    (floor.key, key),
                    "put up along the bare edge of the room, as thick as an outside wall",
                    "measure it, or mark the edge as open",
                )
    return made


def _stretches(bare: shapely.Geometry) -> list[tuple[XY, XY]]:
    lines = [g for g in getattr(bare, "geoms", [bare]) if isinstance(g, LineString) and g.length > 1e-6]
    if not lines:
        return []
    merged = linemerge(lines) if len(lines) > 1 else lines[0]
    found: list[tuple[XY, XY]] = []
    for line in getattr(merged, "geoms", [merged]):
        for a, b in itertools.pairwise(line.simplify(0.03).coords):
            if math.dist(a, b) >= _SHORTEST_M:
                found.append(((float(a[0]), float(a[1])), (float(b[0]), float(b[1]))))
    return found


def _beyond(a: XY, b: XY, room: Polygon, step: float) -> XY:
    """The point a step outside the middle of an edge."""
    length = math.dist(a, b)
    nx, ny = -(b[1] - a[1]) / length, (b[0] - a[0]) / length
    x, y = (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0
    if room.contains(Point(x + 0.05 * nx, y + 0.05 * ny)):
        nx, ny = -nx, -ny
    return x + step * nx, y + step * ny


def _beside(a: XY, b: XY, room: Polygon) -> tuple[XY, XY]:
    """The axis of a wall whose inner face is the edge, run on to the walls it was cut short of."""
    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    x, y = _beyond(a, b, room, DEFAULT_OUTER_M / 2.0)
    reach = length / 2.0 + _NEAR_M
    return (x - reach * ux, y - reach * uy), (x + reach * ux, y + reach * uy)
