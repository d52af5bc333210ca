"""How loud the alarm is at every bed, in every room, in the street and next door, doors as they stand."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, Point, unary_union

from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.readings import Compared, latest, measured_spread, measured_value
from wardwright.analyses.room_sound import furnishings, room_sound
from wardwright.analyses.sound_partitions import FRONT_DB, PARTY_DB, between_rooms
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.model import XY
from wardwright.physics.acoustics import absorption_area, air_absorption, free_field, sound_power, sum_of_levels
from wardwright.physics.coupled_rooms import coupled_levels
from wardwright.premises.fabric import Room
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import storey_plans

SOUNDERS = (Family.INNER_SOUNDER, Family.OUTER_SOUNDER, Family.ALL_IN_ONE)
TONE_HZ = 3000.0
"""Tone of a sounder whose kind does not give it. Common practice, no source. [Hz]"""
WALL_Q = 2.0
LEVEL_DB = (0.0, -3.0, 0.0)
"""How a sounder's level strays from the stated one off its axis: central, low, high. Assumption. [dB]"""
SHADOW_DB = 10.0
"""Round the corner of a house. Assumption. [dB]"""
STREET_M = 20.0
"""Where the street is reckoned, from an outer sounder. Assumption. [m]"""
PILLOW_M = 0.6
"""Height of a pillow above its floor. Assumption. [m]"""
MODEL_DB = (5.0, 3.0)
"""How far below and above a level may lie for reasons besides doors, walls and furniture. Published levels behind shut
doors differ so between sources, the lower the commoner [BS5839-6-2004, LEE-KIM-2018]. Assumption. [dB]"""


@dataclass(frozen=True)
class SoundAt:
    """The alarm at one place."""

    id: str
    """Of a bed, a room, an outer sounder (the street before it) or a party wall (next door)."""
    name: str
    where: str
    """``bed``, ``room``, ``street`` or ``next door``."""
    level_db: float
    """A-weighted, doors as people leave them at night."""
    interval_db: tuple[float, float]
    open_db: float | None
    """The same with every inner door open; None out of doors."""
    loudest_id: str
    measured: bool
    assumption: str
    steps: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Audibility:
    """All places."""

    places: tuple[SoundAt, ...]
    sounder_ids: tuple[str, ...]
    """Sounders that sound for intruders."""
    compared: tuple[Compared, ...] = ()

    def of(self, where: str) -> tuple[SoundAt, ...]:
        """Places of one sort."""
        return tuple(p for p in self.places if p.where == where)


def audibility(scheme: ProtectionScheme) -> Audibility:
    """The alarm at every bed and room, in the street and next door.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design; readings of ``sound level`` at a bed or room replace its prediction.

    Returns
    -------
    Audibility
        Empty where nothing sounds for intruders.
    """
    driven = {o.device_id for o in scheme.design.programme.outputs if "intruder" in o.on}
    sounding = [
        d
        for d in scheme.of_family(*SOUNDERS)
        if scheme.kind_of(d).get("level_db_1m") is not None
        and (d.id in driven or scheme.kind_of(d).family is Family.ALL_IN_ONE)
    ]
    if not sounding:
        return Audibility((), ())
    field = _Field(scheme, sounding)
    places, compared = [], []
    for place in (*field.beds(), *field.rooms(), *field.streets(), *field.next_door()):
        put, told = _as_measured(scheme, place)
        places.append(put)
        compared += [told] if told is not None else []
    return Audibility(tuple(places), tuple(d.id for d in sounding), tuple(compared))


def _as_measured(scheme: ProtectionScheme, place: SoundAt) -> tuple[SoundAt, Compared | None]:
    reading = latest(scheme, "sound level", place.id)
    if reading is None:
        return place, None
    level, spread = measured_value(reading), measured_spread(reading)
    low, high = place.interval_db
    told = Compared(
        reading.id,
        "sound level",
        place.id,
        level,
        place.level_db,
        low - spread,
        high + spread,
        "dB",
    )
    steps = (*place.steps, ("measured", f"{level:.0f} dB(A), {reading.date}, {reading.instrument}"))
    band = (level - spread, level + spread)
    return (
        SoundAt(place.id, place.name, place.where, level, band, None, place.loudest_id, True, "", steps),
        told,
    )


