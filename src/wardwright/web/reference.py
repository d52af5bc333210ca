"""What forms and palettes are made from: schemas, the catalogue, the shipped page's words."""

from typing import Any

from fastapi import APIRouter, Request

from wardwright import __version__
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.findings import QUESTION_WORDS, Question
from wardwright.job.model import Job
from wardwright.storage.firm import catalogue_of
from wardwright.web.jobs import REFUSALS, store_of
from wardwright.web.records import Message
from wardwright.web.strict import StrictRoute

router = APIRouter(prefix="/api/v1", tags=["reference"], responses=REFUSALS, route_class=StrictRoute)


class KindView(Message):
    """A kind of device a design may use."""

    id: str
    name: str
    family: Family
    tag: str
    radio: bool
    figures: dict[str, float]
    """SI."""
    words: dict[str, str]

    @classmethod
    def of(cls, kind: DeviceKind) -> "KindView":
        """From a kind of the catalogue."""
        return cls(
            id=kind.id,
            name=kind.name,
            family=kind.family,
            tag=kind.tag,
            radio=kind.radio,
            figures={name: figure.value for name, figure in kind.figures.items()},
            words=dict(kind.words),
        )


class CatalogueView(Message):
    """The kinds a job may use."""

    edition: str
    kinds: tuple[KindView, ...]


class About(Message):
    """The program, and the eight questions."""

    name: str
    version: str
    questions: dict[Question, str]


@router.get("/about")
def about() -> About:
    """What this is."""
    return About(name="Wardwright", version=__version__, questions=QUESTION_WORDS)


@router.get("/schema")
def job_schema() -> dict[str, Any]:
    """The JSON Schema of a job."""
    return Job.model_json_schema()


@router.get("/jobs/{key}/catalogue")
def read_catalogue(request: Request, key: str) -> CatalogueView:
    """The kinds this job may use: the generic list with the job's own rows over it."""
    catalogue = catalogue_of(store_of(request).get(key).job)
    return CatalogueView(edition=catalogue.edition, kinds=tuple(KindView.of(k) for k in catalogue.kinds.values()))
