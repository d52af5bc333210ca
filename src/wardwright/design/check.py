"""Broken references and impossible values in a design, each in plain words.

A poor design is a finding, made elsewhere; here is only what cannot be as it stands.
"""

import math
import re
from collections import Counter
from collections.abc import Iterator
from datetime import date

from shapely import Point, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Backup, Device, Keep, Loop
from wardwright.design.programme import ZoneResponse
from wardwright.design.reading_places import place_wanted, reading_places
from wardwright.design.system import ProtectionScheme
from wardwright.premises.check import Problem, check_premises, repeated
from wardwright.premises.model import Premises
from wardwright.premises.plan import storey_plans

__all__ = ["Problem", "check_design"]

_SUPPLIES = (Family.PANEL, Family.ALL_IN_ONE, Family.SUPPLY)
_INPUT_ENDS = (Family.PANEL, Family.ALL_IN_ONE, Family.EXPANDER)
_NOT_PLACED = (Family.BATTERY, Family.RESISTOR, Family.CABLE, Family.LABOUR)
_OUT_OF_DOORS = (Family.OUTER_SOUNDER, Family.STROBE, Family.BEAM, Family.CONTACT, Family.SHOCK)
_BEYOND_M = 0.6
"""An indoor device may stand this far beyond the rooms' outlines: the thickness of a wall. [m]"""
_YARD_M = 60.0
"""Nothing belongs to a house that is farther from it than this. Assumption. [m]"""

_TIMER_LIMITS: dict[str, tuple[float, str]] = {
    "entry_s": (600.0, "entry time"),
    "exit_s": (600.0, "exit time"),
    "bell_s": (7200.0, "sounder time"),
    "abort_s": (600.0, "abort window"),
    "cancel_s": (21_600.0, "cancel window"),
    "confirm_window_s": (86_400.0, "confirmation window"),
    "cross_zone_s": (3600.0, "cross-zone time"),
    "mains_fail_delay_s": (172_800.0, "delay of the mains-fail report"),
    "path_fail_delay_s": (2_764_800.0, "delay of the path-fail report"),
}
"""Longest times anybody programmes on purpose. Assumption."""


def check_design(scheme: ProtectionScheme) -> tuple[Problem, ...]:
    """Every broken reference and impossible value of a scheme, the building's own first.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, catalogue, brief, readings.

    Returns
    -------
    tuple of Problem
        Empty when nothing is wrong.
    """
    return (
        *check_premises(scheme.premises),
        *_ids(scheme),
        *_devices(scheme),
        *_cables(scheme),
        *_loops(scheme),
        *_feeds(scheme),
        *_radio(scheme),
        *(p for backup in scheme.design.backups for p in _backup(backup, scheme)),
        *_zones(scheme),
        *_timers(scheme),
        *_paths(scheme),
        *_rights(scheme),
        *_readings(scheme),
    )


def _kinds(scheme: ProtectionScheme) -> dict[str, DeviceKind]:
    known = scheme.catalogue.kinds
    return {d.id: known[d.kind] for d in scheme.design.devices if d.kind in known}


def _name(device: Device) -> str:
    return f"“{device.name or device.id}”"


def _ids(scheme: ProtectionScheme) -> Iterator[Problem]:
    design, programme = scheme.design, scheme.design.programme
    yield from repeated(
        (
            ("device", (d.id for d in design.devices)),
            ("cable", (c.id for c in design.cables)),
            ("loop", (loop.id for loop in design.loops)),
            ("feed", (f.id for f in design.feeds)),
            ("zone", (z.id for z in programme.zones)),
            ("reporting path", (p.id for p in programme.paths)),
        )
    )
    yield from repeated((("area", (a.id for a in programme.areas)),))
    yield from repeated((("right", (r.id for r in programme.rights)),))


