"""From a path of the search to a story: moments in whole seconds where they serve, replayed on the programme itself."""

from collections.abc import Sequence
from dataclasses import dataclass

from wardwright.panel.events import (
    Action,
    Ask,
    Condition,
    Delivered,
    DeviceBattery,
    Dropped,
    Elapse,
    Event,
    FaultEvent,
    PathEvent,
    Queued,
    Refused,
    Say,
    Sound,
    SupplyEvent,
    TamperEvent,
    UserEvent,
    WrongCode,
    ZoneEvent,
)
from wardwright.panel.explore import Check, Leg, Monitor, Seen, Watch
from wardwright.panel.programme import PanelProgramme, Response, ZoneRow
from wardwright.panel.state import PanelState, at_rest
from wardwright.panel.step import next_due_ms, step
from wardwright.panel.tables import Phase


@dataclass(frozen=True)
class Moment:
    """One line of a story."""

    at_ms: int
    event: Event
    actions: tuple[Action, ...]


def moments(legs: Sequence[Leg]) -> list[int] | None:
    """Earliest moments at which the steps of a path can happen. [ms]

    Timers that must not have fallen due yet are given a whole second, or, if that cannot be, a millisecond.
    """
    for short in (1000, 1):
        found = _moments(legs, short)
        if found is not None:
            return found
    return None


def _moments(legs: Sequence[Leg], short: int) -> list[int] | None:
    least: list[tuple[int, int, int]] = []
    """(later, earlier, ms): the later step is at least so much after the earlier."""
    running: list[tuple[int, int]] = []
    for at, leg in enumerate(legs, 1):
        least.append((at, at - 1, 0))
        for number, (since, ms) in enumerate(running, 1):
            if number in leg.due:
                least.append((at, since, ms))
                least.append((since, at, -ms))
            else:
                least.append((since, at, short - ms))
        running = [running[-source - 1] if source < 0 else (at, source) for source in leg.sources]
    times = [0] * (len(legs) + 1)
    for _ in range(len(times) + 1):
        changed = False
        for later, earlier, ms in least:
            if times[earlier] + ms > times[later]:
                times[later] = times[earlier] + ms
                changed = True
        if not changed:
            return times[1:] if times[0] == 0 else None
    return None


def as_events(
    programme: PanelProgramme, legs: Sequence[Leg], zones: Sequence[int], area: int
) -> list[tuple[int, Event]] | None:
    """What would have to happen, and when: the steps of a path with what they take for granted put before them.

    Parameters
    ----------
    programme : PanelProgramme
        The whole of it.
    legs : sequence of Leg
        The path through a slice.
    zones : sequence of int
        Which zone of the whole each zone of the slice stands for.
    area : int
        Which area the slice's first stands for; -1: all at once.

    Returns
    -------
    list of (int, Event), or None
        A try: it is replayed before anything is claimed. None where the times contradict each other.
    """
    times = moments(legs)
    if times is None:
        return None
    areas = list(range(len(programme.areas))) if area < 0 else [area]
    found: list[tuple[int, Event]] = []
    later = 0
    stands = Phase.UNSET
    for at, leg in zip(times, legs, strict=True):
        guessed = [one for one, other in zip(leg.acting.areas, leg.plain.areas, strict=True) if one != other]
        phase = guessed[0].phase if guessed else Phase.UNSET
        if phase in (Phase.SET, Phase.ENTRY) and stands is Phase.UNSET:
            concerned = areas if area < 0 else list(range(len(programme.areas)))
            inside = guessed[0].inside
            found += _set_everything(programme, concerned, at + later, inside)
            later += max((programme.areas[a].exit_ms for a in concerned), default=0)
            stands = Phase.SET
        now = at + later
        for zone, (acting, plain) in enumerate(zip(leg.acting.zones, leg.plain.zones, strict=True)):
            whole = zones[zone]
            home = programme.zones[whole].areas[0]
            if acting.inhibited and not plain.inhibited:
                found.append((now, UserEvent(Ask.INHIBIT, home, whole)))
            if acting.isolated and not plain.isolated:
                found.append((now, UserEvent(Ask.ISOLATE, home, whole)))
            if acting.trips > plain.trips:
                found += [(now, ZoneEvent(whole, Condition.ACTIVE)), (now, ZoneEvent(whole, Condition.NORMAL))]
            if acting.condition is not plain.condition:
                found.append((now, ZoneEvent(whole, acting.condition)))
        found += [(now, WrongCode())] * (leg.acting.wrong_codes - leg.plain.wrong_codes)
        event = leg.event
        if isinstance(event, ZoneEvent):
            found.append((now, ZoneEvent(zones[event.zone], event.condition)))
            if leg is not legs[-1]:
                found.append((now, ZoneEvent(zones[event.zone], Condition.NORMAL)))
        elif isinstance(event, UserEvent):
            zone_asked = None if event.zone is None else zones[event.zone]
            for one in areas if event.area == 0 else ():
                found.append((now, UserEvent(event.ask, one, zone_asked, event.user)))
            if event.ask in (Ask.UNSET, Ask.DURESS_UNSET):
                stands = Phase.UNSET
        elif not isinstance(event, Elapse):
            found.append((now, event))
    found.append((times[-1] + later, Elapse(0)))
    return found


