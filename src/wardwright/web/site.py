"""What was measured on site: where each quantity can be read, and one more reading."""

from typing import Annotated

from fastapi import APIRouter, Request
from pydantic import Field

from wardwright.design.reading_places import PLACES, UNITS_READ, reading_places
from wardwright.job.model import Job
from wardwright.job.records import with_reading
from wardwright.model import Id
from wardwright.storage.firm import today
from wardwright.web.jobs import REFUSALS, store_of
from wardwright.web.records import JobState, Message, Words
from wardwright.web.strict import StrictRoute

router = APIRouter(prefix="/api/v1", tags=["site"], responses=REFUSALS, route_class=StrictRoute)

Said = Annotated[str, Field(min_length=1, max_length=300)]


class Readable(Message):
    """One quantity that can be read on this job."""

    quantity: str
    units: tuple[str, ...]
    """The usual one first."""
    at: tuple[str, ...]
    """Ids of the elements it can be read at."""


class Taken(Message):
    """A reading as somebody took it."""

    revision: Annotated[int, Field(ge=1)]
    quantity: Said
    at: Id
    value: Annotated[float, Field(allow_inf_nan=False)]
    unit: Said
    instrument: Said
    by: Said
    date: Words = ""
    """ISO date; empty: today."""
    uncertainty: Annotated[float, Field(ge=0.0, allow_inf_nan=False)] | None = None
    """Of the instrument, in the unit."""


@router.get("/jobs/{key}/readings")
def readable(request: Request, key: str) -> list[Readable]:
    """What can be read on this job, and where."""
    job = store_of(request).get(key).job
    found = ((q, sorted(reading_places(q, job.design, job.premises))) for q in PLACES)
    return [Readable(quantity=q, units=UNITS_READ[q], at=tuple(at)) for q, at in found if at]


@router.post("/jobs/{key}/readings")
def take_reading(request: Request, key: str, taken: Taken) -> JobState:
    """One more reading. Readings are only ever added: the newest counts, and undo leaves them."""

    def change(job: Job) -> Job:
        return with_reading(
            job,
            quantity=taken.quantity,
            at=taken.at,
            value=taken.value,
            unit=taken.unit,
            instrument=taken.instrument,
            by=taken.by,
            date=taken.date or today(),
            uncertainty=taken.uncertainty,
        )

    return JobState.of(store_of(request).edit(key, taken.revision, change, f"{taken.quantity} read on site"))
