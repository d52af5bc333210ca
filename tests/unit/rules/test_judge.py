from dataclasses import replace

import pytest
from tests.house import design, house, scheme

from wardwright.analyses.power import PowerAnalysis, Standby
from wardwright.analyses.timing import ExitWalk, TimingAnalysis
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.devices import Device
from wardwright.design.programme import Timers, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.errors import InputError, UnknownReferenceError
from wardwright.findings import Finding, Outcome, Weight
from wardwright.rules.confirmations import Confirmation, stale, weight_of
from wardwright.rules.evidence import Evidence
from wardwright.rules.judge import rule_findings
from wardwright.rules.register import CLAUSES, row, rows


def evidence(profile=Profile.EU_GRADE_2, premises=None, power=None, timing=None, own="", **changes):
    whole = scheme(profile)
    if own:
        whole = replace(whole, catalogue=load_catalogue("kind,figure,value,unit,source,note\n" + own))
    changed = replace(whole, premises=premises or whole.premises, design=design().model_copy(update=changes))
    return Evidence(changed, power=power, timing=timing)


def programme(**changes):
    return {"programme": design().programme.model_copy(update=changes)}


def device(key, **changes):
    return {"devices": tuple(d.model_copy(update=changes) if d.id == key else d for d in design().devices)}


def without(*keys):
    return {"devices": tuple(d for d in design().devices if d.id not in keys)}


def zone(key, **changes):
    zones = design().programme.zones
    return programme(zones=tuple(z.model_copy(update=changes) if z.id == key else z for z in zones))


def found(row_id, evidence, confirmations=()) -> list[Finding]:
    return [f for f in rule_findings(evidence, confirmations) if f.rule == row_id]


def outcomes(row_id, evidence):
    return {f.outcome for f in found(row_id, evidence)}


def supply(hours=20.0, interval=None, recharge=20.0):
    one = Standby("panel", 0.1, 0.8, 7.0, 6.0, 12.0, "EU-PWR-04", 900.0, hours, interval, recharge, "battery age")
    return PowerAnalysis((one,), ())


def walk(seconds=8.0, crossed=("pir-hall",)):
    return TimingAnalysis((ExitWalk("front", "keypad", 4.0, seconds, None, 30.0, 60.0, crossed, "slow walker"),))


MET, NOT_MET, OPEN, NONE = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.DOES_NOT_APPLY
US = Profile.US_HOME
SHOP = Profile.US_BUSINESS
UK = Profile.UK_CONFIRMED
G1, G3, G4 = Profile.EU_GRADE_1, Profile.EU_GRADE_3, Profile.EU_GRADE_4


