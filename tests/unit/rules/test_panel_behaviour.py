"""Rows on behaviour are decided by running the panel: a panel that misbehaves is refuted by the row that says so."""

from dataclasses import replace

import pytest
from tests.house import scheme

from wardwright.analyses.programme_proof import ProgrammeProof, programme_proof
from wardwright.design.brief import Profile
from wardwright.findings import Outcome
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.verify import verify
from wardwright.rules.evidence import Evidence
from wardwright.rules.judge import rule_findings

EU, US, UK = Profile.EU_GRADE_2, Profile.US_HOME, Profile.UK_CONFIRMED


def outcomes(profile: Profile, **change: object) -> dict[str, Outcome]:
    base = scheme(profile)
    proof = programme_proof(base)
    programme: PanelProgramme = replace(proof.programme, **change)  # type: ignore[arg-type]
    run = ProgrammeProof(programme, proof.names, verify(programme) if change else proof.answers, 0.0)
    return {f.rule: f.outcome for f in rule_findings(Evidence(base, behaviour=run))}


@pytest.mark.parametrize(
    ("profile", "row", "change"),
    [
        # EN 50131-1:2006 with A1:2009, clause 8.3.5 table 4: what prevents setting in grade 2
        (EU, "EU-SET-01", {"prevent_set": frozenset({"fault"})}),
        (EU, "EU-SET-05", {"prevent_set": frozenset({"active"})}),
        (EU, "EU-SET-06", {"prevent_set": frozenset({"active"})}),
        (EU, "EU-SET-07", {"prevent_set": frozenset({"active"})}),
        (EU, "EU-SET-08", {"prevent_set": frozenset({"active"})}),
        (EU, "EU-SET-09", {"prevent_set": frozenset({"active"})}),
        (EU, "EU-SET-10", {"prevent_set": frozenset({"active"})}),
        (EU, "EU-SET-11", {"prevent_set": frozenset({"active"})}),
        (EU, "EU-SET-12", {"prevent_set": frozenset({"active"})}),
        (EU, "EU-INT-05", {"prevent_set": frozenset({"active"})}),
        # CLC/TS 50131-7:2010: a detector off the exit route stops the setting; here it alarms instead
        (EU, "EU-ENT-07", {"off_route_stops_setting": False}),
        # BS 8243, DD 243 clauses 6.4.3 and 6.4.4: nothing confirmed after entry
        (UK, "UK-CNF-12", {"confirmation": True, "entry_stops_confirmation": False}),
        # EN 50131-1 cl. 8.3.8.2, from memory: 30 s of local warning before anybody is told
        (EU, "EU-ENT-03", {"entry_warning_ms": 20_000, "abort_ms": 10_000}),
        # EN 50131-1:2006 with A1:2009, Table 7 note 5
        (EU, "EU-PRC-04", {"bell_while_unset": True}),
        # EN 50131-6, from memory
        (EU, "EU-PSU-01", {"mains_report_ms": 3_700_000}),
        # BS 8243:2010 cl. 6.3: setting is completed by a positive act, not by time
        (UK, "UK-CNF-09", {"two_stage_setting": False}),
        (UK, "UK-CNF-10", {"two_stage_setting": False}),
        # ANSI/SIA CP-01, from memory
        (US, "US-CP-03", {"exit_restart": False}),
        (US, "US-CP-10", {"abort_ms": 50_000}),
        (US, "US-CP-12", {"cancel_ms": 200_000}),
        (US, "US-CP-04", {"exit_error": False}),
        (US, "US-CP-06", {"unvacated_to_inside": False}),
        (US, "US-CP-13", {"cancel_ms": 1000}),
        (US, "US-CP-22", {"power_return_ignore_ms": 5000}),
    ],
)
def test_the_row_tells_a_right_panel_from_a_wrong_one(profile: Profile, row: str, change: dict[str, object]) -> None:
    right = {"confirmation": True} if profile is UK else {}
    assert outcomes(profile, **right)[row] is Outcome.MET
    assert outcomes(profile, **change)[row] is Outcome.NOT_MET


def test_without_a_run_nothing_is_decided() -> None:
    found = {f.rule: f.outcome for f in rule_findings(Evidence(scheme(EU)))}
    assert found["EU-ENT-02"] is Outcome.NOT_DECIDED


def test_what_is_optional_in_a_grade_does_not_apply() -> None:
    assert outcomes(Profile.EU_GRADE_1)["EU-SET-08"] is Outcome.DOES_NOT_APPLY
    assert outcomes(Profile.EU_GRADE_3)["EU-SET-03"] is Outcome.MET
    assert outcomes(EU)["EU-SET-03"] is Outcome.DOES_NOT_APPLY
