"""Properties proved and refuted on a small house; every refutation with a story that holds on the panel itself."""

from dataclasses import replace

from tests.unit.panel.panel_house import HOUSE, with_zone

from wardwright.panel.programme import PathRow, Response
from wardwright.panel.verify import Answer, verify

DOOR, HALL, WINDOW, LOUNGE, PANIC = range(5)


def refuted(answers: tuple[Answer, ...]) -> dict[str, Answer]:
    assert not [a.key for a in answers if a.proved is None]
    return {a.key: a for a in answers if a.proved is False}


def test_a_good_programme_holds() -> None:
    assert refuted(verify(replace(HOUSE, confirmation=True))) == {}


def test_profiles_that_set_otherwise_hold_too() -> None:
    assert (
        refuted(verify(replace(HOUSE, two_stage_setting=True, confirmation=True, entry_stops_confirmation=True))) == {}
    )
    american = replace(
        HOUSE, exit_error=True, unvacated_to_inside=True, off_route_stops_setting=False, bell_while_unset=True
    )
    assert refuted(verify(american)) == {}


def test_a_path_that_dies_unseen_costs_an_attempt_and_no_report() -> None:
    programme = replace(HOUSE, paths=(PathRow("ip", silent_when_down=True), PathRow("cellular")))
    assert refuted(verify(programme)) == {}


def test_the_story_tells_how_a_window_gives_entry_time() -> None:
    found = refuted(verify(with_zone(HOUSE, WINDOW, response=Response.ENTRY_EXIT)))
    answer = found["entry-by-final-door"]
    assert answer.zone == WINDOW
    lines = answer.story.splitlines()
    assert lines[0].startswith("0 s: a user asks: set away")
    assert lines[-1].startswith("60 s: Window trips → entry on")


def test_a_bell_longer_than_permitted_is_caught_and_the_count_is_kept() -> None:
    found = refuted(verify(replace(HOUSE, bell_ms=1_000_000)))
    assert {"bell-stops", "inner-stops"} <= set(found)


def test_an_isolated_zone_is_the_only_one_whose_tamper_is_not_told() -> None:
    answer = next(a for a in verify(HOUSE) if a.key == "tamper-told")
    assert answer.proved
    assert "isolated" in answer.exclusions


def test_answers_say_what_was_reduced_and_nothing_is_bounded() -> None:
    by_key = {a.key: a for a in verify(HOUSE)}
    assert any("treated alike" in r for r in by_key["zone-answered"].reductions)
    assert any("any number of others" in r for r in by_key["alarm-reported"].reductions)
    assert not [a.key for a in by_key.values() if a.bound]
