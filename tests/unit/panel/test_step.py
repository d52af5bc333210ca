"""The transition function, walked by hand through what the trade expects of a panel."""

from dataclasses import replace

import pytest
from tests.unit.panel.panel_house import DOOR, HALL, HOUSE, LOUNGE, PANIC, WINDOW

from wardwright.panel.events import (
    Action,
    Ask,
    Condition,
    Delivered,
    DeviceBattery,
    Dropped,
    Elapse,
    Event,
    PathEvent,
    Queued,
    Refused,
    Sound,
    SupplyEvent,
    TamperEvent,
    UserEvent,
    WrongCode,
    ZoneEvent,
)
from wardwright.panel.programme import PanelProgramme, PathRow, Response
from wardwright.panel.state import PanelState, at_rest
from wardwright.panel.step import step
from wardwright.panel.tables import CODES, PHASES, TAKES, Phase, Stage


def play(
    *events: Event, programme: PanelProgramme = HOUSE, start: PanelState | None = None
) -> tuple[PanelState, list[Action]]:
    state = start or at_rest(programme)
    done: list[Action] = []
    for event in events:
        state, actions = step(programme, state, event)
        done.extend(actions)
    return state, done


def opened(zone: int) -> ZoneEvent:
    return ZoneEvent(zone, Condition.ACTIVE)


def shut(zone: int) -> ZoneEvent:
    return ZoneEvent(zone, Condition.NORMAL)


def reports(actions: list[Action]) -> list[str]:
    return [a.report.what for a in actions if isinstance(a, Queued)]


def delivered(actions: list[Action]) -> list[str]:
    return [a.report.what for a in actions if isinstance(a, Delivered)]


SET_AWAY = (UserEvent(Ask.SET_AWAY), opened(DOOR), shut(DOOR), Elapse(60_000), Elapse(130_000))


def test_leaving_and_coming_home_causes_no_alarm() -> None:
    state, done = play(*SET_AWAY, opened(DOOR), shut(DOOR), opened(HALL), Elapse(20_000), UserEvent(Ask.UNSET))
    assert state.areas[0].phase is Phase.UNSET
    assert reports(done) == ["set away", "unset"]
    assert Sound("bell", True) not in done


def test_entry_time_over_alarms_and_names_the_door() -> None:
    _, done = play(*SET_AWAY, opened(DOOR), Elapse(29_999))
    assert "entry/exit" not in reports(done)
    _, done = play(*SET_AWAY, opened(DOOR), Elapse(30_000))
    assert reports(done)[-1] == "entry/exit"
    assert Sound("bell", True) in done


def test_a_window_alarms_at_once_and_is_held_for_the_abort_window() -> None:
    _, done = play(*SET_AWAY, opened(WINDOW))
    assert reports(done)[-1] == "perimeter"
    _, done = play(*SET_AWAY, opened(WINDOW), Elapse(30_000), Elapse(3_999))
    assert "perimeter" not in delivered(done)
    _, done = play(*SET_AWAY, opened(WINDOW), Elapse(34_000))
    assert delivered(done)[-1] == "perimeter"


def test_a_user_within_the_abort_window_stops_the_report_and_afterwards_sends_a_cancel() -> None:
    _, done = play(*SET_AWAY, opened(WINDOW), Elapse(10_000), UserEvent(Ask.UNSET), Elapse(60_000))
    assert [a.report.what for a in done if isinstance(a, Dropped)] == ["perimeter"]
    assert "perimeter" not in delivered(done)
    assert "cancel" not in reports(done)
    _, done = play(*SET_AWAY, opened(WINDOW), Elapse(60_000), UserEvent(Ask.UNSET), Elapse(60_000))
    assert delivered(done)[-3:] == ["perimeter", "cancel", "unset"]


