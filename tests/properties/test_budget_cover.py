"""What a budget buys, against trying every choice."""

from itertools import product

import numpy as np
import pytest
from scipy import sparse

from wardwright.placement.budget import solve_budget, solve_weakest


@pytest.mark.parametrize("seed", range(20))
def test_budget_forms_equal_exhaustive_search(seed: int) -> None:
    rng = np.random.default_rng(seed)
    for _ in range(30):
        m, n = int(rng.integers(1, 12)), int(rng.integers(2, 10))
        rows = rng.integers(0, 9, (m, n)) * (rng.random((m, n)) < 0.5) / 8.0
        demand, worth = rng.integers(1, 17, m) / 8.0, rng.integers(0, 5, m).astype(float)
        costs = rng.integers(0, 20, n) / 4.0
        order = rng.permutation(n)
        forbid, keep = (
            order[:1].tolist() if rng.random() < 0.4 else [],
            order[1:2].tolist() if rng.random() < 0.3 else [],
        )
        groups = [order[2:5].tolist()] if rng.random() < 0.5 else []
        budget = float(costs[keep].sum()) + rng.integers(0, 50) / 4.0
        choices = np.array(list(product((0.0, 1.0), repeat=n)))
        allowed = choices @ costs <= budget
        allowed &= (choices[:, keep] == 1.0).all(axis=1) & (choices[:, forbid] == 0.0).all(axis=1)
        for group in groups:
            allowed &= choices[:, group].sum(axis=1) <= 1.0
        shares = (choices[allowed] @ rows.T) / demand
        given = sparse.csr_array(rows)
        most = solve_budget(costs, given, budget, worth=worth, demand=demand, keep=keep, forbid=forbid, groups=groups)
        assert most.proved
        assert most.value == pytest.approx((np.minimum(shares, 1.0) @ worth).max(), abs=1e-7)
        weakest = solve_weakest(costs, given, budget, demand=demand, keep=keep, forbid=forbid, groups=groups)
        assert weakest.proved
        assert weakest.value == pytest.approx(shares.min(axis=1).max(), abs=1e-7)
        for result in (most, weakest):
            assert result.cost <= budget + 1e-9
            assert set(keep) <= set(result.chosen) and not set(forbid) & set(result.chosen)


def test_more_money_never_buys_less() -> None:
    rng = np.random.default_rng(7)
    rows = sparse.csr_array((rng.random((80, 30)) < 0.15).astype(float))
    values = [solve_budget(np.ones(30), rows, p).value for p in range(8)]
    assert values[0] == 0.0
    assert values == sorted(values)
