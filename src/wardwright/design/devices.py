"""Placed devices, the cables and loops that join them, and what feeds them."""

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from wardwright.model import XY, Id, NonNegative, Positive, Record


class Keep(StrEnum):
    """What becomes of something in a takeover."""

    NEW = "new"
    KEPT = "kept"
    REPLACED = "replaced"
    UNKNOWN = "unknown"


class Device(Record):
    """One device where it is fixed."""

    id: Id
    kind: Id
    """Id of a catalogue kind."""
    name: str = ""
    storey_id: Id
    position: XY
    height_m: Annotated[float, Field(ge=-5.0, le=60.0)] = 2.2
    """Above the floor of its storey. [m]"""
    heading_rad: float = 0.0
    """Direction it faces, anticlockwise from +x. [rad]"""
    opening_id: Id | None = None
    """The opening a contact or shock detector sits on."""
    leaf_id: Id | None = None
    room_id: Id | None = None
    """The room it stands in; None: found from its position."""
    status: Keep = Keep.NEW
    condition: str = ""
    photo: str = ""
    settings: dict[str, float] = {}
    """What was adjusted on it: ``m_cal_db``, ``pulse_count``, ``gap_m``."""


class Cable(Record):
    """One run of cable."""

    id: Id
    kind: Id | None = None
    """Catalogue kind of the cable; None in a takeover where it is not known."""
    from_id: Id
    to_id: Id
    length_m: Positive | None = None
    """None: allowed for from the plan. [m]"""
    route: tuple[tuple[Id, float, float, float], ...] = ()
    """Points of the run: storey id, x, y, height above that floor. [m]"""
    status: Keep = Keep.NEW
    splices: int = Field(default=0, ge=0)


class Resistor(Record):
    """A supervision resistor and where it really sits."""

    role: Literal["end of line", "alarm", "fault"]
    """``end of line``: in series at the far end; ``alarm`` or ``fault``: across that contact."""
    ohm: Positive
    tolerance: Annotated[float, Field(gt=0.0, le=0.2)] = 0.01
    at: Id
    """Id of the device it sits in: the last contact, or the panel or expander if it never left the box."""


class Scheme(StrEnum):
    """How an input is supervised."""

    NC = "normally closed"
    NO = "normally open"
    SINGLE = "single end of line"
    DOUBLE = "double end of line"
    TRIPLE = "triple end of line"


class Loop(Record):
    """A wired input: its terminal, the contacts on it in cable order, and its resistors."""

    id: Id
    at: Id
    """Panel or expander it ends on."""
    terminal: str = ""
    scheme: Scheme
    contacts: tuple[Id, ...] = ()
    """Device ids in order along the cable, nearest the panel first."""
    resistors: tuple[Resistor, ...] = ()
    cable_ids: tuple[Id, ...] = ()
    response_s: Positive = 0.4
    status: Keep = Keep.NEW


class Feed(Record):
    """One run of supply: from a panel, supply or device to the next device along."""

    id: Id
    from_id: Id
    to_id: Id
    cable_id: Id | None = None
    length_m: Positive | None = None
    conductor_area_m2: Positive | None = None
    fused_a: Positive | None = None


class RadioLink(Record):
    """A radio device and the receiver it talks to."""

    device_id: Id
    receiver_id: Id


class Backup(Record):
    """A battery in a panel or supply."""

    at: Id
    """Panel, supply or all-in-one it stands in."""
    kind: Id
    """Catalogue kind of the battery."""
    count: Annotated[int, Field(ge=1, le=8)] = 1
    age_years: NonNegative = 0.0
    temperature_c: Annotated[float, Field(ge=-30.0, le=60.0)] | None = None
