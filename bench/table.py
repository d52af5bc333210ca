"""One line of the table of measurements."""

import time
from collections.abc import Callable
from typing import NamedTuple


class Row(NamedTuple):
    """What was measured, against what, the ratio, and what is aimed at."""

    name: str
    measured: str
    reference: str = ""
    ratio: str = ""
    aim: str = ""


def best_of(times: int, work: Callable[[], object]) -> float:
    """Shortest of several runs. [s]"""
    least = float("inf")
    for _ in range(times):
        begin = time.perf_counter()
        work()
        least = min(least, time.perf_counter() - begin)
    return least
