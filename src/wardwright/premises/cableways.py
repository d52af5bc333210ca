"""Where a cable can really be run: along ceilings, through chases, and through what may be drilled.

Every room offers its walls at ceiling level. From room to room a hole is drilled through the wall between, from storey
to storey through the floor, unless somebody said it may not be. Chases (attic, void, trunking, riser) are ways of their
own, entered by a drop. A run is the way that takes least time to lay, because time and not copper is what a run costs;
its length follows. Minutes are assumptions by construction.

Build it once for a building and ask as often as wanted: ``cableways(premises).way(first, second)`` gives length,
minutes and holes between two places, whether or not a device is there. The ways are kept, and the tree of ways from
every end that was asked for, so that many questions cost little.
"""

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Point

from wardwright.geometry.shortest import chain_to_root, shortest_tree
from wardwright.model import XY
from wardwright.premises.cable_network import REACH_M, CableNetwork
from wardwright.premises.drilling import HOLE_MIN, Hole, wall_between
from wardwright.premises.model import Premises
from wardwright.worked_out import once

DROP_MIN_M = 3.0
"""From ceiling level to a device, on the surface. Assumption. [min/m]"""
NEAR_M = 1.5
"""A device is no farther than this from the wall its cable comes down, else it is crossed under the ceiling. [m]"""
WAYS_KEPT = 8192
"""Questions whose answers are held for one building. [-]"""
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
    holes: tuple[Hole, ...]
    """What is drilled, in order. Runs that share a hole name the same one."""
    through: tuple[str, ...]
    """What is drilled or used, in words, in order."""


class Cableways:
    """Everywhere a cable can be run in a building.

    Parameters
    ----------
    premises : Premises
        The building, its chases, and what may not be drilled.
    """

    def __init__(self, premises: Premises) -> None:
        self.premises = premises
        self._net = CableNetwork(premises)
        self._trees: dict[int, tuple[NDArray[np.float64], NDArray[np.int32]]] = {}
        self._graph = self._net.matrix()
        # a price list asks for the same few places again and again
        self._way = lru_cache(WAYS_KEPT)(self._sought)
        self._ends = lru_cache(WAYS_KEPT)(lambda place: dict(self.ends(place)))
        e = self._net.edges
        self._edge_at: dict[tuple[int, int], int] = {}
        for k, (a, b) in enumerate(zip(e.start, e.end, strict=True)):
            for pair in ((a, b), (b, a)):
                held = self._edge_at.get(pair)
                if held is None or e.minutes[k] < e.minutes[held]:
                    self._edge_at[pair] = k

    @property
    def edges(self) -> tuple[tuple[int, int, float], ...]:
        """Every step: its two places and the minutes it takes."""
        e = self._net.edges
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
        return self._way(first, second)

    def _sought(self, first: Place, second: Place) -> CableWay | None:
        across = self._across(first, second)
        if across is not None and math.dist(first[1], second[1]) < NEAR_M:
            return across
        starts, ends = self._ends(first), self._ends(second)
        best: tuple[float, int, int] | None = None
        for end, (off, *_) in ends.items():
            minutes, _ = self._tree(end)
            for start, (on, *_) in starts.items():
                whole = on + float(minutes[start]) + off
                if math.isfinite(whole) and (best is None or whole < best[0]):
                    best = (whole, start, end)
        if best is None or (across is not None and across.minutes <= best[0]):
            return across
        _, start, end = best
        _, before = self._tree(end)
        return self._told(first, second, chain_to_root(before, start), starts[start], ends[end])

    def _across(self, first: Place, second: Place) -> CableWay | None:
        """Straight across one room: between neighbours, or where neither is near a wall it could be run along."""
        room = self._room_of(first)
        if room is None or room != self._room_of(second) or first[0] != second[0]:
            return None
        line = LineString([first[1], second[1]])
        if not self._net.plans[first[0]].room_shapes[room].buffer(0.01).covers(line):
            return None
        if line.length < NEAR_M or all(self._from_wall(room, place) > NEAR_M for place in (first, second)):
            return _direct(first, second)
        return None

    def _from_wall(self, room_id: str, place: Place) -> float:
        nodes = (self._net.nodes[k] for k in self._net.by_room.get(room_id, ()))
        return min((math.dist(place[1], (n.x, n.y)) for n in nodes), default=math.inf)

    def _told(
        self,
        first: Place,
        second: Place,
        chain: list[int],
        on: tuple[float, float, str, str],
        off: tuple[float, float, str, str],
    ) -> CableWay:
        used = [self._edge_at[pair] for pair in itertools.pairwise(chain)]
        e = self._net.edges
        points = [(first[0], *first[1], first[2])]
        points += [(n.storey_id, n.x, n.y, n.height) for n in (self._net.nodes[k] for k in chain)]
        points.append((second[0], *second[1], second[2]))
        places = [first, *((n.storey_id, (n.x, n.y), n.height) for n in (self._net.nodes[k] for k in chain))]
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

    def _room_of(self, place: Place) -> str | None:
        plan = self._net.plans.get(place[0])
        room = plan.room_at(place[1]) if plan is not None else None
        return room.id if room is not None else None

    def ends(self, place: Place) -> Iterator[tuple[int, tuple[float, float, str, str]]]:
        """Places a device's cable may come from: minutes, metres, hole and words of the last piece."""
        storey_id, at, height = place
        plan = self._net.plans.get(storey_id)
        if plan is None:
            return
        room_id = self._room_of(place)
        if room_id is not None:
            mine = self._net.by_room.get(room_id, [])
            away = [math.dist(at, (self._net.nodes[k].x, self._net.nodes[k].y)) for k in mine]
            near = sorted(zip(away, mine, strict=True))[:4]
            for distance, k in near:
                metres = distance + abs(self._net.nodes[k].height - height)
                yield k, (metres * DROP_MIN_M, metres, "none", "")
            return
        # drawn in a wall or a frame: reached from the rooms beside it; out of doors: through the nearest wall there is
        within = any(body.covers(Point(at)) for body in plan.bodies.values())
        found = [
            (math.dist(at, (n.x, n.y)), k)
            for k, n in enumerate(self._net.nodes)
            if n.storey_id == storey_id and math.dist(at, (n.x, n.y)) <= 2.0 * REACH_M
        ]
        for distance, k in sorted(found)[:4]:
            node = self._net.nodes[k]
            hole, wall = ("none", "") if within else wall_between(plan, (node.x, node.y), at)
            if wall in self._net.walls_shut or (wall and node.room_id in self._net.walls_shut):
                continue
            metres = distance + abs(node.height - height)
            yield k, (metres * DROP_MIN_M + HOLE_MIN[hole], metres, hole, f"{hole} wall" if wall else "")


@once(8)
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
    return Cableways(premises)


def _direct(first: Place, second: Place) -> CableWay:
    metres = math.dist((*first[1], first[2]), (*second[1], second[2]))
    ends = ((first[0], *first[1], first[2]), (second[0], *second[1], second[2]))
    return CableWay(ends, metres, metres * DROP_MIN_M, (), ())
