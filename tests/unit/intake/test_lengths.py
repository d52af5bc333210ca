"""Lengths typed by people, against arithmetic with the international foot (0.3048 m exactly)."""

import pytest

from wardwright.errors import InputError
from wardwright.intake.lengths import format_length, parse_length, unit_named

FOOT, INCH = 0.3048, 0.0254


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("4.1 m", 4.1),
        ("4,1m", 4.1),
        ("410 cm", 4.1),
        ("4100mm", 4.1),
        ("4 m 10 cm", 4.1),
        ("13'6\"", 13.5 * FOOT),
        ("13'6", 13.5 * FOOT),
        ("13' 6 1/2\"", 13 * FOOT + 6.5 * INCH),
        ("13'-6 1/2\"", 13 * FOOT + 6.5 * INCH),
        ("2′-6″", 30 * INCH),
        ("2’-6”", 30 * INCH),
        ("13 ft 6 in", 13.5 * FOOT),
        ("13 ft. 6 in.", 13.5 * FOOT),
        ("13 feet 6", 13.5 * FOOT),
        ("13'", 13 * FOOT),
        ("17' ", 17 * FOOT),
        ('6 1/2"', 6.5 * INCH),
        ('6-1/2"', 6.5 * INCH),
        ('6½"', 6.5 * INCH),
        ("1/2 in", 0.5 * INCH),
        ("6''", 6 * INCH),
        (".5 m", 0.5),
        ("0", 0.0),
        ("10' 0\"", 10 * FOOT),
        ("3 1/4", 3.25),
    ],
)
def test_reads_what_people_write(text: str, metres: float) -> None:
    assert parse_length(text, "m") == pytest.approx(metres, abs=1e-12)


def test_bare_number_takes_the_default_unit() -> None:
    assert parse_length("12", "ft") == pytest.approx(12 * FOOT)
    assert parse_length("12", "feet") == pytest.approx(12 * FOOT)
    assert parse_length("900", "mm") == pytest.approx(0.9)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no length"),
        ("   ", "no length"),
        ("about 3", "cannot read"),
        ("-3 m", "negative"),
        ("nan", "cannot read"),
        ("inf", "cannot read"),
        ("1e9 m", "no unit"),
        ("3 parsec", "no unit"),
        ("4,100 mm", "decimal or a thousands"),
        ("6\" 2'", "runs from"),
        ("3 m 2 in", "runs from"),
        ("5'14\"", "whole ft"),
        ("4 m 10", "without a unit"),
        ("1/0 in", "below the line"),
        ("99999 m", "more than"),
        ("3 x 4", "no unit"),
        ("3 // 4", "cannot read"),
    ],
)
def test_says_what_is_wrong(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        parse_length(text, "m")


def test_unit_names() -> None:
    assert [unit_named(u) for u in ("Metres", "FEET", "in.", '"', "mm")] == ["m", "ft", "in", "in", "mm"]
    with pytest.raises(InputError, match="no unit of length"):
        unit_named("furlong")


def test_writes_lengths() -> None:
    assert format_length(4.114) == "4.11 m"
    assert format_length(13.5 * FOOT, "ft") == "13′-6″"
    assert format_length(11.999 * INCH, "ft") == "1′-0″"
    assert format_length(6.5 * INCH, "in") == "6 1/2″"
    assert format_length(0.9, "mm") == "900 mm"
