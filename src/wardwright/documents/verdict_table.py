"""The verdict of a proof: as a table a person can read in a terminal, and as JSON for machines."""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from rich.console import Group
from rich.table import Table
from rich.text import Text

from wardwright.documents.ink import VERDICT_WORD
from wardwright.documents.wording import counted, found_words, limit_words, margin_words
from wardwright.findings import QUESTION_WORDS, Finding, Outcome, Question, Weight
from wardwright.prove import Proof

JSON_FORMAT = 1
SHAPES: dict[Outcome, str] = {
    Outcome.MET: "●",
    Outcome.NOT_MET: "■",
    Outcome.NOT_DECIDED: "◐",
    Outcome.DOES_NOT_APPLY: "○",
}
"""The verdict marks as characters: shape before colour."""
_STYLE = {
    Outcome.MET: "blue",
    Outcome.NOT_MET: "bold red",
    Outcome.NOT_DECIDED: "yellow",
    Outcome.DOES_NOT_APPLY: "dim",
}
COLUMNS = (Outcome.MET, Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.DOES_NOT_APPLY)
_URGENCY = (Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.MET, Outcome.DOES_NOT_APPLY)


def standing_findings(proof: Proof) -> tuple[Finding, ...]:
    """Findings nobody has taken on."""
    taken = {finding.identity for finding, _ in proof.accepted}
    return tuple(f for f in proof.findings if f.identity not in taken)


def verdict(findings: Iterable[Finding]) -> Outcome:
    """The verdict of several findings together.

    Parameters
    ----------
    findings : iterable of Finding
        Those nobody has taken on.

    Returns
    -------
    Outcome
        Not met where one required claim is refuted; else not decided where one is open, or where no required claim
        was judged at all: an empty design is no success; else met.
    """
    required = [f for f in findings if f.weight is Weight.REQUIRED]
    if any(f.refutes for f in required):
        return Outcome.NOT_MET
    if any(f.blocks for f in required) or not any(f.outcome is Outcome.MET for f in required):
        return Outcome.NOT_DECIDED
    return Outcome.MET


def question_answer(findings: Sequence[Finding]) -> tuple[Outcome, Weight] | None:
    """The answer to one question, with the weight of the claims it rests on.

    Parameters
    ----------
    findings : sequence of Finding
        Those under the question that nobody has taken on.

    Returns
    -------
    tuple or None
        Decided by what is required; where nothing required applies, by what is recommended or remembered. None where
        nothing was asked.
    """
    if not findings:
        return None
    for weight in Weight:
        outcomes = {f.outcome for f in findings if f.weight is weight}
        for outcome in (Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.MET):
            if outcome in outcomes:
                return outcome, weight
    return Outcome.DOES_NOT_APPLY, Weight.REQUIRED


def answers(proof: Proof) -> list[tuple[Question, list[Finding], tuple[Outcome, Weight] | None]]:
    """Every question with its findings, most urgent first, and its answer."""
    taken = {finding.identity for finding, _ in proof.accepted}
    found = []
    for question, group in by_question(proof.findings).items():
        left = [f for f in group if f.identity not in taken]
        answer = question_answer(left)
        if answer is None and group:
            answer = (Outcome.MET, group[0].weight)
        found.append((question, group, answer))
    return found


def verdict_words(findings: Sequence[Finding]) -> str:
    """The verdict in one sentence."""
    outcome = verdict(findings)
    refuted = sum(f.refutes for f in findings)
    undecided = sum(f.blocks for f in findings)
    if outcome is Outcome.NOT_MET:
        open_too = f", and {counted(undecided, 'is', 'are')} open" if undecided else ""
        return f"{counted(refuted, 'required claim fails', 'required claims fail')}{open_too}."
    if outcome is Outcome.NOT_DECIDED:
        if undecided:
            return f"Nothing required fails, but {counted(undecided, 'required claim is', 'required claims are')} open."
        return "Nothing that is required was judged: there is no design to speak of yet."
    return "All that is required holds."


def by_question(findings: Iterable[Finding]) -> dict[Question, list[Finding]]:
    """Findings under their questions, most urgent first; every question is there."""
    found: dict[Question, list[Finding]] = {question: [] for question in Question}
    for finding in findings:
        found[finding.question].append(finding)
    weights = list(Weight)
    for group in found.values():
        group.sort(key=lambda f: (_URGENCY.index(f.outcome), weights.index(f.weight), f.rule, f.about))
    return found


