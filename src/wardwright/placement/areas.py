"""Which area a new zone belongs to, where the job sets parts of the premises by themselves."""

from collections import Counter, deque
from collections.abc import Iterable

from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme


def rooms_of(scheme: ProtectionScheme, devices: Iterable[Device]) -> list[str]:
    """Rooms that some devices stand in, or lead into from their opening, without repeats.

    Parameters
    ----------
    scheme : ProtectionScheme
        The building.
    devices : iterable of Device
        The devices.
    """
    openings = {o.id: o for o in scheme.premises.openings}
    found: dict[str, None] = {}
    for device in devices:
        if device.opening_id in openings:
            found |= dict.fromkeys(openings[device.opening_id].room_ids)
        elif (room := scheme.room_of(device)) is not None:
            found[room.id] = None
    return list(found)


def area_of(scheme: ProtectionScheme, devices: Iterable[Device]) -> tuple[str, ...]:
    """Areas of a new zone: those of the zones that are there in its room, else in the room nearest to it by doors.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design with its areas and zones, which say what area a room lies in.
    devices : iterable of Device
        Devices of the new zone.

    Returns
    -------
    tuple of str
        Empty where the design has one area or none, or none of its zones is near: then the first area is meant.
    """
    programme = scheme.design.programme
    if len(programme.areas) < 2:
        return ()
    fitted = {d.id: d for d in scheme.fitted}
    loops = {loop.id: loop.contacts for loop in scheme.design.loops}
    said: dict[str, Counter[tuple[str, ...]]] = {}
    for zone in programme.zones:
        ids = (*zone.device_ids, *loops.get(zone.loop_id or "", ()))
        for room in rooms_of(scheme, (fitted[key] for key in ids if key in fitted)):
            said.setdefault(room, Counter())[zone.area_ids] += 1
    joined: dict[str, list[str]] = {}
    for opening in scheme.premises.openings:
        for room in opening.room_ids:
            joined.setdefault(room, []).extend(r for r in opening.room_ids if r != room)
    waiting = deque(rooms_of(scheme, devices))
    met = set(waiting)
    while waiting:
        room = waiting.popleft()
        if room in said:
            # zones of one area say more about a room than those that serve several; then what most zones there say
            return min(said[room], key=lambda areas: (len(areas), -said[room][areas], areas))
        fresh = [r for r in joined.get(room, ()) if r not in met]
        met.update(fresh)
        waiting.extend(fresh)
    return ()
