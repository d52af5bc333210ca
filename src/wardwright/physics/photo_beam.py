"""Photo-beams: how long a body breaks one, and what fog leaves of its light."""

import math

from wardwright.errors import OutOfRangeError

NEAR_INFRARED_M = 940e-9
"""Wavelength of a usual beam. Common practice, no source. [m]"""


def block_time(width: float, speed: float) -> float:
    r"""Time for which a body breaks a beam that it crosses.

    Parameters
    ----------
    width : float
        Of the body, over 0. [m]
    speed : float
        Over 0. [m/s]

    Returns
    -------
    float
        :math:`w/v`. [s]

    Raises
    ------
    OutOfRangeError
        If width or speed is not over 0.

    Notes
    -----
    Sources: geometry. Checked by ``tests/validation/test_beams_and_shock.py``.
    """
    for name, value in (("width", width), ("speed", speed)):
        if not value > 0.0:
            raise OutOfRangeError("beam", name, value, "more than 0")
    return width / speed


def fog_loss(visibility: float, wavelength: float = NEAR_INFRARED_M) -> float:
    r"""What fog takes from a beam.

    Parameters
    ----------
    visibility : float
        20 to 6000. [m]
    wavelength : float
        4e-7 to 2e-6. [m]

    Returns
    -------
    float
        :math:`4.343\,(3.912/V)(\lambda/0.55\,\mu m)^{-q}`, :math:`q = 0.585V^{1/3}`, V in km. [dB/km]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: Kruse's form, from memory. Checked by ``tests/validation/test_beams_and_shock.py``.
    """
    if not 20.0 <= visibility <= 6000.0:
        raise OutOfRangeError("fog", "visibility", visibility, "20 to 6000 m")
    if not 4e-7 <= wavelength <= 2e-6:
        raise OutOfRangeError("fog", "wavelength", wavelength, "4e-7 to 2e-6 m")
    km = visibility / 1000.0
    return 4.343 * 3.912 / km * math.pow(wavelength / 0.55e-6, -0.585 * math.cbrt(km))


def excess_gain(rated_gain: float, rated_length: float, length: float, loss: float = 0.0) -> float:
    r"""Signal of a beam over the least that works.

    Parameters
    ----------
    rated_gain : float
        At the rated length, over 0. [-]
    rated_length, length : float
        Over 0. [m]
    loss : float
        Of fog. [dB/km]

    Returns
    -------
    float
        :math:`G_0(R_0/R)^2 10^{-\alpha R/10}`. [-]

    Raises
    ------
    OutOfRangeError
        If gain or a length is not over 0.

    Notes
    -----
    Sources: spreading of a beam, textbook. Checked by ``tests/validation/test_beams_and_shock.py``.
    """
    for name, value in (("rated_gain", rated_gain), ("rated_length", rated_length), ("length", length)):
        if not value > 0.0:
            raise OutOfRangeError("beam", name, value, "more than 0")
    return rated_gain * (rated_length / length) ** 2 * math.pow(10.0, -loss * length / 1e4)
