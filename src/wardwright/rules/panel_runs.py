"""What a row needs of the panel: short courses of events, run, and the times that come out of them.

Times are measured on the running panel, never read from the programme's fields. Where nothing in a programme shows a
time (no door that starts entry, nothing that alarms), there is none.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache

from wardwright.panel.events import Action, Ask, Condition, Elapse, Event, Queued, Say, Sound, SupplyEvent, TamperEvent
from wardwright.panel.events import UserEvent as User
from wardwright.panel.events import ZoneEvent as Zone
from wardwright.panel.programme import PanelProgramme, Response
from wardwright.panel.state import PanelState, at_rest, standing_set
from wardwright.panel.step import next_due_ms, step
from wardwright.panel.tables import INTRUDER_REPORTS, Phase
from wardwright.rules.judgement import Judgement, stated

AS_PROGRAMMED = "the control equipment does as it is programmed"
NOT_RUN = "the panel's programme was not run"
SECOND_MS = 1000
MOST_EXPIRIES = 1000
"""What has not come by then does not come."""


def ran(holds: bool, good: str, bad: str, plain: str, about: tuple[str, ...] = ()) -> Judgement:
    """A judgement by how a run came out."""
    fix = "change the programme so that the run comes out right"
    return replace(stated(holds, good, bad, plain=plain, about=about, fix=fix), assumption=AS_PROGRAMMED)


def run(
    programme: PanelProgramme, events: Sequence[Event], state: PanelState | None = None
) -> tuple[PanelState, list[Action]]:
    """Where a course of events leads, and what the panel did; from rest unless a state is given."""
    now, done = state or at_rest(programme), list[Action]()
    for event in events:
        now, actions = step(programme, now, event)
        done.extend(actions)
    return now, done


def opened(zone: int) -> list[Event]:
    """A zone that trips and is at rest again."""
    return [Zone(zone, Condition.ACTIVE), Zone(zone, Condition.NORMAL)]


def tripped(programme: PanelProgramme, zone: int) -> list[Event]:
    """A zone that trips, after the one it is crossed with, so that it need not wait."""
    partner = programme.zones[zone].cross_zone
    return opened(zone) if partner is None else [*opened(partner), *opened(zone)]


def doors(programme: PanelProgramme, area: int) -> list[int]:
    """Zones that start entry time in an area, those of this area alone first."""
    found = [i for i, r in enumerate(programme.zones) if r.response is Response.ENTRY_EXIT and area in r.areas]
    return sorted(found, key=lambda i: len(programme.zones[i].areas))


def set_away(programme: PanelProgramme, area: int = 0, but: int | None = None) -> list[Event]:
    """Everybody leaves by a final door other than one zone's, and exit time runs out."""
    door = next((i for i in doors(programme, area) if i != but), None)
    areas = (area,) if door is None else programme.zones[door].areas
    asked: list[Event] = [User(Ask.SET_AWAY, a) for a in areas]
    return [*asked, *([] if door is None else opened(door)), Elapse(max(programme.areas[a].exit_ms for a in areas))]


def reports(actions: Sequence[Action]) -> list[str]:
    """What was queued for the receiving centre."""
    return [a.report.what for a in actions if isinstance(a, Queued)]


def says(actions: Sequence[Action], start: str) -> bool:
    """Whether a keypad shows a line that begins so."""
    return any(isinstance(a, Say) and a.text.startswith(start) for a in actions)


def alarmed(actions: Sequence[Action]) -> bool:
    """Whether an intruder alarm was raised."""
    return says(actions, "alarm: ")


@lru_cache(maxsize=64)
def alarming(programme: PanelProgramme) -> tuple[int, ...]:
    """Zones that raise an alarm at once while everything is set; 24-hour zones, which always do, are left out."""
    start = standing_set(programme)
    return tuple(
        i
        for i, row in enumerate(programme.zones)
        if row.guards
        and row.response not in (Response.DAY_24H, Response.ENTRY_EXIT)
        and alarmed(run(programme, tripped(programme, i), start)[1])
    )


def _until(programme: PanelProgramme, state: PanelState, over: Callable[[PanelState], bool]) -> float | None:
    """Time until a state is so, nothing else happening; None: never. [s]"""
    ms = 0
    for _ in range(MOST_EXPIRIES):
        if over(state):
            return ms / SECOND_MS
        due = next_due_ms(programme, state)
        if due is None:
            return None
        ms += due
        state, _ = step(programme, state, Elapse(due))
    return None


def _held(state: PanelState) -> bool:
    return any(w.hold_ms > 0 and w.report.what in INTRUDER_REPORTS for w in state.queue)


