"""Where a motion detector may hang: every siting rule that geometry can check, for one placed or proposed detector.

What the building contributes (sun, sight) is worked out once and kept, so that many proposed places can be asked after
one another.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from shapely import Point

from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.motion_sensor import motion_sensor
from wardwright.analyses.pet_walk import pet_checks
from wardwright.analyses.sightlines import Outlook, Sightlines, sightlines
from wardwright.analyses.siting_records import SitingCheck
from wardwright.analyses.sunlight import floor_patches, in_words, into_lens, is_glazed, sun_known, sun_shafts
from wardwright.analyses.through_walls import microwave_checks
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.physics.sun import EFFUSIVITY, SUN_PATCH, surface_rise
from wardwright.physics.thermal_contrast import STANDARD_CONTRAST
from wardwright.premises.life import HeatSource
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import OpeningShape

FACING_DEG = 60.0
"""A detector looks at least this far past a window it has in view. Assumption. [°]"""
HEAT_M = 3.0
"""Warm things in view are at least this far away. Assumption. [m]"""
OUTLET_M = 2.0
"""Air outlets are at least this far away: occupancy practice says 6 to 8 ft. [m]"""
BESIDE_M = 1.5
"""Nothing warm, blowing or leading out of doors is nearer to the detector itself. Assumption. [m]"""
FIXED_M = 0.3
"""A thing drawn this deep in a wall hangs on its face. Assumption. [m]"""
PATCH_S = 2.0
"""A cloud's edge, or a curtain, brings the sun within this time. Assumption. [s]"""
HALF_TARGET_K = STANDARD_CONTRAST / 2.0
"""A patch that warms by no more in that time stays 6 dB below the target of the walk test. [K]"""
WARM_ROOM_C = 28.0
"""Above this people and room begin to look alike. Assumption. [degC]"""
OUTLETS = ("air vent", "heater")


@dataclass(frozen=True)
class Spot:
    """Something a detector may have in view."""

    id: str
    x: float
    y: float
    bottom: float
    top: float
    width: float


def siting_checks(scheme: ProtectionScheme, device: Device, mode: Mode = Mode.AWAY) -> tuple[SitingCheck, ...]:
    """Every siting rule on one motion or dual-technology detector.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design and the building; the detector need not be part of the design.
    device : Device
        Where it hangs, or would hang.
    mode : Mode
        How the system is set: decides which inner doors stand open.

    Returns
    -------
    tuple of SitingCheck
        One for each rule that has something to say about it; those that hold say so too. Nothing for other families,
        or where the storey has no rooms.
    """
    if scheme.kind_of(device).family not in (Family.MOTION, Family.DUAL):
        return ()
    lines = sightlines(scheme.premises, device.storey_id, open_inner_doors(scheme.premises, mode))
    if lines is None:
        return ()
    outlook = Outlook(motion_sensor(scheme, device), lines)
    return (
        *_windows(device, lines, outlook),
        *_sun(scheme, device, lines, outlook),
        *_heat(scheme, device, outlook),
        *_beside(scheme, device, lines, outlook),
        *_moving(scheme, device, lines, outlook),
        *_hatches(device, lines, outlook),
        *_warm_room(device, lines),
        *pet_checks(scheme, device, mode, lines, outlook),
        *microwave_checks(scheme, device, outlook),
    )


def _seen(outlook: Outlook, spots: list[Spot]) -> list[Spot]:
    """Those of which any part lies in a beam and in sight, at any of three places across."""
    found = []
    for spot in spots:
        away = math.atan2(spot.y - outlook.eye[1], spot.x - outlook.eye[0]) + math.pi / 2.0
        shift = np.array([-0.4, 0.0, 0.4]) * spot.width
        x, y = spot.x + shift * math.cos(away), spot.y + shift * math.sin(away)
        power = outlook.power(x, y, bottom=spot.bottom, top=spot.top, width=0.3 * spot.width)
        if np.any(np.abs(power) > 0.0):
            found.append(spot)
    return found


