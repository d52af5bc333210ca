"""Where people go in a scenario: names to places, and the quickest way on foot between them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.sparse.csgraph import dijkstra

from wardwright.analyses.detection_along import ShutDoors, Walk, walk_along
from wardwright.analyses.free_floor import is_way_in
from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.walkable import (
    WalkGraph,
    door_delays,
    entry_place,
    step_times,
    walk_graph,
)
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import OpeningShape, storey_plans

Spot = tuple[str, float, float]
"""Storey id, x, y. [m]"""
OUT_M = 1.2
"""Somebody outside is shown this far from the wall. [m]"""
WALKED = (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR, OpeningKind.BULKHEAD)


@dataclass(frozen=True, eq=False)
class Trail:
    """A walk with where the walker is at each moment, and when."""

    walk: Walk
    pace: NDArray[np.float64]
    """On the flat, for each step. [m/s]"""
    spots: tuple[Spot, ...]
    """At each moment: one more than there are steps."""

    @cached_property
    def times_s(self) -> NDArray[np.float64]:
        """Moments, from the beginning of the walk. [s]"""
        return np.concatenate([[0.0], np.cumsum(self.walk.flat_m / self.pace + self.walk.wait_s)])

    @property
    def seconds(self) -> float:
        """How long it takes. [s]"""
        return float(self.times_s[-1])


class Ground:
    """The floors of a building in one mode: which inner doors stand shut.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and system.
    mode : Mode
        How the system is set.
    """

    def __init__(self, scheme: ProtectionScheme, mode: Mode) -> None:
        self.scheme = scheme
        self.mode = mode
        self.graph: WalkGraph = walk_graph(scheme.premises)
        self.open_ids = open_inner_doors(scheme.premises, mode)
        self.shut = door_delays(self.graph, self.open_ids)
        self.doors = ShutDoors.of(self.shut)
        self.plans = storey_plans(scheme.premises)

    @cached_property
    def shapes(self) -> dict[str, OpeningShape]:
        """Openings on plan, by id."""
        return {s.opening.id: s for plan in self.plans.values() for s in plan.openings}

    def opening(self, key: str) -> OpeningShape:
        """An opening on plan, or one plain sentence that there is none."""
        if key not in self.shapes:
            raise InputError(f"no opening is called “{key}”")
        return self.shapes[key]

    def door(self, key: str) -> tuple[OpeningShape, int]:
        """An outer door people walk through, and the place just inside it."""
        shape = self.opening(key)
        name = shape.opening.name
        if not is_way_in(self.scheme.premises, shape.opening):
            raise InputError(f"“{name}” is an inner door: nobody comes in or goes out by it")
        if shape.opening.kind not in WALKED:
            raise InputError(f"nobody walks in or out by a {shape.opening.kind.value} (“{name}”)")
        return shape, self.behind(shape)

    def behind(self, shape: OpeningShape) -> int:
        """The place just inside an opening."""
        node = entry_place(self.graph, shape)
        if node is None:
            raise InputError(f"“{shape.opening.name}” leads to no floor: check the room behind it")
        return node

    def before(self, shape: OpeningShape) -> Spot:
        """Where somebody stands outside an opening."""
        (x, y), (nx, ny) = shape.centre, shape.normal
        plan = self.plans[shape.storey_id]
        away = shape.depth_m / 2 + OUT_M
        for side in (1.0, -1.0):
            spot = (x + side * away * nx, y + side * away * ny)
            room = plan.room_at(spot)
            if room is None or not room.indoors:
                return (shape.storey_id, *spot)
        return (shape.storey_id, x, y)

    def place(self, name: str) -> tuple[int, Spot]:
        """The place a room, target, bed, keypad or other device is at.

        Parameters
        ----------
        name : str
            Its id.

        Returns
        -------
        int and Spot
            Number of the place, and where that is.

        Raises
        ------
        InputError
            If nothing is called so, or nobody can stand there.
        """
        premises, graph = self.scheme.premises, self.graph
        for group in (premises.targets, premises.beds):
            for item in group:
                if item.id == name:
                    storey = premises.room(item.room_id).storey_id
                    return self._stand(name, storey, item.position, item.room_id)
        for room in premises.rooms:
            if room.id == name:
                centre = self.plans[room.storey_id].room_shapes[room.id].representative_point()
                return self._stand(room.name, room.storey_id, (centre.x, centre.y), room.id, math.inf)
        for device in self.scheme.fitted:
            if device.id == name:
                return self._stand(name, device.storey_id, device.position, None)
        raise InputError(
            f"no room, target, bed or device is called “{name}”; rooms are "
            + ", ".join(r.id for r in premises.rooms if r.indoors and r.storey_id in graph.storey_ids)
        )

    def _stand(
        self, name: str, storey_id: str, position: tuple[float, float], room_id: str | None, within: float = 2.0
    ) -> tuple[int, Spot]:
        if storey_id in self.graph.storey_ids:
            node = self.graph.nearest(storey_id, position, room_id, within)
            if node is not None:
                return node, self.spot(node)
        raise InputError(f"nobody can stand at “{name}”: check its place and its room")

    def spot(self, node: int) -> Spot:
        """Where a place is."""
        return (self.graph.storey_ids[self.graph.storey[node]], float(self.graph.x[node]), float(self.graph.y[node]))

    def room_name(self, spot: Spot) -> str:
        """Name of the room a spot lies in; empty out of doors and in a doorway."""
        room = self.plans[spot[0]].room_at((spot[1], spot[2])) if spot[0] in self.plans else None
        return room.name if room is not None else ""

    def nearest_of(self, node: int, devices: Sequence[Device], pace: float) -> Device:
        """The device soonest reached on foot.

        Raises
        ------
        InputError
            If none can be reached.
        """
        ends = {
            d.id: self.graph.nearest(d.storey_id, d.position) for d in devices if d.storey_id in self.graph.storey_ids
        }
        cost = dijkstra(self.graph.matrix(step_times(self.graph, pace, self.open_ids)), indices=[node])[0]
        reached = {key: float(cost[end]) for key, end in ends.items() if end is not None and np.isfinite(cost[end])}
        if not reached:
            raise InputError("no keypad can be reached on foot from here")
        best = min(reached, key=lambda key: (reached[key], key))
        return next(d for d in devices if d.id == best)

    def way(self, start: int, end: int, pace: float) -> Trail:
        """The quickest way between two places.

        Parameters
        ----------
        start, end : int
            Places.
        pace : float
            On the flat. [m/s]

        Returns
        -------
        Trail
            Its first step has no length.

        Raises
        ------
        InputError
            If no way leads there.
        """
        times = self.graph.matrix(step_times(self.graph, pace, self.open_ids))
        costs, befores = dijkstra(times, indices=[start], return_predecessors=True)
        cost, before = costs[0], befores[0]
        if not np.isfinite(cost[end]):
            here, there = self.spot(start), self.spot(end)
            raise InputError(f"no way leads from {self.said(here)} to {self.said(there)}: check doors and stairs")
        nodes = [end]
        while nodes[-1] != start:
            nodes.append(int(before[nodes[-1]]))
        nodes.reverse()
        walk = walk_along(self.graph, nodes, self.doors, (0.0, 0.0))
        spots = (self.spot(start), *(self.spot(n) for n in nodes))
        return Trail(walk, np.full(len(walk.move), pace), spots)

    def inward(self, shape: OpeningShape, node: int, pace: float) -> Trail:
        """From an opening to the place just inside it."""
        (x, y), spot = shape.centre, self.spot(node)
        stretch = (math.dist((x, y), spot[1:]), math.atan2(spot[2] - y, spot[1] - x))
        walk = walk_along(self.graph, [node], self.doors, stretch)
        return Trail(walk, np.full(1, pace), ((shape.storey_id, x, y), spot))

    def said(self, spot: Spot) -> str:
        """A spot in words."""
        room = self.room_name(spot)
        storey = self.scheme.premises.storey(spot[0]).name
        return f"({spot[1]:.2f}, {spot[2]:.2f}) on {storey}" + (f", {room}" if room else "")


@lru_cache(maxsize=4)
def ground_of(scheme: ProtectionScheme, mode: Mode) -> Ground:
    """The floors of a building in one mode, worked out once for each value."""
    return Ground(scheme, mode)
