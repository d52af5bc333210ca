"""The verdict in a terminal and for machines."""

import json
from dataclasses import replace

import pytest
from rich.console import Console
from tests.unit.documents import invented_house as house

from wardwright.documents.verdict_table import (
    question_answer,
    verdict_json,
    verdict_table,
    verdict_words,
)
from wardwright.errors import InputError
from wardwright.findings import Finding, Outcome, Weight


def shown(*, width: int = 150, **more: object) -> str:
    console = Console(width=width, record=True, file=None, no_color=True, quiet=False)
    with console.capture() as capture:
        console.print(verdict_table(house.proof(), **more))
    return capture.get()


def test_a_person_can_read_it() -> None:
    text = shown()
    assert "Is every way in watched?" in text and "not proved" in text
    assert "■ fails" in text and "◐ open" in text
    assert "1 required claim fails, and 3 are open. 1 departure accepted. 1 acceptance has lapsed." in text
    assert "Turn PIR-2 so that the window wall crosses its field." in shown(width=300)
    assert "The stove lies 2 m outside the field." not in text
    assert "The stove lies 2 m outside the field." in shown(every=True)
    assert max(len(line) for line in shown(width=80).splitlines()) <= 80


def test_machines_get_the_same() -> None:
    proof = house.proof()
    told = json.loads(verdict_json(proof))
    assert told["verdict"] == "not met" and told["invented"] is True
    assert len(told["findings"]) == len(proof.findings)
    answers = {q["key"]: q["answer"] for q in told["questions"]}
    assert answers == {
        "entry": "not decided",
        "route": "not met",
        "attack": None,
        "power": "met",
        "signal": None,
        "nuisance": "met",
        "living": "met",
        "rules": "not decided",
    }
    taken = [f for f in told["findings"] if f["accepted"]]
    assert [f["rule"] for f in taken] == ["power.voltage"]


def test_one_question_by_itself() -> None:
    text = shown(question="power", width=300)
    assert "Voltage at PIR-2 at the end of discharge. Accepted." in text
    assert "The quietest way" not in text
    with pytest.raises(InputError, match="there is no question “cost”"):
        shown(question="cost")


def test_nothing_is_passed_by_silence() -> None:
    base = house.proof()
    good = tuple(f for f in base.findings if f.outcome is Outcome.MET and f.weight is Weight.REQUIRED)

    def words(*findings: Finding) -> str:
        return verdict_words(replace(base, findings=findings, accepted=()))

    assert words() == "Nothing that is required is proved: there is no design to speak of yet."
    assert words(*good) == "All that is required holds."
    failing = replace(good[0], outcome=Outcome.NOT_MET)
    for weight in (Weight.RECOMMENDED, Weight.REMEMBERED):
        assert words(*good, replace(failing, weight=weight)) == "All that is required holds."
    unsure = replace(good[0], outcome=Outcome.NOT_DECIDED)
    assert words(*good, unsure) == "Nothing required fails, but 1 required claim is open."
    assert words(*good, unsure, failing) == "1 required claim fails, and 1 is open."


@pytest.mark.parametrize(
    ("cases", "answer"),
    [
        ([], None),
        ([("met", "required"), ("not met", "recommended")], ("met", "required")),
        ([("does not apply", "required"), ("not decided", "remembered")], ("not decided", "remembered")),
        ([("does not apply", "required")], ("does not apply", "required")),
        ([("met", "required"), ("not decided", "required"), ("not met", "required")], ("not met", "required")),
    ],
)
def test_the_answer_to_a_question(cases: list[tuple[str, str]], answer: tuple[str, str] | None) -> None:
    base = house.findings()[0]
    group = [replace(base, outcome=Outcome(o), weight=Weight(w)) for o, w in cases]
    found = question_answer(group)
    assert (found and (found[0].value, found[1].value)) == answer