def entry_s(programme: PanelProgramme, area: int) -> float | None:
    """From the opening of the final door to the end of entry time. [s]"""
    door = next(iter(doors(programme, area)), None)
    if door is None:
        return None
    state, _ = run(programme, [Zone(door, Condition.ACTIVE)], standing_set(programme))
    return _until(programme, state, lambda s: s.areas[area].phase is not Phase.ENTRY)


def exit_s(programme: PanelProgramme, area: int) -> float | None:
    """From asking to set, to what comes of it while nobody touches anything. [s]"""
    state, _ = run(programme, [User(Ask.SET_AWAY, area)])
    return _until(programme, state, lambda s: s.areas[area].phase is not Phase.EXIT)


def bell_s(programme: PanelProgramme) -> float | None:
    """How long the outer sounder sounds for one alarm. [s]"""
    loud = [z for z in alarming(programme) if not programme.zones[z].silent]
    cause = tripped(programme, loud[0]) if loud else [TamperEvent("panel lid", good=False)]
    state, _ = run(programme, cause, standing_set(programme))
    return _until(programme, state, lambda s: s.bell_left_ms == 0)


def abort_s(programme: PanelProgramme) -> float | None:
    """From the alarm to the moment its report can no longer be stopped. [s]"""
    zones = alarming(programme)
    if not zones or not programme.paths:
        return None
    state, _ = run(programme, tripped(programme, zones[0]), standing_set(programme))
    return _until(programme, state, lambda s: not _held(s))


def entry_and_abort_s(programme: PanelProgramme, area: int) -> float | None:
    """From the opening of the final door to the moment the report of nobody unsetting leaves. [s]"""
    door = next(iter(doors(programme, area)), None)
    if door is None or not programme.paths:
        return None
    state, _ = run(programme, [Zone(door, Condition.ACTIVE)], standing_set(programme))
    return _until(programme, state, lambda s: s.areas[area].phase is not Phase.ENTRY and not _held(s))


def warning_s(programme: PanelProgramme, area: int) -> float | None:
    """Least time from an entry gone wrong (time over, or off the route) to the moment its report leaves. [s]"""
    entered = entry_and_abort_s(programme, area)
    door = next(iter(doors(programme, area)), None)
    if entered is None or door is None:
        return None
    found = [entered - (entry_s(programme, area) or 0.0)]
    for zone in alarming(programme):
        if area in programme.zones[zone].areas:
            state, _ = run(programme, [Zone(door, Condition.ACTIVE)], standing_set(programme))
            state, done = run(programme, tripped(programme, zone), state)
            if alarmed(done):
                found.append(_until(programme, state, lambda s: not _held(s)) or 0.0)
    return min(found)


def cancel_s(programme: PanelProgramme) -> float | None:
    """From the moment the report leaves to the last at which unsetting sends a cancel. [s]"""
    hold = abort_s(programme)
    if hold is None:
        return None
    zone = alarming(programme)[0]
    area = programme.zones[zone].areas[0]
    state, _ = run(programme, tripped(programme, zone), standing_set(programme))
    over = _until(programme, state, lambda s: s.areas[area].cancel_left_ms == 0)
    return None if over is None else max(0.0, over - hold)


def confirm_window_s(programme: PanelProgramme) -> float | None:
    """From a first alarm to the last moment at which a second detector confirms it. [s]"""
    zones = alarming(programme)
    if not programme.confirmation or not zones:
        return None
    area = programme.zones[zones[0]].areas[0]
    state, _ = run(programme, tripped(programme, zones[0]), standing_set(programme))
    return _until(programme, state, lambda s: s.areas[area].confirm_left_ms == 0)


def mains_delay_s(programme: PanelProgramme) -> float | None:
    """From the loss of mains to its report. [s]"""
    state, _ = run(programme, [SupplyEvent("mains", good=False)])
    return _until(programme, state, lambda s: s.mains_reported)


def trips_before_shutdown(programme: PanelProgramme, zone: int, most: int = 20) -> int:
    """Alarms one zone raises in one set period when it trips again and again, up to a number. [-]"""
    state, count = standing_set(programme), 0
    for _ in range(most):
        state, done = run(programme, tripped(programme, zone), state)
        count += alarmed(done)
    return count


def rings_while_unset(programme: PanelProgramme) -> tuple[str, ...]:
    """What sounds the outer sounder while every area is unset: zones by name, or the lid."""
    causes: list[tuple[str, Event]] = [("panel lid", TamperEvent("panel lid", good=False))]
    for i, row in enumerate(programme.zones):
        causes += [(f"{row.place}, {c}", Zone(i, c)) for c in (Condition.ACTIVE, Condition.TAMPER)]
    return tuple(what for what, cause in causes if Sound("bell", True) in run(programme, [cause])[1])