@pytest.mark.parametrize(
    ("row_id", "good", "bad"),
    [
        ("EU-GRD-05", {}, {"profile": G3}),
        ("EU-GRD-07", {}, {"backups": ()}),
        ("EU-ENV-05", {}, {"own": "sounder-outer,environment_class,II,,x,\n"}),
        ("EU-ENT-01", {}, programme(timers=Timers(entry_s=60))),
        ("EU-ENT-06", {"timing": walk()}, {"timing": walk(crossed=("pir-living",))}),
        ("EU-ENT-08", {"timing": walk()}, {"timing": walk(), **zone("z4", response=ZoneResponse.ENTRY_EXIT)}),
        ("EU-PWR-04", {"power": supply(20.0)}, {"power": supply(6.0)}),
        ("EU-PWR-09", {"power": supply()}, {"power": supply(recharge=80.0)}),
        ("EU-NOT-01", {}, programme(timers=Timers(bell_s=60))),
        ("EU-NOT-02", {}, programme(timers=Timers(bell_s=1200))),
        ("EU-OPT-A", {}, {**without("outer-sounder", "inner-sounder"), **programme(paths=())}),
        ("EU-TMP-02", {}, {"own": "keypad,tamper_opening,no,,x,\n"}),
        ("EU-TMP-03", {}, {"own": "pir-wide,tamper_opening,no,,x,\n"}),
        ("EU-TMP-06", {}, {"own": "sounder-outer,tamper_removal,no,,x,\n"}),
        ("EU-USR-04", {}, {"own": "panel-8,code_digits,3,,x,\n"}),
        ("EU-LOG-01", {}, {"own": "panel-8,log_events,100,,x,\n"}),
        ("EU-PRC-01", {}, {"loops": (design().loops[0].model_copy(update={"response_s": 0.6}),)}),
        ("EU-WD-01", {}, {"own": "sounder-inner,level_db_1m,75,dB,x,\n"}),
        ("EU-WD-02", {}, {"own": "sounder-outer,level_db_1m,95,dB,x,\n"}),
        ("EU-WD-09", {}, {"own": "sounder-outer,self_powered,no,,x,\n"}),
        ("EU-PIR-18", {}, device("pir-hall", position=(-3.0, 4.0))),
        ("EU-CON-01", device("mc-front", settings={"gap_m": 0.004}), device("mc-front", settings={"gap_m": 0.03})),
        ("EU-CIE-01", {}, {"own": "panel-8,wrong_code_block_s,30,s,x,\n"}),
        ("EU-EXT-01", {}, without("mc-front")),
        ("EU-EXT-02", {}, without("mc-window")),
        ("EU-EXT-07", {}, without("pir-hall", "pir-living")),
        ("EU-IND-03", {}, zone("z3", device_ids=("pir-hall", "pir-living"))),
        ("EU-PSU-03", {}, {"own": "panel-8,battery_low_v,10,V,x,\n"}),
        (
            "UK-CNF-06",
            {"profile": UK, **programme(confirmation="sequential", timers=Timers(confirm_window_s=2400))},
            {"profile": UK, **programme(confirmation="sequential", timers=Timers(confirm_window_s=600))},
        ),
        ("UK-CNF-07", {"profile": UK}, {"profile": UK, **device("pir-hall", position=(9.0, 0.5))}),
        (
            "UK-CNF-08",
            {"profile": UK, **programme(confirmation="sequential")},
            {
                "profile": UK,
                **programme(
                    confirmation="sequential",
                    zones=zone("z3", device_ids=("pir-hall", "pir-living"))["programme"].zones,
                ),
            },
        ),
        ("US-INS-03", {"profile": US}, {"profile": US, **without("mc-window")}),
        ("US-INS-05", {"profile": US}, {"profile": US, **device("panel", position=(30.0, 4.0))}),
        ("US-UNT-04", {"profile": US, "power": supply(5.0)}, {"profile": US, "power": supply(3.0)}),
        (
            "US-UNT-07",
            {"profile": US},
            {"profile": US, **without("outer-sounder"), "own": "sounder-inner,level_db_1m,90,dB,x,\n"},
        ),
        ("US-UNT-08", {"profile": US}, {"profile": US, **programme(timers=Timers(exit_s=90))}),
        ("US-UNT-09", {"profile": US}, {"profile": US, **programme(timers=Timers(bell_s=120))}),
        ("US-CP-01", {"profile": US}, {"profile": US, **programme(timers=Timers(exit_s=30))}),
        ("US-CP-03", {"profile": US}, {"profile": US, **programme(timers=Timers(exit_restart=False))}),
        ("US-CP-07", {"profile": US}, {"profile": US, **programme(timers=Timers(entry_s=20))}),
        ("US-CP-09", {"profile": US}, {"profile": US, **programme(timers=Timers(entry_s=45))}),
        ("US-CP-10", {"profile": US}, {"profile": US, **programme(timers=Timers(abort_s=50))}),
        ("US-CP-12", {"profile": US}, {"profile": US, **programme(timers=Timers(cancel_s=60))}),
        ("US-731-07", {"profile": SHOP, "timing": walk(8.0)}, {"profile": SHOP, "timing": walk(20.0)}),
        (
            "US-731-09",
            {"profile": SHOP, "timing": walk()},
            {"profile": SHOP, "timing": walk(), **zone("z4", response=ZoneResponse.ENTRY_EXIT)},
        ),
        ("US-EXT-04", {"profile": SHOP}, {"profile": SHOP, **without("mc-window", "pir-living")}),
        ("US-EXT-05", {"profile": SHOP}, {"profile": SHOP, **without("mc-front")}),
        (
            "US-UNT-17",
            {"profile": SHOP},
            {"profile": SHOP, "loops": (design().loops[0].model_copy(update={"resistors": ()}),)},
        ),
        ("US-DET-05", {"profile": SHOP}, {"profile": SHOP, **without("pir-living")}),
        ("US-NEC-01", {"profile": SHOP}, {"profile": SHOP, "own": "panel-8,output_current_max_a,10,A,x,\n"}),
        ("MNT-01", {}, device("pir-hall", height_m=1.5)),
        ("MNT-05", device("mc-front", settings={"gap_m": 0.004}), device("mc-front", settings={"gap_m": 0.012})),
        ("MNT-07", {}, device("gb-living", position=(9.5, 7.8))),
        ("MNT-08", {}, device("keypad", height_m=1.7)),
        ("MNT-12", {}, device("keypad", position=(-2.0, 3.5))),
        ("MNT-13", {}, device("outer-sounder", storey_id="g", height_m=1.5)),
        ("MNT-15", {}, device("panel", height_m=0.4)),
        ("LAW-15", {}, programme(timers=Timers(bell_s=1000))),
    ],
)
def test_each_row_tells_good_from_bad(row_id, good, bad):
    assert NOT_MET not in outcomes(row_id, evidence(**good))
    assert MET in outcomes(row_id, evidence(**good))
    refused = [f for f in found(row_id, evidence(**bad)) if f.outcome is NOT_MET]
    assert refused
    assert all(f.fix or row_id == "EU-PSU-03" for f in refused)


