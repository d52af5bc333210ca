"""The job file."""

from typing import Any, Literal

from pydantic import Field

from wardwright.design.brief import Brief, Reading
from wardwright.design.system import Design
from wardwright.model import Id, Metres, Record, Share
from wardwright.premises.model import Premises

FORMAT = 2
"""Number of the file format this program writes."""


class Firm(Record):
    """The contractor, as papers name them."""

    name: str = ""
    address: str = ""
    telephone: str = ""
    licence: str = ""
    """Licence or registration the law or a scheme asks for, in words."""


class IntakeNote(Record):
    """A guess the intake made, kept with the job until somebody settles it."""

    what: str
    where: tuple[str, ...] = ()
    assumed: str
    correct_by: str
    missing: bool = False
    settled: str = ""
    """Who settled it and how; empty while open."""


class Departure(Record):
    """A finding somebody takes on: who, why, when, until when. Lapses when what it rests on changes."""

    finding: str
    """Identity of the finding."""
    rule: str
    about: tuple[str, ...]
    who: str
    why: str
    when: str
    until: str = ""
    """ISO date; empty: until what it rests on changes."""
    rests_on: str
    """Fingerprint of the finding's numbers and elements when it was accepted."""


class SiteRecord(Record):
    """Something done on site. Records are only ever added."""

    id: Id
    date: str
    by: str
    kind: Literal["test", "reading", "visit", "fault", "alteration", "note"]
    about: tuple[str, ...] = ()
    text: str = ""
    passed: bool | None = None
    reading: Reading | None = None


class Issued(Record):
    """A paper that left the house."""

    id: Id
    paper: str
    copy_number: int = Field(ge=1)
    to: str
    date: str
    fingerprint: str
    """SHA-256 of the bytes issued."""
    catalogue_edition: str
    snapshot: dict[str, Any] = {}
    """Catalogue rows, prices and rule editions it was computed from."""


class Revision(Record):
    """A named state of the design."""

    id: Id
    name: Literal["surveyed", "sold", "as fitted", "altered"]
    date: str
    by: str
    design: Design
    note: str = ""


class Underlay(Record):
    """A photograph or page of a plan that lies under the drawing of one storey."""

    id: Id
    storey_id: Id
    picture: str = Field(pattern=r"^[0-9a-f]{24}$")
    """Its name in the store; the job file does not carry it."""
    width_px: int = Field(ge=1, le=100_000)
    height_px: int = Field(ge=1, le=100_000)
    x_m: Metres = 0.0
    """Of its lower left corner, turned about that corner."""
    y_m: Metres = 0.0
    metres_per_pixel: float = Field(default=0.01, gt=0.0, le=10.0)
    turned_rad: float = Field(default=0.0, ge=-7.0, le=7.0)
    """Anticlockwise."""
    shown: bool = True
    strength: Share = 0.5


class Job(Record):
    """Everything about one job."""

    format: Literal[2] = 2
    id: Id
    title: str
    firm: Firm = Firm()
    brief: Brief = Brief()
    premises: Premises
    design: Design = Design()
    underlays: tuple[Underlay, ...] = ()
    existing: Design | None = None
    """What was there already, as found."""
    intake: tuple[IntakeNote, ...] = ()
    departures: tuple[Departure, ...] = ()
    site: tuple[SiteRecord, ...] = ()
    issued: tuple[Issued, ...] = ()
    revisions: tuple[Revision, ...] = ()
    retired_ids: tuple[Id, ...] = ()
    """Ids once used and never to be used again."""
    own_kinds: str = ""
    """The contractor's own catalogue rows, as CSV text."""
    invented: bool = False
    """True for demonstration jobs: everything in it is made up, and papers say so."""
