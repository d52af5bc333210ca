"""ANSI/SIA CP-01, editions 2000 to 2019: what prevents false alarms, decided by running the panel.

The control equipment is taken to do as it is programmed; that it can is on its maker's declaration.
"""

from collections.abc import Callable, Iterator, Sequence

from wardwright.panel.events import (
    Ask,
    Condition,
    Delivered,
    Dropped,
    Elapse,
    Event,
    Queued,
    Sound,
    SupplyEvent,
    UserEvent,
    ZoneEvent,
)
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.state import standing_set
from wardwright.panel.tables import INTRUDER_REPORTS, Phase
from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, Operator, compared, not_applicable, undecided
from wardwright.rules.panel_runs import (
    NOT_RUN,
    SECOND_MS,
    abort_s,
    alarmed,
    alarming,
    cancel_s,
    doors,
    opened,
    ran,
    reports,
    run,
    says,
    set_away,
    tripped,
    trips_before_shutdown,
)
from wardwright.rules.register import clause


def _timer(name: str, value: float, relation: Operator, limit: float, where: str, plain: str) -> Judgement:
    words = "at least" if relation == ">=" else "at most"
    return compared(name, value, relation, limit, "s", plain=plain, about=(where,), fix=f"{words} {limit:g} s")


_LEAVE = "There is time enough to leave, and not so much that somebody forgets."
_COME = "There is time enough to come in and unset, and not too much."
_ABORT = "A mistake can be put right before anybody is called."
_NO_ALARM = "nothing in this programme raises an alarm that is reported"


@clause("US-CP-01")
def exit_time(evidence: Evidence) -> Iterator[Judgement]:
    """Exit time 45 to 255 s."""
    for area, seconds in evidence.exit_s().items():
        yield _timer(f"exit time of “{area}”", seconds, ">=", 45.0, area, _LEAVE)
        yield _timer(f"exit time of “{area}”", seconds, "<=", 255.0, area, _LEAVE)


@clause("US-CP-07")
def entry_delay(evidence: Evidence) -> Iterator[Judgement]:
    """Entry delay 30 to 240 s."""
    for area, seconds in evidence.entry_s().items():
        yield _timer(f"entry delay of “{area}”", seconds, ">=", 30.0, area, _COME)
        yield _timer(f"entry delay of “{area}”", seconds, "<=", 240.0, area, _COME)


@clause("US-CP-09")
def entry_and_abort(evidence: Evidence) -> Iterator[Judgement]:
    """Entry delay and abort window together take no more than 60 s."""
    for area, total in evidence.entry_and_abort_s().items():
        name = f"entry delay and abort window of “{area}”"
        yield _timer(name, total, "<=", 60.0, area, "Help is called soon after the time for coming in is over.")


def _measured(
    evidence: Evidence,
    measure: Callable[[PanelProgramme], float | None],
    name: str,
    low: float,
    high: float,
    plain: str,
) -> Iterator[Judgement]:
    if evidence.panel is None:
        yield undecided(NOT_RUN, plain)
        return
    seconds = measure(evidence.panel)
    if seconds is None:
        yield not_applicable(_NO_ALARM)
        return
    yield _timer(name, seconds, ">=", low, "programme", plain)
    yield _timer(name, seconds, "<=", high, "programme", plain)


@clause("US-CP-10")
def abort_window(evidence: Evidence) -> Iterator[Judgement]:
    """Abort window 15 to 45 s."""
    yield from _measured(evidence, abort_s, "abort window", 15.0, 45.0, _ABORT)


@clause("US-CP-12")
def cancel_window(evidence: Evidence) -> Iterator[Judgement]:
    """Cancel window of 5 to 255 min."""
    plain = "For some minutes after help was called it can be called off."
    yield from _measured(evidence, cancel_s, "cancel window", 300.0, 15300.0, plain)


@clause("US-CP-16")
def swinger_shutdown(evidence: Evidence) -> Iterator[Judgement]:
    """A zone is shut down after 1 to 6 trips (1 or 2 in the edition of 2000)."""
    plain = "One faulty detector cannot call help again and again."
    panel = evidence.panel
    if panel is None:
        yield undecided(NOT_RUN, plain)
        return
    for zone in alarming(panel):
        key = evidence.names.zone_ids[zone]
        count = float(trips_before_shutdown(panel, zone))
        yield compared(f"alarms before {key} is shut down", count, "<=", 6.0, "", plain=plain, about=(key,), fix="2")


