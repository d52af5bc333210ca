"""Availability of parts against published and worked figures; answer times from memory."""

import pytest

from wardwright.analyses.signal import CENTRE_MOST_S, CENTRE_S
from wardwright.errors import OutOfRangeError
from wardwright.physics.availability import (
    YEAR_H,
    availability,
    in_parallel,
    in_series,
    series_failures,
    undetected_share,
)


def test_published_series(check) -> None:
    """50 000 h and 20 000 h in series: 14 286 h; with 5 h and 2 h to repair 99.98 %, about 1 h 45 min a year."""
    source, status = "AVAILABILITY-PAGES", "seen"
    check(source=source, status=status, quantity="failures in series", expected=14_286.0,
          actual=series_failures([50_000.0, 20_000.0]), tolerance=1.0)  # fmt: skip
    down = in_series([1.0 - availability(50_000.0, 5.0), 1.0 - availability(20_000.0, 2.0)])
    check(source=source, status=status, quantity="availability in series", expected=0.9998, actual=1.0 - down,
          tolerance=5e-6)  # fmt: skip
    check(source=source, status=status, quantity="hours down a year", expected=1.75, actual=down * YEAR_H,
          tolerance=0.02)  # fmt: skip
    check(source=source, status=status, quantity="five nines in minutes a year", expected=5.0,
          actual=(1.0 - 0.99999) * YEAR_H * 60.0, tolerance=0.5)  # fmt: skip


def test_worked(check) -> None:
    for quantity, expected, actual in (
        ("50 h between failures, 10 h to repair", 0.833, availability(50.0, 10.0)),
        ("one part, tested", 0.005, undetected_share(1e-5, 1000.0)),
        ("two parts, tested, no common cause", 1e-4 / 3.0, undetected_share(1e-5, 1000.0, 0.0)),
        ("two parts, tested, 5 % in common", (0.95e-2) ** 2 / 3.0 + 0.05 * 0.005, undetected_share(1e-5, 1000.0, 0.05)),
        ("two ways beside each other", 0.0006, in_parallel(0.02, 0.03)),
    ):
        check(source="availability, worked apart", status="computed", quantity=quantity, expected=expected,
              actual=actual, tolerance=0.001 * expected)  # fmt: skip


def test_a_centre_answers(check) -> None:
    check(source="EN50518-2019", status="from memory", quantity="answer times of a centre", expected=(90.0, 180.0),
          actual=(CENTRE_S, CENTRE_MOST_S), tolerance=0.0)  # fmt: skip


def test_common_cause_bounds_what_a_second_way_buys() -> None:
    """With a share in common the gain is at most one over that share; without, it is the product."""
    for share in (1e-4, 1e-3, 1e-2):
        assert share / in_parallel(share, share, 0.05) <= 20.0
        assert share / in_parallel(share, share, 0.02) <= 50.0
        assert in_parallel(share, share, 1.0) == pytest.approx(share)
        assert in_parallel(share, share) <= in_parallel(share, share, 0.05)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: availability(0.0, 1.0),
        lambda: series_failures([0.0]),
        lambda: in_series([1.5]),
        lambda: in_parallel(-0.1, 0.5),
        lambda: undetected_share(-1.0, 1.0),
    ],
)
def test_out_of_range_is_named(wrong) -> None:
    with pytest.raises(OutOfRangeError):
        wrong()
