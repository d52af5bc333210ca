"""The places and steps a cable's way is made of: walls at ceiling level, holes, floors, stairs, chases."""

import itertools
import math
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array
from scipy.spatial import cKDTree
from shapely import LineString, Point, Polygon

from wardwright.model import XY
from wardwright.premises.drilling import HOLE_MIN, forbidden, wall_between
from wardwright.premises.fabric import Chase
from wardwright.premises.model import Premises
from wardwright.premises.plan import StoreyPlan, storey_plans

SURFACE_MIN_M = 3.0
"""Clipping a cable along a ceiling or in trunking. Assumption. [min/m]"""
CHASE_MIN_M = 1.0
"""Laying it in an attic, a void, a duct. Assumption. [min/m]"""
STEP_M = 1.0
"""Between places along a wall. [m]"""
REACH_M = 0.6
"""Thickest wall a hole is drilled through. [m]"""
CHASE_STEP_M = 1.0
INTO_CHASE_M = 0.6
"""A wall no farther than this from a chase opens into it. [m]"""
ABOVE = ("attic", "ceiling void")
BELOW = ("basement", "crawl space")


@dataclass(frozen=True)
class Node:
    """A place a cable can pass."""

    storey_id: str
    x: float
    y: float
    height: float
    room_id: str
    """Room whose wall it is on; the chase's id for a place in a chase."""


@dataclass(eq=False)
class Edges:
    """Steps between places, as columns."""

    start: list[int] = field(default_factory=list)
    end: list[int] = field(default_factory=list)
    metres: list[float] = field(default_factory=list)
    minutes: list[float] = field(default_factory=list)
    hole: list[str] = field(default_factory=list)
    """Kind of hole, a key of ``HOLE_MIN``."""
    words: list[str] = field(default_factory=list)

    def add(self, a: int, b: int, metres: float, rate: float, hole: str = "none", words: str = "") -> None:
        """One step, with the minutes a metre of it takes and the hole it wants."""
        self.start.append(a)
        self.end.append(b)
        self.metres.append(metres)
        self.minutes.append(max(1e-6, metres * rate + HOLE_MIN[hole]))
        self.hole.append(hole)
        self.words.append(words)


