"""The system attacked: which smallest sets of faults keep an intrusion from being reported before the target is gone.

On every way in the routes to every target are played to the panel's own programme. A target that is gone before the
word is out is *too quick*: nothing need be done to the system. Of the others the route that leaves the centre least
time is attacked, with faults alone, in pairs, in threes. A device counts as noticing where it is more likely than not.

Sets are *minimal*: none of their parts defeats alone. More faults do not always help (a torn lid reports), so a set
with more in it may fail again; each set printed works, and no set of its parts does.
"""

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from wardwright.analyses.contact_field import ContactField
from wardwright.analyses.exposure import Fields
from wardwright.analyses.intrusions import Course, Outcome, Trip, plays_of, trips_on
from wardwright.analyses.loops import LoopAnalysis
from wardwright.analyses.mode import Mode
from wardwright.analyses.panel_programme import Numbering, numbering, panel_programme
from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.route_records import Route, RouteAnalysis
from wardwright.analyses.route_telling import Goal
from wardwright.analyses.routes import routes
from wardwright.analyses.sabotage import BEFORE_S, Fault, faults, smashed_events
from wardwright.design.system import ProtectionScheme
from wardwright.panel.events import PathEvent, ZoneEvent
from wardwright.panel.programme import PanelProgramme

SIZE = 2
"""Faults at once, unless asked otherwise. [-]"""
Boxes = dict[tuple[str, str], Route]
LATEST_S = 1800.0
"""He is gone after this in any case. Assumption. [s]"""


@dataclass(frozen=True)
class Defeat:
    """One smallest set that works, on one way in."""

    opening_id: str
    attack: str
    target_id: str
    faults: tuple[Fault, ...]
    seconds: float
    """By how much the word comes too late; infinite where nothing ever reports. [s]"""
    takes_s: float
    """What doing it takes, waiting included. [s]"""
    told: tuple[str, ...]
    """What the centre hears besides, or before."""


@dataclass(frozen=True)
class Intrusion:
    """One way in and one target, with nothing done to the system."""

    opening_id: str
    attack: str
    target_id: str
    mode: str
    gone_s: float
    """He is out of the building with the target. [s]"""
    reported_s: float | None
    what: str
    smash_s: float | None
    """The panel is torn down, going there first. None: it cannot be got to. [s]"""


@dataclass(frozen=True)
class AttackAnalysis:
    """What became of every intrusion."""

    intrusions: tuple[Intrusion, ...]
    defeats: tuple[Defeat, ...]
    faults: tuple[Fault, ...]
    size: int
    """Faults at once, at most."""
    tried: int
    """Sets replayed."""
    undecided: tuple[str, ...] = ()

    @property
    def too_quick(self) -> tuple[Intrusion, ...]:
        """Intrusions over before the word is out, with nothing done to the system."""
        return tuple(i for i in self.intrusions if i.reported_s is None)

    @property
    def ways(self) -> frozenset[str]:
        """Openings on which some intrusion is reported in time, so that there is something to attack."""
        return frozenset(i.opening_id for i in self.intrusions if i.reported_s is not None)

    def by_set(self) -> dict[tuple[str, ...], tuple[Defeat, ...]]:
        """Defeats by the faults they need, smallest sets first."""
        found: dict[tuple[str, ...], list[Defeat]] = {}
        for d in sorted(self.defeats, key=lambda d: (len(d.faults), [f.key for f in d.faults])):
            found.setdefault(tuple(f.key for f in d.faults), []).append(d)
        return {key: tuple(items) for key, items in found.items()}


