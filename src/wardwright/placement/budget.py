r"""What can be had for a given sum: the most worth covered, or the weakest row made as strong as it can be.

.. math:: \max \sum_i w_i y_i, \quad y_i \le 1, \quad d_i y_i \le \sum_j a_{ij} x_j, \quad \sum_j c_j x_j \le B

.. math:: \max t, \quad t\,d_i \le \sum_j a_{ij} x_j, \quad \sum_j c_j x_j \le B

A greedy choice improved by exchanges comes first, so that there is a good answer at once; branch and cut improves it
and bounds it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import sparse

from wardwright.errors import InputError
from wardwright.placement.cover_part import Progress, Stop
from wardwright.placement.covering import cover_rows
from wardwright.placement.integer_program import Floats, Matrix, Programme, minimise

MET = 1e-6
"""A row that lacks less is met. [-]"""


@dataclass(frozen=True)
class BudgetResult:
    """The best choice found within a budget, and how good it is known to be."""

    chosen: tuple[int, ...]
    cost: float
    value: float
    """Worth covered, or the strength of the weakest row as a share of its demand."""
    bound: float
    """No choice within the budget reaches more."""
    proved: bool

    @property
    def gap(self) -> float:
        """How much more could still be had, as a share of the bound. [-]"""
        return 0.0 if self.proved or self.bound <= 0.0 else (self.bound - self.value) / self.bound


def solve_budget(
    costs: ArrayLike,
    rows: Matrix,
    budget: float,
    *,
    worth: ArrayLike = 1.0,
    demand: ArrayLike = 1.0,
    time_limit_s: float = 30.0,
    keep: Sequence[int] = (),
    forbid: Sequence[int] = (),
    groups: Sequence[Sequence[int]] = (),
    start: Sequence[int] = (),
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> BudgetResult:
    """Cover as much worth as the budget allows; a row half met counts half.

    Parameters
    ----------
    costs : array
        Of every candidate; ones make the budget a number of devices.
    rows : sparse array
        What each candidate (column) gives towards each row.
    budget : float
        What may be spent, in the unit of the costs.
    worth : array or float
        Of every row.
    demand : array or float
        What each row needs to count in full.
    time_limit_s, keep, forbid, groups, start, progress, stop :
        As for a cover (:func:`wardwright.placement.covering.solve_cover`).
    """
    choice = _Choice.of(costs, rows, demand, budget, keep, forbid, groups)
    value = np.broadcast_to(np.asarray(worth, dtype=float), (rows.shape[0],))
    if not (np.isfinite(value).all() and (value >= 0.0).all()):
        raise InputError("the worth of a row is negative or not a number")
    clipped = choice.share.copy()
    clipped.data = np.minimum(clipped.data, 1.0)
    shares, value = _merged(clipped, value)
    first = choice.greedy(shares, value, start)
    many, count = shares.shape
    programme = Programme(
        np.concatenate([np.zeros(count), -value]),
        choice.beside(shares, sparse.csr_array(-sparse.eye_array(many))),
        np.concatenate([np.zeros(many), np.full(choice.ceilings.size, -np.inf)]),
        np.concatenate([np.full(many, np.inf), choice.ceilings]),
        np.arange(count + many) < count,
        np.concatenate([choice.least, np.zeros(many)]),
        np.concatenate([choice.most, np.ones(many)]),
    )
    begin = np.concatenate([first, np.minimum(np.asarray(shares @ first), 1.0)])
    return choice.run(programme, begin, time_limit_s, progress, stop)


def solve_weakest(
    costs: ArrayLike,
    rows: Matrix,
    budget: float,
    *,
    demand: ArrayLike = 1.0,
    also: tuple[Matrix, ArrayLike] | None = None,
    time_limit_s: float = 30.0,
    keep: Sequence[int] = (),
    forbid: Sequence[int] = (),
    groups: Sequence[Sequence[int]] = (),
    start: Sequence[int] = (),
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> BudgetResult:
    """Make the weakest row as strong as the budget allows, as a share of its demand.

    Parameters
    ----------
    costs, rows, budget, demand, time_limit_s, keep, forbid, groups, start, progress, stop :
        As for :func:`solve_budget`. With rows of minus the logarithm of the chance to slip by and demand 1 the value is
        minus the logarithm of the best chance that is left.
    also : pair of sparse array and array, optional
        Rows that have to be met in full, with what they need; ``start`` has to meet them within the budget.
    """
    choice = _Choice.of(costs, rows, demand, budget, keep, forbid, groups)
    many, count = choice.share.shape
    if not many:
        raise InputError("there is no row, so none is the weakest")
    within = choice.share.copy()
    ceiling = float(within.sum(axis=1).min())
    within.data = np.minimum(within.data, max(ceiling, 1e-12))
    first = choice.greedy(sparse.csr_array(within.multiply(1.0 / max(ceiling, 1e-12))), np.ones(many), start)
    given, needs = also if also is not None else (sparse.csr_array((0, count)), np.zeros(0))
    needs = np.asarray(needs, dtype=float)
    if (np.asarray(given @ first) < needs - MET).any():
        first = choice.least.copy()
        first[list(start)] = 1.0
        if (np.asarray(given @ first) < needs - MET).any() or choice.costs @ first > budget + MET:
            raise InputError("the start does not meet what has to be met in full within the budget")
    strict = sparse.hstack([given, sparse.csr_array((given.shape[0], 1))])
    programme = Programme(
        np.append(np.zeros(count), -1.0),
        sparse.csr_array(sparse.vstack([choice.beside(within, sparse.csr_array(np.full((many, 1), -1.0))), strict])),
        np.concatenate([np.zeros(many), np.full(choice.ceilings.size, -np.inf), needs]),
        np.concatenate([np.full(many, np.inf), choice.ceilings, np.full(needs.size, np.inf)]),
        np.arange(count + 1) < count,
        np.append(choice.least, 0.0),
        np.append(choice.most, ceiling),
    )
    begin = np.append(first, np.asarray(within @ first).min())
    return choice.run(programme, begin, time_limit_s, progress, stop)


@dataclass(frozen=True, eq=False)
class _Choice:
    """What may be chosen: within the budget, of every group one at most, the kept in and the ruled out out."""

    costs: Floats
    share: Matrix
    """Rows by candidates, as shares of the demand."""
    limits: Matrix
    """Costs in the first row, groups below."""
    ceilings: Floats
    least: Floats
    most: Floats

    @staticmethod
    def of(
        costs: ArrayLike,
        rows: Matrix,
        demand: ArrayLike,
        budget: float,
        keep: Sequence[int],
        forbid: Sequence[int],
        groups: Sequence[Sequence[int]],
    ) -> "_Choice":
        price = np.asarray(costs, dtype=float)
        many, count = rows.shape
        needs = np.broadcast_to(np.asarray(demand, dtype=float), (many,))
        if price.shape != (count,):
            raise InputError(f"{price.size} costs for {count} candidates; one for each was expected")
        if not (np.isfinite(price).all() and (price >= 0.0).all() and (rows.data >= 0.0).all()):
            raise InputError("a cost or an entry of a row is negative or not a number")
        if not (needs > 0.0).all():
            raise InputError("a row asks for nothing; a demand of more than nothing was expected")
        least, most = np.zeros(count), np.ones(count)
        least[list(keep)] = 1.0
        most[list(forbid)] = 0.0
        if (least > most).any():
            raise InputError("a candidate is both kept and ruled out")
        if price @ least > budget:
            raise InputError(f"what is kept costs {price @ least:g}, more than the budget of {budget:g}")
        exclusions = cover_rows([(list(group), [1.0] * len(group)) for group in groups], count)
        return _Choice(
            price,
            sparse.csr_array(sparse.csr_array(rows).astype(float).multiply(1.0 / needs[:, None])),
            sparse.csr_array(sparse.vstack([sparse.csr_array(price[None, :]), exclusions])),
            np.append(float(budget), np.ones(len(groups))),
            least,
            most,
        )

    def beside(self, shares: Matrix, own: Matrix) -> Matrix:
        """Rows with variables of their own at the right, and what limits the choice below."""
        limits = sparse.hstack([self.limits, sparse.csr_array((self.limits.shape[0], own.shape[1]))])
        return sparse.csr_array(sparse.vstack([sparse.hstack([shares, own]), limits]))

    def run(
        self, programme: Programme, begin: Floats, time_limit_s: float, progress: Progress | None, stop: Stop | None
    ) -> BudgetResult:
        """Branch and cut; the result in terms of what was asked."""
        tell = None if progress is None else (lambda cost, bound: progress(-cost, -bound))
        found = minimise(programme, time_limit_s=time_limit_s, start=begin, progress=tell, stop=stop)
        values = begin if found.values is None else found.values
        chosen = np.flatnonzero(values[: self.costs.size] > 0.5)
        value = -float(programme.costs @ values)
        bound = value if found.proved else max(-found.bound, value)
        return BudgetResult(tuple(chosen.tolist()), float(self.costs[chosen].sum()), value, bound, found.proved)

    def greedy(self, shares: Matrix, worth: Floats, start: Sequence[int]) -> Floats:
        """Most worth for the money one by one, then exchanges of one for one while they gain."""
        entries = shares.tocoo()
        chosen = self.least.copy()

        def gains(choice: Floats) -> Floats:
            wanted = np.maximum(1.0 - np.asarray(shares @ choice), 0.0)
            given = np.minimum(entries.data, wanted[entries.row]) * worth[entries.row]
            gain = np.bincount(entries.col, given, self.costs.size).astype(float)
            room = self.ceilings - np.asarray(self.limits @ choice)
            full = np.asarray(self.limits[1:].T @ (room[1:] < 0.5).astype(float)) > 0.0
            gain[full | (self.costs > room[0] + 1e-9) | (choice > 0.5) | (self.most < 0.5)] = 0.0
            return gain

        for j in start:
            if gains(chosen)[j] > 0.0:
                chosen[j] = 1.0
        while (gain := gains(chosen)).max(initial=0.0) > 1e-12:
            chosen[int(np.argmax(gain / np.maximum(self.costs, 1e-9 * max(self.costs.max(), 1.0))))] = 1.0
        improved = True
        while improved:
            improved = False
            for j in np.flatnonzero(chosen > self.least).tolist():
                chosen[j] = 0.0
                gain = gains(chosen)
                best = int(np.argmax(gain))
                if gain[best] > gain[j] + 1e-9:
                    improved = True
                    chosen[best] = 1.0
                else:
                    chosen[j] = 1.0
        return chosen


def _merged(shares: Matrix, worth: Floats) -> tuple[Matrix, NDArray[np.float64]]:
    """Rows alike counted once, with the sum of their worth."""
    shares.sort_indices()
    seen: dict[tuple[bytes, bytes], int] = {}
    of = np.empty(shares.shape[0], dtype=int)
    for i in range(shares.shape[0]):
        mine = slice(shares.indptr[i], shares.indptr[i + 1])
        of[i] = seen.setdefault((shares.indices[mine].tobytes(), shares.data[mine].tobytes()), len(seen))
    first = np.unique(of, return_index=True)[1]
    return sparse.csr_array(shares[first]), np.bincount(of, worth, len(seen)).astype(float)
