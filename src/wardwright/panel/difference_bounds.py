"""Sets of times left, held as bounds on differences: the exact arithmetic of "which falls due first".

A set is a square matrix of whole milliseconds. Variable 0 is nought; variable *i* is what is left of timer *i*, less
the one millisecond it must have while it runs; entry *(i, j)* bounds *x_i - x_j* from above. Matrices are kept
canonical: every bound as tight as the others make it, so that one set contains another just if every bound does.
"""

from collections.abc import Sequence

Bounds = tuple[tuple[int, ...], ...]
NOTHING: Bounds = ((0,),)
"""No timer runs."""


def tightened(rows: list[list[int]]) -> Bounds | None:
    """The canonical form by shortest paths (Floyd and Warshall); None for an empty set."""
    n = range(len(rows))
    for k in n:
        through = rows[k]
        for row in rows:
            first = row[k]
            for j in n:
                if first + through[j] < row[j]:
                    row[j] = first + through[j]
    if any(rows[i][i] < 0 for i in n):
        return None
    return tuple(map(tuple, rows))


def let_time_pass(bounds: Bounds) -> Bounds:
    """All that can be left once some time, or none, has passed and nothing has fallen due. Stays canonical."""
    n = range(1, len(bounds))
    lower = [min(0, *(bounds[j][i] for j in n)) for i in n]
    return ((0, *lower), *bounds[1:])


def falling_due(bounds: Bounds, first: frozenset[int]) -> Bounds | None:
    """What is left when just these timers have fallen due together, one millisecond later; None if they cannot.

    Rows and columns of the timers that fell due stay, at nought, for :func:`carried` to leave out.
    """
    rows = [list(row) for row in bounds]
    for i in range(1, len(rows)):
        if i in first:
            rows[i][0] = min(rows[i][0], 0)
        else:
            rows[0][i] = min(rows[0][i], -1)
    tight = tightened(rows)
    if tight is None:
        return None
    gone = [0 if i == 0 or i in first else 1 for i in range(len(tight))]
    return tuple(tuple(bound - gone[i] + gone[j] for j, bound in enumerate(row)) for i, row in enumerate(tight))


def carried(bounds: Bounds, sources: Sequence[int]) -> Bounds:
    """The set after a step: each timer either runs on or was started.

    Parameters
    ----------
    bounds : Bounds
        Before.
    sources : sequence of int
        For each timer that runs afterwards: minus its number before, or the time it was started with. [ms]

    Returns
    -------
    Bounds
        Canonical again, since what was started is a single point.
    """

    def bound(a: int, b: int) -> int:
        if a <= 0 and b <= 0:
            return bounds[-a][-b]
        if a > 0 and b > 0:
            return a - b
        return a - 1 + bounds[0][-b] if a > 0 else bounds[-a][0] - (b - 1)

    named = (0, *sources)
    return tuple(tuple(bound(a, b) for b in named) for a in named)


def contains(larger: Bounds, smaller: Bounds) -> bool:
    """Every valuation of the smaller set is in the larger."""
    return all(a >= b for one, other in zip(larger, smaller, strict=True) for a, b in zip(one, other, strict=True))
