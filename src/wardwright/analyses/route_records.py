"""The record of one route, and of all routes of one analysis."""

from dataclasses import dataclass

from wardwright.model import XY


@dataclass(frozen=True)
class Noticing:
    """Where and when one device first notices somebody on a route."""

    device_id: str
    zone_ids: tuple[str, ...]
    storey_id: str
    position: XY
    time_s: float
    """From the start of the attack on the way in. [s]"""
    probability: float
    """That this device has noticed by the end of the route."""


@dataclass(frozen=True)
class Route:
    """One way from outside to a target."""

    kind: str
    """``quietest``, ``fastest`` or ``best-timed``."""
    mode: str
    opening_id: str
    attack: str
    target_id: str
    points: tuple[tuple[str, float, float], ...]
    """Storey id, x, y along the way. [m]"""
    times_s: tuple[float, ...]
    """Time at each point, from the start of the attack. [s]"""
    length_m: float
    time_s: float
    """To the target, attack included, taking it not included. [s]"""
    probability: float
    """Of detection before the target is reached, from the central assumption."""
    interval: tuple[float, float]
    noticings: tuple[Noticing, ...]
    """In order of expected time."""
    first_s: float | None
    """Median time of first detection, given that it is detected. [s]"""
    first_device_id: str | None
    first_at: tuple[str, float, float] | None
    confirmed_probability: float
    """Of detection by a second, independent zone before the intruder has the target."""
    confirm_gap_s: float | None
    """From first to confirming detection, at the median. [s]"""
    left_to_run_s: float | None
    """Time left to the target from first detection. [s]"""
    after_first_s: float | None
    """Time in the building after first detection, taking the target and leaving the same way included. [s]"""
    interruption: float | None
    """Probability that the response arrives before the target is gone; None where no response time is known."""
    assumption: str
    """What governs the interval."""
    dependence: str
    """How several noticings by one detector were combined, with its bias or bound."""
    confirmed_interval: tuple[float, float] = (0.0, 1.0)
    """Plausible spread of ``confirmed_probability``."""
    confirm_gap_interval_s: tuple[float | None, float | None] = (None, None)
    """``confirm_gap_s`` in the pessimistic and the optimistic case; None where there is no confirmation. [s]"""
    last_moment_s: float | None = None
    """The latest alarm, from the start of the attack, on which a response of median length comes before the target is
    gone; None where no response time is known. [s]"""
    in_time: tuple[float, float, float] | None = None
    """Chance of an alarm by then, pessimistic, central and optimistic; of a confirmed one where only that is answered.
    None where no response time is known, or even an alarm at the end of the attack would be too late."""
    sure_probability: float = 0.0
    """Of detection by contacts and shock detectors alone, pessimistic: needs no position to be right."""
    assumed: tuple[str, ...] = ()
    """Ids of openings and rooms on the way whose place was not measured."""
    chance_by: tuple[tuple[float, float], ...] = ()
    """Time from the start of the attack [s] and chance of having been noticed by then, wherever it has grown by a
    fiftieth; from the central assumption."""


@dataclass(frozen=True)
class RouteAnalysis:
    """All routes wanted, worst first."""

    routes: tuple[Route, ...]
    undecided: tuple[str, ...] = ()
    """Why some routes could not be computed: a target in a room with no way to it, a storey with no stair."""
    grid_step_m: float = 0.1
    mode: str = ""
    """How the system was set."""