def _devices(scheme: ProtectionScheme) -> Iterator[Problem]:
    premises = scheme.premises
    storeys = {s.id for s in premises.storeys}
    openings = {o.id: o for o in premises.openings}
    rooms = {r.id for r in premises.rooms}
    kinds = _kinds(scheme)
    floors = _floors(premises) if premises.survey != "approximate" else {}
    for device in scheme.design.devices:
        kind = kinds.get(device.id)
        if kind is None:
            said = f"{_name(device)} is of the kind “{device.kind}”, which the catalogue does not have"
            yield Problem(device.id, said, "the id of a kind in the catalogue", "broken")
        elif kind.family in _NOT_PLACED:
            said = f"{_name(device)} is a {kind.family.value}, which is not placed on the plan"
            yield Problem(device.id, said, "batteries under backups, cables under cables", "impossible")
        if device.storey_id not in storeys:
            said = f"{_name(device)} is on the storey “{device.storey_id}”, which there is not"
            yield Problem(device.id, said, "the id of a storey", "broken")
        elif kind is not None:
            yield from _place(device, kind, floors, premises)
        if device.room_id is not None and device.room_id not in rooms:
            said = f"{_name(device)} is in the room “{device.room_id}”, which there is not"
            yield Problem(device.id, said, "the id of a room, or none", "broken")
        opening = openings.get(device.opening_id or "")
        if device.opening_id is not None and opening is None:
            said = f"{_name(device)} sits on the opening “{device.opening_id}”, which there is not"
            yield Problem(device.id, said, "the id of an opening", "broken")
        elif device.leaf_id is not None and (
            opening is None or device.leaf_id not in {leaf.id for leaf in opening.leaves}
        ):
            on = f"“{opening.name}” has not" if opening else "belongs to no opening given"
            said = f"{_name(device)} sits on the leaf “{device.leaf_id}”, which {on}"
            yield Problem(device.id, said, "the id of a leaf of its opening, or none", "broken")
        elif kind is not None and kind.family is Family.CONTACT and device.opening_id is None:
            said = f"{_name(device)} is a contact and sits on no opening"
            yield Problem(device.id, said, "the id of the door, window or hatch it watches", "broken")


def _floors(premises: Premises) -> dict[str, BaseGeometry]:
    """What is under roof on each storey: rooms and walls together. A building that cannot be drawn gives nothing."""
    try:
        plans = storey_plans(premises)
    except ValueError:
        return {}
    floors: dict[str, BaseGeometry] = {}
    for key, plan in plans.items():
        filled = [Polygon(body.exterior) for body in plan.bodies.values()]
        under = unary_union([*plan.room_shapes.values(), *filled])
        if not under.is_empty:
            floors[key] = under
    return floors


def _place(device: Device, kind: DeviceKind, floors: dict[str, BaseGeometry], premises: Premises) -> Iterator[Problem]:
    floor = floors.get(device.storey_id)
    if floor is None:
        return
    gap = floor.distance(Point(device.position))
    outdoors = kind.family in _OUT_OF_DOORS or device.opening_id is not None
    if gap > (_YARD_M if outdoors else _BEYOND_M):
        said = f"{_name(device)} stands {gap:.1f} m outside the building"
        yield Problem(device.id, said, f"a place on the storey “{device.storey_id}”", "impossible")
    storey = premises.storey(device.storey_id)
    tallest = max([storey.height_m, *(r.height_m or 0.0 for r in premises.rooms if r.storey_id == storey.id)])
    if not outdoors and device.height_m > tallest + 0.5:
        said = f"{_name(device)} is fixed {device.height_m:.2f} m up, above a ceiling of {tallest:.2f} m"
        yield Problem(device.id, said, f"at most {tallest:.2f} m", "impossible")


