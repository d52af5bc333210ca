"""Motion detectors that could be placed: into rooms, along long glazed fronts, down corridors."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from wardwright.analyses.mode import Mode
from wardwright.analyses.night_ways import NightWays, night_ways
from wardwright.analyses.siting import siting_checks
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.placement.wall_spots import WallSpot, wall_spots
from wardwright.premises.life import Pet
from wardwright.premises.plan import storey_plans

KindsOf = Callable[..., list[DeviceKind]]
"""Kinds of some families that a brief allows, by wire or by radio."""
HANG_M = 2.2
"""Height of a detector whose kind names none. Common practice, no source. [m]"""
ADVICE = ("window-in-view", "warm-room")
"""Siting rules that stay advice: in a room with windows on two sides no corner looks past both; how warm a room gets is
in the chances already."""
TURNED_AWAY = ("heat-in-view", "outlet-in-view", "sun-patch", "sun-in-lens", "moving-in-view", "hatch-in-view")
"""Objections that turning the detector may answer."""
TURNS_RAD = (0.0, 0.26, -0.26, 0.52, -0.52)
"""How a detector is turned where a siting rule objects to the bisector of its corner. [rad]"""
FRONT_M = 4.0
"""A wall at least this long, with at least GLAZED_M of outside openings in it, is a glazed front. Assumption. [m]"""
GLAZED_M = 2.5
CORRIDOR_M = 10.0
"""Along a wall at least this long a detector of long range is offered. Assumption. [m]"""
BESIDE_WALL_M = 0.6
"""An opening whose middle is this near to the line of a wall lies in it. [m]"""


@dataclass(frozen=True)
class Watcher:
    """A motion detector that could be had at a spot."""

    spot: WallSpot
    device: Device
    aim: str
    """Empty where it looks into the room; else which wall it looks along."""
    inside: bool
    """It may be set with people inside."""


def _roams(pets: Sequence[Pet], room_id: str) -> bool:
    return any(not pet.room_ids or room_id in pet.room_ids for pet in pets)


def watchers(scheme: ProtectionScheme, kinds_of: KindsOf, refused: list[tuple[str, str]]) -> Iterator[Watcher]:
    """Motion detectors: at every spot, and for every way of looking, the cheapest kind no siting rule objects to.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, brief, catalogue.
    kinds_of : callable
        Kinds that may be used.
    refused : list
        Places looked at in vain and the rule against each are added.
    """
    kinds: dict[str, list[DeviceKind]] = {"": [], "curtain": [], "long range": []}
    for kind in kinds_of(scheme, Family.MOTION, Family.DUAL):
        optic = kind.words.get("optic", "wide")
        kinds.setdefault("" if optic in ("wide", "pet tolerant") else optic, []).append(kind)
    ways = night_ways(scheme.premises)
    for spot in wall_spots(scheme.premises):
        room = scheme.premises.room(spot.room_id)
        if room.id in scheme.brief.ruled_out:
            continue
        roamed = _roams(scheme.premises.pets, room.id)
        for aim, optic, heading in (("", "", spot.heading_rad), *_along(scheme, spot)):
            if not kinds[optic]:
                continue
            able = [k for k in kinds[optic] if not roamed or k.get("pet_mass_kg")]
            device, objection = _unobjected(scheme, able, replace(spot, heading_rad=heading))
            if device is None and not aim:
                refused.append((f"{room.name}, {spot.position[0]:.1f}/{spot.position[1]:.1f}", objection))
            elif device is not None:
                named = device.model_copy(update={"id": f"{device.id}{aim}"[:80]})
                yield Watcher(spot, named, aim, _watched_inside(scheme, ways, device))


def _along(scheme: ProtectionScheme, spot: WallSpot) -> Iterator[tuple[str, str, float]]:
    """Walls of a corner worth looking along: a glazed front with a curtain, a long wall with a long range."""
    for number, (heading, length) in enumerate(spot.walls, 1):
        if length >= FRONT_M and _glazed_along(scheme, spot, heading, length) >= GLAZED_M:
            yield f"-curtain{number}", "curtain", heading
        if length >= CORRIDOR_M:
            yield f"-long{number}", "long range", heading


def _glazed_along(scheme: ProtectionScheme, spot: WallSpot, heading: float, length: float) -> float:
    """Width of the glazed openings to the outside in a wall that starts at a corner. [m]"""
    found = 0.0
    for shape in storey_plans(scheme.premises)[spot.storey_id].openings:
        opening = shape.opening
        if not opening.is_outside or all(leaf.glazing is None for leaf in opening.leaves):
            continue
        dx, dy = shape.centre[0] - spot.position[0], shape.centre[1] - spot.position[1]
        ahead = dx * math.cos(heading) + dy * math.sin(heading)
        beside = abs(dy * math.cos(heading) - dx * math.sin(heading))
        if 0.0 < ahead < length and beside <= BESIDE_WALL_M and spot.room_id in opening.room_ids:
            found += opening.width_m
    return found


def _watched_inside(scheme: ProtectionScheme, ways: NightWays | None, device: Device) -> bool:
    """Whether a motion detector can be set with people inside: where it looks nobody sleeps or walks at night."""
    if ways is None or ways.disturb(scheme, device):
        return False
    return not any(c.objects and c.rule not in ADVICE for c in siting_checks(scheme, device, Mode.INSIDE))


def _unobjected(scheme: ProtectionScheme, kinds: Sequence[DeviceKind], spot: WallSpot) -> tuple[Device | None, str]:
    """The cheapest kind no siting rule objects to, turned a little where that helps; else what is against it."""
    objection = "no kind in the catalogue suits the pets that roam here"
    for kind in kinds:
        for turn in TURNS_RAD:
            device = on_wall(kind, spot, turn)
            against = [c for c in siting_checks(scheme, device) if c.objects and c.rule not in ADVICE]
            if not against:
                return device, ""
            if turn == 0.0:
                objection = against[0].said
            if all(c.rule not in TURNED_AWAY for c in against):
                break
    return None, objection


def on_wall(kind: DeviceKind, spot: WallSpot, turn: float = 0.0) -> Device:
    """A detector of a kind at a spot, at the height it is made for, turned from the spot's heading. [rad]"""
    low, high = kind.get("mount_low_m", HANG_M), kind.get("mount_high_m", HANG_M)
    middle = ((low or HANG_M) + (high or HANG_M)) / 2.0
    return Device(
        id=f"{kind.tag}-{spot.id}"[:80],
        kind=kind.id,
        storey_id=spot.storey_id,
        position=spot.position,
        height_m=kind.get("rated_height_m") or middle,
        heading_rad=spot.heading_rad + turn,
        room_id=spot.room_id,
    )
