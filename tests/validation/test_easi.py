"""Estimate of adversary sequence interruption.

The first example's inputs are those of Garcia, *Design and Evaluation of Physical Protection Systems* (from memory);
the book prints 0.476 (from memory). The further values were computed once from the printed formula outside this
project's code and confirmed by simulation of 4 million intrusions for the two readings (0.47600, 0.48313).
"""

from dataclasses import replace

import numpy as np
import pytest
from tests.timely_paths import timely_detection

from wardwright.analyses.timely import Task, at_least_two, interruption

TEXTBOOK = (
    Task(0.0, 10, 3, "B"),
    Task(0.0, 12, 3.6, "B"),
    Task(0.9, 90, 27, "B"),
    Task(0.0, 10, 3, "B"),
    Task(0.9, 90, 27, "B"),
    Task(0.0, 120, 36, "B"),
)
FENCED = (replace(TEXTBOOK[0], probability=0.9), *TEXTBOOK[1:])
STRONG = tuple(replace(t, delay_s=120.0, deviation_s=36.0) if t.delay_s == 90 else t for t in TEXTBOOK)

DWELLING = (
    Task(0.0, 20, 6, "E"),
    Task(0.95, 30, 9, "E"),
    Task(0.90, 4, 1.2, "M"),
    Task(0.90, 180, 54, "B"),
    Task(0.90, 20, 6, "M"),
)


@pytest.mark.parametrize(
    ("tasks", "response", "deviation", "expected"),
    [
        (TEXTBOOK, 300, 90, 0.476041),
        (FENCED, 300, 90, 0.578106),
        (STRONG, 300, 90, 0.655532),
        (TEXTBOOK, 200, 60, 0.830508),
        (FENCED, 200, 60, 0.895922),
    ],
)
def test_textbook_example_and_its_variants(
    check, tasks: tuple[Task, ...], response: float, deviation: float, expected: float
) -> None:
    check(
        source="printed form, worked apart",
        status="computed",
        quantity="probability of interruption, textbook path",
        expected=expected,
        actual=interruption(tasks, response, deviation, 0.95),
        tolerance=5.1e-7,
    )


def test_the_book_prints_three_digits(check) -> None:
    check(
        source="GARCIA-PPS",
        status="from memory",
        quantity="probability of interruption, textbook example",
        expected=0.476,
        actual=interruption(TEXTBOOK, 300, 90, 0.95),
        tolerance=5e-4,
    )


def test_other_reading_of_not_detected(check) -> None:
    check(
        source="printed form, worked apart",
        status="computed",
        quantity="probability of interruption, first communicated detection decides",
        expected=0.483180,
        actual=interruption(TEXTBOOK, 300, 90, 0.95, decides="first communicated"),
        tolerance=5.1e-7,
    )


@pytest.mark.parametrize(("response", "expected"), [(300, 0.176630), (420, 0.056460), (600, 0.017213), (900, 0.005627)])
def test_dwelling(check, response: float, expected: float) -> None:
    check(
        source="printed form, worked apart",
        status="computed",
        quantity="probability of interruption, a dwelling",
        expected=expected,
        actual=interruption(DWELLING, response, 0.3 * response, 0.98),
        tolerance=5.1e-7,
    )


def test_deterministic_timely_detection() -> None:
    # means only; the critical detection point is the third and the fifth task
    assert timely_detection(TEXTBOOK, 300) == (pytest.approx(0.90), 2)
    assert timely_detection(TEXTBOOK, 200) == (pytest.approx(0.99), 4)
    assert timely_detection(TEXTBOOK, 400) == (0.0, None)


def test_simulation_agrees_with_both_readings() -> None:
    rng = np.random.default_rng(1977)
    count = 400_000
    times = np.stack([rng.normal(t.delay_s, t.deviation_s, count) for t in TEXTBOOK])
    ahead = times[::-1].cumsum(axis=0)[::-1]  # sensing at the beginning: the task's own time is still ahead
    sensed = np.stack([rng.random(count) < t.probability for t in TEXTBOOK])
    through = rng.random(sensed.shape) < 0.95
    reply = rng.normal(300, 90, count)
    timely = ahead > reply
    for fires, decides in ((sensed, "first sensed"), (sensed & through, "first communicated")):
        first = fires.argmax(axis=0)
        pick = (first, np.arange(count))
        caught = fires.any(axis=0) & through[pick] & timely[pick]
        value = interruption(TEXTBOOK, 300, 90, 0.95, decides=decides)  # type: ignore[arg-type]
        assert caught.mean() == pytest.approx(value, abs=4 * np.sqrt(0.25 / count))


def test_at_least_two() -> None:
    # closed forms: two chances p q; three chances pq + pr + qr - 2pqr
    assert at_least_two([0.9, 0.8]) == pytest.approx(0.72)
    assert at_least_two([0.5, 0.5, 0.5]) == pytest.approx(0.5)
    assert at_least_two([0.7]) == 0.0
    assert at_least_two([]) == 0.0
