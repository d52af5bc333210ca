"""Guide to fire alarms: 30 sounders of 20 mA at the end of 200 m, two cable sizes."""

import pytest

from wardwright.physics.circuits import Branch, Load, operating_point


@pytest.mark.parametrize(("millivolt_per_a_m", "drop"), [(42.0, 5.04), (17.0, 2.04)])
def test_lump_sum_drop(check, millivolt_per_a_m: float, drop: float) -> None:
    branch = Branch("run", "S", "E", 200.0 * millivolt_per_a_m / 1000.0)
    point = operating_point({"S": 24.0}, [branch], {"E": Load(current=30 * 0.02)})
    check(
        source="FIRE-ALARM-DROP-GUIDE",
        status="seen",
        quantity="drop of a sounder circuit, all load at the far end",
        expected=drop,
        actual=24.0 - point.voltage["E"],
        tolerance=0.005,
    )
