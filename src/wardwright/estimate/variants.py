"""Variants of a design by ordinary edits: something left out, something added, with the client's words for it.

Each variant is a whole design and can be proved like any other.
"""

from collections.abc import Callable
from dataclasses import dataclass

from shapely import Polygon

from wardwright.catalogue.kinds import Catalogue, DeviceKind, Family
from wardwright.design.devices import Backup, Device, Feed, Keep, Loop, RadioLink, Resistor, Scheme
from wardwright.design.programme import ReportingPath, Zone, ZoneResponse
from wardwright.design.system import Design
from wardwright.premises.fabric import Room
from wardwright.premises.model import Premises


@dataclass(frozen=True)
class Change:
    """One edit that sets an offer apart, in the client's words."""

    key: str
    what: str
    effect: str
    """What it gains, or what it gives up. Never how anything could be got past."""


Edit = tuple[Design, Change]


def _kinds(design: Design, catalogue: Catalogue) -> dict[str, DeviceKind]:
    return {d.id: catalogue.kinds[d.kind] for d in design.devices if d.kind in catalogue.kinds}


def without_devices(design: Design, gone: frozenset[str]) -> Design:
    """A design without some devices: they leave loops, zones, outputs, feeds, cables and links as well.

    Parameters
    ----------
    design : Design
        The design.
    gone : frozenset of str
        Ids of the devices that go.

    Returns
    -------
    Design
        The rest. A loop or zone that is left with no device goes too, and its resistors move to the new last contact.
    """
    loops: list[Loop] = []
    for loop in design.loops:
        contacts = tuple(c for c in loop.contacts if c not in gone)
        if loop.contacts and not contacts:
            continue
        resistors: list[Resistor] = []
        for resistor in loop.resistors:
            if resistor.at not in gone:
                resistors.append(resistor)
            elif resistor.role == "end of line" and contacts:
                resistors.append(resistor.model_copy(update={"at": contacts[-1]}))
        loops.append(loop.model_copy(update={"contacts": contacts, "resistors": tuple(resistors)}))
    kept_loops = {loop.id for loop in loops}
    lost_loops = {loop.id for loop in design.loops} - kept_loops
    zones: list[Zone] = []
    for zone in design.programme.zones:
        left = tuple(d for d in zone.device_ids if d not in gone)
        loop_id = None if zone.loop_id in lost_loops else zone.loop_id
        if not left and loop_id is None and (zone.device_ids or zone.loop_id):
            continue
        zones.append(zone.model_copy(update={"device_ids": left, "loop_id": loop_id}))
    kept_zones = {zone.id for zone in zones}
    zones = [
        z if z.cross_zone_id is None or z.cross_zone_id in kept_zones else z.model_copy(update={"cross_zone_id": None})
        for z in zones
    ]
    programme = design.programme.model_copy(
        update={
            "zones": tuple(zones),
            "outputs": tuple(o for o in design.programme.outputs if o.device_id not in gone),
            "paths": tuple(p for p in design.programme.paths if p.device_id not in gone),
        }
    )
    return design.model_copy(
        update={
            "devices": tuple(d for d in design.devices if d.id not in gone),
            "cables": tuple(c for c in design.cables if c.from_id not in gone and c.to_id not in gone),
            "loops": tuple(loops),
            "feeds": tuple(f for f in design.feeds if f.from_id not in gone and f.to_id not in gone),
            "radio": tuple(r for r in design.radio if r.device_id not in gone and r.receiver_id not in gone),
            "backups": tuple(b for b in design.backups if b.at not in gone),
            "programme": programme,
        }
    )


def _fed_onwards(design: Design, device_id: str) -> bool:
    """True where something else is fed or cabled through this device, so that it cannot simply be left out."""
    return (
        any(f.from_id == device_id for f in design.feeds)
        or any(device_id in loop.contacts[:-1] for loop in design.loops)
        or sum(device_id in (c.from_id, c.to_id) for c in design.cables) > 1
    )


