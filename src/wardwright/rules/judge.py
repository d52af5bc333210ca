"""Holds a scheme against every row of its profile that can be decided."""

from collections.abc import Iterable

from wardwright.errors import InputError, OutOfRangeError
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.confirmations import Confirmation, weight_of
from wardwright.rules.editions import MODULES
from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, not_applicable, undecided, worst_of
from wardwright.rules.profiles import RECOMMENDED_ONLY, applies
from wardwright.rules.register import CLAUSES, Row, rows
from wardwright.sources import bibliography

assert MODULES, "reading the modules of the editions fills CLAUSES"


def rule_findings(evidence: Evidence, confirmations: Iterable[Confirmation] = ()) -> tuple[Finding, ...]:
    """What the standards of the brief's profile say of a scheme.

    Parameters
    ----------
    evidence : Evidence
        The scheme, and the analyses that were run on it.
    confirmations : iterable of Confirmation
        Rows the firm confirmed from the text.

    Returns
    -------
    tuple of Finding
        One or more for each checked row that applies to the profile, in the order of the register. Rows that a person
        must judge are on the coverage pages, not here.
    """
    kept = tuple(confirmations)
    profile = evidence.scheme.brief.profile
    found: list[Finding] = []
    for known in rows().values():
        if known.id in CLAUSES and applies(known.id, profile):
            for judgement in _judgements(known, evidence):
                weight, how = weight_of(known, kept)
                if weight is Weight.REQUIRED and known.id in RECOMMENDED_ONLY.get(profile, frozenset()):
                    weight = Weight.RECOMMENDED
                if judgement.known_here:
                    weight, how = Weight.REQUIRED, "as entered in the job"
                found.append(_finding(known, judgement, weight, how))
    return tuple(found)


def _judgements(known: Row, evidence: Evidence) -> tuple[Judgement, ...]:
    plain = "One point of the standard."
    try:
        judged = worst_of(CLAUSES[known.id](evidence))
    except OutOfRangeError as error:
        return (undecided(f"{error}", plain),)
    except InputError as error:
        return (undecided(f"the design cannot be judged as it stands: {error}", plain),)
    return judged or (not_applicable(f"nothing in this design for it: {known.fact}"),)


def _finding(known: Row, judgement: Judgement, weight: Weight, how: str) -> Finding:
    source = bibliography().get(known.source)
    parts = [f"{source.title.split(',')[0]}, {source.edition}"] if source else []
    parts += [known.clause] if known.clause else []
    cited = ", ".join((*parts, how)) if parts else how
    return Finding(
        rule=known.id,
        question=Question.RULES,
        outcome=judgement.outcome,
        weight=weight,
        about=judgement.about,
        explanation=f"{judgement.explanation} [{known.id}: {cited}]",
        plain=judgement.plain,
        value=judgement.value,
        operator=judgement.operator,
        limit=judgement.limit,
        unit=judgement.unit,
        interval=judgement.interval,
        assumption=judgement.assumption,
        citation=known.citation,
        fix=judgement.fix if judgement.outcome is not Outcome.MET else "",
        digits=judgement.digits,
    )
