"""What a programme must do, as questions asked of every step of the search.

Each says over what it is asked, and what the trade lets be otherwise is written into it: a zone left out, shut down
after its allowed alarms, waiting for its cross zone, or not yet listened to after a loss of all power has no claim to
an answer; nor has anything while there is no power at all.
"""

from dataclasses import dataclass

from wardwright.panel.events import (
    Ask,
    Condition,
    Elapse,
    PathEvent,
    Queued,
    Say,
    Sound,
    SupplyEvent,
    TamperEvent,
    UserEvent,
    WrongCode,
    ZoneEvent,
)
from wardwright.panel.explore import Check, Monitor, Seen, Watch
from wardwright.panel.programme import PanelProgramme, Response, ZoneRow
from wardwright.panel.tables import INTRUDER_REPORTS, Phase

OFF_ROUTE = (Response.PERIMETER, Response.INTERIOR)
ROUTINE = (Response.ENTRY_EXIT, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)
NOT_AN_ANSWER = (Response.TROUBLE, Response.TECHNICAL, Response.FIRE)


@dataclass(frozen=True)
class Property:
    """A question asked of every step."""

    key: str
    claim: str
    """What is proved where it holds."""
    over: str
    """Mode and, where it matters, profile."""
    exclusions: str
    check: Check
    zones: frozenset[int] = frozenset()
    """Numbers of zones it names: they are not merged with others."""


def reports(seen: Seen) -> set[str]:
    """What was queued in a step."""
    return {a.report.what for a in seen.actions if isinstance(a, Queued)}


def sounds(seen: Seen) -> set[str]:
    """What began to sound in a step, keypads and chime apart."""
    return {a.output for a in seen.actions if isinstance(a, Sound) and a.on and a.output in ("bell", "inner", "fire")}


def says(seen: Seen, start: str) -> bool:
    """A keypad line that starts so was shown."""
    return any(isinstance(a, Say) and a.text.startswith(start) for a in seen.actions)


def is_alarm(seen: Seen) -> bool:
    """An intruder alarm was raised in this step."""
    return says(seen, "alarm: ")


def _opened(seen: Seen) -> ZoneRow | None:
    """The zone that went active in a step, if it has a claim to an answer."""
    if not isinstance(seen.event, ZoneEvent) or seen.event.condition is not Condition.ACTIVE:
        return None
    state, row = seen.before.zones[seen.event.zone], seen.programme.zones[seen.event.zone]
    left_out = state.inhibited or state.isolated or state.trips >= row.swinger_count
    waits = row.cross_zone is not None and seen.before.zones[row.cross_zone].cross_left_ms == 0
    deaf = seen.before.deaf_left_ms or seen.before.dead
    return None if left_out or waits or deaf or state.condition is not Condition.NORMAL else row


def _phases(seen: Seen, row: ZoneRow) -> set[Phase]:
    return {seen.before.areas[a].phase for a in row.areas}


def _inside(seen: Seen, row: ZoneRow) -> bool:
    return any(seen.before.areas[a].inside for a in row.areas)


def _entry_began(seen: Seen) -> bool:
    return any(
        a.phase is Phase.ENTRY and b.phase is not Phase.ENTRY
        for a, b in zip(seen.after.areas, seen.before.areas, strict=True)
    )


def _answered(seen: Seen) -> bool:
    queued = reports(seen)
    told = queued & (INTRUDER_REPORTS | {"tamper", "hold-up silent", "hold-up audible"})
    return bool(told) or is_alarm(seen) or says(seen, "tamper: ") or _entry_began(seen) or bool(sounds(seen) - {"fire"})


def answered_away(seen: Seen) -> str:
    """Every zone that is there to notice an intruder answers at once while set away."""
    row = _opened(seen)
    if row is None or not row.guards or _phases(seen, row) != {Phase.SET} or _inside(seen, row):
        return ""
    return "" if _answered(seen) else f"“{row.place}” trips while set away and nothing comes of it"


def answered_inside(seen: Seen) -> str:
    """Every way in answers at once while set with people inside; the inside may be left out."""
    row = _opened(seen)
    if row is None or not row.guards or _phases(seen, row) != {Phase.SET} or not _inside(seen, row):
        return ""
    if row.response in (Response.INTERIOR, Response.INTERIOR_FOLLOWER) and not row.watched_inside:
        return ""
    return "" if _answered(seen) else f"“{row.place}” trips while people are inside and nothing comes of it"


