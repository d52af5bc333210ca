"""How long a run of cable is: as measured, as drawn, else routed through the building, else allowed for."""

import itertools
import math
from dataclasses import dataclass

from wardwright.design.devices import Cable, Device
from wardwright.premises.cableways import CableWay, Place, cableways
from wardwright.premises.model import Premises

ALLOWED_FACTOR = 1.35
"""What is laid over the distance along the walls, where no way was found. [-] Common practice, no source."""

SLACK_M = 2.0
"""Ends and spare of each run. [m] Common practice, no source."""

MEASURED, DRAWN, ROUTED, ALLOWED = "measured", "drawn", "routed through the building", "allowed for from the plan"


@dataclass(frozen=True)
class Length:
    """Length of one run, and how it is known."""

    metres: float
    how: str
    """:data:`MEASURED`, :data:`DRAWN`, :data:`ROUTED` or :data:`ALLOWED`."""
    way: CableWay | None = None
    """The way it was routed."""

    @property
    def assumed(self) -> bool:
        """True where nobody drew or measured it."""
        return self.how in (ROUTED, ALLOWED)


def level_m(device: Device, premises: Premises) -> float:
    """Height of a device above the building's zero. [m]"""
    return premises.storey(device.storey_id).elevation_m + device.height_m


def place_of(device: Device) -> Place:
    """Where a device's cable ends."""
    return device.storey_id, device.position, device.height_m


def unmeasured_length(first: Device, second: Device, premises: Premises) -> Length:
    """Length of a run that nobody drew or measured.

    Parameters
    ----------
    first, second : Device
        The two ends.
    premises : Premises
        The building.

    Returns
    -------
    Length
        Along the way that takes least time to lay, with slack. Where there is none: a factor on the distance along
        walls at right angles and up, with slack.
    """
    way = cableways(premises).way(place_of(first), place_of(second))
    if way is not None:
        return Length(way.length_m + SLACK_M, ROUTED, way)
    along = abs(first.position[0] - second.position[0]) + abs(first.position[1] - second.position[1])
    rise = abs(level_m(first, premises) - level_m(second, premises))
    return Length(ALLOWED_FACTOR * (along + rise) + SLACK_M, ALLOWED)


def drawn_length(cable: Cable, premises: Premises) -> Length | None:
    """Length of a cable as given or drawn; None where neither is there.

    Parameters
    ----------
    cable : Cable
        The run.
    premises : Premises
        The building, for heights of storeys.

    Returns
    -------
    Length or None
        The length given, else that of its route with slack.
    """
    if cable.length_m is not None:
        return Length(cable.length_m, MEASURED)
    if len(cable.route) < 2:
        return None
    points = [(x, y, premises.storey(key).elevation_m + height) for key, x, y, height in cable.route]
    along = sum(math.dist(a, b) for a, b in itertools.pairwise(points))
    return Length(along + SLACK_M, DRAWN)
