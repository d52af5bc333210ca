"""Figures worked out apart from the program, from the formulas its documentation states: conductors."""

import math

import pytest

from wardwright.errors import OutOfRangeError
from wardwright.physics import conductors as c

SOURCE = "worked: conductor formulas"
R22 = c.resistance_per_metre(c.awg_area(22))
R_7X02 = c.resistance_per_metre(7 * math.pi * 0.1e-3**2)

ROWS = [
    ("diameter of 22 AWG, mm", [0.64380], [c.awg_diameter(22) * 1e3], 1e-4),
    ("section of 18 AWG, mm²", [0.82305], [c.awg_area(18) * 1e6], 1e-4),
    ("resistance of 22 AWG, Ω/km", [52.962], [R22 * 1e3], 0.02),
    ("resistance of 24 AWG, Ω/kft", [25.668], [c.resistance_per_metre(c.awg_area(24)) * 304.8], 0.01),
    ("resistance of 10 AWG, Ω/kft", [0.9988], [c.resistance_per_metre(c.awg_area(10)) * 304.8], 0.001),
    (
        "resistance of 18 and 14 AWG at 75 °C, Ω/km",
        [25.476, 10.076],
        [c.resistance_per_metre(c.awg_area(n)) * 1e3 * c.temperature_correction(75.0) for n in (18, 14)],
        0.05,
    ),
    (
        "correction to 20 °C from 40 and 75 °C",
        [0.9271, 0.8223],
        [1 / c.temperature_correction(40.0), 1 / c.temperature_correction(75.0)],
        5e-4,
    ),
    (
        "loop of 50 m of 22 AWG at 20 and 50 °C, Ω",
        [5.2962, 5.9206],
        [c.loop_resistance(50.0, R22), c.loop_resistance(50.0, R22 * c.temperature_correction(50.0))],
        0.002,
    ),
    ("resistance of 7/0.2 mm, Ω/km", [78.40], [R_7X02 * 1e3], 0.05),
    (
        "loop of 50 m of 7/0.2 mm, one and two cores a leg, Ω",
        [7.840, 3.920],
        [c.loop_resistance(50.0, R_7X02), c.loop_resistance(50.0, R_7X02, cores_plus=2, cores_minus=2)],
        0.005,
    ),
    (
        "drop over 20 m of 16 AWG at 1 A, V",
        [0.5270],
        [c.loop_resistance(20.0, c.resistance_per_metre(c.awg_area(16)))],
        5e-4,
    ),
    (
        "drop over 40 m at 0.25 A, 78.4 and 95 Ω/km, V",
        [1.568, 1.900],
        [0.25 * c.loop_resistance(40.0, r) for r in (0.0784, 0.095)],
        0.002,
    ),
    (
        "ten gauges apart",
        [92 ** (20 / 39)],
        [c.resistance_per_metre(c.awg_area(30)) / c.resistance_per_metre(c.awg_area(20))],
        0.01,
    ),
    ("loop of 200 m of 22 AWG, Ω", [21.185], [c.loop_resistance(200.0, R22)], 0.01),
]


@pytest.mark.parametrize(("quantity", "expected", "actual", "tolerance"), ROWS)
def test_worked(check, quantity, expected, actual, tolerance) -> None:
    check(source=SOURCE, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance)


def test_joints_are_added() -> None:
    assert c.loop_resistance(10.0, 0.1, joints=4, joint=0.05) == pytest.approx(2.2)


def test_the_alarm_core_is_not_in_the_standard_series() -> None:
    with pytest.raises(OutOfRangeError):
        c.maximum_resistance_iec60228(0.22, "stranded")
