"""GOST 22483 annex B (identical to IEC 60228): resistance of copper and temperature."""

from wardwright.physics import conductors as c

CELSIUS = [5.0, 10.0, 30.0, 40.0, 50.0, 75.0]


def test_exact_form(check) -> None:
    check(
        source="GOST22483-2021",
        status="seen",
        quantity="254.5/(234.5 + T)",
        expected=[254.5 / (234.5 + t) for t in CELSIUS],
        actual=[1.0 / c.temperature_correction(t) for t in CELSIUS],
        tolerance=5e-4,
    )


def test_rounded_list(check) -> None:
    # The printed list follows the rounded coefficient 0.004.
    check(
        source="GOST22483-2021",
        status="seen",
        quantity="printed list of correction factors",
        expected=[1.064, 1.042, 0.962, 0.926, 0.893, 0.820],
        actual=[1.0 / c.temperature_correction(t, coefficient=0.004) for t in CELSIUS],
        tolerance=6e-4,
    )
