"""The margin of one detector for one walk, by the model itself: a walk test on site, a body coming in by an opening."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.motion_sensor import motion_sensor
from wardwright.analyses.room_heat import warmth
from wardwright.analyses.sightlines import Outlook, sightlines
from wardwright.analyses.walk_lines import SWAY_M, SWAY_PERIOD_M
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.model import XY
from wardwright.physics.infrared import BODY_HEIGHT, BODY_WIDTH, SIGMA, nth_peak, walk_signal
from wardwright.physics.microwave import either_margin, joint_margin, microwave_margin, noticed_by_doppler
from wardwright.physics.thermal_contrast import STANDARD_RADIANCE
from wardwright.premises.plan import StoreyPlan

STANDING_BEFORE_S = 30.0
"""Time a body has been where a walk begins, if it was there before. [s]"""


def walk_margin(
    scheme: ProtectionScheme,
    device: Device,
    path_points: Sequence[XY],
    speed: float,
    mode: Mode,
    *,
    also_open: frozenset[str] = frozenset(),
    there_before: bool = True,
    bottom: float = 0.0,
    top: float = BODY_HEIGHT,
    width: float = BODY_WIDTH,
    sway: float = SWAY_M,
) -> float:
    """Margin of one detector for one walk, by the model itself on a fine path.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    device : Device
        A motion or dual-technology detector.
    path_points : sequence of (float, float)
        Corners of the walk, on the detector's storey. [m]
    speed : float
        Walking speed, > 0. [m/s]
    mode : Mode
        How the system is set: decides which inner doors stand open.
    also_open : frozenset of str
        Openings the walker has just come through.
    there_before : bool
        The body has stood at the first point for some time. False: it appears there, as by dropping in.
    bottom, top, width : float
        The body above the floor. [m]
    sway : float
        Sideways swing of the gait, once a metre. [m]

    Returns
    -------
    float
        Margin over the threshold, central assumption; minus infinity where nothing is noticed. [dB]
    """
    lines = sightlines(scheme.premises, device.storey_id, open_inner_doors(scheme.premises, mode), also_open=also_open)
    if lines is None or len(path_points) < 2 or speed <= 0.0:
        return -math.inf
    sensor = motion_sensor(scheme, device)
    outlook = Outlook(sensor, lines)
    step = min(5e-3, 0.01 / speed)
    x, y = _sampled(path_points, speed * step, sway)
    level = np.array([_level_at(lines.plan, px, py) for px, py in zip(x[::40], y[::40], strict=True)])
    radiance = STANDARD_RADIANCE * 10.0 ** (np.repeat(level, 40)[: len(x)] / 20.0)
    power = outlook.power(x, y, bottom=bottom, top=top, width=width) * radiance
    output = walk_signal(power, step, hold=STANDING_BEFORE_S if there_before else None, element=sensor.element)
    peak = nth_peak(output, np.ones(len(output), dtype=np.bool_), sensor.pulses)
    warm = 20.0 * math.log10(peak / sensor.threshold_w) + sensor.in_hand_db if peak > 0.0 else -math.inf
    part = sensor.microwave
    if part is None:
        return warm
    dx, dy = x - outlook.eye[0], y - outlook.eye[1]
    r = np.hypot(np.hypot(dx, dy), sensor.height_m - (bottom + top) / 2.0)
    seen = outlook.view.contains(x, y)
    radial = np.abs(np.gradient(r, step))
    off = np.mod(np.arctan2(dy, dx) - sensor.heading_rad + math.pi, 2.0 * math.pi) - math.pi
    echo = microwave_margin(
        r, rated_range=part.range_m, azimuth=off, field=part.field_rad, in_hand=sensor.in_hand_db
    )  # fmt: skip
    moving = seen & noticed_by_doppler(radial, np.full(len(r), _radial_travel(r[seen])))
    doppler = float(echo[moving].max()) if moving.any() else -math.inf
    combine = joint_margin if part.both else either_margin
    return float(combine(warm, doppler, SIGMA))


def _level_at(plan: StoreyPlan, x: float, y: float) -> float:
    return warmth(plan.room_at((x, y))).central_db


def _sampled(points: Sequence[XY], step: float, sway: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points along a path, swung sideways as people swing."""
    corner = np.array(points, dtype=np.float64)
    length = np.hypot(*np.diff(corner, axis=0).T)
    corner = corner[np.concatenate([[True], length > 0.0])]
    length = length[length > 0.0]
    if not len(length):
        return corner[:1, 0], corner[:1, 1]
    at = np.concatenate([[0.0], np.cumsum(length)])
    s = np.arange(0.0, at[-1] + step / 2.0, step)
    k = np.clip(np.searchsorted(at, s, side="right") - 1, 0, len(length) - 1)
    along = np.diff(corner, axis=0) / length[:, None]
    swing = sway * np.sin(2.0 * math.pi * s / SWAY_PERIOD_M)
    x = corner[k, 0] + (s - at[k]) * along[k, 0] - swing * along[k, 1]
    y = corner[k, 1] + (s - at[k]) * along[k, 1] + swing * along[k, 0]
    return x, y


def _radial_travel(r: NDArray[np.float64]) -> float:
    """Longest travel one way along the line of sight."""
    if not len(r):
        return 0.0
    turns = np.flatnonzero(np.diff(np.sign(np.diff(r))) != 0) + 1
    stops = np.concatenate([[0], turns, [len(r) - 1]])
    return float(np.abs(np.diff(r[stops])).max())
