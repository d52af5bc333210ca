"""Loops seen for what they are: where resistors sit, how many contacts share one, what readings say."""

import dataclasses

import pytest
from tests.house import scheme

from wardwright.analyses.loops import LoopReport, loops
from wardwright.design.brief import Reading
from wardwright.design.devices import Cable, Keep, Loop, Resistor, Scheme
from wardwright.design.system import ProtectionScheme


def with_loop(loop: Loop, *, readings: tuple[Reading, ...] = (), cables: tuple[Cable, ...] = ()) -> ProtectionScheme:
    whole = scheme()
    return dataclasses.replace(
        whole, design=whole.design.model_copy(update={"loops": (loop,), "cables": cables}), readings=readings
    )


def report(scheme_: Scheme, contacts: tuple[str, ...], *resistors: Resistor, **rest) -> LoopReport:
    loop = Loop(id="l", at="panel", scheme=scheme_, contacts=contacts, resistors=resistors)
    return loops(with_loop(loop, **rest)).reports[0]


def end(ohm: float, at: str) -> Resistor:
    return Resistor(role="end of line", ohm=ohm, at=at)


def alarm(ohm: float, at: str) -> Resistor:
    return Resistor(role="alarm", ohm=ohm, at=at)


ONE = ("mc-front",)
THREE = ("mc-front", "mc-window", "pir-hall")


def names(found: LoopReport) -> list[str]:
    return [s.name for s in found.states]


def test_a_sound_double_loop_tells_four_states() -> None:
    found = report(Scheme.DOUBLE, ONE, end(2200, "mc-front"), alarm(6800, "mc-front"))
    assert names(found) == ["short", "normal", "alarm", "open"]
    assert found.tightest_gap > 0.25 and found.threshold_margin > 0.1
    assert not found.unseen and not found.merged and not found.faults


def test_resistors_in_the_panel_hide_a_short() -> None:
    found = report(Scheme.DOUBLE, ONE, end(2200, "panel"), alarm(6800, "panel"))
    assert names(found) == ["short or normal", "alarm or open"]
    assert found.unseen == ("a short of the cable between panel and mc-front",)
    assert {what for what, _ in found.faults} == {"resistor in the panel"}


def test_one_resistor_in_the_panel_is_enough_to_hide_it() -> None:
    found = report(Scheme.SINGLE, ONE, end(5600, "panel"))
    assert "short or normal" in names(found)
    assert found.faults[0][0] == "resistor in the panel"


def test_a_normally_open_contact_with_its_resistor_in_the_panel_hides_a_cut() -> None:
    whole = scheme()
    kinds = dict(whole.catalogue.kinds)
    kinds["contact-surface"] = kinds["contact-surface"].model_copy(update={"words": {"state_when_secure": "open"}})
    catalogue = whole.catalogue.model_copy(update={"kinds": kinds})
    loop = Loop(id="l", at="panel", scheme=Scheme.SINGLE, contacts=ONE, resistors=(end(5600, "panel"),))
    changed = dataclasses.replace(whole, catalogue=catalogue, design=whole.design.model_copy(update={"loops": (loop,)}))
    assert loops(changed).reports[0].unseen == ("a cut of the cable between panel and mc-front",)
    good = loop.model_copy(update={"resistors": (end(5600, "mc-front"),)})
    changed = dataclasses.replace(changed, design=whole.design.model_copy(update={"loops": (good,)}))
    found = loops(changed).reports[0]
    assert names(found) == ["short or alarm", "normal", "open"]
    assert not found.unseen


def test_a_resistor_before_the_end_hides_what_lies_beyond() -> None:
    found = report(Scheme.SINGLE, THREE, end(5600, "mc-window"))
    assert found.unseen == ("a short of the cable between mc-window and pir-hall",)
    assert found.faults[0][0] == "resistor before the end"


def test_a_missing_resistor_is_named() -> None:
    found = report(Scheme.SINGLE, ONE)
    assert found.faults[0][0] == "missing resistor"
    assert "short or normal" in names(found)


