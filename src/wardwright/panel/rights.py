"""Who may do what, where and when. Codes are never known here: only the right a code stands for."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from wardwright.panel.events import Ask

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
NEEDS: dict[Ask, str] = {
    Ask.SET_AWAY: "set",
    Ask.SET_INSIDE: "set",
    Ask.UNSET: "unset",
    Ask.DURESS_UNSET: "unset",
    Ask.INHIBIT: "bypass",
    Ask.ISOLATE: "engineer",
    Ask.RESTORE: "unset",
    Ask.OVERRIDE: "bypass",
}
"""What right each request needs. A call for help needs none. Inhibiting is for users, isolating for the firm
(EN 50131-1 clauses 8.3.10 and 8.3.11, from memory)."""


@dataclass(frozen=True)
class RightRow:
    """One right."""

    holder: str
    areas: tuple[int, ...]
    may: frozenset[str]
    days: tuple[str, ...] = ()
    """Empty: every day."""
    from_minute: int | None = None
    """Minute of the day; None with ``until_minute`` None: any hour. From later than until: over midnight."""
    until_minute: int | None = None
    expires: date | None = None
    """Last day it is good for."""


def allowed(rights: Iterable[RightRow], holder: str, ask: Ask, area: int, when: datetime) -> bool:
    """Whether somebody may ask this of an area at this moment.

    Parameters
    ----------
    rights : iterable of RightRow
        All rights given.
    holder : str
        Who asks.
    ask : Ask
        What is asked.
    area : int
        Of which area.
    when : datetime
        Local time.

    Returns
    -------
    bool
        True where one right allows it. A call for help is always allowed.
    """
    if ask is Ask.HOLD_UP:
        return True
    return any(
        right.holder == holder and area in right.areas and NEEDS[ask] in right.may and good_at(right, when)
        for right in rights
    )


def good_at(right: RightRow, when: datetime) -> bool:
    """Whether a right is good at a moment: day, hour, expiry. A night that began on its day belongs to that day."""
    start, end = right.from_minute, right.until_minute
    minute = when.hour * 60 + when.minute
    day = when.date()
    if start is not None and end is not None and start > end:
        if minute < end:
            day -= timedelta(days=1)
        elif minute < start:
            return False
    elif not (0 if start is None else start) <= minute < (24 * 60 if end is None else end):
        return False
    if right.days and DAYS[day.weekday()] not in right.days:
        return False
    return right.expires is None or day <= right.expires


def without_anybody(rights: Sequence[RightRow], ask: Ask, area: int, monday: datetime) -> datetime | None:
    """The first moment of a week at which nobody may ask this of an area.

    Parameters
    ----------
    rights : sequence of RightRow
        All rights given.
    ask : Ask
        What is asked.
    area : int
        Of which area.
    monday : datetime
        Where the week begins.

    Returns
    -------
    datetime or None
        None where somebody always may. Only the moments at which a right begins or ends are looked at: between them
        nothing changes.
    """
    for when in sorted(set(_turns(rights, monday))):
        if not any(allowed(rights, holder, ask, area, when) for holder in {r.holder for r in rights}):
            return when
    return None


def _turns(rights: Sequence[RightRow], monday: datetime) -> Iterator[datetime]:
    for number in range(7):
        midnight = monday + timedelta(days=number)
        yield midnight
        for right in rights:
            for minute in (right.from_minute, right.until_minute):
                if minute is not None:
                    yield midnight + timedelta(minutes=minute)
