"""Proposals in the background: the three offers for a job's brief, compared, and one of them taken."""

import json
import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Request
from pydantic import Field

from wardwright.analyses.mode import Mode
from wardwright.design.devices import Device
from wardwright.documents.placed import offers_compared, statement
from wardwright.errors import InputError, WardwrightError
from wardwright.job.model import Job
from wardwright.placement.layout import Standing
from wardwright.placement.proposal import problem_of
from wardwright.placement.three_offers import KINDS, TITLES, Kind, PlacedOffer, three_offers
from wardwright.storage.firm import catalogue_of, firm_folder, firm_tariff, load_confirmations, today
from wardwright.storage.job_file import job_from_text, job_text
from wardwright.storage.store import Kept
from wardwright.web.jobs import REFUSALS, store_of
from wardwright.web.records import JobState, MadeOn, Message
from wardwright.web.strict import StrictRoute
from wardwright.web.worker import Stopped, Tell, Worker

_log = logging.getLogger("wardwright.web")
router = APIRouter(prefix="/api/v1", tags=["proposals"], responses=REFUSALS, route_class=StrictRoute)
KEPT = 10
"""Jobs whose proposals are kept in memory."""
ASK_S = 0.2
"""Between two looks whether somebody stopped the search. [s]"""
PATIENCE_S = 90.0
"""A stopped search completes and proves the best it has; it is given this long. [s]"""


class Wanted(Message):
    """What is to be proposed."""

    revision: Annotated[int, Field(ge=1)]
    seconds: Annotated[float, Field(ge=1.0, le=600.0)] = 30.0
    """For each search. [s]"""
    budget: Annotated[float, Field(gt=0.0, le=1e9, allow_inf_nan=False)] | None = None
    """Price of the whole job with tax; None: what the cheapest costs."""


class Promise(Message):
    """Figures of an offer, to hold edits by hand against."""

    chance: float | None
    """Pessimistic chance to be noticed before the target on the weakest route, with nobody in."""
    first_s: float | None
    """Longest time to first detection, with nobody in."""
    fails: int
    """Required findings refuted, and not taken on."""


class ProposedView(Message):
    """One offer, proved."""

    kind: Kind
    title: str
    cells: tuple[str, ...]
    """What is compared, in the order of ``rows``."""
    promise: Promise
    said: str
    """What is proved about it and for what, and what stands in the way."""
    devices: tuple[Device, ...]
    """What is new or elsewhere than in the design as it stands."""


class ProposalState(Message):
    """Where the search for proposals stands."""

    state: Literal["none", "computing", "done", "stopped", "failed"]
    revision: int
    """Revision of the job it is for."""
    part: str = ""
    message: str = ""
    rows: tuple[str, ...] = ()
    """What is compared."""
    offers: tuple[ProposedView, ...] = ()


def propose_text(tell: Tell, text: str, seconds: float, budget: float | None) -> str:
    """In the computing process: the offers, with the job each would make."""
    job = job_from_text(text, where="job")
    tell("looking at every place a detector could hang")
    problem = problem_of(job, catalogue_of(job), firm_tariff())
    stop = _Stop(tell)

    def progress(kind: Kind, at: Standing) -> None:
        if not stop.asked:
            stop.say(
                f"{TITLES[kind].lower()}: round {at.round}, detectors {at.cost:.0f}, at least {at.bound:.0f} "
                f"(gap {100.0 * max(0.0, 1.0 - at.bound / at.cost) if at.cost > 0.0 else 0.0:.0f} %), "
                f"{at.evading} routes still slip by"
            )

    def offered(wanted: tuple[Kind, ...]) -> tuple[PlacedOffer, ...]:
        return three_offers(
            problem,
            today=today(),
            wanted=wanted,
            budget=None if budget is None else Decimal(str(budget)),
            time_limit_s=seconds,
            confirmations=load_confirmations(firm_folder()),
            progress=progress,
            stop=stop,
        )

    message = ""
    try:
        offers = offered(KINDS)
    except InputError as error:
        if budget is None:
            raise
        message = error.message  # the budget does not pay for the least there must be: the other two still stand
        offers = offered(("least", "margin"))
    compared = offers_compared(offers)
    found = [_told(job, o, tuple(cells[i] for _, cells in compared)) for i, o in enumerate(offers)]
    rows = [name for name, _ in compared]
    jobs = [job_text(o.proposal.job) for o in offers]
    told = [o.model_dump(mode="json") for o in found]
    return json.dumps({"rows": rows, "offers": told, "jobs": jobs, "message": message})


def _told(job: Job, offer: PlacedOffer, cells: tuple[str, ...]) -> ProposedView:
    before = set(map(Device.model_dump_json, job.design.devices))
    new = tuple(d for d in offer.proposal.job.design.devices if d.model_dump_json() not in before)
    proof = offer.proposal.proof
    away = [r for a in proof.routes if a.mode == Mode.AWAY.value for r in a.routes]
    accepted = {f.identity for f, _ in proof.accepted}
    promise = Promise(
        chance=min((r.interval[0] for r in away), default=None),
        first_s=offer.latest_first_s,
        fails=sum(f.refutes and f.identity not in accepted for f in proof.findings),
    )
    said = statement(offer).plain.strip()
    return ProposedView(kind=offer.kind, title=TITLES[offer.kind], cells=cells, promise=promise, said=said, devices=new)


