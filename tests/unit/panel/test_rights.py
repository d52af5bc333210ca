"""Rights by area, day, hour and expiry."""

from datetime import date, datetime

from wardwright.panel.events import Ask
from wardwright.panel.rights import RightRow, allowed, good_at, without_anybody

CLEANER = RightRow("cleaner", (0,), frozenset({"set", "unset"}), ("tue", "fri"), 9 * 60, 12 * 60)
NIGHT_GUARD = RightRow("guard", (1,), frozenset({"unset"}), ("fri",), 22 * 60, 6 * 60)
TENANT = RightRow("tenant", (0,), frozenset({"set", "unset", "bypass"}), expires=date(2024, 6, 30))
TUESDAY, FRIDAY = datetime(2024, 1, 2, 10, 0), datetime(2024, 1, 5, 23, 0)


def test_the_cleaner_may_on_her_days_and_hours_in_her_area() -> None:
    assert allowed([CLEANER], "cleaner", Ask.UNSET, 0, TUESDAY)
    assert not allowed([CLEANER], "cleaner", Ask.UNSET, 1, TUESDAY)
    assert not allowed([CLEANER], "cleaner", Ask.UNSET, 0, TUESDAY.replace(day=3))
    assert not allowed([CLEANER], "cleaner", Ask.UNSET, 0, TUESDAY.replace(hour=12))
    assert not allowed([CLEANER], "cleaner", Ask.INHIBIT, 0, TUESDAY)
    assert not allowed([CLEANER], "somebody else", Ask.UNSET, 0, TUESDAY)


def test_a_night_belongs_to_the_day_it_began_on() -> None:
    assert good_at(NIGHT_GUARD, FRIDAY)
    assert good_at(NIGHT_GUARD, datetime(2024, 1, 6, 5, 59))
    assert not good_at(NIGHT_GUARD, datetime(2024, 1, 6, 6, 0))
    assert not good_at(NIGHT_GUARD, datetime(2024, 1, 5, 5, 0))


def test_a_right_ends_with_its_last_day() -> None:
    assert allowed([TENANT], "tenant", Ask.SET_AWAY, 0, datetime(2024, 6, 30, 23, 59))
    assert not allowed([TENANT], "tenant", Ask.SET_AWAY, 0, datetime(2024, 7, 1, 0, 0))


def test_a_call_for_help_needs_no_right_and_isolating_needs_the_firm() -> None:
    assert allowed([], "anybody", Ask.HOLD_UP, 0, TUESDAY)
    assert not allowed([TENANT], "tenant", Ask.ISOLATE, 0, TUESDAY)


def test_the_first_hour_at_which_nobody_may_is_found() -> None:
    monday = datetime(2024, 1, 1)
    owner = RightRow("owner", (0,), frozenset({"unset"}), from_minute=6 * 60, until_minute=23 * 60)
    assert without_anybody([owner], Ask.UNSET, 0, monday) == monday
    night = RightRow("watch", (0,), frozenset({"unset"}), from_minute=23 * 60, until_minute=6 * 60)
    assert without_anybody([owner, night], Ask.UNSET, 0, monday) is None
    assert without_anybody([], Ask.UNSET, 0, monday) == monday
