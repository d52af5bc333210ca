"""A closer look at a proof: how a figure was worked out, which edits mend a finding, how the system plays."""

import json
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response
from fastapi.concurrency import run_in_threadpool

from wardwright.analyses.scenario.standard import Story, standard_stories
from wardwright.documents.calculations.sheets import calculations
from wardwright.documents.playing_page import playing_page
from wardwright.documents.story_page import firm_rows
from wardwright.documents.wording import found_words
from wardwright.errors import InputError, WardwrightError
from wardwright.findings import Finding, Outcome
from wardwright.job.moves import Move
from wardwright.placement.mending import mended, mends
from wardwright.prove import Proof
from wardwright.storage.firm import firm_proof
from wardwright.storage.job_file import job_from_text, job_text
from wardwright.web.gate import PLAYED_POLICY
from wardwright.web.jobs import REFUSALS, store_of
from wardwright.web.records import Message
from wardwright.web.strict import StrictRoute
from wardwright.web.worker import Stopped, Tell, Worker

router = APIRouter(prefix="/api/v1", tags=["proof"], responses=REFUSALS, route_class=StrictRoute)


class FormulaView(Message):
    """One formula of a sheet."""

    text: str
    source: str


class SheetView(Message):
    """One calculation, to be followed with pencil and paper."""

    subject: str
    heading: str
    formulas: tuple[FormulaView, ...]
    steps: tuple[tuple[str, str], ...]
    """What is worked out, and the working."""
    result: str
    held: tuple[str, ...]
    notes: tuple[str, ...]
    undecided: str


class EditView(Message):
    """An ordinary edit, tried: the job was proved with it made."""

    words: str
    moves: tuple[Move, ...]
    wires: bool
    """What it places is wired and programmed too."""
    outcome: Outcome | None
    """Of the finding then; None where it is no longer found."""
    found_words: str
    mends: bool
    fails: int
    """Required findings refuted then."""
    breaks: tuple[str, ...]
    """What would be refuted that is not now."""


class EditsView(Message):
    """Edits tried against one finding, what mends first."""

    revision: int
    fails: int
    """Required findings refuted now."""
    edits: tuple[EditView, ...]


class StoryRow(Message):
    """One moment: the clock, what happens, what the system does."""

    time: str
    what: str
    does: str


class StoryView(Message):
    """How the system works, as one course of events."""

    heading: str
    rows: tuple[StoryRow, ...]


_SUBJECTS = (
    ("entry.way-in-watched", "Ways in"),
    ("entry.glass", "Breaking glass"),
    ("route.", "Routes"),
    ("nuisance.", "Siting of detectors"),
    ("MNT-02", "Siting of detectors"),
    ("signal.", "Signalling"),
    ("panel.", "Panel programme"),
)


@dataclass
class _Held:
    """The job the process looks at."""

    text: str = ""
    proof: Proof | None = None
    stories: tuple[Story, ...] | None = None


_held = _Held()


def _proof(tell: Tell, text: str) -> Proof:
    if _held.proof is None or _held.text != text:
        _held.proof = firm_proof(job_from_text(text, where="job"), progress=tell)
        _held.text, _held.stories = text, None
    return _held.proof


def _finding(proof: Proof, key: str) -> Finding:
    found = next((f for f in proof.findings if f.identity == key), None)
    if found is None:
        raise InputError("there is no such finding now; prove the job again", where=key)
    return found


def worked_out(tell: Tell, text: str, key: str) -> list[dict[str, Any]]:
    """In the computing process: the calculation sheets a finding rests on."""
    proof = _proof(tell, text)
    finding = _finding(proof, key)
    line = f"{finding.rule}: {found_words(finding)}"
    holding = [(c, s) for c in calculations(proof) for s in c.sheets if any(h.startswith(line) for h in s.held)]
    names = _names(proof, finding)
    subject = next((found for begins, found in _SUBJECTS if finding.rule.startswith(begins)), "")
    if not holding:  # a sheet that tells how, and is held against nothing itself
        mode = "people inside" if finding.rule.endswith("people-inside") else "away"
        every = [(c, s) for c in calculations(proof) if c.subject == subject for s in c.sheets]
        holding = [(c, s) for c, s in every if mode in s.heading] if subject == "Ways in" else every
        names = set() if subject == "Ways in" else names
        holding = [(c, s) for c, s in holding if not names or any(name in s.heading for name in names)]
    named = [(c, s) for c, s in holding if any(name in s.heading for name in names)]
    return [
        SheetView(
            subject=told.subject,
            heading=sheet.heading,
            formulas=tuple(FormulaView(text=f.text, source=f.source) for f in told.formulas),
            steps=sheet.steps,
            result=sheet.result,
            held=sheet.held,
            notes=sheet.notes,
            undecided=sheet.undecided,
        ).model_dump()
        for told, sheet in named or holding
    ]