def answered_again(seen: Seen) -> str:
    """A zone that has alarmed once still answers the next time."""
    event = seen.event
    if not isinstance(event, ZoneEvent) or event.condition is not Condition.ACTIVE or seen.before.dead:
        return ""
    row, state = seen.programme.zones[event.zone], seen.before.zones[event.zone]
    fit = state.trips == 1 and state.condition is Condition.NORMAL and not (state.inhibited or state.isolated)
    if (
        not fit
        or not row.guards
        or str(row.response) not in INTRUDER_REPORTS
        or _phases(seen, row) != {Phase.SET}
        or _inside(seen, row)
    ):
        return ""
    return "" if _answered(seen) else f"“{row.place}” is shut down after its first alarm, and deaf to the next intruder"


def audible(seen: Seen) -> str:
    """An intruder alarm of a zone that is not silent is heard."""
    if not is_alarm(seen) or sounds(seen):
        return ""
    event = seen.event
    if isinstance(event, ZoneEvent) and seen.programme.zones[event.zone].silent:
        return ""
    if isinstance(event, Elapse) and any(z.silent and z.response is Response.ENTRY_EXIT for z in seen.programme.zones):
        return ""
    ringing = seen.before.bell_left_ms or seen.before.inner_left_ms
    return "" if ringing else "an alarm makes no sound"


def silent(seen: Seen) -> str:
    """An alarm of a silent zone makes no sound."""
    row = _opened(seen)
    if row is None or not row.silent or row.response is Response.FIRE:
        return ""
    return f"“{row.place}” is programmed silent and sounds" if sounds(seen) else ""


def entry_by_the_route(seen: Seen) -> str:
    """Nothing but a final door gets entry time."""
    row = _opened(seen)
    if row is None or row.final_exit or not row.guards:
        return ""
    return f"“{row.place}” is no final door, and gives entry time" if _entry_began(seen) else ""


def off_the_route(seen: Seen) -> str:
    """Leaving the entry route during entry time alarms at once."""
    row = _opened(seen)
    if row is None or not row.guards or row.on_way or row.final_exit or row.response not in OFF_ROUTE:
        return ""
    if Phase.ENTRY not in _phases(seen, row) or _phases(seen, row) & {Phase.UNSET, Phase.EXIT}:
        return ""
    if _inside(seen, row) and not row.watched_inside:
        return ""
    return "" if is_alarm(seen) else f"“{row.place}” trips during entry time and nothing comes of it"


def coming_home(seen: Seen) -> str:
    """A final door, and the way from it to the keypad, cause no alarm while there is time to unset."""
    row = _opened(seen)
    if row is None:
        return ""
    phases = _phases(seen, row)
    if row.final_exit and phases <= {Phase.SET, Phase.ENTRY} and is_alarm(seen):
        return f"coming home by “{row.place}” alarms at once"
    home = seen.before.areas[0].phase is Phase.ENTRY and not _inside(seen, row)
    if row.on_way and home and is_alarm(seen):
        return f"“{row.place}” is on the way to the keypad, and alarms during entry time"
    return ""


def leaving(seen: Seen) -> str:
    """Leaving by a final door, past what is on the way, neither alarms nor stops the setting."""
    row = _opened(seen)
    if row is None or not (row.final_exit or row.on_way) or seen.before.areas[row.areas[0]].phase is not Phase.EXIT:
        return ""
    stopped = seen.after.areas[row.areas[0]].phase is Phase.UNSET
    if is_alarm(seen):
        return f"leaving past “{row.place}” alarms"
    return f"leaving past “{row.place}” stops the setting" if stopped else ""


def set_at_rest(seen: Seen) -> str:
    """Setting is completed only with every zone that counts at rest; otherwise it is said that it failed."""
    for index, (old, new) in enumerate(zip(seen.before.areas, seen.after.areas, strict=True)):
        if old.phase is not Phase.EXIT or seen.event == UserEvent(Ask.UNSET, index):
            continue
        if new.phase is Phase.SET:
            for zone, row in zip(seen.after.zones, seen.programme.zones, strict=True):
                out = zone.inhibited or zone.isolated or (new.inside and not row.watched_inside)
                mine = index in row.areas and row.guards
                if mine and not out and zone.condition is Condition.ACTIVE:
                    return f"it sets with “{row.place}” open"
        elif new.phase is Phase.UNSET and not isinstance(seen.event, UserEvent) and not says(seen, "not set"):
            return "setting fails and nobody is told"
    return ""


