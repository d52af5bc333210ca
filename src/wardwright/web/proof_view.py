"""A proof as the interface gives it: the eight questions, every finding with its words, the ways in and through."""

from typing import Any, Literal

from wardwright.analyses.entry_records import WayIn
from wardwright.analyses.route_records import RouteAnalysis
from wardwright.documents.schedules import Schedule, attack_schedule, defeat_schedule
from wardwright.documents.verdict_table import VERDICT_OUTCOME, answers, by_question, verdict_words
from wardwright.documents.wording import found_words, limit_words, margin_words
from wardwright.findings import QUESTION_WORDS, Finding, Outcome, Question, Weight
from wardwright.job.model import Departure
from wardwright.prove import PARTS, Proof
from wardwright.web.records import Message


class FindingView(Message):
    """One claim, judged."""

    id: str
    """Same problem, same id between runs."""
    rule: str
    question: Question
    outcome: Outcome
    weight: Weight
    accepted: bool
    about: tuple[str, ...]
    """Ids of the elements concerned."""
    explanation: str
    plain: str
    """The client's sentence."""
    value: float | None
    operator: str
    limit: float | None
    margin: float | None
    unit: str
    interval: tuple[float, float] | None
    assumption: str
    citation: str
    fix: str
    """The ordinary edit that would mend it."""
    digits: int
    found_words: str
    """Value with unit and spread, as printed."""
    limit_words: str
    margin_words: str

    @classmethod
    def of(cls, finding: Finding, *, accepted: bool) -> "FindingView":
        """From a finding."""
        return cls(
            id=finding.identity,
            rule=finding.rule,
            question=finding.question,
            outcome=finding.outcome,
            weight=finding.weight,
            accepted=accepted,
            about=finding.about,
            explanation=finding.explanation,
            plain=finding.plain,
            value=finding.value,
            operator=finding.operator,
            limit=finding.limit,
            margin=finding.margin,
            unit=finding.unit,
            interval=finding.interval,
            assumption=finding.assumption,
            citation=finding.citation,
            fix=finding.fix,
            digits=finding.digits,
            found_words=found_words(finding),
            limit_words=limit_words(finding),
            margin_words=margin_words(finding),
        )


class QuestionView(Message):
    """One of the eight questions with its answer."""

    key: Question
    words: str
    answer: Outcome | None
    """None where nothing was asked."""
    weight: Weight | None
    counts: dict[Outcome, int]


class LapsedView(Message):
    """A departure that no longer holds."""

    departure: Departure
    reason: str


class ProblemView(Message):
    """A broken reference or impossible value."""

    where: str
    what: str
    expected: str
    severity: str


class TableView(Message):
    """A table of what was worked out."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str | int | float | None, ...], ...]

    @classmethod
    def of(cls, schedule: Schedule) -> "TableView":
        """From a schedule."""
        return cls(title=schedule.title, columns=schedule.columns, rows=schedule.rows)


class ProofView(Message):
    """A job, judged."""

    revision: int
    """Of the job it was worked out from."""
    verdict: Outcome
    words: str
    questions: tuple[QuestionView, ...]
    findings: tuple[FindingView, ...]
    """By question, most urgent first."""
    accepted: tuple[Departure, ...]
    lapsed: tuple[LapsedView, ...]
    problems: tuple[ProblemView, ...]
    routes: tuple[RouteAnalysis, ...]
    """Ways through, worst first, for each way of setting the system."""
    ways: tuple[WayIn, ...]
    """Ways in, with the attacks on each."""
    attacks: tuple[TableView, ...] = ()
    """Every intrusion, and what the system yields to."""

    @classmethod
    def of(cls, proof: Proof, revision: int) -> "ProofView":
        """From a proof."""
        taken = {finding.identity for finding, _ in proof.accepted}
        return cls(
            revision=revision,
            verdict=VERDICT_OUTCOME[proof.verdict],
            words=verdict_words(proof),
            questions=tuple(
                QuestionView(
                    key=asked,
                    words=QUESTION_WORDS[asked],
                    answer=answer[0] if answer else None,
                    weight=answer[1] if answer else None,
                    counts={o: sum(f.outcome is o for f in group) for o in Outcome},
                )
                for asked, group, answer in answers(proof)
            ),
            findings=tuple(
                FindingView.of(f, accepted=f.identity in taken)
                for group in by_question(proof.findings).values()
                for f in group
            ),
            accepted=tuple(departure for _, departure in proof.accepted),
            lapsed=tuple(LapsedView(departure=d, reason=reason) for d, reason in proof.lapsed),
            problems=tuple(
                ProblemView(where=p.where, what=p.what, expected=p.expected, severity=p.severity)
                for p in proof.problems
            ),
            routes=proof.routes,
            ways=proof.entry.ways if proof.entry is not None else (),
            attacks=_attack_tables(proof),
        )


def _attack_tables(proof: Proof) -> tuple[TableView, ...]:
    if proof.attacks is None:
        return ()
    made = (attack_schedule(proof.attacks), defeat_schedule(proof.attacks))
    return tuple(TableView.of(s) for s in made if s.rows)


class ProofState(Message):
    """Where the proof of a job stands."""

    state: Literal["none", "computing", "done", "stopped", "failed"]
    revision: int
    """Of the job it is about; 0 where there is none."""
    part: str = ""
    """What is being worked out."""
    done: int = 0
    parts: int = len(PARTS)
    message: str = ""
    """Why it failed."""
    proof: ProofView | None = None

    def told(self, **changes: Any) -> "ProofState":
        """The same with some fields changed."""
        return self.model_copy(update=changes)
