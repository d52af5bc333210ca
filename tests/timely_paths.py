"""Timely detection on one path and on a graph of places, plainly: what the searches of the routes are compared with."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array

from wardwright.analyses.timely import Task
from wardwright.geometry.shortest import chain_to_root, shortest_tree


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