def test_mandatory_only_from_its_grade():
    assert outcomes("EU-FLT-01", evidence()) == {NONE}
    assert outcomes("EU-FLT-01", evidence(G3)) == {NOT_MET}
    assert outcomes("EU-FLT-02", evidence(G3)) == {NONE}
    assert outcomes("EU-FLT-02", evidence(G4)) == {NOT_MET}
    assert outcomes("EU-CON-02", evidence(G3)) == {NOT_MET}
    assert outcomes("EU-EXT-02", evidence(G1)) == {NONE}


def test_grade_three_standby_is_halved_where_mains_faults_are_reported():
    reported = found("EU-PWR-07", evidence(G3, power=supply(40.0)))
    assert [f.limit for f in reported] == [30.0] and outcomes("EU-PWR-04", evidence(G3, power=supply(40.0))) == {NONE}
    silent = evidence(G3, power=supply(40.0), **programme(paths=()))
    assert [(f.limit, f.outcome) for f in found("EU-PWR-04", silent)] == [(60.0, NOT_MET)]


def test_spread_across_the_limit_is_not_decided():
    assert outcomes("EU-PWR-04", evidence(power=supply(13.0, (10.0, 16.0)))) == {OPEN}


def test_what_was_not_computed_is_not_decided():
    assert outcomes("EU-PWR-04", evidence()) == {OPEN}
    assert outcomes("EU-ENT-06", evidence()) == {OPEN}


def test_local_limit_in_the_job_weighs_in_full():
    near = house().surroundings.model_copy(update={"sounder_limit_s": 180.0})
    strict = house().model_copy(update={"surroundings": near})
    assert [(f.limit, f.weight, f.refutes) for f in found("LAW-15", evidence(premises=strict))] == [
        (180.0, Weight.REQUIRED, True)
    ]


def test_remembered_rows_refute_nothing_until_confirmed():
    weak = evidence(power=supply(6.0))
    assert [f.refutes for f in found("EU-PWR-04", weak)] == [False]
    confirmed = Confirmation.of("EU-PWR-04", edition="2006 with A3:2020", by="A. Fitter", when="2025-02-03")
    (finding,) = found("EU-PWR-04", weak, (confirmed,))
    assert finding.refutes
    assert "confirmed from 2006 with A3:2020 by A. Fitter on 2025-02-03" in finding.explanation


def test_confirmed_recommendation_stays_a_recommendation():
    confirmed = Confirmation.of("EU-EXT-02", edition="2010", by="A. Fitter", when="2025-02-03")
    assert weight_of(row("EU-EXT-02"), (confirmed,))[0] is Weight.RECOMMENDED


def test_confirmation_of_nothing_is_refused():
    with pytest.raises(UnknownReferenceError, match="no row of any standard"):
        Confirmation.of("EU-XXX-99", edition="1", by="me", when="2025-01-01")
    with pytest.raises(InputError, match="name the edition"):
        Confirmation.of("EU-PWR-04", edition=" ", by="me", when="2025-01-01")
    with pytest.raises(InputError, match="is no date"):
        Confirmation.of("EU-PWR-04", edition="2006", by="me", when="yesterday")
    with pytest.raises(InputError, match="nothing to confirm"):
        Confirmation.of("EU-GRD-01", edition="2006", by="me", when="2025-01-01")


def test_confirmation_of_a_row_that_went_is_told():
    old = Confirmation(row="EU-OLD-01", edition="1", by="me", when="2020-01-01")
    assert stale((old,)) == (old,)


def test_only_words_that_were_seen_are_required():
    for profile in Profile:
        for finding in rule_findings(evidence(profile, power=supply(), timing=walk())):
            if finding.weight is Weight.REQUIRED:
                assert row(finding.rule).known == "seen"
                assert row(finding.rule).nature == "requirement"


def test_every_finding_prints_row_citation_and_status():
    for finding in rule_findings(evidence()):
        assert f"[{finding.rule}: " in finding.explanation
        assert finding.plain


def test_one_identity_for_each_finding():
    for profile in Profile:
        found = rule_findings(evidence(profile, power=supply(), timing=walk()))
        assert len({f.identity for f in found}) == len(found)


def test_rows_of_another_country_are_not_judged():
    assert not [f for f in rule_findings(evidence(US)) if f.rule.startswith(("EU-", "UK-"))]
    assert not [f for f in rule_findings(evidence()) if f.rule.startswith(("US-", "UK-"))]


def test_every_checked_row_is_judged_under_some_profile():
    judged = {f.rule for profile in Profile for f in rule_findings(evidence(profile))}
    assert set(CLAUSES) - judged == set()
    assert judged <= set(rows())


def test_empty_design_breaks_nothing():
    whole = scheme()
    bare = Evidence(ProtectionScheme(whole.premises, Design(), whole.catalogue, Brief()))
    assert outcomes("EU-GRD-07", bare) == {NOT_MET}


def test_unknown_kind_of_device_is_left_to_the_check():
    strange = Device(id="odd", kind="no-such", storey_id="g", position=(1, 1))
    assert rule_findings(evidence(devices=(*design().devices, strange)))