def _drop(design: Design, catalogue: Catalogue, families: tuple[Family, ...], change: Change) -> Edit | None:
    kinds = _kinds(design, catalogue)
    gone = frozenset(
        d.id
        for d in design.devices
        if d.status is Keep.NEW and d.id in kinds and kinds[d.id].family in families and not _fed_onwards(design, d.id)
    )
    return (without_devices(design, gone), change) if gone else None


def _leave_out_ancillaries(design: Design, catalogue: Catalogue, _: Premises) -> Edit | None:
    change = Change(
        "ancillaries",
        "No flood and low-temperature detectors",
        "The system does not tell of water on the floor or of frost. Smoke and carbon monoxide inputs stay.",
    )
    return _drop(design, catalogue, (Family.FLOOD, Family.COLD), change)


def _leave_out_strobe(design: Design, catalogue: Catalogue, _: Premises) -> Edit | None:
    change = Change("strobe", "No separate strobe", "Whoever comes to help finds the house by sound alone.")
    return _drop(design, catalogue, (Family.STROBE,), change)


def _leave_out_second_acoustic(design: Design, catalogue: Catalogue, premises: Premises) -> Edit | None:
    """Glass-break detectors go where a motion detector stands in the same room."""
    kinds = _kinds(design, catalogue)
    rooms = {d.id: _room_of(d, premises) for d in design.devices}
    watched = {
        rooms[d.id] for d in design.devices if d.id in kinds and kinds[d.id].family in (Family.MOTION, Family.DUAL)
    } - {None}
    gone = frozenset(
        d.id
        for d in design.devices
        if d.id in kinds
        and kinds[d.id].family is Family.GLASS_BREAK
        and d.status is Keep.NEW
        and rooms[d.id] in watched
        and not _fed_onwards(design, d.id)
    )
    if not gone:
        return None
    change = Change(
        "acoustic",
        f"{len(gone)} fewer glass-break detectors",
        "In those rooms a break-in is noticed later, and not while people are at home with the motion detectors off.",
    )
    return without_devices(design, gone), change


def _one_path(design: Design, catalogue: Catalogue, _: Premises) -> Edit | None:
    kinds = _kinds(design, catalogue)
    singles = [
        k
        for k in catalogue.family(Family.COMMUNICATOR)
        if k.words.get("path_ip") == "yes" and k.words.get("path_cellular") != "yes"
    ]
    if not singles:
        return None
    single = min(singles, key=lambda k: k.need("price"))
    swapped = {
        d.id
        for d in design.devices
        if d.status is Keep.NEW
        and d.id in kinds
        and kinds[d.id].family is Family.COMMUNICATOR
        and kinds[d.id].words.get("path_ip") == "yes"
        and kinds[d.id].words.get("path_cellular") == "yes"
    }
    if not swapped:
        return None
    paths = tuple(p for p in design.programme.paths if not (p.device_id in swapped and p.kind == "cellular"))
    if not any(p.device_id in swapped for p in paths):
        return None
    category = single.words.get("ats_category", "")
    paths = tuple(p.model_copy(update={"category": category}) if p.device_id in swapped else p for p in paths)
    changed = design.model_copy(
        update={
            "devices": tuple(
                d.model_copy(update={"kind": single.id}) if d.id in swapped else d for d in design.devices
            ),
            "programme": design.programme.model_copy(update={"paths": paths}),
        }
    )
    return changed, Change("path", "One way of reporting instead of two", "Help is called by a single way.")


