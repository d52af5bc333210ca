"""Resistance of conductors: wire gauges, metric sizes, temperature, loops out and back."""

import math
from types import MappingProxyType
from typing import Literal

from wardwright.errors import OutOfRangeError

RESISTIVITY_COPPER_20C = 1.7241e-8
"""Annealed copper at 20 °C, 100 % IACS. [Ω·m] [IEC60028-1925]"""

COPPER_CLAD_ALUMINIUM = 1.65
"""Resistance of a copper-clad aluminium core against copper of the same size, upper end. [-] From memory."""

LAY_STRANDED = 1.025
"""Extra length of the strands of a stranded core, upper end. [-] [ASTM-B258] for the sizes, the factor from memory."""

ConductorClass = Literal["solid", "stranded", "flexible"]
"""IEC 60228 classes 1, 2 and 5."""

IEC_60228_OHM_PER_KM = MappingProxyType(
    {
        # mm²: (class 1 and 2 plain, class 1 coated, class 2 coated, class 5 plain, class 5 coated)
        0.5: (36.0, 36.7, 36.7, 39.0, 40.1),
        0.75: (24.5, 24.8, 24.8, 26.0, 26.7),
        1.0: (18.1, 18.2, 18.2, 19.5, 20.0),
        1.5: (12.1, 12.2, 12.2, 13.3, 13.7),
        2.5: (7.41, 7.56, 7.56, 7.98, 8.21),
    }
)
"""Largest resistance at 20 °C. [Ω/km] [IEC60228-2004]"""


def awg_diameter(gauge: int) -> float:
    """Diameter of a solid round wire of an American gauge.

    ``d = 0.127 mm · 92^((36 − n)/39)``

    Parameters
    ----------
    gauge : int
        Gauge number; 0, −1, −2, −3 for 1/0 to 4/0. [-]

    Returns
    -------
    float
        Diameter. [m]

    Raises
    ------
    OutOfRangeError
        If the gauge is not between −3 and 40.

    Valid range
    -----------
    −3 to 40.

    References
    ----------
    [ASTM-B258]_
    """
    if not -3 <= gauge <= 40:
        raise OutOfRangeError("wire gauge", "gauge", gauge, "−3 (4/0) to 40")
    return float(0.127e-3 * 92.0 ** ((36 - gauge) / 39))


def awg_area(gauge: int) -> float:
    """Cross-section of a solid round wire of an American gauge.

    ``A = π d² / 4``

    Parameters
    ----------
    gauge : int
        Gauge number. [-]

    Returns
    -------
    float
        Cross-section. [m²]

    Valid range
    -----------
    −3 to 40.

    References
    ----------
    [ASTM-B258]_
    """
    return math.pi * awg_diameter(gauge) ** 2 / 4


def resistance_per_metre(area: float, *, lay: float = 1.0, resistivity: float = RESISTIVITY_COPPER_20C) -> float:
    """Resistance of one metre of a conductor at the temperature of its resistivity.

    ``r = lay · ρ / A``

    Parameters
    ----------
    area : float
        Cross-section of metal. [m²]
    lay : float
        Length of a strand against the length of the core. [-]
    resistivity : float
        Of the metal; annealed copper at 20 °C unless given. [Ω·m]

    Returns
    -------
    float
        Resistance of one conductor. [Ω/m]

    Raises
    ------
    OutOfRangeError
        If area or resistivity is not positive, or lay below 1.

    Valid range
    -----------
    Direct current, one temperature along the run.

    References
    ----------
    [IEC60028-1925]_
    """
    if not area > 0.0:
        raise OutOfRangeError("conductor resistance", "area", area, "more than 0 m²")
    if not resistivity > 0.0:
        raise OutOfRangeError("conductor resistance", "resistivity", resistivity, "more than 0 Ω·m")
    if not lay >= 1.0:
        raise OutOfRangeError("conductor resistance", "lay", lay, "1 or more")
    return lay * resistivity / area


