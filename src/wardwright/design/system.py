"""The design as one value, and the scheme: design, premises, catalogue and brief together, ready to be analysed."""

from dataclasses import dataclass
from functools import cached_property

from wardwright.catalogue.kinds import Catalogue, DeviceKind, Family
from wardwright.design.brief import Brief, Reading
from wardwright.design.devices import Backup, Cable, Device, Feed, Keep, Loop, RadioLink
from wardwright.design.programme import Programme, Zone
from wardwright.errors import UnknownReferenceError
from wardwright.model import Record
from wardwright.premises.fabric import Room
from wardwright.premises.model import Premises
from wardwright.premises.plan import storey_plans


class Design(Record):
    """Everything that is to be fitted, and how it is told to behave."""

    devices: tuple[Device, ...] = ()
    cables: tuple[Cable, ...] = ()
    loops: tuple[Loop, ...] = ()
    feeds: tuple[Feed, ...] = ()
    radio: tuple[RadioLink, ...] = ()
    backups: tuple[Backup, ...] = ()
    programme: Programme = Programme()

    def device(self, key: str) -> Device:
        """The device with this id."""
        for device in self.devices:
            if device.id == key:
                return device
        raise UnknownReferenceError(f"no device is called “{key}”", where="design")


@dataclass(frozen=True, eq=False)
class ProtectionScheme:
    """What an analysis is given: the building, the system, the list of kinds, the brief, and readings on site."""

    premises: Premises
    design: Design
    catalogue: Catalogue
    brief: Brief
    readings: tuple[Reading, ...] = ()

    def kind_of(self, device: Device) -> DeviceKind:
        """The catalogue kind of a placed device."""
        return self.catalogue.kind(device.kind)

    @cached_property
    def fitted(self) -> tuple[Device, ...]:
        """Devices that will be there: all but those marked replaced."""
        return tuple(d for d in self.design.devices if d.status is not Keep.REPLACED)

    def of_family(self, *families: Family) -> tuple[Device, ...]:
        """Fitted devices of the families named."""
        return tuple(d for d in self.fitted if self.kind_of(d).family in families)

    def room_of(self, device: Device) -> Room | None:
        """The room a device is said to be in, else the one its place lies in; None out of doors or where none is."""
        return room_of(self.premises, device)

    @cached_property
    def zones_of_device(self) -> dict[str, tuple[Zone, ...]]:
        """Zones each device reports by."""
        found: dict[str, list[Zone]] = {}
        loops = {loop.id: loop for loop in self.design.loops}
        for zone in self.design.programme.zones:
            members = set(zone.device_ids)
            if zone.loop_id in loops:
                members.update(loops[zone.loop_id].contacts)
            for device_id in members:
                found.setdefault(device_id, []).append(zone)
        return {device_id: tuple(zones) for device_id, zones in found.items()}


def room_of(premises: Premises, device: Device) -> Room | None:
    """The room a device is said to be in, else the one its place lies in; None out of doors or where none is.

    Parameters
    ----------
    premises : Premises
        The building.
    device : Device
        The device.
    """
    said = next((r for r in premises.rooms if r.id == device.room_id), None)
    if said is not None:
        return said
    plan = storey_plans(premises).get(device.storey_id)
    return plan.room_at(device.position) if plan is not None else None
