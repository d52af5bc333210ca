"""Supply of a small house: what is drawn, how long it lasts, what arrives, and what is wrong with it."""

import dataclasses

import pytest
from tests.house import design, scheme

from wardwright.analyses.power import power
from wardwright.design.brief import Profile, Reading
from wardwright.design.devices import Backup, Cable, Device, Feed, Keep
from wardwright.design.system import ProtectionScheme


def changed(whole: ProtectionScheme | None = None, *, readings: tuple[Reading, ...] = (), **update) -> ProtectionScheme:
    whole = whole or scheme()
    return dataclasses.replace(whole, design=whole.design.model_copy(update=update), readings=readings)


def reading(quantity: str, at: str, value: float, unit: str, date: str = "2030-05-01") -> Reading:
    return Reading(
        id=f"r-{quantity}-{date}", quantity=quantity, at=at, value=value, unit=unit, date=date, instrument="meter 1"
    )


def of(analysis, device_id: str):
    return next(v for v in analysis.voltages if v.device_id == device_id)


def test_standing_current_is_the_sum_of_what_is_fitted() -> None:
    result = power(scheme()).standby[0]
    catalogue = scheme().catalogue
    names = ("panel-8", "keypad", "pir-wide", "pir-wide", "glass-break", "sounder-inner", "sounder-outer")
    kinds = [catalogue.kind(n) for n in (*names, "communicator-dual")]
    through_loops = 5 * 5.0 / (4700.0 + 2200.0)
    expected = sum(k.get("standby_current_a") for k in kinds) + through_loops
    assert result.standby_current_a == pytest.approx(expected)
    assert result.alarm_current_a > result.standby_current_a


def test_demand_follows_the_profile() -> None:
    hours = {p: power(scheme(p)).standby[0].demand_h for p in Profile}
    assert hours[Profile.EU_GRADE_1] == hours[Profile.EU_GRADE_2] == 12
    # Grades 3 and 4 ask for 60 h, halved where mains faults are reported.
    assert hours[Profile.EU_GRADE_3] == hours[Profile.EU_GRADE_4] == 30
    assert power(scheme(Profile.EU_GRADE_3, monitored=False)).standby[0].demand_h == 60
    assert hours[Profile.US_HOME] == hours[Profile.US_BUSINESS] == 4
    promised = power(scheme(standby_h=20)).standby[0]
    assert promised.demand_h == 20
    assert promised.demand_citation == "the brief"


def test_prediction_lies_in_its_interval_and_old_batteries_last_less() -> None:
    new = power(scheme()).standby[0]
    old = power(changed(backups=(Backup(at="panel", kind="battery-7ah", age_years=4.0),))).standby[0]
    assert new.interval_h is not None and new.predicted_h is not None and old.predicted_h is not None
    assert new.interval_h[0] < old.predicted_h < new.predicted_h <= new.interval_h[1]


def test_a_colder_battery_must_be_larger() -> None:
    cold, warm = (
        power(changed(backups=(Backup(at="panel", kind="battery-7ah", temperature_c=t),))).standby[0] for t in (0, 25)
    )
    assert cold.required_ah > warm.required_ah


def test_no_battery_is_told_not_guessed() -> None:
    result = power(changed(backups=())).standby[0]
    assert result.battery_ah is None and result.predicted_h is None
    assert result.required_ah is not None and result.required_ah > 0


def test_a_battery_out_of_the_tables_range_is_not_decided() -> None:
    result = power(changed(backups=(Backup(at="panel", kind="battery-7ah", temperature_c=-20),))).standby[0]
    assert "−3.9 to 51.7 °C" in result.undecided


def test_voltage_of_one_device_by_hand() -> None:
    # Keypad alone on 20 m of 0.5 mm²: constant power stated at 12 V, 10.2 V at the output, 0.2 Ω inside.
    whole = scheme()
    keep = tuple(d for d in design().devices if d.id in ("panel", "keypad"))
    feed = Feed(id="f", from_id="panel", to_id="keypad", length_m=20.0, conductor_area_m2=0.5e-6)
    result = of(power(changed(whole, devices=keep, feeds=(feed,), loops=())), "keypad")
    per_metre = 0.0360 * (1.0 + 0.00393 * 30.0)  # IEC 60228 class 2, at 50 °C
    ohm = 0.2 + 40.0 * per_metre + 4 * 0.02
    watt = 0.09 * 12.0
    expected = (10.2 + (10.2**2 - 4 * watt * ohm) ** 0.5) / 2
    assert result.voltage_v == pytest.approx(expected, abs=1e-6)
    assert result.current_a == pytest.approx(watt / expected, abs=1e-6)
    assert not result.assumed


def test_a_device_without_a_feed_is_taken_as_fed_from_the_panel() -> None:
    result = of(power(changed(feeds=())), "pir-hall")
    assert result.fed_by == "panel" and result.assumed
    assert any("routed through the building" in line for _, line in result.steps)


