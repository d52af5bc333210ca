"""Rows on what a panel does, decided by running the programme: EN 50131-1 table 4 and clause 8, BS 8243, CP-01.

The control equipment is taken to do as it is programmed; that it can is on its maker's declaration.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from wardwright.analyses.panel_programme import ENTRY_WARNING_MS
from wardwright.panel.events import (
    Action,
    Ask,
    Condition,
    Delivered,
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
    ZoneEvent,
)
from wardwright.panel.programme import PanelProgramme, Response
from wardwright.panel.state import PanelState, at_rest
from wardwright.panel.step import step
from wardwright.panel.tables import INTRUDER_REPORTS, Phase
from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, not_applicable, stated, undecided
from wardwright.rules.register import clause

AS_PROGRAMMED = "the control equipment does as it is programmed"
SECOND_MS = 1000


def _run(
    programme: PanelProgramme, events: Sequence[Event], state: PanelState | None = None
) -> tuple[PanelState, list[Action]]:
    now, done = state or at_rest(programme), list[Action]()
    for event in events:
        now, actions = step(programme, now, event)
        done.extend(actions)
    return now, done


def _opened(zone: int) -> list[Event]:
    return [ZoneEvent(zone, Condition.ACTIVE), ZoneEvent(zone, Condition.NORMAL)]


def _set_away(programme: PanelProgramme, area: int = 0, but: int | None = None) -> list[Event]:
    """Everybody leaves by a final door other than one zone's, and exit time runs out."""
    doors = [
        i
        for i, row in enumerate(programme.zones)
        if row.response is Response.ENTRY_EXIT and row.areas == (area,) and i != but
    ]
    ms = programme.areas[area].exit_ms
    return [UserEvent(Ask.SET_AWAY, area), *(_opened(doors[0]) if doors else []), Elapse(ms)]


def _first(programme: PanelProgramme, *responses: Response) -> int | None:
    """The first zone of one area only with one of these responses that is there to notice somebody."""
    return next(
        (i for i, r in enumerate(programme.zones) if r.response in responses and len(r.areas) == 1 and r.guards), None
    )


def _reports(actions: Sequence[Action]) -> list[str]:
    return [a.report.what for a in actions if isinstance(a, Queued)]


def _says(actions: Sequence[Action], start: str) -> bool:
    return any(isinstance(a, Say) and a.text.startswith(start) for a in actions)


def _programme(evidence: Evidence) -> PanelProgramme | None:
    proof = evidence.behaviour
    return None if proof is None or proof.undecided else proof.programme


def _ids(evidence: Evidence, zones: Sequence[int]) -> tuple[str, ...]:
    assert evidence.behaviour is not None  # asked only where there is a programme
    return tuple(evidence.behaviour.names.zone_ids[z] for z in zones)


NOT_RUN = "the panel's programme was not run"
PREVENTED = "The system cannot be set while something is wrong that you should know of."

# Table 4: prevention of setting


def _set_in_spite(programme: PanelProgramme, area: int, before: Sequence[Event], but: int | None = None) -> bool:
    """Whether the area can be set after these events, its final door used and its exit time over."""
    state, _ = _run(programme, [*before, *_set_away(programme, area, but)])
    return state.areas[area].phase is not Phase.UNSET


def _zone_condition(condition: Condition, wanted: Callable[[PanelProgramme, int], bool]) -> Callable[..., object]:
    def judge(evidence: Evidence, programme: PanelProgramme) -> tuple[tuple[str, ...], int]:
        zones = [i for i in range(len(programme.zones)) if wanted(programme, i)]
        let = [
            i
            for i in zones
            if any(_set_in_spite(programme, a, [ZoneEvent(i, condition)], i) for a in programme.zones[i].areas)
        ]
        return _ids(evidence, let), len(zones)

    return judge


