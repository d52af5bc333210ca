"""The searches: shortest-path trees from a target back to every way in, by time and by detection.

Three trees answer for every way in at once. ``fast``: least time to the target. ``quiet``: least detection exponent to
it, the intruder choosing for each step the pace that is least noticed. ``hide``: least exponent to any place from which
the rest of the job takes no longer than the response; from there he runs (two searches, no enumeration: see
``tests/timely_paths.py``).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from wardwright.analyses.exposure import Exposure
from wardwright.analyses.walkable import BACK, Crossing, WalkGraph, link_heading
from wardwright.geometry.shortest import chain_to_root, shortest_tree

SHORTER_PER_M = 1e-6
"""Added to every metre so that of equally quiet ways the shorter is taken. [1/m]"""


@dataclass(frozen=True, eq=False)
class Costs:
    """Costs of the steps towards a target, stored against their direction so that a search starts at the target."""

    time: csr_array
    """[s]"""
    exponent: csr_array
    """[-]"""


def build_costs(
    graph: WalkGraph,
    exposure: Exposure,
    run: float,
    shut: Sequence[tuple[Crossing, float]],
    noticed: dict[str, float],
) -> Costs:
    """Costs of every step, doors included.

    Parameters
    ----------
    graph : WalkGraph
        The building's places.
    exposure : Exposure
        Motion detectors that watch.
    run : float
        Pace of somebody in a hurry. [m/s]
    shut : sequence of (Crossing, float)
        Shut inner doors with the time to open each. [s]
    noticed : dict of str to float
        Detection exponent of opening a shut door, by opening id. [-]

    Returns
    -------
    Costs
        Time and exponent of each step.
    """
    time = graph.flat_m / run
    exponent = SHORTER_PER_M * graph.lengths_m
    if exposure.device_ids:
        quietest = _least_rate(graph, exposure)
        exponent = exponent + graph.lengths_m * quietest
    for crossing, delay in shut:
        time[crossing.nodes, crossing.moves] += delay
        exponent[crossing.nodes, crossing.moves] += noticed.get(crossing.opening.id, 0.0)
    return Costs(graph.matrix(time), graph.matrix(exponent))


def _least_rate(graph: WalkGraph, exposure: Exposure) -> NDArray[np.float32]:
    """Least exponent per metre over the paces, of the step back along each step of the graph. [1/m]"""
    best = np.full(graph.neighbour.shape, np.inf, dtype=np.float32)
    to = np.maximum(graph.neighbour, 0)
    columns = np.arange(32)
    for speed in range(len(exposure.speeds_m_s)):
        rate = np.ascontiguousarray(exposure.per_metre(speed)[:, BACK])
        here = np.empty(graph.neighbour.shape, dtype=np.float32)
        here[:, :32] = (rate + rate[to[:, :32], columns]) / 2.0
        for node, column in graph.link_at:
            other = int(graph.neighbour[node, column])
            k = BACK[link_heading(graph, other, node)]
            here[node, column] = (rate[node, k] + rate[other, k]) / 2.0
        np.minimum(best, here, out=best)
    best[~np.isfinite(best)] = 0.0
    return best


@dataclass(frozen=True, eq=False)
class Trees:
    """Answers of the searches for one target."""

    time_s: NDArray[np.float64]
    """Least time to the target from every place. [s]"""
    _fast: NDArray[np.int32]
    _quiet: NDArray[np.int32]
    _hide: NDArray[np.int32] | None

    def fast(self, place: int) -> list[int]:
        """Places of the fastest way to the target."""
        return chain_to_root(self._fast, place)

    def quiet(self, place: int) -> list[int]:
        """Places of the least detected way to the target, metres taken as independent chances."""
        return chain_to_root(self._quiet, place)

    def hide(self, place: int) -> list[int]:
        """Places of the way on which the intruder hides, up to where he may run."""
        return [place] if self._hide is None else chain_to_root(self._hide, place)


def search(costs: Costs, target: int, places: Sequence[int], may_run: float) -> Trees:
    """Run the searches for one target.

    Parameters
    ----------
    costs : Costs
        Costs of the steps.
    target : int
        Place of the target.
    places : sequence of int
        Places the ways in lead to.
    may_run : float
        From places nearer to the target than this the rest of the job is done before anybody comes. [s]

    Returns
    -------
    Trees
        Ways from every place.
    """
    time, fast = shortest_tree(costs.time, target)
    _, quiet = shortest_tree(costs.exponent, target)
    hide = None
    if any(time[p] > may_run for p in places):
        near = np.flatnonzero(time <= may_run)
        roots = near if len(near) else np.array([target])
        _, hide = shortest_tree(costs.exponent, roots)
    return Trees(time, fast, quiet, hide)
