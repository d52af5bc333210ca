"""One independent piece of a covering problem: a greedy cover, then branch and cut."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from wardwright.placement.integer_program import TOLERANCE, Floats, Matrix, Programme, minimise

Progress = Callable[[float, float], None]
"""Told the cost of the best cover and the bound."""
Stop = Callable[[], bool]
"""True asks for an end with the best found so far."""


@dataclass(frozen=True, eq=False)
class Answer:
    """What a part came to; candidates by their numbers in the whole problem."""

    chosen: list[int]
    bound: float
    proved: bool


@dataclass(frozen=True, eq=False)
class Part:
    """A piece of the problem that nothing connects with the rest."""

    candidates: NDArray[np.intp]
    costs: Floats
    matrix: Matrix
    exclusions: Matrix
    """Groups by candidates."""

    def solve(
        self, begun: set[int], time_limit_s: float, stopped: Stop, tell: Progress, gap: float = 0.0
    ) -> Answer | None:
        """Branch and cut from a greedy cover; None where the rows cannot be met together."""
        if self.candidates.size == 1:
            return Answer(self.candidates.tolist(), float(self.costs[0]), True)
        first = self.greedy(begun)
        met = bool((np.asarray(self.matrix @ first) >= 1.0 - TOLERANCE).all())
        found = minimise(
            self.programme(),
            time_limit_s=time_limit_s,
            gap=gap,
            start=first if met else None,
            progress=tell,
            stop=stopped,
        )
        if found.impossible:
            return None
        values = first if found.values is None else found.values
        cost = float(self.costs @ values)
        bound = cost if found.proved else self.raised(max(found.bound, 0.0))
        tell(cost, bound)
        return Answer(self.candidates[values > 0.5].tolist(), bound, found.proved or (met and bound >= cost))

    def programme(self) -> Programme:
        """Every row met, of every group one at most."""
        many, groups = self.matrix.shape[0], self.exclusions.shape[0]
        return Programme(
            self.costs,
            sparse.csr_array(sparse.vstack([self.matrix, self.exclusions])),
            np.concatenate([np.ones(many), np.full(groups, -np.inf)]),
            np.concatenate([np.full(many, np.inf), np.ones(groups)]),
            np.ones(self.costs.size, dtype=bool),
        )

    def least_to_give_up(self, begun: set[int], time_limit_s: float, stopped: Stop) -> NDArray[np.intp]:
        """Fewest rows without which the others can be met together."""
        first, strict = self.greedy(begun), self.programme()
        many, groups = self.matrix.shape[0], self.exclusions.shape[0]
        yielding = sparse.vstack([sparse.eye_array(many), sparse.csr_array((groups, many))])
        unmet = (np.asarray(self.matrix @ first) < 1.0 - TOLERANCE).astype(float)
        programme = Programme(
            np.concatenate([np.zeros(self.costs.size), np.ones(many)]),
            sparse.csr_array(sparse.hstack([strict.matrix, yielding])),
            strict.lower,
            strict.upper,
            np.ones(self.costs.size + many, dtype=bool),
        )
        begin = np.concatenate([first, unmet])
        found = minimise(programme, time_limit_s=time_limit_s, start=begin, stop=stopped)
        values = begin if found.values is None else found.values
        return np.flatnonzero(values[self.costs.size :] > 0.5)

    def greedy(self, begun: set[int]) -> Floats:
        """Most of what is still wanted for the money, one after the other; then what is not needed goes again."""
        chosen = np.zeros(self.costs.size)
        barred = np.zeros(self.costs.size, dtype=bool)
        wanted = np.ones(self.matrix.shape[0])
        entries = self.matrix.tocoo()
        columns = self.matrix.tocsc()
        queue = [j for j, number in enumerate(self.candidates) if int(number) in begun]
        order = []
        while (wanted > TOLERANCE).any():
            if queue:
                j = queue.pop()
                if barred[j]:
                    continue
            else:
                gain = np.bincount(entries.col, np.minimum(entries.data, wanted[entries.row]), self.costs.size)
                gain[barred] = 0.0
                worth = gain / np.maximum(self.costs, 1e-9 * max(self.costs.max(), 1.0))
                j = int(np.argmax(worth))
                if gain[j] <= TOLERANCE:
                    break
            chosen[j] = 1.0
            barred[j] = True
            barred[self.exclusions[self.exclusions[:, [j]].toarray()[:, 0] > 0.0].indices] = True
            order.append(j)
            mine = slice(columns.indptr[j], columns.indptr[j + 1])
            wanted[columns.indices[mine]] = np.maximum(wanted[columns.indices[mine]] - columns.data[mine], 0.0)
        total = np.asarray(self.matrix @ chosen)
        for j in sorted(order, key=lambda j: -float(self.costs[j])):
            mine = slice(columns.indptr[j], columns.indptr[j + 1])
            rows, given = columns.indices[mine], columns.data[mine]
            if (total[rows] - given >= 1.0 - TOLERANCE).all():
                total[rows] -= given
                chosen[j] = 0.0
        return chosen

    def raised(self, bound: float) -> float:
        """A bound between two whole costs is the upper one, where all costs are whole."""
        return float(np.ceil(bound - 1e-6)) if (self.costs == np.round(self.costs)).all() else bound
