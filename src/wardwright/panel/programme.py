"""What a panel is told, in its own terms: zones and areas by index, times in whole milliseconds.

The design's programme is turned into this once; from then on the panel knows nothing of rooms or devices.
"""

from dataclasses import dataclass, field
from enum import StrEnum


class Response(StrEnum):
    """What the panel does when a zone trips: the trade's words."""

    ENTRY_EXIT = "entry/exit"
    PERIMETER = "perimeter"
    INTERIOR = "interior"
    INTERIOR_FOLLOWER = "interior follower"
    DAY_24H = "24-hour"
    HOLD_UP = "hold-up"
    TAMPER = "tamper"
    TROUBLE = "trouble"
    FIRE = "fire"
    TECHNICAL = "technical"


@dataclass(frozen=True)
class ZoneRow:
    """One zone."""

    number: int
    name: str
    areas: tuple[int, ...]
    """Indices of the areas it belongs to; it is watched while all of them are set."""
    response: Response
    watched_inside: bool = True
    """Watched when set with people inside."""
    may_bypass: bool = True
    chime: bool = False
    silent: bool = False
    guards: bool = True
    """Something behind it is there to notice an intruder."""
    final_exit: bool = False
    """It watches a door people leave and come home by."""
    on_way: bool = False
    """People pass it between a final door and the keypad."""
    calls_help: bool = False
    """A hold-up button stands behind it."""
    warns_of_fire: bool = False
    """A smoke alarm stands behind it."""
    used_daily: bool = False
    """People open it or pass it while the system is unset."""
    may_be_vented: bool = False
    """Its window may stand open for air while people are inside: it is then left out for that set period."""
    room: str = ""
    cross_zone: int | None = None
    """Index of the zone that must trip too within the cross-zone window."""
    swinger_count: int = 2
    """Alarms in one set period after which the zone is shut down."""
    detector: str = ""
    """What stands behind it; two zones of one detector do not confirm each other."""

    @property
    def place(self) -> str:
        """Zone and room, as a keypad shows them."""
        return f"{self.name}, {self.room}" if self.room and self.room != self.name else self.name


@dataclass(frozen=True)
class AreaRow:
    """One area."""

    name: str
    entry_ms: int
    exit_ms: int


@dataclass(frozen=True)
class PathRow:
    """One reporting path, best first."""

    name: str
    send_ms: int = 4_000
    """From the head of the queue to the receiving centre's acknowledgement."""
    silent_when_down: bool = False
    """The panel does not see that it is down; it finds out by an attempt that is not acknowledged, or by supervision.
    """


@dataclass(frozen=True)
class PanelProgramme:
    """Everything the transition function may ask."""

    zones: tuple[ZoneRow, ...]
    areas: tuple[AreaRow, ...]
    paths: tuple[PathRow, ...] = ()
    bell_ms: int = 600_000
    bell_limit: int = 3
    """Times the bell may sound in one set period."""
    abort_ms: int = 30_000
    """Intruder reports wait this long, so that a user can still stop them."""
    cancel_ms: int = 300_000
    """After a report was sent, unsetting within this time sends a cancel."""
    confirm_ms: int = 1_800_000
    confirmation: bool = False
    cross_zone_ms: int = 60_000
    exit_restart: bool = True
    two_stage_setting: bool = False
    """Setting is completed by shutting the final door, not by time (BS 8243)."""
    off_route_stops_setting: bool = True
    """A detector off the exit route that trips during setting stops it (EN 50131-1); False: it alarms at once."""
    exit_error: bool = False
    """A final door open when exit time ends sounds locally, gives entry time, then reports (ANSI/SIA CP-01); False:
    the system fails to set."""
    unvacated_to_inside: bool = False
    """Nobody left by the final door: the system sets with people inside instead (ANSI/SIA CP-01)."""
    prevent_set: frozenset[str] = field(default_factory=lambda: frozenset({"active"}))
    """Conditions that prevent setting (EN 50131-1 Table 4): ``active``, ``tamper``, ``masked``, ``range reduced``,
    ``fault``, ``missing``, ``mains``, ``battery``, ``path`` (any path down), ``part`` (a sounder or an interconnection
    at fault), ``notification`` (nothing left to tell anybody with)."""
    bypass_limit: int | None = None
    """Zones that may be left out at once; None: all that may be left out at all."""
    entry_stops_confirmation: bool = False
    """From the start of entry time no confirmed alarm is made until the next setting (BS 8243, unset methods where
    opening the initial door disables confirmation)."""
    entry_warning_ms: int = 0
    """Local warning before remote notification after an entry-route breach or time-out (EN 50131-1)."""
    report_entry_delay: bool = False
    """Report at the start of entry time, so that a smashed panel is missed at the centre."""
    mains_report_ms: int = 3_600_000
    path_report_ms: int = 100_000
    retry_ms: int = 60_000
    """A path that did not acknowledge is not tried again for this long."""
    power_return_ignore_ms: int = 60_000
    wrong_code_limit: int = 5
    lockout_ms: int = 90_000
    bell_while_unset: bool = False
    """A 24-hour, hold-up or tamper alarm sounds the outer bell while unset too; False: the inner sounder only
    (EN 50131-1 Table 7)."""
