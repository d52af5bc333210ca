"""What a siting rule found about one detector."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class SitingCheck:
    """One rule on one detector: a figure and the limit it is held against, or plain words where nothing is near."""

    rule: str
    device_id: str
    about: tuple[str, ...]
    """What it concerns besides the detector."""
    said: str
    value: float | None = None
    operator: Literal["<=", ">=", ""] = ""
    limit: float | None = None
    unit: str = ""
    interval: tuple[float, float] | None = None
    assumption: str = ""
    citation: str = "common practice, no source"
    fix: str = ""
    undecided: str = ""
    """Why it could not be told."""

    @property
    def objects(self) -> bool:
        """True where even the favourable end of the figure breaks the limit: a place not to propose."""
        if self.value is None or self.limit is None or self.undecided:
            return False
        low, high = self.interval or (self.value, self.value)
        return low > self.limit if self.operator == "<=" else high < self.limit
