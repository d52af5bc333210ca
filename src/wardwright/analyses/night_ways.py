"""Where people sleep and walk at night: what a motion detector must not look at while it is set with them inside."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse.csgraph import dijkstra
from shapely.geometry.base import BaseGeometry

from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.timing import LOOK_M, looks_at
from wardwright.analyses.walkable import WalkGraph, step_times, walk_graph
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.premises.fabric import RoomUse
from wardwright.premises.model import Premises
from wardwright.premises.plan import storey_plans
from wardwright.worked_out import once

PACE_M_S = 1.0
"""At night; only which way is quickest hangs on it. Assumption. [m/s]"""
AT_NIGHT = (RoomUse.LANDING, RoomUse.BATHROOM)
"""Used at night on a storey where people sleep. Common practice, no source."""


@dataclass(frozen=True, eq=False)
class NightWays:
    """Rooms slept in or used at night, and the ways from every bed to the bathroom nearest to it."""

    room_ids: frozenset[str]
    places: dict[str, NDArray[np.float64]]
    """By storey: places on those ways, x and y. [m]"""
    solid: dict[str, BaseGeometry]
    """By storey: what cannot be seen through while they are walked, the doors on them open."""

    def disturb(self, scheme: ProtectionScheme, device: Device) -> bool:
        """Whether somebody up at night, or asleep, is in what a motion detector watches.

        Parameters
        ----------
        scheme : ProtectionScheme
            For its kind and room.
        device : Device
            A motion or dual-technology detector.
        """
        room = scheme.room_of(device)
        if room is not None and room.id in self.room_ids:
            return True
        kind = scheme.kind_of(device)
        reach, field = kind.get("range_m"), kind.get("field_rad")
        if reach is None or field is None or device.storey_id not in self.places:
            return False
        return looks_at(device, self.places[device.storey_id], reach, field, self.solid[device.storey_id])


@once(4)
def night_ways(premises: Premises) -> NightWays | None:
    """Where people are at night. Worked out once for each premises value.

    Parameters
    ----------
    premises : Premises
        Beds, people, rooms.

    Returns
    -------
    NightWays or None
        None where neither a bed nor a bedroom is drawn: then nobody knows where people sleep.
    """
    slept_in = {b.room_id for b in premises.beds if b.sleepers}
    slept_in |= {p.sleeps_in for p in premises.people if p.sleeps_in is not None}
    slept_in |= {r.id for r in premises.rooms if r.use is RoomUse.BEDROOM}
    if not slept_in:
        return None
    floors = {r.storey_id for r in premises.rooms if r.id in slept_in}
    used = slept_in | {r.id for r in premises.rooms if r.storey_id in floors and r.use in AT_NIGHT}
    graph = walk_graph(premises)
    walked = _walked(premises, graph, slept_in) if graph.size else np.empty(0, dtype=np.intp)
    crossed = {graph.room_ids[k] for k in np.unique(graph.room[walked]) if k >= 0}
    doors = open_inner_doors(premises, Mode.INSIDE)
    doors |= {o.id for o in premises.openings if not o.is_outside and set(o.room_ids) & (used | crossed)}
    places, solid = {}, {}
    for index, storey_id in enumerate(graph.storey_ids):
        here = walked[graph.storey[walked] == index]
        if len(here):
            # a place in each stride is enough
            strides = np.unique(np.round(np.stack([graph.x[here], graph.y[here]], axis=1) / LOOK_M), axis=0)
            places[storey_id] = strides * LOOK_M
            solid[storey_id] = storey_plans(premises)[storey_id].solid(open_ids=frozenset(doors))
    return NightWays(frozenset(used | crossed), places, solid)


def _walked(premises: Premises, graph: WalkGraph, slept_in: set[str]) -> NDArray[np.intp]:
    """Places on the quickest way from every bed, or the middle of a bedroom without one, to a bathroom."""
    starts = [(b.room_id, b.position) for b in premises.beds if b.sleepers]
    with_bed = {room_id for room_id, _ in starts}
    shapes = {key: s for plan in storey_plans(premises).values() for key, s in plan.room_shapes.items()}
    for key in slept_in - with_bed:
        spot = shapes[key].representative_point()
        starts.append((key, (spot.x, spot.y)))
    nodes = [graph.nearest(premises.room(key).storey_id, at, key) for key, at in sorted(starts)]
    baths = [r.id for r in premises.rooms if r.use is RoomUse.BATHROOM]
    indices = [k for k, key in enumerate(graph.room_ids) if key in baths]
    goals = np.flatnonzero(np.isin(graph.room, indices))
    begun = [n for n in nodes if n is not None]
    if not begun or not len(goals):
        return np.array(sorted(set(begun)), dtype=np.intp)
    every_door = frozenset(o.id for o in premises.openings if not o.is_outside)
    weights = graph.matrix(step_times(graph, PACE_M_S, every_door))
    times, before = dijkstra(weights, indices=begun, return_predecessors=True)
    walked: set[int] = set(begun)
    for row in range(len(begun)):
        node = int(goals[np.argmin(times[row, goals])])
        if not np.isfinite(times[row, node]):
            continue
        while node >= 0:
            walked.add(node)
            node = int(before[row, node])
    return np.array(sorted(walked), dtype=np.intp)
