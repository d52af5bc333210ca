"""What is worked out once for a building and kept as long as it is asked for with that very value."""

from collections.abc import Callable, Hashable
from functools import update_wrapper
from typing import Concatenate, Generic, ParamSpec, TypeVar

from wardwright.premises.model import Premises

P = ParamSpec("P")
T = TypeVar("T")


class _Once(Generic[P, T]):
    """A function of a building that works each answer out once."""

    def __init__(self, work: Callable[Concatenate[Premises, P], T], kept: int) -> None:
        self._work, self._kept = work, kept
        self._answers: dict[Hashable, tuple[Premises, T]] = {}
        update_wrapper(self, work)

    def __call__(self, premises: Premises, /, *args: P.args, **kwargs: P.kwargs) -> T:
        key = (id(premises), args, tuple(sorted(kwargs.items())))
        held = self._answers.get(key)
        if held is not None and held[0] is premises:
            return held[1]
        found = self._work(premises, *args, **kwargs)
        while len(self._answers) >= self._kept:
            self._answers.pop(next(iter(self._answers)))
        self._answers[key] = (premises, found)
        return found

    def forget(self) -> None:
        """Drop all answers."""
        self._answers.clear()


def once_a_building(kept: int) -> Callable[[Callable[Concatenate[Premises, P], T]], _Once[P, T]]:
    """Make a function of a building work each answer out once.

    A premises value never changes: that it is the same value is enough to know the answer, and quicker than comparing.

    Parameters
    ----------
    kept : int
        Answers held; beyond that the oldest goes.

    Returns
    -------
    callable
        The decorator. Arguments besides the building must be hashable; ``forget()`` of what it makes drops all answers.
    """
    return lambda work: _Once(work, kept)