def _cables(scheme: ProtectionScheme) -> Iterator[Problem]:
    devices = {d.id: d for d in scheme.design.devices}
    storeys = {s.id: s for s in scheme.premises.storeys}
    for cable in scheme.design.cables:
        for end in (cable.from_id, cable.to_id):
            if end not in devices:
                said = f"this cable ends at “{end}”, which there is not"
                yield Problem(cable.id, said, "the id of a device", "broken")
        if cable.kind is not None:
            kind = scheme.catalogue.kinds.get(cable.kind)
            if kind is None or kind.family is not Family.CABLE:
                what = "which the catalogue does not have" if kind is None else f"which is a {kind.family.value}"
                yield Problem(cable.id, f"this cable is “{cable.kind}”, {what}", "a kind of cable, or none", "broken")
        first, last = devices.get(cable.from_id), devices.get(cable.to_id)
        if cable.length_m is None or first is None or last is None or scheme.premises.survey == "approximate":
            continue
        if first.storey_id in storeys and last.storey_id in storeys:
            rise = storeys[first.storey_id].elevation_m + first.height_m
            rise -= storeys[last.storey_id].elevation_m + last.height_m
            straight = math.hypot(first.position[0] - last.position[0], first.position[1] - last.position[1], rise)
            if cable.length_m < 0.9 * straight - 0.5:
                said = f"this cable is {cable.length_m:.1f} m long between two devices {straight:.1f} m apart"
                yield Problem(cable.id, said, f"at least {straight:.1f} m", "impossible")


def _loops(scheme: ProtectionScheme) -> Iterator[Problem]:
    devices = {d.id for d in scheme.design.devices}
    cables = {c.id for c in scheme.design.cables}
    kinds = _kinds(scheme)
    ends: Counter[str] = Counter()
    on_loop: dict[str, str] = {}
    for loop in scheme.design.loops:
        yield from _loop_end(loop, devices, kinds)
        ends[loop.at] += loop.status is not Keep.REPLACED
        for contact in loop.contacts:
            if contact not in devices:
                said = f"this loop runs through “{contact}”, which there is not"
                yield Problem(loop.id, said, "the id of a device", "broken")
            elif contact in kinds and kinds[contact].radio:
                said = f"this wired loop runs through “{contact}”, which is a radio device"
                yield Problem(loop.id, said, "a wired device, or a radio link", "impossible")
            if contact in on_loop:
                both = "this loop twice" if on_loop[contact] == loop.id else f"this loop and on “{on_loop[contact]}”"
                yield Problem(loop.id, f"“{contact}” is on {both}", "each contact on one loop, once", "broken")
            on_loop.setdefault(contact, loop.id)
        for resistor in loop.resistors:
            if resistor.at not in devices:
                said = f"a resistor of this loop sits in “{resistor.at}”, which there is not"
                yield Problem(loop.id, said, "the id of the device it sits in", "broken")
        for cable_id in loop.cable_ids:
            if cable_id not in cables:
                said = f"this loop runs in the cable “{cable_id}”, which there is not"
                yield Problem(loop.id, said, "the id of a cable", "broken")
    for key, count in ends.items():
        space = kinds[key].get("inputs") if key in kinds else None
        if space is not None and count > space:
            said = f"{count} loops end on “{key}”, which has {space:.0f} inputs"
            yield Problem(key, said, "an expander, or a larger panel", "impossible")


def _loop_end(loop: Loop, devices: set[str], kinds: dict[str, DeviceKind]) -> Iterator[Problem]:
    if loop.at not in devices:
        said = f"this loop ends on “{loop.at}”, which there is not"
        yield Problem(loop.id, said, "the id of a panel or expander", "broken")
    elif loop.at in kinds and kinds[loop.at].family not in _INPUT_ENDS:
        said = f"this loop ends on “{loop.at}”, which is a {kinds[loop.at].family.value} and has no inputs"
        yield Problem(loop.id, said, "the id of a panel or expander", "impossible")