def tamper_told(seen: Seen) -> str:
    """A tamper is shown and reported in every mode."""
    event = seen.event
    if seen.before.dead:
        return ""
    if isinstance(event, ZoneEvent) and event.condition is Condition.TAMPER:
        if seen.before.zones[event.zone].isolated or seen.before.zones[event.zone].condition is Condition.TAMPER:
            return ""
        where = f"at “{seen.programme.zones[event.zone].place}” "
    elif isinstance(event, TamperEvent) and not event.good and event.part not in seen.before.tampered:
        where = f"at {event.part} "
    else:
        return ""
    if not says(seen, "tamper: "):
        return f"a tamper {where}is not shown"
    return "" if "tamper" in reports(seen) or not seen.programme.paths else f"a tamper {where}is not reported"


def hold_up_told(seen: Seen) -> str:
    """A hold-up is reported at once in every mode, without a sound where it is silent."""
    row, asked = _opened(seen), seen.event
    button = row is not None and (row.calls_help or row.response is Response.HOLD_UP)
    by_code = isinstance(asked, UserEvent) and asked.ask is Ask.HOLD_UP and not seen.before.dead
    if not button and not by_code:
        return ""
    if not reports(seen) & {"hold-up silent", "hold-up audible"}:
        return "a call for help is reported to nobody"
    if any(w.hold_ms and w.report.what.startswith("hold-up") for w in seen.after.queue):
        return "a call for help is held back"
    if (by_code or (row is not None and row.silent)) and sounds(seen):
        return "a silent call for help sounds"
    return ""


def fire_told(seen: Seen) -> str:
    """A smoke alarm is told in every mode, and sounds."""
    row = _opened(seen)
    if row is None or not row.warns_of_fire:
        return ""
    if "fire" not in sounds(seen) and not seen.before.fire_on:
        return f"“{row.place}” warns of fire and nothing sounds"
    return "" if "fire" in reports(seen) or not seen.programme.paths else f"“{row.place}” warns of fire, untold"


def supply_harmless(seen: Seen) -> str:
    """Loss or return of mains, battery or a path raises no intruder alarm, sets nothing and unsets nothing."""
    if not isinstance(seen.event, SupplyEvent | PathEvent):
        return ""
    if is_alarm(seen) or reports(seen) & INTRUDER_REPORTS:
        return "a change of supply raises an intruder alarm"
    moved = any(a.phase is not b.phase for a, b in zip(seen.before.areas, seen.after.areas, strict=True))
    return "a change of supply sets or unsets" if moved else ""


def duress_told(seen: Seen) -> str:
    """Unsetting under duress unsets and is reported."""
    event = seen.event
    asked = isinstance(event, UserEvent) and event.ask is Ask.DURESS_UNSET
    if not asked or seen.before.dead or seen.before.lockout_left_ms or not seen.programme.paths:
        return ""
    return "" if "duress" in reports(seen) else "unsetting under duress is not reported"


def wrong_codes_locked(seen: Seen) -> str:
    """So many wrong codes lock the keypads, and it is told."""
    last = seen.before.wrong_codes == seen.programme.wrong_code_limit - 1
    if not isinstance(seen.event, WrongCode) or not last or seen.before.dead or seen.before.lockout_left_ms:
        return ""
    if seen.programme.lockout_ms and not seen.after.lockout_left_ms:
        return "wrong codes do not lock the keypads"
    return "" if says(seen, "too many wrong codes") else "wrong codes are not told"


def can_unset(seen: Seen) -> str:
    """From every state a user who may can unset."""
    event = seen.event
    asked = isinstance(event, UserEvent) and event.ask in (Ask.UNSET, Ask.DURESS_UNSET)
    if not asked or seen.before.dead or seen.before.lockout_left_ms:
        return ""
    assert isinstance(event, UserEvent)
    return "" if seen.after.areas[event.area].phase is Phase.UNSET else "asked to unset, it stays set"


def left_out_ends(seen: Seen) -> str:
    """Leaving a zone out ends with the set period, an isolation stays; only what may be left out can be."""
    event = seen.event
    if not isinstance(event, UserEvent):
        return ""
    if event.ask in (Ask.INHIBIT, Ask.ISOLATE) and event.zone is not None:
        row, state = seen.programme.zones[event.zone], seen.after.zones[event.zone]
        if (state.inhibited or state.isolated) and not row.may_bypass:
            return f"“{row.place}” may not be left out, and can be"
    if event.ask in (Ask.UNSET, Ask.DURESS_UNSET) and seen.after.areas[event.area].phase is Phase.UNSET:
        for row, old, new in zip(seen.programme.zones, seen.before.zones, seen.after.zones, strict=True):
            if event.area in row.areas and new.inhibited:
                return f"“{row.place}” stays left out after its set period"
            if old.isolated and not new.isolated:
                return f"the isolation of “{row.place}” ends by itself"
    return ""