class CableNetwork:
    """Every place and step of a building.

    Parameters
    ----------
    premises : Premises
        The building, its chases, and what may not be drilled.
    """

    def __init__(self, premises: Premises) -> None:
        self.premises = premises
        self.plans = storey_plans(premises)
        self.nodes: list[Node] = []
        self.edges = Edges()
        self.by_room: dict[str, list[int]] = {}
        self.walls_shut, self._up_shut, self._down_shut = forbidden(premises)
        for plan in self.plans.values():
            self._along_walls(plan)
        for plan in self.plans.values():
            self._through_walls(plan)
        self._through_floors()
        for chase in premises.chases:
            self._chase(chase)
        self._stairs()

    def matrix(self) -> csr_array:
        """Least minutes between places that a step joins. [min]"""
        e, n = self.edges, len(self.nodes)
        a, b = np.array(e.start, dtype=np.int64), np.array(e.end, dtype=np.int64)
        w = np.array(e.minutes)
        low, high = np.minimum(a, b), np.maximum(a, b)
        order = np.lexsort((w, high, low))
        low, high, w = low[order], high[order], w[order]
        if len(w):
            first = np.concatenate([[True], (low[1:] != low[:-1]) | (high[1:] != high[:-1])])
            low, high, w = low[first], high[first], w[first]
        rows, columns = np.concatenate([low, high]), np.concatenate([high, low])
        return coo_array((np.concatenate([w, w]), (rows, columns)), shape=(n, n)).tocsr()

    def _add(self, node: Node) -> int:
        self.nodes.append(node)
        self.by_room.setdefault(node.room_id, []).append(len(self.nodes) - 1)
        return len(self.nodes) - 1

    def _along_walls(self, plan: StoreyPlan) -> None:
        for room in plan.rooms:
            if not room.indoors:
                continue
            height = room.height_m or plan.storey.height_m
            rings: list[list[int]] = []
            for ring in (room.outline, *room.holes):
                points = _stepped(ring)
                keys = [self._add(Node(plan.storey.id, x, y, height, room.id)) for x, y in points]
                for (a, p), (b, q) in itertools.pairwise(zip([*keys, keys[0]], [*points, points[0]], strict=True)):
                    self.edges.add(a, b, math.dist(p, q), SURFACE_MIN_M)
                rings.append(keys)
            self._across_ceiling(rings)

    def _across_ceiling(self, rings: list[list[int]]) -> None:
        """Join what stands free in a room (shafts, pillars, rooms within it) to the walls, nearest first."""
        joined, left = rings[0], rings[1:]
        while left:
            tree = cKDTree(self._spots(joined))
            found = [(tree.query(self._spots(ring)), ring) for ring in left]
            (away, at), ring = min(found, key=lambda item: float(np.min(item[0][0])))
            for here, metres, there in zip(ring, np.asarray(away), np.asarray(at), strict=True):
                self.edges.add(here, joined[int(there)], float(metres), SURFACE_MIN_M)
            left.remove(ring)
            joined = joined + ring

    def _spots(self, keys: list[int]) -> NDArray[np.float64]:
        return np.array([(self.nodes[k].x, self.nodes[k].y) for k in keys])

    def _through_walls(self, plan: StoreyPlan) -> None:
        keys = [k for k, n in enumerate(self.nodes) if n.storey_id == plan.storey.id]
        if len(keys) < 2:
            return
        spots = self._spots(keys)
        for i, j in cKDTree(spots).query_pairs(REACH_M + 0.05):
            a, b = self.nodes[keys[i]], self.nodes[keys[j]]
            if a.room_id == b.room_id:
                continue
            hole, wall = wall_between(plan, (a.x, a.y), (b.x, b.y))
            drilled = bool(wall)
            if drilled and (wall in self.walls_shut or self.walls_shut & {a.room_id, b.room_id}):
                continue
            metres = math.dist((a.x, a.y, a.height), (b.x, b.y, b.height))
            words = f"{hole} wall" if drilled else ""
            self.edges.add(keys[i], keys[j], metres, SURFACE_MIN_M, hole, words)

    def _through_floors(self) -> None:
        storeys = sorted(self.premises.storeys, key=lambda s: s.elevation_m)
        for low, high in itertools.pairwise(storeys):
            below = [k for k, n in enumerate(self.nodes) if n.storey_id == low.id and n.room_id not in self._up_shut]
            above = [k for k, n in enumerate(self.nodes) if n.storey_id == high.id and n.room_id not in self._down_shut]
            if not (below and above):
                continue
            tree = cKDTree(self._spots(above))
            spots = self._spots(below)
            away, found = tree.query(spots, distance_upper_bound=REACH_M)
            for a, distance, j in zip(below, np.asarray(away), np.asarray(found), strict=True):
                if math.isfinite(distance):
                    b = above[int(j)]
                    self.edges.add(a, b, float(distance) + self._rise(a, b), SURFACE_MIN_M, "floor", "floor")

    def _rise(self, a: int, b: int) -> float:
        return abs(self._level(a) - self._level(b))

    def _level(self, k: int) -> float:
        node = self.nodes[k]
        return self.premises.storey(node.storey_id).elevation_m + node.height

    def _chase(self, chase: Chase) -> None:
        plan = self.plans.get(chase.storey_id)
        if plan is None:
            return
        shape = shapely.make_valid(Polygon(chase.outline))
        ceiling = plan.storey.height_m
        height = ceiling + 0.2 if chase.kind in ABOVE else -0.2 if chase.kind in BELOW else ceiling
        hole = {"above": "ceiling", "below": "floor"}.get(_side(chase), "none")
        shut = self._up_shut if _side(chase) == "above" else self._down_shut if _side(chase) == "below" else set()
        spots = _filled(chase.outline, shape)
        keys = [self._add(Node(plan.storey.id, x, y, height, chase.id)) for x, y in spots]
        for i, j in cKDTree(spots).query_pairs(CHASE_STEP_M * 1.5):
            if shape.buffer(0.01).covers(LineString([spots[i], spots[j]])):
                self.edges.add(keys[i], keys[j], math.dist(spots[i], spots[j]), CHASE_MIN_M)
        self._enter(chase, plan.storey.id, shape, keys, spots, hole, shut)
        if chase.joins_storey_id is not None and chase.joins_storey_id in self.plans:
            other = self.plans[chase.joins_storey_id].storey
            up = [self._add(Node(other.id, x, y, other.height_m, chase.id)) for x, y in spots]
            for a, b in zip(keys, up, strict=True):
                self.edges.add(a, b, self._rise(a, b), CHASE_MIN_M, "none", f"{chase.kind} “{chase.id}”")
            self._enter(chase, other.id, shape, up, spots, "none", set())

    def _enter(
        self,
        chase: Chase,
        storey_id: str,
        shape: Polygon,
        keys: list[int],
        spots: list[XY],
        hole: str,
        shut: set[str],
    ) -> None:
        tree = cKDTree(spots)
        near = shape.buffer(INTO_CHASE_M)
        for k, node in enumerate(self.nodes[: keys[0]]):
            if node.storey_id != storey_id or node.room_id in shut or not near.covers(Point(node.x, node.y)):
                continue
            away, j = tree.query((node.x, node.y))
            metres = float(away) + abs(node.height - self.nodes[keys[int(j)]].height)
            self.edges.add(k, keys[int(j)], metres, CHASE_MIN_M, hole, f"{chase.kind} “{chase.id}”")

    def _stairs(self) -> None:
        for stair in self.premises.stairs:
            ends = []
            for storey_id, place in ((stair.lower_storey_id, stair.foot), (stair.upper_storey_id, stair.head)):
                mine = [k for k, n in enumerate(self.nodes) if n.storey_id == storey_id]
                near = min(mine, key=lambda k: math.dist(place, (self.nodes[k].x, self.nodes[k].y)), default=None)
                if near is not None:
                    ends.append(near)
            if len(ends) == 2:
                low, high = ends
                a, b = self.nodes[low], self.nodes[high]
                metres = math.hypot(math.dist((a.x, a.y), (b.x, b.y)), self._rise(low, high))
                self.edges.add(low, high, metres, SURFACE_MIN_M, "none", f"up “{stair.name or stair.id}”")


def _side(chase: Chase) -> str:
    return "above" if chase.kind in ABOVE else "below" if chase.kind in BELOW else "level"


def _stepped(ring: tuple[XY, ...]) -> list[XY]:
    """Places along a closed ring, corners and not more than a step apart."""
    found: list[XY] = []
    for a, b in itertools.pairwise([*ring, ring[0]]):
        count = max(1, math.ceil(math.dist(a, b) / STEP_M))
        found += [(a[0] + (b[0] - a[0]) * i / count, a[1] + (b[1] - a[1]) * i / count) for i in range(count)]
    return found


def _filled(ring: tuple[XY, ...], shape: Polygon) -> list[XY]:
    """Places within an outline: along its edge and on a lattice inside."""
    x0, y0, x1, y1 = shape.bounds
    xs = np.arange(x0 + CHASE_STEP_M / 2.0, x1, CHASE_STEP_M)
    ys = np.arange(y0 + CHASE_STEP_M / 2.0, y1, CHASE_STEP_M)
    x, y = (grid.ravel() for grid in np.meshgrid(xs, ys))
    inside = shapely.contains_xy(shape, x, y)
    return [*_stepped(ring), *zip(x[inside].tolist(), y[inside].tolist(), strict=True)]
