"""Sound: adding levels, spreading, what air takes away, A-weighting, and the field in one room."""

import math
from collections.abc import Iterable, Mapping

from wardwright.errors import OutOfRangeError
from wardwright.physics.absorption import absorption

TRIPLE_POINT_K = 273.16
"""Isotherm of water used by the formula of ISO 9613-1. [K]"""
REFERENCE_K = 293.15
"""Reference temperature of ISO 9613-1. [K]"""
REFERENCE_KPA = 101.325
"""Reference pressure. [kPa]"""
SABINE = 0.161
"""24 ln 10 over the speed of sound. [s/m]"""
_F1, _F2, _F3, _F4 = 20.599, 107.653, 737.862, 12194.217
"""Corner frequencies of A-weighting, IEC 61672-1, from memory. [Hz]"""


def sum_of_levels(levels: Iterable[float]) -> float:
    r"""Level of several sounders together, whose tones have nothing to do with each other.

    Parameters
    ----------
    levels : iterable of float
        Level of each; minus infinity for silence. [dB]

    Returns
    -------
    float
        :math:`10\log_{10}\sum 10^{L_i/10}`; minus infinity for none. [dB]

    Notes
    -----
    Sources: [NOISE-ADDITION-PAGES]_. Checked by ``tests/validation/test_sound.py``.
    """
    total = sum(10.0 ** (level / 10.0) for level in levels)
    return 10.0 * math.log10(total) if total > 0.0 else -math.inf


def air_absorption(
    frequency: float, *, temperature: float = 20.0, humidity: float = 50.0, pressure: float = REFERENCE_KPA
) -> float:
    r"""What a metre of air takes from a pure tone.

    Parameters
    ----------
    frequency : float
        50 to 10000. [Hz]
    temperature : float
        Of the air, -20 to 50. [°C]
    humidity : float
        Relative, 10 to 100. [%]
    pressure : float
        Of the air, 50 to 200. [kPa]

    Returns
    -------
    float
        :math:`\alpha = 8.686 f^2\{1.84\cdot10^{-11}(p_r/p)\sqrt{T/T_0} + (T/T_0)^{-5/2}
        [0.01275 e^{-2239.1/T}/(f_O+f^2/f_O) + 0.1068 e^{-3352/T}/(f_N+f^2/f_N)]\}`. [dB/m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: [ISO9613-1-1993]_ (formula seen on a public page); relaxation frequencies of oxygen and nitrogen from the
    molar concentration of water vapour. Checked by ``tests/validation/test_sound.py``.
    """
    for name, value, low, high in (
        ("frequency", frequency, 50.0, 10_000.0),
        ("temperature", temperature, -20.0, 50.0),
        ("humidity", humidity, 10.0, 100.0),
        ("pressure", pressure, 50.0, 200.0),
    ):
        if not low <= value <= high:
            raise OutOfRangeError("air absorption", name, value, f"{low:g} to {high:g}")
    kelvin, ratio = temperature + 273.15, pressure / REFERENCE_KPA
    warm = kelvin / REFERENCE_K
    vapour = humidity / ratio * math.pow(10.0, 4.6151 - 6.8346 * math.pow(TRIPLE_POINT_K / kelvin, 1.261))
    oxygen = ratio * (24.0 + 4.04e4 * vapour * (0.02 + vapour) / (0.391 + vapour))
    nitrogen = ratio / math.sqrt(warm) * (9.0 + 280.0 * vapour * math.exp(-4.170 * (1.0 / math.cbrt(warm) - 1.0)))
    square = frequency**2
    relaxation = 0.01275 * math.exp(-2239.1 / kelvin) / (oxygen + square / oxygen)
    relaxation += 0.1068 * math.exp(-3352.0 / kelvin) / (nitrogen + square / nitrogen)
    return 8.686 * square * (1.84e-11 / ratio * math.sqrt(warm) + relaxation / math.pow(warm, 2.5))


