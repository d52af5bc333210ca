"""What one clause says of one design, before it is known how much the clause weighs."""

import operator
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

from wardwright.findings import Outcome

Operator = Literal["<=", ">=", "<", ">", "="]

_COMPARE: dict[str, Callable[[float, float], bool]] = {
    "<=": operator.le,
    ">=": operator.ge,
    "<": operator.lt,
    ">": operator.gt,
    "=": operator.eq,
}
_WORDS = {"<=": "at most", ">=": "at least", "<": "less than", ">": "more than", "=": "exactly"}


@dataclass(frozen=True)
class Judgement:
    """One outcome of one clause; the judge adds citation, weight and question."""

    outcome: Outcome
    explanation: str
    """The firm's sentence."""
    plain: str
    """The client's sentence; never shows how anything could be got past."""
    about: tuple[str, ...] = ()
    value: float | None = None
    operator: Operator | Literal[""] = ""
    limit: float | None = None
    unit: str = ""
    interval: tuple[float, float] | None = None
    assumption: str = ""
    fix: str = ""
    digits: int = 3
    known_here: bool = False
    """The limit is no remembered figure: the job itself says it (a local law as entered). It weighs in full."""


def compared(
    subject: str,
    value: float | None,
    relation: Operator,
    limit: float,
    unit: str,
    *,
    plain: str,
    about: tuple[str, ...] = (),
    missing: str = "",
    fix: str = "",
    interval: tuple[float, float] | None = None,
    assumption: str = "",
    known_here: bool = False,
) -> Judgement:
    """A judgement by one number.

    Parameters
    ----------
    subject : str
        What is compared, for the firm's sentence.
    value : float or None
        What there is; None gives *not decided* with ``missing`` as the reason.
    relation : str
        ``<=``, ``>=``, ``<``, ``>`` or ``=``.
    limit : float
        What is asked for, in ``unit``.
    unit : str
        Unit of both.
    plain : str
        The client's sentence where it is met: what is wanted, as if it were so. Where it is not, the sentence is
        turned into what is still to be put right or settled.
    about : tuple of str
        Ids concerned.
    missing : str
        Why there is no value.
    fix : str
        The ordinary edit that would mend it.
    interval : (float, float), optional
        Plausible spread of the value. Where it straddles the limit the outcome is *not decided*.
    assumption : str
        What governs the spread.
    known_here : bool
        The limit is the job's own.

    Returns
    -------
    Judgement
        Met, not met or not decided.
    """
    asked = f"{_WORDS[relation]} {limit:g} {unit}".rstrip()
    if value is None:
        return undecided(f"{subject}: {missing or 'not known'}; {asked} is asked for", plain, about=about)
    holds = _COMPARE[relation]
    outcome = Outcome.MET if holds(value, limit) else Outcome.NOT_MET
    if interval is not None and holds(interval[0], limit) != holds(interval[1], limit):
        outcome = Outcome.NOT_DECIDED
    return Judgement(
        outcome=outcome,
        explanation=f"{subject}: {_shown(value)} {unit}".rstrip() + f", {asked} is asked for",
        plain=_turned(plain, outcome),
        about=about,
        value=value,
        operator=relation,
        limit=limit,
        unit=unit,
        interval=interval,
        assumption=assumption,
        fix="" if outcome is Outcome.MET else fix,
        known_here=known_here,
    )


def stated(holds: bool, good: str, bad: str, *, plain: str, about: tuple[str, ...] = (), fix: str = "") -> Judgement:
    """A judgement by yes or no.

    Parameters
    ----------
    holds : bool
        The clause is met.
    good, bad : str
        The firm's sentence either way.
    plain : str
        The client's sentence.
    about : tuple of str
        Ids concerned.
    fix : str
        The ordinary edit that would mend it.

    Returns
    -------
    Judgement
        Met or not met.
    """
    outcome = Outcome.MET if holds else Outcome.NOT_MET
    return Judgement(outcome, good if holds else bad, plain, about, fix="" if holds else fix)


def undecided(why: str, plain: str, *, about: tuple[str, ...] = ()) -> Judgement:
    """A judgement that cannot be made, with the reason and what would settle it.

    Parameters
    ----------
    why : str
        The firm's sentence.
    plain : str
        The client's sentence: what is wanted, as if it were so.
    about : tuple of str
        Ids concerned.

    Returns
    -------
    Judgement
        Not decided.
    """
    return Judgement(Outcome.NOT_DECIDED, why, _turned(plain, Outcome.NOT_DECIDED), about)


def _shown(value: float) -> str:
    return f"{value:.4g}" if abs(value) < 1000.0 else f"{value:.0f}"


def worst_of(judgements: Iterable[Judgement]) -> tuple[Judgement, ...]:
    """One judgement for each set of elements: where a clause says several things of one, the worst stands.

    Parameters
    ----------
    judgements : iterable of Judgement
        What a clause said.

    Returns
    -------
    tuple of Judgement
        In the order in which the elements were first met; not met before not decided before met.
    """
    rank = {Outcome.NOT_MET: 0, Outcome.NOT_DECIDED: 1, Outcome.MET: 2, Outcome.DOES_NOT_APPLY: 3}
    kept: dict[tuple[str, ...], Judgement] = {}
    for judgement in judgements:
        before = kept.get(judgement.about)
        if before is None or rank[judgement.outcome] < rank[before.outcome]:
            kept[judgement.about] = judgement
    return tuple(kept.values())


def _turned(plain: str, outcome: Outcome) -> str:
    """The client's sentence as wanted, turned by what came out."""
    start = {Outcome.NOT_MET: "Still to be put right", Outcome.NOT_DECIDED: "Still to be settled"}.get(outcome)
    return plain if start is None else f"{start}: {plain[:1].lower()}{plain[1:]}"


def not_applicable(why: str, plain: str = "") -> Judgement:
    """A clause that has nothing to judge in this design.

    Parameters
    ----------
    why : str
        The firm's sentence.
    plain : str
        The client's sentence; the same by default.

    Returns
    -------
    Judgement
        Does not apply.
    """
    return Judgement(Outcome.DOES_NOT_APPLY, why, plain or why)
