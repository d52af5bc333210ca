"""Buildings and pictures that come in as files."""

import json
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import Field

from wardwright.errors import InputError, UnknownReferenceError
from wardwright.job.model import Job
from wardwright.storage.job_file import job_from_text, job_text
from wardwright.storage.underlays import drop_underlay, keep_underlay, list_underlays, place_underlay, underlay_picture
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


class Placement(Message):
    """How a picture lies under the plan."""

    x_m: Annotated[float, Field(ge=-10_000, le=10_000)] = 0.0
    """Of its lower left corner, turned about that corner. [m]"""
    y_m: Annotated[float, Field(ge=-10_000, le=10_000)] = 0.0
    metres_per_pixel: Annotated[float, Field(gt=0, le=10)] = 0.01
    turned_rad: Annotated[float, Field(ge=-7, le=7)] = 0.0
    """Anticlockwise. [rad]"""
    shown: bool = True
    strength: Annotated[float, Field(ge=0, le=1)] = 0.5


class UnderlayView(Message):
    """A picture under the plan of one storey."""

    storey_id: str
    width_px: int
    height_px: int
    placement: Placement

    @classmethod
    def of(cls, storey_id: str, size: tuple[int, int], placement: str) -> "UnderlayView":
        """From what is kept."""
        return cls(
            storey_id=storey_id,
            width_px=size[0],
            height_px=size[1],
            placement=Placement.model_validate(json.loads(placement)),
        )


def _storey(request: Request, key: str, storey_id: str) -> None:
    store_of(request).get(key).job.premises.storey(storey_id)


@router.get("/jobs/{key}/underlays")
def read_underlays(request: Request, key: str) -> list[UnderlayView]:
    """Pictures under the plans of a job."""
    store_of(request).get(key)
    return [UnderlayView.of(*held) for held in list_underlays(store_of(request), key)]


@router.put("/jobs/{key}/underlays/{storey_id}", openapi_extra=FILE)
async def take_in_underlay(
    request: Request,
    key: str,
    storey_id: str,
    name: Name = "upload",
    page: Annotated[int, Query(ge=1, le=5000, description="Page of a PDF.")] = 1,
) -> UnderlayView:
    """A photograph or PDF of a plan to lie under a storey. It is drawn afresh: where it was taken is not kept."""
    await run_in_threadpool(_storey, request, key, storey_id)
    content = await _content(request, LARGEST_PICTURE)
    picture = await run_in_threadpool(read_apart, "underlay", content, {"name": name, "page": page})
    placement = Placement().model_dump_json()
    size = await run_in_threadpool(keep_underlay, store_of(request), key, storey_id, picture, placement)
    return UnderlayView.of(storey_id, size, placement)


@router.patch("/jobs/{key}/underlays/{storey_id}")
def move_underlay(request: Request, key: str, storey_id: str, placement: Placement) -> UnderlayView:
    """Lay a picture elsewhere, or scale it."""
    size = place_underlay(store_of(request), key, storey_id, placement.model_dump_json())
    return UnderlayView.of(storey_id, size, placement.model_dump_json())


@router.get(
    "/jobs/{key}/underlays/{storey_id}/picture",
    response_class=Response,
    responses={200: {"content": {"image/png": {"schema": {"type": "string", "format": "binary"}}}}},
)
def read_underlay(request: Request, key: str, storey_id: str) -> Response:
    """The picture."""
    return Response(underlay_picture(store_of(request), key, storey_id), media_type="image/png")


@router.delete("/jobs/{key}/underlays/{storey_id}", status_code=204)
def remove_underlay(request: Request, key: str, storey_id: str) -> None:
    """Take a picture away."""
    if not drop_underlay(store_of(request), key, storey_id):
        raise UnknownReferenceError("there is no picture under this storey", where=storey_id)
