"""The record of one way in, and of all of them."""

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
    rests_on_position: bool = False
    """It holds only if device and opening are where the plan shows them."""


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
    deaf: tuple[tuple[str, str], ...] = ()
    """Contacts on this leaf that cannot notice, with the reason. For the firm."""

    @property
    def sure(self) -> float:
        """Pessimistic chance that a device notices whose place on the plan does not matter."""
        missed = 1.0
        for notice in self.notices:
            if not notice.rests_on_position:
                missed *= 1.0 - notice.interval[0]
        return 1.0 - missed


@dataclass(frozen=True)
class EntryAnalysis:
    """All ways in, in both modes."""

    ways: tuple[WayIn, ...]