def a_weighting(frequency: float) -> float:
    r"""How much less, or more, the ear makes of a tone than of 1 kHz.

    Parameters
    ----------
    frequency : float
        10 to 20000. [Hz]

    Returns
    -------
    float
        :math:`20\log_{10}\frac{f_4^2 f^4}{(f^2+f_1^2)\sqrt{(f^2+f_2^2)(f^2+f_3^2)}(f^2+f_4^2)} + 2.00`. [dB]

    Raises
    ------
    OutOfRangeError
        If the tone is outside its range.

    Notes
    -----
    Sources: [IEC61672-1-2013]_ (formula from memory, table seen). Checked by ``tests/validation/test_sound.py``.
    """
    if not 10.0 <= frequency <= 20_000.0:
        raise OutOfRangeError("A-weighting", "frequency", frequency, "10 to 20000 Hz")
    f2 = frequency**2
    below = (f2 + _F1**2) * math.sqrt((f2 + _F2**2) * (f2 + _F3**2)) * (f2 + _F4**2)
    return 20.0 * math.log10(_F4**2 * f2**2 / below) + 2.0


def free_field(level: float, at: float, distance: float, *, air: float = 0.0) -> float:
    r"""Level in the open, away from walls.

    Parameters
    ----------
    level : float
        Stated at ``at``. [dB]
    at : float
        Distance of the stated level, over 0. [m]
    distance : float
        Over 0. [m]
    air : float
        What air takes. [dB/m]

    Returns
    -------
    float
        :math:`L(r) = L(r_0) - 20\log_{10}(r/r_0) - \alpha(r-r_0)`. [dB]

    Raises
    ------
    OutOfRangeError
        If a distance is not over 0.

    Notes
    -----
    Sources: spherical spreading, textbook. Checked by ``tests/validation/test_sound.py``.
    """
    for name, value in (("at", at), ("distance", distance)):
        if not value > 0.0:
            raise OutOfRangeError("free field", name, value, "more than 0 m")
    return level - 20.0 * math.log10(distance / at) - air * (distance - at)


def sound_power(level: float, at: float = 1.0, *, directivity: float = 2.0) -> float:
    r"""Sound power level of a source from its stated level.

    Parameters
    ----------
    level : float
        On its axis. [dB]
    at : float
        Distance of the stated level, over 0. [m]
    directivity : float
        1 in the open, 2 on a wall, 4 along an edge, 8 in a corner. [-]

    Returns
    -------
    float
        :math:`L_W = L(r_0) + 20\log_{10} r_0 + 10\log_{10}(4\pi/Q)`. [dB]

    Raises
    ------
    OutOfRangeError
        If distance or directivity is not over 0.

    Notes
    -----
    Sources: spherical spreading, textbook. Checked by ``tests/validation/test_sound.py``.
    """
    for name, value in (("at", at), ("directivity", directivity)):
        if not value > 0.0:
            raise OutOfRangeError("sound power", name, value, "more than 0")
    return level + 20.0 * math.log10(at) + 10.0 * math.log10(4.0 * math.pi / directivity)


def absorption_area(surfaces: Mapping[str, float], frequency: float, *, volume: float = 0.0, air: float = 0.0) -> float:
    r"""Equivalent absorption area of a room.

    Parameters
    ----------
    surfaces : mapping of str to float
        Area of each kind of surface, by its name in the table of surfaces. [m²]
    frequency : float
        125 to 8000. [Hz]
    volume : float
        Of the room. [m³]
    air : float
        What air takes. [dB/m]

    Returns
    -------
    float
        :math:`A = \sum S_i a_i + 4mV`, :math:`m = \alpha/4.343`. [m²]

    Notes
    -----
    Sources: Sabine, textbook; coefficients [PYROOM-MATERIALS]. Checked by ``tests/validation/test_sound.py``.
    """
    soaked = sum(area * absorption(name, frequency) for name, area in surfaces.items())
    return soaked + 4.0 * air / (10.0 / math.log(10.0)) * volume


