"""The straight line from a radio device to its receiver: the walls, doors, panes and floors it really goes through."""

import math
from dataclasses import dataclass

from shapely import LineString, Point

from wardwright.model import XY
from wardwright.premises.fabric import Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import OpeningShape, StoreyPlan, storey_plans

Layers = tuple[tuple[str, float], ...]

ON_WALL_M = 0.12
"""What lies this near either end is the wall a device is fixed on, and is not counted. [m]"""
FLOOR_APART_M = 1.0
"""Storeys nearer in level than this have no floor between them. [m]"""
LEAST_M = 0.02
"""Shorter pieces of wall on the line are slivers of the drawing. [m]"""
THIN_M = 0.15
"""An inside wall no thicker than this is taken for boards on studs where nobody says. Assumption. [m]"""
BOARD_M = 0.0125
LEAF_M = 0.044
PANE_M = 0.004
GAP_M = 0.016
LIGHT_FLOOR: Layers = (("chipboard", 0.018), ("air", 0.2), ("plasterboard", 0.0125))
HEAVY_FLOOR: Layers = (("concrete", 0.2),)
KNOWN_AS = {
    "brick": "brick",
    "concrete": "concrete",
    "plasterboard": "plasterboard",
    "timber": "timber",
    "air": "air",
    "glass": "glass",
    "insulation": "air",
    "block": "concrete",
    "stud": "air",
    "plaster and lath": "plasterboard",
    "stone": "concrete",
    "steel": "steel",
}
"""Material of the radio table that stands for one of the walls'. Block and stone as concrete: assumption."""


@dataclass(frozen=True)
class Crossing:
    """Something on the line."""

    what: str
    """Words for the firm: ``wall g-mid``, ``front door``, ``floor of Upper floor``."""
    likely: Layers
    least: Layers
    most: Layers
    """The same three times where the build-up is known."""
    angle_rad: float
    known: bool
    heavy: bool
    floor: bool = False


def crossings(premises: Premises, start: tuple[str, XY, float], end: tuple[str, XY, float]) -> tuple[Crossing, ...]:
    """Everything on a line.

    Parameters
    ----------
    premises : Premises
        The building.
    start, end : (str, (float, float), float)
        Storey, place on plan [m] and height above that storey's floor [m].

    Returns
    -------
    tuple of Crossing
        In the order of storeys, lowest first.
    """
    low, high = _raised(premises, start), _raised(premises, end)
    if low[2] > high[2]:
        low, high = high, low
    storeys = sorted(premises.storeys, key=lambda s: s.elevation_m)
    plans = storey_plans(premises)
    found: list[Crossing] = []
    for n, storey in enumerate(storeys):
        below = -math.inf if storey.elevation_m <= storeys[0].elevation_m else storey.elevation_m
        above = min((s.elevation_m for s in storeys if s.elevation_m > storey.elevation_m + 1e-6), default=math.inf)
        apart = n == 0 or storey.elevation_m - storeys[n - 1].elevation_m >= FLOOR_APART_M
        if apart and n and low[2] < storey.elevation_m < high[2]:
            found.append(_floor(storey.name, low, high))
        piece = _within(low, high, below, above)
        if piece is not None:
            found += _walls(plans[storey.id], piece, storey.elevation_m, (low, high))
    return tuple(found)


def line_length(premises: Premises, start: tuple[str, XY, float], end: tuple[str, XY, float]) -> float:
    """Straight distance between two places. [m]"""
    return math.dist(_raised(premises, start), _raised(premises, end))


def _raised(premises: Premises, place: tuple[str, XY, float]) -> tuple[float, float, float]:
    storey_id, (x, y), height = place
    return x, y, premises.storey(storey_id).elevation_m + height


Space = tuple[float, float, float]


def _within(low: Space, high: Space, below: float, above: float) -> tuple[Space, Space] | None:
    """The part of the line between two levels."""
    rise = high[2] - low[2]
    if rise < 1e-9:
        return (low, high) if below <= low[2] < above else None
    t0, t1 = max(0.0, (below - low[2]) / rise), min(1.0, (above - low[2]) / rise)
    return (_at(low, high, t0), _at(low, high, t1)) if t1 > t0 else None


def _at(low: Space, high: Space, t: float) -> Space:
    return (low[0] + t * (high[0] - low[0]), low[1] + t * (high[1] - low[1]), low[2] + t * (high[2] - low[2]))


