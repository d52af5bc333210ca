"""Where the panel could hang: one place in each room out of an intruder's sight, or where it hangs already."""

import math
from collections.abc import Iterator

from wardwright.analyses.ways_in import attackable_openings
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.placement.wall_spots import WallSpot, wall_spots
from wardwright.premises.fabric import RoomUse
from wardwright.premises.life import ServicePoint

PANEL_M = 1.6
"""Height of a panel. Common practice, no source. [m]"""
AWAY_M = 2.5
"""A panel hangs at least this far from a way in of its own room. Assumption. [m]"""
NOT_IN = (RoomUse.GARAGE, RoomUse.PORCH, RoomUse.CONSERVATORY, RoomUse.BEDROOM)
"""Rooms the panel does not go to: cold, in view from outside, or slept in. Common practice, no source."""
MAINS = ("socket outlet", "distribution board")
CONTROL = (Family.PANEL, Family.ALL_IN_ONE)


def panel_places(scheme: ProtectionScheme, kind: str) -> tuple[Device, ...]:
    """Places for the panel.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, brief and design.
    kind : str
        Catalogue kind of the panel.

    Returns
    -------
    tuple of Device
        The panel that is there already, alone; else in each room that suits the place farthest from ways in and
        nearest to mains.
    """
    there = scheme.of_family(*CONTROL)
    if there:
        return there[:1]
    for not_in, away in ((NOT_IN, AWAY_M), ((), AWAY_M), ((), 0.0)):
        found = tuple(_in_rooms(scheme, kind, not_in, away))
        if found:
            return found
    return ()


def _in_rooms(scheme: ProtectionScheme, kind: str, not_in: tuple[RoomUse, ...], least_m: float) -> Iterator[Device]:
    premises = scheme.premises
    ways = [a for a in attackable_openings(scheme) if a.reachable is not False and a.attacks]
    entered = {key for a in ways for key in a.shape.opening.room_ids}
    rooms = [r for r in premises.rooms if r.indoors and r.use not in not_in and r.id not in scheme.brief.ruled_out]
    mains = [s for s in premises.services if s.kind in MAINS]
    for room in rooms:
        spots = [s for s in wall_spots(premises) if s.room_id == room.id]
        if not spots:
            continue
        near = [a.shape.centre for a in ways if a.shape.storey_id == room.storey_id]

        best = max(spots, key=lambda s: _worth(s, near, mains))
        if room.id in entered and min((math.dist(best.position, n) for n in near), default=least_m) < least_m:
            continue
        yield Device(
            id="panel",
            kind=kind,
            name=f"Control panel, {room.name}",
            storey_id=room.storey_id,
            position=best.position,
            height_m=PANEL_M,
            heading_rad=best.heading_rad,
            room_id=room.id,
        )


def _worth(spot: WallSpot, near: list[tuple[float, float]], mains: list[ServicePoint]) -> float:
    """Far from ways in, near to mains. [m]"""
    away = min((math.dist(spot.position, n) for n in near), default=0.0)
    return min(away, 4.0) - 0.5 * _to_mains(spot.position, spot.storey_id, mains)


def _to_mains(place: tuple[float, float], storey_id: str, mains: list[ServicePoint]) -> float:
    return min((math.dist(place, m.position) for m in mains if m.storey_id == storey_id), default=0.0)