def room_constant(absorbed: float, surface: float) -> float:
    r"""Room constant.

    Parameters
    ----------
    absorbed : float
        Equivalent absorption area, over 0 and less than ``surface``. [m²]
    surface : float
        All of the room's surface. [m²]

    Returns
    -------
    float
        :math:`R = A/(1-A/S)`. [m²]

    Raises
    ------
    OutOfRangeError
        If the room absorbs nothing, or more than it has surface.

    Notes
    -----
    Sources: diffuse field, textbook. Checked by ``tests/validation/test_sound.py``.
    """
    if not 0.0 < absorbed < surface:
        raise OutOfRangeError("room constant", "absorbed", absorbed, f"over 0 and less than {surface:g} m²")
    return absorbed / (1.0 - absorbed / surface)


def reverberation_time(
    volume: float, absorbed: float, *, surface: float | None = None, air_absorbed: float = 0.0
) -> float:
    r"""Time in which the sound in a room falls by 60 dB.

    Parameters
    ----------
    volume : float
        Of the room, over 0. [m³]
    absorbed : float
        Equivalent absorption area of its surfaces, air left out, over 0. [m²]
    surface : float, optional
        All of the room's surface: with it by Eyring, without it by Sabine. [m²]
    air_absorbed : float
        Equivalent absorption area of the air. [m²]

    Returns
    -------
    float
        :math:`0.161V/(A + 4mV)`, or :math:`0.161V/(-S\ln(1-A/S)+4mV)`. [s]

    Raises
    ------
    OutOfRangeError
        If volume or absorption is not over 0, or the absorption is not less than the surface.

    Notes
    -----
    Sources: Sabine and Eyring, textbook, from memory. Checked by ``tests/validation/test_sound.py``.
    """
    for name, value in (("volume", volume), ("absorbed", absorbed)):
        if not value > 0.0:
            raise OutOfRangeError("reverberation time", name, value, "more than 0")
    if surface is None:
        return SABINE * volume / (absorbed + air_absorbed)
    if not absorbed < surface:
        raise OutOfRangeError("reverberation time", "absorbed", absorbed, f"less than {surface:g} m²")
    return SABINE * volume / (-surface * math.log(1.0 - absorbed / surface) + air_absorbed)


def room_transfer(
    distance: float,
    constant: float,
    *,
    directivity: float = 2.0,
    in_sight: bool = True,
    build_up: float = 1.0,
    air: float = 0.0,
) -> float:
    r"""Level at a place less the sound power level of a source in the same room.

    Parameters
    ----------
    distance : float
        From source to place, over 0. [m]
    constant : float
        Room constant, over 0. [m²]
    directivity : float
        Of the source. [-]
    in_sight : bool
        Nothing stands between.
    build_up : float
        Share of the reverberant field that a short burst reaches; 1 for a steady sound. [-]
    air : float
        What air takes. [dB/m]

    Returns
    -------
    float
        :math:`10\log_{10}(Q/4\pi r^2 + 4B/R) - \alpha r`; without the first term where something stands between. [dB]

    Raises
    ------
    OutOfRangeError
        If distance or room constant is not over 0.

    Notes
    -----
    Sources: direct and reverberant field, textbook. Checked by ``tests/validation/test_sound.py``.
    """
    for name, value in (("distance", distance), ("constant", constant)):
        if not value > 0.0:
            raise OutOfRangeError("sound in a room", name, value, "more than 0")
    direct = directivity / (4.0 * math.pi * distance**2) if in_sight else 0.0
    return 10.0 * math.log10(direct + 4.0 * build_up / constant) - air * distance


def burst_build_up(length: float, decay: float) -> float:
    r"""Share of the steady reverberant field that a burst reaches before it ends.

    Parameters
    ----------
    length : float
        Of the burst. [s]
    decay : float
        Reverberation time, over 0. [s]

    Returns
    -------
    float
        :math:`1-e^{-13.8\,t/T_{60}}`. [-]

    Raises
    ------
    OutOfRangeError
        If the reverberation time is not over 0.

    Notes
    -----
    Sources: exponential build-up, the time constant T60/13.8; its use for bursts is an assumption.
    """
    if not decay > 0.0:
        raise OutOfRangeError("build-up", "decay", decay, "more than 0 s")
    return 1.0 - math.exp(-13.8 * length / decay)