def isolation_shown(seen: Seen) -> str:
    """What is isolated or left out is shown at every setting."""
    event = seen.event
    if not isinstance(event, UserEvent) or event.ask not in (Ask.SET_AWAY, Ask.SET_INSIDE):
        return ""
    if seen.after.areas[event.area].phase is Phase.UNSET and not says(seen, "not set"):
        return ""
    for row, state in zip(seen.programme.zones, seen.before.zones, strict=True):
        out = "isolated" if state.isolated else "left out"
        if event.area in row.areas and (state.isolated or state.inhibited) and not says(seen, f"{out}: {row.place}"):
            return f"“{row.place}” is {out}, and setting does not show it"
    return ""


def quiet_by_day(seen: Seen) -> str:
    """Opening doors and windows and walking about while unset raises no alarm."""
    row = _opened(seen)
    if row is None or not row.used_daily or _phases(seen, row) != {Phase.UNSET}:
        return ""
    loud = is_alarm(seen) or sounds(seen) or reports(seen)
    return f"“{row.place}” raises an alarm while unset" if loud else ""


def bell_rests_while_unset(seen: Seen) -> str:
    """The panel does not sound the outer bell while everything is unset, where the profile forbids it."""
    if seen.programme.bell_while_unset or seen.before.bell_left_ms:
        return ""
    unset = all(a.phase is Phase.UNSET for a in (*seen.before.areas, *seen.after.areas))
    return "the outer bell sounds while unset" if unset and "bell" in sounds(seen) else ""


def exit_disturbed(seen: Seen) -> str:
    """A detector off the exit route that trips during setting stops it and is shown (EN 50131-1)."""
    row = _opened(seen)
    if row is None or not seen.programme.off_route_stops_setting or row.response is not Response.PERIMETER:
        return ""
    area = row.areas[0]
    if len(row.areas) > 1 or seen.before.areas[area].phase is not Phase.EXIT:
        return ""
    if seen.before.areas[area].inside and not row.watched_inside:
        return ""
    stopped = seen.after.areas[area].phase is Phase.UNSET and says(seen, "not set")
    return "" if stopped else f"“{row.place}” trips during setting and does not stop it"


NONE = "nothing"
LEFT_OUT = "left out, shut down after its alarms, waiting for its cross zone, not listened to after a loss of power"
NO_POWER = "no power at all"
LOCKED = "keypads locked after wrong codes; no power at all"
PROPERTIES: tuple[Property, ...] = (
    Property("zone-answered", "No zone that is there to notice an intruder goes unanswered.", "set away", LEFT_OUT,
             answered_away),
    Property("way-in-answered-inside", "No way in goes unanswered.", "set with people inside",
             f"{LEFT_OUT}; the inside, where it is left out", answered_inside),
    Property("answers-again", "A zone that has alarmed once answers again.", "set away or with people inside", NONE,
             answered_again),
    Property("alarm-audible", "An alarm is heard.", "every mode, zones not silent", "a sounder that sounds already",
             audible),
    Property("silent-alarm-silent", "A silent alarm makes no sound.", "every mode, silent zones", NONE, silent),
    Property("entry-by-final-door", "Nothing but a final door gets entry time.", "set away or with people inside",
             NONE, entry_by_the_route),
    Property("off-route-alarms", "Leaving the entry route during entry time alarms at once.", "entry time", LEFT_OUT,
             off_the_route),
    Property("coming-home", "Coming home by a final door and walking to the keypad causes no alarm.",
             "set away, entry time", "unsetting after entry time is over", coming_home),
    Property("leaving", "Leaving by a final door causes no alarm and does not stop the setting.", "exit time", NONE,
             leaving),
    Property("set-at-rest", "Setting is completed only with all that counts at rest, else it is said.", "exit time",
             "left out or isolated; a final door open at the end of exit time where that is an exit error",
             set_at_rest),
    Property("tamper-told", "A tamper is never lost.", "every mode", f"isolated; {NO_POWER}, made good on its return",
             tamper_told),
    Property("hold-up-told", "A call for help is always reported, silently where it is silent.", "every mode",
             f"left out, isolated; {NO_POWER}", hold_up_told),
    Property("fire-told", "A smoke alarm is heard and told.", "every mode", LEFT_OUT, fire_told),
    Property("supply-harmless", "Mains, battery and paths raise no alarm, set nothing, unset nothing.", "every mode",
             NONE, supply_harmless),
    Property("duress-told", "Unsetting under duress unsets and is reported.", "every mode", LOCKED, duress_told),
    Property("wrong-codes-locked", "Wrong codes lock the keypads and are told.", "every mode", NO_POWER,
             wrong_codes_locked),
    Property("can-unset", "Whoever may unset can always do so.", "every mode", LOCKED, can_unset),
    Property("left-out-ends", "Leaving out ends with its set period, an isolation does not, and neither exceeds what "
             "is allowed.", "every mode", NONE, left_out_ends),
    Property("isolation-shown", "What is isolated is shown at every setting.", "setting", NONE, isolation_shown),
    Property("quiet-by-day", "Living in it by day raises no alarm.", "unset", NONE, quiet_by_day),
    Property("bell-rests-while-unset", "The outer bell rests while unset.", "unset, profiles of EN 50131-1", NONE,
             bell_rests_while_unset),
    Property("exit-disturbed", "A detector off the exit route stops the setting.", "exit time, profiles of EN 50131-1",
             LEFT_OUT, exit_disturbed),
)  # fmt: skip


