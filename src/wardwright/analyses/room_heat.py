"""What the warmth of a room does to the contrast of somebody in it."""

import math
from dataclasses import dataclass
from functools import cache

from wardwright.physics.thermal_contrast import STANDARD_RADIANCE, radiance_difference, walker_contrast
from wardwright.premises.fabric import Room

USUAL_C = (16.0, 24.0)
"""Range taken for a room whose temperature nobody gave (assumption). [degC]"""
LEAST_DB = -40.0
"""Where person and room look alike the margin falls without limit; it is cut here. [dB]"""
CLOTHING = (0.5, 1.0, 1.5)
"""Light, usual and heavy clothes. [clo]"""
_COLDEST, _WARMEST = -10.0, 45.0


@dataclass(frozen=True)
class Warmth:
    """Level of a walker's signal in a room against the standard target's."""

    central_db: float
    """At the middle of the room's range. [dB]"""
    low_db: float
    """Shift at the least favourable temperature of the range. [dB]"""
    high_db: float
    """Shift at the most favourable. [dB]"""


def contrast_level(room: float, clothing: float = 1.0) -> float:
    """Level of a walker's radiance difference against the standard target's.

    Parameters
    ----------
    room : float
        Temperature of the room; taken as -10 below it and as 45 above. [degC]
    clothing : float
        Of the walker. [clo]

    Returns
    -------
    float
        20 log10 of the ratio, not below -40. [dB]
    """
    return _level(round(min(max(room, _COLDEST), _WARMEST), 2), clothing)


@cache
def _level(room: float, clothing: float) -> float:
    ratio = abs(float(radiance_difference(room, walker_contrast(room, clothing)))) / STANDARD_RADIANCE
    return max(20.0 * math.log10(ratio), LEAST_DB) if ratio > 0.0 else LEAST_DB


def warmth(room: Room | None) -> Warmth:
    """What a room's temperature range means for detection in it.

    Parameters
    ----------
    room : Room or None
        The room; None for a doorway or a room nobody knows.

    Returns
    -------
    Warmth
        Central level and spread.
    """
    low_c, high_c = USUAL_C
    if room is not None:
        known = [t for t in (room.temperature_min_c, room.temperature_max_c) if t is not None]
        if len(known) == 2:
            low_c, high_c = min(known), max(known)
        elif room.temperature_max_c is not None:
            low_c, high_c = min(low_c, room.temperature_max_c), room.temperature_max_c
        elif room.temperature_min_c is not None:
            low_c, high_c = room.temperature_min_c, max(high_c, room.temperature_min_c)
    return _warmth(low_c, high_c)


@cache
def _warmth(low_c: float, high_c: float) -> Warmth:
    central = contrast_level((low_c + high_c) / 2.0)
    steps = max(1, math.ceil((high_c - low_c) / 0.25))
    # the blind temperature may lie inside the range: its ends are not enough
    levels = [contrast_level(low_c + (high_c - low_c) * i / steps) for i in range(steps + 1)]
    return Warmth(central, min(levels) - central, max(levels) - central)