def _set_everything(programme: PanelProgramme, areas: Sequence[int], at: int, inside: bool) -> list[tuple[int, Event]]:
    """Everybody goes out by the final door, or stays in, and it is set."""
    ask = Ask.SET_INSIDE if inside else Ask.SET_AWAY
    found: list[tuple[int, Event]] = [(at, UserEvent(ask, area)) for area in areas]
    doors = [next((z for z, r in enumerate(programme.zones) if _is_door(r, area)), None) for area in areas]
    for door in () if inside else dict.fromkeys(d for d in doors if d is not None):
        found += [(at, ZoneEvent(door, Condition.ACTIVE)), (at, ZoneEvent(door, Condition.NORMAL))]
    wait = max((programme.areas[a].exit_ms for a in areas), default=0)
    found.append((at + wait, Elapse(0)))
    return found


def _is_door(row: ZoneRow, area: int) -> bool:
    return row.response is Response.ENTRY_EXIT and area in row.areas


def replay(
    programme: PanelProgramme,
    happenings: Sequence[tuple[int, Event]],
    check: Check | None,
    monitor: Monitor | None,
    start: PanelState | None = None,
) -> tuple[str, tuple[Moment, ...]]:
    """Run a story on the programme itself and ask the property again.

    Returns
    -------
    str
        What is wrong; empty when the property holds in this story.
    tuple of Moment
        What happened up to there, with what the panel did.
    """
    state, now, watch = start or at_rest(programme), 0, Watch()
    told: list[Moment] = []
    for at, event in happenings:
        while now < at:
            due = next_due_ms(programme, state)
            wait = min(x for x in (at - now, due, watch.left_ms or None) if x is not None)
            now += wait
            words, state, watch = _one(programme, state, watch, Elapse(wait), check, monitor, told, now)
            if words:
                return words, tuple(told)
        if not isinstance(event, Elapse):
            words, state, watch = _one(programme, state, watch, event, check, monitor, told, now)
            if words:
                return words, tuple(told)
    return "", tuple(told)


def _one(
    programme: PanelProgramme,
    state: PanelState,
    watch: Watch,
    event: Event,
    check: Check | None,
    monitor: Monitor | None,
    told: list[Moment],
    now: int,
) -> tuple[str, PanelState, Watch]:
    after, actions = step(programme, state, event)
    if actions or not isinstance(event, Elapse):
        told.append(Moment(now, event, actions))
    seen = Seen(programme, state, event, actions, after)
    words = check(seen) if check else ""
    if monitor:
        due = False
        if isinstance(event, Elapse) and watch.left_ms:
            due = watch.left_ms <= event.ms
            watch = watch._replace(left_ms=max(watch.left_ms - event.ms, 0))
        heard = monitor(watch, seen, due)
        if isinstance(heard, str):
            words = words or heard
        else:
            watch = heard
    return words, after, watch


def in_words(programme: PanelProgramme, told: Sequence[Moment]) -> str:
    """A story as one reads it: time, what happens, what the panel does."""
    lines = []
    for moment in told:
        did = "; ".join(w for a in moment.actions if (w := _action(a)))
        lines.append(f"{moment.at_ms / 1000:g} s: {_event(programme, moment.event)}" + (f" → {did}" if did else ""))
    return "\n".join(lines)


def _event(programme: PanelProgramme, event: Event) -> str:
    def zone(index: int) -> str:
        return programme.zones[index].place

    if isinstance(event, ZoneEvent):
        words = {Condition.ACTIVE: "trips", Condition.NORMAL: "is at rest again"}
        return f"{zone(event.zone)} {words.get(event.condition, f'reads {event.condition}')}"
    if isinstance(event, UserEvent):
        where = f" ({programme.areas[event.area].name})" if len(programme.areas) > 1 else ""
        return f"a user asks: {event.ask}{where}" + (f", {zone(event.zone)}" if event.zone is not None else "")
    if isinstance(event, WrongCode):
        return "a wrong code"
    if isinstance(event, SupplyEvent):
        return f"{event.what} {'back' if event.good else 'lost'}"
    if isinstance(event, PathEvent):
        return f"path {programme.paths[event.path].name} {'up' if event.up else 'down'}"
    if isinstance(event, TamperEvent | FaultEvent):
        kind = "tamper" if isinstance(event, TamperEvent) else "fault"
        return f"{kind} at {event.part}{' over' if event.good else ''}"
    if isinstance(event, DeviceBattery):
        return f"battery of {zone(event.zone)} {'good' if event.good else 'low'}"
    return "time passes"


def _action(action: Action) -> str:
    if isinstance(action, Sound):
        return f"{action.output} {'on' if action.on else 'off'}"
    if isinstance(action, Say):
        return f"keypad: {action.text}"
    if isinstance(action, Queued):
        return f"report: {action.report.what}"
    if isinstance(action, Delivered):
        return f"acknowledged: {action.report.what}"
    if isinstance(action, Dropped):
        return f"stopped: {action.report.what}"
    if isinstance(action, Refused):
        return f"refused: {action.why}"
    return ""
