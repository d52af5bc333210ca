"""Findings on readings taken on site."""

from collections.abc import Iterable, Iterator

from wardwright.analyses.motion_sensor import WALK_TEST
from wardwright.analyses.readings import Compared
from wardwright.findings import Finding, Outcome, Question, Weight


def site_reading_findings(compared: Iterable[Compared]) -> Iterator[Finding]:
    """Findings on walk tests (under route), cable lengths and battery voltages (under power).

    Parameters
    ----------
    compared : iterable of Compared
        What `site_readings` found.

    Yields
    ------
    Finding
        One for each reading.
    """
    for item in compared:
        yield from readings((item,), Question.ROUTE if item.quantity == WALK_TEST else Question.POWER)


def readings(compared: Iterable[Compared], question: Question) -> Iterator[Finding]:
    """Findings on readings: what agrees, and what no model explains.

    Parameters
    ----------
    compared : iterable of Compared
        Readings beside predictions.
    question : Question
        The question they belong to.

    Yields
    ------
    Finding
        One for each reading.
    """
    for item in compared:
        said = f"{item.quantity} at {item.at}: {item.measured:.3g} {item.unit} measured"
        if item.predicted is not None:
            said += f", {item.predicted:.3g} {item.unit} predicted ({item.difference or 0.0:+.2g})"
        if item.note:
            said += f"; {item.note}"
        bounds = " to ".join(f"{b:.3g}" for b in (item.low, item.high) if b is not None)
        yield Finding(
            "site.reading-explained",
            question,
            Outcome.MET if item.explained else Outcome.NOT_DECIDED,
            Weight.RECOMMENDED if item.explained else Weight.REQUIRED,
            (item.at, item.reading_id),
            f"{said}."
            if item.explained
            else f"{said}. The model explains {bounds} {item.unit}: measure again, or find what is different on site.",
            "What was measured on site agrees with the calculation."
            if item.explained
            else "One measurement on site has to be repeated.",
            value=item.measured,
            unit=item.unit,
            interval=None if item.low is None or item.high is None else (item.low, item.high),
            citation="reading on site",
            fix="" if item.explained else "Measure again with another instrument; check cable, device and drawing.",
        )
