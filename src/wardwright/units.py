"""Conversions at the edges. Inside, everything is SI."""

import math

FOOT_M = 0.3048
INCH_M = 0.0254
ZERO_C_K = 273.15


def metres_from_feet(feet: float) -> float:
    """Length in metres of a length in feet (international foot, exact).

    Parameters
    ----------
    feet : float
        Length. [ft]

    Returns
    -------
    float
        Length. [m]
    """
    return feet * FOOT_M


def degrees_from_radians(angle: float) -> float:
    """Angle in degrees for a screen or a drawing.

    Parameters
    ----------
    angle : float
        Angle. [rad]

    Returns
    -------
    float
        Angle. [deg]
    """
    return math.degrees(angle)
