"""Programmes that are wrong on purpose: each is caught by a finding that names it."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from tests.house import design, scheme

from wardwright.analyses.programme_proof import programme_proof
from wardwright.analyses.timing import timing
from wardwright.design.brief import Profile
from wardwright.design.check import check_design
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Output, Programme, Right, Zone, ZoneResponse
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome
from wardwright.rules.aims.living import living_findings
from wardwright.rules.aims.programme import programme_findings
from wardwright.rules.evidence import Evidence
from wardwright.rules.judge import rule_findings

R = ZoneResponse
EU, UK, US = Profile.EU_GRADE_2, Profile.UK_CONFIRMED, Profile.US_HOME
EVERYBODY = Right(id="r1", holder="household", area_ids=("house",), may=("set", "unset", "bypass"))


def good(profile: Profile = EU, **brief: Any) -> ProtectionScheme:
    """The small house with its inner door shut, a hold-up button and a smoke alarm, and rights given."""
    base = scheme(profile, **brief)
    inner_shut = tuple(
        o.model_copy(update={"usually": "shut"}) if o.id == "inner" else o for o in base.premises.openings
    )
    extra = (
        Device(id="button", kind="hold-up", storey_id="u", position=(5, 6), height_m=1.0),
        Device(id="smoke", kind="smoke", storey_id="u", position=(4, 4), height_m=2.5),
    )
    zones = (
        *design().programme.zones,
        Zone(id="z6", number=6, name="Bed button", area_ids=("house",), response=R.HOLD_UP, device_ids=("button",),
             silent=True, may_bypass=False),
        Zone(id="z7", number=7, name="Smoke", area_ids=("house",), response=R.FIRE, device_ids=("smoke",),
             may_bypass=False),
    )  # fmt: skip
    programme = base.design.programme.model_copy(update={"zones": zones, "rights": (EVERYBODY,)})
    whole = base.design.model_copy(update={"devices": (*base.design.devices, *extra), "programme": programme})
    return replace(base, premises=base.premises.model_copy(update={"openings": inner_shut}), design=whole)


def told(base: ProtectionScheme, **change: Any) -> ProtectionScheme:
    programme = base.design.programme.model_copy(update=change)
    return replace(base, design=base.design.model_copy(update={"programme": programme}))


def zone(key: str, profile: Profile = EU, **change: Any) -> ProtectionScheme:
    base = good(profile)
    zones = tuple(z.model_copy(update=change) if z.id == key else z for z in base.design.programme.zones)
    return told(base, zones=zones)


def timers(profile: Profile = EU, **change: Any) -> ProtectionScheme:
    base = good(profile)
    return told(base, timers=base.design.programme.timers.model_copy(update=change))


def without_device_zone() -> ProtectionScheme:
    base = good()
    return told(base, zones=tuple(z for z in base.design.programme.zones if z.id != "z4"))


def two_final_exits() -> ProtectionScheme:
    base = good()
    openings = tuple(
        o.model_copy(update={"final_exit": True}) if o.id == "window" else o for o in base.premises.openings
    )
    both = told(base, entry_path_keypad_ids=("keypad", "keypad-2"))
    return replace(both, premises=base.premises.model_copy(update={"openings": openings}))


def two_areas(key: str) -> ProtectionScheme:
    base = zone(key, area_ids=("house", "garage"))
    return told(base, areas=(Area(id="house", name="House"), Area(id="garage", name="Garage")))


def hall_in_another_area() -> ProtectionScheme:
    base = zone("z3", area_ids=("upstairs",))
    return told(base, areas=(Area(id="house", name="House"), Area(id="upstairs", name="Upstairs")))


def findings(wrong: ProtectionScheme) -> list[Finding]:
    walks = timing(wrong)
    proof = programme_proof(wrong, walks)
    return [
        *programme_findings(wrong, proof),
        *living_findings(wrong, walks),
        *rule_findings(Evidence(wrong, timing=walks, behaviour=proof)),
    ]


WRONG: dict[str, tuple[Callable[[], ProtectionScheme], str, str]] = {
    "entry time on a window": (lambda: zone("z2", response=R.ENTRY_EXIT), "panel.entry-by-final-door", "z2"),
    "entry time on a glass-break detector": (
        lambda: zone("z5", response=R.ENTRY_EXIT), "panel.entry-by-final-door", "z5"),
    "entry time in the living room": (lambda: zone("z4", response=R.ENTRY_EXIT), "panel.entry-by-final-door", "z4"),
    "a motion detector as a trouble input": (lambda: zone("z3", response=R.TROUBLE), "panel.zone-answered", "z3"),
    "a motion detector as a technical input": (lambda: zone("z4", response=R.TECHNICAL), "panel.zone-answered", "z4"),
    "a window as a fire input": (lambda: zone("z2", response=R.FIRE), "panel.zone-answered", "z2"),
    "a window left out at night": (
        lambda: zone("z2", set_with_people_inside=False), "panel.way-in-answered-inside", "z2"),
    "glass left out at night": (lambda: zone("z5", set_with_people_inside=False), "panel.way-in-answered-inside", "z5"),
    "the front door left out at night": (
        lambda: zone("z1", set_with_people_inside=False), "panel.way-in-answered-inside", "z1"),
    "no bell": (lambda: timers(bell_s=0), "panel.alarm-audible", ""),
    "a bell of twenty minutes": (lambda: timers(bell_s=1200), "panel.bell-stops", ""),
    "an inner sounder of twenty minutes": (lambda: timers(bell_s=1200), "panel.inner-stops", ""),
    "a bell of half a minute": (lambda: timers(bell_s=30), "EU-NOT-01", ""),
    "no reporting path": (lambda: told(good(), paths=()), "panel.alarm-reported", ""),
    "a call for help without a path": (lambda: told(good(), paths=()), "panel.hold-up-told", ""),
    "a window that alarms by day": (lambda: zone("z2", response=R.DAY_24H), "panel.quiet-by-day", "z2"),
    "a hall that alarms by day": (lambda: zone("z3", response=R.DAY_24H), "panel.quiet-by-day", "z3"),
    "a front door that alarms by day": (lambda: zone("z1", response=R.DAY_24H), "panel.quiet-by-day", "z1"),
    "a window as a hold-up": (lambda: zone("z2", response=R.HOLD_UP), "panel.quiet-by-day", "z2"),
    "a motion detector as a tamper input": (lambda: zone("z4", response=R.TAMPER), "panel.quiet-by-day", "z4"),
    "swinger at one with a single motion detector": (
        lambda: zone("z4", swinger_count=1), "panel.answers-again", "z4"),
    "swinger at one throughout": (lambda: timers(swinger_count=1), "panel.answers-again", ""),
    "the final door as perimeter": (lambda: zone("z1", response=R.PERIMETER), "panel.coming-home", "z1"),
    "the final door as interior": (lambda: zone("z1", response=R.INTERIOR), "panel.coming-home", "z1"),
    "the hall as interior": (lambda: zone("z3", response=R.INTERIOR), "panel.coming-home", "z3"),
    "the hall as perimeter": (lambda: zone("z3", response=R.PERIMETER), "panel.leaving", "z3"),
    "the hall in another area": (hall_in_another_area, "panel.coming-home", "z3"),
    "no entry time": (lambda: timers(entry_s=0), "panel.coming-home", "z1"),
    "entry time too long": (lambda: timers(entry_s=60), "EU-ENT-01", ""),
    "no exit time": (lambda: timers(exit_s=0), "living.exit-time", ""),
    "exit time too short for the profile": (lambda: timers(US, exit_s=20), "US-CP-01", ""),
    "entry time too short for the profile": (lambda: timers(US, entry_s=12), "US-CP-07", ""),
    "abort window too short": (lambda: timers(US, abort_s=5), "US-CP-10", ""),
    "entry time and abort window too long together": (lambda: timers(US, entry_s=45), "US-CP-09", ""),
    "cancel window too short": (lambda: timers(US, cancel_s=60), "US-CP-12", ""),
    "no exit restart": (lambda: timers(US, exit_restart=False), "US-CP-03", ""),
    "confirmation window too short": (
        lambda: told(timers(UK, confirm_window_s=600), confirmation="sequential"), "UK-CNF-06", ""),
    "a window in two areas": (lambda: two_areas("z2"), "panel.zone-in-two-areas", "z2"),
    "two final exits on different keypads": (two_final_exits, "panel.final-exits-on-two-keypads", "window"),
    "a hold-up button as an interior zone": (lambda: zone("z6", response=R.INTERIOR), "panel.hold-up-told", "z6"),
    "a smoke alarm as a trouble input": (lambda: zone("z7", response=R.TROUBLE), "panel.fire-told", "z7"),
    "a window that waits for a room left out at night": (
        lambda: zone("z2", cross_zone_id="z4"), "panel.cross-zone-alarms", "z2"),
    "a detector on no zone": (without_device_zone, "panel.detector-on-no-zone", "pir-living"),
    "nobody may unset": (
        lambda: told(good(), rights=(EVERYBODY.model_copy(update={"may": ("set",)}),)),
        "panel.somebody-may-unset", "house"),
    "nothing sounds and nobody is told": (
        lambda: told(good(), paths=(), outputs=(Output(device_id="inner-sounder", on=("fire",)),)),
        "panel.alarm-has-an-output", ""),
    "an empty programme": (lambda: replace(good(), design=good().design.model_copy(
        update={"programme": Programme()})), "panel.programme", ""),
}  # fmt: skip


def test_there_are_enough_of_them() -> None:
    assert len(WRONG) >= 30


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_programme_is_caught_by_a_finding_that_names_it(name: str) -> None:
    make, rule, about = WRONG[name]
    wrong = make()
    caught = [f for f in findings(wrong) if f.rule == rule and f.outcome is Outcome.NOT_MET]
    assert caught, f"{rule} does not catch it"
    assert not about or any(about in f.about for f in caught), [f.about for f in caught]
    assert all(len(f.explanation) > 20 for f in caught)


@pytest.mark.parametrize("profile", list(Profile))
def test_the_programme_they_are_made_from_is_right(profile: Profile) -> None:
    base = good(profile)
    kept = findings(base)
    wrong = [f for f in kept if f.rule.startswith(("panel.", "living.")) and f.outcome is Outcome.NOT_MET]
    assert not wrong, [(f.rule, f.about, f.explanation) for f in wrong]


def test_an_unknown_area_is_a_problem_of_the_design() -> None:
    wrong = zone("z2", area_ids=("nowhere",))
    assert any(p.where == "z2" and "nowhere" in p.what for p in check_design(wrong))


def test_the_client_is_not_told_how_to_get_past_it() -> None:
    for make, rule, _ in WRONG.values():
        for finding in findings(make()):
            if finding.rule == rule and rule.startswith("panel."):
                assert "z2" not in finding.plain
                assert "window" not in finding.plain.lower()
