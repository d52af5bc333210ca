"""The covering solver: what it refuses, what it says when it is stopped, and going on with more rows."""

import subprocess
import sys
from itertools import product

import numpy as np
import pytest
from scipy import sparse

from wardwright.errors import InputError
from wardwright.placement.covering import cover_rows, solve_cover


def random_cover(seed: int, rows: int, candidates: int, density: float) -> sparse.csr_array:
    rng = np.random.default_rng(seed)
    matrix = rng.random((rows, candidates)) < density
    matrix[np.arange(rows), rng.integers(0, candidates, rows)] = True
    return sparse.csr_array(matrix.astype(float))


def test_rows_from_pairs() -> None:
    rows = cover_rows([([0, 2], [1.0, 0.5]), ([], []), ([1], [2.0])], 3)
    assert rows.toarray().tolist() == [[1.0, 0.0, 0.5], [0.0, 0.0, 0.0], [0.0, 2.0, 0.0]]


def test_nothing_to_meet_costs_nothing() -> None:
    result = solve_cover([1.0, 2.0], cover_rows([], 2))
    assert (result.chosen, result.cost, result.bound, result.proved) == ((), 0.0, 0.0, True)


def test_what_is_kept_is_paid_and_counts() -> None:
    result = solve_cover([1.0, 5.0], cover_rows([([0, 1], [1.0, 1.0])], 2), keep=[1])
    assert (result.chosen, result.cost) == ((1,), 5.0)


def test_a_row_out_of_reach_is_named_and_the_others_are_met() -> None:
    rows = cover_rows([([0], [0.4]), ([1], [1.0])], 2)
    result = solve_cover([1.0, 1.0], rows)
    assert result.infeasible_rows == (0,)
    assert result.chosen == (1,)
    assert result.proved


def test_rows_that_conflict_on_one_spot_are_named() -> None:
    rows = cover_rows([([0], [1.0]), ([1], [1.0]), ([0, 2], [1.0, 1.0])], 3)
    result = solve_cover([1.0, 1.0, 1.0], rows, groups=[[0, 1]])
    assert len(result.infeasible_rows) == 1
    assert set(result.infeasible_rows) < {0, 1}
    assert result.proved


def test_stopped_at_once_it_still_has_a_cover_and_a_bound() -> None:
    rows = random_cover(3, 400, 200, 0.05)
    told: list[tuple[float, float]] = []
    result = solve_cover(np.ones(200), rows, stop=lambda: True, progress=lambda cost, bound: told.append((cost, bound)))
    assert result.unmet_rows == ()
    assert (rows @ np.isin(np.arange(200), result.chosen) >= 1.0).all()
    assert not result.proved
    assert 0.0 <= result.bound <= result.cost
    assert result.gap == (result.cost - result.bound) / result.cost
    assert told
    assert all(bound <= cost for cost, bound in told)


def test_more_rows_never_cost_less() -> None:
    rows = random_cover(5, 60, 40, 0.1)
    chosen: tuple[int, ...] = ()
    costs = [0.0]
    for many in (10, 20, 40, 60):
        result = solve_cover(np.ones(40), rows[:many], start=chosen)
        assert result.proved
        chosen = result.chosen
        costs.append(result.cost)
    assert costs == sorted(costs)
    assert costs[-1] == solve_cover(np.ones(40), rows).cost


@pytest.mark.parametrize(
    ("costs", "more", "said"),
    [
        ([1.0], {}, "1 costs for 2 candidates"),
        ([1.0, -1.0], {}, "negative"),
        ([1.0, float("nan")], {}, "not a number"),
        ([1.0, 1.0], {"keep": [0], "forbid": [0]}, "both kept and ruled out"),
        ([1.0, 1.0], {"keep": [0, 1], "groups": [[0, 1]]}, "both kept"),
    ],
)
def test_what_cannot_be_meant_is_refused(costs: list[float], more: dict[str, object], said: str) -> None:
    with pytest.raises(InputError, match=said):
        solve_cover(costs, cover_rows([([0, 1], [1.0, 1.0])], 2), **more)  # type: ignore[arg-type]


def test_the_solver_writes_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    # a fresh process, because the solver's licence line comes only once in each
    script = (
        "from wardwright.placement.covering import cover_rows, solve_cover;"
        "print(solve_cover([1.0], cover_rows([([0], [1.0])], 1)).cost)"
    )
    subprocess.run([sys.executable, "-c", script], check=True)
    assert capfd.readouterr().out == "1.0\n"


def test_a_start_is_not_handed_back_for_the_optimum() -> None:
    lists = [
        (6, 12), (5, 6, 7), (3, 10), (0, 1, 2), (2, 9), (4, 11), (2, 10), (0, 8), (1, 9), (5, 11), (4, 5), (1, 2, 3),
        (7, 8, 12),
    ]  # fmt: skip
    rows = cover_rows([(seen, [1.0] * len(seen)) for seen in lists], 13)
    choices = np.array(list(product((0.0, 1.0), repeat=13)))
    least = choices.sum(axis=1)[(choices @ rows.T.toarray() >= 1.0).all(axis=1)].min()
    for start in ([], [0, 1, 4, 6, 7, 9, 10, 11], range(13)):
        assert solve_cover(np.ones(13), rows, start=list(start)).cost == least