def test_a_follower_alarms_without_an_entry_and_an_interior_zone_does_during_one() -> None:
    _, done = play(*SET_AWAY, opened(HALL))
    assert reports(done)[-1] == "interior follower"
    state, done = play(*SET_AWAY, opened(DOOR), opened(LOUNGE))
    assert reports(done)[-1] == "interior"
    assert state.areas[0].phase is Phase.SET


def test_set_with_people_inside_leaves_the_interior_out_and_keeps_the_windows() -> None:
    inside = (UserEvent(Ask.SET_INSIDE), Elapse(60_000))
    _, done = play(*inside, opened(HALL), opened(LOUNGE))
    assert reports(done) == ["set inside"]
    _, done = play(*inside, opened(WINDOW))
    assert reports(done)[-2:] == ["perimeter", "recent closing"]


def test_exit_time_restarts_once_and_never_twice() -> None:
    back = (opened(DOOR), shut(DOOR))
    state, _ = play(UserEvent(Ask.SET_AWAY), Elapse(30_000), *back, Elapse(20_000), *back)
    assert state.areas[0].left_ms == 60_000
    state, _ = play(Elapse(20_000), *back, start=state)
    assert state.areas[0].left_ms == 40_000


def test_an_open_window_prevents_setting_until_it_is_left_out_for_one_set_period() -> None:
    state, done = play(opened(WINDOW), UserEvent(Ask.SET_AWAY))
    assert [a.why for a in done if isinstance(a, Refused)] == ["Window"]
    state, done = play(UserEvent(Ask.INHIBIT, zone=WINDOW), UserEvent(Ask.SET_AWAY), Elapse(60_000), start=state)
    assert state.areas[0].phase is Phase.SET
    state, done = play(UserEvent(Ask.UNSET), start=state)
    assert not state.zones[WINDOW].inhibited
    state, _ = play(UserEvent(Ask.ISOLATE, zone=WINDOW), *SET_AWAY, UserEvent(Ask.UNSET), start=state)
    assert state.zones[WINDOW].isolated


def test_a_hold_up_reports_in_every_mode_without_a_sound_where_silent() -> None:
    for before in ((), SET_AWAY, (UserEvent(Ask.SET_INSIDE), Elapse(60_000))):
        _, done = play(*before, opened(PANIC))
        assert reports(done)[-1] == "hold-up silent"
        assert not [a for a in done if isinstance(a, Sound) and a.output in {"bell", "inner"} and a.on]


def test_a_tamper_is_reported_in_every_mode() -> None:
    for before in ((), SET_AWAY, (UserEvent(Ask.SET_INSIDE), Elapse(60_000)), (*SET_AWAY, opened(DOOR))):
        for tamper in (ZoneEvent(HALL, Condition.TAMPER), TamperEvent("panel lid", good=False)):
            _, done = play(*before, tamper)
            assert reports(done)[-1] == "tamper"


def test_the_bell_stops_in_time_and_sounds_no_more_than_its_limit() -> None:
    state, done = play(*SET_AWAY, opened(WINDOW), Elapse(599_999))
    assert state.bell_left_ms == 1
    state, done = play(Elapse(1), start=state)
    assert Sound("bell", False) in done
    programme = replace(HOUSE, zones=tuple(replace(z, swinger_count=6) for z in HOUSE.zones))
    again = (shut(WINDOW), opened(WINDOW), Elapse(700_000))
    _, done = play(*SET_AWAY, *again * 5, programme=programme)
    assert done.count(Sound("bell", True)) == programme.bell_limit


def test_a_swinging_zone_is_shut_down_until_the_set_period_ends() -> None:
    again = (opened(WINDOW), shut(WINDOW))
    state, done = play(*SET_AWAY, *again * 4)
    assert reports(done).count("perimeter") == 2
    assert reports(done).count("swinger shutdown") == 1
    _, done = play(UserEvent(Ask.UNSET), *SET_AWAY, opened(WINDOW), start=state)
    assert "perimeter" in reports(done)


