"""A walk along straight lines, as somebody wrote it down: it must not meet a wall."""

import itertools
import math
from collections.abc import Sequence

import numpy as np
from shapely import LineString, Point, Polygon, get_coordinates

from wardwright.analyses.detection_along import Walk
from wardwright.analyses.free_floor import HALF_WIDTH_M, in_the_way, is_inner_way
from wardwright.analyses.scenario.ground import Ground, Spot, Trail
from wardwright.analyses.walkable import nearest_heading
from wardwright.errors import InputError
from wardwright.premises.plan import StoreyPlan

SAMPLE_M = 0.1
"""A straight walk is looked at in steps of about this length. [m]"""


def straight_walk(ground: Ground, through: Sequence[Spot], pace: float) -> Trail:
    """A walk along straight lines, as somebody wrote it down.

    Parameters
    ----------
    ground : Ground
        The floors.
    through : sequence of Spot
        Its corners.
    pace : float
        On the flat. [m/s]

    Returns
    -------
    Trail
        The walk.

    Raises
    ------
    InputError
        If it leads through a wall, furniture or a window, out of doors, or from storey to storey: with the place.
    """
    nodes: list[int] = []
    spots: list[Spot] = []
    moves: list[int] = []
    lengths: list[float] = []
    doors: list[tuple[int, str]] = []
    for a, b in itertools.pairwise(through):
        for spot in (a, b):
            if spot[0] not in ground.graph.storey_ids:
                raise InputError(f"no storey with a floor is called “{spot[0]}”")
        if a[0] != b[0]:
            raise InputError(f"a straight walk stays on one storey; from {ground.said(a)} use “go to” for the stairs")
        _clear(ground, a, b)
        length = max(math.dist(a[1:], b[1:]), SAMPLE_M / 1000)
        count = max(1, math.ceil(length / SAMPLE_M))
        ends = [(a[0], a[1] + (b[1] - a[1]) * i / count, a[2] + (b[2] - a[2]) * i / count) for i in range(count + 1)]
        met = {key: at for key, at in _shut_on(ground, a, b) if key not in {d for _, d in doors}}
        doors += [(len(moves) + min(int(at / length * count), count - 1), key) for key, at in met.items()]
        if not spots:
            spots.append(ends[0])
            nodes.append(_under(ground, ends[0]))
        for spot in ends[1:]:
            spots.append(spot)
            nodes.append(_under(ground, spot))
            moves.append(nearest_heading(math.atan2(b[2] - a[2], b[1] - a[1])))
            lengths.append(length / count)
    wait = np.zeros(len(moves))
    delays = {c.opening.id: delay for c, delay in ground.shut}
    for step, key in doors:
        wait[step] = delays[key]
    chain = np.asarray(nodes, dtype=np.intp)
    along = np.asarray(lengths)
    walk = Walk(
        nodes=tuple(nodes),
        start=chain[:-1],
        end=chain[1:],
        move=np.asarray(moves, dtype=np.intp),
        length_m=along,
        flat_m=along,
        wait_s=wait,
        doors=tuple(doors),
    )
    return Trail(walk, np.full(len(moves), pace), tuple(spots))


def _under(ground: Ground, spot: Spot) -> int:
    node = ground.graph.nearest(spot[0], spot[1:], None, 2 * HALF_WIDTH_M)
    if node is None:
        raise InputError(f"nobody has room to stand at {ground.said(spot)}")
    return node


def _shut_on(ground: Ground, a: Spot, b: Spot) -> list[tuple[str, float]]:
    """Shut inner doors a line passes, with how far along."""
    line = LineString([a[1:], b[1:]])
    found = []
    for crossing, _ in ground.shut:
        shape = ground.shapes[crossing.opening.id]
        if shape.storey_id == a[0] and shape.outline.intersects(line):
            found.append((shape.opening.id, line.project(Point(shape.centre))))
    return found


def _clear(ground: Ground, a: Spot, b: Spot) -> None:
    """Say so where a line meets what nobody walks through."""
    plan, premises = ground.plans[a[0]], ground.scheme.premises
    line = LineString([a[1:], b[1:]])
    ways = frozenset(s.opening.id for s in plan.openings if is_inner_way(premises, s.opening))
    hit = line.intersection(plan.solid(open_ids=ways))
    if not hit.is_empty:
        at = min(get_coordinates(hit).tolist(), key=lambda p: math.dist(p, a[1:]))
        raise InputError(f"the walk from {ground.said(a)} to {ground.said(b)} goes through {_wall(ground, plan, at)}")
    for thing in plan.obstacles:
        if in_the_way(thing.base_m, thing.height_m, thing.moves):
            met = line.intersection(Polygon(thing.outline))
            if not met.is_empty and met.length > 0.0:
                x, y = min(get_coordinates(met).tolist(), key=lambda p: math.dist(p, a[1:]))
                raise InputError(
                    f"the walk from {ground.said(a)} to {ground.said(b)} goes through “{thing.name}” at "
                    f"({x:.2f}, {y:.2f})"
                )
    for spot in (a, b):
        room = plan.room_at((spot[1], spot[2]))
        if room is None and not any(s.outline.covers(Point(spot[1:])) for s in plan.openings):
            raise InputError(f"{ground.said(spot)} lies outdoors: come in by a door first")


def _wall(ground: Ground, plan: StoreyPlan, at: tuple[float, float]) -> str:
    """What stands at a point, in words."""
    point = Point(at)
    for shape in plan.openings:
        if shape.outline.distance(point) < SAMPLE_M / 10 and not is_inner_way(ground.scheme.premises, shape.opening):
            return f"“{shape.opening.name}” at ({at[0]:.2f}, {at[1]:.2f})"
    rooms = sorted(plan.rooms, key=lambda r: plan.room_shapes[r.id].distance(point))[:2]
    near = [r.name for r in rooms if plan.room_shapes[r.id].distance(point) < 0.6]
    sides = f" between {near[0]} and {near[1]}" if len(near) == 2 else (f" of {near[0]}" if near else "")
    return f"the wall{sides} at ({at[0]:.2f}, {at[1]:.2f})"
