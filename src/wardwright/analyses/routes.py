"""Ways through: the quietest, the fastest and the best-timed route from every way in to every target."""

import math
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.detection_along import ShutDoors, Step, Walk, account, walk_along
from wardwright.analyses.entry_records import Notice
from wardwright.analyses.exposure import CENTRAL, Exposure, Fields
from wardwright.analyses.free_floor import HALF_WIDTH_M, STEP_M
from wardwright.analyses.mode import Mode, open_inner_doors, watching_devices
from wardwright.analyses.route_records import Noticing, Route, RouteAnalysis
from wardwright.analyses.route_search import Costs, Trees, build_costs, search
from wardwright.analyses.route_telling import Entered, Goal, Teller
from wardwright.analyses.step_rates import StepRates
from wardwright.analyses.timely import exponent
from wardwright.analyses.walkable import WalkGraph, door_delays, entry_place, walk_graph
from wardwright.analyses.ways_in import Attackable, Noticers, attackable_openings
from wardwright.design.system import ProtectionScheme
from wardwright.premises.attacks import Attack
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind
from wardwright.worked_out import Kept, once

__all__ = ["Noticing", "Route", "RouteAnalysis", "WalkedRoute", "goals", "routes", "walked_routes"]

WALKS_KEPT = 2048
"""For one building, set one way. [-]"""
ASSUMED_RESPONSE_S = 540.0
"""Response by which the best-timed route is chosen where none is known: a median of 9 min. Assumption. [s]"""


def goals(scheme: ProtectionScheme, mode: Mode) -> tuple[Goal, ...]:
    """What must not be reached undetected: what is worth stealing; with people inside, the beds as well."""
    premises = scheme.premises
    found = [
        Goal(t.id, t.name, premises.room(t.room_id).storey_id, t.room_id, t.position, t.take_s)
        for t in premises.targets
    ]
    if mode is Mode.INSIDE:
        found += [
            Goal(
                b.id,
                f"bed in {premises.room(b.room_id).name}",
                premises.room(b.room_id).storey_id,
                b.room_id,
                b.position,
                0.0,
            )
            for b in premises.beds
        ]
    return tuple(found)


def routes(
    scheme: ProtectionScheme,
    mode: Mode,
    fields: Fields,
    *,
    step: float = STEP_M,
    half_width: float = HALF_WIDTH_M,
    to: Sequence[Goal] | None = None,
    told: Callable[["WalkedRoute"], None] | None = None,
) -> RouteAnalysis:
    """Quietest, fastest and best-timed route from every way in that can be reached to every target.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    mode : Mode
        How the system is set. With people inside every bed is a target too.
    fields : Fields
        Detection hazard of the motion detectors by storey and pace, as `analyses.coverage` works it out for this mode.
    step : float
        Cell size of the walking graph. [m]
    half_width : float
        Half the width of a person. [m]
    to : sequence of Goal, optional
        Where to; the targets of this mode when left out.
    told : callable, optional
        Told every route with the steps it was worked out from.

    Returns
    -------
    RouteAnalysis
        Routes, worst first; and in plain words what could not be computed. The intruder chooses the attack as he
        chooses the way: the least noticed for the quietest route, the shortest for the fastest.
    """
    survey, costs, noticers = _survey(scheme, mode, fields, step, half_width)
    graph = survey.graph
    undecided = list(graph.unlinked)
    ways = _ways(graph, scheme, noticers, undecided)
    found: list[Route] = []
    wanted = goals(scheme, mode) if to is None else to
    if not wanted and to is None:
        undecided.append("no target is named: say what is worth stealing and where it is")
    for goal in wanted:
        place = (
            graph.nearest(goal.storey_id, goal.position, goal.room_id) if goal.storey_id in graph.storey_ids else None
        )
        if place is None:
            undecided.append(f"“{goal.name}” lies where nobody can stand: check its place and its room")
            continue
        for walked in survey.to_goal(goal, place, costs, ways, undecided):
            found.append(walked.route)
            if told is not None:
                told(walked)
    found.sort(key=_how_bad)
    return RouteAnalysis(tuple(found), tuple(dict.fromkeys(undecided)), step, mode.value)


