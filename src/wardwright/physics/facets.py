"""The fan of beams: facets in layers, each a pair of fingers of opposite sign."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wardwright.errors import InputError

REFERENCE_RANGE = 12.0
"""Rated range of the reference optics. [m]"""
REFERENCE_FIELD = math.radians(90.0)
"""Rated field of the reference optics. [rad]"""


@dataclass(frozen=True)
class Layer:
    """Facets that look down by the same angle."""

    depression: float
    """Angle below the horizontal of the middle of its fingers. [rad]"""
    focal_length: float
    """Of its facets. [m]"""
    area: float
    """Of one facet. [m²]"""
    azimuths: tuple[float, ...]
    """Directions of the middles of the finger pairs, anticlockwise from the boresight. [rad]"""


@dataclass(frozen=True)
class Optics:
    """A detector's lens and element pair."""

    layers: tuple[Layer, ...]
    element_width: float = 1e-3
    """Width of one element. [m]"""
    element_height: float = 2e-3
    """Height of one element. [m]"""
    element_spacing: float = 2e-3
    """Between the middles of the two elements. [m]"""
    transmission: float = 0.5
    """Of lens and window together (assumption). [-]"""


def _spread(half: float, step: float) -> tuple[float, ...]:
    """Evenly spaced azimuths from -half to half, in degrees given and radians returned."""
    count = round(2.0 * half / step)
    return tuple(math.radians(-half + step * i) for i in range(count + 1))


RD_1 = Optics(
    layers=(
        Layer(math.radians(5.2), 0.030, 1.0e-4, _spread(42.0, 10.5)),
        Layer(math.radians(11.0), 0.028, 1.0e-4, _spread(36.0, 12.0)),
        Layer(math.radians(18.0), 0.024, 0.8e-4, _spread(45.0, 15.0)),
        Layer(math.radians(28.0), 0.018, 0.7e-4, _spread(45.0, 15.0)),
        Layer(math.radians(46.0), 0.014, 0.6e-4, _spread(40.0, 20.0)),
        Layer(math.radians(65.0), 0.012, 0.5e-4, _spread(30.0, 30.0)),
    )
)
"""Reference detector: synthetic, no product. It shows shape and trends; absolute range comes from the rating."""

_SCALED = ((1.0, 30.0, 1.0, 42.0, 10.5), (2.3, 28.0, 1.0, 36.0, 12.0), (3.7, 24.0, 0.8, 45.0, 15.0),
           (6.0, 18.0, 0.7, 45.0, 15.0), (12.0, 14.0, 0.6, 40.0, 20.0))  # fmt: skip
"""Per layer: rated range over the range it serves, focal length [mm] and area [cm²] at 12 m, half fan and step [deg]
at 90 degrees."""


