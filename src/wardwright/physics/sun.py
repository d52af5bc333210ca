"""Where the sun stands, and what a patch of it does to a floor in a second."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wardwright.errors import OutOfRangeError

EFFUSIVITY = {"carpet": 150.0, "boards": 400.0, "plaster": 800.0, "tile": 1800.0}
"""Thermal effusivity of a surface. From memory. [W s^0.5/(m² K)]"""
SUN_PATCH = 300.0
"""What a floor takes up of the sun through a window. Assumption. [W/m²]"""


def solar_coordinates(day: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Declination of the sun, and by how much a sundial is ahead of the mean sun.

    Parameters
    ----------
    day : array_like
        Since noon UTC of 1 January 2000, -73 000 to 73 000. [d]

    Returns
    -------
    declination : ndarray
        North positive. [rad]
    equation : ndarray
        Equation of time: sun time less mean time. [h]

    Raises
    ------
    OutOfRangeError
        If the day is more than two centuries from 2000.

    Notes
    -----
    :math:`g=357.529+0.98560028D,\ q=280.459+0.98564736D,\ L=q+1.915\sin g+0.020\sin2g,\ e=23.439-3.6\times10^{-7}D`,
    :math:`\tan\alpha=\cos e\tan L,\ \sin\delta=\sin e\sin L,\ E=(q-\alpha)/15`. Good to about an arcminute.

    Sources: [USNO-SUN]. Checked by ``tests/validation/test_sun.py``.
    """
    d = np.asarray(day, dtype=np.float64)
    if np.any(np.abs(d) > 73_000.0):
        raise OutOfRangeError("sun", "day", float(np.abs(d).max()), "within two centuries of 2000")
    g = np.radians(357.529 + 0.98560028 * d)
    q = 280.459 + 0.98564736 * d
    along = np.radians(q + 1.915 * np.sin(g) + 0.020 * np.sin(2.0 * g))
    tilt = np.radians(23.439 - 3.6e-7 * d)
    ascension = np.degrees(np.arctan2(np.cos(tilt) * np.sin(along), np.cos(along)))
    equation = (np.mod(q - ascension + 180.0, 360.0) - 180.0) / 15.0
    return np.arcsin(np.sin(tilt) * np.sin(along)), np.asarray(equation)


def sun_direction(
    latitude: float, declination: ArrayLike, hour: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Where the sun stands in the sky.

    Parameters
    ----------
    latitude : float
        Of the site, -90 to 90, north positive. [°]
    declination : array_like
        Of the sun. [rad]
    hour : array_like
        Sun time: 12 when the sun stands highest. [h]

    Returns
    -------
    azimuth : ndarray
        From true north, clockwise. [rad]
    elevation : ndarray
        Above a level horizon, refraction left out. [rad]

    Raises
    ------
    OutOfRangeError
        If the latitude is outside its range.

    Notes
    -----
    :math:`\sin h=\sin\varphi\sin\delta+\cos\varphi\cos\delta\cos H`,
    :math:`\tan A=\dfrac{-\cos\delta\sin H}{\cos\varphi\sin\delta-\sin\varphi\cos\delta\cos H}`, :math:`H=15(t-12)`.

    Sources: spherical trigonometry, textbook. Checked by ``tests/validation/test_sun.py``.
    """
    if not -90.0 <= latitude <= 90.0:
        raise OutOfRangeError("sun", "latitude", latitude, "-90 to 90 degrees")
    phi, delta = math.radians(latitude), np.asarray(declination, dtype=np.float64)
    turned = np.radians(15.0 * (np.asarray(hour, dtype=np.float64) - 12.0))
    up = math.sin(phi) * np.sin(delta) + math.cos(phi) * np.cos(delta) * np.cos(turned)
    east = -np.cos(delta) * np.sin(turned)
    north = math.cos(phi) * np.sin(delta) - math.sin(phi) * np.cos(delta) * np.cos(turned)
    return np.mod(np.arctan2(east, north), 2.0 * math.pi), np.arcsin(np.clip(up, -1.0, 1.0))


def surface_rise(flux: float, time: float, effusivity: float) -> float:
    r"""How much a thick surface warms after the sun first falls on it.

    Parameters
    ----------
    flux : float
        Taken up by the surface, 0 or more. [W/m²]
    time : float
        Since it began, 0 or more. [s]
    effusivity : float
        Of the surface, over 0; see :data:`EFFUSIVITY`. [W s^0.5/(m² K)]

    Returns
    -------
    float
        :math:`\Delta T = \dfrac{2q}{e}\sqrt{t/\pi}`. [K]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: half-space under a step of heat, textbook. Checked by ``tests/validation/test_sun.py``.
    """
    if not (flux >= 0.0 and time >= 0.0 and effusivity > 0.0):
        raise OutOfRangeError("surface rise", "flux, time, effusivity", flux, "0 or more, effusivity over 0")
    return 2.0 * flux / effusivity * math.sqrt(time / math.pi)
