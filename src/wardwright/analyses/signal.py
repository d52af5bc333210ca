"""Is help called in time? What each path hangs on, how much of the year the word can get out, and the chain to help."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from wardwright.analyses.defeats import AttackAnalysis
from wardwright.analyses.demand import power_demand
from wardwright.analyses.route_records import RouteAnalysis
from wardwright.design.programme import Dependency, ReportingPath
from wardwright.design.system import ProtectionScheme
from wardwright.physics.availability import YEAR_H, in_parallel, in_series
from wardwright.premises.life import Response

DOWN_H = {
    "router": 8.0,
    "modem": 8.0,
    "switch": 2.0,
    "wi-fi": 40.0,
    "cellular network": 20.0,
    "line": 10.0,
    "subscription": 1.0,
    "mains": 3.0,
    "other": 10.0,
}
"""Hours a year something is down, by its kind. Assumptions, each within a factor of three. [h/year]"""
FACTOR = 3.0
"""Those figures may be so many times better or worse. Assumption. [-]"""
BETA = 0.05
"""Share of failures that take two look-alike networks together: 2 to 10 % is usual. Published range; choice. [-]"""
LOOP_S, LOOP_MOST_S = 0.4, 10.0
"""Usual response of an input; the longest a system may take to process a signal, from memory. [s]"""
CENTRE_S, CENTRE_MOST_S = 90.0, 180.0
"""An operator answers 80 % within the first and 98.5 % within the second (EN 50518, from memory). [s]"""
CALL_S, CALL_MOST_S = 60.0, 180.0
"""One call before somebody is sent. Assumption. [s]"""


@dataclass(frozen=True)
class PathState:
    """One path and what it hangs on."""

    path_id: str
    kind: str
    category: str
    without_mains_h: float | None
    """Hours it works without mains; None: as long as the panel itself."""
    down_share: float
    """Of the time, for reasons of its own and what it hangs on. [-]"""
    parts: tuple[tuple[str, float], ...]
    """What it hangs on with hours a year. [h/year]"""
    level_dbm: float | None
    """Of its network, as measured."""
    ends: tuple[tuple[str, str], ...]
    """What ends, and when (ISO date)."""


@dataclass(frozen=True)
class Leg:
    """One leg of the chain from the first detection to help."""

    name: str
    usual_s: float
    most_s: float
    basis: str


@dataclass(frozen=True)
class SignalAnalysis:
    """Paths, what they share, the chain."""

    paths: tuple[PathState, ...]
    shared: tuple[str, ...]
    """What all paths hang on: one failure takes them all."""
    down_h_year: float | None
    """Hours a year no word can get out. [h/year]"""
    down_interval_h: tuple[float, float] | None
    demand_h: float
    """Hours without mains asked for."""
    chain: tuple[Leg, ...]
    inside_s: float | None
    """Least time an intruder is still in the building after the first detection. [s]"""
    response: Response
    today: date
    steps: tuple[tuple[str, str], ...] = ()

    @property
    def usual_s(self) -> float:
        """Whole chain, usual. [s]"""
        return sum(leg.usual_s for leg in self.chain)

    @property
    def most_s(self) -> float:
        """Whole chain, at its longest. [s]"""
        return sum(leg.most_s for leg in self.chain)


def signal(
    scheme: ProtectionScheme, away: RouteAnalysis | None, attacked: AttackAnalysis | None, *, today: str
) -> SignalAnalysis:
    """What the signalling of a design is worth.

    Parameters
    ----------
    scheme : ProtectionScheme
        Paths, what they hang on, the response of the site.
    away : RouteAnalysis or None
        Routes while everybody is out, for the time left.
    attacked : AttackAnalysis or None
        When the word is out on each way in, with nothing done to the system.
    today : str
        ISO date.

    Returns
    -------
    SignalAnalysis
        Availability is reckoned from assumptions by kind where nobody entered a figure; it says so.
    """
    paths = sorted(scheme.design.programme.paths, key=lambda p: (p.priority, p.id))
    states = tuple(_path(p) for p in paths)
    shared = _shared(paths)
    down, interval, steps = _together(paths, states, shared)
    first = [r.after_first_s for r in away.routes if r.after_first_s is not None] if away is not None else []
    return SignalAnalysis(
        states,
        tuple(d.name for d in shared),
        down,
        interval,
        power_demand(scheme).standby.hours,
        _chain(scheme, away, attacked),
        min(first, default=None),
        scheme.premises.surroundings.response,
        date.fromisoformat(today),
        steps,
    )


def hours_down(part: Dependency) -> float:
    """Hours a year a part is down, as entered or by its kind. [h/year]"""
    return part.down_h_year if part.down_h_year is not None else DOWN_H[part.kind]


def _path(path: ReportingPath) -> PathState:
    share = in_series(hours_down(d) / YEAR_H for d in path.hangs_on)
    levels = [d.level_dbm for d in path.hangs_on if d.level_dbm is not None]
    return PathState(
        path.id,
        path.kind,
        path.category,
        path.without_mains_h,
        share,
        tuple((d.name, hours_down(d)) for d in path.hangs_on),
        min(levels, default=None),
        tuple((d.name, d.ends) for d in path.hangs_on if d.ends),
    )


def _spread(part: Dependency, factor: float) -> float:
    """Hours a year at one end of what is not known; a figure entered is taken as it is."""
    return hours_down(part) * (1.0 if part.down_h_year is not None else factor)


def _shared(paths: Sequence[ReportingPath]) -> tuple[Dependency, ...]:
    """What every path hangs on, by name."""
    if not paths:
        return ()
    common = set.intersection(*({d.name for d in p.hangs_on} for p in paths))
    return tuple(d for d in paths[0].hangs_on if d.name in common)


def _together(
    paths: Sequence[ReportingPath], states: tuple[PathState, ...], shared: tuple[Dependency, ...]
) -> tuple[float | None, tuple[float, float] | None, tuple[tuple[str, str], ...]]:
    """Hours a year all paths are down: what they share in front, the rest beside each other with a common cause."""
    if not paths or any(not p.hangs_on for p in paths):
        return None, None, ()
    names = {d.name for d in shared}
    ends: list[float] = []
    for factor in (1.0, 1.0 / FACTOR, FACTOR):
        front = in_series(min(1.0, _spread(d, factor) / YEAR_H) for d in shared)
        own = [
            in_series(min(1.0, _spread(d, factor) / YEAR_H) for d in p.hangs_on if d.name not in names) for p in paths
        ]
        both = own[0]
        for each in own[1:]:
            both = in_parallel(both, each, BETA)
        ends.append(YEAR_H * in_series((front, both)))
    steps = (
        *(
            (f"path {s.path_id}", f"{', '.join(f'{name} {hours:g} h' for name, hours in s.parts)}: "
             f"{YEAR_H * s.down_share:.0f} h a year down")
            for s in states
        ),
        ("shared by all", ", ".join(sorted(names)) or "nothing"),
        ("all together", f"shared in series with the rest in parallel, {BETA:.0%} in common: {ends[0]:.1f} h a year "
                         f"({ends[1]:.1f} to {ends[2]:.0f})"),
    )  # fmt: skip
    return ends[0], (ends[1], ends[2]), steps


def _chain(scheme: ProtectionScheme, away: RouteAnalysis | None, attacked: AttackAnalysis | None) -> tuple[Leg, ...]:
    found = [Leg("input and processing", LOOP_S, LOOP_MOST_S, "loop response; longest allowed, from memory")]
    panel = _panel_time(away, attacked)
    if panel is not None:
        found.append(Leg("panel: entry and abort time, sending", *panel, "the programme, played on every way in"))
    paths = sorted(scheme.design.programme.paths, key=lambda p: p.priority)
    if paths and paths[0].reporting_interval_s is not None and len(paths) > 1:
        found.append(
            Leg("change to the second path", 0.0, paths[0].reporting_interval_s, "interval ordered with the first path")
        )
    found.append(Leg("operator answers", CENTRE_S, CENTRE_MOST_S, "EN 50518: 80 % and 98.5 %, from memory"))
    response = scheme.premises.surroundings.response
    calls = {"two calls": 2, "none": 0}.get(response.verification, 1)
    if calls:
        found.append(Leg(f"verification: {response.verification}", calls * CALL_S, calls * CALL_MOST_S, "assumption"))
    if response.median_s is not None and response.policy != "none":
        worst = response.median_s * (1.0 + 2.0 * response.spread)
        found.append(Leg(f"response: {response.policy}", response.median_s, worst, "the survey"))
    return tuple(found)


def _panel_time(away: RouteAnalysis | None, attacked: AttackAnalysis | None) -> tuple[float, float] | None:
    """Least and greatest time from the first trip to the acknowledgement, over the ways in."""
    if away is None or attacked is None:
        return None
    first = {(r.opening_id, r.target_id): r.noticings[0].time_s for r in away.routes if r.noticings}
    took = [
        i.reported_s - first[i.opening_id, i.target_id]
        for i in attacked.intrusions
        if i.reported_s is not None and (i.opening_id, i.target_id) in first
    ]
    return (max(0.0, min(took)), max(took)) if took else None
