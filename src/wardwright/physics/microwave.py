"""Microwave Doppler detection, what partitions cost it, and what two technologies that must both act are worth."""

import cmath
import math

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

from wardwright.errors import OutOfRangeError

LIGHT_SPEED = 299_792_458.0
"""Speed of light. [m/s]"""
VACUUM_PERMITTIVITY = 8.854e-12
"""Permittivity of vacuum. [F/m]"""

LEAST_RADIAL_SPEED = 0.1
"""Slower movement along the line of sight is not noticed (assumption). [m/s]"""
LEAST_RADIAL_TRAVEL = 0.2
"""Less travel along the line of sight is not noticed. [m]"""

MATERIALS: dict[str, tuple[float, float, float]] = {
    "concrete": (5.31, 0.0326, 0.8095),
    "brick": (3.75, 0.038, 0.0),
    "plasterboard": (2.94, 0.0116, 0.7076),
    "timber": (1.99, 0.0047, 1.0718),
    "glass": (6.27, 0.0043, 1.1925),
    "chipboard": (2.58, 0.0217, 0.78),
}
"""Relative permittivity [-], conductivity at 1 GHz [S/m] and its exponent of frequency in GHz [-]. Dry material."""


def doppler_shift(speed: ArrayLike, angle: ArrayLike, frequency: float) -> NDArray[np.float64]:
    r"""Frequency of the echo's beat.

    Parameters
    ----------
    speed : array_like
        Walking speed. [m/s]
    angle : array_like
        Between the path and the line of sight. [rad]
    frequency : float
        Carrier, 1e9 to 1e11. [Hz]

    Returns
    -------
    ndarray
        :math:`f_D = 2 v \cos\theta\, f_0/c`. [Hz]

    Notes
    -----
    Sources: textbook; carriers in [CFR47-15.245].
    """
    if not 1e9 <= frequency <= 1e11:
        raise OutOfRangeError("Doppler shift", "frequency", frequency, "1e9 to 1e11 Hz")
    return np.asarray(2.0 * np.asarray(speed) * np.cos(angle) * frequency / LIGHT_SPEED)


def echo_power(power: float, gain: float, frequency: float, cross_section: float, distance: float) -> float:
    r"""Power that comes back from a target in the open.

    Parameters
    ----------
    power : float
        Sent. [W]
    gain : float
        Of the antenna, one way, as a ratio. [-]
    frequency : float
        Carrier. [Hz]
    cross_section : float
        Radar cross-section of the target. [m²]
    distance : float
        To it, > 0. [m]

    Returns
    -------
    float
        :math:`P_r = P_t G^2\lambda^2\sigma/((4\pi)^3 r^4)`. [W]

    Notes
    -----
    Sources: the radar equation, textbook.
    """
    wavelength = LIGHT_SPEED / frequency
    return power * gain**2 * wavelength**2 * cross_section / ((4.0 * math.pi) ** 3 * distance**4)


def microwave_margin(
    distance: ArrayLike,
    *,
    rated_range: float,
    azimuth: ArrayLike = 0.0,
    elevation: ArrayLike = 0.0,
    field: float | None = None,
    cross_section: float = 1.0,
    loss: float = 0.0,
    in_hand: float = 0.0,
) -> NDArray[np.float64]:
    r"""Margin of the echo of somebody moving along the line of sight.

    Parameters
    ----------
    distance : array_like
        To the person, > 0. [m]
    rated_range : float
        Rated reach for a person walking straight in. [m]
    azimuth, elevation : array_like
        From the boresight. [rad]
    field : float, optional
        Full angle between half-power directions, the same in both planes; None: no fall-off. [rad]
    cross_section : float
        Of the person: 0.5 to 1.2 m² were measured at 9.4 GHz. [m²]
    loss : float
        Of partitions, there and back. [dB]
    in_hand : float
        Margin in hand at the rated range. [dB]

    Returns
    -------
    ndarray
        :math:`M = 40\log_{10}(R_0/r) + 10\log_{10}\sigma + G_2 - L + M_{cal}`, with the two-way pattern
        :math:`G_2 = -6\,[(\alpha/\alpha_h)^2+(\epsilon/\alpha_h)^2]` dB, :math:`\alpha_h` half the field. [dB]

    Notes
    -----
    Sources: the radar equation; cross-sections [SCHULTZ-1958]; the shape of the pattern is an assumption.
    """
    r = np.maximum(np.asarray(distance, dtype=np.float64), 0.3)
    pattern = 0.0 if field is None else (np.square(azimuth) + np.square(elevation)) * (-6.0 / (field / 2.0) ** 2)
    return np.asarray(40.0 * np.log10(rated_range / r) + 10.0 * math.log10(cross_section) + pattern - loss + in_hand)


def noticed_by_doppler(radial_speed: ArrayLike, radial_travel: ArrayLike) -> NDArray[np.bool_]:
    """Whether a movement has enough along the line of sight to be told from none.

    Parameters
    ----------
    radial_speed : array_like
        Largest speed along the line of sight. [m/s]
    radial_travel : array_like
        Travel along it, one way. [m]

    Returns
    -------
    ndarray of bool
        At least 0.1 m/s and 0.2 m. [-]

    Notes
    -----
    Sources: no alarm for under 0.2 m [GOST-50659]; the least speed is an assumption.
    """
    return (np.abs(radial_speed) >= LEAST_RADIAL_SPEED) & (np.asarray(radial_travel) >= LEAST_RADIAL_TRAVEL)


