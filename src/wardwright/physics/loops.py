"""Supervised inputs: what a panel sees of contacts, resistors, cable, cuts and shorts, as exact intervals.

A loop is a ladder of stations along a pair of cores. The share of the reference voltage the input sees rises with
every resistance on the loop and falls with the pull-up and with leakage, so that its bounds lie at corners and need no
search.
"""

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from wardwright.errors import OutOfRangeError

Kind = Literal["short", "normal", "alarm", "fault", "alarm and fault", "open"]
"""What a state means. ``short`` and ``open`` are what has happened to the cable."""

SAME = 1e-9
"""Two nominal levels nearer than this are one and the same to any input. [-]"""


@dataclass(frozen=True)
class LoopInput:
    """The input a loop ends on."""

    pull_up: float
    """To the reference. [Ω]"""
    pull_up_tolerance: float = 0.01
    error: float = 0.0
    """Of the measurement: offset, gain and noise, as a share of the reference."""
    leakage: float = 100e3
    """Least insulation resistance across the loop. [Ω]"""
    thresholds: tuple[float, ...] = ()
    """Where the panel divides its states, share of the reference, rising; empty: not known."""


@dataclass(frozen=True)
class Resistor:
    """A supervision resistor."""

    ohm: float
    tolerance: float = 0.01


@dataclass(frozen=True)
class Station:
    """One place along the loop: the panel first, then each device in cable order."""

    name: str
    contact: Literal["none", "series", "across"] = "none"
    """``series``: normally closed in the core; ``across``: normally open across the pair."""
    fault_contact: bool = False
    """A normally closed fault or masking contact in series."""
    across_contact: Resistor | None = None
    across_fault: Resistor | None = None
    in_series: Resistor | None = None
    across_pair: Resistor | None = None
    cable: float = 0.0
    """Largest loop resistance of the run that leads to it. [Ω]"""
    contact_resistance: float = 1.0
    """Largest resistance of one closed contact. [Ω]"""


@dataclass(frozen=True)
class Condition:
    """One thing that can be so on a loop."""

    kind: Kind
    where: str = ""
    tripped: frozenset[int] = frozenset()
    """Stations whose contact has left its normal state."""
    faulted: frozenset[int] = frozenset()
    broken: int | None = None
    """Run of cable (by the station it leads to) that is cut or shorted."""


@dataclass(frozen=True)
class State:
    """Conditions the input cannot tell apart even with perfect parts, and where it sees them."""

    kinds: frozenset[Kind]
    conditions: tuple[Condition, ...]
    nominal: float
    low: float
    high: float


@dataclass(frozen=True)
class Gap:
    """Between two neighbouring states."""

    lower: State
    upper: State
    width: float
    """Share of the reference left between them, measurement error taken off; negative where they overlap."""
    threshold_margin: float | None
    """Distance of the nearer state from the panel's best threshold between them; None where none is known."""


def conditions(stations: Sequence[Station]) -> Iterator[Condition]:
    """Everything a loop is examined for.

    Parameters
    ----------
    stations : sequence of Station
        The panel first.

    Yields
    ------
    Condition
        Normal; each contact tripped alone and together with those before it; each fault contact, alone and with its
        own alarm; each run of cable cut and shorted.
    """
    yield Condition("normal")
    contacts = [k for k, s in enumerate(stations) if s.contact != "none"]
    for k in contacts:
        yield Condition("alarm", stations[k].name, tripped=frozenset({k}))
    for n in range(2, len(contacts) + 1):
        yield Condition("alarm", f"{n} contacts", tripped=frozenset(contacts[:n]))
    for k, station in enumerate(stations):
        if station.fault_contact:
            yield Condition("fault", station.name, faulted=frozenset({k}))
            if station.contact != "none":
                both = frozenset({k})
                yield Condition("alarm and fault", station.name, tripped=both, faulted=both)
    for k in range(1, len(stations)):
        where = f"between {stations[k - 1].name} and {stations[k].name}"
        yield Condition("short", where, broken=k)
        yield Condition("open", where, broken=k)


def parallel(one: float, other: float) -> float:
    """Two resistances side by side.

    ``R = a b / (a + b)``

    Parameters
    ----------
    one : float
        First, may be infinite. [Ω]
    other : float
        Second, may be infinite. [Ω]

    Returns
    -------
    float
        Both together. [Ω]
    """
    if math.isinf(one):
        return other
    if math.isinf(other):
        return one
    return one * other / (one + other) if one + other > 0.0 else 0.0


