"""What sound loses through walls, doors, glass and curtains."""

import math
from collections.abc import Iterable

from wardwright.errors import OutOfRangeError

CHARACTERISTIC_IMPEDANCE = 412.0
"""Of air, density by speed of sound. [Pa s/m]"""
COINCIDENCE_M_S = {
    "plasterboard": 38.0,
    "glass": 12.7,
    "chipboard": 23.0,
    "plywood": 20.0,
    "brick": 20.0,
    "concrete": 19.0,
    "steel": 12.4,
}
"""Coincidence frequency times thickness. [m/s] [COINCIDENCE-TABLE]."""
MASS_KG_M3 = {"plasterboard": 800.0, "glass": 2500.0, "chipboard": 650.0, "brick": 1800.0, "concrete": 2300.0}
"""Density, from memory. [kg/m³]"""


def composite_loss(parts: Iterable[tuple[float, float]]) -> float:
    r"""Loss of a partition made of several parts, for sound from everywhere.

    Parameters
    ----------
    parts : iterable of (float, float)
        Area [m²] and loss [dB] of each part; an open door has no loss.

    Returns
    -------
    float
        :math:`10\log_{10}(\sum S_i/\sum S_i 10^{-R_i/10})`. [dB]

    Raises
    ------
    OutOfRangeError
        If there is no area.

    Notes
    -----
    Sources: energy balance, from memory. Checked by ``tests/validation/test_sound.py``.
    """
    listed = [(float(area), float(loss)) for area, loss in parts]
    area = sum(a for a, _ in listed)
    if not area > 0.0:
        raise OutOfRangeError("composite loss", "area", area, "more than 0 m²")
    return -10.0 * math.log10(sum(a * 10.0 ** (-loss / 10.0) for a, loss in listed) / area)


def through_partition(level: float, loss: float, area: float, absorbed: float) -> float:
    r"""Level in the room behind a partition.

    Parameters
    ----------
    level : float
        In the room of the sounder. [dB]
    loss : float
        Of the partition. [dB]
    area : float
        Of the partition, over 0. [m²]
    absorbed : float
        Equivalent absorption area of the room behind, over 0. [m²]

    Returns
    -------
    float
        :math:`L_2 = L_1 - R + 10\log_{10}(S/A_2)`. [dB]

    Raises
    ------
    OutOfRangeError
        If an area is not over 0.

    Notes
    -----
    Sources: two diffuse rooms, from memory. Checked by ``tests/validation/test_sound.py``.
    """
    for name, value in (("area", area), ("absorbed", absorbed)):
        if not value > 0.0:
            raise OutOfRangeError("sound through a partition", name, value, "more than 0 m²")
    return level - loss + 10.0 * math.log10(area / absorbed)


def mass_law(mass: float, frequency: float, *, field: bool = True) -> float:
    r"""Loss of a limp single leaf.

    Parameters
    ----------
    mass : float
        Of a square metre, over 0. [kg/m²]
    frequency : float
        Over 0. [Hz]
    field : bool
        Sound from everywhere; otherwise straight on.

    Returns
    -------
    float
        :math:`20\log_{10}(mf) - 47` from everywhere, :math:`-42.4` straight on; not under 0. [dB]

    Raises
    ------
    OutOfRangeError
        If mass or frequency is not over 0.

    Notes
    -----
    Sources: [MASS-LAW-PAGES] (form in pounds and square feet); field incidence from memory. Below coincidence only.
    Checked by ``tests/validation/test_sound.py``.
    """
    for name, value in (("mass", mass), ("frequency", frequency)):
        if not value > 0.0:
            raise OutOfRangeError("mass law", name, value, "more than 0")
    return max(0.0, 20.0 * math.log10(mass * frequency) - (47.0 if field else 42.4))


def coincidence_frequency(material: str, thickness: float) -> float:
    r"""Frequency at which a leaf lets sound through because the wave in it keeps step.

    Parameters
    ----------
    material : str
        One of :data:`COINCIDENCE_M_S`.
    thickness : float
        Over 0. [m]

    Returns
    -------
    float
        :math:`k/h`. [Hz]

    Raises
    ------
    OutOfRangeError
        If the thickness is not over 0.

    Notes
    -----
    Sources: [COINCIDENCE-TABLE]. Checked by ``tests/validation/test_sound.py``.
    """
    if not thickness > 0.0:
        raise OutOfRangeError("coincidence", "thickness", thickness, "more than 0 m")
    return COINCIDENCE_M_S[material] / thickness


def covering_loss(mass: float, resistance: float, frequency: float, *, open_share: float = 0.0) -> float:
    r"""Loss of a curtain or blind drawn over a pane.

    Parameters
    ----------
    mass : float
        Of a square metre, over 0. [kg/m²]
    resistance : float
        Flow resistance of the cloth; infinite for a coated one. [Pa s/m]
    frequency : float
        Over 0. [Hz]
    open_share : float
        Share of the pane that stays uncovered, 0 to 1. [-]

    Returns
    -------
    float
        :math:`20\log_{10}|1+Z/2\rho c|`, :math:`Z = R\,j\omega m/(R+j\omega m)`, capped by what is open. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: limp porous sheet, textbook, straight on. Checked by ``tests/validation/test_glass_break.py``.
    """
    for name, value in (("mass", mass), ("resistance", resistance), ("frequency", frequency)):
        if not value > 0.0:
            raise OutOfRangeError("covering", name, value, "more than 0")
    if not 0.0 <= open_share <= 1.0:
        raise OutOfRangeError("covering", "open_share", open_share, "0 to 1")
    inertia = 2j * math.pi * frequency * mass
    sheet = inertia if math.isinf(resistance) else resistance * inertia / (resistance + inertia)
    loss = 20.0 * math.log10(abs(1.0 + sheet / (2.0 * CHARACTERISTIC_IMPEDANCE)))
    return composite_loss(((open_share, 0.0), (1.0 - open_share, loss)))