def _range_of(outlook: Outlook, spot: Spot) -> float:
    flat = math.hypot(spot.x - outlook.eye[0], spot.y - outlook.eye[1])
    return math.hypot(flat, outlook.sensor.height_m - (spot.bottom + spot.top) / 2.0)


def _in_front(shape: OpeningShape, outlook: Outlook) -> Spot:
    """The inner side of an opening, on the detector's side of its wall."""
    nx, ny = shape.normal
    side = 1.0 if (outlook.eye[0] - shape.centre[0]) * nx + (outlook.eye[1] - shape.centre[1]) * ny > 0.0 else -1.0
    out = side * (shape.depth_m / 2.0 + 0.03)
    opening = shape.opening
    x, y = shape.centre[0] + out * nx, shape.centre[1] + out * ny
    return Spot(opening.id, x, y, max(0.0, opening.sill_m), opening.sill_m + opening.height_m, opening.width_m)


def _windows(device: Device, lines: Sightlines, outlook: Outlook) -> Iterator[SitingCheck]:
    """How squarely it looks at the worst window in view."""
    panes = [s for s in lines.plan.openings if s.opening.is_outside and s.opening.place.kind != "slab" and is_glazed(s)]
    seen = [(s, _seen(outlook, [_in_front(s, outlook)])) for s in panes]
    worst: tuple[float, OpeningShape] | None = None
    for shape, spots in seen:
        if spots:
            nx, ny = shape.normal
            cos = abs(math.cos(device.heading_rad) * nx + math.sin(device.heading_rad) * ny)
            off = math.degrees(math.acos(min(1.0, cos)))
            if worst is None or off < worst[0]:
                worst = (off, shape)
    if worst is None:
        yield SitingCheck("window-in-view", device.id, (), "It has no outside glass in view.")
        return
    off, shape = worst
    yield SitingCheck(
        "window-in-view",
        device.id,
        (shape.opening.id,),
        f"It has “{shape.opening.name}” in view and looks {off:.0f}° off square to it.",
        off,
        ">=",
        FACING_DEG,
        "°",
        assumption="headlights and sun may come through it",
        citation="MIL-HDBK-1013-1A names sun and windows; the angle is an assumption",
        fix="Turn it along the window wall, or hang it on that wall.",
    )


def _sun(scheme: ProtectionScheme, device: Device, lines: Sightlines, outlook: Outlook) -> Iterator[SitingCheck]:
    if not sun_known(scheme.premises):
        yield SitingCheck(
            "sun-patch", device.id, (), "Latitude and true north are not noted: the sun cannot be followed.",
            undecided="latitude and true north of the site are not noted",
            fix="Note latitude_deg and north_rad under [surroundings].",
        )  # fmt: skip
        return
    patches, lens, rooms = [], [], []
    for shaft in sun_shafts(scheme.premises):
        if shaft.storey_id != device.storey_id:
            continue
        points, moments = floor_patches(shaft, lines)
        if len(points):
            power = outlook.power(points[:, 0], points[:, 1], bottom=0.0, top=0.1, width=0.3)
            hit = np.zeros(len(shaft.hour), dtype=np.bool_)
            hit[moments[np.abs(power) > 0.0]] = True
            if hit.any():
                patches.append((int(hit.sum()), shaft, hit))
                rooms.append(shaft.room_id)
        struck = into_lens(shaft, outlook.eye, device.height_m)
        off = np.arctan2(shaft.towards[:, 1], shaft.towards[:, 0]) - device.heading_rad
        struck &= np.abs(np.mod(off + math.pi, 2.0 * math.pi) - math.pi) < outlook.fan_limit
        clear = outlook.view.depth(np.arctan2(shaft.towards[:, 1], shaft.towards[:, 0]))
        reach = math.hypot(shaft.shape.centre[0] - outlook.eye[0], shaft.shape.centre[1] - outlook.eye[1])
        struck &= clear >= reach - shaft.shape.opening.width_m - shaft.shape.depth_m
        if struck.any():
            lens.append((int(struck.sum()), shaft, struck))
    if lens:
        _, shaft, struck = max(lens, key=lambda item: item[0])
        yield SitingCheck(
            "sun-in-lens", device.id, tuple(s.opening_id for _, s, _ in lens),
            f"The sun shines into it through “{shaft.shape.opening.name}”: {in_words(shaft, struck)}, sun time.",
            float(max(n for n, *_ in lens)) / 2.0, "<=", 0.0, "h on the days looked at",
            assumption="nothing outside shades this window",
            citation="MIL-HDBK-1013-1A", fix="Hang it where this window cannot light it, or on the window's own wall.",
        )  # fmt: skip
    else:
        yield SitingCheck("sun-in-lens", device.id, (), "The sun never shines straight into it.")
    if not patches:
        yield SitingCheck("sun-patch", device.id, (), "No floor the sun reaches lies in its beams.")
        return
    _, shaft, hit = max(patches, key=lambda item: item[0])
    low, central, high = _rise(scheme, rooms)
    yield SitingCheck(
        "sun-patch", device.id, tuple(s.opening_id for _, s, _ in patches),
        f"Sun through “{shaft.shape.opening.name}” falls on floor in its beams: {in_words(shaft, hit)}, sun time.",
        central, "<=", HALF_TARGET_K, f"K in {PATCH_S:g} s", interval=(low, high),
        assumption="the floor's covering, and that nothing outside shades this window",
        citation="MIL-HDBK-1013-1A; half of the walk-test target, computed",
        fix="Turn it away, mask the beams that reach this floor, or choose a kind that wants two technologies.",
    )  # fmt: skip


