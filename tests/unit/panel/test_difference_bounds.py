"""Sets of times left against counting them out (Dill 1989, from memory: the operations on difference bounds)."""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from wardwright.panel.difference_bounds import NOTHING, Bounds, carried, contains, falling_due, let_time_pass

TOP = 5


def members(bounds: Bounds) -> set[tuple[int, ...]]:
    """Every valuation of a set, in milliseconds less one, counted out."""
    n = len(bounds)
    return {
        x
        for x in product(range(TOP + 1), repeat=n - 1)
        if all((0, *x)[i] - (0, *x)[j] <= bounds[i][j] for i in range(n) for j in range(n))
    }


started = st.lists(st.integers(1, TOP), min_size=1, max_size=2)


@settings(deadline=None)
@given(started, st.data())
def test_each_operation_does_what_counting_does(times: list[int], data: st.DataObject) -> None:
    bounds, points = let_time_pass(carried(NOTHING, times)), set[tuple[int, ...]]()
    start = tuple(t - 1 for t in times)
    points = {tuple(x - d for x in start) for d in range(min(start) + 1)}
    assert members(bounds) == points
    for _ in range(2):
        n = len(bounds)
        if n == 1:
            return
        if data.draw(st.booleans()):  # one more timer is started
            fresh = data.draw(st.integers(1, TOP))
            bounds = let_time_pass(carried(bounds, [*(-i for i in range(1, n)), fresh]))
            points = {(*x, fresh - 1) for x in points}
        else:  # some run out together
            first = frozenset(data.draw(st.sets(st.integers(1, n - 1), min_size=1)))
            due = falling_due(bounds, first)
            ready = {x for x in points if all((x[i] == 0) is (i + 1 in first) for i in range(n - 1))}
            assert (due is not None) is bool(ready)
            if due is None:
                return
            left = [i for i in range(1, n) if i not in first]
            bounds = let_time_pass(carried(due, [-i for i in left])) if left else NOTHING
            points = {tuple(x[i - 1] - 1 for i in left) for x in ready}
        points = {tuple(v - d for v in x) for x in points for d in range(min(x, default=0) + 1)}
        assert members(bounds) == points


@given(started, started)
def test_a_set_contains_another_just_if_its_members_do(one: list[int], other: list[int]) -> None:
    size = min(len(one), len(other))
    a, b = (let_time_pass(carried(NOTHING, t[:size])) for t in (one, other))
    assert contains(a, b) is (members(b) <= members(a))
