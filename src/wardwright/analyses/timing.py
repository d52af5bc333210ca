"""Timing: the walk from the last exit to the keypad and back, at a slow walker's pace, against the timers."""

import itertools
import math
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.sparse.csgraph import dijkstra
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.walkable import WalkGraph, entry_place, step_times, walk_graph
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.programme import ZoneResponse
from wardwright.design.system import ProtectionScheme
from wardwright.premises.model import Premises
from wardwright.premises.openings import Opening, OpeningKind
from wardwright.premises.plan import OpeningShape, storey_plans

DOOR_S = 4.0
"""To come in by a door and shut it, or to go out by it. [s] Assumption."""

CODE_S = 6.0
"""To unset at the keypad once there. [s] Assumption."""

PACE_SPREAD = 0.25
"""The slowest walker may be this much slower or faster than the brief says. [-] Assumption."""

LOOK_M = 0.25
"""A walk is looked at in steps of this length. [m]"""

REACH_M = 0.6
"""A keypad is worked from this far off. [m] Assumption."""

WALKED_OUT = (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR, OpeningKind.BULKHEAD)


@dataclass(frozen=True)
class ExitWalk:
    """One final exit door and the keypad people use by it."""

    opening_id: str
    keypad_id: str | None
    length_m: float | None
    walk_s: float | None
    interval_s: tuple[float, float] | None
    entry_s: float
    exit_s: float
    crossed_device_ids: tuple[str, ...]
    """Detectors the walk passes that must be entry/exit or followers."""
    assumption: str
    undecided: str = ""
    pace_m_s: float = 0.0
    handling_in_s: float = DOOR_S + CODE_S
    """Besides walking, on the way in: the door and the code. [s]"""
    handling_out_s: float = DOOR_S
    """Besides walking, on the way out: the door. [s]"""
    points: tuple[tuple[str, float, float], ...] = ()
    """Storey id, x, y along the way from door to keypad. [m]"""
    steps: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class TimingAnalysis:
    """Every final exit."""

    walks: tuple[ExitWalk, ...]
    undecided: str = ""
    """Why there is nothing to tell: no final exit is named."""


def timing(scheme: ProtectionScheme) -> TimingAnalysis:
    """The walk between every final exit and the keypad nearest to it in time.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design. The pace is the brief's, or that of the slowest person who lives there.

    Returns
    -------
    TimingAnalysis
        One walk for each final exit.
    """
    exits = [o for o in scheme.premises.openings if o.final_exit]
    if not exits:
        return TimingAnalysis((), "no door is marked as the one people leave and come home by")
    named = set(scheme.design.programme.entry_path_keypad_ids)
    keypads = [d for d in scheme.of_family(Family.KEYPAD, Family.ALL_IN_ONE) if not named or d.id in named]
    if not keypads:
        keypads = list(scheme.of_family(Family.KEYPAD, Family.ALL_IN_ONE))
    graph = walk_graph(scheme.premises)
    return TimingAnalysis(tuple(_walk(scheme, graph, opening, keypads) for opening in exits))


def pace(scheme: ProtectionScheme) -> tuple[float, str]:
    """Pace of the slowest walker, and whose it is. [m/s]

    Parameters
    ----------
    scheme : ProtectionScheme
        Brief and people.

    Returns
    -------
    tuple of float and str
        Pace; where it comes from.
    """
    slowest, whose = scheme.brief.slow_walk_m_s, "the brief"
    for person in scheme.premises.people:
        if person.walking_speed_m_s is not None and person.walking_speed_m_s < slowest:
            slowest, whose = person.walking_speed_m_s, person.name or person.role
    return slowest, whose


