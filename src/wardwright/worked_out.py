"""What is worked out once for some values and kept as long as it is asked for with those very values."""

from collections.abc import Callable, Hashable
from functools import update_wrapper
from typing import Any, Generic, ParamSpec, TypeVar

from wardwright.model import Record

P = ParamSpec("P")
T = TypeVar("T")


class Kept(Generic[T]):
    """Answers by key; the one longest not asked for goes first.

    Parameters
    ----------
    most : int
        Answers held.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: dict[Hashable, T] = {}

    def get(self, key: Hashable, work: Callable[[], T]) -> T:
        """An answer by its key, worked out if it is not held."""
        found = self._held.pop(key, None)
        if found is None:
            found = work()
            while len(self._held) >= self._most:
                self._held.pop(next(iter(self._held)))
        self._held[key] = found
        return found

    def forget(self) -> None:
        """Drop all answers."""
        self._held.clear()


class _Once(Generic[P, T]):
    """A function that works each answer out once."""

    def __init__(self, work: Callable[P, T], kept: int) -> None:
        self._work = work
        self._answers: Kept[tuple[Any, T]] = Kept(kept)
        _every.append(self)
        update_wrapper(self, work)

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> T:
        given = (*args, *kwargs.values())
        key = (*(id(a) if isinstance(a, Record) else a for a in given), *kwargs)
        # the values are held with the answer, so that no other value takes their place in memory
        return self._answers.get(key, lambda: (given, self._work(*args, **kwargs)))[1]

    def forget(self) -> None:
        """Drop all answers."""
        self._answers.forget()


_every: list[_Once[Any, Any]] = []


def forget_all() -> None:
    """Drop all answers of all functions: for measuring what work from nothing costs, and for tests."""
    for function in _every:
        function.forget()


def once(kept: int) -> Callable[[Callable[P, T]], _Once[P, T]]:
    """Make a function work each answer out once.

    Records never change: that it is the same record is enough to know the answer, and quicker than comparing. Anything
    else it is given must be hashable and is compared.

    Parameters
    ----------
    kept : int
        Answers held; beyond that the one longest not asked for goes.

    Returns
    -------
    callable
        The decorator; ``forget()`` of what it makes drops all answers.
    """
    return lambda work: _Once(work, kept)
