"""EN 50131-1:2006, clause 8.3.8: entry, exit, setting and unsetting."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wardwright.design.programme import ZoneResponse
from wardwright.panel.events import Ask, Condition, Elapse, Event, UserEvent, ZoneEvent
from wardwright.panel.programme import PanelProgramme, Response
from wardwright.panel.setting import ROUTINE
from wardwright.panel.state import standing_set
from wardwright.panel.tables import Phase
from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, compared, stated, undecided
from wardwright.rules.panel_runs import AS_PROGRAMMED, NOT_RUN, alarmed, doors, opened, run, tripped
from wardwright.rules.register import clause

LONGEST_ENTRY_S = 45.0
LOCAL_WARNING_S = 30.0


@clause("EU-ENT-01")
def entry_time(evidence: Evidence) -> Iterator[Judgement]:
    """From the start of unsetting to its end no more than 45 s."""
    for area, seconds in evidence.entry_s().items():
        yield compared(
            f"entry time of “{area}”",
            seconds,
            "<=",
            LONGEST_ENTRY_S,
            "s",
            plain=f"You have no more than {LONGEST_ENTRY_S:g} s to unset the system after opening the door.",
            about=(area,),
            fix="a shorter entry time, and a keypad nearer the door",
        )


@clause("EU-ENT-03")
def local_warning_first(evidence: Evidence) -> Iterator[Judgement]:
    """When the entry route is left or the time runs out, a local warning runs 30 s before anybody is told."""
    for area, seconds in evidence.warning_s().items():
        yield compared(
            f"local warning of “{area}” before an entry gone wrong is reported",
            seconds,
            ">=",
            LOCAL_WARNING_S,
            "s",
            plain="After a mistake at the door there is time to put it right before help is called.",
            about=(area,),
            fix="an abort window of 30 s",
        )


def delayed_off_route(evidence: Evidence) -> tuple[tuple[str, ...], str]:
    """Zones that are delayed and lie on no entry route, and why that could not be decided, if it could not."""
    if evidence.timing is None:
        return (), "the walk from each final exit to its keypad was not computed"
    blocked = [w.undecided for w in evidence.timing.walks if w.undecided]
    if blocked:
        return (), blocked[0]
    on_route = {d for walk in evidence.timing.walks for d in walk.crossed_device_ids}
    exits = {o.id for o in evidence.scheme.premises.openings if o.final_exit}
    devices = {d.id: d for d in evidence.scheme.fitted}
    loops = {loop.id: loop for loop in evidence.scheme.design.loops}
    found = []
    for zone in evidence.programme.zones:
        if zone.response is not ZoneResponse.ENTRY_EXIT:
            continue
        members = {*zone.device_ids, *(loops[zone.loop_id].contacts if zone.loop_id in loops else ())}
        if any(m not in on_route and (m not in devices or devices[m].opening_id not in exits) for m in members):
            found.append(zone.id)
    return tuple(found), ""


@clause("EU-ENT-06")
def route_detectors_wait(evidence: Evidence) -> Iterator[Judgement]:
    """Detectors on the entry and exit route raise nothing during the procedure, and are at rest before it sets."""
    plain = "Coming home by the usual door sets off nothing on the way to the keypad."
    if evidence.timing is None or evidence.panel is None:
        why = NOT_RUN if evidence.panel is None else "the walk from each final exit to its keypad was not computed"
        yield undecided(why, plain)
        return
    panel = evidence.panel
    for walk in evidence.timing.walks:
        if walk.undecided:
            yield undecided(walk.undecided, plain, about=(walk.opening_id,))
            continue
        exits = [d.id for d in evidence.scheme.fitted if d.opening_id == walk.opening_id]
        door = [z for z in evidence.panel_zones(exits) if panel.zones[z].response is Response.ENTRY_EXIT]
        passed = evidence.panel_zones(d for d in walk.crossed_device_ids if d not in exits)
        passed = tuple(z for z in passed if panel.zones[z].guards)
        hasty = _that_alarm(panel, door, passed)
        open_left = tuple(z for z in (*door, *passed) if _sets_open(panel, z))
        about = tuple(evidence.names.zone_ids[z] for z in sorted({*hasty, *open_left}))
        wrong = []
        if hasty:
            wrong.append("coming home alarms at once")
        if open_left:
            wrong.append("it sets with the way out not at rest")
        yield replace(
            stated(
                not wrong,
                f"run: home by “{walk.opening_id}”, past {len(passed)} zones on the way: no alarm; "
                "it sets only with all of them at rest",
                f"run: by “{walk.opening_id}”, {' and '.join(wrong)}: {', '.join(about)}",
                plain=plain if not wrong else "Coming home by the usual door would set off the alarm at once.",
                about=(walk.opening_id, *about),
                fix="program those zones as interior follower, or move the keypad",
            ),
            assumption=AS_PROGRAMMED,
        )


def _that_alarm(panel: PanelProgramme, door: Sequence[int], passed: Sequence[int]) -> tuple[int, ...]:
    """Zones that alarm when somebody comes in by a door and walks past them within entry time."""
    state, _ = run(panel, [ZoneEvent(z, Condition.ACTIVE) for z in door], standing_set(panel))
    return tuple(z for z in passed if alarmed(run(panel, tripped(panel, z), state)[1]))


def _sets_open(panel: PanelProgramme, zone: int) -> bool:
    """Whether an area of the zone is set, with nothing said, though the zone is open when exit time ends."""
    for area in panel.zones[zone].areas:
        out = next((z for z in doors(panel, area) if z != zone), None)
        left: list[Event] = [] if out is None else opened(out)
        open_now = ZoneEvent(zone, Condition.ACTIVE)
        asked = [UserEvent(Ask.SET_AWAY, a) for a in panel.zones[zone].areas]
        state, _ = run(panel, [*asked, *left, open_now, Elapse(2 * panel.areas[area].exit_ms + 1)])
        if state.areas[area].phase is Phase.SET and not state.areas[area].alarmed and not state.areas[area].inside:
            return True
    return False


@clause("EU-ENT-08")
def off_route_detectors_alarm(evidence: Evidence) -> Iterator[Judgement]:
    """A detector off the entry route alarms even during unsetting."""
    plain = "Only the way you come in by gives you time; everywhere else the alarm is immediate."
    late, why = delayed_off_route(evidence)
    if why or evidence.panel is None or evidence.timing is None:
        yield undecided(why or NOT_RUN, plain)
        return
    panel = evidence.panel
    crossed = {d for walk in evidence.timing.walks for d in walk.crossed_device_ids}
    exits = {o.id for o in evidence.scheme.premises.openings if o.final_exit}
    on_route = {*crossed, *(d.id for d in evidence.scheme.fitted if d.opening_id in exits)}
    ways = evidence.panel_zones(on_route)
    off = [z for z, row in enumerate(panel.zones) if row.guards and z not in ways and row.response in ROUTINE]
    silent = [z for z in off if not _alarms_in_entry(panel, z)]
    about = tuple(dict.fromkeys((*late, *(evidence.names.zone_ids[z] for z in silent))))
    yield replace(
        stated(
            not about,
            f"run: during entry time each of {len(off)} zones off the entry route alarms at once",
            f"run: {', '.join(about)}: no alarm during entry time, though on no entry route",
            plain=plain if not about else "The alarm waits at a place where it should not.",
            about=about,
            fix="program those zones as immediate",
        ),
        assumption=AS_PROGRAMMED,
    )


def _alarms_in_entry(panel: PanelProgramme, zone: int) -> bool:
    """Whether a zone alarms at once in every one of its areas that has a door, while entry time runs there."""
    for area in panel.zones[zone].areas:
        door = next((z for z in doors(panel, area) if z != zone), None)
        if door is not None:
            state, _ = run(panel, [ZoneEvent(door, Condition.ACTIVE)], standing_set(panel))
            if not alarmed(run(panel, tripped(panel, zone), state)[1]):
                return False
    return True
