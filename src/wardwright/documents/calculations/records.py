"""The records of the calculation sheets, and what is said the same way on all of them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from wardwright.documents.wording import found_words, limit_words
from wardwright.findings import Finding

Step = tuple[str, str]
"""What, and the worked figure with its unit and source."""


@dataclass(frozen=True)
class Formula:
    """One formula of a subject."""

    text: str
    source: str
    """Key of the bibliography, or in words what it rests on."""
    by_hand: str = ""
    """Function of ``wardwright.physics`` that works it out, where ``wardwright formula`` can ask it."""


@dataclass(frozen=True)
class CalculationSheet:
    """One calculation: inputs and steps, the result, what it is held against, what governs it."""

    heading: str
    steps: tuple[Step, ...]
    result: str = ""
    held: tuple[str, ...] = ()
    """Each requirement the result meets or fails: figure, limit, source, outcome."""
    notes: tuple[str, ...] = ()
    undecided: str = ""


@dataclass(frozen=True)
class Calculations:
    """All sheets of one subject, and the formulas they share."""

    subject: str
    formulas: tuple[Formula, ...]
    sheets: tuple[CalculationSheet, ...]


def held_against(findings: Iterable[Finding], about: str, *rules: str) -> tuple[str, ...]:
    """What the findings say of one element's figures.

    Parameters
    ----------
    findings : iterable of Finding
        All findings of a proof.
    about : str
        Id of the element.
    *rules : str
        How the names of the rules begin.

    Returns
    -------
    tuple of str
        One line for each finding with a figure and a limit.
    """
    return tuple(
        f"{f.rule}: {found_words(f)}, {limit_words(f)} ({f.citation}): {f.outcome.value}"
        for f in findings
        if about in f.about and f.rule.startswith(rules) and f.value is not None and f.limit is not None
    )


def merged(sheets: Sequence[CalculationSheet]) -> tuple[CalculationSheet, ...]:
    """Sheets worked exactly alike share one.

    Parameters
    ----------
    sheets : sequence of CalculationSheet
        In order.

    Returns
    -------
    tuple of CalculationSheet
        Each once, its heading naming all it stands for.
    """
    found: dict[CalculationSheet, list[str]] = {}
    for sheet in sheets:
        found.setdefault(replace(sheet, heading=""), []).append(sheet.heading)
    return tuple(replace(sheet, heading="; ".join(headings)) for sheet, headings in found.items())
