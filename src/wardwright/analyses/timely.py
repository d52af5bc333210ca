"""Timely detection: is the intruder detected while enough delay is still ahead of him for the response to arrive?

Pure functions on one path, a row of tasks. Sources: EASI, SAND76-0597 / NUREG-0231 (1977), the formula as printed in
Garcia, *Design and Evaluation of Physical Protection Systems* (from memory; the arithmetic is checked by simulation).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

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
