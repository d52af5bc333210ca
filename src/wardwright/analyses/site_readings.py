"""Readings that stand for a prediction no other analysis prints: reach of a detector, length of a cable, float voltage.

Each is put beside what was predicted without it, with what the model can explain.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from wardwright.analyses.motion_sensor import WALK_TEST, MotionSensor, motion_sensor
from wardwright.analyses.power import VOLT_SPREAD
from wardwright.analyses.readings import Compared, latest, measured_spread, measured_value
from wardwright.catalogue.kinds import Family
from wardwright.design.lengths import drawn_length, level_m, unmeasured_length
from wardwright.design.system import ProtectionScheme
from wardwright.physics.charging import float_voltage
from wardwright.physics.facets import Optics
from wardwright.physics.infrared import SIGMA, walk_arc

WALK_STEP_M = 1.0
WALK_RANGES_M = tuple(WALK_STEP_M * n for n in range(1, 41))
WALK_SPREAD_DB = 2.0 * SIGMA
"""By how much a detector may be better or worse than its kind says: twice the spread of the model. [dB]"""
LENGTH_FACTOR = 2.5
"""A cable longer than this many times the way predicted is not explained by detours. [-] Assumption."""
ROOM_C = (0.0, 35.0)
"""A charger that follows the temperature is read between these. [°C] Assumption."""


def site_readings(scheme: ProtectionScheme) -> tuple[Compared, ...]:
    """Walk tests, cable lengths and battery voltages beside what was predicted.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design with its readings.

    Returns
    -------
    tuple of Compared
        The newest reading of each quantity at each place.
    """
    return (*_walks(scheme), *_lengths(scheme), *_batteries(scheme))


def _walks(scheme: ProtectionScheme) -> Iterator[Compared]:
    """Farthest range at which somebody crossing the boresight at 1 m/s was noticed."""
    for device in scheme.of_family(Family.MOTION, Family.DUAL):
        reading = latest(scheme, WALK_TEST, device.id)
        if reading is None:
            continue
        sensor = motion_sensor(replace(scheme, readings=()), device)
        measured, spread = measured_value(reading), measured_spread(reading)
        yield Compared(
            reading.id,
            WALK_TEST,
            device.id,
            measured,
            _reach(sensor, 0.0),
            max(0.0, _reach(sensor, -WALK_SPREAD_DB) - WALK_STEP_M - spread),
            _reach(sensor, WALK_SPREAD_DB) + WALK_STEP_M + spread,
            "m",
            "walking across on the boresight at 1 m/s",
        )


def _reach(sensor: MotionSensor, more_db: float) -> float:
    """Farthest range noticed, were the detector so much better than its kind. [m]"""
    least = sensor.threshold_w * 10.0 ** (-(sensor.in_hand_db + more_db) / 20.0)
    peaks = _peaks(sensor.optics, round(sensor.height_m, 2))
    return max((r for r, peak in zip(WALK_RANGES_M, peaks, strict=True) if peak >= least), default=0.0)


@cache
def _peaks(optics: Optics, height: float) -> tuple[float, ...]:
    return tuple(walk_arc(optics, r, 1.0, height=height).peak(0.0) for r in WALK_RANGES_M)


def _lengths(scheme: ProtectionScheme) -> Iterator[Compared]:
    """A cable cannot be shorter than the straight line between its ends."""
    devices = {d.id: d for d in scheme.fitted}
    for cable in scheme.design.cables:
        reading = latest(scheme, "cable length", cable.id)
        if reading is None or cable.from_id not in devices or cable.to_id not in devices:
            continue
        first, second = devices[cable.from_id], devices[cable.to_id]
        predicted = drawn_length(cable, scheme.premises) or unmeasured_length(first, second, scheme.premises)
        rise = level_m(first, scheme.premises) - level_m(second, scheme.premises)
        straight = math.hypot(math.dist(first.position, second.position), rise)
        spread = measured_spread(reading)
        yield Compared(
            reading.id,
            "cable length",
            cable.id,
            measured_value(reading),
            predicted.metres,
            straight - spread,
            LENGTH_FACTOR * predicted.metres + spread,
            "m",
            f"predicted: {predicted.how}",
        )


def _batteries(scheme: ProtectionScheme) -> Iterator[Compared]:
    """A battery on charge shows the float voltage of its charger, more in the cold and less in the warmth."""
    for backup in scheme.design.backups:
        reading = latest(scheme, "battery voltage", backup.at)
        if reading is None:
            continue
        kind = scheme.kind_of(scheme.design.device(backup.at))
        battery = scheme.catalogue.kinds.get(backup.kind)
        stated = kind.get("output_float_v") or (battery.get("float_v") if battery else None) or 13.65
        spread = VOLT_SPREAD + measured_spread(reading)
        yield Compared(
            reading.id,
            "battery voltage",
            backup.at,
            measured_value(reading),
            stated,
            float_voltage(ROOM_C[1], at_25c=stated) - spread,
            float_voltage(ROOM_C[0], at_25c=stated) + spread,
            "V",
            "on charge",
        )
