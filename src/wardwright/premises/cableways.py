"""Where a cable can really be run: along ceilings, through chases, and through what may be drilled.

Every room offers its walls at ceiling level. From room to room a hole is drilled through the wall between, from storey
to storey through the floor, unless somebody said it may not be. Chases (attic, void, trunking, riser) are ways of their
own, entered by a drop. A run is the way that takes least time to lay, because time and not copper is what a run costs;
its length follows. Minutes are assumptions by construction.

Build it once for a building and ask as often as wanted: trees of ways are kept for every end that was asked for.
"""

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array
from scipy.spatial import cKDTree
from shapely import LineString, Point, Polygon

from wardwright.geometry.shortest import chain_to_root, shortest_tree
from wardwright.model import XY
from wardwright.premises.fabric import Chase
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import StoreyPlan, storey_plans

SURFACE_MIN_M = 3.0
"""Clipping a cable along a ceiling or in trunking. Assumption. [min/m]"""
CHASE_MIN_M = 1.0
"""Laying it in an attic, a void, a duct. Assumption. [min/m]"""
DROP_MIN_M = 3.0
"""From ceiling level to a device, on the surface. Assumption. [min/m]"""
HOLE_MIN = {"stud": 6.0, "masonry": 15.0, "floor": 20.0, "ceiling": 10.0, "none": 0.0}
"""One hole, made good. Assumption. [min]"""
STEP_M = 1.0
"""Between places along a wall. [m]"""
REACH_M = 0.6
"""Thickest wall a hole is drilled through. [m]"""
NEAR_M = 1.5
"""A device is no farther than this from the wall its cable comes down, else it is crossed under the ceiling. [m]"""
FAR_M = 12.0
"""A ceiling is crossed no farther than this. [m]"""
CHASE_STEP_M = 1.0
LEAST_M = 0.01
"""Less of a wall on the line is a sliver of the drawing. [m]"""
INTO_CHASE_M = 0.6
"""A wall no farther than this from a chase opens into it. [m]"""
MASONRY = ("brick", "block", "concrete", "stone")
THIN_M = 0.15
"""An inside wall no thicker than this is taken for studs where nobody said. Assumption. [m]"""
ABOVE = ("attic", "ceiling void")
BELOW = ("basement", "crawl space")
ONLY_ABOVE, ONLY_BELOW = "finished ceiling", "slab"

Place = tuple[str, XY, float]
"""Storey, place on plan [m], height above that storey's floor [m]."""


@dataclass(frozen=True)
class CableWay:
    """One way a cable can be run."""

    points: tuple[tuple[str, float, float, float], ...]
    """Storey, x, y, height above that floor, from one end to the other. [m]"""
    length_m: float
    """Along it, without slack. [m]"""
    minutes: float
    """To lay it, holes and drops included. [min]"""
    holes: tuple["Hole", ...]
    """What is drilled, in order. Runs that share a hole name the same one."""
    through: tuple[str, ...]
    """What is drilled or used, in words, in order."""


@dataclass(frozen=True)
class Hole:
    """One hole to be drilled and made good."""

    kind: str
    """A key of :data:`HOLE_MIN`."""
    storey_id: str
    x: float
    y: float

    @property
    def minutes(self) -> float:
        """To drill it. [min]"""
        return HOLE_MIN[self.kind]


@dataclass(frozen=True)
class _Node:
    storey_id: str
    x: float
    y: float
    height: float
    room_id: str
    """Room whose wall it is on; the chase's id for a place in a chase."""


@dataclass(eq=False)
class _Edges:
    start: list[int] = field(default_factory=list)
    end: list[int] = field(default_factory=list)
    metres: list[float] = field(default_factory=list)
    minutes: list[float] = field(default_factory=list)
    hole: list[str] = field(default_factory=list)
    """Kind of hole, a key of ``HOLE_MIN``."""
    words: list[str] = field(default_factory=list)

    def add(self, a: int, b: int, metres: float, rate: float, hole: str = "none", words: str = "") -> None:
        self.start.append(a)
        self.end.append(b)
        self.metres.append(metres)
        self.minutes.append(max(1e-6, metres * rate + HOLE_MIN[hole]))
        self.hole.append(hole)
        self.words.append(words)


