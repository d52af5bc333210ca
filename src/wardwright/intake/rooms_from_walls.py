"""Rooms found from walls alone: what the walls and the openings drawn in them close off."""

import math
from collections.abc import Iterable, Sequence

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.intake.draft import DraftOpening, DraftRoom, DraftWall
from wardwright.intake.wall_axes import closed_up, polygons_of
from wardwright.model import XY, Ring

SMALL_GAP_M = 0.06
"""Gaps up to this are slips of the drawing and are closed everywhere. [m]"""
END_GAP_M = 0.35
"""A wall that stops this short of another it points at is run on to it. [m]"""
SMALLEST_ROOM_M2 = 0.25
NARROWEST_ROOM_M = 0.30
"""Cavities, shafts and slips between wall leaves are no rooms. [m]"""
DEFAULT_THICKNESS_M = 0.10
"""Thickness of a wall whose axis is known and nothing else. [m]"""
DEFAULT_WIDTH_M = 0.90


def wall_shape(wall: DraftWall) -> BaseGeometry:
    """Body of a drafted wall on plan; empty where it has none.

    Parameters
    ----------
    wall : DraftWall
        With an axis or a body.
    """
    if len(wall.body) >= 3:
        body = Polygon(wall.body)
        return body if body.is_valid else shapely.make_valid(body)
    points = [p for k, p in enumerate(wall.axis) if k == 0 or math.dist(p, wall.axis[k - 1]) > 1e-6]
    if len(points) < 2:
        return Polygon()
    thickness = wall.thickness_m or DEFAULT_THICKNESS_M
    return LineString(points).buffer(thickness / 2, cap_style="flat", join_style="mitre")


def rooms_from_walls(walls: Sequence[DraftWall], openings: Sequence[DraftOpening]) -> tuple[DraftRoom, ...]:
    """Rooms closed off by walls, storey by storey.

    Parameters
    ----------
    walls : sequence of DraftWall
        Axis with thickness, or body. They may overlap and may stop a little short of each other.
    openings : sequence of DraftOpening
        They close the gaps they stand in.

    Returns
    -------
    tuple of DraftRoom
        Largest first on each storey; named ``room 1`` and so on. Empty where the walls close nothing off.
    """
    rooms: list[DraftRoom] = []
    for storey_key in dict.fromkeys(w.storey_key for w in walls):
        here = [w for w in walls if w.storey_key == storey_key]
        base = min((w.base_m for w in here), default=0.0)
        free = free_spaces(here, [o for o in openings if o.storey_key == storey_key])
        for number, shape in enumerate(free, start=1):
            outer, holes = rings_of(shape)
            key = f"{storey_key}-room-{number}"
            rooms.append(DraftRoom(key, storey_key, f"room {number}", outer, holes, base_m=max(0.0, base)))
    return tuple(rooms)


def free_spaces(walls: Sequence[DraftWall], openings: Sequence[DraftOpening]) -> list[Polygon]:
    """Floors closed off by the walls of one storey, largest first.

    Parameters
    ----------
    walls : sequence of DraftWall
        Walls of one storey.
    openings : sequence of DraftOpening
        Openings of the same storey.

    Returns
    -------
    list of Polygon
        Without the outdoors, without cavities. [m]
    """
    bodies = [b for b in (wall_shape(w) for w in walls) if not b.is_empty]
    if not bodies:
        return []
    fabric = shapely.union_all(bodies)
    fills = [f for f in (_fill(o, bodies) for o in openings) if f is not None]
    fills += _run_on(walls) + _corners(walls)
    solid = shapely.union_all([fabric, *fills])
    half = SMALL_GAP_M / 2
    closed = closed_up(solid, half)
    closed = shapely.union_all([closed, solid])
    found: list[Polygon] = []
    for block in polygons_of(closed):
        for ring in block.interiors:
            floor = Polygon(ring).difference(closed)
            found += [p for p in polygons_of(floor) if _is_room(p)]
    found = [p for k, p in enumerate(found) if not any(p.equals(q) for q in found[:k])]
    return sorted(found, key=lambda p: -p.area)


def _is_room(shape: Polygon) -> bool:
    return bool(
        shape.area >= SMALLEST_ROOM_M2
        and not shape.buffer(-NARROWEST_ROOM_M / 2).is_empty
        and shape.area / max(shape.length, 1e-9) > 0.1
    )


