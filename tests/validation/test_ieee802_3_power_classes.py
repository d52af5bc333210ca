"""IEEE 802.3 power classes: what is left at the device follows from the channel's loss."""

import pytest

from wardwright.physics import buses
from wardwright.physics.circuits import constant_power_voltage


@pytest.mark.parametrize(
    ("power_class", "current", "resistance", "pairsets", "tolerance"),
    [(3, 0.35, 20.0, 1, 0.005), (4, 0.6, 12.5, 1, 0.005), (6, 0.6, 12.5, 2, 0.01), (8, 0.865, 12.5, 2, 0.02)],
)
def test_power_at_the_device(check, power_class, current, resistance, pairsets, tolerance) -> None:
    # The class table was seen; currents and loop resistances are from memory.
    left = buses.poe_device_power(buses.POE_SOURCE_W[power_class], current, resistance, pairsets=pairsets)
    check(
        source="IEEE802.3-POE",
        status="seen",
        quantity="power at the device by class",
        expected={3: 12.95, 4: 25.5, 6: 51.0, 8: 71.3}[power_class],
        actual=left,
        tolerance=tolerance,
    )


def test_voltage_at_the_device(check) -> None:
    check(
        source="computed: constant-power root",
        status="computed",
        quantity="device voltage, 44 V, 20 ohm, 12.95 W",
        expected=37.0,
        actual=constant_power_voltage(44.0, 20.0, 12.95),
        tolerance=0.01,
    )
