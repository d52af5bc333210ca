"""Walk tests, cable lengths and battery voltages beside their predictions; what cannot be true is told."""

import dataclasses

import pytest
from tests.house import design, scheme

from wardwright.analyses.cables import cable_plan
from wardwright.analyses.motion_sensor import BLIND_DB, motion_sensor
from wardwright.analyses.power import power
from wardwright.analyses.site_readings import site_readings
from wardwright.design.brief import Reading
from wardwright.design.devices import Backup, Cable, Device, Feed
from wardwright.design.lengths import unmeasured_length
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.findings import Outcome, Question, Weight
from wardwright.rules.aims.readings import site_reading_findings

CABLE = Cable(id="c1", kind="cable-4x022", from_id="panel", to_id="keypad")


def taken(quantity: str, at: str, value: float, unit: str, date: str = "2030-05-01", **more) -> Reading:
    return Reading(
        id=f"r-{quantity.replace(' ', '-')}-{date}",
        quantity=quantity,
        at=at,
        value=value,
        unit=unit,
        date=date,
        instrument="meter 1",
        **more,
    )


def read(*readings: Reading, **update) -> ProtectionScheme:
    whole = scheme()
    return dataclasses.replace(whole, design=whole.design.model_copy(update=update), readings=readings)


def device(whole: ProtectionScheme, key: str) -> Device:
    return whole.design.device(key)


def test_a_walk_test_replaces_the_prediction_and_shows_the_difference() -> None:
    whole = read(taken("walk test range", "pir-hall", 10.0, "m"))
    (told,) = site_readings(whole)
    assert told.explained and told.predicted is not None
    assert told.difference == pytest.approx(10.0 - told.predicted)
    assert told.low < told.predicted < told.high
    assert motion_sensor(whole, device(whole, "pir-hall")).in_hand_from == "walk test"


def test_the_newest_walk_test_counts_in_its_own_unit() -> None:
    feet = taken("walk test range", "pir-hall", 30.0, "ft", "2030-06-01")
    older = taken("walk test range", "pir-hall", 4.0, "m", "2030-05-01")
    both, alone = read(feet, older), read(taken("walk test range", "pir-hall", 9.144, "m"))
    found = [motion_sensor(s, device(s, "pir-hall")).in_hand_db for s in (both, alone)]
    assert found[0] == pytest.approx(found[1])
    assert site_readings(both)[0].measured == pytest.approx(9.144)


@pytest.mark.parametrize("metres", [0.0, 1.5, 39.0])
def test_a_walk_test_nobody_can_explain(metres) -> None:
    whole = read(taken("walk test range", "pir-hall", metres, "m"))
    assert not site_readings(whole)[0].explained
    if metres == 0.0:
        assert motion_sensor(whole, device(whole, "pir-hall")).in_hand_db == BLIND_DB


def test_a_measured_cable_has_that_length_everywhere() -> None:
    feeds = (Feed(id="f", from_id="panel", to_id="keypad", cable_id="c1"),)
    whole = read(taken("cable length", "c1", 25.0, "m"), cables=(CABLE,), feeds=feeds)
    (told,) = site_readings(whole)
    assert told.explained
    panel, keypad = device(whole, "panel"), device(whole, "keypad")
    assert told.predicted == pytest.approx(unmeasured_length(panel, keypad, whole.premises).metres)
    (laid,) = [r.run.length for r in cable_plan(whole).runs if r.run.cable_id == "c1"]
    assert (laid.metres, laid.how) == (25.0, "measured")
    longer = read(taken("cable length", "c1", 50.0, "m"), cables=(CABLE,), feeds=feeds)
    drops = [next(v.drop_v for v in power(s).voltages if v.device_id == "keypad") for s in (whole, longer)]
    assert drops[1] > 1.5 * drops[0]


@pytest.mark.parametrize("metres", [3.0, 400.0])
def test_a_cable_shorter_than_the_straight_line_or_far_too_long_is_told(metres) -> None:
    (told,) = site_readings(read(taken("cable length", "c1", metres, "m"), cables=(CABLE,)))
    assert not told.explained


def test_a_battery_on_charge_shows_what_the_charger_gives() -> None:
    backups = (Backup(at="panel", kind="battery-7ah"),)
    good = read(taken("battery voltage", "panel", 13.7, "V"), backups=backups)
    flat = read(taken("battery voltage", "panel", 12.1, "V"), backups=backups)
    assert [site_readings(s)[0].explained for s in (good, flat)] == [True, False]
    floats = [power(s).voltages[0].float_v for s in (good, flat)]
    assert floats[0] - floats[1] == pytest.approx(1.6, abs=0.2)


def test_the_instrument_s_uncertainty_widens_what_is_explained() -> None:
    plain = site_readings(read(taken("cable length", "c1", 7.0, "m"), cables=(CABLE,)))[0]
    vague = site_readings(read(taken("cable length", "c1", 7.0, "m", uncertainty=2.0), cables=(CABLE,)))[0]
    assert vague.low == pytest.approx(plain.low - 2.0) and vague.high == pytest.approx(plain.high + 2.0)


def test_a_wrong_unit_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="unit"):
        site_readings(read(taken("walk test range", "pir-hall", 10.0, "V")))


def test_findings_name_the_place_and_ask_for_another_measurement() -> None:
    whole = read(
        taken("walk test range", "pir-hall", 1.5, "m"),
        taken("battery voltage", "panel", 13.6, "V"),
        backups=design().backups or (Backup(at="panel", kind="battery-7ah"),),
    )
    walk, battery = site_reading_findings(site_readings(whole))
    assert (walk.question, battery.question) == (Question.ROUTE, Question.POWER)
    assert (walk.outcome, walk.weight) == (Outcome.NOT_DECIDED, Weight.REQUIRED)
    assert battery.outcome is Outcome.MET and "measure again" in walk.explanation
