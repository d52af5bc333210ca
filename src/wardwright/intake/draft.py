"""What a reader hands over: shapes in metres with whatever the source said about them, nothing decided yet."""

from dataclasses import dataclass, field
from typing import Literal

from wardwright.model import XY, Ring
from wardwright.premises.fabric import Layer, RoomUse
from wardwright.premises.life import Bed, Person, Pet, Target
from wardwright.premises.openings import Leaf, OpeningKind


@dataclass(frozen=True)
class DraftStorey:
    """A level as the source has it."""

    key: str
    name: str
    elevation_m: float
    height_m: float | None = None


@dataclass(frozen=True)
class DraftWall:
    """A wall: an axis with a thickness, or just the outline of its body on plan; one of the two is given."""

    key: str
    storey_key: str
    axis: tuple[XY, ...] = ()
    thickness_m: float | None = None
    body: Ring = ()
    base_m: float = 0.0
    height_m: float | None = None
    layers: tuple[Layer, ...] = ()
    layers_toward: XY | None = None
    """Direction on plan from the first layer to the last, where the source says it; ``assemble`` turns the layers so
    that they run from outside to inside."""
    construction_name: str = ""
    outside: bool | None = None
    """The source's flag: a hint, not trusted."""
    party: bool = False
    assumed: bool = False


@dataclass(frozen=True)
class DraftRoom:
    """A space with its outline, which may be stored twice, cross itself or run through two storeys."""

    key: str
    storey_key: str
    name: str
    outline: Ring
    holes: tuple[Ring, ...] = ()
    base_m: float = 0.0
    """Floor above the storey's elevation. [m]"""
    height_m: float | None = None
    use: RoomUse | None = None
    """None: to be read from the name."""
    stated_area_m2: float | None = None
    dwelling: str = ""
    indoors: bool = True
    position_assumed: bool = False
    soft_furnished: bool | None = None
    """Carpet, curtains, upholstery. None: not said."""


@dataclass(frozen=True)
class DraftOpening:
    """A door, window or open boundary where the source shows it."""

    key: str
    storey_key: str
    name: str
    kind: OpeningKind
    centre: XY | None
    """None: the source names it but gives no place."""
    along_rad: float | None = None
    """Direction of its wall on plan. None: to be taken from the nearest wall. [rad]"""
    width_m: float | None = None
    height_m: float | None = None
    sill_m: float | None = None
    wall_key: str | None = None
    """The source's own host relation, if it has one: a hint."""
    joins: tuple[str, ...] = ()
    """Room keys the source says it joins (``outside`` allowed): a hint."""
    outline: Ring = ()
    """For a rooflight or hatch: its outline from above."""
    leaves: tuple[Leaf, ...] = ()
    outside: bool | None = None
    final_exit: bool | None = None
    position_assumed: bool = False
    usually: Literal["open", "shut"] | None = None
    """How an inner door is left when nobody is about. None: not said."""


@dataclass(frozen=True)
class DraftStair:
    """A stair between two storeys; foot and head may be unknown."""

    key: str
    name: str
    lower_key: str
    upper_key: str
    outline: Ring = ()
    foot: XY | None = None
    head: XY | None = None
    width_m: float | None = None
    kind: Literal["stair", "ladder", "spiral", "ramp"] = "stair"


@dataclass(frozen=True)
class DraftObstacle:
    """Furniture, a column, a fitted kitchen."""

    key: str
    name: str
    storey_key: str
    outline: Ring
    base_m: float = 0.0
    height_m: float = 1.0


@dataclass(frozen=True)
class DraftStanding:
    """A roof, slab edge or terrace one could stand on."""

    key: str
    name: str
    kind: str
    outline: Ring
    level_m: float
    climbable: bool | None = None
    """A surveyor saw that one gets up without a ladder, or not. None: not said."""


@dataclass(frozen=True)
class DraftService:
    """A point of the building's services."""

    key: str
    name: str
    kind: str
    """One of the kinds of :class:`~wardwright.premises.life.ServicePoint`."""
    position: XY
    level_m: float
    """Above the building's zero. [m]"""
    heat_kind: str | None = None
    """Kind of heat source it also is."""
    outline: Ring = ()
    """On plan, where it has a size worth the name. [m]"""
    bottom_m: float = 0.0
    top_m: float = 0.0


@dataclass(frozen=True)
class Assumption:
    """One thing the intake guessed, repaired or could not find."""

    what: str
    """In plain words: ``length unit``, ``outside or inside``, ``sill height``."""
    where: tuple[str, ...]
    """Ids or names of the elements concerned; empty: the whole file."""
    assumed: str
    """What was taken instead."""
    correct_by: str
    """What to type, measure or edit to put it right."""
    missing: bool = False
    """True when nothing could be assumed and the thing is simply not there."""


@dataclass(frozen=True)
class Draft:
    """Everything a reader found, in metres, plus the guesses it had to make."""

    name: str
    source: str
    """File name and format, for the report."""
    storeys: tuple[DraftStorey, ...]
    walls: tuple[DraftWall, ...] = ()
    rooms: tuple[DraftRoom, ...] = ()
    openings: tuple[DraftOpening, ...] = ()
    stairs: tuple[DraftStair, ...] = ()
    obstacles: tuple[DraftObstacle, ...] = ()
    standings: tuple[DraftStanding, ...] = ()
    heat: tuple[tuple[str, str, str, XY, float], ...] = ()
    """Heat sources: key, kind, storey key, position, height. [m]"""
    beds: tuple[Bed, ...] = ()
    """Beds, pets, people and targets name rooms by their draft key; ``assemble`` puts the room's id in its place."""
    pets: tuple[Pet, ...] = ()
    people: tuple[Person, ...] = ()
    targets: tuple[Target, ...] = ()
    services: tuple[DraftService, ...] = ()
    ground_m: float | None = None
    """Ground level above the building's zero, where the source states it. [m]"""
    assumptions: tuple[Assumption, ...] = ()
    north_rad: float | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    survey: str = "drawn"
    extra: dict[str, str] = field(default_factory=dict)
