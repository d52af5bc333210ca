"""The weakest path by two searches against enumeration of every simple path."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import pytest
from scipy.sparse import csr_array
from tests.timely_paths import timely_detection, weakest_path

from wardwright.analyses.timely import Task, interruption


def _simple_paths(
    links: dict[int, list[int]], at: int, target: int, seen: tuple[int, ...]
) -> Iterator[tuple[int, ...]]:
    if at == target:
        yield seen
        return
    for following in links.get(at, []):
        if following not in seen:
            yield from _simple_paths(links, following, target, (*seen, following))


def _timely(
    path: tuple[int, ...], delay: dict[tuple[int, int], float], p: dict[tuple[int, int], float], reply: float
) -> float:
    edges = list(pairwise(path))
    return timely_detection([Task(p[e], delay[e], 0.0) for e in edges], reply)[0]


@pytest.mark.parametrize("block", range(10))
def test_agrees_with_enumeration(block: int) -> None:
    rng = np.random.default_rng(20240 + block)
    paths = 0
    for _ in range(320):
        size = int(rng.integers(4, 9))
        chance = rng.uniform(0.3, 0.8)
        edges = [(i, j) for i in range(size) for j in range(size) if i != j and rng.random() < chance]
        if not edges:
            continue
        delay = {e: float(rng.uniform(1.0, 60.0)) for e in edges}
        p = {e: float(rng.choice([0.0, 0.1, 0.5, 0.9, 0.99])) for e in edges}
        reply = float(rng.uniform(5.0, 150.0))
        rows, columns = np.array(edges).T
        delays = csr_array((np.array([delay[e] for e in edges]), (rows, columns)), shape=(size, size))
        # an explicit zero must stay an edge, so the least exponent is a hair above zero
        exponents = csr_array(
            (np.array([max(-np.log1p(-p[e]), 1e-12) for e in edges]), (rows, columns)), shape=(size, size)
        )
        links: dict[int, list[int]] = {}
        for i, j in edges:
            links.setdefault(i, []).append(j)
        every = list(_simple_paths(links, 0, size - 1, (0,)))
        paths += len(every)
        found = weakest_path(delays, exponents, 0, size - 1, reply)
        if not every:
            assert found is None
            continue
        assert found is not None
        least = min(_timely(path, delay, p, reply) for path in every)
        assert found.probability == pytest.approx(least, abs=1e-9)
        # the path handed back is a path, and is as weak as claimed
        assert found.nodes[0] == 0
        assert found.nodes[-1] == size - 1
        assert _timely(found.nodes, delay, p, reply) <= least + 1e-9
    assert paths > 1000


def test_interruption_rises_with_sensing_and_delay_and_falls_with_the_reply() -> None:
    rng = np.random.default_rng(7)
    for _ in range(300):
        tasks = [Task(float(rng.uniform(0, 0.99)), float(rng.uniform(5, 90)), 0.0, "B") for _ in range(4)]
        reply = float(rng.uniform(10, 200))
        base = interruption(tasks, reply, 0.3 * reply, 0.95)
        assert interruption(tasks, reply * 1.1, 0.3 * reply, 0.95) <= base + 1e-12 or reply > sum(
            t.delay_s for t in tasks
        )
        later = [*tasks[:-1], Task(tasks[-1].probability, tasks[-1].delay_s + 5, 0.0, "B")]
        assert interruption(later, reply, 0.3 * reply, 0.95) >= base - 1e-12
        # sensing at the first task always helps: nothing that follows leaves more time
        surer = [Task(min(1.0, tasks[0].probability + 0.01), tasks[0].delay_s, 0.0, "B"), *tasks[1:]]
        assert interruption(surer, reply, 0.3 * reply, 0.95) >= base - 1e-12