def _panel_condition(*events: Event) -> Callable[..., object]:
    def judge(evidence: Evidence, programme: PanelProgramme) -> tuple[tuple[str, ...], int]:
        known = [e for e in events if not isinstance(e, PathEvent) or e.path < len(programme.paths)]
        if not known:
            return (), 0
        assert evidence.behaviour is not None
        names = evidence.behaviour.names.area_ids
        return tuple(n for a, n in enumerate(names) if _set_in_spite(programme, a, known)), len(names)

    return judge


def _all_paths_and_sounder(evidence: Evidence, programme: PanelProgramme) -> tuple[tuple[str, ...], int]:
    down: list[Event] = [PathEvent(i, up=False) for i in range(len(programme.paths))]
    judged = _panel_condition(*down, FaultEvent("sounder", good=False))(evidence, programme)
    assert isinstance(judged, tuple)
    return judged


def _guards(programme: PanelProgramme, zone: int) -> bool:
    return programme.zones[zone].guards


TABLE_4: dict[str, tuple[int, str, Callable[..., object]]] = {
    "EU-SET-01": (1, "an intrusion detector is active", _zone_condition(Condition.ACTIVE, _guards)),
    "EU-SET-02": (1, "a hold-up device is active", _zone_condition(
        Condition.ACTIVE, lambda p, z: p.zones[z].response is Response.HOLD_UP)),
    "EU-SET-03": (3, "a movement detector is masked", _zone_condition(Condition.MASKED, _guards)),
    "EU-SET-04": (4, "a movement detector's range is reduced", _zone_condition(Condition.REDUCED, _guards)),
    "EU-SET-05": (2, "an intrusion detector is at fault", _zone_condition(Condition.FAULT, _guards)),
    "EU-SET-06": (2, "there is a tamper", _panel_condition(TamperEvent("panel lid", good=False))),
    "EU-SET-07": (2, "an interconnection is at fault", _panel_condition(FaultEvent("interconnection", good=False))),
    "EU-SET-08": (2, "mains are off", _panel_condition(SupplyEvent("mains", good=False))),
    "EU-SET-09": (2, "the battery is low", _panel_condition(SupplyEvent("battery", good=False))),
    "EU-SET-10": (2, "a reporting path is down", _panel_condition(PathEvent(0, up=False))),
    "EU-SET-11": (2, "a sounder is at fault", _panel_condition(FaultEvent("sounder", good=False))),
    "EU-SET-12": (1, "nothing is left to tell anybody with", _all_paths_and_sounder),
    "EU-SET-13": (2, "some other part is at fault", _panel_condition(FaultEvent("expander", good=False))),
    "EU-INT-05": (2, "a radio device is not heard", _zone_condition(Condition.MISSING, _guards)),
}  # fmt: skip
"""Row -> (lowest grade that must, what is wrong, how it is run)."""


def _prevention(row_id: str) -> Callable[[Evidence], Iterator[Judgement]]:
    lowest, wrong, run = TABLE_4[row_id]

    def judge(evidence: Evidence) -> Iterator[Judgement]:
        programme = _programme(evidence)
        if programme is None:
            yield undecided(NOT_RUN, PREVENTED)
            return
        if evidence.grade < lowest:
            yield not_applicable(f"optional below grade {lowest}", "One point of the standard that is left open.")
            return
        judged = run(evidence, programme)
        assert isinstance(judged, tuple)
        let, tried = judged
        if not tried:
            yield not_applicable(f"nothing in this programme for which {wrong}")
            return
        yield replace(
            stated(
                not let,
                f"run: while {wrong}, setting is prevented ({tried} cases)",
                f"run: while {wrong}, it sets all the same: {', '.join(let)}",
                plain=PREVENTED,
                about=let,
                fix="prevent setting by this condition",
            ),
            assumption=AS_PROGRAMMED,
        )

    return judge


for _row in TABLE_4:
    clause(_row)(_prevention(_row))