def test_three_contacts_open_together_reach_the_panels_open_threshold() -> None:
    each = [alarm(6800, c) for c in THREE]
    found = report(Scheme.DOUBLE, THREE, end(2200, "pir-hall"), *each)
    assert found.threshold_margin < 0.0
    assert "which of its 3 contacts has opened" in found.merged


def test_a_contact_without_its_resistor_reads_as_a_cut() -> None:
    found = report(Scheme.DOUBLE, THREE, end(2200, "pir-hall"), alarm(6800, "mc-front"))
    assert "alarm or open" in names(found)
    assert found.faults == (("contact without resistor", "no resistor across mc-window, pir-hall"),)


@pytest.mark.parametrize(("scheme_", "unseen"), [(Scheme.NC, "a short"), (Scheme.NO, "a cut")])
def test_bare_loops_do_not_tell_their_own_damage(scheme_, unseen) -> None:
    found = report(scheme_, ONE)
    assert found.unseen[0].startswith(unseen)


def test_a_normally_closed_contact_on_a_normally_open_loop_is_named() -> None:
    assert report(Scheme.NO, ONE).faults[0][0] == "contact state"


def test_best_values_are_as_good_as_any_sound_loop() -> None:
    found = report(Scheme.DOUBLE, ONE, end(4700, "mc-front"), alarm(4700, "mc-front"))
    assert found.best_gap > found.tightest_gap
    assert len(found.best_ohm) == 2


def test_an_unknown_cable_waits_for_a_measurement() -> None:
    cable = Cable(id="c", from_id="panel", to_id="mc-front", status=Keep.UNKNOWN)
    resistors = (end(2200, "mc-front"), alarm(6800, "mc-front"))
    loop = Loop(id="l", at="panel", scheme=Scheme.DOUBLE, contacts=ONE, resistors=resistors, cable_ids=("c",))
    found = loops(with_loop(loop, cables=(cable,))).reports[0]
    assert "measure the resistance of loop l at panel" in found.undecided
    taken = Reading(
        id="r", quantity="loop resistance", at="l", value=2.21, unit="kohm", date="2030-01-01", instrument="meter 1"
    )
    analysis = loops(with_loop(loop, cables=(cable,), readings=(taken,)))
    assert not analysis.reports[0].undecided and analysis.reports[0].measured
    assert analysis.compared[0].explained


def test_readings_replace_and_impossible_ones_are_told() -> None:
    resistors = (end(2200, "mc-front"), alarm(6800, "mc-front"))
    loop = Loop(id="l", at="panel", scheme=Scheme.DOUBLE, contacts=ONE, resistors=resistors)

    def taken(value: float) -> Reading:
        return Reading(
            id="r", quantity="loop resistance", at="l", value=value, unit="ohm", date="2030-01-01", instrument="meter 1"
        )

    good = loops(with_loop(loop, readings=(taken(2215),)))
    assert good.compared[0].explained and good.compared[0].difference is not None
    # 4.7 kΩ were fitted instead of 2.2 kΩ: no cable explains it.
    assert not loops(with_loop(loop, readings=(taken(4710),))).compared[0].explained


def test_damp_insulation_narrows_the_gaps() -> None:
    resistors = (end(2200, "mc-front"), alarm(6800, "mc-front"))
    loop = Loop(id="l", at="panel", scheme=Scheme.DOUBLE, contacts=ONE, resistors=resistors)
    damp = Reading(
        id="r", quantity="insulation", at="l", value=20, unit="kohm", date="2030-01-01", instrument="tester 1"
    )
    dry, wet = loops(with_loop(loop)).reports[0], loops(with_loop(loop, readings=(damp,))).reports[0]
    assert wet.tightest_gap < dry.tightest_gap
    assert wet.insulation_ohm == 20_000


def test_a_contact_that_is_not_fitted_is_not_decided() -> None:
    assert "not fitted" in report(Scheme.NC, ("ghost",)).undecided
