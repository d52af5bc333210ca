"""What the panel makes of somebody on his way: the trips on a route, fed to the programme, and when the word is out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from wardwright.analyses.panel_programme import Numbering
from wardwright.analyses.route_records import Route
from wardwright.panel.events import Condition, Delivered, Elapse, Event, ZoneEvent
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.state import standing_set
from wardwright.panel.step import next_due_ms, step
from wardwright.panel.tables import INTRUDER_REPORTS
from wardwright.worked_out import once

MORE_LIKELY = 0.5
"""A device is taken to notice where it is more likely than not. [-]"""
ALARMS = INTRUDER_REPORTS | {
    "confirmed intruder",
    "hold-up audible",
    "hold-up silent",
    "duress",
    "tamper",
    "entry started",
}
"""Reports on which somebody acts. The start of entry time is one where it is reported: no unsetting follows it."""


COURSES_KEPT = 20_000
"""Of one programme. [-]"""


@dataclass(frozen=True)
class Trip:
    """One zone noticing somebody, or something else that reaches the panel."""

    at_s: float
    event: Event
    device_id: str = ""


Moment = tuple[float, Event]


@dataclass(frozen=True)
class Course:
    """What happens to a panel, to the millisecond."""

    trips: tuple[Moment, ...]
    """Zones that trip, in order."""
    besides: tuple[Moment, ...]
    """What is done to the system besides."""
    end_s: float
    """From then on nothing matters. [s]"""

    @classmethod
    def of(cls, trips: Iterable[Trip], events: Iterable[Trip], end: float) -> "Course":
        """Put together what trips and what is done besides; both in any order."""
        first, second = (
            tuple(sorted(((round(t.at_s, 3), t.event) for t in some), key=lambda m: (m[0], str(m[1]))))
            for some in (trips, events)
        )
        return cls(first, second, round(end, 3))


@dataclass(frozen=True)
class Outcome:
    """What the receiving centre got of one intrusion."""

    reported_s: float | None
    """When the first alarm was acknowledged; None: not before the end. [s]"""
    what: str
    """Which report it was."""
    others: tuple[str, ...]
    """Other reports acknowledged before the end: mains lost, path lost, and the like."""


def trips_on(route: Route, names: Numbering, deaf: frozenset[str] = frozenset()) -> tuple[Trip, ...]:
    """Zones that trip on a route, by devices more likely than not to notice.

    Parameters
    ----------
    route : Route
        The route.
    names : Numbering
        Which index of the panel stands for which zone.
    deaf : frozenset of str
        Devices put out of action.

    Returns
    -------
    tuple of Trip
        In order of time.
    """
    index = {key: i for i, key in enumerate(names.zone_ids)}
    found = [
        Trip(n.time_s, ZoneEvent(index[z], Condition.ACTIVE), n.device_id)
        for n in route.noticings
        if n.probability >= MORE_LIKELY and n.device_id not in deaf
        for z in n.zone_ids
        if z in index
    ]
    return tuple(sorted(found, key=lambda t: t.at_s))


def narrowed(programme: PanelProgramme, zones: Sequence[int]) -> tuple[PanelProgramme, dict[int, int]]:
    """The programme with only the zones that matter: those that never trip change nothing.

    Parameters
    ----------
    programme : PanelProgramme
        The whole.
    zones : sequence of int
        Zones that will trip; those they are crossed with are kept too.

    Returns
    -------
    programme : PanelProgramme
        With these zones.
    index : dict of int to int
        New index of each zone kept.
    """
    crossed = {c for z in zones if (c := programme.zones[z].cross_zone) is not None}
    kept = sorted({*zones, *crossed})
    index = {old: new for new, old in enumerate(kept)}
    rows = tuple(
        replace(row, cross_zone=None if row.cross_zone is None else index.get(row.cross_zone))
        for row in (programme.zones[z] for z in kept)
    )
    return replace(programme, zones=rows), index


def played(programme: PanelProgramme, trips: Sequence[Trip], until: float) -> Outcome:
    """Feed trips to a panel whose areas are all set with everybody out.

    Parameters
    ----------
    programme : PanelProgramme
        What the panel was told.
    trips : sequence of Trip
        In any order; times from the start of the attack, before it negative. [s]
    until : float
        The end. [s]

    Returns
    -------
    Outcome
        The first alarm acknowledged at the receiving centre by then, and what else was.
    """
    state = standing_set(programme)
    due = sorted((round(1000 * t.at_s), k) for k, t in enumerate(trips))
    end = round(1000 * until)
    at = min([0, *(ms for ms, _ in due)])
    what = ""
    others: list[str] = []

    def note(actions: Sequence[object]) -> bool:
        nonlocal what
        for action in actions:
            if isinstance(action, Delivered):
                if action.report.what in ALARMS:
                    what = action.report.what
                    return True
                others.append(action.report.what)
        return False

    for ms, k in [*due, (end, -1)]:
        if ms > end:
            continue
        while at < ms:
            # from one thing falling due to the next, so that the moment of acknowledgement is exact
            next_one = next_due_ms(programme, state)
            pause = ms - at if next_one is None else min(next_one, ms - at)
            state, actions = step(programme, state, Elapse(pause))
            at += pause
            if note(actions):
                return Outcome(at / 1000.0, what, tuple(dict.fromkeys(others)))
        if k >= 0:
            state, actions = step(programme, state, trips[k].event)
            if note(actions):
                return Outcome(at / 1000.0, what, tuple(dict.fromkeys(others)))
    return Outcome(None, "", tuple(dict.fromkeys(others)))


class Plays:
    """What came of courses of events that one programme was fed; each is played once.

    Parameters
    ----------
    programme : PanelProgramme
        What the panel was told.
    """

    def __init__(self, programme: PanelProgramme) -> None:
        self._programme = programme
        self._held: dict[Course, Outcome] = {}
        self._heard: dict[tuple[Moment, ...], list[tuple[tuple[Moment, ...], float, Outcome]]] = {}

    def outcome(self, course: Course) -> Outcome:
        """Play a course, unless it is known or one that is the same up to the alarm.

        Parameters
        ----------
        course : Course
            What happens.

        Returns
        -------
        Outcome
            What the receiving centre got.
        """
        held = self._held.get(course)
        if held is not None:
            return held
        # an alarm acknowledged by then does not change with what would have tripped later
        for known, at, told in self._heard.get(course.besides, ()):
            if at <= course.end_s and known == tuple(m for m in course.trips if m[0] <= at):
                self._held[course] = told
                return told
        if len(self._held) >= COURSES_KEPT:
            self._held.clear()
            self._heard.clear()
        told = self._held[course] = self._played(course)
        if told.reported_s is not None:
            at = told.reported_s
            known = tuple(m for m in course.trips if m[0] <= at)
            self._heard.setdefault(course.besides, []).append((known, at, told))
        return told

    def _played(self, course: Course) -> Outcome:
        small, index = narrowed(self._programme, [e.zone for _, e in course.trips if isinstance(e, ZoneEvent)])
        trips = [
            Trip(at, ZoneEvent(index[e.zone], e.condition) if isinstance(e, ZoneEvent) else e)
            for at, e in sorted([*course.trips, *course.besides], key=lambda m: m[0])
        ]
        return played(small, trips, course.end_s)


@once(8)
def plays_of(programme: PanelProgramme) -> Plays:
    """What is kept of one programme, from one analysis and one proof to the next."""
    return Plays(programme)
