"""Charging a lead-acid battery, and how long it lasts on charge."""

import math
from collections.abc import Sequence

from wardwright.errors import OutOfRangeError

CELLS_12V = 6


def charger_current(removed: float, hours: float, *, load: float = 0.0, acceptance: float = 1.1) -> float:
    """Current a charger must give to put charge back in a time while carrying the load.

    ``A = L + k Q / H``

    Parameters
    ----------
    removed : float
        Charge to put back. [Ah]
    hours : float
        In this time. [h]
    load : float
        Standing load. [A]
    acceptance : float
        Charge put in for charge taken out, 1.1 to 1.15 for lead-acid. [-]

    Returns
    -------
    float
        Charger current. [A]

    Raises
    ------
    OutOfRangeError
        If the time is not positive or acceptance below 1.

    Valid range
    -----------
    Lead-acid up to about 80 % of charge; the rest tapers.

    References
    ----------
    [UPS-NOTE-7]_
    """
    if not hours > 0.0:
        raise OutOfRangeError("charger current", "hours", hours, "more than 0 h")
    if not acceptance >= 1.0:
        raise OutOfRangeError("charger current", "acceptance", acceptance, "1 or more")
    return load + acceptance * removed / hours


def recharge_hours(
    capacity: float,
    current: float,
    *,
    to: float,
    start: float = 0.0,
    acceptance: float = 1.1,
    bulk_to: float = 0.8,
) -> float:
    """Hours to bring a battery from one state of charge to another: bulk at the charger's limit, then taper.

    ``t_b = k C (s_b − s0) / I``, then the current decays with ``τ = k C (1 − s_b) / I``.

    Parameters
    ----------
    capacity : float
        Of the battery. [Ah]
    current : float
        Left for charging after the standing load. [A]
    to : float
        State of charge wanted, below 1. [-]
    start : float
        State of charge at the start. [-]
    acceptance : float
        Charge put in for charge taken out. [-]
    bulk_to : float
        State of charge at which the current begins to taper. [-]

    Returns
    -------
    float
        Time; infinite where nothing is left for charging. [h]

    Raises
    ------
    OutOfRangeError
        If a state of charge is outside 0 to 1 or capacity not positive.

    Valid range
    -----------
    Lead-acid on a current-limited constant-voltage charger; the two-stage form is a choice of model.

    References
    ----------
    [UPS-NOTE-7]_ for the bulk stage; the taper is a choice made here.
    """
    if not capacity > 0.0:
        raise OutOfRangeError("recharge", "capacity", capacity, "more than 0 Ah")
    for name, value in (("to", to), ("start", start), ("bulk_to", bulk_to)):
        if not 0.0 <= value < 1.0:
            raise OutOfRangeError("recharge", name, value, "0 to below 1")
    if to <= start:
        return 0.0
    if current <= 0.0:
        return math.inf
    bulk_end = max(start, min(to, bulk_to))
    bulk = acceptance * capacity * (bulk_end - start) / current
    if to <= bulk_to:
        return bulk
    begin = max(start, bulk_to)
    tau = acceptance * capacity * (1.0 - bulk_to) / current
    return bulk + tau * math.log((1.0 - begin) / (1.0 - to))


def float_voltage(temperature_c: float, *, at_25c: float = 13.65, per_kelvin_cell: float = -0.003) -> float:
    """Float voltage of a 12 V block, compensated for temperature.

    ``V = V25 + 6 c (T − 25)``

    Parameters
    ----------
    temperature_c : float
        Of the battery. [°C]
    at_25c : float
        At 25 °C. [V]
    per_kelvin_cell : float
        Compensation for each cell. [V/K]

    Returns
    -------
    float
        Float voltage. [V]

    Raises
    ------
    OutOfRangeError
        Outside −20 to 50 °C.

    Valid range
    -----------
    Valve-regulated lead-acid, −20 to 50 °C.

    References
    ----------
    From memory.
    """
    if not -20.0 <= temperature_c <= 50.0:
        raise OutOfRangeError("float voltage", "temperature_c", temperature_c, "−20 to 50 °C")
    return at_25c + CELLS_12V * per_kelvin_cell * (temperature_c - 25.0)


def service_life(design_years: float, temperatures: Sequence[tuple[float, float]]) -> float:
    """Years a battery lasts in warmer or changing surroundings: half for every 10 K above 20 °C.

    ``1 / L = Σ f_i / (L20 2^(−(T_i − 20)/10))``

    Parameters
    ----------
    design_years : float
        Design life at 20 °C. [years]
    temperatures : sequence of (float, float)
        Share of the year and temperature in it. [-], [°C]

    Returns
    -------
    float
        Life; no more than the design life is ever promised. [years]

    Raises
    ------
    OutOfRangeError
        If the shares do not sum to one, or a temperature is outside −20 to 60 °C.

    Valid range
    -----------
    Valve-regulated lead-acid on float.

    References
    ----------
    [BATTERY-LIFE-10K]_
    """
    if not design_years > 0.0:
        raise OutOfRangeError("battery life", "design_years", design_years, "more than 0 years")
    total = sum(share for share, _ in temperatures)
    if abs(total - 1.0) > 1e-6:
        raise OutOfRangeError("battery life", "temperatures", total, "shares of the year that sum to 1")
    for _, temperature in temperatures:
        if not -20.0 <= temperature <= 60.0:
            raise OutOfRangeError("battery life", "temperature", temperature, "−20 to 60 °C")
    used = sum(share * 2.0 ** (max(0.0, temperature - 20.0) / 10.0) for share, temperature in temperatures)
    return float(design_years / used)
