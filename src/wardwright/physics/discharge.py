"""Discharge of a lead-acid battery: its voltage on the way down, and the hours it stands by."""

import math
from dataclasses import dataclass, replace

from wardwright.errors import OutOfRangeError
from wardwright.physics.battery import PEUKERT_VRLA, Phase, effective_charge

END_OF_DISCHARGE_V = 10.5
"""12 V lead-acid at 1.75 V a cell. [V] [MYELECTRICAL-163]"""


@dataclass(frozen=True)
class DischargeCurve:
    """Parameters of the discharge curve of one battery."""

    capacity: float
    """Charge at which the curve falls away. [Ah]"""
    constant: float
    """[V]"""
    resistance: float
    """[Ω]"""
    polarisation: float
    """[V/Ah] and [Ω]"""
    exponential: float
    """[V]"""
    exponential_rate: float
    """[1/Ah]"""

    def scaled(self, capacity: float) -> "DischargeCurve":
        """The same battery in another size.

        Parameters
        ----------
        capacity : float
            Of the other size. [Ah]

        Returns
        -------
        DischargeCurve
            Resistance, polarisation and exponential rate go with 1/capacity.
        """
        if not capacity > 0.0:
            raise OutOfRangeError("discharge curve", "capacity", capacity, "more than 0 Ah")
        share = self.capacity / capacity
        return replace(
            self,
            capacity=capacity,
            resistance=self.resistance * share,
            polarisation=self.polarisation * share,
            exponential_rate=self.exponential_rate * share,
        )


LEAD_ACID_7AH = DischargeCurve(7.2, 12.4659, 0.04, 0.047, 0.83, 125.0)
"""12 V 7.2 Ah lead-acid. [TREMBLAY-DESSAINT-2009] From memory."""


def discharge_voltage(curve: DischargeCurve, charge: float, current: float) -> float:
    """Voltage of a battery part way through a discharge.

    ``V = E0 − K Q/(Q − it) (it + i) − R i + A exp(−B it)``: Shepherd's curve as modified by Tremblay and Dessaint, in
    its static form.

    Parameters
    ----------
    curve : DischargeCurve
        The battery.
    charge : float
        Taken out since full, ``it``. [Ah]
    current : float
        Drawn now. [A]

    Returns
    -------
    float
        Terminal voltage. [V]

    Raises
    ------
    OutOfRangeError
        If charge is negative or not below the curve's capacity, or current negative.

    Valid range
    -----------
    State of charge 10 to 100 %, up to 5 times the capacity's current; stated error about 5 %.

    References
    ----------
    [TREMBLAY-DESSAINT-2009]_
    """
    if not 0.0 <= charge < curve.capacity:
        raise OutOfRangeError("discharge curve", "charge", charge, f"0 to below {curve.capacity:g} Ah")
    if not current >= 0.0:
        raise OutOfRangeError("discharge curve", "current", current, "0 A or more")
    steep = curve.polarisation * curve.capacity / (curve.capacity - charge)
    return (
        curve.constant
        - steep * (charge + current)
        - curve.resistance * current
        + curve.exponential * math.exp(-curve.exponential_rate * charge)
    )


def charge_to(curve: DischargeCurve, current: float, end_voltage: float) -> float:
    """Charge a battery gives at a steady current before it falls to a voltage.

    Parameters
    ----------
    curve : DischargeCurve
        The battery.
    current : float
        Drawn. [A]
    end_voltage : float
        End of discharge. [V]

    Returns
    -------
    float
        Charge; 0 where the battery is below that voltage at once. [Ah]

    Valid range
    -----------
    As `discharge_voltage`.

    References
    ----------
    [TREMBLAY-DESSAINT-2009]_
    """
    if discharge_voltage(curve, 0.0, current) <= end_voltage:
        return 0.0
    low, high = 0.0, curve.capacity * (1.0 - 1e-12)
    while high - low > 1e-12 * curve.capacity:
        middle = (low + high) / 2.0
        if discharge_voltage(curve, middle, current) > end_voltage:
            low = middle
        else:
            high = middle
    return low


def calibrated_curve(
    capacity: float, *, rated_hours: float = 20.0, end_voltage: float = END_OF_DISCHARGE_V
) -> DischargeCurve:
    """The discharge curve that delivers a battery's rated capacity at its rated current.

    The published set gives the shape of the knee; its size is chosen so that the rating is kept.

    Parameters
    ----------
    capacity : float
        Available capacity at the rated current: rating, less ageing and cold. [Ah]
    rated_hours : float
        Hours of the rating. [h]
    end_voltage : float
        End of discharge of the rating. [V]

    Returns
    -------
    DischargeCurve
        Scaled curve.

    Raises
    ------
    OutOfRangeError
        If the capacity is not positive.

    Valid range
    -----------
    12 V lead-acid.

    References
    ----------
    [TREMBLAY-DESSAINT-2009]_ for the shape; fitting it to the rating is a choice made here.
    """
    if not capacity > 0.0:
        raise OutOfRangeError("discharge curve", "capacity", capacity, "more than 0 Ah")
    current = capacity / rated_hours
    low, high = capacity, 2.0 * capacity
    while high - low > 1e-10 * capacity:
        middle = (low + high) / 2.0
        if charge_to(LEAD_ACID_7AH.scaled(middle), current, end_voltage) < capacity:
            low = middle
        else:
            high = middle
    return LEAD_ACID_7AH.scaled(high)


def standby_hours(
    capacity: float,
    *,
    standby: float,
    alarm: float,
    alarm_hours: float,
    exponent: float = PEUKERT_VRLA,
    end_voltage: float = END_OF_DISCHARGE_V,
) -> float:
    """Hours a battery stands by and still carries the alarm after them.

    The charge taken out is weighted by rate (`effective_charge`); the voltage at the end of the alarm, read from the
    calibrated curve at the alarm current, must not be below the end of discharge.

    Parameters
    ----------
    capacity : float
        Available at the 20-hour rate: rating, less ageing and cold. [Ah]
    standby : float
        Standing current. [A]
    alarm : float
        Current in alarm. [A]
    alarm_hours : float
        Length of the alarm after the standby. [h]
    exponent : float
        Peukert's exponent. [-]
    end_voltage : float
        End of discharge. [V]

    Returns
    -------
    float
        Standby; 0 where not even the alarm is carried. [h]

    Raises
    ------
    OutOfRangeError
        If the standing current or capacity is not positive, or the alarm is negative.

    Valid range
    -----------
    12 V lead-acid; alarm up to 5 times the capacity's current.

    References
    ----------
    [TREMBLAY-DESSAINT-2009]_, [FXSOLVER-PEUKERT]_
    """
    if not standby > 0.0:
        raise OutOfRangeError("standby", "standby", standby, "more than 0 A")
    for name, value in (("alarm", alarm), ("alarm_hours", alarm_hours)):
        if not value >= 0.0:
            raise OutOfRangeError("standby", name, value, "0 or more")
    if alarm > 5.0 * capacity:
        raise OutOfRangeError("standby", "alarm", alarm, f"up to 5 × {capacity:g} A")
    curve = calibrated_curve(capacity, end_voltage=end_voltage)
    rate = capacity / 20.0
    last = alarm if alarm_hours > 0.0 else standby
    usable = min(charge_to(curve, last, end_voltage), charge_to(curve, standby, end_voltage))
    for_alarm = effective_charge([Phase(alarm, alarm_hours)], rate, exponent=exponent)
    an_hour = effective_charge([Phase(standby, 1.0)], rate, exponent=exponent)
    return max(0.0, (usable - for_alarm) / an_hour)
