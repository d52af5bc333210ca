"""Openings with their anatomy: leaves, glazing, locks, how they move, where they are vented."""

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from wardwright.model import XY, Id, NonNegative, Positive, Record, Ring


class OpeningKind(StrEnum):
    """What an opening is, in the trade's words."""

    DOOR = "door"
    WINDOW = "window"
    GARAGE_DOOR = "garage door"
    ROOFLIGHT = "rooflight"
    HATCH = "hatch"
    BULKHEAD = "bulkhead"
    DUCT = "duct"
    PASSAGE = "passage"
    """No leaf at all: an archway, or an open boundary between two rooms."""


class Movement(StrEnum):
    """How a leaf moves."""

    FIXED = "fixed"
    HINGED = "hinged"
    SLIDING = "sliding"
    LIFT_AND_SLIDE = "lift and slide"
    SINGLE_HUNG = "single hung"
    DOUBLE_HUNG = "double hung"
    POCKET = "pocket"
    FOLDING = "folding"
    OVERHEAD = "overhead"
    ROLLER = "roller"
    TILT_AND_TURN = "tilt and turn"
    LOUVRE = "louvre"
    LIFT_OFF = "lift off"
    UNKNOWN = "unknown"


class LeafRole(StrEnum):
    """Part a leaf plays among its neighbours."""

    ACTIVE = "active"
    INACTIVE = "inactive"
    FIXED = "fixed"
    SIDELIGHT = "sidelight"
    TRANSOM = "transom light"


class GlassKind(StrEnum):
    """Kind of pane."""

    FLOAT = "float"
    TOUGHENED = "toughened"
    LAMINATED = "laminated"
    WIRED = "wired"
    PLASTIC = "plastic"
    UNKNOWN = "unknown"


class Glazing(Record):
    """Glass in a leaf."""

    kind: GlassKind = GlassKind.UNKNOWN
    panes: int = Field(default=1, ge=1, le=4)
    thickness_m: Positive | None = None
    """Thickness of one pane. [m]"""
    width_m: Positive | None = None
    height_m: Positive | None = None
    part: Literal["whole", "upper half", "panel"] = "whole"
    resistance_class: str | None = None
    """EN 356 class as declared, for example ``P4A``."""


class Lock(Record):
    """What holds a leaf shut."""

    kind: Literal["none", "latch", "mortice", "cylinder", "multi-point", "bolt", "padlock", "key-locked", "unknown"] = (
        "unknown"
    )
    resistance_class: str | None = None
    """EN 1627 class as declared, for example ``RC 2``."""
    thumb_turn: bool = False
    """Opened from inside without a key: glass within reach defeats it."""


class Vent(Record):
    """A position in which a leaf is left open on purpose."""

    gap_m: Annotated[float, Field(gt=0.0, le=2.0)]
    season: Literal["summer", "winter", "all year"] = "all year"
    when: Literal["day", "night", "both"] = "night"
    wanted_when_set: bool = False
    """True if people want it open while the system is set."""


class Leaf(Record):
    """One moving or fixed part of an opening; each is proved by itself."""

    id: Id
    role: LeafRole = LeafRole.ACTIVE
    movement: Movement = Movement.UNKNOWN
    material: Literal["timber", "steel", "aluminium", "plastic", "glass", "unknown"] = "unknown"
    width_m: Positive | None = None
    glazing: Glazing | None = None
    lock: Lock = Lock()
    vent: Vent | None = None
    lifts_out: bool = False
    """A sliding leaf or sash that can be lifted from its track from outside."""
    removable_unit: bool = False
    """A window unit (cooler, fan) sits in it and comes out with a push."""
    pet_flap_m: Positive | None = None
    """Clear width of a pet flap, if there is one. [m]"""


class OnWall(Record):
    """An opening hosted by a wall."""

    kind: Literal["wall"] = "wall"
    wall_id: Id
    offset_m: NonNegative | None = None
    """Distance of the opening's centre along the wall's axis from its start. None: not known. [m]"""


class FreeLine(Record):
    """An opening that stands by itself: an open boundary between rooms, or one whose wall is not known."""

    kind: Literal["line"] = "line"
    storey_id: Id
    start: XY
    end: XY


class InSlab(Record):
    """An opening in a roof or floor: a rooflight, a hatch."""

    kind: Literal["slab"] = "slab"
    storey_id: Id
    outline: Ring
    """Its outline seen from above. [m]"""


Place = Annotated[OnWall | FreeLine | InSlab, Field(discriminator="kind")]

OUTSIDE = "outside"
NEIGHBOUR = "neighbour"


class Opening(Record):
    """A hole in the building's fabric, filled or not."""

    id: Id
    name: str
    kind: OpeningKind
    place: Place
    width_m: Positive
    height_m: Positive
    sill_m: float = Field(ge=-20.0, le=100.0)
    """Lower edge above the floor of its storey. [m]"""
    sides: tuple[str | None, str | None] = (None, None)
    """What lies on either side: a room id, ``outside``, ``neighbour`` (other premises), or None for not known."""
    leaves: tuple[Leaf, ...] = ()
    usually: Literal["open", "shut"] = "open"
    """How an inner door is left when nobody is about. Outside openings count as shut whatever it says."""
    final_exit: bool = False
    """People set the system and leave by this door, and come home by it."""
    position_assumed: bool = False
    """The place along the wall was not measured."""
    covering: Literal["none", "voile", "light curtain", "lined curtain", "velvet", "blackout"] | None = None
    """What hangs over it on the inside when it is drawn: governs sound. None: not known."""

    @property
    def is_outside(self) -> bool:
        """True when one side is out of doors or in somebody else's premises."""
        return OUTSIDE in self.sides or NEIGHBOUR in self.sides

    @property
    def room_ids(self) -> tuple[str, ...]:
        """The rooms it joins, without the outside."""
        return tuple(s for s in self.sides if s is not None and s not in (OUTSIDE, NEIGHBOUR))
