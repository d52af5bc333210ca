"""Shortest-path trees over a sparse graph."""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import dijkstra


def shortest_tree(
    graph: csr_array, roots: int | NDArray[np.int64], *, limit: float = math.inf
) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
    """Least cost from the nearest of some roots to every node of a directed graph (Dijkstra).

    Parameters
    ----------
    graph : csr_array
        Edge costs, above zero, in any one unit. [-]
    roots : int or array of int
        Node or nodes to start from. [-]
    limit : float
        Nodes dearer than this are not looked at, in the unit of the costs. [-]

    Returns
    -------
    cost : array
        Least cost to each node; infinity where there is no way. [-] [-]
    before : array of int
        The node before each on its cheapest way; negative at roots and where there is no way. [-]

    Notes
    -----
    ``cost(v) = min over edges (u, v) of cost(u) + w(u, v)``, costs of zero or more. Source: Dijkstra, Numerische
    Mathematik 1, 1959 (from memory).
    """
    if isinstance(roots, int):
        cost, before = dijkstra(graph, indices=roots, return_predecessors=True, limit=limit)  # type: ignore[call-overload]
    else:
        cost, before, _ = dijkstra(graph, indices=roots, return_predecessors=True, limit=limit, min_only=True)
    return cost, before


def chain_to_root(before: NDArray[np.int32], node: int) -> list[int]:
    """Nodes from one node back to the root it was reached from.

    Parameters
    ----------
    before : array of int
        As returned by `shortest_tree`. [-]
    node : int
        Where to begin. [-]

    Returns
    -------
    list of int
        The node first, the root last. [-]
    """
    chain = [node]
    while before[chain[-1]] >= 0:
        chain.append(int(before[chain[-1]]))
    return chain
