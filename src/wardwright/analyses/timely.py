"""Timely detection: is the intruder detected while enough delay is still ahead of him for the response to arrive?

Pure functions on one path (a row of tasks) and on a graph of places. Sources: EASI, SAND76-0597 / NUREG-0231 (1977),
the formula as printed in Garcia, *Design and Evaluation of Physical Protection Systems* (from memory; the arithmetic is
checked by simulation); the two-search optimum is derived here and checked against enumeration.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.sparse import csr_array

from wardwright.geometry.shortest import chain_to_root, shortest_tree

LARGEST_P = 1.0 - 1e-9
"""Probabilities are capped here before the logarithm is taken. [-]"""


@dataclass(frozen=True)
class Task:
    """One step of a path: crossing an area or defeating a barrier."""

    probability: float
    """Of sensing during this task. [-]"""
    delay_s: float
    """Mean time it takes. [s]"""
    deviation_s: float
    """Standard deviation of that time. [s]"""
    where: Literal["B", "M", "E"] = "B"
    """Sensing at the beginning, the middle or the end of the task."""


def exponent(probability: float) -> float:
    """Detection exponent, additive along a path of independent chances.

    Parameters
    ----------
    probability : float
        Probability of detection, 0 to 1. [-]

    Returns
    -------
    float
        ``-ln(1 - P)``, with P capped at 1 - 1e-9. [-]
    """
    return -math.log1p(-min(max(probability, 0.0), LARGEST_P))


def interruption(
    tasks: Sequence[Task],
    response: float,
    response_deviation: float,
    communication: float,
    *,
    decides: Literal["first sensed", "first communicated"] = "first sensed",
) -> float:
    """Probability that the response arrives before the last task is done (EASI).

    Parameters
    ----------
    tasks : sequence of Task
        The path in order.
    response : float
        Mean time from sensing to arrival, normally distributed. [s]
    response_deviation : float
        Its standard deviation. [s]
    communication : float
        Probability that an alarm reaches the responders. [-]
    decides : {"first sensed", "first communicated"}
        Which detection decides: the first one sensed, whether or not its alarm gets through (as printed), or the first
        whose alarm gets through.

    Returns
    -------
    float
        ``P_I = sum_i Phi(z_i) P_C P_i prod_(j<i) (1 - P_j)``, ``z_i = (TR_i - m_R) / sqrt(VR_i + s_R^2)``, where
        ``TR_i = a m_i + sum_(k>i) m_k`` and ``VR_i = a^2 s_i^2 + sum_(k>i) s_k^2`` with a = 1, 1/2, 0 for sensing at
        the beginning, middle, end. With "first communicated" the product runs over ``1 - P_j P_C``. [-]

    Notes
    -----
    Delays are normal, so a short task has a small chance of a negative time (0.04 % at the usual deviation of 30 %).
    """
    share = {"B": 1.0, "M": 0.5, "E": 0.0}
    ahead = sum(t.delay_s for t in tasks)
    spread = sum(t.deviation_s**2 for t in tasks)
    unseen, total = 1.0, 0.0
    for task in tasks:
        ahead -= task.delay_s
        spread -= task.deviation_s**2
        a = share[task.where]
        left = a * task.delay_s + ahead
        variance = max(a * a * task.deviation_s**2 + spread, 0.0) + response_deviation**2
        if variance > 0.0:
            in_time = 0.5 * (1.0 + math.erf((left - response) / math.sqrt(2.0 * variance)))
        else:
            in_time = 1.0 if left > response else 0.0
        total += in_time * communication * task.probability * unseen
        unseen *= 1.0 - task.probability * (1.0 if decides == "first sensed" else communication)
    return total


def timely_detection(tasks: Sequence[Task], response: float) -> tuple[float, int | None]:
    """Deterministic timely detection: only sensing that leaves more delay than the response takes counts.

    Parameters
    ----------
    tasks : sequence of Task
        The path in order; only means are used.
    response : float
        Response time. [s]

    Returns
    -------
    probability : float
        ``1 - prod (1 - P_i)`` over tasks with more than the response time of delay still ahead where they sense. [-]
    critical : int or None
        Index of the critical detection point, the last task with a sensor that still counts. None: no such task.
    """
    share = {"B": 1.0, "M": 0.5, "E": 0.0}
    ahead = sum(t.delay_s for t in tasks)
    unseen, critical = 1.0, None
    for i, task in enumerate(tasks):
        ahead -= task.delay_s
        if ahead + share[task.where] * task.delay_s > response and task.probability > 0.0:
            unseen *= 1.0 - task.probability
            critical = i
    return 1.0 - unseen, critical


def at_least_two(probabilities: Sequence[float]) -> float:
    """Probability that at least two of several independent chances come off: a confirmed detection.

    Parameters
    ----------
    probabilities : sequence of float
        One probability for each independent zone. [-]

    Returns
    -------
    float
        ``1 - prod (1 - p_i) - sum_i p_i prod_(j != i) (1 - p_j)``. [-]
    """
    none, one = 1.0, 0.0
    for p in probabilities:
        none, one = none * (1.0 - p), one * (1.0 - p) + none * p
    return max(0.0, 1.0 - none - one)


@dataclass(frozen=True)
class WeakestPath:
    """The path on which timely detection is least likely."""

    probability: float
    """Least probability of timely detection. [-]"""
    critical: int
    """Node at which the intruder stops hiding and runs: the critical detection point of the design."""
    nodes: tuple[int, ...]
    """The whole path, from outside to the target."""


def weakest_path(
    delays: csr_array, exponents: csr_array, outside: int, target: int, response: float
) -> WeakestPath | None:
    """Path of least timely detection over a directed graph, by two shortest-path searches.

    Parameters
    ----------
    delays : csr_array
        Delay of each edge, above zero. [s]
    exponents : csr_array
        Detection exponent ``-ln(1 - P)`` of each edge, same pattern, above or equal to zero. [-]
    outside, target : int
        Nodes.
    response : float
        Response time. [s]

    Returns
    -------
    WeakestPath or None
        None if the target cannot be reached.

    Notes
    -----
    An edge senses at its start, and counts only if the delay ahead from there exceeds the response time. With T(v) the
    least delay from v to the target and D(v) the least exponent from outside to v,
    ``min P = 1 - exp(-min {D(v) : T(v) <= T_R})``: cut any path after its last edge that counts; what remains takes no
    longer than T_R, what came before counted in full. Conversely hide as far as such a v and run from there. Derived
    here; agrees with enumeration of all simple paths (tests/properties).
    """
    to_go, next_one = shortest_tree(delays.T.tocsr(), target)
    exposed, before = shortest_tree(exponents, outside)
    if not math.isfinite(float(to_go[outside])):
        return None
    near = np.where(to_go <= response, exposed, np.inf)
    critical = int(np.argmin(near))
    hidden = chain_to_root(before, critical)[::-1]
    run = chain_to_root(next_one, critical)
    return WeakestPath(-math.expm1(-float(near[critical])), critical, (*hidden, *run[1:]))
