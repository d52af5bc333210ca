"""Covering problems of rooms against a second, independent solver (constraint programming with learned clauses).

Both prove their optimum; the numbers must be the same. The second solver counts in whole numbers, so the weights are
whole numbers too. It belongs to the development tools only.
"""

import numpy as np
import pytest
from numpy.typing import NDArray
from ortools.sat.python import cp_model
from scipy import sparse

from wardwright.placement.budget import solve_budget, solve_weakest
from wardwright.placement.covering import solve_cover

SECONDS = 60.0


def second_solver(
    costs: NDArray[np.int64],
    rows: NDArray[np.int64],
    demand: NDArray[np.int64],
    groups: list[list[int]],
    *,
    budget: int | None = None,
    worth: NDArray[np.int64] | None = None,
) -> int:
    """Least cost of a cover; with a budget the most worth; without worth the strength of the weakest row."""
    model = cp_model.CpModel()
    x = [model.new_bool_var(f"x{j}") for j in range(costs.size)]
    given = [sum(int(a) * x[j] for j, a in enumerate(row) if a) for row in rows]
    for group in groups:
        model.add_at_most_one(x[j] for j in group)
    spent = sum(int(c) * x[j] for j, c in enumerate(costs))
    if budget is None:
        for total, needed in zip(given, demand, strict=True):
            model.add(total >= int(needed))
        model.minimize(spent)
    elif worth is not None:
        model.add(spent <= budget)
        y = [model.new_bool_var(f"y{i}") for i in range(len(given))]
        for total, covered in zip(given, y, strict=True):
            model.add(total >= 1).only_enforce_if(covered)
        model.maximize(sum(int(w) * covered for w, covered in zip(worth, y, strict=True)))
    else:
        model.add(spent <= budget)
        weakest = model.new_int_var(0, 10**9, "weakest")
        for total in given:
            model.add(total >= weakest)
        model.maximize(weakest)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 3
    solver.parameters.max_time_in_seconds = SECONDS
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


def rooms(seed: int, count: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Witnesses by candidates in a row of rooms 4 m square: one sees 2.6 m in its room, less through the door."""
    rng = np.random.default_rng(seed)
    candidates, witnesses = (
        rng.random((8 * count, 2)) * (4.0 * count, 4.0),
        rng.random((14 * count, 2)) * (4.0 * count, 4.0),
    )
    away = np.hypot(*(witnesses[:, None, :] - candidates[None]).transpose(2, 0, 1))
    same = (witnesses[:, None, 0] // 4.0) == (candidates[None, :, 0] // 4.0)
    seen = (away < 2.6) & same | (away < 1.0)
    return seen.astype(np.int64), np.round(100.0 * np.exp(-away) * seen).astype(np.int64)


@pytest.mark.parametrize("seed", range(8))
def test_set_cover_with_costs_and_groups(seed: int) -> None:
    seen, _ = rooms(seed, 10)
    seen = seen[seen.any(axis=1)]
    n = seen.shape[1]
    costs = np.random.default_rng(seed).integers(30, 90, n)
    result = solve_cover(costs, sparse.csr_array(seen))
    assert result.proved
    assert result.cost == pytest.approx(second_solver(costs, seen, np.ones(len(seen), int), []))


@pytest.mark.parametrize("seed", range(8))
def test_weighted_rows_and_one_kind_on_each_spot(seed: int) -> None:
    _, near = rooms(seed, 4)
    far = np.round(near * 1.6).astype(np.int64)
    rows = np.hstack([near, far])
    n = near.shape[1]
    groups = [[j, j + n] for j in range(n)]
    best = np.maximum(near, far).sum(axis=1)
    rows, best = rows[best > 0], best[best > 0]
    demand = np.maximum(best * 2 // 5, 1)
    costs = np.concatenate([np.full(n, 40), np.full(n, 67)])
    result = solve_cover(costs, sparse.csr_array(rows), demand, groups=groups)
    assert result.proved
    assert not result.infeasible_rows
    assert result.cost == pytest.approx(second_solver(costs, rows, demand, groups))


@pytest.mark.parametrize("p", [2, 4, 6, 9])
def test_best_cover_with_p_detectors(p: int) -> None:
    seen, _ = rooms(21, 4)
    ones, worth = np.ones(seen.shape[1], int), np.random.default_rng(3).integers(1, 9, len(seen))
    result = solve_budget(ones, sparse.csr_array(seen), p, worth=worth)
    assert result.proved
    assert result.value == pytest.approx(second_solver(ones, seen, ones, [], budget=p, worth=worth))


@pytest.mark.parametrize("p", [5, 8])
def test_strongest_weakest_row_with_p_detectors(p: int) -> None:
    _, near = rooms(22, 3)
    near = near[near.any(axis=1)]
    ones = np.ones(near.shape[1], int)
    result = solve_weakest(ones, sparse.csr_array(near), p)
    assert result.proved
    assert result.value > 0.0
    assert result.value == pytest.approx(second_solver(ones, near, ones, [], budget=p))
