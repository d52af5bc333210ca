"""Rows of EN 50131-1 and CLC/TS 50131-7 on what a panel does, decided by running the programme.

The control equipment is taken to do as it is programmed; that it can is on its maker's declaration.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from wardwright.panel.events import (
    Ask,
    Condition,
    Delivered,
    Elapse,
    Event,
    FaultEvent,
    PathEvent,
    Refused,
    SupplyEvent,
    TamperEvent,
    UserEvent,
    ZoneEvent,
)
from wardwright.panel.programme import PanelProgramme, Response
from wardwright.panel.tables import Phase
from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, not_applicable, stated, undecided
from wardwright.rules.panel_runs import AS_PROGRAMMED, NOT_RUN, SECOND_MS, opened, ran, run, says, set_away
from wardwright.rules.register import clause


def _ids(evidence: Evidence, zones: Sequence[int]) -> tuple[str, ...]:
    return tuple(evidence.names.zone_ids[z] for z in zones)


PREVENTED = "The system cannot be set while something is wrong that you should know of."

# Table 4: prevention of setting


def _set_in_spite(programme: PanelProgramme, area: int, before: Sequence[Event], but: int | None = None) -> bool:
    """Whether the area can be set after these events, its final door used and its exit time over."""
    state, _ = run(programme, [*before, *set_away(programme, area, but)])
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
        names = evidence.names.area_ids
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
        programme = evidence.panel
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

    judge.__name__ = "prevention_of_setting"
    return judge


for _row in TABLE_4:
    clause(_row)(_prevention(_row))


@clause("EU-SET-15")
def override_lasts_one_period(evidence: Evidence) -> Iterator[Judgement]:
    """What was overridden, or left out, counts again after one set period."""
    programme = evidence.panel
    plain = "What is left out once is watched again the next time."
    if programme is None:
        yield undecided(NOT_RUN, plain)
        return
    left_out = [i for i, r in enumerate(programme.zones) if r.may_bypass and r.guards and len(r.areas) == 1]
    kept = []
    for zone in left_out:
        area = programme.zones[zone].areas[0]
        asked = [UserEvent(Ask.INHIBIT, area, zone), *set_away(programme, area), UserEvent(Ask.UNSET, area)]
        state, _ = run(programme, asked)
        if state.zones[zone].inhibited:
            kept.append(zone)
    off: list[Event] = [SupplyEvent("mains", good=False), UserEvent(Ask.OVERRIDE, 0)]
    state, _ = run(programme, [*off, *set_away(programme), UserEvent(Ask.UNSET, 0)])
    _, again = run(programme, [UserEvent(Ask.SET_AWAY, 0)], state)
    stays = "mains" in programme.prevent_set and not any(isinstance(a, Refused) for a in again)
    yield ran(
        not kept and not stays,
        f"run: {len(left_out)} zones left out and mains overridden, each for one set period only",
        "run: what was overridden stays so after its set period",
        plain,
        _ids(evidence, kept),
    )


def _by_answer(row_id: str, key: str, plain: str) -> None:
    def judge(evidence: Evidence) -> Iterator[Judgement]:
        if evidence.panel is None or evidence.behaviour is None:
            yield undecided(NOT_RUN, plain)
            return
        answer = next((a for a in evidence.behaviour.answers if a.key == key), None)
        if answer is None:
            yield not_applicable("nothing in this programme for it")
        elif answer.proved is None:
            yield undecided(answer.words, plain)
        else:
            yield ran(answer.proved, f"{answer.claim} Proved over every state.", answer.words, plain)

    judge.__name__ = key.replace("-", "_")
    clause(row_id)(judge)


_by_answer("EU-ENT-02", "entry-ends", "If nobody unsets in time, the alarm is raised.")


@clause("EU-ENT-07")
def exit_disturbed(evidence: Evidence) -> Iterator[Judgement]:
    """A detector off the exit route that trips during setting is shown and stops it."""
    programme = evidence.panel
    plain = "If something moves where it should not while you leave, it tells you."
    if programme is None:
        yield undecided(NOT_RUN, plain)
        return
    off = [i for i, r in enumerate(programme.zones) if r.response is Response.PERIMETER and r.guards]
    wrong = []
    for zone in off:
        area = programme.zones[zone].areas[0]
        state, done = run(programme, [UserEvent(Ask.SET_AWAY, area), *opened(zone)])
        if state.areas[area].phase is not Phase.UNSET or not says(done, "not set"):
            wrong.append(zone)
    if not off:
        yield not_applicable("no detector off the exit route")
        return
    bad = "run: a detector off the exit route trips during setting, and it sets all the same"
    good = f"run: each of {len(off)} detectors off the exit route stops setting"
    yield ran(not wrong, good, bad, plain, _ids(evidence, wrong))


@clause("EU-PRC-06")
def hold_up_names_its_zone(evidence: Evidence) -> Iterator[Judgement]:
    """The report of a hold-up carries the zone."""
    programme = evidence.panel
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
        _, done = run(programme, [ZoneEvent(zone, Condition.ACTIVE), Elapse(60 * SECOND_MS)])
        sent = [a.report.point for a in done if isinstance(a, Delivered) and a.report.what.startswith("hold-up")]
        if sent != [programme.zones[zone].number]:
            silent.append(zone)
    yield ran(not silent, "run: every hold-up is reported with its zone", "run: a hold-up without its zone", plain,
               _ids(evidence, silent))  # fmt: skip
