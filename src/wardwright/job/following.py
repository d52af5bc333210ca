"""What follows from an edit made by hand: rooms found again, and nothing left that names what is gone."""

from wardwright.design.devices import Device
from wardwright.design.programme import Programme
from wardwright.design.system import Design
from wardwright.intake.redrawn import redrawn
from wardwright.job.ids import used_ids
from wardwright.job.model import Job
from wardwright.premises.model import Premises


def followed(before: Job, after: Job) -> Job:
    """The job with everything done that follows from an edit.

    Parameters
    ----------
    before, after : Job
        As it was, and as it was edited.

    Returns
    -------
    Job
        What hung on an element that was removed is removed with it: openings of a wall, contacts of an opening, what
        stands in a room, loops, feeds and zones of a device.
    """
    premises = _whole(after.premises)
    premises = redrawn(before.premises, premises, used=used_ids(after))
    premises = _whole(premises)
    storeys = {s.id for s in premises.storeys}
    underlays = tuple(u for u in after.underlays if u.storey_id in storeys)
    design = _tied(after.design, premises)
    return after.model_copy(update={"premises": premises, "design": design, "underlays": underlays})


def _whole(premises: Premises) -> Premises:
    """Without what stands on a storey, in a wall or in a room that is gone."""
    storeys = {s.id for s in premises.storeys}
    rooms = tuple(r for r in premises.rooms if r.storey_id in storeys)
    walls = tuple(w for w in premises.walls if w.storey_id in storeys)
    room_ids, wall_ids = {r.id for r in rooms}, {w.id for w in walls}
    return premises.model_copy(
        update={
            "rooms": rooms,
            "walls": walls,
            "openings": tuple(
                o
                for o in premises.openings
                if (o.place.wall_id in wall_ids if o.place.kind == "wall" else o.place.storey_id in storeys)
            ),
            "stairs": tuple(
                s for s in premises.stairs if s.lower_storey_id in storeys and s.upper_storey_id in storeys
            ),
            "obstacles": tuple(o for o in premises.obstacles if o.storey_id in storeys),
            "heat_sources": tuple(h for h in premises.heat_sources if h.storey_id in storeys),
            "services": tuple(
                s if s.room_id is None or s.room_id in room_ids else s.model_copy(update={"room_id": None})
                for s in premises.services
                if s.storey_id in storeys
            ),
            "beds": tuple(b for b in premises.beds if b.room_id in room_ids),
            "targets": tuple(t for t in premises.targets if t.room_id in room_ids),
            "pets": tuple(
                p.model_copy(update={"room_ids": tuple(r for r in p.room_ids if r in room_ids)}) for p in premises.pets
            ),
            "people": tuple(
                p if p.sleeps_in is None or p.sleeps_in in room_ids else p.model_copy(update={"sleeps_in": None})
                for p in premises.people
            ),
            "chases": tuple(c for c in premises.chases if c.storey_id in storeys),
            "no_drilling": tuple(
                n.model_copy(
                    update={
                        "wall_ids": tuple(w for w in n.wall_ids if w in wall_ids),
                        "room_ids": tuple(r for r in n.room_ids if r in room_ids),
                    }
                )
                for n in premises.no_drilling
            ),
        }
    )


def _tied(design: Design, premises: Premises) -> Design:
    """Without what belongs to a device, an opening or a storey that is gone."""
    storeys = {s.id for s in premises.storeys}
    openings, rooms = {o.id for o in premises.openings}, {r.id for r in premises.rooms}
    devices = tuple(
        _in_room(d, rooms)
        for d in design.devices
        if d.storey_id in storeys and (d.opening_id is None or d.opening_id in openings)
    )
    ids = {d.id for d in devices}
    cables = tuple(c for c in design.cables if c.from_id in ids and c.to_id in ids)
    cable_ids = {c.id for c in cables}
    loops = tuple(
        loop.model_copy(
            update={
                "contacts": tuple(c for c in loop.contacts if c in ids),
                "resistors": tuple(r for r in loop.resistors if r.at in ids),
                "cable_ids": tuple(c for c in loop.cable_ids if c in cable_ids),
            }
        )
        for loop in design.loops
        if loop.at in ids and any(c in ids for c in loop.contacts)
    )
    return design.model_copy(
        update={
            "devices": devices,
            "cables": cables,
            "loops": loops,
            "feeds": tuple(
                f if f.cable_id is None or f.cable_id in cable_ids else f.model_copy(update={"cable_id": None})
                for f in design.feeds
                if f.from_id in ids and f.to_id in ids
            ),
            "radio": tuple(r for r in design.radio if r.device_id in ids and r.receiver_id in ids),
            "backups": tuple(b for b in design.backups if b.at in ids),
            "programme": _programmed(design.programme, ids, {loop.id for loop in loops}),
        }
    )


def _in_room(device: Device, rooms: set[str]) -> Device:
    return device if device.room_id is None or device.room_id in rooms else device.model_copy(update={"room_id": None})


def _programmed(programme: Programme, devices: set[str], loops: set[str]) -> Programme:
    areas = {a.id for a in programme.areas}
    zones = []
    for zone in programme.zones:
        held = tuple(d for d in zone.device_ids if d in devices)
        loop_id = zone.loop_id if zone.loop_id in loops else None
        where = tuple(a for a in zone.area_ids if a in areas)
        if (held or loop_id or not (zone.device_ids or zone.loop_id)) and where:
            zones.append(zone.model_copy(update={"device_ids": held, "loop_id": loop_id, "area_ids": where}))
    left = {z.id for z in zones}
    return programme.model_copy(
        update={
            "zones": tuple(
                z
                if z.cross_zone_id is None or z.cross_zone_id in left
                else z.model_copy(update={"cross_zone_id": None})
                for z in zones
            ),
            "rights": tuple(
                r.model_copy(update={"area_ids": tuple(a for a in r.area_ids if a in areas)}) for r in programme.rights
            ),
            "outputs": tuple(o for o in programme.outputs if o.device_id in devices),
            "paths": tuple(p for p in programme.paths if p.device_id in devices),
            "entry_path_keypad_ids": tuple(k for k in programme.entry_path_keypad_ids if k in devices),
        }
    )