def _rise(scheme: ProtectionScheme, room_ids: list[str]) -> tuple[float, float, float]:
    """Least, likely and largest rise of the floors the sun reaches. [K]"""
    known = {scheme.premises.room(key).soft_furnished for key in room_ids}
    carpet, boards, tile = (surface_rise(SUN_PATCH, PATCH_S, EFFUSIVITY[k]) for k in ("carpet", "boards", "tile"))
    if known == {True}:
        return boards, carpet, carpet
    return (tile, boards, boards) if known == {False} else (tile, boards, carpet)


def _heat(scheme: ProtectionScheme, device: Device, outlook: Outlook) -> Iterator[SitingCheck]:
    """The nearest warm thing, and the nearest outlet, in view."""
    here = [h for h in scheme.premises.heat_sources if h.storey_id == device.storey_id]
    for rule, limit, things, word in (
        ("heat-in-view", HEAT_M, [h for h in here if h.kind not in OUTLETS], "warm thing"),
        ("outlet-in-view", OUTLET_M, [h for h in here if h.kind in OUTLETS], "air outlet"),
    ):
        if not things:
            continue
        seen = _seen(outlook, [_spot(h) for h in things])
        if not seen:
            yield SitingCheck(rule, device.id, (), f"No {word} noted on the survey lies in its beams.")
            continue
        nearest = min(seen, key=lambda s: _range_of(outlook, s))
        away = _range_of(outlook, nearest)
        yield SitingCheck(
            rule, device.id, (nearest.id,), f"“{nearest.id}” lies in its beams, {away:.1f} m away.",
            away, ">=", limit, "m", citation="common practice, no source",
            fix="Turn it away, hang it elsewhere, or choose a kind that wants two technologies.",
        )  # fmt: skip


def _spot(thing: HeatSource) -> Spot:
    half = thing.size_m / 2.0
    low, high = max(0.0, thing.height_m - half), thing.height_m + half
    return Spot(thing.id, *thing.position, low, high, thing.size_m)


