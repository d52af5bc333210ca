"""What reaches a panel, and what it does: events in, actions out."""

from dataclasses import dataclass
from enum import StrEnum


class Condition(StrEnum):
    """State of a zone's loop, as the input reads it."""

    NORMAL = "normal"
    ACTIVE = "active"
    TAMPER = "tamper"
    MASKED = "masked"
    REDUCED = "range reduced"
    FAULT = "fault"
    MISSING = "missing"
    """A radio device that has not been heard of for longer than its supervision time."""


class Ask(StrEnum):
    """What a user asks at a keypad."""

    SET_AWAY = "set away"
    SET_INSIDE = "set inside"
    UNSET = "unset"
    DURESS_UNSET = "unset under duress"
    INHIBIT = "inhibit"
    ISOLATE = "isolate"
    RESTORE = "restore"
    OVERRIDE = "override what prevents setting"
    HOLD_UP = "hold-up"


@dataclass(frozen=True)
class ZoneEvent:
    """A zone's loop changed."""

    zone: int
    condition: Condition


@dataclass(frozen=True)
class UserEvent:
    """A user with the right to it asked for something."""

    ask: Ask
    area: int = 0
    zone: int | None = None
    user: int = 1


@dataclass(frozen=True)
class WrongCode:
    """Somebody entered a code that fits nobody."""


@dataclass(frozen=True)
class SupplyEvent:
    """Mains or battery changed. ``power`` is the loss or return of everything."""

    what: str
    """``mains``, ``battery`` or ``power``."""
    good: bool


@dataclass(frozen=True)
class PathEvent:
    """A reporting path went down or came back."""

    path: int
    up: bool


@dataclass(frozen=True)
class TamperEvent:
    """A lid, a sounder, a keypad or an expander was tampered with or made good."""

    part: str
    good: bool


@dataclass(frozen=True)
class FaultEvent:
    """A sounder or an interconnection went wrong or was put right."""

    part: str
    good: bool


@dataclass(frozen=True)
class DeviceBattery:
    """The battery of a zone's radio device ran low or was changed."""

    zone: int
    good: bool


@dataclass(frozen=True)
class Elapse:
    """Time went by. [ms]"""

    ms: int


Event = ZoneEvent | UserEvent | WrongCode | SupplyEvent | PathEvent | TamperEvent | FaultEvent | DeviceBattery | Elapse


@dataclass(frozen=True)
class Report:
    """One report for the receiving centre.

    ``contact_id`` is the qualifier and event code of ANSI/SIA DC-05, ``sia`` the event code of ANSI/SIA DC-03.
    """

    what: str
    contact_id: str
    sia: str
    area: int = 0
    point: int = 0
    """Zone number or user number."""


@dataclass(frozen=True)
class Sound:
    """A sounder or strobe starts or stops."""

    output: str
    """``bell``, ``inner``, ``strobe``, ``entry``, ``exit``, ``chime`` or ``fire``."""
    on: bool


@dataclass(frozen=True)
class Say:
    """A line on every keypad of the area."""

    area: int
    text: str


@dataclass(frozen=True)
class Queued:
    """A report joined the queue."""

    report: Report


@dataclass(frozen=True)
class Delivered:
    """A report was acknowledged over a path."""

    report: Report
    path: int


@dataclass(frozen=True)
class Dropped:
    """A held report was dropped because a user stopped it within the abort window."""

    report: Report


@dataclass(frozen=True)
class Refused:
    """A request was turned down."""

    ask: str
    why: str


Action = Sound | Say | Queued | Delivered | Dropped | Refused