@clause("EU-SET-15")
def override_lasts_one_period(evidence: Evidence) -> Iterator[Judgement]:
    """What was overridden, or left out, counts again after one set period."""
    programme = _programme(evidence)
    plain = "What is left out once is watched again the next time."
    if programme is None:
        yield undecided(NOT_RUN, plain)
        return
    left_out = [i for i, r in enumerate(programme.zones) if r.may_bypass and r.guards and len(r.areas) == 1]
    kept = []
    for zone in left_out:
        area = programme.zones[zone].areas[0]
        asked = [UserEvent(Ask.INHIBIT, area, zone), *_set_away(programme, area), UserEvent(Ask.UNSET, area)]
        state, _ = _run(programme, asked)
        if state.zones[zone].inhibited:
            kept.append(zone)
    off: list[Event] = [SupplyEvent("mains", good=False), UserEvent(Ask.OVERRIDE, 0)]
    state, _ = _run(programme, [*off, *_set_away(programme), UserEvent(Ask.UNSET, 0)])
    _, again = _run(programme, [UserEvent(Ask.SET_AWAY, 0)], state)
    stays = "mains" in programme.prevent_set and not any(isinstance(a, Refused) for a in again)
    yield _ran(
        not kept and not stays,
        f"run: {len(left_out)} zones left out and mains overridden, each for one set period only",
        "run: what was overridden stays so after its set period",
        plain,
        _ids(evidence, kept),
    )


def _ran(holds: bool, good: str, bad: str, plain: str, about: tuple[str, ...] = ()) -> Judgement:
    fix = "change the programme so that the run comes out right"
    return replace(stated(holds, good, bad, plain=plain, about=about, fix=fix), assumption=AS_PROGRAMMED)


def _by_answer(row_id: str, key: str, plain: str) -> None:
    def judge(evidence: Evidence) -> Iterator[Judgement]:
        programme = _programme(evidence)
        if programme is None or evidence.behaviour is None:
            yield undecided(NOT_RUN, plain)
            return
        answer = next((a for a in evidence.behaviour.answers if a.key == key), None)
        if answer is None:
            yield not_applicable("nothing in this programme for it")
        elif answer.proved is None:
            yield undecided(answer.words, plain)
        else:
            yield _ran(answer.proved, f"{answer.claim} Proved over every state.", answer.words, plain)

    clause(row_id)(judge)


_by_answer("EU-ENT-02", "entry-ends", "If nobody unsets in time, the alarm is raised.")


@clause("EU-ENT-07")
def exit_disturbed(evidence: Evidence) -> Iterator[Judgement]:
    """A detector off the exit route that trips during setting is shown and stops it."""
    programme = _programme(evidence)
    plain = "If something moves where it should not while you leave, it tells you."
    if programme is None:
        yield undecided(NOT_RUN, plain)
        return
    off = [i for i, r in enumerate(programme.zones) if r.response is Response.PERIMETER and r.guards]
    wrong = []
    for zone in off:
        area = programme.zones[zone].areas[0]
        state, done = _run(programme, [UserEvent(Ask.SET_AWAY, area), *_opened(zone)])
        if state.areas[area].phase is not Phase.UNSET or not _says(done, "not set"):
            wrong.append(zone)
    if not off:
        yield not_applicable("no detector off the exit route")
        return
    bad = "run: a detector off the exit route trips during setting, and it sets all the same"
    good = f"run: each of {len(off)} detectors off the exit route stops setting"
    yield _ran(not wrong, good, bad, plain, _ids(evidence, wrong))