def seen_resistance(
    stations: Sequence[Station], condition: Condition, *, linked: bool, end: Literal["nominal", "low", "high"]
) -> float:
    """Resistance at the panel's terminals, leakage left out.

    Parameters
    ----------
    stations : sequence of Station
        The panel first.
    condition : Condition
        What is so.
    linked : bool
        The pair is joined at the far end (normally closed loops); False: left open (normally open loops).
    end : {'nominal', 'low', 'high'}
        Nominal values, or the low or high corner of all tolerances. Cable and contacts count only at the high end.

    Returns
    -------
    float
        Resistance, infinite where the loop is open. [Ω]

    Valid range
    -----------
    Direct current.

    References
    ----------
    Kirchhoff's laws.
    """
    sign = {"nominal": 0.0, "low": -1.0, "high": 1.0}[end]
    high = end == "high"

    def value(part: Resistor | None, absent: float) -> float:
        return absent if part is None else part.ohm * (1.0 + sign * part.tolerance)

    total = 0.0 if linked else math.inf
    for k in range(len(stations) - 1, -1, -1):
        station = stations[k]
        closed = station.contact_resistance if high else 0.0
        if station.contact == "series":
            total += value(station.across_contact, math.inf) if k in condition.tripped else closed
        if station.fault_contact:
            total += value(station.across_fault, math.inf) if k in condition.faulted else closed
        if k > 0:
            total += value(station.in_series, 0.0)
        total = parallel(total, value(station.across_pair, math.inf))
        if station.contact == "across" and k in condition.tripped:
            total = parallel(total, closed)
        if k == 0:
            # In the panel the series resistor comes first, on the terminal itself.
            total += value(station.in_series, 0.0)
        elif condition.broken == k:
            total = math.inf if condition.kind == "open" else 0.0
        total += station.cable if high else 0.0
    return total


def level(resistance: float, pull_up: float) -> float:
    """Share of the reference voltage across a loop.

    ``x = R / (R + Rp)``

    Parameters
    ----------
    resistance : float
        Of the loop, may be infinite. [Ω]
    pull_up : float
        To the reference. [Ω]

    Returns
    -------
    float
        0 for a short, 1 for an open loop. [-]

    Raises
    ------
    OutOfRangeError
        If resistance is negative or the pull-up not positive.

    Valid range
    -----------
    Ratiometric measurement; no current into the input.

    References
    ----------
    Voltage divider.
    """
    if not resistance >= 0.0:
        raise OutOfRangeError("loop level", "resistance", resistance, "0 Ω or more")
    if not pull_up > 0.0:
        raise OutOfRangeError("loop level", "pull_up", pull_up, "more than 0 Ω")
    return 1.0 if math.isinf(resistance) else resistance / (resistance + pull_up)


def level_interval(
    stations: Sequence[Station], condition: Condition, at: LoopInput, *, linked: bool
) -> tuple[float, float]:
    """Bounds of what the input sees in one condition.

    Parameters
    ----------
    stations : sequence of Station
        The panel first.
    condition : Condition
        What is so.
    at : LoopInput
        The input; its measurement error is not added here.
    linked : bool
        The pair is joined at the far end.

    Returns
    -------
    tuple of float
        Least and greatest level over all tolerances. [-]

    Raises
    ------
    OutOfRangeError
        If a tolerance is outside 0 to below 1, or a resistance not positive.

    Valid range
    -----------
    Leakage anywhere along the cable.

    References
    ----------
    Monotone in every part: the bounds lie at corners.
    """
    _check(stations, at)
    low = parallel(seen_resistance(stations, condition, linked=linked, end="low"), at.leakage)
    high = seen_resistance(stations, condition, linked=linked, end="high")
    return (
        level(low, at.pull_up * (1.0 + at.pull_up_tolerance)),
        level(high, at.pull_up * (1.0 - at.pull_up_tolerance)),
    )


def loop_states(stations: Sequence[Station], at: LoopInput, *, linked: bool) -> tuple[State, ...]:
    """The states of a loop, lowest level first.

    Conditions with the same nominal level are one state. Neighbouring states that mean the same are joined.

    Parameters
    ----------
    stations : sequence of Station
        The panel first.
    at : LoopInput
        The input.
    linked : bool
        The pair is joined at the far end.

    Returns
    -------
    tuple of State
        At least one.

    Raises
    ------
    OutOfRangeError
        As `level_interval`.

    Valid range
    -----------
    As `level_interval`.

    References
    ----------
    As `level_interval`.
    """
    seen = sorted(
        (
            (level(seen_resistance(stations, c, linked=linked, end="nominal"), at.pull_up), c)
            for c in conditions(stations)
        ),
        key=lambda pair: pair[0],
    )
    states: list[State] = []
    for nominal, condition in seen:
        low, high = level_interval(stations, condition, at, linked=linked)
        if states and nominal - states[-1].nominal < SAME:
            last = states[-1]
            states[-1] = State(
                last.kinds | {condition.kind},
                (*last.conditions, condition),
                last.nominal,
                min(low, last.low),
                max(high, last.high),
            )
        else:
            states.append(State(frozenset({condition.kind}), (condition,), nominal, low, high))
    joined: list[State] = []
    for state in states:
        if joined and joined[-1].kinds == state.kinds:
            last = joined[-1]
            joined[-1] = State(
                last.kinds,
                last.conditions + state.conditions,
                last.nominal,
                min(last.low, state.low),
                max(last.high, state.high),
            )
        else:
            joined.append(state)
    return tuple(joined)