def walked_routes(
    scheme: ProtectionScheme, mode: Mode, fields: Fields, opening_id: str, goal_id: str
) -> tuple["WalkedRoute", ...]:
    """The three routes from one way in to one target, step by step, for whoever wants to walk them.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    mode : Mode
        How the system is set.
    fields : Fields
        Detection hazard by storey and pace.
    opening_id : str
        The way in.
    goal_id : str
        The target, or with people inside a bed.

    Returns
    -------
    tuple of WalkedRoute
        Empty where no way leads there, or nobody can get at the way in.
    """
    survey, costs, noticers = _survey(scheme, mode, fields)
    ways = [w for w in _ways(survey.graph, scheme, noticers, []) if w.opening.id == opening_id]
    goal = next((g for g in goals(scheme, mode) if g.id == goal_id), None)
    if not ways or goal is None or goal.storey_id not in survey.graph.storey_ids:
        return ()
    place = survey.graph.nearest(goal.storey_id, goal.position, goal.room_id)
    return () if place is None else tuple(survey.to_goal(goal, place, costs, ways, []))


def _survey(
    scheme: ProtectionScheme, mode: Mode, fields: Fields, step: float = STEP_M, half_width: float = HALF_WIDTH_M
) -> tuple["_Survey", Costs, Noticers]:
    graph = walk_graph(scheme.premises, step, half_width)
    exposure = Exposure(graph, fields, watching_devices(scheme, mode))
    noticers = Noticers(scheme, mode)
    shut = door_delays(graph, open_inner_doors(scheme.premises, mode))
    on_doors = {c.opening.id: noticers.on_inner_door(c.opening) for c, _ in shut}
    run = exposure.speeds_m_s[0] if exposure.speeds_m_s else scheme.brief.intruder_run_m_s
    costs = build_costs(
        graph, exposure, run, shut, {key: sum(exponent(n.probability) for n in held) for key, held in on_doors.items()}
    )
    teller = Teller(scheme, mode, graph, exposure, run)
    kept = _kept_walks(
        scheme.premises,
        mode,
        graph.step_m,
        half_width,
        run,
        exposure.speeds_m_s,
        exposure.stretch_m,
        exposure.assumption,
    )
    rates = StepRates(exposure, graph.size)
    survey = _Survey(scheme, mode, graph, exposure, ShutDoors.of(shut), on_doors, run, teller, rates, kept)
    return survey, costs, noticers


def _how_bad(route: Route) -> tuple[float, float, float, float]:
    """Order of what matters in a home: detected, confirmed, how late, how long inside after it."""
    left = route.left_to_run_s if route.left_to_run_s is not None else -1.0
    after = route.after_first_s if route.after_first_s is not None else 0.0
    return (round(route.probability, 2), round(route.confirmed_probability, 2), round(left), -after)


def _ways(graph: WalkGraph, scheme: ProtectionScheme, noticers: Noticers, undecided: list[str]) -> tuple[Entered, ...]:
    found = []
    for item in attackable_openings(scheme):
        if item.reachable is False or not item.attacks:
            continue
        place = entry_place(graph, item.shape)
        if place is None:
            undecided.append(f"“{item.shape.opening.name}” leads to no floor: check the room behind it")
            continue
        found.append(_way(graph, item, noticers, place))
    return tuple(found)


def _way(graph: WalkGraph, item: Attackable, noticers: Noticers, place: int) -> Entered:
    (x, y), storey_id = item.shape.centre, graph.storey_ids[graph.storey[place]]
    dx, dy = float(graph.x[place]) - x, float(graph.y[place]) - y
    attacks = []
    for attack in item.attacks:
        notices = noticers.of(attack, item.shape)
        attacks.append((attack, notices, sum(exponent(n.probability) for n in notices)))
    return Entered(
        item.shape.opening, place, (x, y), storey_id, (math.hypot(dx, dy), math.atan2(dy, dx)), tuple(attacks)
    )


