"""Figures worked out apart from the program, from the formulas its documentation states: batteries and cells."""

import pytest

from wardwright.physics import battery, cells, charging, discharge
from wardwright.physics.battery import Phase

SOURCE = "worked: batteries"
STANDBY_ALARM = [Phase(0.18, 12.0), Phase(0.65, 0.25)]


@pytest.fixture
def worked(check):
    def run(quantity, expected, actual, tolerance):
        check(
            source=SOURCE, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance
        )

    return run


def test_peukert(worked) -> None:
    hours = battery.discharge_hours
    worked("100 Ah stated at 1 A, 5 A, p 1.2", 14.496, hours(100, 5, exponent=1.2, rated_hours=100), 0.01)
    worked("100 Ah at 20 h, 7.5 A, p 1.2", 12.295, hours(100, 7.5, exponent=1.2), 0.005)
    delivered = [i * hours(100, i, exponent=1.1) for i in (10.0, 20.0)]
    worked("charge delivered at 10 and 20 A, p 1.1", [93.30, 87.06], delivered, 0.02)
    t = hours(7, 1.5, exponent=1.15)
    worked("7 Ah, 1.5 A, p 1.15", [3.7515, 5.627], [t, 1.5 * t], 0.002)
    worked("exponent from two points", 1.18987, battery.peukert_exponent(1 / 20, 20.0, 0.62, 1.0), 1e-4)


def test_duty_cycles(worked) -> None:
    size = battery.required_capacity
    duty = [Phase(0.42, 24.0), Phase(3.8, 5 / 60)]
    worked(
        "24 h and 5 min: charge, × 1.20, × 1.25",
        [10.397, 12.476, 12.996],
        [
            size(duty, temperature_c=25, exponent=1, ageing=1, margin=1).charge,
            size(duty, temperature_c=25, exponent=1, ageing=1.20, margin=1).capacity,
            size(duty, temperature_c=25, exponent=1, ageing=1.25, margin=1).capacity,
        ],
        0.001,
    )
    worked(
        "temperature factors at 10, 20, 5, 35 °C",
        [1.190, 1.056, 1.290, 0.930],
        [battery.temperature_factor(t) for t in (10, 20, 5, 35)],
        0.001,
    )
    assert battery.sizing_temperature_factor(35.0) == 1.0
    first = size(STANDBY_ALARM, temperature_c=10, exponent=1)
    worked("12 h and 15 min at 10 °C", [2.3225, 3.8002], [first.charge, first.capacity], 0.001)
    longer = [size([Phase(0.18, h), Phase(0.65, 0.25)], temperature_c=10, exponent=1).capacity for h in (60, 30)]
    worked("60 h and 30 h of standby", [17.937, 9.1016], longer, 0.002)
    home = size([Phase(0.12, 24.0), Phase(1.2, 4 / 60)], temperature_c=20, exponent=1, margin=1)
    worked("24 h and 4 min at 20 °C", [2.960, 3.9072], [home.charge, home.capacity], 0.001)
    rated = size([Phase(0.45, 11.75), Phase(2.5, 0.25)], temperature_c=10, exponent=1.15)
    worked(
        "rate correction, p 1.15",
        [5.9125, 6.4136, 10.494, 0.32068],
        [rated.charge, rated.effective, rated.capacity, rated.rate],
        0.005,
    )


def test_charging(worked) -> None:
    current = charging.charger_current
    worked("recharge 13.6 Ah in 24 and 72 h", [0.6233, 0.2078], [current(13.6, 24), current(13.6, 72)], 5e-4)
    worked("recharge 7.2 Ah in 24 h under 0.3 A", 0.630, current(7.2, 24, load=0.3), 1e-3)
    # The bulk stage alone is H = k Q / (A − L): 5 Ah of 10 Ah stays below the taper.
    worked("hours for 5 Ah at 0.35 A", 15.714, charging.recharge_hours(10.0, 0.35, to=0.5), 0.005)
    hours = [charging.recharge_hours(7.0, 0.7, to=s) for s in (0.80, 0.95, 0.99)]
    worked("two-stage recharge to 80, 95, 99 %", [8.80, 11.85, 15.39], hours, 0.01)
    worked(
        "life at 30, 35, 40 °C",
        [5.00, 3.536, 2.50],
        [charging.service_life(10.0, [(1.0, t)]) for t in (30, 35, 40)],
        0.005,
    )
    worked("life with a warm half year", 5.224, charging.service_life(10.0, [(0.5, 20.0), (0.5, 35.0)]), 0.005)
    volts = [charging.float_voltage(t) for t in (0, 20, 40)]
    worked("float at 0, 20, 40 °C", [14.10, 13.74, 13.38], volts, 1e-3)


def test_discharge_curve(worked) -> None:
    curve = discharge.LEAD_ACID_7AH
    volts = [discharge.discharge_voltage(curve, q, 0.36) for q in (0.5, 3.6, 6.0)]
    worked("curve at 0.36 A", [12.4081, 12.0793, 10.6580], volts, 1e-3)
    worked("curve at 1.44 A, 5 Ah", 11.4177, discharge.discharge_voltage(curve, 5.0, 1.44), 1e-3)
    hours = [discharge.charge_to(curve, i, 10.5) / i for i in (0.36, 1.44, 3.6)]
    worked("hours to 10.5 V", [16.897, 4.0963, 1.5301], hours, 0.002)


def test_the_calibrated_curve_keeps_the_rating(worked) -> None:
    curve = discharge.calibrated_curve(7.0)
    worked("rated charge at the rated current", 7.0, discharge.charge_to(curve, 0.35, 10.5), 1e-6)


def test_cells(worked) -> None:
    def sensor(per_day: float) -> tuple[float, float]:
        pulses = [cells.Pulse(per_day, 20e-3, 12e-3), cells.Pulse(60, 25e-3, 60e-3)]
        mean = cells.average_current(8e-6, pulses)
        return mean * 1e6, cells.cell_life(1.4, mean) / cells.YEAR_H

    worked("sensor checked in every 12 min", [9.375, 12.38], sensor(120), 0.01)
    worked("checked in every 100 s", [11.442, 10.42], sensor(864), 0.01)
    worked("checked in every 10 s", [33.042, 3.92], sensor(8640), 0.01)
