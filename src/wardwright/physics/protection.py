"""What limits a supply output: fuses, short circuits, inrush, and the Class 2 limits of the US code."""

from dataclasses import dataclass

from wardwright.errors import OutOfRangeError


@dataclass(frozen=True)
class Class2Limits:
    """What a direct-current Class 2 source may deliver."""

    current: float
    """Under any load. [A]"""
    fuse: float | None
    """Largest overcurrent protection; None for an inherently limited source. [A]"""
    nameplate_power: float
    """[VA]"""
    nameplate_current: float
    """[A]"""


def class2_limits(voltage: float, *, inherently_limited: bool) -> Class2Limits:
    """Limits of a direct-current Class 2 source by its open-circuit voltage.

    Parameters
    ----------
    voltage : float
        Highest output voltage. [V]
    inherently_limited : bool
        True where the source limits itself; False where a fuse does.

    Returns
    -------
    Class2Limits
        The row of the table.

    Raises
    ------
    OutOfRangeError
        Outside 0 to 60 V.

    Valid range
    -----------
    Over 0 to 60 V direct current.

    References
    ----------
    [NEC-CH9-T11]_ as far as it was seen; its direct-current rows are from memory and agree with [IEC60950-1-2B]_.
    """
    if not 0.0 < voltage <= 60.0:
        raise OutOfRangeError("Class 2 source", "voltage", voltage, "over 0 to 60 V")
    power = 5.0 * voltage if voltage <= 20.0 else 100.0
    nameplate = 5.0 if voltage <= 20.0 else 100.0 / voltage
    if inherently_limited:
        return Class2Limits(8.0 if voltage <= 30.0 else 150.0 / voltage, None, power, nameplate)
    return Class2Limits(1000.0 / voltage, 5.0 if voltage <= 20.0 else 100.0 / voltage, power, nameplate)


def fuse_load(rating: float) -> float:
    """Largest steady current a small fuse should carry.

    ``I = 0.75 I_rated``

    Parameters
    ----------
    rating : float
        Of the fuse. [A]

    Returns
    -------
    float
        Steady load. [A]

    Raises
    ------
    OutOfRangeError
        If the rating is not positive.

    Valid range
    -----------
    Fuses rated in the manner of UL 248-14, at 25 °C.

    References
    ----------
    From memory.
    """
    if not rating > 0.0:
        raise OutOfRangeError("fuse", "rating", rating, "more than 0 A")
    return 0.75 * rating


def short_circuit_current(voltage: float, resistance: float) -> float:
    """Current into a dead short at the far end of a run.

    ``I = Vs / R``

    Parameters
    ----------
    voltage : float
        Of the source. [V]
    resistance : float
        Of source and loop together. [Ω]

    Returns
    -------
    float
        Current; a small fuse opens within seconds only at twice its rating. [A]

    Raises
    ------
    OutOfRangeError
        If the resistance is not positive.

    Valid range
    -----------
    Steady current.

    References
    ----------
    [FUSE-DERATING]_ for the opening at twice the rating.
    """
    if not resistance > 0.0:
        raise OutOfRangeError("short circuit", "resistance", resistance, "more than 0 Ω")
    return voltage / resistance


def inrush_let_through(capacitance: float, voltage: float, resistance: float) -> float:
    """Energy-like integral of the surge into a capacitor-input device.

    ``∫ i² dt = V² C / (2 R)``

    Parameters
    ----------
    capacitance : float
        At the device's input. [F]
    voltage : float
        Of the source. [V]
    resistance : float
        Of source, fuse and loop together. [Ω]

    Returns
    -------
    float
        To be compared with the fuse's melting figure. [A²s]

    Raises
    ------
    OutOfRangeError
        If capacitance is negative or resistance not positive.

    Valid range
    -----------
    An uncharged capacitor on an ideal source.

    References
    ----------
    Discharge of a capacitor through a resistor.
    """
    if not capacitance >= 0.0:
        raise OutOfRangeError("inrush", "capacitance", capacitance, "0 F or more")
    if not resistance > 0.0:
        raise OutOfRangeError("inrush", "resistance", resistance, "more than 0 Ω")
    return voltage**2 * capacitance / (2.0 * resistance)
