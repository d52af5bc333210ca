"""Buildings and pictures that come in as files."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, Response
from fastapi.concurrency import run_in_threadpool

from wardwright.errors import InputError
from wardwright.job.model import Job
from wardwright.storage.job_file import job_from_text, job_text
from wardwright.storage.pictures import keep_picture, read_picture
from wardwright.web.jobs import REFUSALS, store_of
from wardwright.web.records import JobState, Message
from wardwright.web.sandbox import read_apart
from wardwright.web.strict import StrictRoute

router = APIRouter(prefix="/api/v1", tags=["uploads"], responses=REFUSALS, route_class=StrictRoute)

LARGEST_BUILDING = 60_000_000
LARGEST_PICTURE = 40_000_000
FILE: dict[str, Any] = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    }
}
Name = Annotated[str, Query(max_length=200, description="Name of the file.")]
Unit = Annotated[Literal["m", "cm", "mm", "ft", "in"] | None, Query(description="Length unit of the file.")]
Scale = Annotated[float | None, Query(gt=0.0, le=1e4, allow_inf_nan=False, description="Metres in one unit.")]
Plan = Annotated[str | None, Query(max_length=200, description="Which plan, where the file holds several.")]


async def _content(request: Request, largest: int) -> bytes:
    content = await request.body()
    if not content:
        raise InputError("the file is empty", where="body")
    if len(content) > largest:
        raise InputError(f"the file is larger than {largest // 1_000_000} MB", where="body")
    return content


async def _building(request: Request, key: str, **options: Any) -> Job:
    content = await _content(request, LARGEST_BUILDING)
    made = await run_in_threadpool(read_apart, "building", content, {"key": key, **options})
    return job_from_text(made.decode(), where="upload")


@router.post("/buildings", status_code=201, openapi_extra=FILE)
async def take_in_building(
    request: Request,
    name: Name = "upload",
    title: Annotated[str | None, Query(max_length=200)] = None,
    unit: Unit = None,
    scale: Scale = None,
    plan: Plan = None,
) -> JobState:
    """A new job from a building's file: IFC, DXF, plan JSON or tape survey. Every guess is in its intake notes."""
    stem = name.replace("\\", "/").rsplit("/", 1)[-1].rsplit(".", 1)[0].lower()
    slug = "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in stem).split())[:60] or "job"
    job = await _building(request, slug, name=name, title=title or None, unit=unit, scale=scale, plan=plan)
    return JobState.of(await run_in_threadpool(store_of(request).add, job, "building taken in"))


@router.put("/jobs/{key}/building", openapi_extra=FILE)
async def read_building_again(
    request: Request,
    key: str,
    revision: Annotated[int, Query(ge=1)],
    name: Name = "upload",
    unit: Unit = None,
    scale: Scale = None,
    plan: Plan = None,
) -> JobState:
    """Read a building's file into a job that is there, as with another unit; the design stays as it is."""
    store = store_of(request)
    before = (await run_in_threadpool(store.get, key)).job
    read = await _building(request, before.id, name=name, unit=unit, scale=scale, plan=plan)

    def change(job: Job) -> Job:
        return job.model_copy(update={"premises": read.premises, "intake": read.intake})

    return JobState.of(await run_in_threadpool(store.edit, key, revision, change, "building read again"))


@router.put("/jobs/{key}/services", openapi_extra=FILE)
async def lay_services_over(
    request: Request, key: str, revision: Annotated[int, Query(ge=1)], name: Name = "upload"
) -> JobState:
    """Lay an IFC file of the same project's building services over the job's building."""
    store = store_of(request)
    before = (await run_in_threadpool(store.get, key)).job
    content = await _content(request, LARGEST_BUILDING)
    over = job_text(before).encode()
    made = await run_in_threadpool(read_apart, "services", content, {"name": name}, over)
    read = job_from_text(made.decode(), where="upload")

    def change(job: Job) -> Job:
        return job.model_copy(update={"premises": read.premises, "intake": read.intake})

    return JobState.of(await run_in_threadpool(store.edit, key, revision, change, "services laid over"))


class PictureView(Message):
    """A picture kept with a job, to be laid under the plan of a storey."""

    picture: str
    """Its name."""
    width_px: int
    height_px: int


@router.put("/jobs/{key}/pictures", openapi_extra=FILE)
async def take_in_picture(
    request: Request,
    key: str,
    name: Name = "upload",
    page: Annotated[int, Query(ge=1, le=5000, description="Page of a PDF.")] = 1,
) -> PictureView:
    """A photograph or PDF of a plan. It is drawn afresh: where it was taken is not kept."""
    store = store_of(request)
    await run_in_threadpool(store.revision, key)
    content = await _content(request, LARGEST_PICTURE)
    drawn = await run_in_threadpool(read_apart, "picture", content, {"name": name, "page": page})
    kept, (width, height) = await run_in_threadpool(keep_picture, store, key, drawn)
    return PictureView(picture=kept, width_px=width, height_px=height)


@router.get(
    "/jobs/{key}/pictures/{picture}",
    response_class=Response,
    responses={200: {"content": {"image/png": {"schema": {"type": "string", "format": "binary"}}}}},
)
def read_kept_picture(request: Request, key: str, picture: str) -> Response:
    """The picture."""
    return Response(read_picture(store_of(request), key, picture), media_type="image/png")