def _fill(opening: DraftOpening, bodies: Sequence[BaseGeometry]) -> Polygon | None:
    """What shuts an opening's gap: a strip along its wall, as thick as the wall beside it."""
    if opening.centre is None or opening.outline:
        return None
    spot = Point(opening.centre)
    width = opening.width_m or DEFAULT_WIDTH_M
    near = sorted((b for b in bodies if b.distance(spot) < width), key=lambda b: b.distance(spot))
    along = opening.along_rad
    if along is None:
        if not near:
            return None
        along = _direction(near[0])
    depth = min((t for t in (_depth(b, along) for b in near[:2]) if t <= 1.0), default=DEFAULT_THICKNESS_M)
    ux, uy = math.cos(along), math.sin(along)
    x, y = opening.centre
    reach = width / 2 + 0.03
    line = LineString([(x - ux * reach, y - uy * reach), (x + ux * reach, y + uy * reach)])
    strip = line.buffer(max(depth, 0.04) / 2, cap_style="flat")
    return strip if isinstance(strip, Polygon) else None


def _direction(shape: BaseGeometry) -> float:
    box = shape.minimum_rotated_rectangle
    if not isinstance(box, Polygon):
        return 0.0
    a, b, c, _ = list(box.exterior.coords)[:4]
    if math.dist(a, b) < math.dist(b, c):
        a, b = b, c
    return math.atan2(b[1] - a[1], b[0] - a[0])


def _depth(shape: BaseGeometry, along: float) -> float:
    nx, ny = -math.sin(along), math.cos(along)
    across = [x * nx + y * ny for p in polygons_of(shape) for x, y, *_ in p.exterior.coords]
    return max(across) - min(across) if across else DEFAULT_THICKNESS_M


def _run_on(walls: Sequence[DraftWall]) -> list[Polygon]:
    """Walls that stop a little short of another are run on to it."""
    added: list[Polygon] = []
    bodies = [wall_shape(w) for w in walls]
    tree = shapely.STRtree(bodies)
    for k, wall in enumerate(walls):
        points = wall.axis
        if len(points) < 2:
            continue
        thickness = wall.thickness_m or DEFAULT_THICKNESS_M
        for tip, before in ((points[0], points[1]), (points[-1], points[-2])):
            length = math.dist(tip, before)
            if length < 1e-6:
                continue
            ux, uy = (tip[0] - before[0]) / length, (tip[1] - before[1]) / length
            far = (tip[0] + ux * (END_GAP_M + thickness / 2), tip[1] + uy * (END_GAP_M + thickness / 2))
            ahead = LineString([tip, far])
            near = [j for j in tree.query(ahead, predicate="dwithin", distance=thickness) if j != k]
            if any(bodies[j].distance(Point(tip)) < thickness / 2 + 1e-6 for j in near):
                continue
            if not any(bodies[j].intersects(ahead) for j in near):
                continue
            strip = LineString([tip, far]).buffer(min(thickness, 0.1) / 2, cap_style="flat")
            added += polygons_of(strip)
    return added


def _corners(walls: Sequence[DraftWall]) -> list[Polygon]:
    """Where one axis ends on another the bodies leave a notch: fill it."""
    lines = [LineString(w.axis) for w in walls if len(w.axis) >= 2 and LineString(w.axis).length > 1e-6]
    owners = [w for w in walls if len(w.axis) >= 2 and LineString(w.axis).length > 1e-6]
    tree = shapely.STRtree(lines)
    added: list[Polygon] = []
    for k, wall in enumerate(owners):
        half = (wall.thickness_m or DEFAULT_THICKNESS_M) / 2
        for tip, before in ((wall.axis[0], wall.axis[1]), (wall.axis[-1], wall.axis[-2])):
            length = math.dist(tip, before)
            spot = Point(tip)
            if length < 1e-6 or not any(
                j != k and lines[j].distance(spot) < 0.03 for j in tree.query(spot.buffer(0.05))
            ):
                continue
            far = (tip[0] + (tip[0] - before[0]) / length * half, tip[1] + (tip[1] - before[1]) / length * half)
            added += polygons_of(LineString([tip, far]).buffer(half, cap_style="flat"))
    return added


def rings_of(shape: Polygon, *, tolerance: float = 0.004) -> tuple[Ring, tuple[Ring, ...]]:
    """Outer ring and holes of a polygon, anticlockwise, without needless points.

    Parameters
    ----------
    shape : Polygon
        A floor. [m]
    tolerance : float
        Largest shift allowed. [m]

    Returns
    -------
    tuple
        Outer ring and hole rings, first point not repeated.
    """
    plain = shapely.simplify(shape, tolerance)
    if not isinstance(plain, Polygon) or not plain.is_valid or plain.is_empty:
        plain = shape
    plain = shapely.geometry.polygon.orient(plain)

    def ring(coords: Iterable[tuple[float, ...]]) -> tuple[XY, ...]:
        return tuple((float(c[0]), float(c[1])) for c in coords)[:-1]

    holes = [h for h in plain.interiors if Polygon(h).area > 0.01]
    return ring(plain.exterior.coords), tuple(ring(h.coords) for h in holes)
