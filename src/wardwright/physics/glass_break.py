"""Breaking glass: the thump of the pane, the shatter, and how much of each reaches the microphone."""

import math

from scipy.special import ndtr

from wardwright.errors import OutOfRangeError
from wardwright.physics.acoustics import (
    absorption_area,
    air_absorption,
    burst_build_up,
    reverberation_time,
    room_constant,
    room_transfer,
)

YOUNG_PA = 70e9
"""Young's modulus of glass. [Pa] [GLASS-HANDBOOK]."""
DENSITY_KG_M3 = 2500.0
"""Density of glass. [kg/m³] [GLASS-HANDBOOK]."""
POISSON = 0.22
"""Poisson's ratio of glass, from memory. [-]"""
ATMOSPHERE_PA = 101_325.0
"""Still air. [Pa]"""
BURST_S = 0.02
"""Length of a burst of shatter. Assumption. [s]"""
SIGMA_DB = 5.0
"""Spread of the margin: workmanship, blow, furniture. Assumption. [dB]"""
BANDS_HZ = (4000.0, 8000.0)
"""Where the shatter is reckoned. Assumption. [Hz]"""
GLASS_Q = 2.0
"""Directivity of a pane in a wall. [-]"""
REFERENCE_VOLUME_M3 = 50.0
"""Volume of the reference room. Assumption. [m³]"""
REFERENCE_ROOM = {
    "carpet": 20.0,
    "plasterboard ceiling": 20.0,
    "plasterboard": 41.0,
    "window glass": 3.0,
    "upholstery": 3.0,
    "boards": 1.0,
}
"""Surfaces of the room in which a rated reach is taken to hold: 5 m by 4 m by 2.5 m, furnished. Assumption. [m²]"""


def pane_frequency(width: float, height: float, thickness: float) -> float:
    r"""Lowest frequency at which a pane swings: its thump.

    Parameters
    ----------
    width, height : float
        Of the pane, over 0. [m]
    thickness : float
        Over 0. [m]

    Returns
    -------
    float
        :math:`f_{11} = \tfrac{\pi}{2}\sqrt{D/\rho h}\,(1/a^2+1/b^2)`, :math:`D = Eh^3/12(1-\nu^2)`. [Hz]

    Raises
    ------
    OutOfRangeError
        If a size is not over 0.

    Notes
    -----
    Sources: simply supported plate, textbook. Checked by ``tests/validation/test_glass_break.py``.
    """
    for name, value in (("width", width), ("height", height), ("thickness", thickness)):
        if not value > 0.0:
            raise OutOfRangeError("pane", name, value, "more than 0 m")
    stiffness = YOUNG_PA * thickness**3 / (12.0 * (1.0 - POISSON**2))
    return math.pi / 2.0 * math.sqrt(stiffness / (DENSITY_KG_M3 * thickness)) * (1.0 / width**2 + 1.0 / height**2)


def thump_level(width: float, height: float, deflection: float, volume: float) -> float:
    r"""Peak level of the pressure that a pane driven in makes in a closed room.

    Parameters
    ----------
    width, height : float
        Of the pane, over 0. [m]
    deflection : float
        Of its middle, over 0. [m]
    volume : float
        Of the room and all that opens into it, over 0. [m³]

    Returns
    -------
    float
        :math:`20\log_{10}(\gamma P_0\,\tfrac{4}{\pi^2}ab\,d/V\,/\,20\,\mu\mathrm{Pa})`. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is not over 0.

    Valid range
    -----------
    Below the first mode of the room.

    Notes
    -----
    Sources: adiabatic compression, textbook. Checked by ``tests/validation/test_glass_break.py``.
    """
    for name, value in (("width", width), ("height", height), ("deflection", deflection), ("volume", volume)):
        if not value > 0.0:
            raise OutOfRangeError("thump", name, value, "more than 0")
    swept = width * height * deflection * 4.0 / math.pi**2
    return 20.0 * math.log10(1.4 * ATMOSPHERE_PA * swept / volume / 20e-6)


