"""Photo-beams: a walk is noticed where it breaks the line from sender to receiver."""

import math

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.sightlines import INTO_WALL_M, Sightlines
from wardwright.analyses.walk_lines import Walks
from wardwright.catalogue.kinds import DeviceKind
from wardwright.design.devices import Device
from wardwright.geometry.visibility import visible
from wardwright.physics.infrared import BODY_HEIGHT

BROKEN_DB = 20.0
"""Margin of a body that breaks a beam: its light goes out altogether (assumption). [dB]"""
HALF_BODY_M = 0.15
"""A beam is broken by a body whose middle passes this near (assumption). [m]"""


def beam_line(device: Device, kind: DeviceKind, lines: Sightlines) -> tuple[tuple[float, float], float] | None:
    """Where a beam starts and how far it goes.

    Parameters
    ----------
    device : Device
        The sender; it looks along its heading.
    kind : DeviceKind
        Its kind: ``range_m``.
    lines : Sightlines
        Its storey.

    Returns
    -------
    tuple or None
        Start [m] and length [m]: to the rated range or the first wall. None where the sender is not on free floor.
    """
    cos, sin = math.cos(device.heading_rad), math.sin(device.heading_rad)
    for ahead in np.arange(0.01, INTO_WALL_M, 0.02):
        start = (device.position[0] + float(ahead) * cos, device.position[1] + float(ahead) * sin)
        if lines.scene.holds(start):
            length = float(visible(lines.scene, start).depth(device.heading_rad))
            return start, min(length, kind.need("range_m"))
    return None


def beam_margins(device: Device, kind: DeviceKind, lines: Sightlines, walks: tuple[Walks, ...]) -> NDArray[np.float32]:
    """Margins of a beam for walks through each cell, whatever their speed.

    Parameters
    ----------
    device : Device
        The sender.
    kind : DeviceKind
        Its kind.
    lines : Sightlines
        Its storey.
    walks : tuple of Walks
        The walks.

    Returns
    -------
    ndarray
        Shape (headings, ny, nx); minus infinity where the walk does not break the beam, or where the beam runs above
        the head. [dB]
    """
    half = sum(len(walk.heading_rad) for walk in walks)
    margins = np.full((2 * half, *walks[0].cell.shape[1:]), -np.inf, dtype=np.float32)
    line = beam_line(device, kind, lines)
    if line is None or not 0.0 < device.height_m < BODY_HEIGHT - 0.1:
        return margins
    (sx, sy), length = line
    cos, sin = math.cos(device.heading_rad), math.sin(device.heading_rad)
    for walk in walks:
        along = (walk.x - sx) * cos + (walk.y - sy) * sin
        across = (walk.y - sy) * cos - (walk.x - sx) * sin
        hit = (np.abs(across) <= HALF_BODY_M) & (along >= 0.0) & (along <= length)
        count = np.concatenate([[0], np.cumsum(hit)])
        at = walk.cell
        low = np.maximum(at - walk.lay.half, walk.run_start[at])
        high = np.minimum(at + walk.lay.half + 1, walk.run_end[at])
        broken = (at >= 0) & (count[high] > count[low])
        k, iy, ix = np.nonzero(broken)
        margins[k + walk.first, iy, ix] = BROKEN_DB
        margins[k + walk.first + half, iy, ix] = BROKEN_DB
    return margins
