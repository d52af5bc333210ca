"""Where a person can stand: rooms less walls and furniture, less half a body; doorways kept open."""

import math

import shapely
from shapely import Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from wardwright.analyses.grid import Grid
from wardwright.premises.model import Premises
from wardwright.premises.openings import Opening, OpeningKind
from wardwright.premises.plan import OpeningShape, StoreyPlan

STEP_M = 0.1
"""Cell size where none is asked for. [m]"""
HALF_WIDTH_M = 0.25
"""Half the width of a person walking. Assumption, no source. [m]"""
NARROWEST_M = 0.4
"""A doorway narrower than this lets nobody through. Assumption, no source. [m]"""
SEAM_M = 0.02
"""Gaps between room outlines up to twice this are drawing, not barrier. [m]"""
STEPPED_OVER_M = 0.5
"""Furniture lower than this is stepped over or onto. Assumption, no source. [m]"""
HEADROOM_M = 1.6
"""Furniture that starts above this is walked under. Assumption, no source. [m]"""


def is_way_in(premises: Premises, opening: Opening) -> bool:
    """True for an opening between indoors and anywhere else: out of doors, a balcony, other premises, or not known.

    Parameters
    ----------
    premises : Premises
        The building.
    opening : Opening
        One of its openings.

    Returns
    -------
    bool
        Whether an intruder coming through it comes in.
    """
    return len(indoor_rooms(premises, opening)) < 2


def indoor_rooms(premises: Premises, opening: Opening) -> list[str]:
    """Rooms indoors that an opening joins, by id."""
    return [key for key in opening.room_ids if premises.room(key).indoors]


def is_inner_way(premises: Premises, opening: Opening) -> bool:
    """True for a door or passage a person can walk through between two rooms of one storey."""
    walked = (OpeningKind.DOOR, OpeningKind.PASSAGE, OpeningKind.GARAGE_DOOR, OpeningKind.HATCH)
    return (
        opening.kind in walked
        and opening.place.kind != "slab"
        and opening.width_m >= NARROWEST_M
        and not is_way_in(premises, opening)
    )


def free_floor(premises: Premises, plan: StoreyPlan, half_width: float, step: float) -> BaseGeometry:
    """Where the middle of a person can be on one storey.

    Parameters
    ----------
    premises : Premises
        The building.
    plan : StoreyPlan
        One of its storeys.
    half_width : float
        Half the width of a person. [m]
    step : float
        Cell size; a doorway is never narrowed to less than one and a half cells. [m]

    Returns
    -------
    BaseGeometry
        Rooms less walls and furniture, less half a body; doorways kept open.
    """
    ways = [s for s in plan.openings if is_inner_way(premises, s.opening)]
    indoors = [plan.room_shapes[r.id] for r in plan.rooms if r.indoors]
    if not indoors:
        return Polygon()
    floor = unary_union([*indoors, *(s.outline for s in ways)]).buffer(SEAM_M, join_style="mitre")
    solid: list[BaseGeometry] = [
        Polygon(o.outline) for o in plan.obstacles if in_the_way(o.base_m, o.height_m, o.moves)
    ]
    # the flight takes the floor below and leaves a hole in the floor above
    solid += [
        Polygon(s.outline)
        for s in premises.stairs
        if s.outline and not s.assumed and plan.storey.id in (s.lower_storey_id, s.upper_storey_id)
    ]
    if plan.bodies:
        solid.append(plan.solid(open_ids=frozenset(s.opening.id for s in ways)))
    if solid:
        floor = floor.difference(unary_union(solid))
    if half_width <= 0.0:
        return floor
    corridors = [_corridor(s, half_width, step).intersection(floor) for s in ways]
    return unary_union([floor.buffer(-half_width, quad_segs=4), *corridors])


def in_the_way(base: float, top: float, moves: bool) -> bool:
    """Whether furniture stands in the way of somebody walking: too high to step over, too low to walk under."""
    return not moves and top >= STEPPED_OVER_M and base < HEADROOM_M


def _corridor(shape: OpeningShape, half_width: float, step: float) -> Polygon:
    """The strip through a doorway in which the middle of a person can be."""
    wide = max(shape.opening.width_m / 2 - half_width, 0.75 * step)
    deep = shape.depth_m / 2 + half_width + step
    return _rectangle(shape, wide, deep)


def _rectangle(shape: OpeningShape, wide: float, deep: float) -> Polygon:
    (x, y), cos, sin = shape.centre, math.cos(shape.along_rad), math.sin(shape.along_rad)
    corners = ((-wide, -deep), (wide, -deep), (wide, deep), (-wide, deep))
    return Polygon([(x + a * cos - b * sin, y + a * sin + b * cos) for a, b in corners])


def storey_grid(plan: StoreyPlan, step: float) -> Grid | None:
    """Cells over the rooms of a storey, centres on whole multiples of the step.

    Parameters
    ----------
    plan : StoreyPlan
        The storey.
    step : float
        Cell size. [m]

    Returns
    -------
    Grid or None
        None for a storey without rooms.
    """
    if not plan.rooms:
        return None
    x0, y0, x1, y1 = shapely.total_bounds(list(plan.room_shapes.values()))
    ix0, iy0 = math.floor(x0 / step) - 1, math.floor(y0 / step) - 1
    nx, ny = math.ceil(x1 / step) + 2 - ix0, math.ceil(y1 / step) + 2 - iy0
    return Grid(plan.storey.id, ix0 * step, iy0 * step, step, nx, ny)
