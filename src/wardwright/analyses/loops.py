"""Loops: do the states of each supervised input stay apart, and does each contact get told from a fault?"""

from dataclasses import dataclass


@dataclass(frozen=True)
class LoopState:
    """One electrical state of a loop as the input sees it, as a share of the reference."""

    name: str
    low: float
    high: float


@dataclass(frozen=True)
class LoopReport:
    """One loop."""

    loop_id: str
    states: tuple[LoopState, ...]
    tightest_gap: float | None
    """Smallest gap between neighbouring states, share of the reference; negative when they overlap."""
    tightest_between: tuple[str, str] | None
    cause: str
    """What eats the gap."""
    merged: tuple[str, ...]
    """Things this loop cannot tell apart, in plain words: a resistor in the panel, several contacts in one zone."""
    best_ohm: tuple[float, ...] = ()
    """Preferred resistor values with the best margin for this scheme and input. [ohm]"""
    steps: tuple[tuple[str, str], ...] = ()
    undecided: str = ""


@dataclass(frozen=True)
class LoopAnalysis:
    """Every loop of the design."""

    reports: tuple[LoopReport, ...]
