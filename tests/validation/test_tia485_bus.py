"""TIA/EIA-485: the fully loaded, doubly terminated bus is the 54 Ω test load within its tolerance."""

from wardwright.physics import buses


def test_full_bus_against_the_test_load(check) -> None:
    check(
        source="TIA-485",
        status="seen",
        quantity="32 unit loads and two terminators against the 54 ohm test load",
        expected=54.0,
        actual=buses.bus_resistance(32.0),
        tolerance=0.05,  # the standard rounds up; both stand for the same worst case
        relative=True,
    )
