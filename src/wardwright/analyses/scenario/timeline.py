"""What a scenario comes to: moments, where everybody was, which devices reported, what became of intruders."""

from dataclasses import dataclass

from wardwright.analyses.scenario.ground import Spot


@dataclass(frozen=True)
class ReportLine:
    """One report as the receiving centre knows it."""

    state: str
    """``queued``, ``acknowledged`` or ``stopped``."""
    what: str
    contact_id: str
    """Qualifier and event code of ANSI/SIA DC-05."""
    sia: str
    """Event code of ANSI/SIA DC-03."""
    area: int
    """Number of the area, from 1."""
    point: int
    """Zone or user number; 0: none."""
    path: str = ""
    """Name of the path it was acknowledged over."""


@dataclass(frozen=True)
class Moment:
    """One line of the timeline: a cause, and what the panel made of it."""

    at_ms: int
    clock: str
    actor_id: str
    """Whose doing it is; empty where time alone did it."""
    who: str
    where: str
    """Room, or the place of the device."""
    what: str
    tripped: tuple[str, ...]
    """Ids of devices that began to report."""
    zones: tuple[str, ...]
    """Their zones by name."""
    phases: tuple[tuple[str, str], ...]
    """Name and phase of every area, afterwards."""
    sounding: tuple[str, ...]
    """What sounds or flashes, afterwards."""
    keypads: tuple[str, ...]
    """Lines the keypads show, zone and room named."""
    reports: tuple[ReportLine, ...]
    plant: bool = False
    """It is about mains, paths, lids or parts: nobody is on the plan."""
    answered: bool = True
    """The panel did something; False for a device that reports and is not listened to."""


@dataclass(frozen=True)
class Leg:
    """One stretch of somebody's track."""

    frames: tuple[tuple[int, Spot], ...]
    """Moment and place, in order. [ms], [m]"""
    device_id: str | None
    """The device it leads to, where it leads to one."""


@dataclass(frozen=True)
class Track:
    """Where one actor is."""

    actor_id: str
    name: str
    kind: str
    legs: tuple[Leg, ...]
    gone: tuple[tuple[int, int], ...]
    """From when to when nobody sees the actor: out of doors, out of sight. [ms]"""


@dataclass(frozen=True)
class Lit:
    """One device reports for a while. [ms]"""

    device_id: str
    on_ms: int
    off_ms: int


@dataclass(frozen=True)
class Intrusion:
    """One intruder, and what became of it. Moments in milliseconds; None: never."""

    actor_id: str
    opening_id: str
    began_ms: int
    tripped_ms: int | None
    """First device that noticed."""
    alarm_ms: int | None
    """First alarm of the panel through this intruder's doing."""
    confirmed_ms: int | None
    reported_ms: int | None
    """The first alarm was acknowledged by the receiving centre."""
    had_ms: int | None
    """The first target was taken."""

    def in_time(self, monitored: bool) -> bool:
        """Alarm before anything was taken, and told where somebody is to be told."""
        if self.alarm_ms is None or (self.had_ms is not None and self.alarm_ms >= self.had_ms):
            return False
        return self.reported_ms is not None or not monitored


@dataclass(frozen=True)
class FalseAlarm:
    """An alarm that no intruder caused."""

    at_ms: int
    actor_id: str
    """Empty where nobody did."""
    words: str


@dataclass(frozen=True)
class Timeline:
    """All of it."""

    title: str
    date: str
    begins: str
    seed: int | None
    moments: tuple[Moment, ...]
    tracks: tuple[Track, ...]
    lit: tuple[Lit, ...]
    intrusions: tuple[Intrusion, ...]
    false_alarms: tuple[FalseAlarm, ...]
    ends_ms: int
    monitored: bool
    """Alarms are to reach a receiving centre, and there is a path for them."""