def _timers(scheme: ProtectionScheme, opening: Opening) -> tuple[float, float]:
    """Entry and exit time that hold for a door: the shortest of the areas its zones belong to."""
    programme = scheme.design.programme
    at_door = {d.id for d in scheme.fitted if d.opening_id == opening.id}
    zones = {z.id: z for key in at_door for z in scheme.zones_of_device.get(key, ())}
    wanted = {area for z in zones.values() for area in z.area_ids} or {a.id for a in programme.areas}
    areas = [a for a in programme.areas if a.id in wanted]
    entry = [a.entry_s for a in areas if a.entry_s is not None]
    leave = [a.exit_s for a in areas if a.exit_s is not None]
    return min(entry, default=programme.timers.entry_s), min(leave, default=programme.timers.exit_s)


def _walk(scheme: ProtectionScheme, graph: WalkGraph, opening: Opening, keypads: list[Device]) -> ExitWalk:
    entry_s, exit_s = _timers(scheme, opening)
    speed, whose = pace(scheme)
    assumption = f"pace of {speed:g} m/s ({whose}), give or take {PACE_SPREAD:.0%}; inner doors as usually left"
    bare = ExitWalk(opening.id, None, None, None, None, entry_s, exit_s, (), assumption, pace_m_s=speed)

    def undecided(why: str) -> ExitWalk:
        return ExitWalk(opening.id, None, None, None, None, entry_s, exit_s, (), assumption, why, speed)

    if not keypads:
        return undecided("there is no keypad and no all-in-one control")
    if opening.kind not in WALKED_OUT:
        return undecided(f"nobody walks in by a {opening.kind.value}")
    if graph.size == 0:
        return undecided("the plan has no floor to walk on: no room outlines")
    shape = _shape(scheme.premises, opening)
    start = None if shape is None else entry_place(graph, shape)
    if shape is None or start is None:
        return undecided("no floor was found behind this door")
    ends = {k.id: graph.nearest(k.storey_id, k.position) for k in keypads if k.storey_id in graph.storey_ids}
    doors = open_inner_doors(scheme.premises, Mode.AWAY)
    times = step_times(graph, speed, doors)
    costs, befores = dijkstra(graph.matrix(times), indices=[start], return_predecessors=True)
    cost, before = costs[0], befores[0]
    reached = {key: float(cost[end]) for key, end in ends.items() if end is not None and np.isfinite(cost[end])}
    if not reached:
        return undecided("no keypad can be reached on foot from this door over the floors drawn")
    nearest = min(reached, key=lambda key: (reached[key], key))
    end = ends[nearest]
    assert end is not None  # only ends that are somewhere were reached
    nodes = [end]
    while nodes[-1] != start:
        nodes.append(int(before[nodes[-1]]))
    nodes.reverse()
    points = [(graph.storey_ids[graph.storey[n]], float(graph.x[n]), float(graph.y[n])) for n in nodes]
    door = (shape.storey_id, *shape.centre)
    flat = float(sum(_length(graph, a, b) for a, b in itertools.pairwise(nodes)))
    first = math.dist(door[1:], points[0][1:])
    device = next(k for k in keypads if k.id == nearest)
    last = max(0.0, math.dist(points[-1][1:], device.position) - REACH_M)
    length = first + flat + last
    walk = reached[nearest] + (first + last) / speed
    crossed = _crossed(scheme, [door, *points], doors)
    steps = (
        ("way", f"{length:.1f} m from the door to {nearest}, stairs along their slope"),
        ("walk", f"{walk:.0f} s at {speed:g} m/s ({whose}), shut inner doors included"),
        ("besides, coming in", f"{DOOR_S:g} s at the door + {CODE_S:g} s for the code (assumption)"),
        ("entry time", f"{walk + DOOR_S + CODE_S:.0f} s needed of {entry_s:g} s"),
        ("exit time", f"{walk + DOOR_S:.0f} s needed of {exit_s:g} s"),
    )
    return ExitWalk(
        bare.opening_id,
        nearest,
        length,
        walk,
        (walk / (1.0 + PACE_SPREAD), walk / (1.0 - PACE_SPREAD)),
        entry_s,
        exit_s,
        crossed,
        assumption,
        pace_m_s=speed,
        points=(door, *points),
        steps=steps,
    )


