"""Single figures that the models rest on, each against the page or standard it was read in."""

import math

from wardwright.physics import glass_break, partitions, thermal_contrast
from wardwright.physics.acoustics import air_absorption


def test_clothes(check) -> None:
    """ISO 7730 as quoted: the clo, and how much larger the outside of clothes is than the skin."""
    check(
        source="ISO-7730-QUOTED",
        status="seen",
        quantity="one clo [m² K/W]",
        expected=0.155,
        actual=thermal_contrast.CLO,
        tolerance=0.0,
    )
    check(
        source="ISO-7730-QUOTED",
        status="seen",
        quantity="outside of clothes against the skin",
        expected=(1.00 + 1.29 * 0.05, 1.00 + 1.29 * 0.078, 1.05 + 0.645 * 0.155),
        actual=[thermal_contrast.clothing_area_factor(i) for i in (0.05, 0.078, 0.155)],
        tolerance=1e-9,
    )
    check(
        source="ISO-7730",
        status="from memory",
        quantity="one met [W/m²]",
        expected=58.15,
        actual=thermal_contrast.MET,
        tolerance=0.0,
    )


def test_stefan_boltzmann_follows_from_the_fixed_constants(check) -> None:
    h, c, k = thermal_contrast.PLANCK, thermal_contrast.LIGHT_SPEED, thermal_contrast.BOLTZMANN
    check(
        source="SI-2019",
        status="from memory",
        quantity="Stefan-Boltzmann constant [W/(m² K⁴)]",
        expected=2.0 * math.pi**5 * k**4 / (15.0 * h**3 * c**2),
        actual=thermal_contrast.STEFAN_BOLTZMANN,
        tolerance=1e-17,
    )


def test_glass_is_stiff_and_heavy_as_a_handbook_says(check) -> None:
    """70 GPa and 2500 kg/m³."""
    check(
        source="GLASS-HANDBOOK",
        status="seen",
        quantity="Young's modulus of glass [GPa]",
        expected=70.0,
        actual=glass_break.YOUNG_PA / 1e9,
        tolerance=0.0,
    )
    check(
        source="GLASS-HANDBOOK",
        status="seen",
        quantity="density of glass [kg/m³]",
        expected=2500.0,
        actual=glass_break.DENSITY_KG_M3,
        tolerance=0.0,
    )


def test_constants_of_coincidence(check) -> None:
    """Gypsum 38, glass 12.7, chipboard 23, plywood 20, brick 20, dense concrete 19, steel 12.4 m/s."""
    table = {
        "plasterboard": 38.0,
        "glass": 12.7,
        "chipboard": 23.0,
        "plywood": 20.0,
        "brick": 20.0,
        "concrete": 19.0,
        "steel": 12.4,
    }
    got = [partitions.coincidence_frequency(m, 0.01) * 0.01 for m in table]
    check(
        source="COINCIDENCE-TABLE",
        status="seen",
        quantity="coincidence frequency by thickness [m/s]",
        expected=list(table.values()),
        actual=got,
        tolerance=1e-9,
    )


def test_air_of_a_cool_damp_day(check) -> None:
    """ISO 9613-1 at 10 °C and 70 %: 500 Hz 1.9, 1 kHz 3.7, 2 kHz 9.7, 4 kHz 32.8 dB/km, exact midband frequencies."""
    bands = [10.0 ** (3.0 + 0.3 * n) for n in (-1, 0, 1, 2)]
    got = [1000.0 * air_absorption(f, temperature=10.0, humidity=70.0) for f in bands]
    check(
        source="ISO9613-1-TABLE",
        status="from memory",
        quantity="air at 10 °C and 70 % [dB/km]",
        expected=(1.9, 3.7, 9.7, 32.8),
        actual=got,
        tolerance=0.06,
    )