def _feeds(scheme: ProtectionScheme) -> Iterator[Problem]:
    devices = {d.id for d in scheme.design.devices}
    cables = {c.id for c in scheme.design.cables}
    for feed in scheme.design.feeds:
        for end in (feed.from_id, feed.to_id):
            if end not in devices:
                said = f"this run of supply joins “{end}”, which there is not"
                yield Problem(feed.id, said, "the id of a device", "broken")
        if feed.cable_id is not None and feed.cable_id not in cables:
            said = f"this run of supply is in the cable “{feed.cable_id}”, which there is not"
            yield Problem(feed.id, said, "the id of a cable, or none", "broken")
    for cycle in supply_circles(scheme):
        said = f"the supply runs in a circle: {' → '.join([*cycle, cycle[0]])}"
        yield Problem(cycle[0], said, "each device fed from nearer the battery", "impossible")


def supply_circles(scheme: ProtectionScheme) -> tuple[tuple[str, ...], ...]:
    """Devices that feed each other in a circle; a ring closed at its supply is none.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.

    Returns
    -------
    tuple of tuple of str
        The first circle met, device ids in order; empty where there is none.
    """
    kinds = _kinds(scheme)
    onward: dict[str, list[str]] = {}
    for feed in scheme.design.feeds:
        if not (_is_supply(feed.to_id, kinds) and not _is_supply(feed.from_id, kinds)):
            onward.setdefault(feed.from_id, []).append(feed.to_id)
    return tuple(tuple(cycle) for cycle in _cycles(onward))


def _is_supply(key: str, kinds: dict[str, DeviceKind]) -> bool:
    return key in kinds and kinds[key].family in _SUPPLIES


def _cycles(onward: dict[str, list[str]]) -> Iterator[list[str]]:
    """The first circle met, by a walk in depth that marks what it has finished. A ring closed at its supply is none."""
    finished: set[str] = set()
    for start in onward:
        if start in finished:
            continue
        path: list[str] = []
        stack: list[tuple[str, int]] = [(start, 0)]
        while stack:
            node, turn = stack.pop()
            if turn == 0:
                path.append(node)
            ways = onward.get(node, [])
            if turn < len(ways):
                stack.append((node, turn + 1))
                following = ways[turn]
                if following in path:
                    yield path[path.index(following) :]
                    return
                if following not in finished:
                    stack.append((following, 0))
            else:
                finished.add(node)
                path.pop()


def _radio(scheme: ProtectionScheme) -> Iterator[Problem]:
    kinds = _kinds(scheme)
    devices = {d.id for d in scheme.design.devices}
    per_receiver: Counter[str] = Counter()
    for link in scheme.design.radio:
        for key in (link.device_id, link.receiver_id):
            if key not in devices:
                said = f"this radio link joins “{key}”, which there is not"
                yield Problem(link.device_id, said, "the id of a device", "broken")
        sender, receiver = kinds.get(link.device_id), kinds.get(link.receiver_id)
        per_receiver[link.receiver_id] += 1
        if sender is not None and not sender.radio:
            said = f"“{link.device_id}” has a radio link and is no radio device"
            yield Problem(link.device_id, said, "a radio kind, or a loop", "impossible")
        if receiver is not None and "radio_sensitivity_dbm" not in receiver.figures:
            said = f"“{link.device_id}” sends to “{link.receiver_id}”, which receives nothing"
            yield Problem(link.device_id, said, "a radio receiver or an all-in-one control", "impossible")
        elif sender is not None and receiver is not None and sender.radio:
            sent, heard = sender.get("radio_frequency_hz"), receiver.get("radio_frequency_hz")
            if sent is not None and heard is not None and abs(sent - heard) > 2e6:
                said = f"“{link.device_id}” sends on {sent / 1e6:.2f} MHz, its receiver hears {heard / 1e6:.2f} MHz"
                yield Problem(link.device_id, said, "both on one band", "impossible")
    for key, count in per_receiver.items():
        space = kinds[key].get("radio_devices_max") if key in kinds else None
        if space is not None and count > space:
            said = f"{count} radio devices talk to “{key}”, which holds {space:.0f}"
            yield Problem(key, said, "a second receiver", "impossible")


