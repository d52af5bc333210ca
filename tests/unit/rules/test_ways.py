"""Findings on ways in and ways through."""

import re
from dataclasses import replace

import pytest
from tests.house import house, scheme
from tests.unit.analyses.simple_field import simple_fields

from wardwright.analyses.entry import entry
from wardwright.analyses.mode import Mode, modes_wanted
from wardwright.analyses.routes import routes
from wardwright.design.brief import Brief
from wardwright.design.system import Design, ProtectionScheme
from wardwright.findings import Finding, Outcome
from wardwright.premises.life import Response, Surroundings
from wardwright.premises.openings import OnWall
from wardwright.rules.aims.entry import entry_findings
from wardwright.rules.aims.route import route_findings
from wardwright.rules.aims.spread import judge_at_least


def judged(base: ProtectionScheme) -> tuple[Finding, ...]:
    fields = {mode: simple_fields(base) for mode in modes_wanted(base)}
    analyses = [routes(base, mode, fields[mode]) for mode in fields]
    return (*entry_findings(base, entry(base, fields)), *route_findings(base, analyses))


def the(findings: tuple[Finding, ...], rule: str, about: str) -> Finding:
    return next(f for f in findings if f.rule == rule and f.about == (about,))


def test_an_interval_is_met_at_its_pessimistic_end_and_fails_at_its_optimistic_end() -> None:
    assert judge_at_least((0.9, 0.95), 0.9) is Outcome.MET
    assert judge_at_least((0.5, 0.95), 0.9) is Outcome.NOT_DECIDED
    assert judge_at_least((0.1, 0.89), 0.9) is Outcome.NOT_MET


def test_an_empty_design_is_not_met() -> None:
    findings = judged(replace(scheme(), design=Design()))
    assert the(findings, "entry.way-in-watched", "front").outcome is Outcome.NOT_MET
    assert the(findings, "route.detected-before-target", "jewels").outcome is Outcome.NOT_MET
    assert the(findings, "route.confirmed-in-time", "jewels").outcome is Outcome.NOT_MET
    assert not any(f.outcome is Outcome.MET for f in findings)


def test_no_openings_and_no_targets_decide_nothing() -> None:
    bare = house().model_copy(update={"openings": (), "targets": ()})
    findings = judged(replace(scheme(), premises=bare))
    assert {f.outcome for f in findings} == {Outcome.NOT_DECIDED}
    assert all(f.blocks for f in findings)


def test_numbers_limits_and_reasons() -> None:
    findings = judged(scheme())
    for finding in findings:
        if finding.value is not None and finding.interval is not None and finding.unit == "":
            assert finding.interval[0] <= finding.value <= finding.interval[1]
        if finding.outcome in (Outcome.NOT_MET, Outcome.NOT_DECIDED):
            assert finding.fix
        if finding.outcome is Outcome.NOT_DECIDED:
            assert finding.assumption
        assert finding.citation
    assert len({f.identity for f in findings}) == len(findings)
    kicked_in = the(findings, "entry.way-in-watched-with-people-inside", "front")
    assert kicked_in.outcome is Outcome.NOT_MET
    assert "cut or kicked in" in kicked_in.explanation
    assert kicked_in.limit == 0.5


def test_the_client_reads_nothing_that_helps_an_intruder() -> None:
    secret = re.compile(
        r"front|window|hall|living|bed|pir|contact on|mc-|gb-|inner|unwatched|not seen|kicked|glass", re.I
    )
    for base in (scheme(), replace(scheme(), design=Design()), replace(scheme(), premises=rough())):
        for finding in judged(base):
            assert not secret.search(finding.plain), finding.plain
            assert finding.plain.endswith(".")


def rough():
    return house().model_copy(update={"survey": "approximate"})


def test_what_rests_on_position_is_not_decided_but_contacts_are() -> None:
    findings = judged(replace(scheme(Brief().profile, notice_way_in=0.5), premises=rough()))
    front = the(findings, "entry.way-in-watched", "front")
    assert front.outcome is Outcome.NOT_DECIDED  # kicked in: only the motion detector could tell
    assert "easure where" in front.fix
    inside = the(findings, "entry.way-in-watched-with-people-inside", "front")
    assert inside.outcome is Outcome.NOT_MET  # nothing at all, wherever it lies
    reach = the(findings, "route.detected-before-target", "jewels")
    assert reach.outcome is Outcome.NOT_DECIDED
    assert "Measure where" in reach.fix


def test_an_opening_out_of_reach_does_not_apply() -> None:
    high = house()
    openings = tuple(
        o.model_copy(
            update={"place": OnWall(wall_id="u-south", offset_m=3.0), "sides": ("outside", "bed"), "sill_m": 1.5}
        )
        if o.id == "window"
        else o
        for o in high.openings
    )
    findings = judged(replace(scheme(), premises=high.model_copy(update={"openings": openings})))
    assert the(findings, "entry.way-in-watched", "window").outcome is Outcome.DOES_NOT_APPLY


@pytest.mark.parametrize(("limit", "outcome"), [(60.0, Outcome.MET), (0.001, Outcome.NOT_MET)])
def test_confirmation_against_the_time_asked_for(limit: float, outcome: Outcome) -> None:
    base = scheme(confirm_within_s=limit)
    analysis = routes(base, Mode.AWAY, simple_fields(base))
    fast = tuple(r for r in analysis.routes if r.kind == "fastest")
    findings = route_findings(base, [replace(analysis, routes=fast)])
    confirmed = the(findings, "route.confirmed-in-time", "jewels")
    assert confirmed.outcome is outcome
    assert confirmed.unit == "s"
    assert confirmed.limit == limit


def test_interruption_is_told_but_not_judged() -> None:
    around = Surroundings(response=Response(policy="guard", median_s=300.0))
    base = replace(scheme(), premises=house().model_copy(update={"surroundings": around}))
    told = the(judged(base), "route.interrupted", "jewels")
    assert told.outcome is Outcome.DOES_NOT_APPLY
    assert 0.0 <= told.value < 0.05
