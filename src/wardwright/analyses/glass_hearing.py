"""Whether a glass-break detector hears a pane: thump and shatter at the microphone, in the room as it is."""

import math
from dataclasses import dataclass

from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry

from wardwright.analyses.mode import Mode, open_inner_doors, watching_devices
from wardwright.analyses.room_sound import NOTED, furnishings, joined_rooms, pane_size, room_sound
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme, room_of
from wardwright.physics.glass_break import (
    BANDS_HZ,
    REFERENCE_ROOM,
    REFERENCE_VOLUME_M3,
    heard,
    pane_frequency,
    shatter_attenuation,
    shatter_margin,
    thump_margin,
)
from wardwright.physics.partitions import covering_loss
from wardwright.premises.fabric import Room
from wardwright.premises.model import Premises
from wardwright.premises.openings import GlassKind, Leaf, Opening
from wardwright.premises.plan import OpeningShape, storey_plans
from wardwright.worked_out import once

IN_HAND_DB = (4.5, 3.0, 6.0)
"""What a detector has in hand at its rated reach in the reference room: central, low, high. Assumption. [dB]"""
SURE_P = 0.97
"""No detector is trusted more than this, whatever its margin. Assumption. [-]"""
RETAINED_DB = 6.0
"""Laminated and wired glass shatter less: kept together by film or wire. Assumption. [dB]"""
COVERINGS: dict[str, tuple[float, float]] = {
    "voile": (0.08, 50.0),
    "light curtain": (0.2, 300.0),
    "lined curtain": (0.45, 1000.0),
    "velvet": (0.6, 2000.0),
    "blackout": (0.45, math.inf),
}
"""Mass [kg/m²] and flow resistance [Pa s/m] of coverings. Assumption."""
EDGE_SHARE = 0.05
"""Share of the pane that a drawn curtain leaves open at its edges. Assumption. [-]"""
UNKNOWN_COVERINGS = ("light curtain", "lined curtain", "none")
"""Taken where nobody noted what hangs over a pane: central, low, high. Assumption."""
ON_WALL_M = 0.1
"""A detector's position may lie this far inside the wall it is fixed on. [m]"""


@dataclass(frozen=True)
class Hearing:
    """One detector and one pane, the system set one way."""

    device_id: str
    opening_id: str
    leaf_id: str | None
    mode: str
    distance_m: float | None
    in_sight: bool
    probability: float
    interval: tuple[float, float]
    margin_db: float | None
    """The lesser of both bands. Negative: more is lost than in the room of the rating."""
    weakest: str
    """The band that decides: ``thump`` or ``shatter at 4 kHz``."""
    assumption: str
    deaf: str = ""
    """Why the pane is not heard at all; empty where it may be."""
    steps: tuple[tuple[str, str], ...] = ()

    @property
    def counts(self) -> bool:
        """It may be heard, so it is listed among what notices."""
        return not self.deaf


def glass_hearings(scheme: ProtectionScheme, mode: Mode) -> tuple[Hearing, ...]:
    """Every watched glass-break detector with every glazed leaf of the rooms it can hear.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design in its building.
    mode : Mode
        How the system is set: it decides which inner doors are shut.

    Returns
    -------
    tuple of Hearing
        Panes on other storeys, and those beyond a wall, are left out unless no detector hears them in any way.
    """
    watched = watching_devices(scheme, mode)
    ears = [d for d in scheme.of_family(Family.GLASS_BREAK) if d.id in watched]
    ear = GlassHearing(scheme, mode)
    found = []
    for device in ears:
        for plan in storey_plans(scheme.premises).values():
            for shape in plan.openings:
                if not shape.opening.is_outside:
                    continue
                for leaf in shape.opening.leaves:
                    if leaf.glazing is None:
                        continue
                    told = ear.of(device, shape.opening, leaf)
                    if told.distance_m is not None:
                        found.append(told)
    return tuple(found)


@dataclass(frozen=True, eq=False)
class _House:
    """What does not change between hearings in one building, set one way."""

    premises: Premises
    mode: str
    open_ids: frozenset[str]
    solid: dict[str, BaseGeometry]
    """What stands in the way on each storey."""
    shapes: dict[str, OpeningShape]


@once(8)
def _house(premises: Premises, mode: str, open_ids: frozenset[str]) -> _House:
    plans = storey_plans(premises)
    return _House(
        premises,
        mode,
        open_ids,
        {key: p.solid(open_ids=open_ids) for key, p in plans.items()},
        {s.opening.id: s for p in plans.values() for s in p.openings},
    )


