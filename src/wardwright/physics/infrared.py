"""Passive infrared detection: the signal a body makes on its way through the beams, and its margin.

Azimuths are taken from the detector's boresight, heights from the floor. The small-angle solid angle, without a cosine
of elevation, is part of the model's definition: the calibration divides it out.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from wardwright.errors import InputError
from wardwright.physics.facets import Optics, signed_fan
from wardwright.physics.pyroelectric import REFERENCE, Response, filtered
from wardwright.physics.thermal_contrast import STANDARD_RADIANCE

BODY_WIDTH = 0.45
"""Of the standard target. [m]"""
BODY_HEIGHT = 1.75
"""Of the standard target. [m]"""
SIGMA = 4.0
"""Spread of the margin from walker to walker (assumption). [dB]"""
NEAREST = 0.05
"""A body is never taken nearer than this: it would stand in the detector. [m]"""

Track = NDArray[np.float64]


def received_power(
    optics: Optics,
    azimuth: Track,
    distance: Track,
    *,
    height: float,
    width: float = BODY_WIDTH,
    bottom: Track | float = 0.0,
    top: Track | float = BODY_HEIGHT,
    radiance: Track | float = STANDARD_RADIANCE,
) -> NDArray[np.float64]:
    r"""Signed power a body puts on the element pair.

    Parameters
    ----------
    optics : Optics
        The lens. [-]
    azimuth : ndarray
        Of the body's middle from the boresight. [rad]
    distance : ndarray
        On plan. [m]
    height : float
        Of the detector above the floor. [m]
    width : float
        Of the body. [m]
    bottom, top : ndarray or float
        Heights between which the body is in sight; furniture raises the lower one. [m]
    radiance : ndarray or float
        Radiance difference between body and background. [W/(m² sr)]

    Returns
    -------
    ndarray
        :math:`P = \sum_{layers}\sum_{facets}\sum_{g=\pm1} g\,\tau A\,\Delta L\,o_{el}\,o_{az}`, with :math:`o` the
        overlap of body and finger in elevation and azimuth. [W]

    Notes
    -----
    The element of positive sign is at the larger azimuth. Sources: structure as in [MUKHOPADHYAY-2018] and
    [SENSORS-2018-604]; the equation itself is an assumption.
    """
    r = np.maximum(distance, NEAREST)
    half = np.arctan(width / (2.0 * r))
    a = np.mod(azimuth + math.pi, 2.0 * math.pi) - math.pi
    low, high = np.arctan((bottom - height) / r), np.arctan((top - height) / r)
    total = np.zeros(np.broadcast(a, r, low, high).shape)
    for layer, (corner, integral) in zip(optics.layers, signed_fan(optics), strict=True):
        finger = optics.element_height / layer.focal_length
        foot = -layer.depression - finger / 2.0
        across = np.interp(a + half, corner, integral) - np.interp(a - half, corner, integral)
        upright = np.clip(np.maximum(high, low) - foot, 0.0, finger) - np.clip(low - foot, 0.0, finger)
        total += layer.area * across * upright
    return np.asarray(optics.transmission * radiance * total)


def walk_signal(
    power: NDArray[np.float64], step: float, *, hold: float | None = None, element: Response = REFERENCE
) -> NDArray[np.float64]:
    """Output of element and amplifier for a walk.

    Parameters
    ----------
    power : ndarray
        Received power along the walk. [W]
    step : float
        Sampling interval. [s]
    hold : float, optional
        Time the body stands still before and after, the element settled to it. None: nobody is there before. [s]
    element : Response
        Element and amplifier. [-]

    Returns
    -------
    ndarray
        Output along the walk, as equivalent power. [W]
    """
    if hold is None:
        return filtered(power, step, element)
    count = math.ceil(hold / step)
    change = power - power[..., :1]
    still = [(0, 0)] * (power.ndim - 1) + [(count, count)]
    return filtered(np.pad(change, still, mode="edge"), step, element)[..., count : count + power.shape[-1]]


def nth_peak(output: NDArray[np.float64], inside: NDArray[np.bool_], pulses: int = 1) -> float:
    """Height of the weakest of the pulses a detector waits for.

    Parameters
    ----------
    output : ndarray
        Output along the walk. [W]
    inside : ndarray of bool
        Where the walk is assessed. [-]
    pulses : int
        How many pulses of alternating polarity it counts before it trips. [-]

    Returns
    -------
    float
        The ``pulses``-th largest peak of alternating polarity, 0 where there are fewer. [W]
    """
    held = output[inside]
    if not held.size:
        return 0.0
    if pulses <= 1:
        return float(np.abs(held).max())
    turns = np.flatnonzero(np.diff(np.sign(held)) != 0) + 1
    peaks = sorted((float(np.abs(part).max()) for part in np.split(held, turns)), reverse=True)
    return peaks[pulses - 1] if len(peaks) >= pulses else 0.0


def margin(peak: float, threshold: float) -> float:
    """Margin of a signal over the threshold.

    Parameters
    ----------
    peak : float
        Largest output. [W]
    threshold : float
        Output at which the detector trips. [W]

    Returns
    -------
    float
        20 log10(peak / threshold); minus infinity for no signal. [dB]
    """
    return 20.0 * math.log10(peak / threshold) if peak > 0.0 else -math.inf


@dataclass(frozen=True)
class ArcWalk:
    """A walk along an arc about the detector, from -70° to +70°, assessed in parts."""

    azimuth: NDArray[np.float64]
    """[rad]"""
    distance: float
    """[m]"""
    power: NDArray[np.float64]
    """[W]"""
    output: NDArray[np.float64]
    """[W]"""

    def assessed(self, azimuth: float, stretch: float = 3.0) -> NDArray[np.bool_]:
        """Samples within a stretch of path centred on an azimuth.

        Parameters
        ----------
        azimuth : float
            Middle of the stretch. [rad]
        stretch : float
            Its length; at most 90° of the arc. [m]

        Returns
        -------
        ndarray of bool
            Which samples count. [-]
        """
        half = min(math.radians(45.0), stretch / 2.0 / self.distance)
        return np.abs(self.azimuth - azimuth) <= half

    def peak(self, azimuth: float, stretch: float = 3.0, pulses: int = 1) -> float:
        """Peak of the output within a stretch.

        Parameters
        ----------
        azimuth : float
            Middle of the stretch. [rad]
        stretch : float
            Its length. [m]
        pulses : int
            Pulses counted. [-]

        Returns
        -------
        float
            The peak. [W]
        """
        return nth_peak(self.output, self.assessed(azimuth, stretch), pulses)


def walk_arc(
    optics: Optics,
    distance: float,
    speed: float,
    *,
    height: float,
    width: float = BODY_WIDTH,
    bottom: float = 0.0,
    top: float = BODY_HEIGHT,
    radiance: float = STANDARD_RADIANCE,
    half_arc: float = math.radians(70.0),
    element: Response = REFERENCE,
) -> ArcWalk:
    """Walk along an arc about the detector, azimuth growing, nobody there before.

    Parameters
    ----------
    optics : Optics
        The lens. [-]
    distance : float
        Radius on plan. [m]
    speed : float
        Walking speed. [m/s]
    height : float
        Of the detector. [m]
    width, bottom, top : float
        The body, as far as it is in sight. [m]
    radiance : float
        Radiance difference. [W/(m² sr)]
    half_arc : float
        The walk runs from minus to plus this azimuth. [rad]
    element : Response
        Element and amplifier. [-]

    Returns
    -------
    ArcWalk
        Power and output along the arc. [-]
    """
    duration = 2.0 * half_arc * distance / speed
    step = min(5e-3, duration / 20_000.0)
    t = np.arange(0.0, duration + step / 2.0, step)
    azimuth = -half_arc + speed * t / distance
    power = received_power(
        optics, azimuth, np.full_like(azimuth, distance), height=height, width=width, bottom=bottom, top=top,
        radiance=radiance,
    )  # fmt: skip
    return ArcWalk(azimuth, distance, power, walk_signal(power, step, element=element))


@cache
def rated_threshold(
    optics: Optics, rated_range: float, field: float, height: float, pulses: int = 1, element: Response = REFERENCE
) -> float:
    r"""Threshold that makes the rated pattern come out at the standard walk test.

    Parameters
    ----------
    optics : Optics
        The lens. [-]
    rated_range : float
        Rated range. [m]
    field : float
        Whole rated angle on plan. [rad]
    height : float
        Mounting height the rating holds for. [m]
    pulses : int
        Pulses the detector counts as delivered. [-]
    element : Response
        Element and amplifier. [-]

    Returns
    -------
    float
        Least peak over the tracks at 0, ±15, ±30 degrees and the edges of the field. [W]

    Notes
    -----
    Standard target (0.45 m wide, 0 to 1.75 m, 3.5 K over 20 °C, emissivity 0.90) walking across at 1 m/s, 3 m of path
    assessed (EN 50131-2-2, from memory). A margin in hand divides the threshold further: see :func:`threshold_with`.
    """
    half = field / 2.0
    tracks = [t for t in map(math.radians, (0.0, 15.0, -15.0, 30.0, -30.0)) if abs(t) <= half + 1e-9]
    if half < math.radians(175.0):
        tracks += [half, -half]
    arc = max(math.radians(70.0), min(half + math.radians(25.0), math.pi))
    walk = walk_arc(optics, rated_range, 1.0, height=height, half_arc=arc, element=element)
    least = min(walk.peak(track, pulses=pulses) for track in tracks)
    if least <= 0.0 and pulses > 1:
        least = min(walk.peak(track) for track in tracks)
    if least <= 0.0:
        raise InputError(
            f"optics rated {rated_range:g} m and {math.degrees(field):.0f}° at {height:g} m see nobody at that range"
        )
    return least


def lowest_visible(
    height: float, obstacle_height: float, obstacle_distance: float, distance: Track
) -> NDArray[np.float64]:
    """Lowest point of a body in sight behind an obstacle.

    Parameters
    ----------
    height : float
        Of the detector. [m]
    obstacle_height : float
        Top of the obstacle. [m]
    obstacle_distance : float
        Of the edge that hides most. [m]
    distance : ndarray
        Of the body; nothing is hidden in front of the obstacle. [m]

    Returns
    -------
    ndarray
        max(0, H - (H - h) r / r_o) for r > r_o. [m]
    """
    hidden = height - (height - obstacle_height) * distance / obstacle_distance
    return np.where(distance > obstacle_distance, np.maximum(0.0, hidden), 0.0)
