"""A contractor's own property in one line."""

from pathlib import Path

import pytest
from tests.unit.panel.panel_house import HOUSE, WINDOW, with_zone

from wardwright.errors import InputError
from wardwright.panel.own import own_properties, own_property
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.verify import Answer, verify
from wardwright.panel.words import in_terms_of_cp_01


def answer(line: str, programme: PanelProgramme = HOUSE) -> Answer:
    return next(a for a in verify(programme, own=[own_property("mine", line, programme)]) if a.key == "own-mine")


@pytest.mark.parametrize(
    "line",
    [
        "while set away: zone “Window” trips -> alarm",
        'while set away: zone "Window" trips -> the bell',
        "while set away: zone “3” trips -> report perimeter",
        "while set away: zone “Front door” trips -> entry time",
        "while unset: any zone trips -> no alarm",
        "while anything: zone “Panic” trips -> report hold-up silent",
        "while anything: zone “Panic” trips -> no sound",
        "while anything: the panel is opened -> keypad tamper",
        "while anything: mains fail -> it stays as it is",
        "while entry time: a user unsets -> unset",
        "while anything: a user unsets under duress -> report duress",
        "while anything: too many wrong codes -> report wrong codes",
    ],
)
def test_true_lines_are_proved(line: str) -> None:
    assert answer(line).proved is True


def test_false_lines_are_refuted_with_a_story() -> None:
    found = answer("while set away: zone “Hall” trips -> entry time")
    assert found.proved is False
    assert "Hall trips" in found.story
    found = answer("while set with people inside: zone “Lounge” trips -> alarm")
    assert found.proved is False


def test_a_named_zone_is_not_merged_with_its_like() -> None:
    twins = with_zone(HOUSE, WINDOW + 1, response=HOUSE.zones[WINDOW].response, watched_inside=True)
    silent = with_zone(twins, WINDOW, silent=False)
    assert answer("while set away: zone “Lounge” trips -> report perimeter", silent).proved is True


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("the window alarms", "while …: … -> …"),
        ("while sleeping: any zone trips -> alarm", "“sleeping” is not known"),
        ("while unset: zone “Attic” trips -> alarm", "no zone is called “Attic”"),
        ("while unset: the cat walks -> alarm", "“the cat walks” is not known"),
        ("while unset: any zone trips -> a miracle", "“a miracle” is not known"),
        ("while unset: any zone trips -> report gossip", "“gossip” is not known"),
    ],
)
def test_what_cannot_be_read_is_said_plainly(line: str, expected: str) -> None:
    with pytest.raises(InputError, match=expected):
        own_property("mine", line, HOUSE)


def test_a_file_of_them_is_read(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text('[properties]\nwindow = "while set away: zone “Window” trips -> alarm"\n', encoding="utf-8")
    assert [p.key for p in own_properties(path, HOUSE)] == ["own-window"]
    path.write_text("properties = 3", encoding="utf-8")
    with pytest.raises(InputError, match="a table"):
        own_properties(path, HOUSE)
    path.write_text("[", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be read"):
        own_properties(path, HOUSE)


def test_the_other_standards_words() -> None:
    # ANSI/SIA CP-01 speaks of arming, stay, entry and exit delay (from memory)
    said = "Set away, the entry time is over; the final door was not shut during exit time."
    assert in_terms_of_cp_01(said) == (
        "Arm away, the entry delay is over; the designated exit door was not shut during exit delay."
    )
