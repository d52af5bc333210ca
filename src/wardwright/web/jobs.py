"""Jobs: list, take in, read, edit, undo, delete."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from wardwright.design.wiring_up import wired_up
from wardwright.errors import InputError
from wardwright.intake.walled import walled
from wardwright.job.following import followed
from wardwright.job.ids import used_ids
from wardwright.job.model import Job
from wardwright.job.moves import moved
from wardwright.premises.fabric import Storey
from wardwright.premises.model import Premises
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import job_from_text, job_text
from wardwright.storage.store import Store
from wardwright.web.records import JobLine, JobState, MadeOn, Moves, NewJob, Refusal, WallsDrawn, WholeJob
from wardwright.web.strict import StrictRoute

REFUSALS: dict[int | str, dict[str, Any]] = {"4XX": {"model": Refusal}, "5XX": {"model": Refusal}}
JSON_FILE: dict[str, Any] = {"content": {"application/json": {"schema": {"type": "object"}}}}

router = APIRouter(prefix="/api/v1", tags=["jobs"], responses=REFUSALS, route_class=StrictRoute)


def store_of(request: Request) -> Store:
    """The store the server works on."""
    store: Store = request.app.state.store
    return store


@router.get("/jobs")
def list_jobs(request: Request) -> list[JobLine]:
    """Every job, last changed first."""
    return [JobLine.of(line) for line in store_of(request).jobs()]


@router.post("/jobs", status_code=201)
def take_in_job(request: Request, new: NewJob) -> JobState:
    """A new job: from nothing but a title, or whole."""
    job = new.job
    if job is None:
        if new.title is None:
            raise InputError("a new job needs a title or a whole job", where="title")
        job = empty_job(new.title)
    elif new.title is not None:
        job = job.model_copy(update={"title": new.title})
    return JobState.of(store_of(request).add(job))


@router.post("/job-files", status_code=201, openapi_extra={"requestBody": {"required": True, **JSON_FILE}})
async def take_in_job_file(request: Request) -> JobState:
    """A job file, of this or an earlier format."""
    try:
        text = (await request.body()).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("this is no job file: it is not text") from None
    return JobState.of(store_of(request).add(job_from_text(text, where="job file"), "job file taken in"))


@router.get("/jobs/{key}")
def read_job(request: Request, key: str) -> JobState:
    """A job as it stands."""
    return JobState.of(store_of(request).get(key))


@router.get("/jobs/{key}/file", response_class=Response, responses={200: JSON_FILE})
def download_job_file(request: Request, key: str) -> Response:
    """The job file: readable, whole, for keeping or handing on."""
    kept = store_of(request).get(key)
    name = f'attachment; filename="{kept.job.id}.json"'
    return Response(job_text(kept.job), media_type="application/json", headers={"Content-Disposition": name})


@router.put("/jobs/{key}")
def replace_job(request: Request, key: str, whole: WholeJob) -> JobState:
    """The whole job as it is to be."""
    return JobState.of(store_of(request).edit(key, whole.revision, lambda _: whole.job, whole.what))


@router.post("/jobs/{key}/moves")
def move_job(request: Request, key: str, asked: Moves) -> JobState:
    """Small edits: add, set, remove; all of them or none."""

    def change(job: Job) -> Job:
        after = moved(job, asked.moves)
        if asked.follow:
            after = followed(job, after)
        return _wired(after) if asked.wire else after

    return JobState.of(store_of(request).edit(key, asked.revision, change, asked.what))


@router.post("/jobs/{key}/walls")
def draw_walls(request: Request, key: str, asked: WallsDrawn) -> JobState:
    """Walls drawn corner by corner or round a room, where none stands already. Rooms are found by themselves."""

    def change(job: Job) -> Job:
        new = walled(
            job.premises,
            asked.storey_id,
            asked.line,
            closed=asked.closed,
            thickness_m=asked.thickness_m,
            inner=asked.inner,
            used=used_ids(job),
        )
        walls = (*job.premises.walls, *new)
        return followed(job, job.model_copy(update={"premises": job.premises.model_copy(update={"walls": walls})}))

    return JobState.of(store_of(request).edit(key, asked.revision, change, asked.what))


@router.post("/jobs/{key}/wiring")
def wire_up(request: Request, key: str, asked: MadeOn) -> JobState:
    """Loops, feeds, zones and the rest for every device that has none yet, by the usual rules."""
    return JobState.of(store_of(request).edit(key, asked.revision, _wired, "wired and programmed"))


def _wired(job: Job) -> Job:
    design = wired_up(job.design, job.premises, catalogue_of(job), job.brief.profile)
    return job.model_copy(update={"design": design})


@router.post("/jobs/{key}/undo")
def undo_job(request: Request, key: str, made: MadeOn) -> JobState:
    """Take back the last edit."""
    return JobState.of(store_of(request).undo(key, made.revision))


@router.post("/jobs/{key}/redo")
def redo_job(request: Request, key: str, made: MadeOn) -> JobState:
    """Do again what was taken back last."""
    return JobState.of(store_of(request).redo(key, made.revision))


@router.delete("/jobs/{key}", status_code=204)
def delete_job(request: Request, key: str, revision: Annotated[int, Query(ge=1)]) -> None:
    """Delete a job with its history."""
    store_of(request).remove(key, revision)


def empty_job(title: str) -> Job:
    """A job with one storey and nothing on it."""
    slug = "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in title.lower()).split())[:60] or "job"
    ground = Storey(id="storey-1", name="Ground floor", elevation_m=0.0, height_m=2.5)
    return Job(id=slug, title=title, premises=Premises(name=title, storeys=(ground,), survey="approximate"))
