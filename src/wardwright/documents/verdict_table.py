"""The verdict of a proof: as a table a person can read in a terminal, and as JSON for machines."""

import json
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

from rich.console import Group
from rich.table import Table
from rich.text import Text

from wardwright.documents.ink import VERDICT_WORD
from wardwright.documents.wording import counted, found_words, limit_words, margin_words
from wardwright.errors import InputError
from wardwright.findings import QUESTION_WORDS, Finding, Outcome, Question, Weight
from wardwright.prove import Proof, Verdict

VERDICT_OUTCOME: dict[Verdict, Outcome] = {
    Verdict.HOLDS: Outcome.MET,
    Verdict.REFUTED: Outcome.NOT_MET,
    Verdict.OPEN: Outcome.NOT_DECIDED,
}
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


def verdict_words(proof: Proof) -> str:
    """The verdict of a proof in one sentence."""
    standing = standing_findings(proof)
    refuted = sum(f.refutes for f in standing)
    undecided = sum(f.blocks for f in standing)
    if refuted:
        open_too = f", and {counted(undecided, 'is', 'are')} open" if undecided else ""
        return f"{counted(refuted, 'required claim fails', 'required claims fail')}{open_too}."
    if proof.verdict is Verdict.REFUTED:
        return "Nothing that is required is proved: there is no design to speak of yet."
    if proof.verdict is Verdict.OPEN:
        return f"Nothing required fails, but {counted(undecided, 'required claim is', 'required claims are')} open."
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


def verdict_table(proof: Proof, *, question: str | None = None, every: bool = False) -> Group:
    """The verdict for a terminal.

    Parameters
    ----------
    proof : Proof
        The proof.
    question : str, optional
        Key of one of the eight questions: list findings under this one only.
    every : bool, optional
        List what holds and what does not apply as well, not only what fails or is open.

    Returns
    -------
    rich.console.Group
        A table of the questions, a table of findings, and the verdict in a sentence. Print it with a rich console.

    Raises
    ------
    InputError
        If there is no such question.
    """
    if question is not None and question not in list(Question):
        raise InputError(f"there is no question “{question}”; there are {', '.join(Question)}", where="question")
    groups = by_question(proof.findings)
    taken = {finding.identity for finding, _ in proof.accepted}
    parts: list[Any] = [_summary(proof)]
    details = Table(title="Findings" if every else "What fails or is open", title_justify="left")
    details.add_column("Finding", no_wrap=True)
    details.add_column("", no_wrap=True)
    details.add_column("Claim", ratio=1, min_width=30)
    details.add_column("Found, wanted, room", min_width=16)
    for asked, group in groups.items():
        shown = [f for f in group if every or f.outcome in (Outcome.NOT_MET, Outcome.NOT_DECIDED)]
        if shown and question in (None, asked.value):
            details.add_section()
            details.add_row("", "", Text(QUESTION_WORDS[asked], style="bold"), "")
            for f, alike in _shown(shown, every=every):
                claim = _claim(f, f.identity in taken)
                if alike:
                    claim.append(f" And {len(alike)} alike: {', '.join(a for o in alike for a in o.about[:1])}.", "dim")
                details.add_row(f.identity[:6], _mark(f.outcome, f.weight), claim, _numbers(f))
    if details.row_count:
        parts.append(details)
    outcome = VERDICT_OUTCOME[proof.verdict]
    last = Text.assemble((f"{SHAPES[outcome]} ", _STYLE[outcome]), (verdict_words(proof), "bold"))
    if proof.accepted:
        last.append(f" {counted(len(proof.accepted), 'departure')} accepted.")
    if proof.lapsed:
        last.append(f" {counted(len(proof.lapsed), 'acceptance has', 'acceptances have')} lapsed.")
    return Group(*parts, last)


def _summary(proof: Proof) -> Table:
    table = Table(title=f"{proof.job.title}: the eight questions", title_justify="left")
    table.add_column("Question")
    for outcome in COLUMNS:
        table.add_column(VERDICT_WORD[outcome], justify="right")
    table.add_column("Answer")
    for asked, group, answer in answers(proof):
        counts = Counter(f.outcome for f in group)
        table.add_row(
            QUESTION_WORDS[asked],
            *(str(counts[o] or "") for o in COLUMNS),
            _mark(*answer) if answer is not None else Text("not proved", style="dim"),
        )
    return table


def _shown(findings: list[Finding], *, every: bool) -> list[tuple[Finding, list[Finding]]]:
    """What is required by itself; of the rest, the first of each rule with those like it, unless all are wanted."""
    rows: dict[tuple[str, ...], list[Finding]] = {}
    for f in findings:
        alone = every or f.weight is Weight.REQUIRED
        rows.setdefault((f.identity,) if alone else (f.rule, f.outcome.value), []).append(f)
    return [(first, others) for first, *others in rows.values()]


def _claim(finding: Finding, accepted: bool) -> Text:
    text = Text(finding.explanation)
    if accepted:
        text.append(" Accepted.", style="italic")
    if finding.fix and finding.outcome is not Outcome.MET:
        text.append(f" To mend it: {finding.fix}")
    if finding.citation:
        text.append(f" [{finding.citation}]", style="dim")
    return text


def _numbers(finding: Finding) -> str:
    if finding.value is None:
        return ""
    return "\n".join(
        text for text in (found_words(finding), limit_words(finding), margin_words(finding)) if text != "–"
    )


def _mark(outcome: Outcome, weight: Weight) -> Text:
    text = Text(f"{SHAPES[outcome]} {VERDICT_WORD[outcome]}", style=_STYLE[outcome])
    if weight is not Weight.REQUIRED:
        text.append(f"\n({weight.value})", style="dim")
    return text


def verdict_json(proof: Proof) -> str:
    """The verdict for machines, as JSON text.

    Parameters
    ----------
    proof : Proof
        The proof.

    Returns
    -------
    str
        One JSON object; ``verdict`` is ``met``, ``not met`` or ``not decided``.
    """
    taken = {finding.identity: departure for finding, departure in proof.accepted}
    groups = by_question(proof.findings)
    told = {
        "format": JSON_FORMAT,
        "job": proof.job.id,
        "title": proof.job.title,
        "invented": proof.job.invented,
        "verdict": VERDICT_OUTCOME[proof.verdict].value,
        "words": verdict_words(proof),
        "questions": [
            {
                "key": asked.value,
                "question": QUESTION_WORDS[asked],
                "answer": answer[0].value if answer is not None else None,
                "weight": answer[1].value if answer is not None else None,
                "counts": {o.value: sum(f.outcome is o for f in group) for o in Outcome},
            }
            for asked, group, answer in answers(proof)
        ],
        "findings": [_finding_json(f, accepted=f.identity in taken) for group in groups.values() for f in group],
        "accepted": [{"finding": key, **departure.model_dump()} for key, departure in taken.items()],
        "lapsed": [{**departure.model_dump(), "reason": reason} for departure, reason in proof.lapsed],
    }
    return json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False)


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
