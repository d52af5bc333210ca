"""Worked battery examples of public pages, each named with its source."""

import pytest

from wardwright.physics import battery, charging


def test_peukert_example(check) -> None:
    # 100 Ah stated at 1 A: the 100-hour rate.
    check(
        source="PEUKERT-ELECTROTECHNIK",
        status="seen",
        quantity="hours at 5 A, exponent 1.2",
        expected=14.5,
        actual=battery.discharge_hours(100.0, 5.0, exponent=1.2, rated_hours=100.0),
        tolerance=0.05,  # as printed
    )


def test_duty_cycle_example(check) -> None:
    duty = [battery.Phase(0.42, 24.0), battery.Phase(3.8, 5.0 / 60.0)]
    need = battery.required_capacity(duty, temperature_c=25.0, exponent=1.0, ageing=1.20, margin=1.0)
    check(
        source="BATTERY-EXAMPLE-12.48",
        status="seen",
        quantity="capacity for 24 h standby and 5 min alarm, factor 1.20",
        expected=12.48,
        actual=need.capacity,
        tolerance=0.005,
    )


def test_charger_example(check) -> None:
    check(
        source="UPS-NOTE-7",
        status="seen",
        quantity="charger current",
        expected=167.6,
        actual=charging.charger_current(171.0 * 1.0, 8.0, load=143.0, acceptance=1.15),
        tolerance=0.1,
    )


def test_life_halves_for_10_kelvin(check) -> None:
    check(
        source="BATTERY-LIFE-10K",
        status="seen",
        quantity="life at 30 °C of a 10-year battery",
        expected=5.0,
        actual=charging.service_life(10.0, [(1.0, 30.0)]),
        tolerance=0.005,
    )


@pytest.mark.parametrize(("celsius", "factor"), [(10.0, 1.190), (20.0, 1.056), (35.0, 0.930)])
def test_temperature_factors_at_tabled_points(check, celsius: float, factor: float) -> None:
    check(
        source="IEEE485-CHART",
        status="seen",
        quantity="cell-size temperature factor",
        expected=factor,
        actual=battery.temperature_factor(celsius),
        tolerance=0.001,
    )
