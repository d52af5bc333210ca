r"""The covering problem of placement: the cheapest candidates that meet every row, with a bound.

A row is something that must be met: an opening to be watched, a witness point, a route. Its entries are what each
candidate gives towards it, its demand how much it needs. Weight and demand 1 make it a set cover; minus the logarithm
of the chance to slip by makes it "this route is detected with at least that probability".

.. math:: \min \sum_j c_j x_j, \quad \sum_j a_{ij} x_j \ge d_i, \quad \sum_{j \in g} x_j \le 1, \quad x_j \in \{0, 1\}

Dominated rows and candidates are left out, independent parts solved one by one (rooms touch only through doors), each
by branch and cut. Every answer carries its bound; stopped early, it is the best found so far.
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import sparse
from scipy.sparse import csgraph

from wardwright.errors import InputError
from wardwright.placement.cover_part import Answer, Part, Progress, Stop
from wardwright.placement.dominance import reduce
from wardwright.placement.integer_program import TOLERANCE, Floats, Matrix


@dataclass(frozen=True)
class CoverResult:
    """The cheapest cover found, and how good it is known to be."""

    chosen: tuple[int, ...]
    """Candidates, ascending; those to be kept among them."""
    cost: float
    bound: float
    """No cover of the rows that can be met costs less."""
    proved: bool
    """``cost`` is ``bound``: nothing cheaper exists among these candidates for these rows."""
    infeasible_rows: tuple[int, ...]
    """A smallest set of rows to give up; one by one out of reach, or together where groups conflict."""
    unmet_rows: tuple[int, ...]
    """All rows ``chosen`` does not meet: the infeasible ones, and more only where time ran out before any cover."""

    @property
    def gap(self) -> float:
        """How much cheaper a cover could still be, as a share of the cost found. [-]"""
        return 0.0 if self.proved or self.cost <= 0.0 else (self.cost - self.bound) / self.cost


def cover_rows(entries: Sequence[tuple[Sequence[int], Sequence[float]]], candidates: int) -> Matrix:
    """Sparse rows from pairs of candidate numbers and what each gives.

    Parameters
    ----------
    entries : sequence
        For every row the candidates that give something, and how much.
    candidates : int
        How many candidates there are.
    """
    starts = np.cumsum([0, *(len(numbers) for numbers, _ in entries)])
    numbers = np.concatenate([np.zeros(0, int), *(np.asarray(n, dtype=int) for n, _ in entries)])
    given = np.concatenate([np.zeros(0), *(np.asarray(g, dtype=float) for _, g in entries)])
    return sparse.csr_array((given, numbers, starts), shape=(len(entries), candidates))


def solve_cover(
    costs: ArrayLike,
    rows: Matrix,
    demand: ArrayLike = 1.0,
    *,
    time_limit_s: float = 30.0,
    gap: float = 0.0,
    keep: Sequence[int] = (),
    forbid: Sequence[int] = (),
    groups: Sequence[Sequence[int]] = (),
    start: Sequence[int] = (),
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> CoverResult:
    """Find the cheapest candidates that meet every row.

    Rows found later (routes) are stacked below (``scipy.sparse.vstack``) and the last answer handed in as ``start``:
    it is completed to a first cover of the larger problem.

    Parameters
    ----------
    costs : array
        Of every candidate, not negative.
    rows : sparse array
        What each candidate (column) gives towards each row, not negative.
    demand : array or float
        What each row needs.
    time_limit_s : float
        After this the best found so far is returned, with its bound.
    gap : float
        An answer no dearer than this share above its bound will do. [-]
    keep, forbid : sequence of int
        Candidates that are in, and that are out. What is kept is paid for too.
    groups : sequence of sequences of int
        At most one candidate of each (kinds that would hang on the same spot).
    start : sequence of int
        A choice to begin from.
    progress : callable, optional
        Told the cost of the best cover and the bound now and then.
    stop : callable, optional
        Asked now and then; True ends the search with the best found so far.
    """
    problem = _Problem.of(costs, rows, demand, keep, forbid, groups)
    clock = _Clock(time.monotonic() + time_limit_s, stop)
    answers = _by_parts(problem, set(start), clock, progress, gap)
    if answers is None:
        problem = problem.without(problem.whole().least_to_give_up(set(start), clock.left(), clock.stopped))
        answers = _by_parts(problem, set(start), clock, progress, gap) or []
    paid = float(problem.costs[problem.kept].sum())
    chosen = sorted([*problem.kept, *(j for answer in answers for j in answer.chosen)])
    given = np.asarray(problem.given @ np.isin(np.arange(problem.costs.size), chosen).astype(float))
    unmet = np.flatnonzero(given < problem.demand * (1.0 - 2.0 * TOLERANCE)).tolist()
    proved = all(answer.proved for answer in answers) and set(unmet) <= set(problem.hopeless)
    cost = float(problem.costs[chosen].sum())
    bound = cost if proved else min(paid + sum(answer.bound for answer in answers), cost)
    return CoverResult(
        tuple(chosen), cost, bound, proved, tuple(i for i in unmet if i in problem.hopeless), tuple(unmet)
    )


def _by_parts(
    problem: "_Problem", begun: set[int], clock: "_Clock", progress: Progress | None, gap: float
) -> list[Answer] | None:
    """Solve part by part; None where the rows of one cannot be met together."""
    parts = problem.parts()
    told = _Told(float(problem.costs[problem.kept].sum()), parts, progress)
    answers = []
    for number, part in enumerate(parts):
        answer = part.solve(begun, clock.share(parts[number:]), clock.stopped, told.of(number), gap)
        if answer is None:
            return None
        answers.append(answer)
    return answers


class _Clock:
    """Time shared among the parts by their size; what a part leaves over goes to the next."""

    def __init__(self, end: float, stop: Stop | None) -> None:
        self.end, self.stop = end, stop

    def left(self) -> float:
        return max(self.end - time.monotonic(), 0.0)

    def share(self, parts: Sequence[Part]) -> float:
        return self.left() * parts[0].matrix.nnz / sum(part.matrix.nnz for part in parts)

    def stopped(self) -> bool:
        return self.stop is not None and self.stop()


class _Told:
    """Cost and bound over all parts, told whenever one of them moves."""

    def __init__(self, base: float, parts: Sequence[Part], progress: Progress | None) -> None:
        self.base, self.progress = base, progress
        self.cost, self.bound = np.array([p.costs.sum() for p in parts]), np.zeros(len(parts))

    def of(self, number: int) -> Progress:
        def tell(cost: float, bound: float) -> None:
            self.cost[number] = min(self.cost[number], cost)
            self.bound[number] = max(self.bound[number], bound)
            if self.progress is not None:
                self.progress(self.base + float(self.cost.sum()), self.base + float(self.bound.sum()))

        return tell


@dataclass(frozen=True, eq=False)
class _Problem:
    """The problem with kept and ruled out candidates worked in."""

    costs: Floats
    given: Matrix
    demand: Floats
    kept: list[int]
    hopeless: frozenset[int]
    """Rows out of reach, whatever is chosen, or given up because they conflict with others."""
    open_rows: NDArray[np.intp]
    free: NDArray[np.intp]
    """Candidates still to be decided."""
    normal: Matrix
    """Open rows by free candidates: each row asks for 1, no entry exceeds 1."""
    group_sets: list[frozenset[int]]
    """For every free candidate its groups."""

    @staticmethod
    def of(
        costs: ArrayLike,
        rows: Matrix,
        demand: ArrayLike,
        keep: Sequence[int],
        forbid: Sequence[int],
        groups: Sequence[Sequence[int]],
    ) -> "_Problem":
        price = np.asarray(costs, dtype=float)
        given = sparse.csr_array(sparse.csr_array(rows).astype(float))
        given.sum_duplicates()
        count, number = given.shape
        needs = np.broadcast_to(np.asarray(demand, dtype=float), (count,)).copy()
        if price.shape != (number,):
            raise InputError(f"{price.size} costs for {number} candidates; one for each was expected")
        if not (np.isfinite(price).all() and (price >= 0.0).all()):
            raise InputError("a cost is negative or not a number")
        if not (np.isfinite(given.data).all() and (given.data >= 0.0).all() and np.isfinite(needs).all()):
            raise InputError("a row holds something negative or not a number")
        kept = sorted(set(keep))
        if set(kept) & set(forbid):
            raise InputError("a candidate is both kept and ruled out")
        for group in groups:
            if len(set(group) & set(kept)) > 1:
                raise InputError("two candidates that exclude each other are both kept")
        out = set(kept) | set(forbid)
        for group in groups:
            out |= set(group) if set(group) & set(kept) else set()
        free = np.setdiff1d(np.arange(number), np.array(sorted(out), dtype=int))
        sets: list[set[int]] = [set() for _ in range(number)]
        for g, group in enumerate(groups):
            for j in group:
                sets[j].add(g)
        residual = needs - np.asarray(given[:, kept].sum(axis=1))
        open_rows = np.flatnonzero(residual > needs * TOLERANCE)
        normal = sparse.csr_array(given[open_rows][:, free].multiply(1.0 / residual[open_rows][:, None]))
        normal.data = np.minimum(normal.data, 1.0)
        normal.eliminate_zeros()
        group_sets = [frozenset(sets[j]) for j in free]
        reachable = _most(normal, group_sets) >= 1.0 - TOLERANCE
        hopeless = frozenset(open_rows[~reachable].tolist())
        return _Problem(
            price,
            given,
            needs,
            kept,
            hopeless,
            open_rows[reachable],
            free,
            sparse.csr_array(normal[reachable]),
            group_sets,
        )

    def without(self, given_up: NDArray[np.intp]) -> "_Problem":
        """The same with some of the open rows given up."""
        rest = np.setdiff1d(np.arange(self.open_rows.size), given_up)
        return replace(
            self,
            hopeless=self.hopeless | set(self.open_rows[given_up].tolist()),
            open_rows=self.open_rows[rest],
            normal=sparse.csr_array(self.normal[rest]),
        )

    def whole(self) -> Part:
        """Every open row, nothing left out: for questions a reduction would answer wrongly."""
        return Part(self.free, self.costs[self.free], self.normal, _memberships(self.group_sets))

    def parts(self) -> list[Part]:
        """What is left after reduction, split where nothing connects, small parts first."""
        left = reduce(self.costs[self.free], self.normal, self.group_sets)
        matrix = sparse.csr_array(self.normal[left.rows][:, left.candidates])
        sets = [self.group_sets[j] for j in left.candidates]
        exclusions = _memberships(sets)
        label = _component_of(sparse.csr_array(sparse.vstack([matrix, exclusions])))
        of_row, of_candidate = label[: matrix.shape[0]], label[matrix.shape[0] + exclusions.shape[0] :]
        parts = []
        for component in np.unique(of_row):
            rows, columns = np.flatnonzero(of_row == component), np.flatnonzero(of_candidate == component)
            parts.append(
                Part(
                    self.free[left.candidates[columns]],
                    self.costs[self.free[left.candidates[columns]]],
                    sparse.csr_array(matrix[rows][:, columns]),
                    _memberships([sets[j] for j in columns]),
                )
            )
        return sorted(parts, key=lambda part: int(part.matrix.nnz))


def _memberships(group_sets: Sequence[frozenset[int]]) -> Matrix:
    """Groups with two members or more, by candidates."""
    members: dict[int, list[int]] = {}
    for j, groups in enumerate(group_sets):
        for g in groups:
            members.setdefault(g, []).append(j)
    lists = [m for m in members.values() if len(m) > 1]
    return cover_rows([(m, [1.0] * len(m)) for m in lists], len(group_sets))


def _most(matrix: Matrix, group_sets: Sequence[frozenset[int]]) -> Floats:
    """Upper bound of what every row can be given, counting one candidate for each group."""
    own = len(group_sets)
    label = np.array([min(g, default=-1) for g in group_sets], dtype=int)
    label = np.where(label < 0, np.arange(own), own + label)
    entries = matrix.tocoo()
    order = np.lexsort((entries.data, label[entries.col], entries.row))
    row, group, given = entries.row[order], label[entries.col[order]], entries.data[order]
    last = np.append((row[1:] != row[:-1]) | (group[1:] != group[:-1]), [True])[: row.size]
    return np.bincount(row[last], given[last], matrix.shape[0]).astype(float)


def _component_of(joined: Matrix) -> NDArray[np.intp]:
    """Number of the connected piece every row, then every column belongs to."""
    links = joined.tocoo()
    size = sum(joined.shape)
    graph = sparse.coo_array((np.ones(links.nnz), (links.row, links.col + joined.shape[0])), shape=(size, size))
    return np.asarray(csgraph.connected_components(graph, directed=False)[1])
