"""Numbers keep no more digits than are known; chances, money and times are worded as people say them."""

from decimal import Decimal

import pytest

from wardwright.documents.wording import (
    chance_words,
    counted,
    date_words,
    found_words,
    likelihood,
    limit_words,
    listed,
    margin_words,
    money,
    rounded,
    seconds_words,
)
from wardwright.findings import Finding, Outcome, Question, Weight


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (7.4321, 2, "7.4"),
        (0.04321, 2, "0.043"),
        (123.4, 2, "123"),
        (-2.06, 2, "−2.1"),
        (0.0, 2, "0"),
        (float("inf"), 2, "∞"),
        (10.34, 3, "10.3"),
        (-1e-12, 1, "−0.000000000001"),
    ],
)
def test_digits(value: float, digits: int, text: str) -> None:
    assert rounded(value, digits) == text


def finding(**more: object) -> Finding:
    given = {
        "rule": "power.voltage",
        "question": Question.POWER,
        "outcome": Outcome.NOT_MET,
        "weight": Weight.REQUIRED,
        "about": ("PIR-2",),
        "explanation": "",
        "plain": "",
        "value": 7.4,
        "operator": ">=",
        "limit": 9.5,
        "unit": "V",
        "interval": (6.93, 7.81),
    }
    return Finding(**(given | more))  # type: ignore[arg-type]


def test_a_number_carries_its_unit_and_its_doubt() -> None:
    assert found_words(finding()) == "7.4 V (6.9–7.8)"
    assert limit_words(finding()) == "≥ 9.5 V"
    assert margin_words(finding()) == "−2.1"
    assert margin_words(finding(value=12.0)) == "+2.5"
    assert found_words(finding(value=None)) == "–"
    assert limit_words(finding(limit=None)) == "–"
    assert margin_words(finding(limit=None)) == "–"


def test_chances_are_worded_and_never_sharper_than_tens() -> None:
    assert likelihood(0.9, (0.7, 0.95)) == "likely"
    assert likelihood(0.9, (0.4, 0.95)) == "doubtful"
    assert likelihood(0.1, (0.0, 0.3)) == "unlikely"
    assert chance_words(0.83, (0.52, 0.97)) == "likely, 80 % (50 % to over 95 %)"
    assert chance_words(0.03) == "unlikely, under 5 %"


def test_words() -> None:
    assert money(Decimal("1234567.5"), "GBP") == "£1\u202f234\u202f567.50"
    assert money(Decimal("-3.00"), "CHF") == "−3.00 CHF"
    assert date_words("2026-11-05") == "5 November 2026"
    assert [seconds_words(s) for s in (45, 600, 620, 7200, 9000)] == [
        "45 s",
        "10 min",
        "10 min 20 s",
        "2 h",
        "2 h 30 min",
    ]
    assert counted(1, "keypad") == "1 keypad" and counted(0, "entry", "entries") == "0 entries"
    assert listed([]) == "" and listed(["a"]) == "a" and listed(["a", "b", "c"]) == "a, b and c"
