"""The sun against a published worked example and an almanac; the warming of a floor against worked values."""

import math
from datetime import UTC, datetime

import pytest

from wardwright.physics.sun import EFFUSIVITY, SUN_PATCH, solar_coordinates, sun_direction, surface_rise

EPOCH = datetime(2000, 1, 1, 12, tzinfo=UTC)


def test_the_worked_example_of_the_solar_position_algorithm(check) -> None:
    """17 October 2003, 12:30:30 at -7 h, 39.742476 N 105.1786 W: zenith 50.11162, azimuth 194.34024 degrees.

    The published zenith has refraction in it, 0.016 degrees there.
    """
    when = datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC)
    declination, equation = solar_coordinates((when - EPOCH).total_seconds() / 86_400.0)
    sun_time = 19.0 + 30.5 / 60.0 - 105.1786 / 15.0 + float(equation)
    azimuth, elevation = sun_direction(39.742476, declination, sun_time)
    for quantity, expected, actual in (
        ("zenith of the sun", 50.11162 + 0.016, 90.0 - math.degrees(elevation)),
        ("azimuth of the sun", 194.34024, math.degrees(azimuth)),
    ):
        check(source="REDA-ANDREAS-2004", status="seen", quantity=quantity, expected=expected, actual=actual,
              tolerance=0.03)  # fmt: skip


def test_the_sun_of_an_almanac(check) -> None:
    """1992 October 13 at 0 h: declination -7.78507 degrees."""
    declination, _ = solar_coordinates((datetime(1992, 10, 13, tzinfo=UTC) - EPOCH).total_seconds() / 86_400.0)
    check(source="MEEUS-1991", status="from memory", quantity="declination of the sun", expected=-7.78507,
          actual=math.degrees(declination), tolerance=1.0 / 60.0)  # fmt: skip


def test_solstice_noon() -> None:
    """At noon the sun stands at 90 degrees less latitude plus declination: due south north of it, due north south."""
    _, high = sun_direction(50.0, math.radians(23.44), 12.0)
    azimuth, _ = sun_direction(50.0, math.radians(23.44), 12.0)
    assert math.degrees(high) == pytest.approx(63.44)
    assert math.degrees(azimuth) == pytest.approx(180.0)
    down_under, _ = sun_direction(-35.0, 0.0, 12.0)
    assert min(math.degrees(down_under), 360.0 - math.degrees(down_under)) == pytest.approx(0.0, abs=1e-9)


def test_a_floor_under_a_sun_patch(check) -> None:
    got = [surface_rise(SUN_PATCH, t, EFFUSIVITY[k]) for k in EFFUSIVITY for t in (0.5, 1.0, 2.0, 5.0)]
    table = (1.6, 2.3, 3.2, 5.1, 0.6, 0.85, 1.2, 1.9, 0.3, 0.42, 0.6, 0.95, 0.13, 0.19, 0.27, 0.42)
    check(source="sun on a floor, worked apart", status="computed", quantity="rise of a floor under the sun",
          expected=table, actual=got, tolerance=0.06)  # fmt: skip
