"""What happens along one walk: who notices, when, and what is left to do then.

Dependence. The same detector sees the same person, dressed the same, twice: two looks are not two independent chances.
For each detector the central account takes the largest chance of any single stretch of the walk so far (looks fully
dependent, a lower bound) and lets different detectors be independent of each other given the conditions common to all,
which the low and high shift of the margins span. The upper end of the interval takes every metre as an independent
chance (an upper bound).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.entry_records import Notice
from wardwright.analyses.exposure import CENTRAL, HIGH, LOW
from wardwright.analyses.walkable import MOVES, Crossing, WalkGraph, link_heading, nearest_heading

DEPENDENCE = (
    "One detector crossed more than once counts by its best single stretch (looks fully dependent: errs low); the "
    "upper end of the interval takes every metre as an independent chance (errs high). Different detectors are "
    "independent given the conditions they share, which the interval spans. The quietest route was searched with "
    "independent metres."
)
Array = NDArray[np.float64]
_MOVE_OF = np.full((9, 9), -1)
_MOVE_OF[tuple(np.array(MOVES).T + 4)] = np.arange(32)
FAINT = 1e-3
"""A chance smaller than this has no median time worth printing. [-]"""


@dataclass(frozen=True, eq=False)
class Walk:
    """Steps from place to place, and the shut doors passed."""

    nodes: tuple[int, ...]
    start: NDArray[np.intp]
    end: NDArray[np.intp]
    move: NDArray[np.intp]
    length_m: Array
    flat_m: Array
    """Length on the flat that takes as long. [m]"""
    wait_s: Array
    """Time to open what is shut. [s]"""
    doors: tuple[tuple[int, str], ...]
    """Step and opening id of each shut door passed."""


@dataclass(frozen=True, eq=False)
class ShutDoors:
    """Shut inner doors by the steps that pass them."""

    by_step: dict[tuple[int, int], tuple[str, float]]
    places: frozenset[int]

    @classmethod
    def of(cls, delays: Sequence[tuple[Crossing, float]]) -> "ShutDoors":
        """Look-up from (place, move) to the door and the time to open it."""
        return cls(
            {
                (int(node), int(move)): (crossing.opening.id, delay)
                for crossing, delay in delays
                for node, move in zip(crossing.nodes, crossing.moves, strict=True)
            },
            frozenset(int(node) for crossing, _ in delays for node in crossing.nodes),
        )


def walk_along(graph: WalkGraph, nodes: Sequence[int], doors: ShutDoors, entering: tuple[float, float]) -> Walk:
    """Turn a chain of places into steps.

    Parameters
    ----------
    graph : WalkGraph
        The building's places.
    nodes : sequence of int
        Places in order.
    doors : ShutDoors
        Inner doors that stand shut.
    entering : (float, float)
        Length of the first stretch, from the opening to the first place, and its heading. [m], [rad]

    Returns
    -------
    Walk
        Its first step is the one through the opening.
    """
    chain = np.asarray(nodes, dtype=np.intp)
    start, end = chain[:-1], chain[1:]
    dx, dy = graph.ix[end] - graph.ix[start], graph.iy[end] - graph.iy[start]
    near = (graph.storey[start] == graph.storey[end]) & (np.abs(dx) <= 4) & (np.abs(dy) <= 4)
    move = np.where(near, _MOVE_OF[np.where(near, dx, 0) + 4, np.where(near, dy, 0) + 4], -1)
    move = np.where((move >= 0) & (graph.neighbour[start, move] == end), move, -1)
    column = move.copy()
    for i in np.flatnonzero(move < 0):
        a = int(start[i])
        column[i] = next(c for c in range(32, graph.neighbour.shape[1]) if graph.neighbour[a, c] == end[i])
        move[i] = link_heading(graph, a, int(end[i]))
    length, flat = graph.lengths_m[start, column], graph.flat_m[start, column]
    wait = np.zeros(len(start))
    passed: list[tuple[int, str]] = []
    opened: set[str] = set()
    for at in (k for k, node in enumerate(start.tolist()) if node in doors.places):
        door = doors.by_step.get((int(start[at]), int(column[at])))
        if door is not None and door[0] not in opened:
            opened.add(door[0])
            passed.append((at + 1, door[0]))
            wait[at] = door[1]
    first = np.array([chain[0]])
    inward = np.array([nearest_heading(entering[1])])
    return Walk(
        nodes=tuple(int(n) for n in chain),
        start=np.concatenate([first, start]),
        end=np.concatenate([first, end]),
        move=np.concatenate([inward, move]),
        length_m=np.concatenate([[entering[0]], length]),
        flat_m=np.concatenate([[entering[0]], flat]),
        wait_s=np.concatenate([[0.0], wait]),
        doors=tuple(passed),
    )


@dataclass(frozen=True, eq=False)
class Step:
    """A device that notices at one moment: a contact, a shock or a glass-break detector."""

    at: int
    """Index into the times of the account."""
    notice: Notice


@dataclass(frozen=True, eq=False)
class Account:
    """Chances by device and moment. Moment 0 is the end of the attack, moment i + 1 the end of step i."""

    times_s: Array
    device_ids: tuple[str, ...]
    chance: Array
    """Shape (3, devices, moments), never falling with time: pessimistic, central, optimistic."""

    def detected(self) -> Array:
        """Chance of any detection by each moment, shape (3, moments)."""
        return np.asarray(1.0 - np.prod(1.0 - self.chance, axis=1))

    def confirmed(self, zone_of: dict[str, str]) -> Array:
        """Chance of detection by at least two zones by each moment, shape (3, moments)."""
        members: dict[str, list[int]] = {}
        for i in np.flatnonzero(self.chance[HIGH, :, -1] > 0.0):
            device = self.device_ids[i]
            members.setdefault(zone_of.get(device, device), []).append(int(i))
        none, one = np.ones((3, len(self.times_s))), np.zeros((3, len(self.times_s)))
        for rows in members.values():
            missed = 1.0 - self.chance[:, rows[0]] if len(rows) == 1 else np.prod(1.0 - self.chance[:, rows], axis=1)
            none, one = none * missed, one * missed + none * (1.0 - missed)
        return np.maximum(0.0, 1.0 - none - one) if len(members) > 1 else np.zeros_like(none)

    def first_by(self) -> Array:
        """Chance that each device is the first to notice, central case."""
        chance = self.chance[CENTRAL]
        before = np.concatenate([np.zeros((len(chance), 1)), chance[:, :-1]], axis=1)
        rise = chance - before
        unseen = np.prod(1.0 - before, axis=0)
        return np.asarray((rise / np.maximum(1.0 - before, 1e-12) * unseen).sum(axis=1))


def median_time(times: Array, by: Array) -> float | None:
    """Moment at which half of the final chance has come, between moments by straight line.

    Parameters
    ----------
    times : array
        Moments, rising. [s]
    by : array
        Chance by each moment, never falling. [-]

    Returns
    -------
    float or None
        Time; None where the final chance is below one in a thousand. [s]
    """
    if not len(by) or by[-1] < FAINT:
        return None
    half = by[-1] / 2.0
    at = int(np.searchsorted(by, half))
    if at == 0 or by[at] <= by[at - 1]:
        return float(times[at])
    share = (half - by[at - 1]) / (by[at] - by[at - 1])
    return float(times[at - 1] + share * (times[at] - times[at - 1]))


def account(
    rates: Array,
    stretch: float,
    device_ids: Sequence[str],
    walk: Walk,
    pace: Array,
    delay: float,
    steps: Sequence[Step],
) -> Account:
    """Chances along a walk.

    Parameters
    ----------
    rates : array
        Exponent per metre of each motion detector on each step: pessimistic, central, optimistic. [1/m]
    stretch : float
        Length of the walk that one chance stands for. [m]
    device_ids : sequence of str
        The motion detectors.
    walk : Walk
        The steps.
    pace : array
        Pace on the flat for each step. [m/s]
    delay : float
        Time the attack takes before the first step. [s]
    steps : sequence of Step
        Devices that notice at one moment.

    Returns
    -------
    Account
        Moments and chances.
    """
    times = np.concatenate([[delay], delay + np.cumsum(walk.flat_m / pace + walk.wait_s)])
    rows = [_chances(rates * walk.length_m, walk.length_m, stretch)]
    for step in steps:
        row = np.zeros((3, 1, len(times)))
        row[LOW, 0, step.at :] = step.notice.interval[0]
        row[CENTRAL, 0, step.at :] = step.notice.probability
        row[HIGH, 0, step.at :] = step.notice.interval[1]
        rows.append(row)
    return Account(times, (*device_ids, *(s.notice.device_id for s in steps)), np.concatenate(rows, axis=1))


def _chances(exponents: Array, lengths: Array, stretch: float) -> Array:
    """Chance of each detector by each moment: best stretch so far, or (optimistic) all metres together."""
    best = np.maximum.accumulate(latest_stretch(exponents, lengths, stretch), axis=2)
    best[HIGH, :, 1:] = np.cumsum(exponents[HIGH], axis=1)
    return np.asarray(-np.expm1(-best))


def latest_stretch(exponents: Array, lengths: Array, stretch: float) -> Array:
    """Exponent of the stretch of a walk that ends at each moment.

    Parameters
    ----------
    exponents : array
        Exponent of each detector on each step, shape (cases, detectors, steps). [-]
    lengths : array
        Length of each step. [m]
    stretch : float
        Length of the walk that one chance stands for. [m]

    Returns
    -------
    array
        Shape (cases, detectors, moments), nought at the first. [-]
    """
    cases, devices, _ = exponents.shape
    summed = np.concatenate([np.zeros((cases, devices, 1)), np.cumsum(exponents, axis=2)], axis=2)
    along = np.concatenate([[0.0], np.cumsum(lengths)])
    back = np.maximum(along - stretch, 0.0)
    at = np.clip(np.searchsorted(along, back, side="right") - 1, 0, max(len(along) - 2, 0))
    gap = along[np.minimum(at + 1, len(along) - 1)] - along[at]
    share = np.where(gap > 0.0, (back - along[at]) / np.where(gap > 0.0, gap, 1.0), 0.0)
    begun = summed[:, :, at] * (1.0 - share) + summed[:, :, np.minimum(at + 1, len(along) - 1)] * share
    return np.asarray(summed - begun)
