"""A process that computes beside the server: it keeps what it has worked out, and can be stopped at any moment."""

import multiprocessing
import os
import signal
import threading
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any

from wardwright.errors import InputError, WardwrightError

PATIENCE_S = 1.0
"""How long a computation is given to stop by itself before its process is ended. [s]"""

MEMORY_BYTES = 6 * 2**30
"""Address space of a process: a building drawn by mistake in the wrong unit must not take the machine down. [B]"""

Tell = Callable[[str], None]
"""Told the name of each part; raises `Stopped` when nobody wants the rest."""


class Stopped(Exception):  # noqa: N818  it is no error
    """The computation was stopped by who asked for it."""


class Worker:
    """One computing process, started when first needed and again after it was ended.

    Parameters
    ----------
    name : str
        For lists of processes.
    yielding : int
        How far it steps back for others, as ``nice`` counts: what follows the hand goes first.
    """

    def __init__(self, name: str, yielding: int = 0) -> None:
        self._name = name
        self._yielding = yielding
        self._turn = threading.Lock()
        self._process: multiprocessing.process.BaseProcess | None = None
        self._pipe: Connection[Any, Any] | None = None
        self._stop = threading.Event()
        self._closed = False

    def call(
        self, task: Callable[..., Any], *args: object, tell: Tell | None = None, patience_s: float = PATIENCE_S
    ) -> Any:
        """Run a function of some module in the process and wait for what it returns.

        Parameters
        ----------
        task : callable
            A module-level function; it is given a `Tell` first, then the arguments.
        *args
            Arguments that can be pickled.
        tell : callable, optional
            Called here with the name of each part.
        patience_s : float
            How long it is given to end by itself once it is stopped. [s]

        Raises
        ------
        Stopped
            If `stop` was called.
        InputError
            What the function raised for a person to read.
        WardwrightError
            If the process died.
        """
        with self._turn:
            if self._closed:
                raise Stopped
            self._stop.clear()
            pipe = self._ready()
            asked_to_stop = 0.0
            try:
                pipe.send((task, args))
                while True:
                    if pipe.poll(0.05):
                        kind, value = pipe.recv()
                        if kind == "part":
                            if tell is not None:
                                tell(value)
                            continue
                        break
                    if self._stop.is_set() or self._closed:
                        if not asked_to_stop:
                            asked_to_stop = time.monotonic()
                            pipe.send("stop")
                        elif time.monotonic() - asked_to_stop > (PATIENCE_S if self._closed else patience_s):
                            self._end()
                            raise Stopped
            except (EOFError, OSError, BrokenPipeError):
                self._end()
                raise WardwrightError("the computation ended unexpectedly, perhaps for lack of memory") from None
        if kind == "stopped":
            raise Stopped
        if kind == "refused":
            raise InputError(value[0], where=value[1])
        if kind == "fault":
            raise RuntimeError(value)
        return value

    @property
    def alive(self) -> bool:
        """Whether the process is there, with what it holds."""
        return self._process is not None and self._process.is_alive()

    def stop(self) -> None:
        """Stop what is being computed, if anything is."""
        self._stop.set()

    def close(self) -> None:
        """End the process; nothing is computed any more."""
        self._closed = True
        self._stop.set()
        with self._turn:
            self._end()

    def _ready(self) -> "Connection[Any, Any]":
        if self._process is None or not self._process.is_alive() or self._pipe is None:
            self._end()
            context = multiprocessing.get_context("spawn")
            self._pipe, theirs = context.Pipe()
            self._process = context.Process(target=_work, args=(theirs, self._yielding), name=self._name, daemon=True)
            self._process.start()
            theirs.close()
        return self._pipe

    def _end(self) -> None:
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.kill()
            self._process.join()
            self._process.close()
        self._pipe = self._process = None


def _work(pipe: "Connection[Any, Any]", yielding: int) -> None:
    """Serve one pipe until it closes."""
    with suppress(AttributeError, OSError):
        os.nice(yielding)
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the server ends us; the terminal's Ctrl-C is for it

    def tell(part: str) -> None:
        if pipe.poll():
            pipe.recv()
            raise Stopped
        pipe.send(("part", part))

    with suppress(EOFError, OSError):
        while True:
            message = pipe.recv()
            if message == "stop":  # it came too late
                continue
            task, args = message
            try:
                answer: tuple[str, object] = ("done", task(tell, *args))
            except Stopped:
                answer = ("stopped", None)
            except WardwrightError as error:
                answer = ("refused", (getattr(error, "message", str(error)), getattr(error, "where", "")))
            except MemoryError:
                answer = ("refused", ("this building is too large to be worked out here", ""))
            except Exception:
                answer = ("fault", traceback.format_exc())
            try:
                pipe.send(answer)
            except (TypeError, AttributeError, ValueError):
                pipe.send(("fault", f"{answer[1]!r} cannot be handed over"))
