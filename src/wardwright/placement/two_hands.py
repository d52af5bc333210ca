"""Work shared with a second process where there is a second core: the hazard of many candidates.

The other process works out half of the fields and hands them back; what is computed is the same, bit for bit.
"""

import multiprocessing
import os
import sys
import threading
from collections.abc import Callable, Sequence
from multiprocessing.connection import Connection
from typing import TypeVar

from wardwright.analyses import field_store

T = TypeVar("T")
WORTH_IT = 12
"""Detectors from which a second process pays. [-]"""


def share_fields(work: Callable[[Sequence[T]], object], items: Sequence[T]) -> None:
    """Work out fields, half of them in a second process; they are in the store of fields afterwards.

    Parameters
    ----------
    work : callable
        Works out the fields of some items, through the store.
    items : sequence
        What to work out. Too few of them, one core, other threads at work, or a process that is itself a helper (as
        the workbench's are): nothing is done, the caller computes.
    """
    alone = threading.active_count() == 1 and sys.platform == "linux"
    alone = alone and not multiprocessing.current_process().daemon  # such a process may have no children
    if len(items) < WORTH_IT or not alone or (os.cpu_count() or 1) < 2:
        return
    context = multiprocessing.get_context("fork")
    here, there = context.Pipe(duplex=False)
    mine, theirs = items[::2], items[1::2]
    helper = context.Process(target=_help, args=(work, theirs, there), daemon=True)
    helper.start()
    there.close()
    try:
        work(mine)
        field_store.adopt(here.recv())
    except EOFError:
        pass  # it was ended: the caller computes what is missing
    finally:
        here.close()
        helper.join()


def _help(work: Callable[[Sequence[T]], object], items: Sequence[T], answer: Connection) -> None:
    field_store.forget()
    work(items)
    answer.send(field_store.held())
    answer.close()