class _Stop:
    """Asks now and then whether somebody stopped the search; the best so far is then completed, not thrown away."""

    def __init__(self, tell: Tell) -> None:
        self._tell = tell
        self._looked = 0.0
        self.asked = False

    def __call__(self) -> bool:
        if not self.asked and time.monotonic() - self._looked > ASK_S:
            self.say("")
        return self.asked

    def say(self, part: str) -> None:
        """Tell how far it is, and note whether it was stopped."""
        self._looked = time.monotonic()
        try:
            self._tell(part)
        except Stopped:
            self.asked = True


@dataclass
class _Found:
    state: ProposalState
    jobs: tuple[str, ...] = ()


class Proposals:
    """The proposals of all jobs; one search at a time."""

    def __init__(self) -> None:
        self.worker = Worker("wardwright-proposals", yielding=10)
        self._lock = threading.Lock()
        self._found: dict[str, _Found] = {}

    def state(self, key: str) -> ProposalState:
        """Where the search for a job stands."""
        with self._lock:
            found = self._found.get(key)
        return found.state if found is not None else ProposalState(state="none", revision=0)

    def want(self, kept: Kept, wanted: Wanted) -> ProposalState:
        """Begin a search for a job as it stands.

        Raises
        ------
        InputError
            If one is under way, for this job or another.
        """
        with self._lock:
            if any(f.state.state == "computing" for f in self._found.values()):
                raise InputError("a search for proposals is under way; stop it first, or wait for it")
            state = ProposalState(state="computing", revision=kept.revision)
            self._found.pop(kept.key, None)
            self._found[kept.key] = _Found(state)
            while len(self._found) > KEPT:
                self._found.pop(next(iter(self._found)))
        threading.Thread(target=self._run, args=(kept, wanted), name="proposals", daemon=True).start()
        return state

    def stop(self, key: str) -> ProposalState:
        """End the search; the best it has is completed and proved."""
        state = self.state(key)
        if state.state == "computing":
            self.worker.stop()
        return state

    def job(self, key: str, kind: Kind, revision: int) -> Job:
        """The job an offer would make of the revision it was worked out for.

        Raises
        ------
        InputError
            If there is no such offer for this revision.
        """
        with self._lock:
            found = self._found.get(key)
        kinds = [] if found is None else [o.kind for o in found.state.offers]
        if found is None or kind not in kinds:
            raise InputError("there is no such offer; let it be proposed again", where=kind)
        if found.state.revision != revision:
            raise InputError("the job has changed since this was proposed; let it be proposed again", where=kind)
        return job_from_text(found.jobs[kinds.index(kind)], where="proposal")

    def close(self) -> None:
        """Stop everything."""
        self.worker.close()

    def _run(self, kept: Kept, wanted: Wanted) -> None:
        def put(change: Callable[[_Found], _Found]) -> None:
            with self._lock:
                if kept.key in self._found:
                    self._found[kept.key] = change(self._found[kept.key])

        def tell(part: str) -> None:
            if part:
                put(lambda f: _Found(f.state.model_copy(update={"part": part})))

        end: dict[str, Any]
        jobs: tuple[str, ...] = ()
        try:
            text = self.worker.call(
                propose_text, job_text(kept.job), wanted.seconds, wanted.budget, tell=tell, patience_s=PATIENCE_S
            )
            made = json.loads(text)
            jobs = tuple(made["jobs"])
            offers = tuple(ProposedView.model_validate(o) for o in made["offers"])
            end = {"state": "done", "rows": tuple(made["rows"]), "offers": offers, "message": made["message"]}
        except Stopped:
            end = {"state": "stopped"}
        except WardwrightError as error:
            end = {"state": "failed", "message": str(error)}
        except Exception:
            _log.exception("the proposals for %s failed", kept.key)
            end = {"state": "failed", "message": "the program made a mistake; the server's window tells more"}
        put(lambda f: _Found(f.state.model_copy(update={"part": "", **end}), jobs))


def proposals_of(request: Request) -> Proposals:
    """The proposals the server keeps."""
    proposals: Proposals = request.app.state.proposals
    return proposals


@router.post("/jobs/{key}/proposals", status_code=202)
def begin_proposals(request: Request, key: str, wanted: Wanted) -> ProposalState:
    """Begin the search for three offers for the job as it stands; what is placed is kept."""
    kept = store_of(request).get(key)
    if kept.revision != wanted.revision:
        raise InputError("the job has been changed in another window; look at it first", where=kept.job.title)
    return proposals_of(request).want(kept, wanted)


@router.get("/jobs/{key}/proposals")
def read_proposals(request: Request, key: str) -> ProposalState:
    """Where the search stands; the offers when it is done."""
    store_of(request).revision(key)
    return proposals_of(request).state(key)


@router.delete("/jobs/{key}/proposals")
def stop_proposals(request: Request, key: str) -> ProposalState:
    """End the search with the best it has."""
    store_of(request).revision(key)
    return proposals_of(request).stop(key)


@router.post("/jobs/{key}/proposals/{kind}")
def take_proposal(request: Request, key: str, kind: Kind, made: MadeOn) -> JobState:
    """Take an offer: one edit, undone like any other."""
    offered = proposals_of(request).job(key, kind, made.revision)

    def change(job: Job) -> Job:
        return job.model_copy(update={"design": offered.design})

    return JobState.of(store_of(request).edit(key, made.revision, change, f"proposal taken: {TITLES[kind].lower()}"))
