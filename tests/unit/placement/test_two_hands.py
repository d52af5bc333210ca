"""Work shared with a second process, from within a process that may have none."""

from collections.abc import Sequence

from wardwright.placement.two_hands import WORTH_IT, share_fields
from wardwright.web.worker import Tell, Worker


def shared(tell: Tell, count: int) -> int:
    """In the computing process: how many items were worked out beforehand."""
    done: list[int] = []

    def work(items: Sequence[int]) -> None:
        done.extend(items)

    share_fields(work, range(count))
    return len(done)


def test_in_a_process_of_the_workbench_the_caller_computes_alone() -> None:
    worker = Worker("test-two-hands")
    try:
        assert worker.call(shared, WORTH_IT) == 0
    finally:
        worker.close()
