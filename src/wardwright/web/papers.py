"""Papers: the client's to look at, either to issue; offers; the plan as a drawing."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import Field

from wardwright.documents.dossier import client_papers, firm_papers
from wardwright.documents.drawing import plan_drawing
from wardwright.documents.frame import drawing_paper
from wardwright.documents.register import issue, next_copy_number
from wardwright.documents.sheet import TitleBlock
from wardwright.errors import InputError
from wardwright.job.model import Job
from wardwright.prove import scheme_of
from wardwright.storage.firm import catalogue_of, firm_proof, today
from wardwright.storage.job_file import job_from_text, job_text
from wardwright.storage.store import Kept
from wardwright.web.jobs import REFUSALS, store_of
from wardwright.web.records import Message, Words
from wardwright.web.strict import StrictRoute
from wardwright.web.worker import Tell, Worker

router = APIRouter(prefix="/api/v1", tags=["papers"], responses=REFUSALS, route_class=StrictRoute)
PDF: dict[int | str, dict[str, Any]] = {
    200: {"content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}}}
}


class PaperAsked(Message):
    """A paper to be issued: copy-numbered and entered in the job's register."""

    revision: Annotated[int, Field(ge=1)]
    paper: Literal["client", "firm"]
    to: Words = ""
    """Whom this copy is for; empty: the client, or the firm itself."""
    passphrase: Annotated[str, Field(min_length=12, max_length=200)] | None = None
    """Encrypts the firm's dossier."""


class OfferView(Message):
    """One offer. Money in the currency, as decimal text."""

    name: str
    summary: str
    changes: tuple[tuple[str, str], ...]
    """What is changed, and its effect."""
    currency: str
    net: str
    tax: str
    total: str
    recurring_year: str
    hours: str
    assumptions: tuple[str, ...]


def make_client_paper(tell: Tell, text: str) -> bytes:
    """In the computing process: the client's paper, not issued."""
    return client_papers(firm_proof(job_from_text(text, where="job"), for_papers=True, progress=tell), date=today())


def make_issue(tell: Tell, text: str, paper: str, to: str, passphrase: str | None) -> tuple[bytes, str]:
    """In the computing process: a paper to issue, and the job with it in its register."""
    job = job_from_text(text, where="job")
    proof = firm_proof(job, for_papers=True, progress=tell)
    day = today()
    number = next_copy_number(job, paper)
    if paper == "firm":
        whom = to or job.firm.name or "the firm"
        content = firm_papers(proof, copy_number=number, to=whom, date=day, passphrase=passphrase)
    else:
        whom = to or job.brief.client or "the client"
        content = client_papers(proof, date=day)
    logged = issue(
        job,
        paper=paper,
        copy_number=number,
        to=whom,
        date=day,
        content=content,
        catalogue=catalogue_of(job),
        findings=proof.findings,
        prices={offer.name: str(offer.estimate.total) for offer in proof.offers},
    )
    return content, job_text(logged)


def make_offers(tell: Tell, text: str) -> list[dict[str, Any]]:
    """In the computing process: the offers."""
    proof = firm_proof(job_from_text(text, where="job"), for_papers=True, progress=tell)
    return [
        OfferView(
            name=offer.name,
            summary=offer.summary,
            changes=tuple((c.what, c.effect) for c in offer.changes),
            currency=offer.estimate.currency,
            net=str(offer.estimate.net),
            tax=str(offer.estimate.tax),
            total=str(offer.estimate.total),
            recurring_year=str(offer.estimate.recurring_year),
            hours=str(offer.estimate.hours),
            assumptions=tuple(offer.estimate.assumptions),
        ).model_dump()
        for offer in proof.offers
    ]


async def _worked(request: Request, task: Any, kept: Kept, *args: object) -> Any:
    worker: Worker = request.app.state.papers
    return await run_in_threadpool(worker.call, task, job_text(kept.job), *args)


def _pdf(content: bytes, name: str, revision: int) -> Response:
    headers = {"Content-Disposition": f'inline; filename="{name}"', "Wardwright-Revision": str(revision)}
    return Response(content, media_type="application/pdf", headers=headers)


@router.get("/jobs/{key}/papers/client", response_class=Response, responses=PDF)
async def look_at_client_paper(request: Request, key: str) -> Response:
    """The client's paper as it would be issued now; nothing is entered in the register."""
    kept = await run_in_threadpool(store_of(request).get, key)
    content = await _worked(request, make_client_paper, kept)
    return _pdf(content, f"{kept.job.id}-client.pdf", kept.revision)


@router.post("/jobs/{key}/papers", response_class=Response, responses=PDF)
async def issue_paper(request: Request, key: str, asked: PaperAsked) -> Response:
    """Issue a paper: numbered, entered in the register. The header ``Wardwright-Revision`` tells the job's revision."""
    if asked.passphrase is not None and asked.paper == "client":
        raise InputError("only the firm's dossier is encrypted", where="passphrase")
    store = store_of(request)
    kept = await run_in_threadpool(store.get, key)
    content, text = await _worked(request, make_issue, kept, asked.paper, asked.to.strip(), asked.passphrase)
    logged = job_from_text(text, where="job")

    def change(_job: Job) -> Job:
        return logged

    after = await run_in_threadpool(store.edit, key, asked.revision, change, f"{asked.paper} paper issued")
    number = logged.issued[-1].copy_number
    return _pdf(content, f"{kept.job.id}-{asked.paper}-copy-{number}.pdf", after.revision)


@router.get("/jobs/{key}/offers")
async def read_offers(request: Request, key: str) -> list[OfferView]:
    """The three offers side by side; none where the design does not hang together."""
    kept = await run_in_threadpool(store_of(request).get, key)
    return [OfferView.model_validate(o) for o in await _worked(request, make_offers, kept)]


@router.get(
    "/jobs/{key}/plans/{storey_id}",
    response_class=Response,
    responses={200: {"content": {"image/svg+xml": {"schema": {"type": "string"}}}}},
)
def read_plan(
    request: Request,
    key: str,
    storey_id: str,
    bare: Annotated[bool, Query(description="Without title block, legend, scale bar and north.")] = False,
) -> Response:
    """One storey with its devices as a drawing to scale, SVG."""
    job = store_of(request).get(key).job
    scheme = scheme_of(job, catalogue_of(job))
    storey = job.premises.storey(storey_id)
    if not any(item.storey_id == storey_id for group in (job.premises.walls, job.premises.rooms) for item in group):
        raise InputError("there is nothing drawn on this storey yet", where=storey.name)
    block = TitleBlock(
        firm=job.firm.name,
        job=job.title,
        address=job.brief.address,
        drawing="Devices",
        storey=storey.name,
        date=today(),
        revision="draft",
        mark="not issued",
        invented=job.invented,
    )
    drawing = plan_drawing(
        scheme, storey_id, paper=drawing_paper(job.brief.profile, large=True), block=block, bare=bare
    )
    return Response(drawing.svg, media_type="image/svg+xml")
