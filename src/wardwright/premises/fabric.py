"""Storeys, walls, rooms, stairs, roofs: the fabric people walk in and climb on."""

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from wardwright.model import XY, Id, NonNegative, Positive, Record, Ring


class Storey(Record):
    """One level of the building."""

    id: Id
    name: str
    elevation_m: Annotated[float, Field(ge=-100.0, le=1000.0)]
    height_m: Annotated[float, Field(gt=0.0, le=60.0)]
    """Floor to ceiling, or to the next floor where the ceiling is not known. [m]"""


class Layer(Record):
    """One layer of a wall, outside to inside."""

    material: str
    """A key of the material tables: ``brick``, ``concrete``, ``plasterboard``, ``timber``, ``air``, ``glass``,
    ``insulation``, ``block``, ``stud``, ``plaster and lath``, ``stone``, ``steel``, ``unknown``."""
    thickness_m: Positive


class Construction(Record):
    """A build-up that walls share."""

    id: Id
    name: str
    layers: tuple[Layer, ...]


class Wall(Record):
    """A wall on one storey. A curved wall is an axis of more than two points."""

    id: Id
    storey_id: Id
    axis: tuple[XY, ...] = Field(min_length=2)
    thickness_m: Annotated[float, Field(gt=0.0, le=5.0)]
    height_m: Positive | None = None
    """None: to the storey's ceiling. [m]"""
    base_m: float = 0.0
    """Foot above the storey's floor. [m]"""
    construction_id: Id | None = None
    outside: bool | None = None
    """One face is out of doors. Decided from geometry by the intake; None where it could not be."""
    party: bool = False
    """Shared with somebody else's premises."""
    assumed: bool = False
    """Not in the source: put up by the intake, for example from a room's outline."""


class RoomUse(StrEnum):
    """What a room is for."""

    HALL = "hall"
    LIVING = "living"
    DINING = "dining"
    KITCHEN = "kitchen"
    BEDROOM = "bedroom"
    BATHROOM = "bathroom"
    UTILITY = "utility"
    STUDY = "study"
    STAIR = "stair"
    LANDING = "landing"
    STORE = "store"
    GARAGE = "garage"
    WORKSHOP = "workshop"
    SHOP = "shop"
    OFFICE = "office"
    PORCH = "porch"
    CONSERVATORY = "conservatory"
    ATTIC = "attic"
    BASEMENT = "basement"
    CRAWL_SPACE = "crawl space"
    PLANT = "plant"
    OTHER = "other"


class Room(Record):
    """A space a person can be in."""

    id: Id
    name: str
    storey_id: Id
    outline: Ring = Field(min_length=3)
    holes: tuple[Ring, ...] = ()
    use: RoomUse = RoomUse.OTHER
    height_m: Positive | None = None
    """Clear height; None: the storey's. A space through two storeys is taller than its storey. [m]"""
    temperature_min_c: Annotated[float, Field(ge=-40.0, le=60.0)] | None = None
    temperature_max_c: Annotated[float, Field(ge=-40.0, le=60.0)] | None = None
    dwelling: str = ""
    """Which customer's premises it belongs to, where a building holds several."""
    soft_furnished: bool | None = None
    """Carpet, curtains, upholstery: governs sound. None: not known."""
    position_assumed: bool = False
    """Its place on the plan was not measured (a tape survey that did not close, a room set down by guess)."""
    indoors: bool = True
    """False for a balcony, deck or yard that the source draws as a space."""


class Stair(Record):
    """A way between two storeys."""

    id: Id
    name: str
    lower_storey_id: Id
    upper_storey_id: Id
    foot: XY
    """Where one steps on, on the lower storey. [m]"""
    head: XY
    """Where one steps off, on the upper storey. [m]"""
    outline: Ring = ()
    width_m: Positive = 0.9
    kind: Literal["stair", "ladder", "spiral", "ramp"] = "stair"
    assumed: bool = False


class Obstacle(Record):
    """Something that stands in the way of people, of sight, or of both."""

    id: Id
    name: str
    storey_id: Id
    outline: Ring = Field(min_length=3)
    base_m: NonNegative = 0.0
    height_m: Positive
    """Top above the floor. [m]"""
    moves: bool = False
    """Hangs, swings or turns: a fan, a banner, a curtain over a vent."""


class Standing(Record):
    """A level surface a person can stand on: ground, flat roof, balcony, terrace, wall top, fire stair."""

    id: Id
    name: str
    kind: Literal["ground", "roof", "balcony", "terrace", "fire stair", "climbable", "neighbouring roof"]
    outline: Ring = Field(min_length=3)
    level_m: float
    """Height above the building's zero. [m]"""
    climbable: bool = True
    """A person gets up there without a ladder of their own (a low roof, a water butt, a trellis)."""


class Chase(Record):
    """A way a cable can really be run.

    Its storey is the one it serves: an attic or ceiling void lies over that storey's ceiling, a basement or crawl space
    under its floor, anything else at its ceiling.
    """

    id: Id
    kind: Literal["attic", "basement", "crawl space", "closet", "surface trunking", "conduit", "ceiling void", "riser"]
    storey_id: Id
    outline: Ring = Field(min_length=3)
    joins_storey_id: Id | None = None
    """For a riser: the storey it reaches besides its own."""


class NoDrilling(Record):
    """Why something may not be drilled or fished."""

    id: Id
    reason: Literal[
        "plaster and lath", "brick", "slab", "finished ceiling", "fire block", "landlord", "listed", "other"
    ]
    wall_ids: tuple[Id, ...] = ()
    room_ids: tuple[Id, ...] = ()
    note: str = ""
