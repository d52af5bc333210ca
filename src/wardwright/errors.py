"""The errors a caller may have to deal with.

::

    WardwrightError
    ├── InputError (also ValueError)          what was given, where, what was expected
    │   ├── GeometryError                     an outline that does not close, an opening outside its wall
    │   ├── IntakeError                       a file that cannot serve as premises
    │   │   └── SeveralPlansError             it holds several, and nobody said which
    │   └── UnknownReferenceError (also KeyError)
    ├── OutOfRangeError (also ValueError)     a formula asked for something outside its valid range
    ├── NoSolutionError (also ArithmeticError)
    ├── JobFileError                          unreadable, newer than this program, migration failed
    └── PaperError                            a document that could not be set as it should be

A poor *design* is never an exception: it is a finding.
"""

from collections.abc import Sequence


class WardwrightError(Exception):
    """Base of every error that is meant to be read by a person."""


class InputError(WardwrightError, ValueError):
    """Something given from outside cannot be used.

    Parameters
    ----------
    message : str
        One plain sentence: what is wrong, and what was expected instead.
    where : str, optional
        The element, file, line or field concerned.
    """

    def __init__(self, message: str, *, where: str = "") -> None:
        super().__init__(f"{where}: {message}" if where else message)
        self.message = message
        self.where = where


class GeometryError(InputError):
    """A shape that cannot be what it claims to be."""


class IntakeError(InputError):
    """A file that cannot serve as premises."""


class SeveralPlansError(IntakeError):
    """A file that holds several plans, and nobody said which.

    Parameters
    ----------
    plans : sequence of str
        Their names.
    where : str
        The file.
    """

    def __init__(self, plans: Sequence[str], *, where: str) -> None:
        told = ", ".join(plans[:60]) + (", …" if len(plans) > 60 else "")
        super().__init__(f"it holds {len(plans)} plans; say which one with --plan: {told}", where=where)
        self.plans = tuple(plans)


class UnknownReferenceError(InputError, KeyError):
    """An id that nothing carries."""

    def __str__(self) -> str:  # KeyError would print the repr of the message
        return ValueError.__str__(self)


class OutOfRangeError(WardwrightError, ValueError):
    """A formula was asked for something outside the range it holds for.

    Parameters
    ----------
    formula : str
        Name of the formula.
    argument : str
        Name of the offending argument.
    value : float
        What was given.
    limits : str
        The valid range in words, with its unit.
    """

    def __init__(self, formula: str, argument: str, value: float, limits: str) -> None:
        super().__init__(f"{formula}: {argument} = {value:g} is outside the valid range ({limits})")
        self.formula = formula
        self.argument = argument
        self.value = value
        self.limits = limits


class NoSolutionError(WardwrightError, ArithmeticError):
    """A solver found that nothing satisfies what was asked."""


class JobFileError(WardwrightError):
    """A job file that cannot be read, is newer than this program, or failed to migrate."""


class PaperError(WardwrightError):
    """A document that could not be set as it should be."""
