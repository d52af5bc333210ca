"""How long a panel's timers may be by profile, and what they are where nobody says otherwise."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

from wardwright.design.brief import Profile


@dataclass(frozen=True)
class TimerLimit:
    """One timer under one profile. [s]"""

    timer: str
    default_s: float
    least_s: float | None
    most_s: float | None
    row: str
    """Rows of the register of standards it comes from."""
    known: str


@cache
def timer_limits(profile: Profile) -> dict[str, TimerLimit]:
    """Limits of a profile's timers, by the timer's name in :class:`~wardwright.design.programme.Timers`.

    Parameters
    ----------
    profile : Profile
        The brief's profile.

    Returns
    -------
    dict of str to TimerLimit
        Timers the profile says nothing about are left out.
    """
    text = resources.files("wardwright.design").joinpath("timer_limits.csv").read_text(encoding="utf-8")
    return {
        r["timer"]: TimerLimit(
            r["timer"],
            float(r["default_s"]),
            float(r["least_s"]) if r["least_s"] else None,
            float(r["most_s"]) if r["most_s"] else None,
            r["row"],
            r["known"],
        )
        for r in csv.DictReader(text.splitlines())
        if r["profile"] == profile.value
    }
