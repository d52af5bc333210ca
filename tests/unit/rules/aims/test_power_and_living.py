"""Findings on supply, loops and living: outcome, weight and words."""

import dataclasses

import pytest
from tests.house import design, house, scheme

from wardwright.analyses.loops import loops
from wardwright.analyses.power import power
from wardwright.analyses.timing import timing
from wardwright.design.brief import Profile, Reading
from wardwright.design.devices import Backup, Feed, Loop, Resistor, Scheme
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.premises.openings import Vent
from wardwright.rules.aims.living import living_findings
from wardwright.rules.aims.loops import loop_findings
from wardwright.rules.aims.power import power_findings


def findings(whole: ProtectionScheme) -> tuple[Finding, ...]:
    return (
        *power_findings(whole, power(whole)),
        *loop_findings(whole, loops(whole)),
        *living_findings(whole, timing(whole)),
    )


def changed(readings: tuple[Reading, ...] = (), whole: ProtectionScheme | None = None, **update) -> ProtectionScheme:
    whole = whole or scheme()
    return dataclasses.replace(whole, design=whole.design.model_copy(update=update), readings=readings)


def programme(**update):
    return design().programme.model_copy(update=update)


def by_rule(found: tuple[Finding, ...], rule: str) -> list[Finding]:
    return [f for f in found if f.rule == rule]


@pytest.mark.parametrize("profile", list(Profile))
def test_every_finding_is_whole(profile) -> None:
    found = findings(scheme(profile))
    assert {f.question for f in found} == {Question.POWER, Question.LIVING}
    for f in found:
        assert f.explanation.endswith(".") and f.plain.endswith(".") and f.citation, f.rule
        assert f.outcome is not Outcome.NOT_MET or f.fix, f.rule
        assert f.margin is None or (f.margin >= 0.0) == (f.outcome is Outcome.MET) or f.interval, f.rule
    assert len({f.identity for f in found}) == len(found)


def test_a_remembered_demand_refutes_nothing_and_a_promise_does() -> None:
    small = (Backup(at="panel", kind="battery-2ah"),)
    remembered = by_rule(findings(changed(backups=small)), "power.standby")[0]
    assert remembered.outcome is Outcome.NOT_MET and remembered.weight is Weight.REMEMBERED and not remembered.refutes
    promised = by_rule(findings(changed(whole=scheme(standby_h=12), backups=small)), "power.standby")[0]
    assert promised.refutes


def test_between_worst_and_best_case_is_not_decided() -> None:
    lasts = power(scheme()).standby[0]
    assert lasts.interval_h is not None
    between = sum(lasts.interval_h) / 2
    found = by_rule(findings(scheme(standby_h=between)), "power.standby")[0]
    assert found.outcome is Outcome.NOT_DECIDED and found.blocks


def test_a_short_supply_refutes() -> None:
    feed = Feed(id="f", from_id="panel", to_id="keypad", length_m=120, conductor_area_m2=0.22e-6)
    others = tuple(f for f in design().feeds if f.to_id != "keypad")
    found = by_rule(findings(changed(feeds=(feed, *others))), "power.voltage")
    low = next(f for f in found if "keypad" in f.about)
    assert low.refutes and low.margin < 0.0


def test_a_circle_is_a_finding() -> None:
    feeds = (
        Feed(id="a", from_id="panel", to_id="keypad"),
        Feed(id="b", from_id="keypad", to_id="pir-hall"),
        Feed(id="c", from_id="pir-hall", to_id="keypad"),
    )
    assert any(f.refutes and "circle" in f.explanation for f in by_rule(findings(changed(feeds=feeds)), "power.fed"))


def test_no_panel_at_all_is_not_a_success() -> None:
    found = by_rule(findings(changed(devices=(), loops=(), feeds=(), backups=())), "power.fed")
    assert [f.outcome for f in found] == [Outcome.NOT_MET]


def test_a_resistor_in_the_panel_refutes() -> None:
    loop = Loop(
        id="l-front",
        at="panel",
        scheme=Scheme.SINGLE,
        contacts=("mc-front",),
        resistors=(Resistor(role="end of line", ohm=5600, at="panel"),),
    )
    rest = tuple(x for x in design().loops if x.id != "l-front")
    found = by_rule(findings(changed(loops=(loop, *rest))), "loops.resistor-in-the-panel")
    assert [f.refutes for f in found] == [True]
    assert "reads as normal" in found[0].explanation and "panel" not in found[0].plain