def rated_optics(rated_range: float, field: float, height: float, pet_height: float = 0.0) -> Optics:
    r"""Optics for a kind of which only the rated pattern is known.

    Parameters
    ----------
    rated_range : float
        Rated range R₀, 2 to 60. [m]
    field : float
        Whole rated angle on plan, 0.02 to 2π. [rad]
    height : float
        Mounting height H₀ the rating holds for, 1 to 6. [m]
    pet_height : float
        Tallest animal the kind leaves unseen; 0 where it is not pet tolerant, at most H₀ - 0.3. [m]

    Returns
    -------
    Optics
        The reference detector scaled to the rating. [-]

    Notes
    -----
    The first facet's focal length is 30 mm x R₀/12, which makes its finger about one body wide at R₀; depressions are
    :math:`\delta_j = \arctan((H_0-1.1)/r_j)` for :math:`r_j = R_0, R_0/2.3, R_0/3.7, R_0/6, R_0/12`; facets are spread
    over the rated angle. A pet tolerant lens has each layer lifted until its lower edge meets the pet's height at the
    range it serves: :math:`\delta_j + \varphi_j/2 = \arctan((H_0-h_p)/r_j)`.

    Sources: assumption, no source.
    """
    if not 2.0 <= rated_range <= 60.0:
        raise InputError(f"a rated range of {rated_range:g} m is not one of a motion detector; 2 to 60 m was expected")
    if not 0.02 <= field <= 2.0 * math.pi + 1e-9:
        raise InputError(f"a field of {math.degrees(field):.3g}° is not one of a motion detector; 1 to 360° expected")
    if not 1.0 <= height <= 6.0:
        raise InputError(f"a rated mounting height of {height:g} m was given; 1 to 6 m was expected")
    if not 0.0 <= pet_height <= height - 0.3:
        raise InputError(f"a pet {pet_height:g} m high is as high as the detector at {height:g} m")
    scale, spread = rated_range / REFERENCE_RANGE, field / REFERENCE_FIELD
    layers = []
    for divisor, focal_mm, area_cm2, half, step in _SCALED:
        focal = focal_mm * 1e-3 * scale
        served = rated_range / divisor
        finger = 2e-3 / focal
        if pet_height > 0.0:
            depression = math.atan((height - pet_height) / served) - finger / 2.0
        else:
            depression = math.atan((height - 1.1) / served)
        if math.tan(depression - finger / 2.0) * 0.3 > height:
            continue  # looks straight down behind the detector's own foot
        whole = field > math.radians(300.0)
        fan = field if whole else 2.0 * math.radians(half) * spread
        count = max(1, int(math.degrees(fan) / step + 1e-6) + (0 if whole else 1))
        if whole:
            azimuths = tuple(-math.pi + fan * (i + 0.5) / count for i in range(count))
        else:
            azimuths = tuple(fan * (i / (count - 1) - 0.5) for i in range(count)) if count > 1 else (0.0,)
        layers.append(Layer(depression, focal, area_cm2 * 1e-4, azimuths))
    return Optics(tuple(layers))


def crossing_frequency(focal_length: float, spacing: float, distance: float, speed: float, angle: float) -> float:
    r"""Frequency of the signal of somebody crossing a pair of fingers.

    Parameters
    ----------
    focal_length : float
        Of the facet. [m]
    spacing : float
        Between element middles. [m]
    distance : float
        From the detector. [m]
    speed : float
        Walking speed. [m/s]
    angle : float
        Between the path and the line of sight. [rad]

    Returns
    -------
    float
        :math:`f = F v \sin\beta / (2 s r)`: none for somebody walking straight at the detector. [Hz]

    Notes
    -----
    Sources: geometry; the dependence is seen in [FANG-2006].
    """
    return focal_length * speed * math.sin(angle) / (2.0 * spacing * distance)


def knee_range(width: float, focal_length: float, element_width: float) -> float:
    """Range beyond which a body no longer fills a finger.

    Parameters
    ----------
    width : float
        Of the body. [m]
    focal_length : float
        Of the facet. [m]
    element_width : float
        Of one element. [m]

    Returns
    -------
    float
        w F / e_w. [m]
    """
    return width * focal_length / element_width


def signed_fan(optics: Optics) -> tuple[tuple[NDArray[np.float64], NDArray[np.float64]], ...]:
    r"""Running integral over azimuth of each layer's signed fingers.

    Parameters
    ----------
    optics : Optics
        The lens. [-]

    Returns
    -------
    tuple of (ndarray, ndarray)
        Per layer: azimuths of the corners [rad] and the integral there [rad]. It runs straight in between, so the
        signed overlap of a body from azimuth a to b with all fingers of the layer is I(b) - I(a), exactly.
    """
    fans = []
    for layer in optics.layers:
        half = optics.element_width / layer.focal_length / 2.0
        shift = optics.element_spacing / layer.focal_length / 2.0
        edges: list[tuple[float, float]] = []
        for a in layer.azimuths:
            for sign in (1.0, -1.0):
                for turn in (-2.0 * math.pi, 0.0, 2.0 * math.pi):
                    middle = a + sign * shift + turn
                    edges += [(middle - half, sign), (middle + half, -sign)]
        edges.sort()
        corner = np.array([e[0] for e in edges])
        slope = np.cumsum([e[1] for e in edges])
        integral = np.concatenate([[0.0], np.cumsum(slope[:-1] * np.diff(corner))])
        # a body never reaches round behind the detector: half a turn beyond either end is enough
        inside = np.abs(corner) <= 2.0 * math.pi
        fans.append((corner[inside], integral[inside]))
    return tuple(fans)
