"""Thousands of small generated covering problems against trying every choice."""

from itertools import product

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import sparse

from wardwright.placement.covering import solve_cover

Floats = NDArray[np.float64]


def every_choice(candidates: int) -> NDArray[np.float64]:
    return np.array(list(product((0.0, 1.0), repeat=candidates)))


def cheapest(
    costs: Floats,
    rows: Floats,
    demand: Floats,
    *,
    keep: tuple[int, ...] = (),
    forbid: tuple[int, ...] = (),
    groups: tuple[tuple[int, ...], ...] = (),
) -> tuple[float, int]:
    """Least cost by enumeration of the choices that leave fewest rows unmet, and how many those are."""
    choices = every_choice(costs.size)
    allowed = (choices[:, list(keep)] == 1.0).all(axis=1) & (choices[:, list(forbid)] == 0.0).all(axis=1)
    for group in groups:
        allowed &= choices[:, list(group)].sum(axis=1) <= 1.0
    choices = choices[allowed]
    unmet = (choices @ rows.T < demand - 1e-9).sum(axis=1)
    least = int(unmet.min())
    return float((choices @ costs)[unmet == least].min()), least


@pytest.mark.parametrize("seed", range(20))
def test_set_cover_equals_exhaustive_search(seed: int) -> None:
    rng = np.random.default_rng(seed)
    for _ in range(60):
        m, n = int(rng.integers(1, 14)), int(rng.integers(1, 10))
        rows = (rng.random((m, n)) < rng.uniform(0.15, 0.6)).astype(float)
        costs = rng.integers(1, 6, n).astype(float) if rng.random() < 0.5 else np.ones(n)
        reachable = rows.any(axis=1)
        result = solve_cover(costs, sparse.csr_array(rows))
        assert result.proved and result.gap == 0.0
        assert result.infeasible_rows == result.unmet_rows == tuple(np.flatnonzero(~reachable))
        assert result.cost == pytest.approx(cheapest(costs, rows[reachable], np.ones(int(reachable.sum())))[0])
        assert (rows[reachable][:, list(result.chosen)].sum(axis=1) >= 1.0).all()


@pytest.mark.parametrize("gap", [0.02, 0.3])
def test_an_answer_near_enough_keeps_the_optimum_between_bound_and_cost(gap: float) -> None:
    rng = np.random.default_rng(77)
    for _ in range(150):
        m, n = int(rng.integers(2, 14)), int(rng.integers(2, 10))
        rows = rng.random((m, n)) * (rng.random((m, n)) < 0.6)
        costs = rng.uniform(1.0, 9.0, n)
        demand = rows.sum(axis=1) * rng.uniform(0.1, 0.9, m)
        least, unmet = cheapest(costs, rows, demand)
        assert unmet == 0
        result = solve_cover(costs, sparse.csr_array(rows), demand, gap=gap)
        assert result.bound <= least * (1.0 + 1e-7)
        assert least <= result.cost * (1.0 + 1e-7)
        assert result.gap <= gap + 1e-7
        assert not result.unmet_rows
        if result.proved:
            assert result.cost == pytest.approx(least)


@pytest.mark.parametrize("seed", range(20))
def test_weights_demands_and_hard_choices_equal_exhaustive_search(seed: int) -> None:
    rng = np.random.default_rng(1000 + seed)
    for _ in range(60):
        m, n = int(rng.integers(1, 10)), int(rng.integers(2, 10))
        # eighths are exact in binary, so that the enumeration and the solver mean the same by "met"
        rows = rng.integers(0, 9, (m, n)) * (rng.random((m, n)) < 0.6) / 8.0
        demand = rng.integers(1, 17, m) / 8.0
        costs = rng.integers(0, 40, n) / 4.0
        order = rng.permutation(n)
        keep, forbid = tuple(order[: rng.integers(0, 2)].tolist()), tuple(order[n - rng.integers(0, 2) :].tolist())
        rest = order[len(keep) : n - len(forbid)]
        cut = int(rng.integers(0, rest.size + 1))
        groups = tuple(tuple(g.tolist()) for g in (rest[:cut], rest[cut:]) if g.size and rng.random() < 0.6)
        result = solve_cover(costs, sparse.csr_array(rows), demand, keep=keep, forbid=forbid, groups=groups)
        assert result.proved
        assert result.infeasible_rows == result.unmet_rows
        cost, unmet = cheapest(costs, rows, demand, keep=keep, forbid=forbid, groups=groups)
        assert len(result.infeasible_rows) == unmet
        chosen = np.isin(np.arange(n), result.chosen).astype(float)
        assert set(keep) <= set(result.chosen) and not set(forbid) & set(result.chosen)
        assert all(chosen[list(group)].sum() <= 1.0 for group in groups)
        met = np.setdiff1d(np.arange(m), result.infeasible_rows)
        assert (rows[met] @ chosen >= demand[met] - 1e-9).all()
        # where several smallest sets of rows could be given up, any of them is an answer; the cost is that of the set
        rest_cost = cheapest(costs, rows[met], demand[met], keep=keep, forbid=forbid, groups=groups)
        assert rest_cost[1] == 0
        assert result.cost == pytest.approx(rest_cost[0])
        assert result.cost >= cost - 1e-9