def test_contacts_that_share_a_zone_with_a_vented_window() -> None:
    window = house().opening("window")
    leaf = window.leaves[0].model_copy(update={"vent": Vent(gap_m=0.1, wanted_when_set=True)})
    openings = tuple(o.model_copy(update={"leaves": (leaf,)}) if o.id == "window" else o for o in house().openings)
    premises = house().model_copy(update={"openings": openings})
    each = tuple(Resistor(role="alarm", ohm=6800, at=c) for c in ("mc-front", "mc-window"))
    both = Loop(
        id="l-front",
        at="panel",
        scheme=Scheme.DOUBLE,
        contacts=("mc-front", "mc-window"),
        resistors=(Resistor(role="end of line", ohm=2200, at="mc-window"), *each),
    )
    rest = tuple(x for x in design().loops if x.id not in ("l-front", "l-window"))
    zones = tuple(z for z in design().programme.zones if z.loop_id != "l-window")
    whole = changed(loops=(both, *rest), programme=programme(zones=zones))
    whole = dataclasses.replace(whole, premises=premises)
    found = findings(whole)
    assert by_rule(found, "loops.contacts-told-apart")[0].outcome is Outcome.NOT_MET
    assert by_rule(found, "loops.vented-window-alone")[0].refutes


def test_zones_without_devices_and_loops_without_zones() -> None:
    zones = design().programme.zones
    empty = zones[0].model_copy(update={"id": "z9", "number": 9, "loop_id": None, "device_ids": ()})
    found = findings(changed(programme=programme(zones=(empty, *zones[1:]))))
    assert by_rule(found, "loops.zone-has-device")[0].about == ("z9",)
    assert by_rule(found, "loops.on-a-zone")[0].about[0] == "l-front"


def test_a_detector_on_no_loop() -> None:
    found = findings(changed(loops=design().loops[1:]))
    assert by_rule(found, "loops.device-on-a-loop")[0].about == ("mc-front",)


def test_entry_time_against_the_walk() -> None:
    timers = design().programme.timers.model_copy(update={"entry_s": 9.0})
    found = findings(changed(programme=programme(timers=timers)))
    assert by_rule(found, "living.entry-time")[0].refutes


def test_a_motion_detector_in_a_bedroom_watched_at_night() -> None:
    devices = tuple(
        d.model_copy(update={"storey_id": "u", "position": (5.0, 7.0)}) if d.id == "pir-hall" else d
        for d in design().devices
    )
    zones = tuple(
        z.model_copy(update={"set_with_people_inside": True}) if z.id == "z3" else z for z in design().programme.zones
    )
    found = by_rule(findings(changed(devices=devices, programme=programme(zones=zones))), "living.sleep-with-it-set")
    assert found[0].refutes and found[0].about == ("pir-hall",)


def test_a_keypad_too_high_departs_from_practice() -> None:
    devices = tuple(d.model_copy(update={"height_m": 1.9}) if d.id == "keypad" else d for d in design().devices)
    found = by_rule(findings(changed(devices=devices)), "living.keypad-height")[0]
    assert found.outcome is Outcome.NOT_MET and found.weight is Weight.RECOMMENDED


def test_an_impossible_reading_blocks() -> None:
    taken = Reading(
        id="r1", quantity="current", at="panel", value=2.0, unit="A", date="2030-01-01", instrument="meter 1"
    )
    found = by_rule(findings(changed((taken,))), "site.reading-explained")
    assert [f.blocks for f in found] == [True]


def test_nothing_the_client_reads_names_a_device_or_a_weakness() -> None:
    for profile in Profile:
        for f in findings(scheme(profile)):
            assert not any(d.id in f.plain for d in design().devices if d.id not in ("keypad", "panel")), f.plain
            places = [o.name for o in house().openings] + [r.name for r in house().rooms]
            assert not any(place.lower() in f.plain.lower() for place in places), f.plain
            assert not any(word in f.plain.lower() for word in ("resistor", "magnet", "bypass")), f.plain
