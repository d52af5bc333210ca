"""Timing: the walk from the last exit to the keypad and back, at a slow walker's pace, against the timers."""

from dataclasses import dataclass


@dataclass(frozen=True)
class ExitWalk:
    """One final exit door and the keypad people use by it."""

    opening_id: str
    keypad_id: str | None
    length_m: float | None
    walk_s: float | None
    interval_s: tuple[float, float] | None
    entry_s: float
    exit_s: float
    crossed_device_ids: tuple[str, ...]
    """Detectors the walk passes that must be entry/exit or followers."""
    assumption: str
    undecided: str = ""


@dataclass(frozen=True)
class TimingAnalysis:
    """Every final exit."""

    walks: tuple[ExitWalk, ...]