def test_a_circle_is_named() -> None:
    feeds = (
        Feed(id="a", from_id="panel", to_id="keypad"),
        Feed(id="b", from_id="keypad", to_id="pir-hall"),
        Feed(id="c", from_id="pir-hall", to_id="pir-living"),
        Feed(id="d", from_id="pir-living", to_id="keypad"),
    )
    problems = dict(power(changed(feeds=feeds)).problems)
    assert "in a circle" in problems["keypad"]


def test_a_ring_closed_at_the_panel_is_no_circle_and_stands_every_cut() -> None:
    feeds = (
        Feed(id="a", from_id="panel", to_id="keypad", length_m=10, conductor_area_m2=0.5e-6),
        Feed(id="b", from_id="keypad", to_id="pir-hall", length_m=10, conductor_area_m2=0.5e-6),
        Feed(id="c", from_id="pir-hall", to_id="panel", length_m=10, conductor_area_m2=0.5e-6),
    )
    keep = tuple(d for d in design().devices if d.id in ("panel", "keypad", "pir-hall"))
    analysis = power(changed(devices=keep, feeds=feeds, loops=()))
    assert not analysis.problems
    assert {c.feed_id for c in analysis.cuts} == {"a", "b", "c"}
    assert all(not c.lost for c in analysis.cuts)
    whole = of(analysis, "keypad").voltage_v
    assert min(c.voltage_v for c in analysis.cuts) < whole


def test_an_island_and_two_supplies_are_problems() -> None:
    extra = Device(id="psu", kind="supply-2a", storey_id="g", position=(5, 5), height_m=1.5)
    feeds = (
        Feed(id="a", from_id="panel", to_id="keypad"),
        Feed(id="b", from_id="psu", to_id="keypad"),
        Feed(id="c", from_id="pir-hall", to_id="pir-living"),
    )
    problems = power(changed(devices=(*design().devices, extra), feeds=feeds)).problems
    assert ("keypad", "is fed from two supplies, “panel” and “psu”") in problems
    assert ("pir-hall", "is fed by a run that leads to no supply") in problems


def test_collapse_is_told() -> None:
    feed = Feed(id="f", from_id="panel", to_id="communicator", length_m=150.0, conductor_area_m2=0.22e-6)
    keep = tuple(d for d in design().devices if d.id in ("panel", "communicator"))
    result = of(power(changed(devices=keep, feeds=(feed,), loops=())), "communicator")
    assert result.collapse_multiplier < 1.0
    assert any(what == "collapse" for what, _ in result.steps)


def test_an_unknown_cable_waits_for_a_measurement() -> None:
    cable = Cable(id="old", from_id="panel", to_id="keypad", status=Keep.UNKNOWN)
    feed = Feed(id="f", from_id="panel", to_id="keypad", cable_id="old")
    keep = tuple(d for d in design().devices if d.id in ("panel", "keypad"))
    update = {"devices": keep, "feeds": (feed,), "loops": (), "cables": (cable,)}
    result = of(power(changed(**update)), "keypad")
    assert "measure the voltage at keypad" in result.undecided
    measured = power(changed(**update, readings=(reading("voltage", "keypad", 13.3, "V"),)))
    result = of(measured, "keypad")
    assert not result.undecided and result.measured
    assert result.voltage_v < 10.2


def test_a_measured_current_takes_the_place_of_the_predicted_one() -> None:
    before = power(scheme()).standby[0]
    after = power(changed(readings=(reading("current", "panel", 300, "mA"),)))
    assert after.standby[0].standby_current_a == pytest.approx(0.3)
    assert after.standby[0].predicted_h < before.predicted_h
    assert after.compared[0].explained
    assert after.compared[0].difference == pytest.approx(0.3 - before.standby_current_a)


def test_the_newest_reading_counts() -> None:
    readings = (
        reading("current", "panel", 300, "mA", "2030-05-01"),
        reading("current", "panel", 280, "mA", "2029-05-01"),
    )
    assert power(changed(readings=readings)).standby[0].standby_current_a == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("quantity", "at", "value", "unit"), [("current", "panel", 900, "mA"), ("voltage", "keypad", 15.2, "V")]
)
def test_an_impossible_reading_is_not_explained(quantity, at, value, unit) -> None:
    compared = power(changed(readings=(reading(quantity, at, value, unit),))).compared
    assert [c.explained for c in compared] == [False]


def test_radio_devices_run_on_cells() -> None:
    radio = Device(id="mc-r", kind="contact-surface-radio", storey_id="g", position=(0.3, 2.0))
    analysis = power(changed(devices=(*design().devices, radio)))
    life = next(c for c in analysis.cells if c.device_id == "mc-r")
    assert life.interval_years is not None and life.years is not None
    assert life.interval_years[0] < life.years < life.interval_years[1]
    assert all(v.device_id != "mc-r" for v in analysis.voltages)
