"""Photo-beams where they stand: length, what is left in fog and dirt, who breaks them, what hangs in their way."""

import math
from dataclasses import dataclass

from shapely import LineString, Point, Polygon

from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.model import XY
from wardwright.physics.photo_beam import block_time, excess_gain, fog_loss
from wardwright.premises.plan import storey_plans

BODY_M = 0.3
"""Width of a body across a beam. Assumption. [m]"""
DENSE_FOG_M = 50.0
"""Visibility that an outdoor beam should stand. Assumption. [m]"""
DIRT = 2.0
"""Gain lost to dirt on the lenses between visits. Assumption. [-]"""
ON_WALL_M = 0.15
CLEAR_RADII = 2.0
"""So many radii of the bundle round the beam stay clear. Assumption. [-]"""


@dataclass(frozen=True)
class BeamReserve:
    """One beam."""

    device_id: str
    length_m: float
    outdoors: bool
    gain: float
    """Signal over the least that works, lenses dirty, in dense fog where it stands outdoors."""
    broken_s: float
    """Time for which a running body breaks it."""
    response_s: float | None
    in_the_way: tuple[str, ...]
    undecided: str = ""


def beam_reserves(scheme: ProtectionScheme) -> tuple[BeamReserve, ...]:
    """Every photo-beam of a design.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design; the brief's running pace breaks the beam for the shortest time.

    Returns
    -------
    tuple of BeamReserve
        In the order of the design.
    """
    return tuple(_one(scheme, device) for device in scheme.of_family(Family.BEAM))


def _one(scheme: ProtectionScheme, device: Device) -> BeamReserve:
    kind = scheme.kind_of(device)
    rated, gain = kind.get("range_m"), kind.get("excess_gain")
    broken = block_time(BODY_M, scheme.brief.intruder_run_m_s)
    response = kind.get("response_s")
    if rated is None or gain is None:
        said = "the catalogue gives no reach or no gain"
        return BeamReserve(device.id, 0.0, False, 0.0, broken, response, (), said)
    plan = storey_plans(scheme.premises)[device.storey_id]
    tip: XY = (
        device.position[0] + rated * math.cos(device.heading_rad),
        device.position[1] + rated * math.sin(device.heading_rad),
    )
    ray = LineString([device.position, tip])
    walls = ray.intersection(plan.solid()).difference(Point(device.position).buffer(ON_WALL_M))
    length = rated if walls.is_empty else Point(device.position).distance(walls)
    line = LineString([device.position, ray.interpolate(length)])
    outdoors = (
        plan.room_at((line.interpolate(0.5, normalized=True).x, line.interpolate(0.5, normalized=True).y)) is None
    )
    loss = fog_loss(DENSE_FOG_M) if outdoors else 0.0
    tube = line.buffer(CLEAR_RADII * (kind.get("beam_radius_m") or 0.05))
    blocked = tuple(
        o.id
        for o in plan.obstacles
        if o.base_m - 0.1 <= device.height_m <= o.height_m + 0.1 and tube.intersects(Polygon(o.outline))
    )
    left = excess_gain(gain, rated, max(0.5, length), loss) / DIRT
    return BeamReserve(device.id, length, outdoors, left, broken, response, blocked)