def _row(row_id: str, name: str, plain: str, claim: str, run_all: Callable[[PanelProgramme], Sequence[bool]]) -> None:
    """A row that is met where every run of it comes out right; it does not apply where nothing can be run."""

    def judge(evidence: Evidence) -> Iterator[Judgement]:
        if evidence.panel is None:
            yield undecided(NOT_RUN, plain)
            return
        results = run_all(evidence.panel)
        if not results:
            yield not_applicable("nothing in this programme for it")
            return
        good = f"run: {claim} ({len(results)} cases)"
        bad = f"run, and not so in {results.count(False)} of {len(results)} cases: {claim}"
        yield ran(all(results), good, bad, plain)

    judge.__name__ = name
    clause(row_id)(judge)


def _with_doors(p: PanelProgramme) -> list[tuple[int, int]]:
    """Areas with each of their own entry doors."""
    return [(a, d) for a in range(len(p.areas)) for d in doors(p, a) if p.zones[d].areas == (a,)]


def _reporting(p: PanelProgramme) -> list[tuple[int, int]]:
    """Zones that alarm in a system set by leaving, each with its area; none where nobody is told."""
    if not p.paths:
        return []
    pairs = [(z, p.zones[z].areas[0]) for z in alarming(p) if len(p.zones[z].areas) == 1]
    return [(z, a) for z, a in pairs if alarmed(run(p, [*set_away(p, a), *tripped(p, z)])[1])]


def _exit_restart(p: PanelProgramme) -> list[bool]:
    found = []
    for area, door in _with_doors(p):
        half = p.areas[area].exit_ms // 2
        if half:
            state, _ = run(p, [UserEvent(Ask.SET_AWAY, area), *opened(door), Elapse(half), *opened(door)])
            again = state.areas[area].left_ms == p.areas[area].exit_ms
            state, _ = run(p, [Elapse(half), *opened(door)], state)
            found.append(again and state.areas[area].left_ms == p.areas[area].exit_ms - half)
    return found


def _exit_error(p: PanelProgramme) -> list[bool]:
    found = []
    for area, door in _with_doors(p):
        left: list[Event] = [
            UserEvent(Ask.SET_AWAY, area),
            ZoneEvent(door, Condition.ACTIVE),
            Elapse(p.areas[area].exit_ms),
        ]
        state, done = run(p, left)
        local = Sound("bell", True) in done and state.areas[area].phase is Phase.ENTRY
        _, later = run(p, [Elapse(p.areas[area].entry_ms + 60 * SECOND_MS)], state)
        points = [a.report.point for a in later if isinstance(a, Delivered) and a.report.what == "exit error"]
        _, stopped = run(p, [Elapse(1), UserEvent(Ask.UNSET, area), Elapse(60 * SECOND_MS)], state)
        quiet = not any(isinstance(a, Delivered) and a.report.what == "exit error" for a in stopped)
        found.append(local and quiet and (points == [p.zones[door].number] or not p.paths))
    return found


def _recent_closing(p: PanelProgramme) -> list[bool]:
    found = []
    for zone, area in _reporting(p):
        _, soon = run(p, [*set_away(p, area), Elapse(100 * SECOND_MS), *tripped(p, zone)])
        _, late = run(p, [*set_away(p, area), Elapse(150 * SECOND_MS), *tripped(p, zone)])
        found.append("recent closing" in reports(soon) and "recent closing" not in reports(late))
    return found


def _unvacated(p: PanelProgramme) -> list[bool]:
    found = []
    for area in range(len(p.areas)):
        state, _ = run(p, [UserEvent(Ask.SET_AWAY, area), Elapse(p.areas[area].exit_ms)])
        found.append(state.areas[area].phase is Phase.SET and state.areas[area].inside)
    return found


def _entry_sounds(p: PanelProgramme) -> list[bool]:
    found = []
    for area, door in _with_doors(p):
        if p.areas[area].entry_ms:
            state, begun = run(p, [ZoneEvent(door, Condition.ACTIVE)], standing_set(p))
            _, ended = run(p, [Elapse(p.areas[area].entry_ms - 1)], state)
            found.append(Sound("entry", True) in begun and Sound("entry", False) not in ended)
    return found


def _aborted(p: PanelProgramme) -> list[bool]:
    found = []
    for zone, area in _reporting(p):
        state, _ = run(p, [*set_away(p, area), *tripped(p, zone)])
        held = [w.hold_ms for w in state.queue if w.report.what in INTRUDER_REPORTS]
        if held and held[0] > 1:
            _, done = run(p, [Elapse(held[0] - 1), UserEvent(Ask.UNSET, area), Elapse(300 * SECOND_MS)], state)
            told = any(isinstance(a, Delivered) and a.report.what in INTRUDER_REPORTS for a in done)
            dropped = any(isinstance(a, Dropped) for a in done)
            found.append(says(done, "no alarm was sent") and dropped and not told)
    return found


