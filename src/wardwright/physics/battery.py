"""Lead-acid standby batteries: the capacity a duty cycle asks for, by rate, temperature, ageing and margin."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wardwright.errors import OutOfRangeError

AGEING = 1.25
"""A battery is replaced when it has fallen to 80 % of its rating. [-] [BATTERY-REPLACE-80] [IEEE485]"""

DESIGN_MARGIN = 1.10
"""For loads added later and a battery less than fully charged. [-] From memory: IEEE 485."""

PEUKERT_VRLA = 1.15
"""Exponent of absorbent-glass lead-acid blocks, upper end of 1.05 to 1.15. [-] [FXSOLVER-PEUKERT]"""

_TABLE = (
    # °F, cell-size factor
    ((25, 1.520), (30, 1.430), (35, 1.350), (40, 1.300), (45, 1.250), (50, 1.190), (55, 1.150), (60, 1.110)),
    ((65, 1.080), (68, 1.056), (70, 1.040), (75, 1.011), (77, 1.000), (80, 0.980), (85, 0.960), (90, 0.940)),
    ((95, 0.930), (100, 0.910), (105, 0.890), (110, 0.880), (115, 0.870), (120, 0.860), (125, 0.850)),
)
_FAHRENHEIT = [t for row in _TABLE for t, _ in row]
_CELL_SIZE = [f for row in _TABLE for _, f in row]


@dataclass(frozen=True)
class Phase:
    """A stretch of the duty cycle."""

    current: float
    """[A]"""
    hours: float
    """[h]"""


@dataclass(frozen=True)
class Requirement:
    """Capacity a duty cycle asks for, with its steps."""

    charge: float
    """Drawn: Σ I t. [Ah]"""
    effective: float
    """The same, currents above the 20-hour rate weighted. [Ah]"""
    temperature_factor: float
    capacity: float
    """Rated capacity wanted at the 20-hour rate. [Ah]"""
    rate: float
    """20-hour current of that battery, factors taken off. [A]"""


def temperature_factor(temperature_c: float) -> float:
    """How much larger a lead-acid battery must be at a temperature than at 25 °C, as tabled.

    Parameters
    ----------
    temperature_c : float
        Of the battery. [°C]

    Returns
    -------
    float
        Cell-size factor, interpolated in °F; below 1 in the warm. [-]

    Raises
    ------
    OutOfRangeError
        Outside 25 to 125 °F (−3.9 to 51.7 °C).

    Valid range
    -----------
    −3.9 to 51.7 °C; made for vented cells, valve-regulated ones lose more in the cold at high rate.

    References
    ----------
    [IEEE485-CHART]_ for 40 to 120 °F; the rest from memory.
    """
    fahrenheit = temperature_c * 9 / 5 + 32
    if not _FAHRENHEIT[0] <= fahrenheit <= _FAHRENHEIT[-1]:
        raise OutOfRangeError("battery temperature factor", "temperature_c", temperature_c, "−3.9 to 51.7 °C")
    return float(np.interp(fahrenheit, _FAHRENHEIT, _CELL_SIZE))


def sizing_temperature_factor(temperature_c: float) -> float:
    """The temperature factor a battery is sized by: as tabled, and no credit in the warm.

    Parameters
    ----------
    temperature_c : float
        Of the battery. [°C]

    Returns
    -------
    float
        Factor, 1 or more. [-]

    Valid range
    -----------
    −3.9 to 51.7 °C.

    References
    ----------
    [IEEE485-CHART]_; the floor is common practice.
    """
    return max(1.0, temperature_factor(temperature_c))


def discharge_hours(capacity: float, current: float, *, exponent: float, rated_hours: float = 20.0) -> float:
    """Hours a battery lasts at a steady current, by its rating.

    ``t = H (C_H / (I H))^p``

    Parameters
    ----------
    capacity : float
        Rated at the ``rated_hours`` rate. [Ah]
    current : float
        Drawn. [A]
    exponent : float
        Peukert's exponent. [-]
    rated_hours : float
        Hours of the rating. [h]

    Returns
    -------
    float
        To the end of discharge. [h]

    Raises
    ------
    OutOfRangeError
        If capacity, current or hours is not positive, or the exponent outside 1 to 2.

    Valid range
    -----------
    Exponent 1 to 2; good between about a third and three times the rated current's decade.

    References
    ----------
    [PEUKERT-ELECTROTECHNIK]_: its form for a capacity stated at 1 A is this one with ``H = C``.
    """
    for name, value in (("capacity", capacity), ("current", current), ("rated_hours", rated_hours)):
        if not value > 0.0:
            raise OutOfRangeError("Peukert's law", name, value, "more than 0")
    check_exponent(exponent)
    return float(rated_hours * (capacity / (current * rated_hours)) ** exponent)


def peukert_exponent(current_1: float, hours_1: float, current_2: float, hours_2: float) -> float:
    """Peukert's exponent from two discharges.

    ``p = ln(t1 / t2) / ln(I2 / I1)``

    Parameters
    ----------
    current_1 : float
        First current. [A]
    hours_1 : float
        Hours at it. [h]
    current_2 : float
        Second current. [A]
    hours_2 : float
        Hours at it. [h]

    Returns
    -------
    float
        Exponent. [-]

    Raises
    ------
    OutOfRangeError
        If a figure is not positive or the currents are equal.

    Valid range
    -----------
    Two currents that differ.

    References
    ----------
    [FXSOLVER-PEUKERT]_
    """
    for name, value in (
        ("current_1", current_1),
        ("hours_1", hours_1),
        ("current_2", current_2),
        ("hours_2", hours_2),
    ):
        if not value > 0.0:
            raise OutOfRangeError("Peukert's law", name, value, "more than 0")
    if current_1 == current_2:
        raise OutOfRangeError("Peukert's law", "current_2", current_2, "another current than the first")
    return math.log(hours_1 / hours_2) / math.log(current_2 / current_1)


def effective_charge(duty: Sequence[Phase], rate: float, *, exponent: float) -> float:
    """Charge a duty cycle takes out of a battery, currents above its 20-hour rate weighted.

    ``Q = Σ I t max(1, I / I20)^(p − 1)``: no credit for currents below the 20-hour rate.

    Parameters
    ----------
    duty : sequence of Phase
        The stretches.
    rate : float
        20-hour current of the battery as it is. [A]
    exponent : float
        Peukert's exponent. [-]

    Returns
    -------
    float
        Effective charge. [Ah]

    Raises
    ------
    OutOfRangeError
        If the rate is not positive or the exponent outside 1 to 2.

    Valid range
    -----------
    Exponent 1 to 2.

    References
    ----------
    [FXSOLVER-PEUKERT]_
    """
    if not rate > 0.0:
        raise OutOfRangeError("effective charge", "rate", rate, "more than 0 A")
    check_exponent(exponent)
    return float(sum(p.current * p.hours * max(1.0, p.current / rate) ** (exponent - 1.0) for p in duty))


def required_capacity(
    duty: Sequence[Phase],
    *,
    temperature_c: float,
    exponent: float = PEUKERT_VRLA,
    ageing: float = AGEING,
    margin: float = DESIGN_MARGIN,
) -> Requirement:
    """Rated capacity that carries a duty cycle at the end of the battery's life.

    ``C20 = Q_eff · kT · kA · kM`` with ``I20 = C20 / (20 kT kA kM)`` inside ``Q_eff``: the one root is bracketed.

    Parameters
    ----------
    duty : sequence of Phase
        Standby, then alarm.
    temperature_c : float
        Coldest the battery gets. [°C]
    exponent : float
        Peukert's exponent; 1 switches the rate correction off. [-]
    ageing : float
        Rating against capacity at replacement. [-]
    margin : float
        Design margin. [-]

    Returns
    -------
    Requirement
        Capacity with its steps.

    Raises
    ------
    OutOfRangeError
        If a current or time is negative, a factor below 1, or the temperature outside the table.

    Valid range
    -----------
    Lead-acid, −3.9 to 51.7 °C.

    References
    ----------
    [IEEE485]_ for the method, from memory.
    """
    for phase in duty:
        for name, value in (("current", phase.current), ("hours", phase.hours)):
            if not value >= 0.0:
                raise OutOfRangeError("battery capacity", name, value, "0 or more")
    for name, value in (("ageing", ageing), ("margin", margin)):
        if not value >= 1.0:
            raise OutOfRangeError("battery capacity", name, value, "1 or more")
    check_exponent(exponent)
    factor = sizing_temperature_factor(temperature_c)
    extra = factor * ageing * margin
    charge = sum(p.current * p.hours for p in duty)
    if charge == 0.0:
        return Requirement(0.0, 0.0, factor, 0.0, 0.0)
    # Q_eff falls as the battery grows, so C − Q_eff(C)·extra rises through its one root. Bracket it and bisect.
    low = charge * extra
    high = low
    while effective_charge(duty, high / (20.0 * extra), exponent=exponent) * extra > high:
        high *= 2.0
    for _ in range(200):
        middle = (low + high) / 2.0
        if effective_charge(duty, middle / (20.0 * extra), exponent=exponent) * extra > middle:
            low = middle
        else:
            high = middle
        if high - low <= 1e-12 * high:
            break
    rate = high / (20.0 * extra)
    return Requirement(charge, effective_charge(duty, rate, exponent=exponent), factor, high, rate)


def check_exponent(exponent: float) -> None:
    """Refuse an exponent no lead-acid battery has.

    Parameters
    ----------
    exponent : float
        Peukert's exponent. [-]

    Raises
    ------
    OutOfRangeError
        Outside 1 to 2.
    """
    if not 1.0 <= exponent <= 2.0:
        raise OutOfRangeError("Peukert's law", "exponent", exponent, "1 to 2")
