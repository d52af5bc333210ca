"""A client's paper that is lost tells a burglar nothing."""

from dataclasses import replace

import pytest
from tests.unit.documents import invented_house as house

from wardwright.documents.client import how_it_works
from wardwright.documents.client_view import IN_PERSON, hidden_devices, safe_sentence, says_too_much, visible_devices
from wardwright.findings import Outcome, Question


def test_control_equipment_is_kept_back() -> None:
    scheme = house.scheme()
    assert {d.id for d in hidden_devices(scheme)} == {"CP-1", "CM-1", "PS-1"}
    shown = {d.id for d in visible_devices(scheme)}
    assert "KP-1" in shown and "PIR-1" in shown
    assert not shown & {"CP-1", "CM-1", "PS-1"}


@pytest.mark.parametrize(
    ("text", "telling"),
    [
        ("Battery of CP-1 lasts", True),
        ("the PANEL BEHIND THE COATS", True),
        ("CP-10 is another thing", False),
        ("Control panel, 8 inputs, locked metal enclosure", False),
        ("", False),
    ],
)
def test_texts_that_name_a_hidden_device_are_found(text: str, telling: bool) -> None:
    assert says_too_much(text, house.scheme()) is telling


def test_a_weak_place_is_never_named() -> None:
    scheme = house.scheme()
    base = house.findings()[0]
    weak = replace(base, question=Question.ENTRY, outcome=Outcome.NOT_MET, plain="Nothing watches the Kitchen window.")
    assert safe_sentence(weak, scheme) == IN_PERSON
    assert safe_sentence(replace(weak, outcome=Outcome.NOT_DECIDED), scheme) == IN_PERSON
    assert safe_sentence(replace(weak, plain="One window is not watched."), scheme) == "One window is not watched."
    good = replace(weak, outcome=Outcome.MET, plain="The Kitchen window is watched.")
    assert safe_sentence(good, scheme) == "The Kitchen window is watched."
    hidden = replace(good, plain="Panel behind the coats is locked.")
    assert safe_sentence(hidden, scheme) == ""
    assert safe_sentence(replace(hidden, outcome=Outcome.NOT_MET), scheme) == IN_PERSON
    assert safe_sentence(replace(good, plain=" "), scheme) == ""


def test_how_it_works_follows_the_programme() -> None:
    told = dict(how_it_works(house.scheme()))
    assert "45 s" in told["Going out"] and "30 s" in told["Coming home"]
    assert "second detector" in told["When it notices somebody"]
    assert "House and Workshop" in told["Areas"]
    scheme = house.scheme()
    quiet = type(scheme)(
        scheme.premises, scheme.design, scheme.catalogue, scheme.brief.model_copy(update={"monitored": False})
    )
    told = dict(how_it_works(quiet))
    assert "If you set it off yourself" not in told
    assert "receiving centre" not in told["When it notices somebody"]