def sheet_loss(material: str, thickness: float, frequency: float) -> float:
    r"""Loss of a sheet of material in air, straight through.

    Parameters
    ----------
    material : str
        One of :data:`MATERIALS`. [-]
    thickness : float
        Of the sheet, > 0. [m]
    frequency : float
        1e9 to 1e11. [Hz]

    Returns
    -------
    float
        :math:`-20\log_{10}|T|`, :math:`T = (1-\rho^2)e^{-jq}/(1-\rho^2 e^{-2jq})`,
        :math:`\rho = (1-n)/(1+n)`, :math:`n = \sqrt{\varepsilon_r - j\sigma/(2\pi f\varepsilon_0)}`,
        :math:`q = 2\pi f n d/c`. [dB]

    Notes
    -----
    Sources: [ITU-P2040] (values at 9 GHz seen, coefficients from memory).
    """
    if not 1e9 <= frequency <= 1e11:
        raise OutOfRangeError("sheet loss", "frequency", frequency, "1e9 to 1e11 Hz")
    permittivity, conductivity, exponent = MATERIALS[material]
    sigma = conductivity * (frequency / 1e9) ** exponent
    n = cmath.sqrt(permittivity - 1j * sigma / (2.0 * math.pi * frequency * VACUUM_PERMITTIVITY))
    rho2 = ((1.0 - n) / (1.0 + n)) ** 2
    q = 2.0 * math.pi * frequency * n * thickness / LIGHT_SPEED
    return -20.0 * math.log10(abs((1.0 - rho2) * cmath.exp(-1j * q) / (1.0 - rho2 * cmath.exp(-2j * q))))


def range_ratio(cross_section: float, reference: float, loss: float = 0.0) -> float:
    r"""How much farther or less far a target is noticed than a reference target.

    Parameters
    ----------
    cross_section, reference : float
        Radar cross-sections. [m²]
    loss : float
        Of partitions, there and back. [dB]

    Returns
    -------
    float
        :math:`(\sigma/\sigma_0)^{1/4}\,10^{-L/40}`. [-]

    Notes
    -----
    Sources: the radar equation.
    """
    return float((cross_section / reference) ** 0.25 * 10.0 ** (-loss / 40.0))


def both_act(a: float, b: float, correlation: float = 0.0) -> float:
    r"""Probability that two technologies both act.

    Parameters
    ----------
    a, b : float
        Probabilities that each does. [-]
    correlation : float
        Between the two, -1 to 1. [-]

    Returns
    -------
    float
        :math:`P_A P_B + \rho\sqrt{P_A(1-P_A)P_B(1-P_B)}`, kept within what is possible. [-]

    Notes
    -----
    Sources: correlation of two events, textbook.
    """
    joint = a * b + correlation * math.sqrt(a * (1.0 - a) * b * (1.0 - b))
    return min(max(joint, a + b - 1.0, 0.0), a, b)


def accidental_rate(a: float, b: float, window_a: float, window_b: float, common: float = 0.0) -> float:
    r"""False alarms of a unit both of whose technologies must act.

    Parameters
    ----------
    a, b : float
        False trips of each. [1/s]
    window_a, window_b : float
        Time each trip is held for the other. [s]
    common : float
        Events that trip both. [1/s]

    Returns
    -------
    float
        :math:`\lambda_A\lambda_B(\tau_A+\tau_B)+\lambda_{common}`. [1/s]

    Notes
    -----
    Sources: coincidence of two Poisson processes, textbook.
    """
    return a * b * (window_a + window_b) + common


def joint_margin(a: ArrayLike, b: ArrayLike, sigma: float) -> NDArray[np.float64]:
    r"""One margin that stands for two technologies that must both act, independent given the path.

    Parameters
    ----------
    a, b : array_like
        Margins of the two. [dB]
    sigma : float
        Spread of each. [dB]

    Returns
    -------
    ndarray
        :math:`\sigma\,\Phi^{-1}(\Phi(a/\sigma)\,\Phi(b/\sigma))`: the margin whose probability is the product. [dB]

    Notes
    -----
    Sources: definition of the margin's probability (assumption).
    """
    joint = ndtr(np.asarray(a, dtype=np.float64) / sigma) * ndtr(np.asarray(b, dtype=np.float64) / sigma)
    return np.asarray(sigma * ndtri(joint))


def either_margin(a: ArrayLike, b: ArrayLike, sigma: float) -> NDArray[np.float64]:
    r"""One margin that stands for two technologies of which one is enough, independent given the path.

    Parameters
    ----------
    a, b : array_like
        Margins of the two. [dB]
    sigma : float
        Spread of each. [dB]

    Returns
    -------
    ndarray
        :math:`-\sigma\,\Phi^{-1}(\Phi(-a/\sigma)\,\Phi(-b/\sigma))`. [dB]

    Notes
    -----
    Sources: definition of the margin's probability (assumption).
    """
    return -joint_margin(-np.asarray(a, dtype=np.float64), -np.asarray(b, dtype=np.float64), sigma)
