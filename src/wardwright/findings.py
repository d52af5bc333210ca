"""A finding: one claim about a design, judged, with its number, its limit and its source."""

import hashlib
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal


class Question(StrEnum):
    """The eight questions everything that is proved answers."""

    ENTRY = "entry"
    ROUTE = "route"
    ATTACK = "attack"
    POWER = "power"
    SIGNAL = "signal"
    NUISANCE = "nuisance"
    LIVING = "living"
    RULES = "rules"


QUESTION_WORDS: dict[Question, str] = {
    Question.ENTRY: "Is every way in watched?",
    Question.ROUTE: "Is every way through caught, and how soon?",
    Question.ATTACK: "What if they attack the system itself?",
    Question.POWER: "Does it keep going, and do the loops tell the truth?",
    Question.SIGNAL: "Is help called in time?",
    Question.NUISANCE: "Will it cry wolf?",
    Question.LIVING: "Can people live with it?",
    Question.RULES: "Does it meet the standard asked for?",
}


class Outcome(StrEnum):
    """The four outcomes."""

    MET = "met"
    NOT_MET = "not met"
    NOT_DECIDED = "not decided"
    DOES_NOT_APPLY = "does not apply"


class Weight(StrEnum):
    """How much a finding weighs. A remembered figure refutes nothing."""

    REQUIRED = "required"
    RECOMMENDED = "recommended"
    REMEMBERED = "remembered"


@dataclass(frozen=True)
class Finding:
    """One claim, judged.

    ``value`` and ``limit`` are in ``unit``. ``interval`` is the plausible spread of ``value`` where people, weather or
    workmanship decide, and ``assumption`` names what governs it. ``plain`` is the client's sentence and never shows
    how to get past the system; ``explanation`` is the firm's.
    """

    rule: str
    """Stable key: ``entry.opening-watched``, ``EU-PWR-04``."""
    question: Question
    outcome: Outcome
    weight: Weight
    about: tuple[str, ...]
    """Ids of the elements concerned."""
    explanation: str
    plain: str
    value: float | None = None
    operator: Literal["<=", ">=", "<", ">", "=", ""] = ""
    limit: float | None = None
    unit: str = ""
    interval: tuple[float, float] | None = None
    assumption: str = ""
    citation: str = ""
    """Key of the bibliography with clause, or ``the brief``, or ``common practice, no source``."""
    fix: str = ""
    """The ordinary edit that would mend it."""
    digits: int = 2
    """Significant digits the inputs justify."""

    @property
    def identity(self) -> str:
        """Same problem, same name between runs: built from rule and elements only."""
        return hashlib.sha256("|".join((self.rule, *self.about)).encode()).hexdigest()[:12]

    @property
    def margin(self) -> float | None:
        """Room to the limit in ``unit``, positive when met; None where there is no number."""
        if self.value is None or self.limit is None or not self.operator:
            return None
        if self.operator in ("<=", "<"):
            return self.limit - self.value
        if self.operator in (">=", ">"):
            return self.value - self.limit
        return -abs(self.value - self.limit)

    @property
    def refutes(self) -> bool:
        """True when this finding alone turns the verdict to refuted."""
        return self.outcome is Outcome.NOT_MET and self.weight is Weight.REQUIRED

    @property
    def blocks(self) -> bool:
        """True when this finding leaves something required undecided."""
        return self.outcome is Outcome.NOT_DECIDED and self.weight is Weight.REQUIRED