def gaps(states: Sequence[State], at: LoopInput) -> tuple[Gap, ...]:
    """Room between neighbouring states.

    Parameters
    ----------
    states : sequence of State
        As `loop_states` gives them.
    at : LoopInput
        The input: its error is taken off twice, its thresholds are judged.

    Returns
    -------
    tuple of Gap
        One fewer than there are states.

    Valid range
    -----------
    As `level_interval`.

    References
    ----------
    As `level_interval`.
    """
    found = []
    for lower, upper in itertools.pairwise(states):
        margin = None
        if at.thresholds:
            margin = max(min(t - lower.high, upper.low - t) - at.error for t in at.thresholds)
        found.append(Gap(lower, upper, upper.low - lower.high - 2.0 * at.error, margin))
    return tuple(found)


def contributions(stations: Sequence[Station], at: LoopInput, *, linked: bool, between: Gap) -> dict[str, float]:
    """What eats a gap: how much wider it would be without each cause, one at a time.

    Parameters
    ----------
    stations : sequence of Station
        The panel first.
    at : LoopInput
        The input.
    linked : bool
        The pair is joined at the far end.
    between : Gap
        The gap examined.

    Returns
    -------
    dict of str to float
        Share of the reference by cause, largest first. [-]

    Valid range
    -----------
    As `level_interval`.

    References
    ----------
    One-at-a-time differences.
    """

    def exact(part: Resistor | None) -> Resistor | None:
        return None if part is None else replace(part, tolerance=0.0)

    without: dict[str, tuple[Sequence[Station], LoopInput]] = {
        "resistor tolerance": (
            [
                replace(
                    s,
                    across_contact=exact(s.across_contact),
                    across_fault=exact(s.across_fault),
                    in_series=exact(s.in_series),
                    across_pair=exact(s.across_pair),
                )
                for s in stations
            ],
            at,
        ),
        "cable resistance": ([replace(s, cable=0.0) for s in stations], at),
        "contact resistance": ([replace(s, contact_resistance=0.0) for s in stations], at),
        "leakage": (stations, replace(at, leakage=math.inf)),
        "pull-up tolerance": (stations, replace(at, pull_up_tolerance=0.0)),
        "measurement error": (stations, replace(at, error=0.0)),
    }
    eaten = {}
    for cause, (parts, source) in without.items():
        low = min(level_interval(parts, c, source, linked=linked)[0] for c in between.upper.conditions)
        high = max(level_interval(parts, c, source, linked=linked)[1] for c in between.lower.conditions)
        eaten[cause] = low - high - 2.0 * source.error - between.width
    return dict(sorted(eaten.items(), key=lambda item: -item[1]))


def minimum_leakage(at: LoopInput, threshold: float) -> float:
    """Least insulation resistance at which an open loop is still read above a threshold.

    ``R > Rp (1 + t) θ / (1 − θ)``

    Parameters
    ----------
    at : LoopInput
        The input.
    threshold : float
        Share of the reference. [-]

    Returns
    -------
    float
        Insulation resistance. [Ω]

    Raises
    ------
    OutOfRangeError
        If the threshold is outside 0 to below 1.

    Valid range
    -----------
    Threshold 0 to below 1.

    References
    ----------
    Voltage divider.
    """
    if not 0.0 <= threshold < 1.0:
        raise OutOfRangeError("leakage limit", "threshold", threshold, "0 to below 1")
    return at.pull_up * (1.0 + at.pull_up_tolerance) * threshold / (1.0 - threshold)


def acceptance_times(samples: int, period: float) -> tuple[float, float]:
    """Lengths of change that an input that wants several equal samples surely takes, and surely misses.

    ``accepted from N T``, ``missed up to (N − 1) T``

    Parameters
    ----------
    samples : int
        Equal samples in a row that it wants. [-]
    period : float
        Between samples. [s]

    Returns
    -------
    tuple of float
        Surely accepted from; surely missed up to. [s]

    Raises
    ------
    OutOfRangeError
        If samples is below one or the period not positive.

    Valid range
    -----------
    Evenly spaced samples.

    References
    ----------
    Counting.
    """
    if samples < 1:
        raise OutOfRangeError("input sampling", "samples", samples, "1 or more")
    if not period > 0.0:
        raise OutOfRangeError("input sampling", "period", period, "more than 0 s")
    return samples * period, (samples - 1) * period


def _check(stations: Sequence[Station], at: LoopInput) -> None:
    """Refuse parts that cannot be."""
    parts = [p for s in stations for p in (s.across_contact, s.across_fault, s.in_series, s.across_pair) if p]
    for part in parts:
        if not part.ohm > 0.0:
            raise OutOfRangeError("loop", "resistor", part.ohm, "more than 0 Ω")
        if not 0.0 <= part.tolerance < 1.0:
            raise OutOfRangeError("loop", "tolerance", part.tolerance, "0 to below 1")
    if not 0.0 <= at.pull_up_tolerance < 1.0:
        raise OutOfRangeError("loop", "pull-up tolerance", at.pull_up_tolerance, "0 to below 1")
    if not at.leakage > 0.0:
        raise OutOfRangeError("loop", "leakage", at.leakage, "more than 0 Ω")
    for station in stations:
        if not (station.cable >= 0.0 and station.contact_resistance >= 0.0):
            raise OutOfRangeError("loop", "cable or contact", min(station.cable, station.contact_resistance), "0 Ω up")