def _backup(backup: Backup, scheme: ProtectionScheme) -> Iterator[Problem]:
    host = _kinds(scheme).get(backup.at)
    if backup.at not in {d.id for d in scheme.design.devices}:
        yield Problem(
            backup.at, f"a battery stands in “{backup.at}”, which there is not", "a panel or supply", "broken"
        )
    elif host is not None and host.family not in _SUPPLIES and host.words.get("self_powered") != "yes":
        said = f"a battery stands in “{backup.at}”, which is a {host.family.value}"
        yield Problem(backup.at, said, "a panel, a supply or a self-powered sounder", "impossible")
    kind = scheme.catalogue.kinds.get(backup.kind)
    if kind is None or kind.family is not Family.BATTERY:
        what = "which the catalogue does not have" if kind is None else f"which is a {kind.family.value}"
        yield Problem(backup.at, f"its battery is “{backup.kind}”, {what}", "a kind of battery", "broken")
        return
    capacity = (kind.get("capacity_ah") or 0.0) * backup.count
    if capacity <= 0.0:
        yield Problem(backup.at, "its battery holds 0 Ah", "a capacity above zero", "impossible")
    space = host.get("battery_space_ah") if host is not None else None
    if space is not None and capacity > space * 1.05:
        said = f"{capacity:g} Ah of battery stand in an enclosure for {space:g} Ah"
        yield Problem(backup.at, said, f"at most {space:g} Ah", "impossible")


def _zones(scheme: ProtectionScheme) -> Iterator[Problem]:
    programme = scheme.design.programme
    areas = {a.id for a in programme.areas}
    loops = {loop.id: loop for loop in scheme.design.loops}
    devices = {d.id for d in scheme.design.devices}
    zones = {z.id for z in programme.zones}
    numbers: dict[int, str] = {}
    loop_zone: dict[str, str] = {}
    for zone in programme.zones:
        if zone.number in numbers:
            said = f"zone number {zone.number} stands twice: “{numbers[zone.number]}” and “{zone.name or zone.id}”"
            yield Problem(zone.id, said, "a number of its own for each zone", "broken")
        numbers.setdefault(zone.number, zone.name or zone.id)
        for area_id in zone.area_ids:
            if area_id not in areas:
                said = f"zone {zone.number} belongs to the area “{area_id}”, which there is not"
                yield Problem(zone.id, said, "the id of an area", "broken")
        for device_id in zone.device_ids:
            if device_id not in devices:
                said = f"zone {zone.number} hears “{device_id}”, which there is not"
                yield Problem(zone.id, said, "the id of a device", "broken")
        loop = loops.get(zone.loop_id or "")
        if zone.loop_id is not None and loop is None:
            said = f"zone {zone.number} is the loop “{zone.loop_id}”, which there is not"
            yield Problem(zone.id, said, "the id of a loop, or none", "broken")
        elif not zone.device_ids and (loop is None or not loop.contacts):
            said = f"zone {zone.number} “{zone.name}” has no device"
            yield Problem(zone.id, said, "at least one device, or no such zone", "broken")
        if zone.loop_id is not None:
            if zone.loop_id in loop_zone:
                said = f"the loop “{zone.loop_id}” is zone {loop_zone[zone.loop_id]} and zone {zone.number}"
                yield Problem(zone.id, said, "one zone for each loop", "broken")
            loop_zone.setdefault(zone.loop_id, str(zone.number))
        if zone.cross_zone_id is not None and (zone.cross_zone_id == zone.id or zone.cross_zone_id not in zones):
            said = f"zone {zone.number} is crossed with “{zone.cross_zone_id}”"
            yield Problem(zone.id, said, "the id of another zone", "broken")
    kinds = _kinds(scheme)
    spaces = [k.get("zones_max") or 0.0 for k in kinds.values() if k.family in (Family.PANEL, Family.ALL_IN_ONE)]
    if spaces and len(programme.zones) > sum(spaces):
        said = f"there are {len(programme.zones)} zones in a panel that holds {sum(spaces):.0f}"
        yield Problem("programme", said, "fewer zones, or a larger panel", "impossible")