@dataclass(frozen=True, eq=False)
class WalkedRoute:
    """A route with the steps it was worked out from."""

    route: Route
    attack: Attack
    walk: Walk
    rates: NDArray[np.float64]
    """Exponent per metre of each motion detector on each step: pessimistic, central, optimistic. [1/m]"""
    device_ids: tuple[str, ...]
    """The motion detectors that look at some of it."""
    pace_m_s: NDArray[np.float64]
    """Pace on the flat for each step. [m/s]"""
    notices: tuple[Step, ...]
    """What notices at one moment: contacts, shock and glass-break detectors."""


@dataclass(frozen=True, eq=False)
class _Lines:
    """The walks of the three routes from one way in to one target."""

    fast: Walk
    quiet: Walk
    timed: Walk | None
    hidden: int
    """Places up to which he hides on it."""

    @property
    def walks(self) -> tuple[Walk, ...]:
        """All of them."""
        return (self.fast, self.quiet) if self.timed is None else (self.fast, self.quiet, self.timed)


@once(8)
def _kept_walks(_premises: Premises, *_decides: Hashable) -> Kept[WalkedRoute]:
    """Walks accounted for, of one building and everything else that decides how a walk is told."""
    return Kept(WALKS_KEPT)


@dataclass(frozen=True, eq=False)
class _Survey:
    """What all routes of one analysis share."""

    scheme: ProtectionScheme
    mode: Mode
    graph: WalkGraph
    exposure: Exposure
    doors: ShutDoors
    on_doors: dict[str, tuple[Notice, ...]]
    run: float
    teller: Teller
    rates: StepRates
    kept: Kept[WalkedRoute]

    def to_goal(
        self, goal: Goal, target: int, costs: Costs, ways: Sequence[Entered], undecided: list[str]
    ) -> list[WalkedRoute]:
        """Three routes from every way in to one target."""
        response = self.scheme.premises.surroundings.response
        known = response.median_s is not None and response.policy != "none" and self.scheme.brief.monitored
        reply = response.median_s if known and response.median_s is not None else ASSUMED_RESPONSE_S
        first = search(costs, target, (), math.inf)
        leave = min((float(first.time_s[w.place]) for w in ways), default=0.0)
        may_run = reply - goal.take_s - leave
        late = any(first.time_s[w.place] > may_run for w in ways)
        trees = search(costs, target, [w.place for w in ways], may_run) if late else first
        led = []
        for way in ways:
            if math.isfinite(float(trees.time_s[way.place])):
                led.append((way, self._lines(way, trees, may_run)))
            elif not self._stands_alone(way, ways):
                undecided.append(f"no way leads from “{way.opening.name}” to “{goal.name}”: check doors and stairs")
        self.rates.learn(walk for _, lines in led for walk in lines.walks)
        found: list[WalkedRoute] = []
        for way, lines in led:
            found += self._three(goal, way, lines, reply if known else None)
        if ways and not found:
            undecided.append(f"no way leads to “{goal.name}” from any way in: check doors and stairs")
        return found

    def _stands_alone(self, way: Entered, ways: Sequence[Entered]) -> bool:
        """True for a way into a part of the building that has an outer door of its own: an outbuilding, a second home.

        A part with windows only must be joined to the rest by a door that nobody has drawn.
        """
        part = self.graph.part
        doors = (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR, OpeningKind.BULKHEAD)
        return any(w.opening.kind in doors and part[w.place] == part[way.place] for w in ways)

    def _three(self, goal: Goal, way: Entered, lines: "_Lines", reply: float | None) -> list[WalkedRoute]:
        quick = min(way.attacks, key=lambda a: (a[0].delay_s, a[2]))
        quiet = min(way.attacks, key=lambda a: (round(a[2], 6), a[0].delay_s))
        fast = self._route("fastest", goal, way, quick, lines.fast, 0, reply)
        slow = self._route("quietest", goal, way, quiet, lines.quiet, None, reply)
        if lines.quiet.nodes != lines.fast.nodes:
            # The search took metres as independent; judged by single stretches the straight way may be the quieter.
            other = self._route("quietest", goal, way, quiet, lines.fast, None, reply)
            slow = min(slow, other, key=lambda r: (round(r.route.probability, 6), r.route.time_s))
        timed = fast
        if lines.timed is not None:
            timed = self._route("best-timed", goal, way, quiet, lines.timed, lines.hidden, reply)
        if reply is not None:
            # The two searches go by mean times; with their spread one of the plain routes may do better.
            timed = min(timed, fast, slow, key=lambda r: r.route.interruption or 0.0)
            told = replace(timed.route, kind="best-timed")
        else:
            taken = f"{ASSUMED_RESPONSE_S / 60:.0f} min taken for its timing"
            note = f"{timed.route.assumption}; no response time is known: {taken}"
            told = replace(timed.route, kind="best-timed", assumption=note)
        return [slow, fast, replace(timed, route=told)]

    def _lines(self, way: Entered, trees: Trees, may_run: float) -> "_Lines":
        """The ways the three routes take over the floor."""
        fast = trees.fast(way.place)
        quiet = trees.quiet(way.place)
        walked = {tuple(nodes): walk_along(self.graph, nodes, self.doors, way.stretch) for nodes in (fast, quiet)}
        timed, hidden = None, 0
        if trees.time_s[way.place] > may_run:
            hide = trees.hide(way.place)
            hidden = len(hide)
            nodes = [*hide, *trees.fast(hide[-1])[1:]]
            timed = walked.get(tuple(nodes)) or walk_along(self.graph, nodes, self.doors, way.stretch)
        return _Lines(walked[tuple(fast)], walked[tuple(quiet)], timed, hidden)

    def _route(
        self,
        kind: str,
        goal: Goal,
        way: Entered,
        chosen: tuple[Attack, tuple[Notice, ...], float],
        walk: Walk,
        runs_from: int | None,
        reply: float | None,
    ) -> WalkedRoute:
        """Account for one walk; the intruder hides up to place ``runs_from`` (None: all the way) and then runs."""
        attack, notices, _ = chosen
        rates, pace = self._at_paces(walk, runs_from)
        steps = [Step(0, n) for n in notices]
        steps += [Step(at + 1, n) for at, door in walk.doors for n in self.on_doors.get(door, ())]
        # only detectors that look at some of it have a part in it: what the others do changes nothing
        looks = np.flatnonzero(rates.any(axis=(0, 2)))
        rates, ids = np.ascontiguousarray(rates[:, looks]), tuple(self.exposure.device_ids[i] for i in looks)
        noticed = tuple((x.at, x.notice) for x in steps)
        counts = self.teller.counts_by((*ids, *(x.notice.device_id for x in steps)))
        key = (kind, goal, way.opening.id, attack, walk.nodes, reply, pace.tobytes(), rates.tobytes(), noticed, counts)
        return self.kept.get(key, lambda: self._worked(kind, goal, way, attack, walk, rates, ids, pace, steps, reply))

    def _worked(
        self,
        kind: str,
        goal: Goal,
        way: Entered,
        attack: Attack,
        walk: Walk,
        rates: NDArray[np.float64],
        ids: tuple[str, ...],
        pace: NDArray[np.float64],
        steps: list[Step],
        reply: float | None,
    ) -> WalkedRoute:
        story = account(rates, self.exposure.stretch_m, ids, walk, pace, attack.delay_s, steps)
        route = self.teller.told(kind, goal, way, attack, walk, story, tuple(x.notice for x in steps), reply)
        return WalkedRoute(route, attack, walk, rates, ids, pace, tuple(steps))

    def _at_paces(self, walk: Walk, runs_from: int | None) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Exponent per metre and pace of each step: running, or while hiding the pace that is least noticed."""
        speeds = self.exposure.speeds_m_s or (self.run,)
        held = self.rates.on(walk)
        if runs_from == 0:
            return np.ascontiguousarray(held[0]), np.full(len(walk.start), speeds[0])
        # of equally quiet paces the fastest: speeds are sorted
        chosen = np.argmin(held[:, CENTRAL].sum(axis=1) + 1e-12 * np.arange(len(held))[:, None], axis=0)
        chosen[runs_from if runs_from is not None else len(chosen) :] = 0
        at_pace = held[chosen, :, :, np.arange(len(chosen))].transpose(1, 2, 0)
        return np.ascontiguousarray(at_pace), np.asarray(speeds)[chosen]