@clause("EU-PRC-06")
def hold_up_names_its_zone(evidence: Evidence) -> Iterator[Judgement]:
    """The report of a hold-up carries the zone."""
    programme = _programme(evidence)
    plain = "A call for help says where it comes from."
    if programme is None:
        yield undecided(NOT_RUN, plain)
        return
    buttons = [i for i, r in enumerate(programme.zones) if r.response is Response.HOLD_UP]
    if not buttons or not programme.paths:
        yield not_applicable("no hold-up zone, or no path to report it by")
        return
    silent = []
    for zone in buttons:
        _, done = _run(programme, [ZoneEvent(zone, Condition.ACTIVE), Elapse(60 * SECOND_MS)])
        sent = [a.report.point for a in done if isinstance(a, Delivered) and a.report.what.startswith("hold-up")]
        if sent != [programme.zones[zone].number]:
            silent.append(zone)
    yield _ran(not silent, "run: every hold-up is reported with its zone", "run: a hold-up without its zone", plain,
               _ids(evidence, silent))  # fmt: skip


@clause("UK-CNF-12")
def nothing_confirmed_after_entry(evidence: Evidence) -> Iterator[Judgement]:
    """From the start of entry until the next setting nothing is confirmed, where opening the door stops it."""
    programme = _programme(evidence)
    plain = "A mistake at your own door never brings the police."
    if programme is None:
        yield undecided(NOT_RUN, plain)
        return
    door = _first(programme, Response.ENTRY_EXIT)
    if not programme.confirmation or door is None:
        yield not_applicable("no sequential confirmation, or no entry door")
        return
    area = programme.zones[door].areas[0]
    others = [i for i, r in enumerate(programme.zones) if i != door and area in r.areas and r.guards]
    events = [*_set_away(programme, area), *_opened(door)]
    events += [e for zone in others for e in _opened(zone)]
    _, done = _run(programme, [*events, Elapse(programme.areas[area].entry_ms)])
    told = "confirmed intruder" in _reports(done)
    yield _ran(not told, "run: entry, then all others: nothing confirmed", "run: confirmed after entry", plain)


# CP-01


def _cp(row_id: str, plain: str, run: Callable[[PanelProgramme], tuple[bool, str] | None]) -> None:
    def judge(evidence: Evidence) -> Iterator[Judgement]:
        programme = _programme(evidence)
        if programme is None:
            yield undecided(NOT_RUN, plain)
            return
        result = run(programme)
        if result is None:
            yield not_applicable("nothing in this programme for it")
            return
        yield _ran(result[0], f"run: {result[1]}", f"run, and not so: {result[1]}", plain)

    clause(row_id)(judge)


def _exit_error(p: PanelProgramme) -> tuple[bool, str] | None:
    door = _first(p, Response.ENTRY_EXIT)
    if door is None:
        return None
    area = p.zones[door].areas[0]
    left: list[Event] = [
        UserEvent(Ask.SET_AWAY, area),
        ZoneEvent(door, Condition.ACTIVE),
        Elapse(p.areas[area].exit_ms),
    ]
    state, done = _run(p, left)
    local = Sound("bell", True) in done and state.areas[area].phase is Phase.ENTRY
    _, later = _run(p, [Elapse(p.areas[area].entry_ms + 60 * SECOND_MS)], state)
    sent = any(isinstance(a, Delivered) and a.report.what == "exit error" for a in later)
    return local and (sent or not p.paths), "final door left open: local alarm, entry time, then exit error is reported"


def _recent_closing(p: PanelProgramme) -> tuple[bool, str] | None:
    zone = _first(p, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)
    if zone is None or not p.paths:
        return None
    _, done = _run(p, [*_set_away(p, p.zones[zone].areas[0]), Elapse(100 * SECOND_MS), *_opened(zone)])
    return "recent closing" in _reports(done), "an alarm 100 s after setting is marked as a recent closing"


def _unvacated(p: PanelProgramme) -> tuple[bool, str] | None:
    state, _ = _run(p, [UserEvent(Ask.SET_AWAY, 0), Elapse(p.areas[0].exit_ms)])
    inside = state.areas[0].phase is Phase.SET and state.areas[0].inside
    return inside, "nobody leaves: it sets with people inside"