class GlassHearing:
    """Tells hearings of a design in its building, each worked out once.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design in its building.
    mode : Mode
        How the system is set.
    """

    def __init__(self, scheme: ProtectionScheme, mode: Mode) -> None:
        self._scheme = scheme
        self._house = _house(scheme.premises, mode.value, open_inner_doors(scheme.premises, mode))

    def of(self, device: Device, opening: Opening, leaf: Leaf | None) -> Hearing:
        """How surely a detector hears a leaf's pane break.

        Parameters
        ----------
        device : Device
            A glass-break detector.
        opening : Opening
            The opening.
        leaf : Leaf or None
            The leaf whose pane is broken; None: the opening as a whole.

        Returns
        -------
        Hearing
            With its steps.
        """
        return _hearing(self._house, self._scheme.kind_of(device), device, opening, leaf)


@once(2048)
def _hearing(house: _House, kind: DeviceKind, device: Device, opening: Opening, leaf: Leaf | None) -> Hearing:
    width, height = pane_size(opening, leaf)
    place = _place(house, device, house.shapes[opening.id])
    said = (device.id, opening.id, leaf.id if leaf is not None else None, house.mode)

    def none(why: str, distance: float | None = None) -> Hearing:
        return Hearing(*said, distance, False, 0.0, (0.0, 0.0), None, "", "", why)

    if place is None:
        return none("a wall, a floor or a shut door stands between pane and detector")
    distance = place[0]
    glass = leaf.glazing.kind if leaf is not None and leaf.glazing is not None else GlassKind.UNKNOWN
    why = _undeclared(kind, glass, leaf, min(width, height))
    rated = kind.get("range_m")
    if not why and rated is None:
        why = "the catalogue gives no reach"
    if why or rated is None:
        return none(why, distance)
    if distance > rated:
        return none(f"the pane is {distance:.1f} m away, it is rated for {rated:.1f} m", distance)
    return _judged(house, kind, said, opening, (width, height), place, glass, rated, leaf)


def _judged(
    house: _House,
    kind: DeviceKind,
    said: tuple[str, str, str | None, str],
    opening: Opening,
    pane: tuple[float, float],
    place: tuple[float, bool, Room],
    glass: GlassKind,
    rated: float,
    leaf: Leaf | None,
) -> Hearing:
    premises = house.premises
    distance, in_sight, room = place
    joined = joined_rooms(premises, room.id, house.open_ids)
    ways = [room_sound(premises, room, soft=soft) for soft in furnishings(room)]
    volume = sum(room_sound(premises, premises.room(r), soft=True).volume_m3 for r in joined)
    covers = (opening.covering,) if opening.covering is not None else UNKNOWN_COVERINGS
    retained = RETAINED_DB if glass in (GlassKind.LAMINATED, GlassKind.WIRED) else 0.0
    least = kind.get("pane_side_min_m") or 0.3
    thump = thump_margin(volume, *pane, least_side=least)

    def shatter(way: int, cover: str) -> float:
        return min(
            shatter_margin(
                distance,
                ways[way].surfaces,
                ways[way].volume_m3,
                rated_range=rated,
                frequency=band,
                in_sight=in_sight,
                covering=retained + _covering(cover, band),
            )
            for band in BANDS_HZ
        )

    hung = {c: [shatter(i, c) for i in range(len(ways))] for c in dict.fromkeys(covers)}
    central = hung[covers[0]][0]
    low, high = min(min(v) for v in hung.values()), max(max(v) for v in hung.values())
    chances = [
        min(SURE_P, heard(min(thump, m) + hand)) for m, hand in zip((central, low, high), IN_HAND_DB, strict=True)
    ]
    notes = []
    if opening.covering is None:
        notes.append("what hangs over the pane was not noted")
    if room.soft_furnished is None:
        notes.append(NOTED)
    if glass is GlassKind.UNKNOWN:
        chances[1] = 0.0
        notes.insert(0, "the kind of glass was not surveyed")
    if kind.words.get("order", "either") != "either":
        chances[1] = 0.0
        notes.append("it insists that the thump comes first, which a published test of breaking windows disputes")
    notes.append("what the detector has in hand at its rated reach")
    weakest = "thump" if thump < central else "shatter"
    steps = _steps(kind, pane, place, joined, volume, covers, thump, hung, leaf, rated)
    return Hearing(
        *said,
        distance,
        in_sight,
        chances[0],
        (chances[1], chances[2]),
        min(thump, central),
        weakest,
        "; ".join(notes),
        steps=(*steps, ("chance that it tells", f"{chances[0]:.1f} ({chances[1]:.1f} to {chances[2]:.1f})")),
    )