def _shape(premises: Premises, opening: Opening) -> OpeningShape | None:
    for plan in storey_plans(premises).values():
        for shape in plan.openings:
            if shape.opening.id == opening.id:
                return shape
    return None


def _length(graph: WalkGraph, start: int, end: int) -> float:
    """Length of the step between two neighbouring places. [m]"""
    columns = np.flatnonzero(graph.neighbour[start] == end)
    return float(graph.lengths_m[start, columns].min())


def _crossed(
    scheme: ProtectionScheme, points: list[tuple[str, float, float]], doors: frozenset[str]
) -> tuple[str, ...]:
    """Detectors that hear of somebody walking this way: contacts on its doors, motion detectors that look at it."""
    plans = storey_plans(scheme.premises)
    by_storey: dict[str, list[tuple[float, float]]] = {}
    for key, x, y in points:
        by_storey.setdefault(key, []).append((x, y))
    passed: set[str] = set()
    places: dict[str, np.ndarray] = {}
    for key, way in by_storey.items():
        if len(way) < 2 or key not in plans:
            continue
        line = LineString(way)
        passed |= {s.opening.id for s in plans[key].openings if s.outline.intersects(line)}
        count = max(2, math.ceil(line.length / LOOK_M))
        places[key] = shapely.get_coordinates(line.interpolate(np.linspace(0.0, line.length, count)))
    found = []
    for device in scheme.fitted:
        kind = scheme.kind_of(device)
        if kind.family is Family.CONTACT and device.opening_id in passed:
            found.append(device.id)
        elif kind.family in (Family.MOTION, Family.DUAL) and device.storey_id in places:
            reach, field = kind.get("range_m"), kind.get("field_rad")
            if reach is None or field is None:
                continue
            ground = plans[device.storey_id]
            if looks_at(device, places[device.storey_id], reach, field, ground.solid(open_ids=doors | passed)):
                found.append(device.id)
    return tuple(found)


def looks_at(device: Device, places: np.ndarray, reach: float, field: float, solid: BaseGeometry) -> bool:
    """Whether any of some places lies in a detector's rated pattern and in its sight.

    Parameters
    ----------
    device : Device
        A motion or dual-technology detector.
    places : array
        x and y of the places, shape (n, 2). [m]
    reach : float
        Its rated range. [m]
    field : float
        Its rated width. [rad]
    solid : BaseGeometry
        What it does not see through.
    """
    dx, dy = places[:, 0] - device.position[0], places[:, 1] - device.position[1]
    away = np.hypot(dx, dy)
    turned = np.abs(np.angle(np.exp(1j * (np.arctan2(dy, dx) - device.heading_rad))))
    inside = places[(away <= reach) & (turned <= field / 2.0) & (away > LOOK_M)]
    if not len(inside):
        return False
    shapely.prepare(solid)
    # The sight line starts a hand's breadth before the detector, which may sit in the face of its wall.
    start = np.array(device.position) + 0.1 * np.array([math.cos(device.heading_rad), math.sin(device.heading_rad)])
    lines = shapely.linestrings([[start, place] for place in inside])
    return bool(np.any(~shapely.intersects(solid, lines)))


def must_wait(scheme: ProtectionScheme, walk: ExitWalk) -> tuple[str, ...]:
    """Detectors on a walk that would not wait for the entry time.

    Parameters
    ----------
    scheme : ProtectionScheme
        The programme.
    walk : ExitWalk
        One final exit's walk.

    Returns
    -------
    tuple of str
        Ids of detectors on it whose zone answers at once: neither entry/exit nor follower.
    """
    patient = (ZoneResponse.ENTRY_EXIT, ZoneResponse.INTERIOR_FOLLOWER)
    quiet = (ZoneResponse.TROUBLE, ZoneResponse.TECHNICAL, ZoneResponse.FIRE)
    return tuple(
        key
        for key in walk.crossed_device_ids
        if any(z.response not in (*patient, *quiet) for z in scheme.zones_of_device.get(key, ()))
    )