def _aborted(p: PanelProgramme) -> tuple[bool, str] | None:
    zone = _first(p, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)
    if zone is None or not p.paths or max(p.abort_ms, p.entry_warning_ms) <= 1:
        return None
    area = p.zones[zone].areas[0]
    _, done = _run(p, [*_set_away(p, area), *_opened(zone), Elapse(1), UserEvent(Ask.UNSET, area)])
    return _says(done, "no alarm was sent"), "unset within the abort window: the keypad says that no alarm was sent"


def _cancelled(p: PanelProgramme) -> tuple[bool, str] | None:
    zone = _first(p, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)
    if zone is None or not p.paths:
        return None
    area, wait = p.zones[zone].areas[0], max(p.abort_ms, ENTRY_WARNING_MS) + 60 * SECOND_MS
    _, done = _run(p, [*_set_away(p, area), *_opened(zone), Elapse(wait), UserEvent(Ask.UNSET, area)])
    both = _says(done, "a cancel was sent") and "cancel" in _reports(done)
    return both, "unset after the alarm was sent: a cancel is sent, and the keypad says so"


def _crossed(p: PanelProgramme) -> tuple[bool, str] | None:
    pair = next(((i, r.cross_zone) for i, r in enumerate(p.zones) if r.cross_zone is not None), None)
    if pair is None:
        return None
    area = p.zones[pair[0]].areas[0]
    _, alone = _run(p, [*_set_away(p, area), *_opened(pair[0])])
    _, both = _run(p, [*_set_away(p, area), *_opened(pair[0]), *_opened(pair[1])])
    right = not _says(alone, "alarm: ") and _says(both, "alarm: ")
    return right, "one of a cross-zoned pair alone does not alarm, both within the set time do"


def _swinger_restored(p: PanelProgramme) -> tuple[bool, str] | None:
    zone = _first(p, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)
    if zone is None:
        return None
    area = p.zones[zone].areas[0]
    again = [e for _ in range(p.zones[zone].swinger_count + 1) for e in _opened(zone)]
    state, _ = _run(p, [*_set_away(p, area), *again, UserEvent(Ask.UNSET, area)])
    _, done = _run(p, [*_set_away(p, area), *_opened(zone)], state)
    return bool(set(_reports(done)) & INTRUDER_REPORTS) or _says(
        done, "alarm: "
    ), "a zone shut down is back after unsetting"


def _power_return(p: PanelProgramme) -> tuple[bool, str] | None:
    zone = _first(p, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)
    if zone is None:
        return None
    area = p.zones[zone].areas[0]
    out = next((i for i, r in enumerate(p.zones) if i != zone and r.may_bypass and r.areas == (area,)), None)
    bypass: list[Event] = [] if out is None else [UserEvent(Ask.INHIBIT, area, out)]
    cut: list[Event] = [SupplyEvent("power", good=False), Elapse(SECOND_MS), SupplyEvent("power", good=True)]
    state, _ = _run(p, [*bypass, *_set_away(p, area), *cut])
    same = state.areas[area].phase is Phase.SET and (out is None or state.zones[out].inhibited)
    _, early = _run(p, [Elapse(59 * SECOND_MS), *_opened(zone)], state)
    return same and not _says(early, "alarm: "), "power lost and back: set and left out as before, deaf for 60 s"


_cp("US-CP-04", "A door left open is told to you before anybody is called.", _exit_error)
_cp("US-CP-05", "An alarm just after leaving is marked, so that a slip is seen for what it is.", _recent_closing)
_cp("US-CP-06", "If nobody leaves, the house is set for people inside.", _unvacated)
_cp("US-CP-11", "If you stop an alarm in time, the keypad says that nobody was called.", _aborted)
_cp("US-CP-13", "If you stop it later, it is called off, and the keypad says so.", _cancelled)
_cp("US-CP-15", "Where one detector alone is not believed, two are needed.", _crossed)
_cp("US-CP-18", "A detector that was shut down is back the next time.", _swinger_restored)
_cp("US-CP-22", "After a power cut the system is as it was.", _power_return)
