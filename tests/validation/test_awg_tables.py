"""Published wire gauge tables: diameters and resistances of solid copper."""

import pytest

from wardwright.physics import conductors as c

KFT = 304.8


def test_diameter_by_definition(check) -> None:
    # The definition fixes 36 AWG at 0.0050 inch and 4/0 at 0.4600 inch.
    check(
        source="ASTM-B258",
        status="seen",
        quantity="diameter of 36 AWG and 4/0",
        expected=[0.1270, 11.684],
        actual=[c.awg_diameter(36) * 1e3, c.awg_diameter(-3) * 1e3],
        tolerance=0.001,
    )


def test_area_of_18_awg(check) -> None:
    check(
        source="AWG-TABLES",
        status="seen",
        quantity="section of 18 AWG",
        expected=0.823,
        actual=c.awg_area(18) * 1e6,
        tolerance=5e-4,  # three printed digits
    )


@pytest.mark.parametrize(
    ("gauge", "ohm_per_kft"),
    [(24, 25.67), (22, 16.14), (20, 10.15), (18, 6.385), (16, 4.016), (14, 2.525), (12, 1.588), (10, 0.999)],
)
def test_resistance_at_20_c(check, gauge: int, ohm_per_kft: float) -> None:
    check(
        source="AWG-TABLES",
        status="seen",
        quantity="resistance of solid copper at 20 °C",
        expected=ohm_per_kft,
        actual=c.resistance_per_metre(c.awg_area(gauge)) * KFT,
        tolerance=6e-4,  # the printed digits
        relative=True,
    )


@pytest.mark.parametrize(("gauge", "ohm_per_kft"), [(24, 26.15), (22, 16.45), (20, 10.34), (18, 6.505)])
def test_resistance_at_25_c(check, gauge: int, ohm_per_kft: float) -> None:
    # The table does not state its temperature; it fits 25 °C. 0.3 % covers a coefficient of 0.0039 to 0.0040.
    r = c.resistance_per_metre(c.awg_area(gauge)) * c.temperature_correction(25.0)
    check(
        source="AWG-TABLE-25C",
        status="seen",
        quantity="resistance of annealed copper near room temperature",
        expected=ohm_per_kft,
        actual=r * KFT,
        tolerance=3e-3,
        relative=True,
    )


def test_drop_of_the_published_run(check) -> None:
    # 16 AWG taken as 1.3 mm² of copper of 0.01785 Ω·mm²/m, 20 m one way, 1 A.
    r = c.resistance_per_metre(1.3e-6, resistivity=1.785e-8)
    check(
        source="WIRE-DROP-2010",
        status="seen",
        quantity="two-way drop over 20 m of 16 AWG",
        expected=0.549,
        actual=c.loop_resistance(20.0, r) * 1.0,
        tolerance=5e-4,
    )