def maximum_resistance_iec60228(area_mm2: float, conductor: ConductorClass, *, coated: bool = False) -> float:
    """Largest resistance a copper conductor of a standard metric size may have at 20 °C.

    Parameters
    ----------
    area_mm2 : float
        Nominal size: 0.5, 0.75, 1, 1.5 or 2.5. [mm²]
    conductor : {'solid', 'stranded', 'flexible'}
        Class 1, 2 or 5.
    coated : bool
        Tinned or otherwise metal-coated strands.

    Returns
    -------
    float
        Resistance of one conductor. [Ω/m]

    Raises
    ------
    OutOfRangeError
        If the size is not in the table; the series starts at 0.5 mm², so the 0.22 mm² alarm core is not in it.

    Valid range
    -----------
    The five sizes named.

    References
    ----------
    [IEC60228-2004]_
    """
    row = IEC_60228_OHM_PER_KM.get(area_mm2)
    if row is None:
        raise OutOfRangeError("IEC 60228 resistance", "area_mm2", area_mm2, "0.5, 0.75, 1, 1.5 or 2.5 mm²")
    column = {("solid", True): 1, ("stranded", True): 2, ("flexible", False): 3, ("flexible", True): 4}
    return row[column.get((conductor, coated), 0)] / 1000.0


def temperature_correction(temperature_c: float, *, coefficient: float = 0.00393) -> float:
    """Resistance at a temperature against resistance at 20 °C.

    ``R(T) / R20 = 1 + α (T − 20)``

    Parameters
    ----------
    temperature_c : float
        Of the conductor. [°C]
    coefficient : float
        Of copper at 20 °C unless given. [1/K]

    Returns
    -------
    float
        Factor. [-]

    Raises
    ------
    OutOfRangeError
        Outside −50 to 150 °C.

    Valid range
    -----------
    −50 to 150 °C.

    References
    ----------
    [GOST22483-2021]_, whose correction ``254.5 / (234.5 + T)`` is its inverse to four digits.
    """
    if not -50.0 <= temperature_c <= 150.0:
        raise OutOfRangeError("temperature of a conductor", "temperature_c", temperature_c, "−50 to 150 °C")
    return 1.0 + coefficient * (temperature_c - 20.0)


def converted_nec(resistance: float, *, from_c: float, to_c: float) -> float:
    """A resistance of a copper conductor stated at one temperature, at another, by the rule beside NEC table 8.

    ``R2 = R1 · [1 + 0.00323 (T2 − 75)] / [1 + 0.00323 (T1 − 75)]``: as printed for T1 = 75 °C.

    Parameters
    ----------
    resistance : float
        As stated. [Ω] or [Ω/m]
    from_c : float
        Temperature it is stated at; 75 °C in the table. [°C]
    to_c : float
        Temperature wanted. [°C]

    Returns
    -------
    float
        Resistance there, in the unit given. [Ω]

    Valid range
    -----------
    −50 to 150 °C.

    References
    ----------
    [NEC-CH9-T8-NOTE]_
    """
    for name, value in (("from_c", from_c), ("to_c", to_c)):
        if not -50.0 <= value <= 150.0:
            raise OutOfRangeError("temperature of a conductor", name, value, "−50 to 150 °C")
    return resistance * (1.0 + 0.00323 * (to_c - 75.0)) / (1.0 + 0.00323 * (from_c - 75.0))


def loop_resistance(
    length: float,
    plus: float,
    minus: float | None = None,
    *,
    cores_plus: int = 1,
    cores_minus: int = 1,
    joints: int = 0,
    joint: float = 0.0,
) -> float:
    """Resistance of a run out and back.

    ``R = L (r₊/n₊ + r₋/n₋) + joints · r_joint``

    Parameters
    ----------
    length : float
        One way along the route. [m]
    plus : float
        One conductor going out. [Ω/m]
    minus : float, optional
        One conductor coming back; the same as ``plus`` unless given. [Ω/m]
    cores_plus : int
        Equal cores in parallel going out. [-]
    cores_minus : int
        Equal cores in parallel coming back. [-]
    joints : int
        Terminations and splices passed, out and back together. [-]
    joint : float
        Resistance of one of them. [Ω]

    Returns
    -------
    float
        At the supply end with the far end shorted. [Ω]

    Raises
    ------
    OutOfRangeError
        If length or a resistance is negative, or a core count below one.

    Valid range
    -----------
    Direct current.

    References
    ----------
    Ohm's law.
    """
    back = plus if minus is None else minus
    for name, value in (("length", length), ("plus", plus), ("minus", back), ("joint", joint), ("joints", joints)):
        if not value >= 0.0:
            raise OutOfRangeError("loop resistance", name, value, "0 or more")
    if cores_plus < 1 or cores_minus < 1:
        raise OutOfRangeError("loop resistance", "cores", min(cores_plus, cores_minus), "1 or more")
    return length * (plus / cores_plus + back / cores_minus) + joints * joint