def verdict_table(proof: Proof, *, everything: bool = False) -> Group:
    """The verdict for a terminal.

    Parameters
    ----------
    proof : Proof
        The proof.
    everything : bool, optional
        List what holds as well, not only what fails or is open.

    Returns
    -------
    rich.console.Group
        A table of the questions, a table of findings, and the verdict in a sentence. Print it with a rich console.
    """
    standing = standing_findings(proof)
    groups = by_question(proof.findings)
    taken = {finding.identity for finding, _ in proof.accepted}
    summary = Table(title=f"{proof.job.title}: the eight questions", title_justify="left")
    summary.add_column("Question")
    for outcome in COLUMNS:
        summary.add_column(VERDICT_WORD[outcome], justify="right")
    summary.add_column("Answer")
    for question, group, answer in answers(proof):
        counts = Counter(f.outcome for f in group)
        summary.add_row(
            QUESTION_WORDS[question],
            *(
                str(counts[o] or "")
                for o in (Outcome.MET, Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.DOES_NOT_APPLY)
            ),
            _mark(*answer) if answer is not None else Text("not proved", style="dim"),
        )
    shown = [
        f
        for group in groups.values()
        for f in group
        if everything or f.outcome in (Outcome.NOT_MET, Outcome.NOT_DECIDED)
    ]
    parts: list[Any] = [summary]
    if shown:
        details = Table(title="What to look at" if not everything else "All findings", title_justify="left")
        details.add_column("", no_wrap=True)
        details.add_column("Claim", ratio=1)
        details.add_column("Found", no_wrap=True)
        details.add_column("Wanted", no_wrap=True)
        details.add_column("Room", justify="right", no_wrap=True)
        details.add_column("Source")
        for f in shown:
            claim = Text(f.explanation)
            if f.identity in taken:
                claim.append(" Accepted.", style="italic")
            if f.fix and f.outcome is not Outcome.MET:
                claim.append(f" To mend it: {f.fix}", style="dim")
            details.add_row(
                _mark(f.outcome, f.weight), claim, found_words(f), limit_words(f), margin_words(f), Text(f.citation)
            )
        parts.append(details)
    outcome = verdict(standing)
    last = Text.assemble((f"{SHAPES[outcome]} ", _STYLE[outcome]), (verdict_words(standing), "bold"))
    if proof.accepted:
        last.append(f" {counted(len(proof.accepted), 'departure')} accepted.")
    if proof.lapsed:
        last.append(f" {counted(len(proof.lapsed), 'acceptance has', 'acceptances have')} lapsed.")
    return Group(*parts, last)


def _mark(outcome: Outcome, weight: Weight) -> Text:
    text = Text(f"{SHAPES[outcome]} {VERDICT_WORD[outcome]}", style=_STYLE[outcome])
    if weight is not Weight.REQUIRED:
        text.append(f" ({weight.value})", style="dim")
    return text


def verdict_json(proof: Proof) -> dict[str, Any]:
    """The verdict for machines.

    Parameters
    ----------
    proof : Proof
        The proof.

    Returns
    -------
    dict
        JSON values only; ``verdict`` is ``met``, ``not met`` or ``not decided``.
    """
    standing = standing_findings(proof)
    taken = {finding.identity: departure for finding, departure in proof.accepted}
    groups = by_question(proof.findings)
    return {
        "format": JSON_FORMAT,
        "job": proof.job.id,
        "title": proof.job.title,
        "invented": proof.job.invented,
        "verdict": verdict(standing).value,
        "words": verdict_words(standing),
        "questions": [
            {
                "key": question.value,
                "question": QUESTION_WORDS[question],
                "answer": answer[0].value if answer is not None else None,
                "weight": answer[1].value if answer is not None else None,
                "counts": {o.value: sum(f.outcome is o for f in group) for o in Outcome},
            }
            for question, group, answer in answers(proof)
        ],
        "findings": [_finding_json(f, accepted=f.identity in taken) for group in groups.values() for f in group],
        "accepted": [{"finding": key, **departure.model_dump()} for key, departure in taken.items()],
        "lapsed": [departure.model_dump() for departure in proof.lapsed],
    }


def _finding_json(finding: Finding, *, accepted: bool) -> dict[str, Any]:
    return {
        "id": finding.identity,
        "rule": finding.rule,
        "question": finding.question.value,
        "outcome": finding.outcome.value,
        "weight": finding.weight.value,
        "accepted": accepted,
        "about": list(finding.about),
        "value": finding.value,
        "operator": finding.operator,
        "limit": finding.limit,
        "margin": finding.margin,
        "unit": finding.unit,
        "interval": list(finding.interval) if finding.interval else None,
        "assumption": finding.assumption,
        "citation": finding.citation,
        "explanation": finding.explanation,
        "plain": finding.plain,
        "fix": finding.fix,
        "digits": finding.digits,
    }