def _beside(scheme: ProtectionScheme, device: Device, lines: Sightlines, outlook: Outlook) -> Iterator[SitingCheck]:
    """What is next to the detector itself, on its side of the walls: heat, air on it, the cold of an outside door."""
    near: list[tuple[float, str]] = []
    for h in scheme.premises.heat_sources:
        if h.storey_id == device.storey_id and _same_side(outlook, h.position):
            away = math.dist((*device.position, device.height_m), (*h.position, min(h.height_m, device.height_m)))
            near.append((away, h.id))
    for shape in lines.plan.openings:
        if shape.opening.is_outside and shape.opening.kind in (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR):
            spot = _in_front(shape, outlook)
            if _same_side(outlook, (spot.x, spot.y)):
                near.append((shape.outline.distance(Point(device.position)), shape.opening.id))
    if not near:
        return
    away, key = min(near)
    yield SitingCheck(
        "draught-at-detector",
        device.id,
        (key,),
        f"“{key}” is {away:.1f} m from the detector itself.",
        away,
        ">=",
        BESIDE_M,
        "m",
        citation="common practice, no source; the distance is an assumption",
        fix="Hang it farther from heat, outlets and outside doors.",
    )


def _same_side(outlook: Outlook, place: tuple[float, float]) -> bool:
    """Whether nothing solid stands between the detector and a place, or a thing fixed to the wall there."""
    away = math.dist(place, outlook.eye)
    direction = math.atan2(place[1] - outlook.eye[1], place[0] - outlook.eye[0]) % (2.0 * math.pi)
    return away <= FIXED_M or float(outlook.view.depth(direction)) >= away - FIXED_M


def _moving(scheme: ProtectionScheme, device: Device, lines: Sightlines, outlook: Outlook) -> Iterator[SitingCheck]:
    spots = []
    for o in lines.obstacles:
        if o.moves:
            ring = np.array(o.outline)
            low, high = ring.min(axis=0), ring.max(axis=0)
            width = float(max(0.2, *(high - low)))
            x, y = (low + high) / 2.0
            spots.append(Spot(o.id, float(x), float(y), o.base_m, max(o.height_m, o.base_m + 0.05), width))
    for p in scheme.premises.services:
        if p.kind == "fan" and p.storey_id == device.storey_id:
            spots.append(Spot(p.id, p.position[0], p.position[1], max(0.0, p.height_m - 0.2), p.height_m + 0.2, 0.4))
    if not spots:
        return
    seen = [s.id for s in _seen(outlook, spots)]
    yield _yes_or_no(
        "moving-in-view", device, seen, "moves or swings in its beams", "Nothing noted as moving lies in its beams.",
        "Fix it, take it down while the system is set, or turn the detector away.",
    )  # fmt: skip


def _hatches(device: Device, lines: Sightlines, outlook: Outlook) -> Iterator[SitingCheck]:
    hatches = [s for s in lines.plan.openings if s.opening.kind is OpeningKind.HATCH and not s.opening.is_outside]
    if hatches:
        seen = [s.id for s in _seen(outlook, [_in_front(s, outlook) for s in hatches])]
        yield _yes_or_no(
            "hatch-in-view", device, seen, "is a hatch to unheated space in its beams: cold air falls through it",
            "No hatch lies in its beams.", "Seal the hatch, or turn the detector away.",
        )  # fmt: skip


def _yes_or_no(rule: str, device: Device, seen: list[str], bad: str, good: str, fix: str) -> SitingCheck:
    said = "; ".join(f"“{key}” {bad}" for key in seen) + "." if seen else good
    return SitingCheck(
        rule, device.id, tuple(seen), said, float(len(seen)), "<=", 0.0, "in view",
        citation="common practice, no source", fix=fix,
    )  # fmt: skip


def _warm_room(device: Device, lines: Sightlines) -> Iterator[SitingCheck]:
    room = lines.plan.room_at(device.position)
    if room is not None and room.temperature_max_c is not None:
        yield SitingCheck(
            "warm-room", device.id, (room.id,), f"“{room.name}” reaches {room.temperature_max_c:g} °C.",
            room.temperature_max_c, "<=", WARM_ROOM_C, "°C",
            citation="people and room look alike near 34 °C, computed; the limit is an assumption",
            fix="A dual-technology detector that acts on either part, or another kind for hot days.",
        )  # fmt: skip