class Cableways:
    """Everywhere a cable can be run in a building.

    Parameters
    ----------
    premises : Premises
        The building, its chases, and what may not be drilled.
    """

    def __init__(self, premises: Premises) -> None:
        self.premises = premises
        self._plans = storey_plans(premises)
        self._nodes: list[_Node] = []
        self._edges = _Edges()
        self._by_room: dict[str, list[int]] = {}
        self._walls_shut, self._up_shut, self._down_shut = _forbidden(premises)
        for plan in self._plans.values():
            self._along_walls(plan)
        for plan in self._plans.values():
            self._through_walls(plan)
        self._through_floors()
        for chase in premises.chases:
            self._chase(chase)
        self._stairs()
        self._trees: dict[int, tuple[NDArray[np.float64], NDArray[np.int32]]] = {}
        self._graph = self._matrix()
        self._edge_at: dict[tuple[int, int], int] = {}
        for k, (a, b) in enumerate(zip(self._edges.start, self._edges.end, strict=True)):
            for pair in ((a, b), (b, a)):
                held = self._edge_at.get(pair)
                if held is None or self._edges.minutes[k] < self._edges.minutes[held]:
                    self._edge_at[pair] = k

    @property
    def edges(self) -> tuple[tuple[int, int, float], ...]:
        """Every step: its two places and the minutes it takes."""
        e = self._edges
        return tuple(zip(e.start, e.end, e.minutes, strict=True))

    def way(self, first: Place, second: Place) -> CableWay | None:
        """The way between two devices that takes least time to lay.

        Parameters
        ----------
        first, second : (str, (float, float), float)
            Storey, place on plan and height above the floor of each. [m]

        Returns
        -------
        CableWay or None
            None where no way is left that may be made.
        """
        if first[0] == second[0] and math.dist(first[1], second[1]) < NEAR_M:
            room = self._room_of(first)
            if room is not None and room == self._room_of(second):
                return _direct(first, second)
        starts, ends = dict(self.ends(first)), dict(self.ends(second))
        best: tuple[float, int, int] | None = None
        for end, (off, *_) in ends.items():
            minutes, _ = self._tree(end)
            for start, (on, *_) in starts.items():
                whole = on + float(minutes[start]) + off
                if math.isfinite(whole) and (best is None or whole < best[0]):
                    best = (whole, start, end)
        if best is None:
            return None
        _, start, end = best
        _, before = self._tree(end)
        return self._told(first, second, chain_to_root(before, start), starts[start], ends[end])

    def _told(
        self,
        first: Place,
        second: Place,
        chain: list[int],
        on: tuple[float, float, str, str],
        off: tuple[float, float, str, str],
    ) -> CableWay:
        used = [self._edge_at[pair] for pair in itertools.pairwise(chain)]
        e = self._edges
        points = [(first[0], *first[1], first[2])]
        points += [(n.storey_id, n.x, n.y, n.height) for n in (self._nodes[k] for k in chain)]
        points.append((second[0], *second[1], second[2]))
        places = [first, *((n.storey_id, (n.x, n.y), n.height) for n in (self._nodes[k] for k in chain))]
        kinds = [on[2], *(e.hole[k] for k in used), off[2]]
        holes = tuple(
            Hole(kind, storey_id, round(x, 2), round(y, 2))
            for kind, (storey_id, (x, y), _) in zip(kinds, places, strict=True)
            if kind != "none"
        )
        words = [on[3], *(e.words[k] for k in used), off[3]]
        return CableWay(
            points=tuple(points),
            length_m=on[1] + sum(e.metres[k] for k in used) + off[1],
            minutes=on[0] + sum(e.minutes[k] for k in used) + off[0],
            holes=holes,
            through=tuple(k for k, _ in itertools.groupby(w for w in words if w)),
        )

    def _tree(self, root: int) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
        held = self._trees.get(root)
        if held is None:
            held = self._trees[root] = shortest_tree(self._graph, root)
        return held

    def _matrix(self) -> csr_array:
        e, n = self._edges, len(self._nodes)
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

    def _room_of(self, place: Place) -> str | None:
        plan = self._plans.get(place[0])
        room = plan.room_at(place[1]) if plan is not None else None
        return room.id if room is not None else None

    def ends(self, place: Place) -> Iterator[tuple[int, tuple[float, float, str, str]]]:
        """Places a device's cable may come from: minutes, metres, hole and words of the last piece."""
        storey_id, at, height = place
        plan = self._plans.get(storey_id)
        if plan is None:
            return
        room_id = self._room_of(place)
        if room_id is not None:
            mine = self._by_room.get(room_id, [])
            away = [math.dist(at, (self._nodes[k].x, self._nodes[k].y)) for k in mine]
            near = sorted(zip(away, mine, strict=True))[:4]
            for distance, k in near:
                if distance <= FAR_M:
                    metres = distance + abs(self._nodes[k].height - height)
                    yield k, (metres * DROP_MIN_M, metres, "none", "")
            return
        # drawn in a wall or a frame: reached from the rooms beside it; out of doors: through the nearest wall there is
        within = any(body.covers(Point(at)) for body in plan.bodies.values())
        found = [
            (math.dist(at, (n.x, n.y)), k)
            for k, n in enumerate(self._nodes)
            if n.storey_id == storey_id and math.dist(at, (n.x, n.y)) <= 2.0 * REACH_M
        ]
        for distance, k in sorted(found)[:4]:
            node = self._nodes[k]
            hole, wall = ("none", "") if within else _wall_between(plan, (node.x, node.y), at)
            if wall in self._walls_shut or (wall and node.room_id in self._walls_shut):
                continue
            metres = distance + abs(node.height - height)
            yield k, (metres * DROP_MIN_M + HOLE_MIN[hole], metres, hole, f"{hole} wall" if wall else "")

    def _add(self, node: _Node) -> int:
        self._nodes.append(node)
        self._by_room.setdefault(node.room_id, []).append(len(self._nodes) - 1)
        return len(self._nodes) - 1

    def _along_walls(self, plan: StoreyPlan) -> None:
        for room in plan.rooms:
            if not room.indoors:
                continue
            height = room.height_m or plan.storey.height_m
            for ring in (room.outline, *room.holes):
                points = _stepped(ring)
                keys = [self._add(_Node(plan.storey.id, x, y, height, room.id)) for x, y in points]
                for (a, p), (b, q) in itertools.pairwise(zip([*keys, keys[0]], [*points, points[0]], strict=True)):
                    self._edges.add(a, b, math.dist(p, q), SURFACE_MIN_M)

    def _through_walls(self, plan: StoreyPlan) -> None:
        keys = [k for k, n in enumerate(self._nodes) if n.storey_id == plan.storey.id]
        if len(keys) < 2:
            return
        spots = np.array([(self._nodes[k].x, self._nodes[k].y) for k in keys])
        for i, j in cKDTree(spots).query_pairs(REACH_M + 0.05):
            a, b = self._nodes[keys[i]], self._nodes[keys[j]]
            if a.room_id == b.room_id:
                continue
            hole, wall = _wall_between(plan, (a.x, a.y), (b.x, b.y))
            drilled = bool(wall)
            if drilled and (wall in self._walls_shut or self._walls_shut & {a.room_id, b.room_id}):
                continue
            metres = math.dist((a.x, a.y, a.height), (b.x, b.y, b.height))
            words = f"{hole} wall" if drilled else ""
            self._edges.add(keys[i], keys[j], metres, SURFACE_MIN_M, hole, words)

    def _through_floors(self) -> None:
        storeys = sorted(self.premises.storeys, key=lambda s: s.elevation_m)
        for low, high in itertools.pairwise(storeys):
            below = [k for k, n in enumerate(self._nodes) if n.storey_id == low.id and n.room_id not in self._up_shut]
            above = [
                k for k, n in enumerate(self._nodes) if n.storey_id == high.id and n.room_id not in self._down_shut
            ]
            if not (below and above):
                continue
            tree = cKDTree(np.array([(self._nodes[k].x, self._nodes[k].y) for k in above]))
            spots = np.array([(self._nodes[k].x, self._nodes[k].y) for k in below])
            away, found = tree.query(spots, distance_upper_bound=REACH_M)
            for a, distance, j in zip(below, np.asarray(away), np.asarray(found), strict=True):
                if math.isfinite(distance):
                    b = above[int(j)]
                    self._edges.add(a, b, float(distance) + self._rise(a, b), SURFACE_MIN_M, "floor", "floor")

    def _rise(self, a: int, b: int) -> float:
        return abs(self._level(a) - self._level(b))

    def _level(self, k: int) -> float:
        node = self._nodes[k]
        return self.premises.storey(node.storey_id).elevation_m + node.height

    def _chase(self, chase: Chase) -> None:
        plan = self._plans.get(chase.storey_id)
        if plan is None:
            return
        shape = shapely.make_valid(Polygon(chase.outline))
        ceiling = plan.storey.height_m
        height = ceiling + 0.2 if chase.kind in ABOVE else -0.2 if chase.kind in BELOW else ceiling
        hole = {"above": "ceiling", "below": "floor"}.get(_side(chase), "none")
        shut = self._up_shut if _side(chase) == "above" else self._down_shut if _side(chase) == "below" else set()
        spots = _filled(chase.outline, shape)
        keys = [self._add(_Node(plan.storey.id, x, y, height, chase.id)) for x, y in spots]
        for i, j in cKDTree(spots).query_pairs(CHASE_STEP_M * 1.5):
            if shape.buffer(0.01).covers(LineString([spots[i], spots[j]])):
                self._edges.add(keys[i], keys[j], math.dist(spots[i], spots[j]), CHASE_MIN_M)
        self._enter(chase, plan.storey.id, shape, keys, spots, hole, shut)
        if chase.joins_storey_id is not None and chase.joins_storey_id in self._plans:
            other = self._plans[chase.joins_storey_id].storey
            up = [self._add(_Node(other.id, x, y, other.height_m, chase.id)) for x, y in spots]
            for a, b in zip(keys, up, strict=True):
                self._edges.add(a, b, self._rise(a, b), CHASE_MIN_M, "none", f"{chase.kind} “{chase.id}”")
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
        for k, node in enumerate(self._nodes[: keys[0]]):
            if node.storey_id != storey_id or node.room_id in shut or not near.covers(Point(node.x, node.y)):
                continue
            away, j = tree.query((node.x, node.y))
            metres = float(away) + abs(node.height - self._nodes[keys[int(j)]].height)
            self._edges.add(k, keys[int(j)], metres, CHASE_MIN_M, hole, f"{chase.kind} “{chase.id}”")

    def _stairs(self) -> None:
        for stair in self.premises.stairs:
            ends = []
            for storey_id, place in ((stair.lower_storey_id, stair.foot), (stair.upper_storey_id, stair.head)):
                mine = [k for k, n in enumerate(self._nodes) if n.storey_id == storey_id]
                near = min(mine, key=lambda k: math.dist(place, (self._nodes[k].x, self._nodes[k].y)), default=None)
                if near is not None:
                    ends.append(near)
            if len(ends) == 2:
                low, high = ends
                a, b = self._nodes[low], self._nodes[high]
                metres = math.hypot(math.dist((a.x, a.y), (b.x, b.y)), self._rise(low, high))
                self._edges.add(low, high, metres, SURFACE_MIN_M, "none", f"up “{stair.name or stair.id}”")


