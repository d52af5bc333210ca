"""What was asked for: grade or profile, aims, limits. And readings taken on site, which overrule predictions."""

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from wardwright.model import Id, NonNegative, Positive, Record, Share


class Profile(StrEnum):
    """Which family of rules the job answers to."""

    US_HOME = "US home"
    US_BUSINESS = "US small business"
    EU_GRADE_1 = "Europe grade 1"
    EU_GRADE_2 = "Europe grade 2"
    EU_GRADE_3 = "Europe grade 3"
    EU_GRADE_4 = "Europe grade 4"
    UK_CONFIRMED = "UK confirmed alarms"


class Brief(Record):
    """What the client asked for and what the firm promised to prove."""

    client: str = ""
    address: str = ""
    profile: Profile = Profile.EU_GRADE_2
    risk: Literal["low", "medium", "high"] = "medium"
    wishes: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    """What may not be done: the landlord's, the listed front, no visible cable."""
    notice_way_in: Share = 0.5
    """Wanted probability that an attack on any way in is noticed where it happens: at least as likely as not."""
    detect_before_target: Share = 0.9
    """Wanted probability that the intruder is detected before the first target."""
    confirm_within_s: Positive = 60.0
    """Wanted time from first to confirming detection. [s]"""
    alarm_in_time: Share | None = None
    """Wanted probability, nobody in, that the alarm is given while a response of median length still comes before the
    target is gone. None: not asked. It is asked only where such a response is quick enough to matter."""
    asleep_upstairs: bool = True
    """The household sleeps in while the system is set with people inside."""
    slow_walk_m_s: Annotated[float, Field(gt=0.1, le=2.0)] = 0.8
    """Pace of the slowest person who must reach the keypad in time. [m/s]"""
    intruder_run_m_s: Annotated[float, Field(gt=0.2, le=8.0)] = 2.5
    intruder_creep_m_s: Annotated[float, Field(gt=0.05, le=2.0)] = 0.3
    monitored: bool = True
    standby_h: Positive | None = None
    """Hours the client was promised without mains; None: what the profile asks for. [h]"""
    pillow_level_db: Annotated[float, Field(ge=30.0, le=110.0)] | None = None
    """Level wanted at each pillow, A-weighted; None: what the profile's fire rules ask of a waking signal. [dB]"""
    ruled_out: tuple[Id, ...] = ()
    currency: str = "EUR"


class Reading(Record):
    """Something measured on site. It overrules the prediction it answers."""

    id: Id
    quantity: Literal[
        "loop resistance",
        "insulation",
        "voltage",
        "current",
        "sound level",
        "radio level",
        "walk test range",
        "cable length",
        "battery voltage",
    ]
    at: Id
    """Device, loop, cable or room it was taken at."""
    value: float
    unit: str
    date: str
    instrument: str
    by: str = ""
    conditions: str = ""
    uncertainty: NonNegative | None = None
