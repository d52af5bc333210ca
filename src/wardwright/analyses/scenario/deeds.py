"""What an act comes to, as a value: how long, where, what trips, what is asked at a keypad."""

from dataclasses import dataclass

from wardwright.analyses.scenario.ground import Spot, Trail
from wardwright.analyses.scenario.senses import Span
from wardwright.panel.events import Ask


@dataclass(frozen=True)
class Standing:
    """Where an actor is between two acts."""

    node: int | None = None
    """None: outside."""
    by: str | None = None
    """Opening it came in by."""
    broke: bool = False
    """It stands open since."""


@dataclass(frozen=True)
class Keyed:
    """Something asked at a keypad; no ask: a wrong code."""

    at_s: float
    ask: Ask | None
    areas: tuple[str, ...] = ()
    zone: str | None = None


@dataclass(frozen=True)
class Deed:
    """One act, worked out. Seconds from its beginning."""

    words: str
    seconds: float
    after: Standing
    frames: tuple[tuple[float, Spot], ...] = ()
    spans: tuple[Span, ...] = ()
    keyed: tuple[Keyed, ...] = ()
    ended: tuple[tuple[float, str], ...] = ()
    """Devices that report no more: something was shut."""
    device_id: str | None = None
    """The device it leads to."""
    had_s: float | None = None
    """A target is taken."""
    opening_id: str = ""
    """The way in, for one who breaks in."""


def frames_of(trail: Trail, after: float = 0.0) -> tuple[tuple[float, Spot], ...]:
    """A walk as moments and places, after so many seconds."""
    return tuple((after + float(t), spot) for t, spot in zip(trail.times_s, trail.spots, strict=True))


def later(spans: list[Span], seconds: float) -> list[Span]:
    """Spans that begin so much later."""
    return [Span(s.device_id, s.on_s + seconds, None if s.off_s is None else s.off_s + seconds) for s in spans]
