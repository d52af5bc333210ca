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


def test_the_events_of_the_worked_example(check) -> None:
    """Table A5.1 of the report: declination -9.31434 degrees, equation of time 14.641503 min, sunrise 13:12:43.46 UT,
    sunset 00:20:19.19 UT of that UT day, when the sun's centre stands 0.8333 degrees under the horizon."""

    def at(when: datetime) -> tuple[float, float, float]:
        declination, equation = solar_coordinates((when - EPOCH).total_seconds() / 86_400.0)
        hour = when.hour + when.minute / 60.0 + when.second / 3600.0
        _, elevation = sun_direction(39.742476, declination, hour - 105.1786 / 15.0 + float(equation))
        return math.degrees(declination), 60.0 * float(equation), math.degrees(elevation)

    declination, equation, _ = at(datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC))
    low = [
        at(datetime(2003, 10, 17, 13, 12, 43, tzinfo=UTC))[2],
        at(datetime(2003, 10, 17, 0, 20, 19, tzinfo=UTC))[2],
    ]
    for quantity, expected, actual, tolerance in (
        ("declination of the sun", -9.31434, declination, 0.02),
        ("equation of time [min]", 14.641503, equation, 0.1),
        ("elevation of the sun at sunrise and sunset", (-0.8333, -0.8333), low, 0.03),
    ):
        check(
            source="REDA-ANDREAS-TP",
            status="seen",
            quantity=quantity,
            expected=expected,
            actual=actual,
            tolerance=tolerance,
        )


def test_the_equation_of_time(check) -> None:
    """1992 October 13 at 0 h: +13 min 42.6 s; over a year it runs from -14.2 min in February to +16.4 in November."""
    _, equation = solar_coordinates((datetime(1992, 10, 13, tzinfo=UTC) - EPOCH).total_seconds() / 86_400.0)
    check(
        source="MEEUS-28A",
        status="seen",
        quantity="equation of time [min]",
        expected=13.0 + 42.6 / 60.0,
        actual=60.0 * float(equation),
        tolerance=0.1,
    )
    declination, over = solar_coordinates([float(day) for day in range(366)])
    check(
        source="SOLAR-ALMANAC",
        status="from memory",
        quantity="extremes of the equation of time [min]",
        expected=(-14.2, 16.4),
        actual=(60.0 * float(over.min()), 60.0 * float(over.max())),
        tolerance=0.15,
    )
    check(
        source="SOLAR-ALMANAC",
        status="from memory",
        quantity="extremes of the declination [degrees]",
        expected=(-23.44, 23.44),
        tolerance=0.02,
        actual=(math.degrees(declination.min()), math.degrees(declination.max())),
    )


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