def shatter_attenuation(
    distance: float, surfaces: dict[str, float], volume: float, frequency: float, *, in_sight: bool = True
) -> float:
    r"""What the shatter loses from the pane to a microphone in the same room.

    Parameters
    ----------
    distance : float
        From pane to microphone, over 0. [m]
    surfaces : dict of str to float
        Areas by name of surface. [m²]
    volume : float
        Of the room. [m³]
    frequency : float
        125 to 8000. [Hz]
    in_sight : bool
        Nothing stands between.

    Returns
    -------
    float
        :math:`-10\log_{10}(Q/4\pi r^2 + 4B/R_c) + \alpha r`, air at 20 °C and 50 %. [dB]

    Notes
    -----
    Sources: direct and reverberant field; length of the burst assumed. Checked by
    ``tests/validation/test_glass_break.py``.
    """
    air = air_absorption(frequency)
    bare = absorption_area(surfaces, frequency)
    full = absorption_area(surfaces, frequency, volume=volume, air=air)
    area = sum(surfaces.values())
    decay = reverberation_time(volume, bare, surface=area, air_absorbed=full - bare)
    return -room_transfer(
        distance,
        room_constant(full, area),
        directivity=GLASS_Q,
        in_sight=in_sight,
        build_up=burst_build_up(BURST_S, decay),
        air=air,
    )


def shatter_margin(
    distance: float,
    surfaces: dict[str, float],
    volume: float,
    *,
    rated_range: float,
    frequency: float,
    in_sight: bool = True,
    covering: float = 0.0,
) -> float:
    r"""Margin of the shatter over what reaches the microphone at the rated reach in the reference room.

    Parameters
    ----------
    distance : float
        From pane to microphone, over 0. [m]
    surfaces : dict of str to float
        Areas by name of surface. [m²]
    volume : float
        Of the room. [m³]
    rated_range : float
        Rated reach. [m]
    frequency : float
        125 to 8000. [Hz]
    in_sight : bool
        Nothing stands between.
    covering : float
        Loss of a curtain or blind. [dB]

    Returns
    -------
    float
        :math:`M = \mathrm{Att}(R_0,\ \text{reference room}) - \mathrm{Att}(r) - L`. [dB]

    Notes
    -----
    No trustworthy level of breaking glass was found, so everything is relative to the rated condition. The reference
    room is an assumption. Checked by ``tests/validation/test_glass_break.py``.
    """
    rated = shatter_attenuation(rated_range, REFERENCE_ROOM, REFERENCE_VOLUME_M3, frequency)
    return rated - shatter_attenuation(distance, surfaces, volume, frequency, in_sight=in_sight) - covering


def thump_margin(volume: float, width: float, height: float, *, least_side: float) -> float:
    r"""Margin of the thump over that of the smallest pane allowed in the reference room.

    Parameters
    ----------
    volume : float
        Of the room and all that opens into it, over 0. [m³]
    width, height : float
        Of the pane, over 0. [m]
    least_side : float
        Side of the smallest square pane the detector is declared for, over 0. [m]

    Returns
    -------
    float
        :math:`20\log_{10}(V_0/V) + 20\log_{10}(ab/a_0^2)`. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is not over 0.

    Notes
    -----
    Sources: the pressure of `thump_level` at equal deflection. Checked by ``tests/validation/test_glass_break.py``.
    """
    for name, value in (("volume", volume), ("width", width), ("height", height), ("least_side", least_side)):
        if not value > 0.0:
            raise OutOfRangeError("thump", name, value, "more than 0")
    return 20.0 * math.log10(REFERENCE_VOLUME_M3 / volume * width * height / least_side**2)


def heard(margin: float) -> float:
    r"""Chance that a break with this margin is told.

    Parameters
    ----------
    margin : float
        Least of the margins of both bands. [dB]

    Returns
    -------
    float
        :math:`\Phi(M/\sigma)`, :math:`\sigma` 5 dB. [-]

    Notes
    -----
    The spread is an assumption.
    """
    return float(ndtr(margin / SIGMA_DB))