def cableways(premises: Premises) -> Cableways:
    """Ways of a building, built once and kept.

    Parameters
    ----------
    premises : Premises
        The building.

    Returns
    -------
    Cableways
        To be asked for ways.
    """
    held = _built.get(id(premises))
    if held is not None and held.premises is premises:
        return held
    while len(_built) >= 8:
        _built.pop(next(iter(_built)))
    _built[id(premises)] = made = Cableways(premises)
    return made


_built: dict[int, Cableways] = {}


def _forbidden(premises: Premises) -> tuple[set[str], set[str], set[str]]:
    """Walls and rooms in whose walls nothing is drilled; rooms whose ceiling is not; rooms whose floor is not."""
    walls: set[str] = set()
    up: set[str] = set()
    down: set[str] = set()
    for mark in premises.no_drilling:
        if mark.reason == ONLY_ABOVE:
            up.update(mark.room_ids)
        elif mark.reason == ONLY_BELOW:
            down.update(mark.room_ids)
        else:
            walls.update(mark.wall_ids, mark.room_ids)
            up.update(mark.room_ids)
            down.update(mark.room_ids)
    return walls, up, down


def _side(chase: Chase) -> str:
    return "above" if chase.kind in ABOVE else "below" if chase.kind in BELOW else "level"


def _wall_between(plan: StoreyPlan, a: XY, b: XY) -> tuple[str, str]:
    """Kind of hole and the wall drilled between two places; no wall where none lies between, or an open way does."""
    line = LineString([a, b])
    # rooms drawn to the middle of their walls touch there: then the wall is the one they touch in
    spot = line.centroid if line.length > 0.0 else Point(a)
    if any(s.opening.kind is OpeningKind.PASSAGE and s.outline.covers(spot) for s in plan.openings):
        return "none", ""
    met = [
        (not w.outside, plan.bodies[w.id].intersection(line).length, w)
        for w in plan.walls
        if plan.bodies[w.id].covers(spot) or plan.bodies[w.id].intersection(line).length >= LEAST_M
    ]
    if not met:
        return "none", ""
    wall = max(met, key=lambda item: item[:2])[2]
    layers = plan.layers_of(wall)
    if layers:
        solid = any(layer.material in MASONRY for layer in layers)
    else:
        solid = wall.thickness_m > THIN_M or bool(wall.outside) or wall.party
    return ("masonry" if solid else "stud"), wall.id


def _direct(first: Place, second: Place) -> CableWay:
    metres = math.dist((*first[1], first[2]), (*second[1], second[2]))
    ends = ((first[0], *first[1], first[2]), (second[0], *second[1], second[2]))
    return CableWay(ends, metres, metres * DROP_MIN_M, (), ())


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
