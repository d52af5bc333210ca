"""What the interface takes and gives, besides the job itself."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from wardwright.job.model import Job
from wardwright.job.moves import Move
from wardwright.model import Id, Metres
from wardwright.storage.store import Kept, Listed

Title = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200)]
Words = Annotated[str, StringConstraints(max_length=300)]


class Message(BaseModel):
    """Base of what is sent and received: strict about names."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class JobLine(Message):
    """One line in the list of jobs."""

    key: str
    title: str
    revision: int
    changed: str
    """ISO date and time, UTC."""

    @classmethod
    def of(cls, listed: Listed) -> "JobLine":
        """From the store's line."""
        return cls(key=listed.key, title=listed.title, revision=listed.revision, changed=listed.changed)


class JobState(Message):
    """A job as it stands: what every accepted edit answers with."""

    key: str
    revision: int
    changed: str
    undo: str
    """What undo would take back; empty where there is nothing."""
    redo: str
    job: Job

    @classmethod
    def of(cls, kept: Kept) -> "JobState":
        """From what the store holds."""
        return cls(
            key=kept.key, revision=kept.revision, changed=kept.changed, undo=kept.undo, redo=kept.redo, job=kept.job
        )


class NewJob(Message):
    """A job from nothing: one storey, nothing drawn; or a whole job."""

    title: Title | None = None
    job: Job | None = None


class WholeJob(Message):
    """A job as it is to be."""

    revision: Annotated[int, Field(ge=1)]
    """Revision the edit was made on."""
    what: Words = "edit"
    """What was done, in words, for undo."""
    job: Job


class Moves(Message):
    """Small edits, all of them or none."""

    revision: Annotated[int, Field(ge=1)]
    what: Words = "edit"
    moves: Annotated[tuple[Move, ...], Field(min_length=1, max_length=2000)]
    follow: bool = False
    """What follows from it is done too: rooms found again between the walls, references to what is gone dropped."""
    wire: bool = False
    """What is not wired and programmed then is, by the usual rules."""


class WallsDrawn(Message):
    """Walls drawn by hand."""

    revision: Annotated[int, Field(ge=1)]
    what: Words = "walls drawn"
    storey_id: Id
    line: Annotated[tuple[tuple[Metres, Metres], ...], Field(min_length=2, max_length=500)]
    """Corners. [m]"""
    closed: bool = False
    """The line runs back to its first corner."""
    thickness_m: Annotated[float, Field(gt=0.0, le=2.0)]
    inner: bool = False
    """The line follows the inner faces, as a tape does; otherwise the middles of the walls."""


class MadeOn(Message):
    """The revision an action rests on."""

    revision: Annotated[int, Field(ge=1)]


class RefusalLine(Message):
    """One thing wrong, and where."""

    where: str
    message: str


class Refusal(Message):
    """The one shape of everything that did not work."""

    status: int
    kind: Literal[
        "not signed in",
        "not allowed here",
        "not found",
        "conflict",
        "cannot be used",
        "too large",
        "too many tries",
        "not possible now",
        "fault of the program",
    ]
    message: str
    """One plain sentence: what is wrong, and what was expected instead."""
    where: str = ""
    lines: tuple[RefusalLine, ...] = ()
    """Every single thing wrong, where there are several."""
    current: JobState | None = None
    """With a conflict: the job as it stands now."""
