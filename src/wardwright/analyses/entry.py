"""Ways in: for every opening and attack on it, who notices, and how surely."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Notice:
    """One device that would notice an attack on an opening."""

    device_id: str
    probability: float
    interval: tuple[float, float]
    how: str
    """In plain words: ``contact opens``, ``glass heard at 4.2 m``, ``climbs in across its beams``."""
    assumption: str


@dataclass(frozen=True)
class WayIn:
    """One opening, one leaf, one attack on it, in one mode."""

    opening_id: str
    leaf_id: str | None
    attack: str
    """``opened``, ``forced``, ``cut or kicked in``, ``glass broken and reached through``,
    ``glass broken and climbed through``, ``lifted out``, ``already open``."""
    mode: str
    reachable: bool | None
    """An intruder can get at it (see premises.reach). None: not decided."""
    delay_s: float
    notices: tuple[Notice, ...]
    """Devices that notice the attack itself or the body passing through, most certain first."""
    probability: float
    """That at least one of them does."""
    interval: tuple[float, float]
    undecided: str = ""
    """Why it could not be decided, where it could not."""


@dataclass(frozen=True)
class EntryAnalysis:
    """All ways in, in both modes."""

    ways: tuple[WayIn, ...]
