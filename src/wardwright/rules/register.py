"""The register of rows: every fact of a standard this program knows of, how it is known, and whether it is checked."""

import csv
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Literal

from wardwright.errors import UnknownReferenceError
from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement
from wardwright.sources import bibliography

State = Literal["checked", "judged by a person", "does not apply", "not yet"]
Clause = Callable[[Evidence], Iterable[Judgement]]


@dataclass(frozen=True)
class Row:
    """One checkable fact."""

    id: str
    source: str
    """Key of the bibliography, or ``common practice, no source``, ``derived``, ``assumption``."""
    clause: str
    known: Literal["seen", "seen in a summary", "seen in part", "from memory", "derived", "common practice"]
    """``seen``: the standard's or law's own words. A summary, a part and memory are remembered."""
    confidence: Literal["high", "medium", "low", ""]
    nature: Literal["requirement", "recommendation", "information"]
    kind: str
    fact: str
    state: State
    reason: str
    """Why it is not checked, for the coverage page."""

    @property
    def edition(self) -> str:
        """Edition of its source."""
        entry = bibliography().get(self.source)
        return entry.edition if entry else ""

    @property
    def citation(self) -> str:
        """Source with clause."""
        return f"{self.source} {self.clause}".strip()


@cache
def rows() -> dict[str, Row]:
    """Every row by id."""
    text = resources.files("wardwright.rules").joinpath("rows.csv").read_text(encoding="utf-8")
    return {r["id"]: Row(**r) for r in csv.DictReader(text.splitlines())}  # type: ignore[arg-type]


def row(row_id: str) -> Row:
    """The row with this id.

    Raises
    ------
    UnknownReferenceError
        If no row is called so.
    """
    if row_id not in rows():
        raise UnknownReferenceError(f"no row of any standard is called “{row_id}”", where="rules")
    return rows()[row_id]


CLAUSES: dict[str, Clause] = {}
"""The function that judges each checked row; filled as the modules of the editions are read."""


def clause(*row_ids: str) -> Callable[[Clause], Clause]:
    """Mark a function as the judge of one row (of several, where they are parts of one clause).

    Parameters
    ----------
    *row_ids : str
        Ids of the rows.

    Returns
    -------
    callable
        The decorator.
    """

    def mark(function: Clause) -> Clause:
        for row_id in row_ids:
            if row_id in CLAUSES:
                raise ValueError(f"{row_id} is judged twice")
            CLAUSES[row_id] = function
        return function

    return mark