class _Field:
    """Levels of every sounder in every room, three ways, with doors as at night and with all open."""

    def __init__(self, scheme: ProtectionScheme, sounding: Sequence[Device]) -> None:
        self.scheme = scheme
        self.sounding = sounding
        self.premises = scheme.premises
        self.plans = storey_plans(self.premises)
        self.inside = [r for r in self.premises.rooms if r.indoors]
        self.index = {r.id: i for i, r in enumerate(self.inside)}
        self.between = between_rooms(self.premises)
        self.furnished = [
            [room_sound(self.premises, room, soft=soft) for soft in furnishings(room)] for room in self.inside
        ]
        self._soaked: dict[tuple[float, int], tuple[list[float], list[float]]] = {}
        self.at_night = open_inner_doors(self.premises, Mode.INSIDE)
        doors = (OpeningKind.DOOR, OpeningKind.HATCH, OpeningKind.GARAGE_DOOR)
        self.all_open = frozenset(o.id for o in self.premises.openings if not o.is_outside and o.kind in doors)
        self.house = {
            key: unary_union([plan.room_shapes[r.id] for r in plan.rooms if r.indoors]).buffer(0.05)
            for key, plan in self.plans.items()
        }
        self.solid = {
            (key, doors): plan.solid(open_ids=doors)
            for key, plan in self.plans.items()
            for doors in (self.at_night, self.all_open)
        }
        self.core = {key: shape.buffer(-0.3) for key, shape in self.house.items()}
        self.room_of = {d.id: self._room(d) for d in sounding}
        self.fronts = [
            (plan, shape, next(r for r in shape.opening.room_ids if r in self.index))
            for plan in self.plans.values()
            for shape in plan.openings
            if shape.opening.is_outside and any(r in self.index for r in shape.opening.room_ids)
        ]
        self.levels = {
            (d.id, opened, case): self._solve(d, self.all_open if opened else self.at_night, case)
            for d in sounding
            for opened in (False, True)
            for case in range(3)
        }

    def _room(self, device: Device) -> Room | None:
        """The room a sounder sounds in; None out of doors."""
        if self.scheme.kind_of(device).family is Family.OUTER_SOUNDER:
            return None
        plan = self.plans[device.storey_id]
        if device.room_id is not None and device.room_id in self.index:
            return self.premises.room(device.room_id)
        here = plan.room_at(device.position)
        if here is None or here.id not in self.index:
            spot = Point(device.position)
            near = [(plan.room_shapes[r.id].distance(spot), r) for r in plan.rooms if r.id in self.index]
            nearest = min(near, key=lambda pair: pair[0], default=None)
            return nearest[1] if nearest is not None and nearest[0] <= 0.4 else None
        return here

    def tone(self, device: Device) -> float:
        """Its tone, within the table of surfaces. [Hz]"""
        return min(8000.0, max(125.0, self.scheme.kind_of(device).get("tone_hz") or TONE_HZ))

    def power_level(self, device: Device, case: int) -> float:
        """Sound power level, A-weighted. [dB]"""
        return sound_power(self.scheme.kind_of(device).need("level_db_1m") + LEVEL_DB[case], directivity=WALL_Q)

    def _solve(self, device: Device, opened: frozenset[str], case: int) -> NDArray[np.float64]:
        if not self.inside:
            return np.zeros(0)
        absorbed, mean = self._absorbed(self.tone(device), case)
        parts = [
            (self.index[b.a], self.index[b.b], b.area_m2, 0.0 if b.door_id in opened else b.loss_db[case])
            for b in self.between
        ]
        power = np.zeros(len(self.inside))
        sounded = 10.0 ** (self.power_level(device, case) / 10.0) * 1e-12
        home = self.room_of[device.id]
        if home is not None:
            power[self.index[home.id]] = sounded * (1.0 - mean[self.index[home.id]])
        else:
            power += self._through_fronts(device, case)
        return coupled_levels(absorbed, parts, power)

    def _absorbed(self, tone: float, case: int) -> tuple[list[float], list[float]]:
        """Absorption area of each room [m²] and its share of the room's surface [-]."""
        if (tone, case) not in self._soaked:
            air = air_absorption(tone)
            absorbed, mean = [], []
            for sounds in self.furnished:
                areas = [absorption_area(s.surfaces, tone, volume=s.volume_m3, air=air) for s in sounds]
                absorbed.append((areas[0], max(areas), min(areas))[case])
                mean.append(min(0.9, absorbed[-1] / sum(sounds[0].surfaces.values())))
            self._soaked[tone, case] = absorbed, mean
        return self._soaked[tone, case]

    def _through_fronts(self, device: Device, case: int) -> NDArray[np.float64]:
        """Power of an outer sounder that comes in by windows and outside doors. [W]"""
        power = np.zeros(len(self.inside))
        height = self.premises.storey(device.storey_id).elevation_m + device.height_m
        for plan, shape, room_id in self.fronts:
            up = height - plan.storey.elevation_m - shape.opening.sill_m - shape.opening.height_m / 2.0
            distance = max(0.5, math.hypot(math.dist(shape.centre, device.position), up))
            level = self.outdoors(device, distance, case) - (
                0.0 if self._in_view(plan.storey.id, device.position, shape.centre) else SHADOW_DB
            )
            area = shape.opening.width_m * shape.opening.height_m
            lost = FRONT_DB[case]
            power[self.index[room_id]] += 1e-12 * 10.0 ** ((level - lost) / 10.0) * area
        return power

    def _in_view(self, storey_id: str, start: XY, end: XY) -> bool:
        """No room of the house lies between two places at its fronts."""
        line = LineString([start, end])
        if line.length < 1.0:
            return True
        middle = LineString([line.interpolate(0.4), line.interpolate(line.length - 0.4)])
        return bool(middle.intersection(self.core[storey_id]).length < 0.1)

    def outdoors(self, device: Device, distance: float, case: int) -> float:
        """Level of an outer sounder in the open. [dB]"""
        level = self.scheme.kind_of(device).need("level_db_1m") + LEVEL_DB[case]
        return free_field(level, 1.0, distance, air=air_absorption(self.tone(device)))

    def _direct(self, device: Device, room: Room, spot: XY, height: float, opened: frozenset[str], case: int) -> float:
        """Direct sound at a place in sight of a sounder indoors; minus infinity out of sight. [dB]"""
        if self.room_of[device.id] is None or device.storey_id != room.storey_id:
            return -math.inf
        if self.room_of[device.id] != room:
            line = LineString([spot, device.position]).difference(Point(device.position).buffer(0.1))
            if line.intersection(self.solid[room.storey_id, opened]).length > 0.01:
                return -math.inf
        distance = max(0.3, math.hypot(math.dist(spot, device.position), device.height_m - height))
        return self.power_level(device, case) + 10.0 * math.log10(WALL_Q / (4.0 * math.pi * distance**2))

    def at(self, room: Room, spot: XY | None, height: float, *, opened: bool) -> list[dict[str, float]]:
        """Level of each sounder at a place, three ways. [dB]"""
        doors = self.all_open if opened else self.at_night
        found = []
        for case in range(3):
            row = {}
            for device in self.sounding:
                level = float(self.levels[device.id, opened, case][self.index[room.id]])
                if spot is not None:
                    level = sum_of_levels([level, self._direct(device, room, spot, height, doors, case)])
                row[device.id] = level
            found.append(row)
        return found

    def place(self, key: str, name: str, where: str, room: Room, spot: XY | None, height: float) -> SoundAt:
        """One place indoors."""
        shut, ajar = (self.at(room, spot, height, opened=o) for o in (False, True))
        central, low, high = (sum_of_levels(row.values()) for row in shut)
        loudest = max(shut[0], key=lambda d: shut[0][d])
        steps = [("doors", "bedroom and bathroom doors shut, the others as they are left")]
        for device in self.sounding:
            steps.append(self._source_step(device))
            steps.append((f"{device.id} here", f"{shut[0][device.id]:.0f} dB(A)"))
        steps += [
            ("shut inner door, light wall, floor", "20 (17 to 23), 30 (28 to 33), 40 (35 to 45) dB"),
            ("all sounders together", f"{central:.0f} dB(A) ({low:.0f} to {high:.0f})"),
            ("trust in the model besides", "{:.0f} dB below, {:.0f} dB above".format(*MODEL_DB)),
            ("with every inner door open", f"{sum_of_levels(ajar[0].values()):.0f} dB(A)"),
        ]
        note = "what doors and walls let through" + (
            ", and whether the rooms are softly furnished" if room.soft_furnished is None else ""
        )
        interval = (min(low, central) - MODEL_DB[0], max(high, central) + MODEL_DB[1])
        opened = sum_of_levels(ajar[0].values())
        return SoundAt(key, name, where, central, interval, opened, loudest, False, note, tuple(steps))

    def _source_step(self, device: Device) -> tuple[str, str]:
        kind = self.scheme.kind_of(device)
        room = self.room_of[device.id]
        where = room.name if room is not None else "out of doors"
        return (
            f"{device.id}, {where}",
            f"{kind.need('level_db_1m'):.0f} dB(A) at 1 m, {self.tone(device):.0f} Hz, "
            f"power {self.power_level(device, 0):.0f} dB(A)",
        )

    def beds(self) -> list[SoundAt]:
        """Every bed in a room."""
        return [
            self.place(b.id, f"{b.id}, {self.premises.room(b.room_id).name}", "bed", self.premises.room(b.room_id),
                       b.position, PILLOW_M)
            for b in self.premises.beds
            if b.room_id in self.index and b.sleepers
        ]  # fmt: skip

    def rooms(self) -> list[SoundAt]:
        """Every room, away from the sounder."""
        return [self.place(r.id, r.name, "room", r, None, 1.5) for r in self.inside]

    def streets(self) -> list[SoundAt]:
        """Before each outer sounder."""
        found = []
        for device in self.sounding:
            if self.room_of[device.id] is None and self.scheme.kind_of(device).family is Family.OUTER_SOUNDER:
                central, low, high = (self.outdoors(device, STREET_M, case) for case in range(3))
                steps = (
                    self._source_step(device),
                    ("spreading to the street", f"-20 log {STREET_M:g} = {-20 * math.log10(STREET_M):.1f} dB"),
                    ("level", f"{central:.0f} dB(A) ({low:.0f} to {high:.0f})"),
                )
                name = f"{STREET_M:g} m before {device.id}"
                found.append(
                    SoundAt(device.id, name, "street", central, (low, high), None, device.id, False,
                            "what stands between it and the street", steps)
                )  # fmt: skip
        return found

    def next_door(self) -> list[SoundAt]:
        """Behind each party wall: the loudest room on this side less the wall."""
        found = []
        for plan in self.plans.values():
            for wall in plan.walls:
                beside = [
                    r for r in plan.rooms
                    if r.id in self.index and plan.room_shapes[r.id].distance(plan.bodies[wall.id]) < 0.25
                ] if wall.party else []  # fmt: skip
                if not beside:
                    continue
                rooms = [self.place(r.id, r.name, "room", r, None, 1.5) for r in beside]
                loudest = max(rooms, key=lambda p: p.level_db)
                low, high = loudest.interval_db
                steps = (
                    ("on this side", f"{loudest.name}: {loudest.level_db:.0f} dB(A)"),
                    ("party wall", f"{PARTY_DB[0]:.0f} dB ({PARTY_DB[2]:.0f} to {PARTY_DB[1]:.0f})"),
                )
                found.append(
                    SoundAt(
                        wall.id, f"behind party wall {wall.id}", "next door", loudest.level_db - PARTY_DB[0],
                        (low - PARTY_DB[1], high - PARTY_DB[2]), None, loudest.loudest_id, False,
                        "the build-up of the party wall", steps,
                    )
                )  # fmt: skip
        return found
