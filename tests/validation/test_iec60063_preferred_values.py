"""IEC 60063 as reproduced: the E12 and E24 series, their exceptions, E96."""

from wardwright.physics.resistors import preferred_values

E12 = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2]
E24_MORE = [1.1, 1.3, 1.6, 2.0, 2.4, 3.0, 3.6, 4.3, 5.1, 6.2, 7.5, 9.1]


def test_series(check) -> None:
    check(
        source="IEC60063",
        status="seen",
        quantity="E12 series",
        expected=E12,
        actual=list(preferred_values(12)),
        tolerance=1e-9,
    )
    check(
        source="IEC60063",
        status="seen",
        quantity="E24 series",
        expected=sorted(E12 + E24_MORE),
        actual=list(preferred_values(24)),
        tolerance=1e-9,
    )


def test_exceptions(check) -> None:
    check(
        source="IEC60063",
        status="seen",
        quantity="E24 values that depart from the formula",
        expected=[2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 8.2],
        actual=sorted(v for n, v in enumerate(preferred_values(24)) if v != round(10 ** (n / 24), 1)),
        tolerance=0.0,
    )


def test_e96(check) -> None:
    e96 = preferred_values(96)
    assert len(e96) == 96
    check(
        source="IEC60063",
        status="seen",
        quantity="E96 value number 50",
        expected=3.32,
        actual=e96[50],
        tolerance=1e-9,
    )
