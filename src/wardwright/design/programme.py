"""What the panel is told: areas, zones, responses, timers, rights, outputs, reporting."""

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from wardwright.model import Id, NonNegative, Positive, Record


class ZoneResponse(StrEnum):
    """What the panel does when a zone trips."""

    ENTRY_EXIT = "entry/exit"
    PERIMETER = "perimeter"
    INTERIOR = "interior"
    INTERIOR_FOLLOWER = "interior follower"
    """Delayed only when an entry/exit zone tripped first."""
    DAY_24H = "24-hour"
    HOLD_UP = "hold-up"
    TAMPER = "tamper"
    TROUBLE = "trouble"
    FIRE = "fire"
    TECHNICAL = "technical"


class Area(Record):
    """A part of the premises that is set and unset by itself."""

    id: Id
    name: str
    entry_s: NonNegative | None = None
    """None: the programme's. [s]"""
    exit_s: NonNegative | None = None


class Zone(Record):
    """One input as the panel knows it."""

    id: Id
    number: Annotated[int, Field(ge=1, le=999)]
    name: str
    area_ids: tuple[Id, ...] = Field(min_length=1)
    response: ZoneResponse
    loop_id: Id | None = None
    """The wired loop; None for radio devices."""
    device_ids: tuple[Id, ...] = ()
    """Devices that report by this zone (for a loop: its contacts)."""
    set_with_people_inside: bool = True
    """Watched when set with people inside; interior zones are usually left out."""
    may_bypass: bool = True
    may_be_vented: bool = False
    """Its window may stand open for air while people are inside; it is then left out for that set period."""
    chime: bool = False
    cross_zone_id: Id | None = None
    swinger_count: Annotated[int, Field(ge=1, le=6)] | None = None
    silent: bool = False


class Timers(Record):
    """Times the panel works by. [s]"""

    entry_s: NonNegative = 30.0
    exit_s: NonNegative = 60.0
    bell_s: NonNegative = 600.0
    abort_s: NonNegative = 30.0
    cancel_s: NonNegative = 300.0
    confirm_window_s: NonNegative = 1800.0
    cross_zone_s: NonNegative = 60.0
    mains_fail_delay_s: NonNegative = 3600.0
    path_fail_delay_s: NonNegative = 100.0
    swinger_count: Annotated[int, Field(ge=1, le=6)] = 2
    exit_restart: bool = True


class Right(Record):
    """Who may do what, where and when. Never a code."""

    id: Id
    holder: str
    """Id of a person, or a role in words."""
    area_ids: tuple[Id, ...]
    may: tuple[Literal["set", "unset", "bypass", "test", "add users", "engineer"], ...]
    days: tuple[Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"], ...] = ()
    from_time: str = ""
    """Local time ``HH:MM``; empty: any hour."""
    until_time: str = ""
    expires: str = ""
    """ISO date; empty: no expiry."""


class Output(Record):
    """A sounder, strobe or other thing the panel drives."""

    device_id: Id
    on: tuple[Literal["intruder", "hold-up", "tamper", "fire", "technical", "set", "entry", "exit"], ...] = (
        "intruder",
    )


class Dependency(Record):
    """Something a reporting path hangs on."""

    name: str
    kind: Literal["router", "modem", "switch", "wi-fi", "cellular network", "line", "subscription", "mains", "other"]
    backup_h: NonNegative = 0.0
    """Hours it runs without mains."""
    ends: str = ""
    """ISO date when it ends (subscription, network)."""
    level_dbm: float | None = None
    down_h_year: NonNegative | None = None
    """Hours a year it is down for reasons of its own. None: assumed by its kind. [h/year]"""


NEEDS_MAINS = ("router", "modem", "switch", "wi-fi", "mains")
"""What stops with the mains once its backup is empty."""


class ReportingPath(Record):
    """One way for the word to get out."""

    id: Id
    kind: Literal["ip", "cellular", "line"]
    device_id: Id
    priority: Annotated[int, Field(ge=1, le=9)] = 1
    hangs_on: tuple[Dependency, ...] = ()
    category: str = ""
    """EN 50136-1 category as ordered, for example ``SP4`` or ``DP2``."""
    reporting_interval_s: Positive | None = None

    @property
    def without_mains_h(self) -> float | None:
        """Hours it works without mains; None: as long as the panel itself. [h]"""
        return min((d.backup_h for d in self.hangs_on if d.kind in NEEDS_MAINS), default=None)


class Programme(Record):
    """The whole of it."""

    areas: tuple[Area, ...] = ()
    zones: tuple[Zone, ...] = ()
    timers: Timers = Timers()
    rights: tuple[Right, ...] = ()
    outputs: tuple[Output, ...] = ()
    paths: tuple[ReportingPath, ...] = ()
    confirmation: Literal["none", "sequential"] = "none"
    entry_path_keypad_ids: tuple[Id, ...] = ()