def _second_path(design: Design, catalogue: Catalogue, _: Premises) -> Edit | None:
    kinds = _kinds(design, catalogue)
    doubles = [
        k
        for k in catalogue.family(Family.COMMUNICATOR)
        if k.words.get("path_ip") == "yes" and k.words.get("path_cellular") == "yes"
    ]
    carried = {p.kind for p in design.programme.paths}
    if not doubles or {"ip", "cellular"} <= carried:
        return None
    double = min(doubles, key=lambda k: k.need("price"))
    for device in design.devices:
        if device.status is not Keep.NEW or device.id not in kinds:
            continue
        if kinds[device.id].family is not Family.COMMUNICATOR:
            continue
        own = [p for p in design.programme.paths if p.device_id == device.id]
        missing = [k for k in ("ip", "cellular") if k not in {p.kind for p in own}]
        if not own or not missing:
            continue
        added = tuple(
            ReportingPath.model_validate(
                {
                    "id": _unused(f"{own[0].id}-{kind}", design),
                    "kind": kind,
                    "device_id": device.id,
                    "priority": min(9, max(p.priority for p in own) + 1),
                    "category": double.words.get("ats_category", ""),
                }
            )
            for kind in missing
        )
        category = double.words.get("ats_category", "")
        paths = tuple(
            p.model_copy(update={"category": category}) if p.device_id == device.id else p
            for p in design.programme.paths
        )
        changed = design.model_copy(
            update={
                "devices": tuple(
                    d.model_copy(update={"kind": double.id}) if d.id == device.id else d for d in design.devices
                ),
                "programme": design.programme.model_copy(update={"paths": paths + added}),
            }
        )
        return changed, Change("path", "A second way of reporting", "Help is called by either of two separate ways.")
    return None


def _larger_battery(design: Design, catalogue: Catalogue, _: Premises) -> Edit | None:
    kinds = _kinds(design, catalogue)
    backups: list[Backup] = []
    changed = 0
    for backup in design.backups:
        now = catalogue.kinds.get(backup.kind)
        host = kinds.get(backup.at)
        space = host.get("battery_space_ah") if host else None
        larger = [
            k
            for k in catalogue.family(Family.BATTERY)
            if now is not None
            and space is not None
            and k.words.get("chemistry") == now.words.get("chemistry")
            and now.need("capacity_ah") < k.need("capacity_ah") <= space / backup.count
        ]
        if larger and not backup.age_years:
            changed += 1
            best = min(larger, key=lambda k: k.need("capacity_ah"))
            backups.append(backup.model_copy(update={"kind": best.id}))
        else:
            backups.append(backup)
    if not changed:
        return None
    change = Change("battery", "A larger battery", "The system works longer without mains.")
    return design.model_copy(update={"backups": tuple(backups)}), change


def _hear_glass(design: Design, catalogue: Catalogue, premises: Premises) -> Edit | None:
    """A glass-break detector on the ceiling of each room with outside glass that has none."""
    kinds = _kinds(design, catalogue)
    hub = next((d for d in design.devices if d.id in kinds and "radio_sensitivity_dbm" in kinds[d.id].figures), None)
    panel = next((d for d in design.devices if d.id in kinds and kinds[d.id].family is Family.PANEL), None)
    area = design.programme.areas[0].id if design.programme.areas else None
    kind = _acoustic_kind(catalogue, kinds, hub)
    end = hub if kind is not None and kind.radio else panel
    if kind is None or end is None or area is None:
        return None
    covered = {_room_of(d, premises) for d in design.devices if d.id in kinds and kinds[d.id].family is kind.family}
    rooms = [r for r in _glazed_rooms(premises) if r.id not in covered]
    for room in rooms:
        design = _with_acoustic(design, room, kind, kinds[end.id], end, area, premises)
    if not rooms:
        return None
    count = "1 room" if len(rooms) == 1 else f"{len(rooms)} rooms"
    change = Change(
        "acoustic",
        f"Glass-break detectors in {count} more",
        "A break-in through glass is noticed as it happens, also while people sleep.",
    )
    return design, change


def _acoustic_kind(catalogue: Catalogue, kinds: dict[str, DeviceKind], hub: Device | None) -> DeviceKind | None:
    band = None if hub is None else kinds[hub.id].get("radio_frequency_hz")
    fitting = [
        k
        for k in catalogue.family(Family.GLASS_BREAK)
        if (k.radio and band is not None and abs(k.need("radio_frequency_hz") - band) < 1e6)
        or (not k.radio and hub is None)
    ]
    return min(fitting, key=lambda k: k.need("price"), default=None)