def test_confirmation_needs_two_independent_detectors_within_the_window_and_is_sent_once() -> None:
    twin = replace(HOUSE.zones[LOUNGE], detector="MC-2")
    programme = replace(HOUSE, confirmation=True, zones=(*HOUSE.zones[:LOUNGE], twin, *HOUSE.zones[PANIC:]))
    _, done = play(*SET_AWAY, opened(WINDOW), opened(LOUNGE), programme=programme)
    assert "confirmed intruder" not in reports(done)
    _, done = play(*SET_AWAY, opened(WINDOW), opened(HALL), shut(HALL), opened(HALL), programme=programme)
    assert reports(done).count("confirmed intruder") == 1
    _, done = play(*SET_AWAY, opened(WINDOW), Elapse(1_800_001), opened(HALL), programme=programme)
    assert "confirmed intruder" not in reports(done)


def test_cross_zoning_waits_for_the_second_zone() -> None:
    zones = (*HOUSE.zones[:HALL], replace(HOUSE.zones[HALL], cross_zone=LOUNGE), HOUSE.zones[WINDOW])
    programme = replace(HOUSE, zones=(*zones, replace(HOUSE.zones[LOUNGE], cross_zone=HALL), HOUSE.zones[PANIC]))
    _, done = play(*SET_AWAY, opened(HALL), Elapse(60_001), opened(LOUNGE), programme=programme)
    assert reports(done) == ["set away"]
    _, done = play(*SET_AWAY, opened(HALL), Elapse(59_999), opened(LOUNGE), programme=programme)
    assert "interior" in reports(done)


def test_reports_go_by_the_second_path_when_the_first_is_cut_and_wait_when_both_are() -> None:
    state, done = play(*SET_AWAY, PathEvent(0, up=False), opened(WINDOW), Elapse(34_000))
    assert [(a.report.what, a.path) for a in done if isinstance(a, Delivered)][-1] == ("perimeter", 1)
    state, done = play(*SET_AWAY, PathEvent(0, up=False), PathEvent(1, up=False), opened(WINDOW), Elapse(9_000_000))
    assert "perimeter" not in delivered(done)
    _, done = play(PathEvent(1, up=True), Elapse(60_000), start=state)
    assert "perimeter" in delivered(done)


def test_a_path_cut_while_sending_loses_nothing() -> None:
    _, done = play(*SET_AWAY, opened(WINDOW), Elapse(31_000), PathEvent(0, up=False), Elapse(60_000))
    assert "perimeter" in delivered(done)


def test_mains_loss_alone_never_alarms_and_is_reported_after_its_delay() -> None:
    state, done = play(*SET_AWAY, SupplyEvent("mains", good=False), Elapse(3_599_999))
    assert reports(done) == ["set away"]
    _, done = play(Elapse(1), SupplyEvent("mains", good=True), start=state)
    assert reports(done) == ["mains lost", "mains restored"]


def test_after_total_power_loss_it_is_set_as_before_and_deaf_for_a_minute() -> None:
    state, _ = play(*SET_AWAY, SupplyEvent("power", good=False), Elapse(10_000), SupplyEvent("power", good=True))
    assert state.areas[0].phase is Phase.SET
    _, done = play(opened(WINDOW), shut(WINDOW), Elapse(60_000), opened(WINDOW), start=state)
    assert reports(done).count("perimeter") == 1


def test_wrong_codes_lock_the_keypad_and_are_reported() -> None:
    state, done = play(*SET_AWAY, *[WrongCode()] * 5)
    assert reports(done)[-1] == "wrong codes"
    _, done = play(UserEvent(Ask.UNSET), start=state)
    assert any(isinstance(a, Refused) for a in done)
    _, done = play(UserEvent(Ask.HOLD_UP), start=state)
    assert reports(done) == ["hold-up silent"]
    state, _ = play(Elapse(90_000), UserEvent(Ask.UNSET), start=state)
    assert state.areas[0].phase is Phase.UNSET


