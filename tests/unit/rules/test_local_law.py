"""Codes of towns, counties, states and countries speak where the job names the place, and only there."""

from dataclasses import replace

import pytest
from tests.house import design, scheme

from wardwright.design.brief import Profile
from wardwright.findings import Outcome, Weight
from wardwright.premises.life import Response
from wardwright.rules.evidence import Evidence
from wardwright.rules.judge import rule_findings

HOME = Profile.US_HOME


def judged(profile: Profile = HOME, *, bell_s: float = 700.0, monitored: bool = True, **here: object):
    whole = scheme(profile)
    site = whole.premises.surroundings.model_copy(update=here)
    programme = design().programme
    timers = programme.timers.model_copy(update={"bell_s": bell_s})
    changed = design().model_copy(update={"programme": programme.model_copy(update={"timers": timers})})
    found = rule_findings(
        Evidence(
            replace(
                whole,
                premises=whole.premises.model_copy(update={"surroundings": site}),
                design=changed,
                brief=whole.brief.model_copy(update={"monitored": monitored}),
            )
        )
    )
    return {f.rule: f for f in found}


def test_a_code_is_silent_where_its_place_is_not_named() -> None:
    found = judged()
    for row in ("LAW-10", "LAW-11", "LAW-12", "LAW-16", "LAW-18", "LAW-19"):
        assert found[row].outcome is Outcome.DOES_NOT_APPLY
    assert found["LAW-15"].outcome is Outcome.NOT_MET  # 700 s where nothing is known of the place


@pytest.mark.parametrize("written", ["Lexington KY", "lexington, ky", " Lexington   KY "])
def test_the_stricter_of_two_places_is_seen(written) -> None:
    found = judged(jurisdictions=(written, "Helena MT"))
    assert found["LAW-11"].outcome is Outcome.NOT_MET and found["LAW-11"].refutes  # the code's own words were read
    assert found["LAW-13"].outcome is Outcome.MET
    assert found["LAW-15"].outcome is Outcome.DOES_NOT_APPLY


def test_a_limit_asked_for_counts_beside_the_code() -> None:
    found = judged(jurisdictions=("Helena MT",), sounder_limit_s=300.0)
    assert found["LAW-13"].outcome is Outcome.MET
    assert found["LAW-15"].outcome is Outcome.NOT_MET and found["LAW-15"].refutes


def test_an_unknown_place_leaves_the_default() -> None:
    assert judged(jurisdictions=("Nowhere ZZ",))["LAW-15"].outcome is Outcome.NOT_MET


def test_response_without_a_time_is_not_decided() -> None:
    found = judged(jurisdictions=("Cleburne TX",))["LAW-16"]
    assert found.outcome is Outcome.NOT_DECIDED and "not noted" in found.explanation
    quick = judged(jurisdictions=("Cleburne TX",), response=Response(median_s=1200.0))["LAW-16"]
    assert quick.outcome is Outcome.MET
    vague = judged(jurisdictions=("Cleburne TX",), response=Response(median_s=3000.0))["LAW-16"]
    assert vague.outcome is Outcome.NOT_DECIDED


def test_florida_calls_twice() -> None:
    def said(**response: object) -> Outcome:
        return judged(jurisdictions=("Florida",), response=Response(**response))["LAW-10"].outcome

    assert said(policy="police on any alarm") is Outcome.NOT_MET
    assert said(policy="police on any alarm", verification="two calls") is Outcome.MET
    assert said(policy="keyholder") is Outcome.DOES_NOT_APPLY


def test_a_spanish_grade_one_only_sounds() -> None:
    def said(profile: Profile, *, monitored: bool) -> Outcome:
        return judged(profile, monitored=monitored, country="ES")["LAW-25"].outcome

    assert said(Profile.EU_GRADE_1, monitored=True) is Outcome.NOT_MET
    assert said(Profile.EU_GRADE_1, monitored=False) is Outcome.MET
    assert said(Profile.EU_GRADE_2, monitored=True) is Outcome.DOES_NOT_APPLY
    found = judged(Profile.EU_GRADE_1, country="ES")["LAW-25"]
    assert found.weight is Weight.REMEMBERED and not found.refutes  # read in a summary only


def test_each_supply_has_a_battery() -> None:
    def said(backups) -> Outcome:
        whole = replace(scheme(HOME), design=design().model_copy(update={"backups": backups}))
        return next(f.outcome for f in rule_findings(Evidence(whole)) if f.rule == "US-731-06")

    assert said(design().backups) is Outcome.MET
    assert said(()) is Outcome.NOT_MET


def test_a_detector_outdoors_is_verified_first() -> None:
    def said(verification: str) -> Outcome:
        devices = tuple(
            d.model_copy(update={"position": (-6.0, 4.0), "room_id": None}) if d.id == "pir-hall" else d
            for d in design().devices
        )
        whole = replace(scheme(HOME), design=design().model_copy(update={"devices": devices}))
        site = whole.premises.surroundings.model_copy(update={"response": Response(verification=verification)})
        whole = replace(whole, premises=whole.premises.model_copy(update={"surroundings": site}))
        return next(f.outcome for f in rule_findings(Evidence(whole)) if f.rule == "US-731-11")

    assert said("none") is Outcome.NOT_MET
    assert said("two calls") is Outcome.NOT_MET  # a call to the keyholder verifies nothing outdoors
    assert said("audio or video") is Outcome.MET


def test_plain_contacts_where_much_is_at_stake() -> None:
    whole = scheme(HOME)
    target = whole.premises.targets[0].model_copy(update={"room_id": "hall", "position": (1.0, 1.0)})

    def said(kind: str) -> set[Outcome]:
        devices = tuple(d.model_copy(update={"kind": kind}) if d.id == "mc-front" else d for d in design().devices)
        here = replace(
            whole,
            design=design().model_copy(update={"devices": devices}),
            premises=whole.premises.model_copy(update={"targets": (target,)}),
        )
        return {f.outcome for f in rule_findings(Evidence(here)) if f.rule == "US-DET-07"}

    assert said("contact-surface") == {Outcome.NOT_MET}
    assert said("contact-balanced") == {Outcome.MET}


def test_radio_signals_arrive_in_time() -> None:
    devices = tuple(
        d.model_copy(update={"kind": "pir-wide-radio"}) if d.id == "pir-hall" else d for d in design().devices
    )
    whole = replace(scheme(Profile.EU_GRADE_2), design=design().model_copy(update={"devices": devices}))
    found = [f for f in rule_findings(Evidence(whole)) if f.rule == "EU-PRC-03"]
    assert {f.outcome for f in found} == {Outcome.MET}
    (radio,) = [f for f in found if f.about == ("pir-hall",)]
    assert radio.interval is not None and radio.interval[1] < 10.0 and "telegrams" in radio.assumption
