"""What is in the building and who lives with it: heat, beds, pets, people, what is worth stealing."""

from typing import Annotated, Literal

from pydantic import Field

from wardwright.model import XY, Id, NonNegative, Positive, Record


class HeatSource(Record):
    """Something warm or blowing that a passive infrared detector should not look at."""

    id: Id
    kind: Literal["radiator", "stove", "boiler", "fireplace", "heater", "air vent", "cooker", "oven", "other"]
    storey_id: Id
    position: XY
    height_m: NonNegative = 0.5
    size_m: Positive = 0.6


class ServicePoint(Record):
    """A point of the building's services: mains, telephone, an existing detector. For placing the panel beside them."""

    id: Id
    name: str = ""
    kind: Literal[
        "socket outlet",
        "distribution board",
        "telephone point",
        "telephone board",
        "data point",
        "smoke detector",
        "thermostat",
        "light switch",
        "luminaire",
        "fire panel",
        "boiler",
        "pump",
        "fan",
        "appliance",
        "other",
    ]
    storey_id: Id
    position: XY
    height_m: float
    """Above the floor of its storey. [m]"""
    room_id: Id | None = None


class Bed(Record):
    """Where somebody sleeps."""

    id: Id
    room_id: Id
    position: XY
    sleepers: int = Field(default=1, ge=0, le=8)


class Pet(Record):
    """An animal that stays in while the system is set."""

    id: Id
    kind: Literal["dog", "cat", "other"]
    name: str = ""
    mass_kg: Positive
    height_m: Positive
    """Top of the back. [m]"""
    length_m: Positive
    room_ids: tuple[Id, ...] = ()
    """Where it roams; empty: everywhere indoors."""
    climbs_furniture: bool = False


class Person(Record):
    """Somebody who lives or works here: a role, never a code."""

    id: Id
    role: Literal["adult", "child", "elder", "carer", "cleaner", "dog-walker", "tenant", "staff", "trades", "other"]
    name: str = ""
    walking_speed_m_s: Annotated[float, Field(gt=0.0, le=3.0)] | None = None
    sleeps_in: Id | None = None


class Target(Record):
    """What is worth stealing, and how long it takes to carry off."""

    id: Id
    name: str
    room_id: Id
    position: XY
    height_m: NonNegative = 1.0
    take_s: NonNegative = 60.0
    """Time to find it and pick it up once beside it. [s]"""
    worth: Literal["low", "medium", "high"] = "medium"


class Response(Record):
    """What happens after the receiving centre knows, as far as anybody can say."""

    policy: Literal[
        "police on any alarm", "police on verified alarm", "police on confirmed alarm", "keyholder", "guard", "none"
    ] = "keyholder"
    median_s: Positive | None = None
    """Median time from first detection to somebody on site. None: not known. [s]"""
    spread: Annotated[float, Field(gt=0.0, le=2.0)] = 0.3
    """Standard deviation as a share of the mean."""
    verification: Literal["none", "two calls", "audio or video", "two zones"] = "none"
    """What the receiving centre does before it sends somebody."""
    call_list: tuple[str, ...] = ()
    """Who is called, in order: roles, never numbers."""
    permit: str = ""
    permit_expires: str = ""
    """ISO date."""

    @property
    def confirmed_only(self) -> bool:
        """Only a confirmed alarm is answered."""
        return self.policy == "police on confirmed alarm"


class Surroundings(Record):
    """The site: where it is and what help it can expect."""

    latitude_deg: Annotated[float, Field(ge=-90.0, le=90.0)] | None = None
    longitude_deg: Annotated[float, Field(ge=-180.0, le=180.0)] | None = None
    north_rad: float | None = None
    """Direction of true north on the plan, anticlockwise from +x. None: not known. [rad]"""
    ground_m: float = 0.0
    """Ground level where no other surface is drawn, above the building's zero. [m]"""
    country: str = ""
    jurisdictions: tuple[str, ...] = ()
    """Towns, counties and states whose codes apply, for example ``Lexington KY``."""
    response: Response = Response()
    sounder_limit_s: Positive | None = None
    """Longest time an outside sounder may run here by local law. [s]"""
    notes: str = ""
