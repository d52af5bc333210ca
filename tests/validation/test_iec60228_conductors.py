"""IEC 60228: the standard gives largest values, so copper of the nominal section must lie a little below them."""

import pytest

from wardwright.physics import conductors as c


@pytest.mark.parametrize("area", [0.5, 0.75, 1.0, 1.5, 2.5])
def test_solid_plain_copper_is_just_below_the_largest_value(check, area: float) -> None:
    largest = c.maximum_resistance_iec60228(area, "solid")
    # 0.93 to 1.00 of the largest value: makers draw the conductor a little smaller than nominal.
    check(
        source="IEC60228-2004",
        status="seen",
        quantity="pure copper against the largest resistance of class 1",
        expected=0.95,
        actual=c.resistance_per_metre(area * 1e-6) / largest,
        tolerance=0.05,
    )


@pytest.mark.parametrize("area", [0.5, 0.75, 1.0, 1.5, 2.5])
def test_flexible_copper_is_just_below_the_largest_value(check, area: float) -> None:
    largest = c.maximum_resistance_iec60228(area, "flexible")
    check(
        source="IEC60228-2004",
        status="seen",
        quantity="stranded copper against the largest resistance of class 5",
        expected=0.92,
        actual=c.resistance_per_metre(area * 1e-6, lay=c.LAY_STRANDED) / largest,
        tolerance=0.08,
    )


def test_loop_of_100_m_class_5(check) -> None:
    check(
        source="IEC60228-2004",
        status="seen",
        quantity="loop of 100 m of 0.5 mm² class 5",
        expected=7.80,
        actual=c.loop_resistance(100.0, c.maximum_resistance_iec60228(0.5, "flexible")),
        tolerance=0.001,
    )