def test_unsetting_under_duress_unsets_and_signals() -> None:
    state, done = play(*SET_AWAY, UserEvent(Ask.DURESS_UNSET))
    assert state.areas[0].phase is Phase.UNSET
    assert "duress" in reports(done)


def test_a_door_left_open_fails_to_set_or_gives_an_exit_error_by_profile() -> None:
    leaving = (UserEvent(Ask.SET_AWAY), opened(DOOR), Elapse(60_000))
    state, done = play(*leaving)
    assert state.areas[0].phase is Phase.UNSET
    assert reports(done) == ["failed to set"]
    state, done = play(*leaving, programme=replace(HOUSE, exit_error=True))
    assert state.areas[0].phase is Phase.ENTRY
    assert reports(done) == ["exit error"]


def test_two_stage_setting_is_completed_by_the_final_door() -> None:
    programme = replace(HOUSE, two_stage_setting=True)
    state, _ = play(UserEvent(Ask.SET_AWAY), Elapse(5_000), opened(DOOR), shut(DOOR), programme=programme)
    assert state.areas[0].phase is Phase.SET
    state, done = play(UserEvent(Ask.SET_AWAY), Elapse(60_000), programme=programme)
    assert state.areas[0].phase is Phase.UNSET
    assert "failed to set" in reports(done)


def test_tables_are_complete() -> None:
    assert all(set(row) == set(Stage) for row in TAKES.values())
    assert set(TAKES) == set(Response)
    assert {phase for phase, _ in PHASES} == set(Phase)
    assert all(len(contact_id) == 4 and contact_id[0] in "136" and len(sia) == 2 for contact_id, sia in CODES.values())