def attack_analysis(
    scheme: ProtectionScheme,
    away: RouteAnalysis,
    fields: Fields,
    contacts: tuple[ContactField, ...],
    inputs: LoopAnalysis | None,
    supply: PowerAnalysis | None,
    *,
    size: int = SIZE,
    reports_entry: bool | None = None,
    to_boxes: Boxes | None = None,
    enough: bool = False,
) -> AttackAnalysis:
    """Attack a system on every way in.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    away : RouteAnalysis
        Routes while everybody is out.
    fields : Fields
        Hazard of the motion detectors, for the ways to panel and communicator.
    contacts, inputs, supply
        Results that say which magnets, loops and batteries yield.
    size : int
        Faults at once, 0 to 3.
    reports_entry : bool, optional
        Whether the start of entry time is reported at once; as programmed when left out.
    to_boxes : dict, optional
        Ways to what can be torn down, from :func:`ways_to_boxes`; worked out when left out.
    enough : bool
        Stop on each way in at the first set that works without the centre hearing of it: for counting.

    Returns
    -------
    AttackAnalysis
        Intrusions, and the smallest sets that defeat each.
    """
    if not scheme.design.programme.paths:
        return AttackAnalysis((), (), (), size, 0, ("no reporting path is designed: there is nobody to tell",))
    known = faults(scheme, contacts, inputs, supply)
    to_boxes = ways_to_boxes(scheme, fields, known) if to_boxes is None else to_boxes
    programme = panel_programme(scheme)
    if reports_entry is not None:
        programme = replace(programme, report_entry_delay=reports_entry)
    trial = _Trial(scheme, programme, numbering(scheme), to_boxes)
    intrusions: list[Intrusion] = []
    found: list[Defeat] = []
    for routes_in in _by_opening(away.routes):
        tried = trial.worst_to_each(routes_in)
        for route, base in tried:
            smash = [b.time_s + f.takes_s for f in known if f.smashes and (b := trial.box(route, f)) is not None]
            intrusions.append(
                Intrusion(
                    route.opening_id,
                    route.attack,
                    route.target_id,
                    route.mode,
                    trial.gone(route),
                    base.reported_s,
                    base.what,
                    min(smash, default=None),
                )
            )
        told = [(r, b) for r, b in tried if b.reported_s is not None]
        if told:
            route, _ = min(told, key=lambda item: _slack(item[1], trial.gone(item[0])))
            found += trial.smallest(route, known, size, enough=enough)
    return AttackAnalysis(tuple(intrusions), tuple(found), known, size, len(trial.courses), away.undecided)


def _by_opening(found: Iterable[Route]) -> list[list[Route]]:
    groups: dict[str, list[Route]] = {}
    for route in found:
        groups.setdefault(route.opening_id, []).append(route)
    return list(groups.values())


def ways_to_boxes(scheme: ProtectionScheme, fields: Fields, known: Sequence[Fault]) -> Boxes:
    """Fastest route from every way in to every box that can be torn down.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    fields : Fields
        Hazard of the motion detectors on the way.
    known : sequence of Fault
        What can be done.

    Returns
    -------
    dict
        Route by opening and box.
    """
    goals = []
    for fault in known:
        if fault.smashes:
            box = scheme.design.device(fault.smashes)
            room = scheme.room_of(box)
            if room is not None:
                goals.append(Goal(box.id, box.id, box.storey_id, room.id, box.position, 0.0))
    if not goals:
        return {}
    told = routes(scheme, Mode.AWAY, fields, to=goals)
    return {(r.opening_id, r.target_id): r for r in told.routes if r.kind == "fastest"}


