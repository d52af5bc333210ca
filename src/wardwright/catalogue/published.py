"""Units as published, turned into the units figures are stored in. The published figure is kept beside the result."""

import math
from collections.abc import Callable

from wardwright.errors import InputError
from wardwright.units import FOOT_M, INCH_M

_YEAR_S = 365.25 * 86_400.0
_DIPOLE_DB = 2.15
"""Gain of a half-wave dipole over an isotropic radiator. [dB]"""

_FACTORS: dict[tuple[str, str], float] = {
    ("mA", "A"): 1e-3,
    ("uA", "A"): 1e-6,
    ("µA", "A"): 1e-6,
    ("mV", "V"): 1e-3,
    ("mm", "m"): 1e-3,
    ("cm", "m"): 1e-2,
    ("in", "m"): INCH_M,
    ("ft", "m"): FOOT_M,
    ("mm2", "m2"): 1e-6,
    ("mm²", "m2"): 1e-6,
    ("deg", "rad"): math.pi / 180.0,
    ("°", "rad"): math.pi / 180.0,
    ("ms", "s"): 1e-3,
    ("min", "s"): 60.0,
    ("h", "s"): 3600.0,
    ("d", "s"): 86_400.0,
    ("a", "s"): _YEAR_S,
    ("s", "min"): 1.0 / 60.0,
    ("h", "min"): 60.0,
    ("kHz", "Hz"): 1e3,
    ("MHz", "Hz"): 1e6,
    ("GHz", "Hz"): 1e9,
    ("mT", "T"): 1e-3,
    ("G", "T"): 1e-4,
    ("mC", "C"): 1e-3,
    ("uC", "C"): 1e-6,
    ("kohm", "ohm"): 1e3,
    ("kΩ", "ohm"): 1e3,
    ("Ω", "ohm"): 1.0,
    ("mohm", "ohm"): 1e-3,
    ("Mohm", "ohm"): 1e6,
    ("MΩ", "ohm"): 1e6,
    ("ohm/km", "ohm/m"): 1e-3,
    ("Ω/km", "ohm/m"): 1e-3,
    ("ohm/kft", "ohm/m"): 1e-3 / FOOT_M,
    ("mAh", "Ah"): 1e-3,
    ("lb", "kg"): 0.45359237,
    ("g", "kg"): 1e-3,
    ("%", "1"): 1e-2,
    ("°C", "degC"): 1.0,
}

_FUNCTIONS: dict[tuple[str, str], Callable[[float], float]] = {
    ("degF", "degC"): lambda value: (value - 32.0) / 1.8,
    ("°F", "degC"): lambda value: (value - 32.0) / 1.8,
    ("mW ERP", "dBm"): lambda value: 10.0 * math.log10(value) + _DIPOLE_DB,
    ("mW EIRP", "dBm"): lambda value: 10.0 * math.log10(value),
    ("dBm ERP", "dBm"): lambda value: value + _DIPOLE_DB,
    ("dBm EIRP", "dBm"): lambda value: value,
    ("dB@3m", "dB"): lambda value: value + 20.0 * math.log10(3.0),
    ("dB@10ft", "dB"): lambda value: value + 20.0 * math.log10(10.0 * FOOT_M),
    ("dB@1m", "dB"): lambda value: value,
}


def stored_value(value: float, published: str, stored: str) -> float:
    """Value in the unit a figure is stored in.

    Parameters
    ----------
    value : float
        The figure as published.
    published : str
        Its unit as published; empty means the stored unit itself. Money takes any currency's code.
    stored : str
        The unit wanted, from the register of figures.

    Returns
    -------
    float
        The converted value.

    Raises
    ------
    InputError
        If the unit cannot be turned into the one wanted.
    """
    if published in ("", stored):
        return value
    if stored in ("money", "money/h"):
        code, _, per = published.partition("/")
        if len(code) == 3 and code.isalpha() and (per == "h") == (stored == "money/h") and per in ("", "h"):
            return value
    factor = _FACTORS.get((published, stored))
    if factor is not None:
        return value * factor
    function = _FUNCTIONS.get((published, stored))
    if function is None:
        known = sorted({u for u, s in (*_FACTORS, *_FUNCTIONS) if s == stored} | {stored})
        raise InputError(f"the unit “{published}” was not expected here: give one of {', '.join(known)}")
    if value <= 0.0 and published.startswith("mW"):
        raise InputError("a power in mW must be above zero")
    return function(value)