@pytest.mark.parametrize("split", [1, 7, 1000, 29_999])
def test_time_in_pieces_is_the_same_as_time_at_once(split: int) -> None:
    story = (*SET_AWAY, opened(DOOR))
    whole, done = play(*story, Elapse(120_000))
    pieces = [Elapse(split)] * min(120_000 // split, 400)
    pieces.append(Elapse(120_000 - sum(e.ms for e in pieces)))
    in_pieces, done_in_pieces = play(*story, *[e for e in pieces if e.ms])
    assert whole == in_pieces
    assert done == done_in_pieces


def test_a_door_into_two_areas_starts_entry_in_the_one_that_is_still_set() -> None:
    shared = replace(HOUSE.zones[DOOR], areas=(0, 1))
    own = replace(HOUSE.zones[DOOR], number=6, areas=(1,))
    programme = replace(HOUSE, zones=(shared, *HOUSE.zones[1:], own), areas=(*HOUSE.areas, HOUSE.areas[0]))
    leaving = (UserEvent(Ask.SET_AWAY, 0), UserEvent(Ask.SET_AWAY, 1), opened(DOOR), shut(DOOR), Elapse(60_000))
    state, done = play(*leaving, opened(len(programme.zones) - 1), opened(DOOR), programme=programme)
    assert [a.phase for a in state.areas] == [Phase.ENTRY, Phase.ENTRY]
    assert "entry/exit" not in reports(done)
    state, done = play(Elapse(30_000), programme=programme, start=state)
    assert reports(done).count("entry/exit") == 2


def test_a_window_vented_at_night_is_left_out_for_that_night_only() -> None:
    zones = (*HOUSE.zones[:WINDOW], replace(HOUSE.zones[WINDOW], may_be_vented=True), *HOUSE.zones[LOUNGE:])
    programme = replace(HOUSE, zones=zones)
    state, done = play(opened(WINDOW), UserEvent(Ask.SET_INSIDE), Elapse(60_000), programme=programme)
    assert state.areas[0].phase is Phase.SET
    assert reports(done) == ["inhibited", "set inside"]
    state, done = play(UserEvent(Ask.UNSET), UserEvent(Ask.SET_AWAY), programme=programme, start=state)
    assert [a.why for a in done if isinstance(a, Refused)] == ["Window"]


def test_no_more_zones_are_left_out_than_allowed() -> None:
    programme = replace(HOUSE, bypass_limit=1)
    asked = (
        UserEvent(Ask.INHIBIT, zone=WINDOW),
        UserEvent(Ask.INHIBIT, zone=LOUNGE),
        UserEvent(Ask.ISOLATE, zone=PANIC),
    )
    state, done = play(*asked, programme=programme)
    assert [z.inhibited or z.isolated for z in state.zones] == [False, False, True, False, False]
    assert len([a for a in done if isinstance(a, Refused)]) == 2


def test_a_silent_path_is_found_dead_by_an_attempt_and_the_next_is_taken() -> None:
    programme = replace(HOUSE, paths=(PathRow("ip", silent_when_down=True), PathRow("cellular")))
    _, done = play(PathEvent(0, up=False), opened(PANIC), Elapse(7_999), programme=programme)
    assert delivered(done) == []
    _, done = play(PathEvent(0, up=False), opened(PANIC), Elapse(8_000), programme=programme)
    assert [(a.report.what, a.path) for a in done if isinstance(a, Delivered)] == [("hold-up silent", 1)]


def test_what_opened_while_the_power_was_off_is_heard_once_the_panel_listens_again() -> None:
    cut = (SupplyEvent("power", good=False), opened(WINDOW), ZoneEvent(HALL, Condition.TAMPER))
    state, done = play(*SET_AWAY, *cut, SupplyEvent("power", good=True))
    assert reports(done)[-1] == "tamper"
    _, done = play(Elapse(60_000), start=state)
    assert reports(done)[0] == "perimeter"


def test_a_radio_device_lost_or_low_is_told() -> None:
    events = (ZoneEvent(LOUNGE, Condition.MISSING), ZoneEvent(LOUNGE, Condition.NORMAL))
    _, done = play(*events, DeviceBattery(LOUNGE, good=False), DeviceBattery(LOUNGE, good=True))
    told = ["supervision lost", "supervision restored", "radio battery low", "radio battery restored"]
    assert reports(done) == told


def test_the_first_detector_heard_again_opens_the_window_afresh() -> None:
    programme = replace(HOUSE, confirmation=True)
    late = (opened(WINDOW), shut(WINDOW), Elapse(1_700_000), opened(WINDOW), Elapse(200_000), opened(LOUNGE))
    _, done = play(*SET_AWAY, *late, programme=programme)
    assert "confirmed intruder" in reports(done)


def test_unsetting_another_area_does_not_silence_an_alarm() -> None:
    programme = replace(HOUSE, areas=(*HOUSE.areas, HOUSE.areas[0]))
    state, _ = play(*SET_AWAY, opened(WINDOW), UserEvent(Ask.UNSET, 1), programme=programme)
    assert state.bell_left_ms
    state, _ = play(UserEvent(Ask.UNSET, 0), programme=programme, start=state)
    assert not state.bell_left_ms


def test_nobody_is_told_that_something_is_over_before_being_told_of_it() -> None:
    """A restoral waits for the alarm that is held before it, and is stopped with it."""
    _, done = play(*SET_AWAY, opened(WINDOW), Elapse(1_000), shut(WINDOW), Elapse(60_000))
    assert delivered(done)[-2:] == ["perimeter", "intruder restored"]
    _, done = play(*SET_AWAY, opened(WINDOW), Elapse(1_000), shut(WINDOW), UserEvent(Ask.UNSET), Elapse(60_000))
    assert [a.report.what for a in done if isinstance(a, Dropped)] == ["perimeter", "intruder restored"]
    assert delivered(done)[-1] == "unset"


def test_the_strobe_goes_on_after_the_bell_and_stops_when_somebody_unsets() -> None:
    state, done = play(*SET_AWAY, opened(WINDOW), shut(WINDOW), Elapse(HOUSE.bell_ms))
    assert Sound("bell", False) in done
    assert Sound("strobe", False) not in done
    _, done = play(UserEvent(Ask.UNSET), start=state)
    assert Sound("strobe", False) in done
