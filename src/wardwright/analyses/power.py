"""Supply: standby hours and voltage at every device."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Standby:
    """One supply with its battery."""

    at: str
    standby_current_a: float
    alarm_current_a: float
    battery_ah: float | None
    required_ah: float | None
    demand_h: float
    demand_citation: str
    alarm_s: float
    predicted_h: float | None
    interval_h: tuple[float, float] | None
    recharge_h: float | None
    assumption: str
    steps: tuple[tuple[str, str], ...] = ()
    """Calculation sheet: what, and the worked figure with its unit and source."""
    undecided: str = ""


@dataclass(frozen=True)
class VoltageAt:
    """Supply voltage at one device, at the end of discharge."""

    device_id: str
    fed_by: str
    voltage_v: float
    minimum_v: float | None
    current_a: float
    collapse_multiplier: float | None
    """Load multiplier at which the supply collapses; None where nothing collapses."""
    measured: bool = False
    steps: tuple[tuple[str, str], ...] = ()
    undecided: str = ""


@dataclass(frozen=True)
class PowerAnalysis:
    """Every supply and every fed device."""

    standby: tuple[Standby, ...]
    voltages: tuple[VoltageAt, ...]
    problems: tuple[tuple[str, str], ...] = ()
    """Element id and what is wrong: a cycle in the supply, a device fed by nothing."""
