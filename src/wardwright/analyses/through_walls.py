"""What the microwave part of a detector sees that it should not: beyond its walls, lamps, other microwave units."""

import math
from collections.abc import Iterator

from wardwright.analyses.radio_line import crossings
from wardwright.analyses.sightlines import Outlook
from wardwright.analyses.siting_records import SitingCheck
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.errors import OutOfRangeError
from wardwright.physics.microwave import range_ratio
from wardwright.physics.radio_slabs import wall_loss

USUAL_HZ = 10.525e9
"""Where the kind does not say. Common practice, no source. [Hz]"""
LAMP_M = 1.5
"""Discharge lamps flicker like a walker, and are at least this far away. Assumption. [m]"""
THICK_M = 1.0
"""As far behind its face everything is taken for part of the wall. Assumption. [m]"""
BEYOND_M = 0.5
"""Nobody stands nearer than this behind a wall. Assumption. [m]"""


def microwave_checks(scheme: ProtectionScheme, device: Device, outlook: Outlook) -> Iterator[SitingCheck]:
    """The siting rules of a microwave part.

    Parameters
    ----------
    scheme : ProtectionScheme
        Design and building.
    device : Device
        A detector; nothing is said of one without a microwave part.
    outlook : Outlook
        What it sees.

    Yields
    ------
    SitingCheck
        ``sees-through-wall``, ``lamp-near``, ``microwave-shared``.
    """
    part = outlook.sensor.microwave
    if part is None:
        return
    yield from _beyond(scheme, device, outlook, part.range_m)
    lamps = [
        (math.dist((*device.position, device.height_m), (*p.position, p.height_m)), p.id)
        for p in scheme.premises.services
        if p.kind == "luminaire" and p.storey_id == device.storey_id
    ]
    if lamps:
        away, key = min(lamps)
        yield SitingCheck(
            "lamp-near", device.id, (key,),
            f"“{key}” is {away:.1f} m away; if it is a discharge lamp it flickers like a walker.",
            away, ">=", LAMP_M, "m", assumption="what kind of lamp it is",
            citation="flicker at twice the mains frequency, computed; the distance is an assumption",
            fix="Another place, or a lamp without flicker.",
        )  # fmt: skip
    yield from _shared(scheme, device, outlook, part.range_m)


def _beyond(scheme: ProtectionScheme, device: Device, outlook: Outlook, rated: float) -> Iterator[SitingCheck]:
    frequency = scheme.kind_of(device).get("microwave_frequency_hz") or USUAL_HZ
    cos, sin = math.cos(device.heading_rad), math.sin(device.heading_rad)
    to_wall = float(outlook.view.depth(device.heading_rad % (2.0 * math.pi)))
    if to_wall >= rated:
        yield SitingCheck("sees-through-wall", device.id, (), "Its reach ends before the wall it looks at.")
        return
    far = to_wall + THICK_M
    end = (outlook.eye[0] + far * cos, outlook.eye[1] + far * sin)
    start = (device.storey_id, outlook.eye, device.height_m)
    met = crossings(scheme.premises, start, (device.storey_id, end, device.height_m))
    if not met:
        return
    try:
        losses = [
            sum(wall_loss(layers, frequency, angle=c.angle_rad) for c, layers in zip(met, stack, strict=True))
            for stack in zip(*((c.likely, c.least, c.most) for c in met), strict=True)
        ]
    except OutOfRangeError as error:
        yield SitingCheck("sees-through-wall", device.id, (), str(error), undecided=str(error))
        return
    reach = [rated * range_ratio(1.0, 1.0, 2.0 * loss) - to_wall - BEYOND_M for loss in losses]
    low, high = min(reach), max(reach)
    yield SitingCheck(
        "sees-through-wall", device.id, (),
        f"It looks at {' and '.join(c.what for c in met)}, {to_wall:.1f} m away; a person behind it shows up to "
        f"{max(0.0, reach[0] + BEYOND_M):.1f} m beyond.",
        reach[0], "<=", 0.0, "m beyond", interval=(low, high),
        assumption="what the wall is made of",
        citation="ITU-P2040 through the wall's layers; MIL-HDBK-1013-1A: not at an outside wall",
        fix="Turn it, or set its microwave range down to the wall.",
    )  # fmt: skip


def _shared(scheme: ProtectionScheme, device: Device, outlook: Outlook, rated: float) -> Iterator[SitingCheck]:
    others = []
    for other in scheme.of_family(Family.DUAL):
        if other.id != device.id and other.storey_id == device.storey_id:
            away = math.dist(other.position, device.position)
            reach = rated + (scheme.kind_of(other).get("microwave_range_m") or rated)
            if away < reach and bool(outlook.view.contains(*other.position)):
                others.append(other.id)
    if others:
        yield SitingCheck(
            "microwave-shared", device.id, tuple(others),
            f"It is in sight of {', '.join(others)}: two microwave parts on one frequency beat like a walker.",
            float(len(others)), "<=", 0.0, "in sight",
            assumption="that both are on one frequency", citation="common practice, no source",
            fix="Kinds on different frequencies, or turn them apart.",
        )  # fmt: skip
