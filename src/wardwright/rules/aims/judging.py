"""Judging a figure against its limit, with the client's sentence that goes with the outcome."""

from typing import Literal

from wardwright.findings import Finding, Outcome, Question, Weight

PRACTICE = "common practice, no source"
CATALOGUE = "the catalogue's figure for this kind"
UNSETTLED = "One thing has still to be settled on site."


def outcome_of(
    value: float | None,
    operator: Literal["<=", ">="],
    limit: float | None,
    interval: tuple[float, float] | None = None,
) -> Outcome:
    """Outcome of a figure against its limit.

    Parameters
    ----------
    value : float or None
        The figure; None where it could not be told.
    operator : {'<=', '>='}
        How it should lie to the limit.
    limit : float or None
        The limit.
    interval : (float, float), optional
        Plausible spread of the figure: met only if its bad end meets the limit, not met only if its good end fails it.

    Returns
    -------
    Outcome
        Met, not met or not decided.
    """
    if value is None or limit is None:
        return Outcome.NOT_DECIDED
    low, high = interval or (value, value)
    bad, good = (high, low) if operator == "<=" else (low, high)
    sign = -1.0 if operator == "<=" else 1.0
    if sign * (bad - limit) >= 0.0:
        return Outcome.MET
    return Outcome.NOT_DECIDED if sign * (good - limit) >= 0.0 else Outcome.NOT_MET


def bounded(
    rule: str,
    question: Question,
    weight: Weight,
    about: tuple[str, ...],
    explanation: str,
    *,
    value: float | None,
    operator: Literal["<=", ">="],
    limit: float | None,
    good: str,
    bad: str,
    citation: str,
    unsettled: str = UNSETTLED,
    unit: str = "",
    interval: tuple[float, float] | None = None,
    assumption: str = "",
    fix: str = "",
    digits: int = 2,
) -> Finding:
    """A finding on one figure and its limit.

    Parameters
    ----------
    rule, question, weight, about, explanation, value, operator, limit, citation, unit, interval, assumption, digits
        As in `Finding`.
    good, bad, unsettled : str
        The client's sentence when met, not met, not decided.
    fix : str
        The ordinary edit; given only where the limit is not met for sure.

    Returns
    -------
    Finding
        Judged by `outcome_of`.
    """
    outcome = outcome_of(value, operator, limit, interval)
    plain = {Outcome.MET: good, Outcome.NOT_MET: bad}.get(outcome, unsettled)
    return Finding(
        rule,
        question,
        outcome,
        weight,
        about,
        explanation,
        plain,
        value=value,
        operator=operator,
        limit=limit,
        unit=unit,
        interval=interval,
        assumption=assumption,
        citation=citation,
        fix="" if outcome is Outcome.MET else fix,
        digits=digits,
    )
