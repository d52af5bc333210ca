"""Primary cells of radio devices: average current and life."""

from collections.abc import Sequence
from dataclasses import dataclass

from wardwright.errors import OutOfRangeError

DAY_S = 86_400.0
YEAR_H = 8_760.0


@dataclass(frozen=True)
class Pulse:
    """Something the device does many times a day."""

    per_day: float
    current: float
    """Drawn while it lasts. [A]"""
    seconds: float
    """[s]"""


def average_current(sleep: float, pulses: Sequence[Pulse]) -> float:
    """Mean current of a device that sleeps and sends.

    ``I = I_sleep + Σ N I t / 86400``

    Parameters
    ----------
    sleep : float
        Drawn all the time. [A]
    pulses : sequence of Pulse
        Supervision and event transmissions.

    Returns
    -------
    float
        Mean current. [A]

    Raises
    ------
    OutOfRangeError
        If a figure is negative.

    Valid range
    -----------
    Pulses that together last less than a day.

    References
    ----------
    Conservation of charge.
    """
    lowest = min([sleep] + [min(p.per_day, p.current, p.seconds) for p in pulses])
    if not lowest >= 0.0:
        raise OutOfRangeError("cell life", "current", lowest, "0 or more")
    return sleep + sum(p.per_day * p.current * p.seconds for p in pulses) / DAY_S


def cell_life(capacity: float, current: float, *, usable: float = 0.85, self_discharge: float = 0.01) -> float:
    """Hours a primary cell lasts.

    ``t = C η / (I + C s / 8760)``

    Parameters
    ----------
    capacity : float
        Nominal. [Ah]
    current : float
        Mean. [A]
    usable : float
        Share that can be drawn before the device stops: cut-off, cold, pulses. [-]
    self_discharge : float
        Share lost a year. [1/year]

    Returns
    -------
    float
        Life. [h]

    Raises
    ------
    OutOfRangeError
        If a figure is outside its range, or nothing discharges the cell.

    Valid range
    -----------
    Low drain; lithium 0.80 to 0.90 usable, alkaline 0.6 to 0.8 (common practice).

    References
    ----------
    Conservation of charge.
    """
    if not capacity > 0.0:
        raise OutOfRangeError("cell life", "capacity", capacity, "more than 0 Ah")
    if not 0.0 < usable <= 1.0:
        raise OutOfRangeError("cell life", "usable", usable, "over 0 to 1")
    if not 0.0 <= self_discharge < 1.0:
        raise OutOfRangeError("cell life", "self_discharge", self_discharge, "0 to below 1 a year")
    drain = current + capacity * self_discharge / YEAR_H
    if not (current >= 0.0 and drain > 0.0):
        raise OutOfRangeError("cell life", "current", current, "more than 0 A")
    return capacity * usable / drain
