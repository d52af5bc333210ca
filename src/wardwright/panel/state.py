"""Everything a panel remembers, as one hashable value. Times are what is left of them, never a clock."""

from typing import NamedTuple

from wardwright.panel.events import Condition, Report
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.tables import Phase


class AreaState(NamedTuple):
    """One area."""

    phase: Phase = Phase.UNSET
    inside: bool = False
    """Set, or being set, with people inside."""
    left_ms: int = 0
    """Of exit or entry time."""
    exit_restarted: bool = False
    left_by_door: bool = False
    """Somebody went out by the final door during exit time."""
    alarmed: bool = False
    """An intruder alarm was raised in this set period."""
    confirm_left_ms: int = 0
    first_detector: str = ""
    """Detector behind the first alarm of the running confirmation window."""
    confirmed: bool = False
    cancel_left_ms: int = 0
    """A cancel may still be sent for what was reported."""
    recent_left_ms: int = 0
    """An alarm so soon after setting is reported as a recent closing."""
    failed_to_set: bool = False


class ZoneState(NamedTuple):
    """One zone."""

    condition: Condition = Condition.NORMAL
    inhibited: bool = False
    """Left out for one set period."""
    isolated: bool = False
    """Left out until somebody restores it."""
    trips: int = 0
    """Alarms in this set period, counted up to the swinger limit."""
    in_memory: bool = False
    cross_left_ms: int = 0
    """Tripped; waiting for its cross zone."""


class Waiting(NamedTuple):
    """A report in the queue."""

    report: Report
    hold_ms: int
    """Not sent before this has run down."""
    droppable: bool
    """A user can still stop it while it is held."""


class PanelState(NamedTuple):
    """The whole panel."""

    areas: tuple[AreaState, ...]
    zones: tuple[ZoneState, ...]
    bell_left_ms: int = 0
    bell_count: int = 0
    inner_on: bool = False
    queue: tuple[Waiting, ...] = ()
    sending_ms: int = 0
    """Left until the head of the queue is acknowledged; 0: nothing is being sent."""
    sending_path: int = -1
    paths_up: tuple[bool, ...] = ()
    path_report_left_ms: tuple[int, ...] = ()
    path_reported: tuple[bool, ...] = ()
    mains_good: bool = True
    mains_report_left_ms: int = 0
    mains_reported: bool = False
    battery_good: bool = True
    deaf_left_ms: int = 0
    """After the return of all power, detectors are not heard for a while."""
    dead: bool = False
    """No power at all."""
    wrong_codes: int = 0
    lockout_left_ms: int = 0
    tampered: frozenset[str] = frozenset()


def at_rest(programme: PanelProgramme) -> PanelState:
    """A panel unset, all loops normal, mains and paths good.

    Parameters
    ----------
    programme : PanelProgramme
        What it was told.

    Returns
    -------
    PanelState
        The state to start from.
    """
    paths = len(programme.paths)
    return PanelState(
        areas=tuple(AreaState() for _ in programme.areas),
        zones=tuple(ZoneState() for _ in programme.zones),
        paths_up=(True,) * paths,
        path_report_left_ms=(0,) * paths,
        path_reported=(False,) * paths,
    )