def _cancelled(p: PanelProgramme) -> list[bool]:
    found = []
    for zone, area in _reporting(p):
        wait = max(p.abort_ms, p.entry_warning_ms) + 60 * SECOND_MS
        _, done = run(p, [*set_away(p, area), *tripped(p, zone), Elapse(wait), UserEvent(Ask.UNSET, area)])
        found.append(says(done, "a cancel was sent") and "cancel" in reports(done))
    return found


def _crossed(p: PanelProgramme) -> list[bool]:
    found = []
    for zone, row in enumerate(p.zones):
        if row.cross_zone is not None:
            start = standing_set(p)
            _, alone = run(p, opened(zone), start)
            _, both = run(p, [*opened(zone), *opened(row.cross_zone)], start)
            late = Elapse(p.cross_zone_ms)
            _, apart = run(p, [*opened(zone), late, *opened(row.cross_zone)], start)
            waits = p.zones[row.cross_zone].cross_zone is None or not alarmed(apart)
            found.append(not alarmed(alone) and alarmed(both) and waits)
    return found


def _swinger_restored(p: PanelProgramme) -> list[bool]:
    found = []
    for zone in alarming(p):
        unset = [UserEvent(Ask.UNSET, a) for a in range(len(p.areas))]
        again = [e for _ in range(p.zones[zone].swinger_count + 1) for e in tripped(p, zone)]
        state, _ = run(p, [*again, *unset], standing_set(p))
        set_again = state._replace(areas=standing_set(p).areas)
        found.append(alarmed(run(p, tripped(p, zone), set_again)[1]))
    return found


def _power_return(p: PanelProgramme) -> list[bool]:
    found = []
    for zone in alarming(p):
        areas = p.zones[zone].areas
        out = next((i for i, r in enumerate(p.zones) if i != zone and r.may_bypass and r.areas == areas[:1]), None)
        bypass: list[Event] = [] if out is None else [UserEvent(Ask.INHIBIT, areas[0], out)]
        state, _ = run(p, bypass)
        state = state._replace(areas=standing_set(p).areas)
        cut: list[Event] = [SupplyEvent("power", good=False), Elapse(SECOND_MS), SupplyEvent("power", good=True)]
        after, back = run(p, cut, state)
        same = all(a.phase is Phase.SET for a in after.areas) and (out is None or after.zones[out].inhibited)
        silent = not any(isinstance(a, Queued) for a in back)
        early = [*tripped(p, zone)] if out != p.zones[zone].cross_zone else opened(zone)
        _, heard = run(p, [Elapse(59 * SECOND_MS), *early], after)
        found.append(same and silent and not alarmed(heard))
    return found


# fmt: off
_row("US-CP-03", "exit_restart", "Coming back for something forgotten sets off no alarm.",
     "back by the final door before exit time is over: it starts again in full, once and no more", _exit_restart)
_row("US-CP-04", "exit_error", "A door left open is told to you before anybody is called.",
     "final door left open: local alarm and entry time, then exit error with its zone; unset in time, nothing is sent",
     _exit_error)
_row("US-CP-05", "recent_closing", "An alarm just after leaving is marked, so that a slip is seen for what it is.",
     "an alarm 100 s after setting is marked as a recent closing, one 150 s after is not", _recent_closing)
_row("US-CP-06", "unvacated", "If nobody leaves, the house is set for people inside.",
     "nobody leaves: it sets with people inside", _unvacated)
_row("US-CP-08", "entry_annunciation", "While you have time to unset, the keypad sounds.",
     "the entry sound starts with entry time and lasts as long", _entry_sounds)
_row("US-CP-11", "abort_annunciation", "If you stop an alarm in time, the keypad says that nobody was called.",
     "unset in the last moment of the abort window: nothing is sent, and the keypad says so", _aborted)
_row("US-CP-13", "cancel_annunciation", "If you stop it later, it is called off, and the keypad says so.",
     "unset after the alarm was sent: a cancel is sent, and the keypad says so", _cancelled)
_row("US-CP-15", "cross_zone", "Where one detector alone is not believed, two are needed.",
     "one of a cross-zoned pair alone does not alarm, both within the set time do, both farther apart do not", _crossed)
_row("US-CP-18", "swinger_restored", "A detector that was shut down is back the next time.",
     "a zone shut down is back after unsetting", _swinger_restored)
_row("US-CP-22", "power_return", "After a power cut the system is as it was.",
     "power lost and back: set and left out as before, nothing told, deaf for 60 s", _power_return)
# fmt: on