def _floor(name: str, low: Space, high: Space) -> Crossing:
    length = math.dist(low, high)
    angle = math.acos(min(1.0, (high[2] - low[2]) / length))
    return Crossing(f"floor of {name}", LIGHT_FLOOR, LIGHT_FLOOR, HEAVY_FLOOR, angle, False, True, floor=True)


def _walls(plan: StoreyPlan, piece: tuple[Space, Space], level: float, ends: tuple[Space, Space]) -> list[Crossing]:
    a, b = piece
    flat = LineString([a[:2], b[:2]])
    if flat.length < LEAST_M:
        return []
    for tip in ends:
        flat = flat.difference(Point(tip[:2]).buffer(ON_WALL_M))
    if flat.is_empty:
        return []
    found = []
    walls = {w.id: w for w in plan.walls}
    for key, body in plan.bodies.items():
        inside = flat.intersection(body)
        if inside.length < LEAST_M:
            continue
        middle = inside.interpolate(0.5, normalized=True) if inside.geom_type == "LineString" else inside.centroid
        t = math.dist(a[:2], (middle.x, middle.y)) / math.dist(a[:2], b[:2])
        height = _at(a, b, min(1.0, t))[2] - level
        wall = walls[key]
        if not wall.base_m <= height <= wall.base_m + (wall.height_m or plan.storey.height_m + 1.0):
            continue
        angle = _angle(wall, (middle.x, middle.y), a, b)
        through = next(
            (
                s
                for s in plan.openings
                if s.outline.covers(Point(middle.x, middle.y))
                and s.opening.sill_m <= height <= s.opening.sill_m + s.opening.height_m
            ),
            None,
        )
        told = _opening(through, angle) if through is not None else _wall(wall, plan, angle)
        if told is not None:
            found.append(told)
    return found


def _angle(wall: Wall, at: XY, a: Space, b: Space) -> float:
    """Between the line and the normal of a wall. [rad]"""
    nearest = min(zip(wall.axis, wall.axis[1:], strict=False), key=lambda leg: LineString(leg).distance(Point(at)))
    along = (nearest[1][0] - nearest[0][0], nearest[1][1] - nearest[0][1])
    size = math.hypot(*along) or 1.0
    line = tuple(q - p for p, q in zip(a, b, strict=True))
    across = abs(line[0] * along[1] - line[1] * along[0]) / size / (math.hypot(*line) or 1.0)
    return math.acos(min(1.0, across))


def _opening(shape: OpeningShape, angle: float) -> Crossing | None:
    opening = shape.opening
    if opening.kind is OpeningKind.PASSAGE:
        return None
    pane: Layers = (("glass", PANE_M),)
    double: Layers = (("glass", PANE_M), ("air", GAP_M), ("glass", PANE_M))
    leaf = opening.leaves[0] if opening.leaves else None
    if opening.kind in (OpeningKind.WINDOW, OpeningKind.ROOFLIGHT) or (
        leaf is not None and leaf.glazing is not None and leaf.glazing.part == "whole"
    ):
        panes = leaf.glazing.panes if leaf is not None and leaf.glazing is not None else 0
        likely = pane if panes == 1 else double
        return Crossing(opening.name, likely, pane, double, angle, panes > 0, False)
    if leaf is not None and leaf.material == "steel":
        sheet: Layers = (("steel", 0.001),)
        return Crossing(opening.name, sheet, sheet, sheet, angle, True, True)
    solid: Layers = (("timber", LEAF_M),)
    board: Layers = (("chipboard", LEAF_M),)
    return Crossing(opening.name, solid, solid, board, angle, False, False)


def _wall(wall: Wall, plan: StoreyPlan, angle: float) -> Crossing:
    layers = plan.layers_of(wall)
    if layers and all(layer.material in KNOWN_AS for layer in layers):
        known = tuple((KNOWN_AS[layer.material], layer.thickness_m) for layer in layers)
        solid = sum(t for m, t in known if m in ("brick", "concrete", "steel"))
        return Crossing(f"wall {wall.id}", known, known, known, angle, True, solid >= 0.1)
    thick = wall.thickness_m
    studs: Layers = (("plasterboard", BOARD_M), ("air", max(0.02, thick - 2 * BOARD_M)), ("plasterboard", BOARD_M))
    light = thick <= THIN_M and not wall.outside and not wall.party
    brick: Layers = (("brick", min(thick, 0.215)),)
    concrete: Layers = (("concrete", min(thick, 0.3)),)
    return Crossing(
        f"wall {wall.id}", studs if light else brick, studs, brick if light else concrete, angle, False, not light
    )