class _Trial:
    """Replays sets of faults on routes, each distinct course of events once."""

    def __init__(
        self,
        scheme: ProtectionScheme,
        programme: PanelProgramme,
        names: Numbering,
        boxes: Boxes,
    ) -> None:
        self.scheme = scheme
        self.plays = plays_of(programme)
        self.names = names
        self.boxes = boxes
        self.courses: set[Course] = set()
        self._taking = {t.id: t.take_s for t in scheme.premises.targets}
        self._run = scheme.brief.intruder_run_m_s
        self._paths = frozenset(range(len(programme.paths)))

    def gone(self, route: Route) -> float:
        """When he is out again by the way he came. [s]"""
        back = route.length_m / self._run
        return min(LATEST_S, route.time_s + self._taking.get(route.target_id, 0.0) + back)

    def box(self, route: Route, fault: Fault) -> Route | None:
        """The way to what has to be smashed first."""
        return self.boxes.get((route.opening_id, fault.smashes))

    def worst_to_each(self, found: Sequence[Route]) -> list[tuple[Route, Outcome]]:
        """For each target the route that leaves the centre least time, with nothing done."""
        best: dict[str, tuple[Route, Outcome]] = {}
        for route in found:
            got = self.outcome(route, ())
            held = best.get(route.target_id)
            if held is None or _slack(got, self.gone(route)) < _slack(held[1], self.gone(held[0])):
                best[route.target_id] = (route, got)
        return list(best.values())

    def smallest(self, route: Route, known: Sequence[Fault], size: int, *, enough: bool = False) -> list[Defeat]:
        """Every minimal set up to a size that keeps this intrusion from being reported in time."""
        here = [f for f in known if self._matters(route, f)]
        minimal: list[frozenset[str]] = []
        found: list[Defeat] = []
        for n in range(1, size + 1):
            for chosen in itertools.combinations(here, n):
                keys = frozenset(f.key for f in chosen)
                if any(m <= keys for m in minimal) or sum(bool(f.smashes) for f in chosen) > 1:
                    continue
                if self._defeats(route, chosen):
                    minimal.append(keys)
                    found.append(self._told(route, chosen))
                    if enough and not found[-1].told:
                        return found
        return found

    def _matters(self, route: Route, fault: Fault) -> bool:
        if fault.opening_id and fault.opening_id != route.opening_id:
            return False
        if fault.smashes:
            return self.box(route, fault) is not None
        return bool(fault.events) or any(n.device_id in fault.deaf for n in route.noticings)

    def _defeats(self, route: Route, chosen: tuple[Fault, ...]) -> bool:
        return self.outcome(route, chosen).reported_s is None

    def _told(self, route: Route, chosen: tuple[Fault, ...]) -> Defeat:
        got = self.outcome(route, chosen)
        late = self.outcome(route, chosen, until=LATEST_S)
        seconds = math.inf if late.reported_s is None else late.reported_s - self._until(route, chosen)
        takes = sum(f.takes_s for f in chosen)
        return Defeat(route.opening_id, route.attack, route.target_id, chosen, seconds, takes, got.others)

    def _until(self, route: Route, chosen: tuple[Fault, ...]) -> float:
        smash = next((f for f in chosen if f.smashes), None)
        way = self.box(route, smash) if smash is not None else None
        if smash is None or way is None:
            return self.gone(route)
        # he goes to the box first, then on to the target and out
        return min(LATEST_S, way.time_s + smash.takes_s + self.gone(route))

    def outcome(self, route: Route, chosen: tuple[Fault, ...], *, until: float | None = None) -> Outcome:
        """What the centre gets of one route with some faults."""
        deaf = frozenset(d for f in chosen for d in f.deaf)
        smash = next((f for f in chosen if f.smashes), None)
        events = [Trip(at, event) for f in chosen for at, event in f.events]
        trips = list(trips_on(route, self.names, deaf))
        if smash is not None:
            way = self.box(route, smash)
            assert way is not None  # only boxes he can get to are tried
            down = way.time_s + smash.takes_s
            events += [Trip(at, event) for at, event in smashed_events(self.scheme, smash.smashes, down)]
            on_way = list(trips_on(way, self.names, deaf))
            trips = [*on_way, *(Trip(t.at_s + down, t.event, t.device_id) for t in trips)]
        end = self._until(route, chosen) if until is None else until
        seen: dict[int, Trip] = {}
        for trip in sorted(trips, key=lambda t: t.at_s):
            if isinstance(trip.event, ZoneEvent):
                seen.setdefault(trip.event.zone, trip)
        lost = {t.event.path for t in events if isinstance(t.event, PathEvent) and not t.event.up and t.at_s <= 0.0}
        if lost == self._paths and min(t.at_s for t in events) >= -BEFORE_S:
            return Outcome(None, "", ())  # nothing was to tell before, and nobody can be told since
        course = Course.of(seen.values(), events, end)
        self.courses.add(course)
        return self.plays.outcome(course)


def _slack(got: Outcome, end: float) -> float:
    return -math.inf if got.reported_s is None else end - got.reported_s