# Properties with a memory


def entry_ends(programme: PanelProgramme, area: int) -> Monitor:
    """Entry time ends in unsetting or an alarm, and is never prolonged."""
    limit = max(programme.areas[area].entry_ms, 1)

    def monitor(watch: Watch, seen: Seen, due: bool) -> Watch | str:
        before, after = seen.before.areas[0].phase, seen.after.areas[0].phase
        ended = before is Phase.ENTRY and after is not Phase.ENTRY
        if ended and after is Phase.SET and not is_alarm(seen):
            return "entry time ends without an alarm"
        if due and after is Phase.ENTRY and not ended:
            return "entry time lasts longer than programmed"
        if after is not Phase.ENTRY:
            return Watch()
        return watch if before is Phase.ENTRY else Watch(left_ms=limit)

    return monitor


def exit_ends(programme: PanelProgramme, area: int) -> Monitor:
    """Exit time ends: once, or twice where it may be restarted once."""
    limit = max(programme.areas[area].exit_ms, 1) * (2 if programme.exit_restart else 1)

    def monitor(watch: Watch, seen: Seen, due: bool) -> Watch | str:
        before, after = seen.before.areas[0].phase, seen.after.areas[0].phase
        if after is not Phase.EXIT:
            return Watch()
        if due and before is Phase.EXIT:
            return "exit time is prolonged more than once"
        return watch if before is Phase.EXIT else Watch(left_ms=limit)

    return monitor


def sound_stops(output: str, limit_ms: int) -> Monitor:
    """A sounder stops within the permitted time."""

    def monitor(watch: Watch, seen: Seen, due: bool) -> Watch | str:
        turned = [a.on for a in seen.actions if isinstance(a, Sound) and a.output == output]
        if due and not turned:
            return f"the {output} sounds longer than {limit_ms / 1000:g} s"
        if not turned:
            return watch
        return Watch(left_ms=limit_ms + 1) if turned[-1] else Watch()

    return monitor


def bell_count(programme: PanelProgramme) -> Monitor:
    """The outer bell sounds no more often than programmed before somebody unsets."""

    def monitor(watch: Watch, seen: Seen, due: bool) -> Watch | str:
        del due  # no time of its own
        count = watch.memory if isinstance(watch.memory, int) else 0
        count += sum(1 for a in seen.actions if isinstance(a, Sound) and a.output == "bell" and a.on)
        if isinstance(seen.event, UserEvent) and seen.event.ask in (Ask.UNSET, Ask.DURESS_UNSET):
            count = 0
        return "the bell sounds again and again" if count > programme.bell_limit else Watch(count)

    return monitor


def confirmed_by_two(programme: PanelProgramme) -> Monitor:
    """Two independent detectors within the window give just one confirmed signal; one alone never does."""

    def monitor(watch: Watch, seen: Seen, due: bool) -> Watch | str:
        first, done = watch.memory if isinstance(watch.memory, tuple) else ("", False)
        if seen.after.areas[0].phase is not Phase.SET:
            return Watch(("", True))
        if due:
            first, watch = "", Watch()
        told = "confirmed intruder" in reports(seen)
        if not is_alarm(seen):
            return "confirmed without an alarm" if told else Watch((first, done), watch.left_ms)
        assert isinstance(seen.event, ZoneEvent)
        row = seen.programme.zones[seen.event.zone]
        detector = row.detector or f"zone {row.number}"
        second = bool(first) and first != detector and not done
        if told and not second:
            return "confirmed by one detector alone, or twice" if not done else "confirmed twice"
        if second and not told and not seen.before.areas[0].confirm_off:
            return f"“{row.place}” is the second detector within the window, and nothing is confirmed"
        if second or done:
            return Watch(("", True))
        return Watch((detector, False), programme.confirm_ms)

    return monitor
