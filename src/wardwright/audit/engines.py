"""The engines that prove many jobs: processes of this machine, or a Dask cluster somebody runs."""

import multiprocessing
import os
import sys
import threading
from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from typing import TYPE_CHECKING

from wardwright.audit.one_job import Task, audit_job, failed, program_hash
from wardwright.audit.records import Audited
from wardwright.errors import InputError

if TYPE_CHECKING:
    from distributed import Client

DIED = "the process that proved it died (out of memory, or ended from outside)"


def in_processes(tasks: Sequence[Task], workers: int) -> Iterator[Audited]:
    """Prove jobs in processes of this machine, each as it is finished.

    A process that dies takes its pool with it: the jobs then in flight are proved again one by one, each alone, and the
    one that kills its process again is named.

    Parameters
    ----------
    tasks : sequence of Task
        The jobs.
    workers : int
        How many processes.
    """
    waiting, suspects = deque(tasks), deque[Task]()
    while waiting or suspects:
        if suspects:
            task = suspects.popleft()
            with _pool(1) as pool:
                try:
                    found = pool.submit(audit_job, task).result()
                except BrokenProcessPool:
                    found = failed(task, DIED)
            yield found
            continue
        flying: dict[Future[Audited], Task] = {}
        pool = _pool(workers)
        try:
            while waiting or flying:
                while waiting and len(flying) < 2 * workers:
                    flying[pool.submit(audit_job, waiting[0])] = waiting[0]
                    waiting.popleft()
                for done in wait(flying, return_when=FIRST_COMPLETED).done:
                    found = done.result()
                    del flying[done]
                    yield found
        except BrokenProcessPool:
            suspects.extend(flying.values())
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def on_cluster(tasks: Sequence[Task], address: str) -> Iterator[Audited]:
    """Prove jobs on the workers of a Dask scheduler, each as it is finished.

    Parameters
    ----------
    tasks : sequence of Task
        The jobs; their text travels with them, so the workers need no common folder.
    address : str
        Of the scheduler, for example ``tcp://127.0.0.1:8786``. Its workers need the same version of this program.
    """
    try:
        from distributed import Client, as_completed
    except ImportError:
        raise InputError("a scheduler needs the extra “cluster”: pip install 'wardwright[cluster]'") from None
    try:
        client = Client(address, timeout=5)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        raise InputError(f"no scheduler answers there ({error})", where=address) from None
    with client:
        _same_program(client, address)
        waiting, flying = deque(tasks), {}
        finished = as_completed()  # type: ignore[no-untyped-call]

        def send() -> None:
            task = waiting.popleft()
            future = client.submit(audit_job, task, pure=False)
            flying[future] = task
            finished.add(future)  # type: ignore[no-untyped-call]

        # jobs are long texts: a few ahead of the workers, not a whole stock at once
        threads = sum(client.nthreads().values())  # type: ignore[no-untyped-call]
        for _ in range(min(len(waiting), 2 * threads)):
            send()
        for done in finished:
            problem, task = done.exception(), flying.pop(done)
            yield done.result() if problem is None else failed(task, f"lost by the cluster: {problem}")
            if waiting:
                send()


def _same_program(client: "Client", address: str) -> None:
    """Workers with other rules would prove by them, and nobody would see it."""
    try:
        hashes = client.run(program_hash)
    except Exception as error:  # what fails there is whatever their installation lacks
        raise InputError(f"its workers cannot run this program ({error})", where=address) from None
    if not hashes:
        raise InputError("the scheduler has no workers", where=address)
    others = [worker for worker, found in hashes.items() if found != program_hash()]
    if others:
        raise InputError(f"another version of Wardwright is installed at {', '.join(sorted(others))}", where=address)


def _pool(workers: int) -> ProcessPoolExecutor:
    os.environ.setdefault(
        "OMP_NUM_THREADS", "1"
    )  # one job to a process: threads of their own would fight for the cores
    context = multiprocessing.get_context("forkserver" if sys.platform == "linux" else "spawn")
    if sys.platform == "linux":
        context.set_forkserver_preload(["wardwright.audit.one_job"])
    return ProcessPoolExecutor(workers, mp_context=context, initializer=_end_with_parent)


def _end_with_parent() -> None:
    """A process whose parent was killed would wait for work for ever."""
    parent = multiprocessing.parent_process()
    if parent is not None:

        def watch() -> None:
            parent.join()
            os._exit(1)

        threading.Thread(target=watch, daemon=True).start()
