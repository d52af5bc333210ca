"""NEC chapter 9 table 8: direct-current resistance of copper at 75 °C, and the note beside it."""

import pytest

from wardwright.physics import conductors as c

KFT = 304.8


@pytest.mark.parametrize(("gauge", "ohm_per_kft"), [(18, 7.77), (16, 4.89), (14, 3.07), (12, 1.93), (10, 1.21)])
def test_solid_uncoated(check, gauge: int, ohm_per_kft: float) -> None:
    r = c.resistance_per_metre(c.awg_area(gauge)) * c.temperature_correction(75.0)
    check(
        source="NEC-CH9-T8",
        status="seen",
        quantity="resistance of solid uncoated copper at 75 °C",
        expected=ohm_per_kft,
        actual=r * KFT,
        tolerance=0.005,  # three printed digits, and a conductivity that the table does not state
        relative=True,
    )


@pytest.mark.parametrize(("gauge", "ohm_per_kft"), [(18, 7.95), (16, 4.99), (14, 3.14), (12, 1.98), (10, 1.24)])
def test_stranded_uncoated(check, gauge: int, ohm_per_kft: float) -> None:
    r = c.resistance_per_metre(c.awg_area(gauge), lay=c.LAY_STRANDED) * c.temperature_correction(75.0)
    check(
        source="NEC-CH9-T8",
        status="seen",
        quantity="resistance of seven-strand uncoated copper at 75 °C",
        expected=ohm_per_kft,
        actual=r * KFT,
        tolerance=0.008,  # the lay factor is an upper allowance
        relative=True,
    )


@pytest.mark.parametrize(("gauge", "mils"), [(18, 1620), (16, 2580), (14, 4110), (12, 6530), (10, 10380)])
def test_circular_mils(check, gauge: int, mils: float) -> None:
    check(
        source="NEC-CH9-T8",
        status="seen",
        quantity="section in circular mils",
        expected=mils,
        actual=(c.awg_diameter(gauge) / 25.4e-6) ** 2,
        tolerance=0.003,  # three printed digits
        relative=True,
    )


def test_conversion_to_20_c(check) -> None:
    check(
        source="NEC-CH9-T8-NOTE",
        status="seen",
        quantity="7.77 ohms per 1000 feet at 75 °C, at 20 °C",
        expected=6.390,
        actual=c.converted_nec(7.77, from_c=75.0, to_c=20.0),
        tolerance=0.005,
    )


def test_share_left_at_20_c(check) -> None:
    check(
        source="NEC-CH9-T8-NOTE",
        status="seen",
        quantity="resistance at 20 °C against 75 °C",
        expected=0.82,
        actual=1.0 / c.temperature_correction(75.0),
        tolerance=0.005,
    )