def _timers(scheme: ProtectionScheme) -> Iterator[Problem]:
    programme = scheme.design.programme
    values = {"programme": programme.timers.model_dump()}
    values |= {a.id: {"entry_s": a.entry_s, "exit_s": a.exit_s} for a in programme.areas}
    for where, timers in values.items():
        for field, (longest, name) in _TIMER_LIMITS.items():
            value = timers.get(field)
            if isinstance(value, float) and value > longest:
                said = f"the {name} is {value:g} s"
                yield Problem(where, said, f"at most {longest:g} s", "impossible")
    delayed = {a for z in programme.zones if z.response is ZoneResponse.ENTRY_EXIT for a in z.area_ids}
    for area in programme.areas:
        entry = programme.timers.entry_s if area.entry_s is None else area.entry_s
        if area.id in delayed and entry <= 0.0:
            said = f"the area “{area.name}” has an entry zone and an entry time of 0 s"
            yield Problem(area.id, said, "time to reach the keypad", "impossible")


def _paths(scheme: ProtectionScheme) -> Iterator[Problem]:
    programme = scheme.design.programme
    kinds = _kinds(scheme)
    devices = {d.id for d in scheme.design.devices}
    for output in programme.outputs:
        if output.device_id not in devices:
            said = f"an output drives “{output.device_id}”, which there is not"
            yield Problem(output.device_id, said, "the id of a device", "broken")
    for key in programme.entry_path_keypad_ids:
        if key not in devices or (key in kinds and kinds[key].family not in (Family.KEYPAD, Family.ALL_IN_ONE)):
            what = "which there is not" if key not in devices else "which is no keypad"
            yield Problem(key, f"people set and unset at “{key}”, {what}", "the id of a keypad", "broken")
    for path in programme.paths:
        kind = kinds.get(path.device_id)
        if path.device_id not in devices:
            said = f"this reporting path has no communicator: it runs by “{path.device_id}”, which there is not"
            yield Problem(path.id, said, "the id of a communicator", "broken")
        elif kind is not None and kind.family not in (Family.COMMUNICATOR, Family.PANEL, Family.ALL_IN_ONE):
            said = f"this reporting path runs by “{path.device_id}”, which is a {kind.family.value}"
            yield Problem(path.id, said, "the id of a communicator", "impossible")
        elif kind is not None and kind.words.get(f"path_{path.kind}") == "no":
            said = f"this path is {path.kind}, and its communicator “{path.device_id}” does not report that way"
            yield Problem(path.id, said, "a communicator that does", "impossible")
        for dependency in path.hangs_on:
            if dependency.ends and not _is_date(dependency.ends):
                said = f"“{dependency.name}” ends on “{dependency.ends}”"
                yield Problem(path.id, said, "a date as YYYY-MM-DD, or nothing", "impossible")


def _rights(scheme: ProtectionScheme) -> Iterator[Problem]:
    areas = {a.id for a in scheme.design.programme.areas}
    for right in scheme.design.programme.rights:
        for area_id in right.area_ids:
            if area_id not in areas:
                said = f"this right is for the area “{area_id}”, which there is not"
                yield Problem(right.id, said, "the id of an area", "broken")
        for time in (right.from_time, right.until_time):
            if time and not re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", time):
                yield Problem(right.id, f"this right names the time “{time}”", "a time as HH:MM", "impossible")
        if right.expires and not _is_date(right.expires):
            said = f"this right expires on “{right.expires}”"
            yield Problem(right.id, said, "a date as YYYY-MM-DD, or nothing", "impossible")


def _is_date(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _readings(scheme: ProtectionScheme) -> Iterator[Problem]:
    """Readings are never taken back, so one that names nothing (any more) is told and left out, and stops no proof."""
    for reading in scheme.readings:
        if reading.at not in reading_places(reading.quantity, scheme.design, scheme.premises):
            said = f"this reading of {reading.quantity} was taken at “{reading.at}”, which is no place for it here"
            yield Problem(reading.id, said, place_wanted(reading.quantity), "impossible")