def _steps(
    kind: DeviceKind,
    pane: tuple[float, float],
    place: tuple[float, bool, Room],
    joined: frozenset[str],
    volume: float,
    covers: tuple[str, ...],
    thump: float,
    hung: dict[str, list[float]],
    leaf: Leaf | None,
    rated: float,
) -> tuple[tuple[str, str], ...]:
    distance, in_sight, room = place
    thickness = (leaf.glazing.thickness_m if leaf is not None and leaf.glazing is not None else None) or 0.004
    pitch = pane_frequency(*pane, thickness)
    band = f"{kind.get('thump_low_hz') or 5:.0f} to {kind.get('thump_high_hz') or 300:.0f} Hz"
    losses = [shatter_attenuation(rated, REFERENCE_ROOM, REFERENCE_VOLUME_M3, b) for b in BANDS_HZ]
    return (
        ("pane", f"{pane[0]:.2f} m by {pane[1]:.2f} m"),
        ("thump of the pane", f"{pitch:.0f} Hz at {1000 * thickness:.0f} mm; the detector listens in {band}"),
        ("from pane to microphone", f"{distance:.1f} m, {'in' if in_sight else 'out of'} line of sight"),
        ("room and what opens into it", f"{room.name}, {volume:.0f} m³ over {len(joined)} rooms"),
        ("margin of the thump", f"{thump:+.1f} dB = 20 log(50/{volume:.0f}) + 20 log(pane/smallest pane)"),
        (
            f"loss at the rated {rated:.1f} m in the reference room",
            " and ".join(f"{x:.1f} dB at {b / 1000:.0f} kHz" for x, b in zip(losses, BANDS_HZ, strict=True)),
        ),
        *(
            (
                f"margin of the shatter, covering: {cover}",
                " or ".join(f"{x:+.1f} dB" for x in hung[cover]),
            )
            for cover in dict.fromkeys(covers)
        ),
        ("in hand at the rated reach", "{:.1f} dB ({:.1f} to {:.1f}), assumed".format(*IN_HAND_DB)),
    )


def _place(house: _House, device: Device, shape: OpeningShape) -> tuple[float, bool, Room] | None:
    """Distance, line of sight, and the room of the pane; None where no air joins pane and detector."""
    if device.storey_id != shape.storey_id:
        return None
    premises = house.premises
    plan = storey_plans(premises)[shape.storey_id]
    (x, y), (nx, ny) = shape.centre, shape.normal
    deep = shape.depth_m / 2 + 0.05
    rooms = [key for key in shape.opening.room_ids if premises.room(key).indoors]
    up = device.height_m - (shape.opening.sill_m + shape.opening.height_m / 2)
    stands = room_of(premises, device)
    own = None if stands is None else stands.id
    best: tuple[float, bool, Room] | None = None
    for side in (1.0, -1.0):
        inner = (x + side * nx * deep, y + side * ny * deep)
        room = plan.room_at(inner)
        if room is None or (rooms and room.id not in rooms):
            continue
        # the detector itself is fixed on a wall: what lies close behind it does not count
        line = LineString([inner, device.position]).difference(Point(device.position).buffer(ON_WALL_M))
        in_sight = bool(line.intersection(house.solid[shape.storey_id]).length <= 0.01)
        if not in_sight and own != room.id:
            continue
        found = (math.hypot(math.dist(inner, device.position), up), in_sight, room)
        if best is None or (found[1], -found[0]) > (best[1], -best[0]):
            best = found
    return best


def _covering(cover: str, band: float) -> float:
    """Loss of a covering at a band; the thump passes it almost freely. [dB]"""
    if cover == "none":
        return 0.0
    return covering_loss(*COVERINGS[cover], band, open_share=EDGE_SHARE)


def _undeclared(kind: DeviceKind, glass: GlassKind, leaf: Leaf | None, side: float) -> str:
    if glass is GlassKind.PLASTIC:
        return "plastic does not break like glass"
    declared = kind.words.get("glass_kinds", "float toughened").split()
    if glass is not GlassKind.UNKNOWN and glass.value not in declared:
        return f"the detector is not declared for {glass.value} glass"
    least = kind.get("pane_side_min_m") or 0.0
    if side < least:
        return f"the pane is {side:.2f} m on its shorter side, the detector is declared from {least:.2f} m"
    thickness = leaf.glazing.thickness_m if leaf is not None and leaf.glazing is not None else None
    low, high = kind.get("glass_thickness_min_m"), kind.get("glass_thickness_max_m")
    if thickness is not None and ((low or 0.0) > thickness + 1e-9 or (high or 1.0) < thickness - 1e-9):
        return f"the pane is {1000 * thickness:.1f} mm thick, outside what the detector is declared for"
    return ""
