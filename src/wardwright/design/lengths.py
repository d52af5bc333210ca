"""How long a run of cable is: as measured, as drawn, else allowed for from the plan."""

import itertools
import math
from dataclasses import dataclass

from wardwright.design.devices import Cable, Device
from wardwright.premises.model import Premises

ALLOWED_FACTOR = 1.35
"""What is laid over the distance along the walls. [-] Common practice, no source."""

ALLOWED_SLACK_M = 2.0
"""Ends and spare of each run. [m] Common practice, no source."""


@dataclass(frozen=True)
class Length:
    """Length of one run, and how it is known."""

    metres: float
    how: str
    """``measured``, ``drawn`` or ``allowed for from the plan``."""

    @property
    def assumed(self) -> bool:
        """True where nobody drew or measured it."""
        return self.how == "allowed for from the plan"


def level_m(device: Device, premises: Premises) -> float:
    """Height of a device above the building's zero. [m]"""
    return premises.storey(device.storey_id).elevation_m + device.height_m


def allowed_length(first: Device, second: Device, premises: Premises) -> Length:
    """Length to allow between two devices where nothing is drawn.

    Parameters
    ----------
    first, second : Device
        The two ends.
    premises : Premises
        The building, for heights.

    Returns
    -------
    Length
        A factor on the distance along walls at right angles and up, plus slack.
    """
    along = abs(first.position[0] - second.position[0]) + abs(first.position[1] - second.position[1])
    rise = abs(level_m(first, premises) - level_m(second, premises))
    return Length(ALLOWED_FACTOR * (along + rise) + ALLOWED_SLACK_M, "allowed for from the plan")


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
        return Length(cable.length_m, "measured")
    if len(cable.route) < 2:
        return None
    points = [(x, y, premises.storey(key).elevation_m + height) for key, x, y, height in cable.route]
    along = sum(math.dist(a, b) for a, b in itertools.pairwise(points))
    return Length(along + ALLOWED_SLACK_M, "drawn")