def _glazed_rooms(premises: Premises) -> list[Room]:
    glazed = {
        room_id
        for o in premises.openings
        if o.is_outside and any(leaf.glazing is not None for leaf in o.leaves)
        for room_id in o.room_ids
    }
    return [r for r in premises.rooms if r.id in glazed and r.indoors]


def _with_acoustic(
    design: Design, room: Room, kind: DeviceKind, end_kind: DeviceKind, end: Device, area: str, premises: Premises
) -> Design:
    spot = Polygon(room.outline, room.holes).representative_point()
    device = Device(
        id=_unused(f"gb-{room.id}", design),
        kind=kind.id,
        name=f"Glass-break detector, {room.name}",
        storey_id=room.storey_id,
        position=(spot.x, spot.y),
        height_m=min(room.height_m or premises.storey(room.storey_id).height_m, kind.get("mount_high_m") or 4.5),
        room_id=room.id,
    )
    loops, radio, feeds, loop_id = design.loops, design.radio, design.feeds, None
    if kind.radio:
        radio = (*radio, RadioLink(device_id=device.id, receiver_id=end.id))
    else:
        loop_id = _unused(f"loop-{device.id}", design)
        eol = Resistor(role="end of line", ohm=end_kind.get("eol_ohm") or 2200.0, at=device.id)
        alarm = Resistor(role="alarm", ohm=end_kind.get("eol_alarm_ohm") or 6800.0, at=device.id)
        loop = Loop(id=loop_id, at=end.id, scheme=Scheme.DOUBLE, contacts=(device.id,), resistors=(eol, alarm))
        loops = (*loops, loop)
        feeds = (*feeds, Feed(id=_unused(f"feed-{device.id}", design), from_id=end.id, to_id=device.id))
    number = max((z.number for z in design.programme.zones), default=0) + 1
    zone = Zone(
        id=_unused(f"zone-{device.id}", design),
        number=number,
        name=device.name,
        area_ids=(area,),
        response=ZoneResponse.PERIMETER,
        loop_id=loop_id,
        device_ids=(device.id,),
    )
    programme = design.programme.model_copy(update={"zones": (*design.programme.zones, zone)})
    return design.model_copy(
        update={
            "devices": (*design.devices, device),
            "loops": loops,
            "feeds": feeds,
            "radio": radio,
            "programme": programme,
        }
    )


def _room_of(device: Device, premises: Premises) -> str | None:
    if device.room_id is not None:
        return device.room_id
    for room in premises.rooms:
        shape = Polygon(room.outline, room.holes)
        if room.storey_id == device.storey_id and shape.is_valid and shape.buffer(0.05).covers(_point(device)):
            return room.id
    return None


def _point(device: Device) -> Polygon:
    x, y = device.position
    return Polygon([(x - 1e-4, y), (x, y + 1e-4), (x + 1e-4, y)])


def _unused(wanted: str, design: Design) -> str:
    used = {item.id for group in (design.devices, design.loops, design.cables, design.feeds) for item in group}
    used |= {z.id for z in design.programme.zones} | {p.id for p in design.programme.paths}
    wanted = wanted[:70]
    if wanted not in used:
        return wanted
    return next(f"{wanted}-{n}" for n in range(2, 1000) if f"{wanted}-{n}" not in used)


REDUCTIONS: tuple[Callable[[Design, Catalogue, Premises], Edit | None], ...] = (
    _leave_out_ancillaries,
    _leave_out_strobe,
    _leave_out_second_acoustic,
    _one_path,
)
EXTENSIONS: tuple[Callable[[Design, Catalogue, Premises], Edit | None], ...] = (
    _second_path,
    _larger_battery,
    _hear_glass,
)
