"""How the system is set while an analysis looks at it."""

from enum import StrEnum

from wardwright.design.programme import ZoneResponse
from wardwright.design.system import ProtectionScheme
from wardwright.premises.fabric import RoomUse
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind


class Mode(StrEnum):
    """Set with everybody out, or with the household inside and asleep."""

    AWAY = "away"
    INSIDE = "people inside"


def open_inner_doors(premises: Premises, mode: Mode) -> frozenset[str]:
    """Inner doors that stand open in this mode.

    Parameters
    ----------
    premises : Premises
        The building.
    mode : Mode
        Away: as they are usually left. With people inside: the same, but bedroom and bathroom doors are shut.

    Returns
    -------
    frozenset of str
        Ids of inner doors, hatches and garage doors that are open. Passages are not listed: they always are.
    """
    shut_uses = (RoomUse.BEDROOM, RoomUse.BATHROOM) if mode is Mode.INSIDE else ()
    uses = {room.id: room.use for room in premises.rooms}
    return frozenset(
        o.id
        for o in premises.openings
        if not o.is_outside
        and o.kind in (OpeningKind.DOOR, OpeningKind.HATCH, OpeningKind.GARAGE_DOOR)
        and o.usually == "open"
        and not any(uses.get(r) in shut_uses for r in o.room_ids)
    )


def watching_devices(scheme: ProtectionScheme, mode: Mode) -> frozenset[str]:
    """Devices whose trip the panel answers in this mode.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design with its programme.
    mode : Mode
        How the system is set.

    Returns
    -------
    frozenset of str
        Ids of devices on at least one zone that is watched. A device on no zone is heard by nobody.
    """
    quiet = (ZoneResponse.TROUBLE, ZoneResponse.FIRE, ZoneResponse.TECHNICAL)
    return frozenset(
        device_id
        for device_id, zones in scheme.zones_of_device.items()
        for zone in zones
        if zone.response not in quiet and (mode is Mode.AWAY or zone.set_with_people_inside)
    )


def modes_wanted(scheme: ProtectionScheme) -> tuple[Mode, ...]:
    """The ways of setting that are to be proved.

    Parameters
    ----------
    scheme : ProtectionScheme
        Premises and brief.

    Returns
    -------
    tuple of Mode
        Away always; with people inside where the brief says that the household sleeps in, or beds are drawn.
    """
    inside = scheme.brief.asleep_upstairs or any(b.sleepers for b in scheme.premises.beds)
    return (Mode.AWAY, Mode.INSIDE) if inside else (Mode.AWAY,)
