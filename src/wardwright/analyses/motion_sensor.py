"""A placed motion detector as the physics needs it: optics, threshold, height, direction, its microwave part."""

import math
from dataclasses import dataclass
from functools import cache
from typing import Final, Literal

from wardwright.analyses.readings import latest, measured_value
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.physics.facets import Optics, rated_optics
from wardwright.physics.infrared import rated_threshold, walk_arc
from wardwright.physics.pyroelectric import REFERENCE, Response

WALK_TEST: Final = "walk test range"
BLIND_DB = -99.0
"""Margin of a detector whose walk test found that it notices nobody. [dB]"""


@dataclass(frozen=True)
class Microwave:
    """Microwave part of a dual-technology detector."""

    range_m: float
    field_rad: float
    both: bool
    """Both technologies must act; otherwise either will do."""


@dataclass(frozen=True)
class MotionSensor:
    """What decides where a placed detector notices somebody."""

    device_id: str
    storey_id: str
    position: tuple[float, float]
    height_m: float
    heading_rad: float
    optics: Optics
    threshold_w: float
    """That just reproduces the rating. [W]"""
    in_hand_db: float
    """Margin in hand over the rating. [dB]"""
    in_hand_from: Literal["walk test", "setting", "catalogue", "nothing"]
    pulses: int
    microwave: Microwave | None
    element: Response = REFERENCE


def motion_sensor(scheme: ProtectionScheme, device: Device) -> MotionSensor:
    """A placed detector with its kind's figures, its own settings, and what was measured on site.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design with its catalogue and readings.
    device : Device
        A motion or dual-technology detector.

    Returns
    -------
    MotionSensor
        Its optics and threshold.

    Raises
    ------
    InputError
        If its kind lacks range, field or rated height, or they cannot be a motion detector's.
    """
    kind = scheme.kind_of(device)
    rated_range, field, height = kind.need("range_m"), kind.need("field_rad"), kind.need("rated_height_m")
    delivered = int(kind.get("pulse_count") or 1)
    pet = kind.get("pet_height_m") or 0.0
    optics = _optics(rated_range, field, height, pet if kind.words.get("optic") == "pet tolerant" else 0.0)
    threshold = rated_threshold(optics, rated_range, field, height, delivered)
    in_hand, said_by = _in_hand(scheme, device, kind, optics, threshold)
    return MotionSensor(
        device_id=device.id,
        storey_id=device.storey_id,
        position=device.position,
        height_m=device.height_m,
        heading_rad=device.heading_rad,
        optics=optics,
        threshold_w=threshold,
        in_hand_db=in_hand,
        in_hand_from=said_by,
        pulses=max(1, int(device.settings.get("pulse_count", delivered))),
        microwave=_microwave(kind, rated_range, field),
    )


_optics = cache(rated_optics)


def _in_hand(
    scheme: ProtectionScheme, device: Device, kind: DeviceKind, optics: Optics, threshold: float
) -> tuple[float, Literal["walk test", "setting", "catalogue", "nothing"]]:
    """Margin over the rating: a walk test overrules a setting, a setting the catalogue."""
    test = latest(scheme, WALK_TEST, device.id)
    if test is not None:
        if not (reached := measured_value(test)) > 0.0:
            return BLIND_DB, "walk test"
        # walking across on the boresight at the farthest range noticed is, by definition, just noticed
        peak = walk_arc(optics, reached, 1.0, height=device.height_m).peak(0.0)
        if peak > 0.0:
            return -20.0 * math.log10(peak / threshold), "walk test"
    if "m_cal_db" in device.settings:
        return device.settings["m_cal_db"], "setting"
    declared = kind.get("calibration_db")
    return (declared, "catalogue") if declared is not None else (0.0, "nothing")


def _microwave(kind: DeviceKind, rated_range: float, field: float) -> Microwave | None:
    if kind.family is not Family.DUAL:
        return None
    return Microwave(
        range_m=kind.get("microwave_range_m", rated_range) or rated_range,
        field_rad=kind.get("microwave_field_rad", field) or field,
        both=kind.words.get("logic", "both") == "both",
    )
