"""Everything a panel remembers, as one hashable value. Times are what is left of them, never a clock."""

from collections.abc import Sequence
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
    confirm_off: bool = False
    """No confirmed alarm before the next setting."""
    released: bool = False
    """An alarm report of this set period has been let go."""
    overridden: bool = False
    """What prevents setting, zones apart, is overridden for the next set period."""
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
    unheard: bool = False
    """Became active while nobody listened after a loss of all power."""
    battery_low: bool = False


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
    inner_left_ms: int = 0
    fire_on: bool = False
    """The fire signal sounds until somebody silences it."""
    queue: tuple[Waiting, ...] = ()
    sending_ms: int = 0
    """Left until the head of the queue is acknowledged; 0: nothing is being sent."""
    sending_path: int = -1
    sending: Report | None = None
    paths_up: tuple[bool, ...] = ()
    path_report_left_ms: tuple[int, ...] = ()
    path_reported: tuple[bool, ...] = ()
    path_resting_ms: tuple[int, ...] = ()
    """A path that did not acknowledge is left alone for a while."""
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
    faulty: frozenset[str] = frozenset()


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
        path_resting_ms=(0,) * paths,
    )


def standing_set(programme: PanelProgramme) -> PanelState:
    """A panel with every area set, everybody out, nothing sounding.

    Parameters
    ----------
    programme : PanelProgramme
        What it was told.

    Returns
    -------
    PanelState
        The state to start from.
    """
    return at_rest(programme)._replace(areas=tuple(AreaState(phase=Phase.SET) for _ in programme.areas))


def timers(state: PanelState) -> list[int]:
    """Everything that runs down, in a fixed order; 0 where it is not running.

    Parameters
    ----------
    state : PanelState
        How a panel stands.

    Returns
    -------
    list of int
        Milliseconds left.
    """
    found = [
        state.bell_left_ms,
        state.inner_left_ms,
        state.sending_ms,
        state.mains_report_left_ms,
        state.deaf_left_ms,
        state.lockout_left_ms,
        *state.path_report_left_ms,
        *state.path_resting_ms,
    ]
    for area in state.areas:
        found += (area.left_ms, area.confirm_left_ms, area.cancel_left_ms, area.recent_left_ms)
    found += [zone.cross_left_ms for zone in state.zones]
    found += [waiting.hold_ms for waiting in state.queue]
    return found


def with_timers(state: PanelState, values: Sequence[int]) -> PanelState:
    """The same state with other times left.

    Parameters
    ----------
    state : PanelState
        How a panel stands.
    values : sequence of int
        As :func:`timers` lists them.

    Returns
    -------
    PanelState
        The state with these.
    """
    paths, areas, zones = len(state.paths_up), len(state.areas), len(state.zones)
    at_areas = 6 + 2 * paths
    at_zones = at_areas + 4 * areas
    at_queue = at_zones + zones
    return state._replace(
        bell_left_ms=values[0],
        inner_left_ms=values[1],
        sending_ms=values[2],
        mains_report_left_ms=values[3],
        deaf_left_ms=values[4],
        lockout_left_ms=values[5],
        path_report_left_ms=tuple(values[6 : 6 + paths]),
        path_resting_ms=tuple(values[6 + paths : at_areas]),
        areas=tuple(
            area._replace(
                left_ms=values[at],
                confirm_left_ms=values[at + 1],
                cancel_left_ms=values[at + 2],
                recent_left_ms=values[at + 3],
            )
            for at, area in zip(range(at_areas, at_zones, 4), state.areas, strict=True)
        ),
        zones=tuple(
            zone._replace(cross_left_ms=left) if left != zone.cross_left_ms else zone
            for zone, left in zip(state.zones, values[at_zones:at_queue], strict=True)
        ),
        queue=tuple(w._replace(hold_ms=left) for w, left in zip(state.queue, values[at_queue:], strict=True)),
    )
