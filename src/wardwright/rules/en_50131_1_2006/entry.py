"""EN 50131-1:2006, clause 8.3.8: entry, exit, setting and unsetting."""

from collections.abc import Iterator

from wardwright.design.programme import ZoneResponse
from wardwright.rules.evidence import INTRUDER, Evidence
from wardwright.rules.judgement import Judgement, compared, stated, undecided
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
    if not evidence.programme.paths:
        return
    yield compared(
        "abort window before the report",
        evidence.timers.abort_s,
        ">=",
        LOCAL_WARNING_S,
        "s",
        plain="After a mistake at the door there is time to put it right before help is called.",
        about=("programme",),
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
    """Detectors on the entry and exit route are not taken as an intruder during the procedure."""
    plain = "Coming home by the usual door sets off nothing on the way to the keypad."
    if evidence.timing is None:
        yield undecided("the walk from each final exit to its keypad was not computed", plain)
        return
    patient = (ZoneResponse.ENTRY_EXIT, ZoneResponse.INTERIOR_FOLLOWER)
    zones = evidence.scheme.zones_of_device
    for walk in evidence.timing.walks:
        if walk.undecided:
            yield undecided(walk.undecided, plain, about=(walk.opening_id,))
            continue
        hasty = tuple(
            d
            for d in walk.crossed_device_ids
            if any(z.response in INTRUDER and z.response not in patient for z in zones.get(d, ()))
        )
        yield stated(
            not hasty,
            f"all detectors between “{walk.opening_id}” and its keypad wait for the entry time",
            f"{', '.join(hasty)} would alarm at once on the way from “{walk.opening_id}” to its keypad",
            plain=plain if not hasty else "Coming home by the usual door would set off the alarm at once.",
            about=(walk.opening_id, *hasty),
            fix="program those zones as interior follower, or move the keypad",
        )


@clause("EU-ENT-08")
def off_route_detectors_alarm(evidence: Evidence) -> Iterator[Judgement]:
    """A detector off the entry route alarms even during unsetting: it must not be delayed."""
    late, why = delayed_off_route(evidence)
    plain = "Only the way you come in by gives you time; everywhere else the alarm is immediate."
    if why:
        yield undecided(why, plain)
        return
    yield stated(
        not late,
        "only zones on an entry route are delayed",
        f"{', '.join(late)}: delayed, though on no entry route",
        plain=plain if not late else "The alarm waits at a place where it should not.",
        about=late,
        fix="program those zones as immediate",
    )