def _names(proof: Proof, finding: Finding) -> set[str]:
    premises = proof.scheme.premises
    called = [(o.id, o.name) for o in premises.openings] + [(r.id, r.name) for r in premises.rooms]
    return {*finding.about, *(name for key, name in called if key in finding.about and name)}


def tried(tell: Tell, text: str, key: str) -> dict[str, Any]:
    """In the computing process: ordinary edits against a finding, each proved."""
    proof = _proof(tell, text)
    finding = _finding(proof, key)
    refuted = {f.identity for f in proof.findings if f.refutes}
    found = []
    for mend in mends(proof, finding):
        try:
            after = firm_proof(mended(proof, mend), progress=tell)
        except WardwrightError:
            continue  # it cannot be made here; the others stand
        now = next((f for f in after.findings if f.identity == key), None)
        outcome = None if now is None else now.outcome
        found.append(
            EditView(
                words=mend.words,
                moves=mend.moves,
                wires=mend.wires,
                outcome=outcome,
                found_words="" if now is None else found_words(now),
                mends=outcome in (None, Outcome.MET, Outcome.DOES_NOT_APPLY),
                fails=sum(f.refutes for f in after.findings),
                breaks=tuple(f.explanation for f in after.findings if f.refutes and f.identity not in refuted)[:4],
            )
        )
    found.sort(key=lambda e: (not e.mends, e.fails))
    return EditsView(revision=0, fails=len(refuted), edits=tuple(found)).model_dump(mode="json")


def moments(tell: Tell, text: str) -> list[dict[str, Any]]:
    """In the computing process: how the system works, moment by moment."""
    return [
        StoryView(
            heading=story.heading, rows=tuple(StoryRow.model_validate(r) for r in firm_rows(story.timeline))
        ).model_dump()
        for story in _stories(tell, text)
    ]


def played(tell: Tell, text: str, number: int) -> str:
    """In the computing process: the moving page of one story."""
    stories = _stories(tell, text)
    if not 0 <= number < len(stories):
        raise InputError("there is no such course of events now", where=str(number))
    proof = _proof(tell, text)
    return playing_page(
        proof.scheme,
        stories[number].timeline,
        devices=proof.scheme.fitted,
        firm=True,
        subtitle=f"{proof.job.title}, for the firm, confidential",
        invented=proof.job.invented,
    )


def _stories(tell: Tell, text: str) -> tuple[Story, ...]:
    proof = _proof(tell, text)
    if _held.stories is None:
        _held.stories = standard_stories(proof.scheme, proof.timing, proof.routes)
    return _held.stories


async def _closer(request: Request, key: str, task: Any, *args: object) -> tuple[Any, int]:
    worker: Worker = request.app.state.closer
    kept = await run_in_threadpool(store_of(request).get, key)
    try:
        return await run_in_threadpool(worker.call, task, job_text(kept.job), *args), kept.revision
    except Stopped:
        raise WardwrightError("this was stopped") from None


FindingKey = Annotated[str, Path(pattern=r"^[0-9a-f]{12}$")]


@router.get("/jobs/{key}/findings/{finding}/steps")
async def read_steps(request: Request, key: str, finding: FindingKey) -> list[SheetView]:
    """How the figure of a finding was worked out; none where there is nothing to work out."""
    found, _ = await _closer(request, key, worked_out, finding)
    return [SheetView.model_validate(item) for item in found]


@router.get("/jobs/{key}/findings/{finding}/edits")
async def try_edits(request: Request, key: str, finding: FindingKey) -> EditsView:
    """Ordinary edits against a finding, each proved; none where only a survey or a decision helps."""
    found, revision = await _closer(request, key, tried, finding)
    return EditsView.model_validate_json(json.dumps(found | {"revision": revision}))


@router.delete("/jobs/{key}/findings/edits", status_code=204)
def stop_trying(request: Request, key: str) -> None:
    """Stop whatever is being tried."""
    store_of(request).get(key)
    request.app.state.closer.stop()


@router.get("/jobs/{key}/stories")
async def read_stories(request: Request, key: str) -> list[StoryView]:
    """How the system works, moment by moment: going out and coming home, a break-in."""
    found, _ = await _closer(request, key, moments)
    return [StoryView.model_validate(item) for item in found]


@router.get(
    "/jobs/{key}/stories/{number}",
    response_class=Response,
    responses={200: {"content": {"text/html": {"schema": {"type": "string"}}}}},
)
async def play_story(request: Request, key: str, number: Annotated[int, Path(ge=0, le=9)]) -> Response:
    """One of them as a page that moves; it asks for nothing else."""
    page, _ = await _closer(request, key, played, number)
    return Response(page, media_type="text/html", headers={"Content-Security-Policy": PLAYED_POLICY})
