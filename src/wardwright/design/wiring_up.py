"""What is not wired and programmed yet is, by the usual rules; what somebody has settled stays as it is."""

from wardwright.catalogue.kinds import Catalogue, DeviceKind, Family
from wardwright.design.brief import Profile
from wardwright.design.devices import Backup, Device
from wardwright.design.programme import Area, Output, Programme, ReportingPath
from wardwright.design.sheet import (
    CONTROL,
    SOUNDERS,
    DeviceRow,
    Sheet,
    feeds_of,
    loops_of,
    radio_of,
    timers_of,
    zones_of,
)
from wardwright.design.system import Design
from wardwright.premises.model import Premises

PATH_KINDS = {
    "communicator-ip": ("ip",),
    "communicator-cellular": ("cellular",),
    "communicator-dual": ("ip", "cellular"),
}


def wired_up(design: Design, premises: Premises, catalogue: Catalogue, profile: Profile) -> Design:
    """The design with a loop, feed, radio link, zone, output, battery and reporting path wherever one is missing.

    Parameters
    ----------
    design : Design
        Devices placed, perhaps some of them wired.
    premises : Premises
        The building.
    catalogue : Catalogue
        Kinds it uses.
    profile : Profile
        The brief's: the timers of a programme that is still empty are the profile's.

    Returns
    -------
    Design
        Nothing that was there is changed or taken away.
    """
    known = [d for d in design.devices if d.kind in catalogue.kinds]
    kinds = {d.id: catalogue.kind(d.kind) for d in known}
    panel = next((d.id for d in known if kinds[d.id].family in CONTROL), None)
    was = design.programme
    areas = was.areas or (Area(id=_free("house", premises, design), name="House"),)
    sheet = Sheet(area=areas)
    zoned = {d for z in was.zones for d in z.device_ids} | {c for loop in design.loops for c in loop.contacts}
    placed = [(_row(d, premises), d) for d in known if d.id not in zoned]
    loops = loops_of(placed, kinds, sheet.wiring, panel, after=len(design.loops), taken={x.id for x in design.loops})
    zones = tuple(
        zones_of(
            placed,
            kinds,
            loops,
            sheet,
            premises,
            after=max((z.number for z in was.zones), default=0),
            taken={z.id for z in was.zones},
        )
    )
    fed = {f.to_id for f in design.feeds}
    linked = {r.device_id for r in design.radio}
    everything = [(_row(d, premises), d) for d in known]
    return design.model_copy(
        update={
            "loops": (*design.loops, *loops.values()),
            "feeds": (
                *design.feeds,
                *(f for f in feeds_of(everything, kinds, sheet.wiring, panel) if f.to_id not in fed),
            ),
            "radio": (*design.radio, *(r for r in radio_of(everything, kinds, panel) if r.device_id not in linked)),
            "backups": _backups(design, known, kinds, catalogue),
            "programme": was.model_copy(
                update={
                    "areas": areas,
                    "zones": (*was.zones, *zones),
                    "timers": timers_of(was.timers, profile) if was == Programme() else was.timers,
                    "outputs": (*was.outputs, *_outputs(was, known, kinds)),
                    "paths": (*was.paths, *_paths(was, known, premises, design)),
                    "entry_path_keypad_ids": was.entry_path_keypad_ids
                    or tuple(d.id for d in known if kinds[d.id].family is Family.KEYPAD),
                }
            ),
        }
    )


def _row(device: Device, premises: Premises) -> DeviceRow:
    name = device.name
    if not name and device.opening_id:
        name = next((o.name for o in premises.openings if o.id == device.opening_id), "")
    return DeviceRow(id=device.id, kind=device.kind, name=name, opening=device.opening_id)


def _free(wanted: str, premises: Premises, design: Design) -> str:
    taken = premises.ids | {d.id for d in design.devices}
    return wanted if wanted not in taken else f"area-{wanted}"


def _outputs(was: Programme, known: list[Device], kinds: dict[str, DeviceKind]) -> list[Output]:
    driven = {o.device_id for o in was.outputs}
    return [Output(device_id=d.id) for d in known if kinds[d.id].family in SOUNDERS and d.id not in driven]


def _paths(was: Programme, known: list[Device], premises: Premises, design: Design) -> list[ReportingPath]:
    reporting = {p.device_id for p in was.paths}
    found: list[ReportingPath] = []
    for device in known:
        if device.id in reporting:
            continue
        for kind in PATH_KINDS.get(device.kind, ()):
            number = len(was.paths) + len(found) + 1
            key = _free(f"path-{number}", premises, design)
            found.append(
                ReportingPath.model_validate(
                    {"id": key, "kind": kind, "device_id": device.id, "priority": min(number, 9)}
                )
            )
    return found


def _backups(
    design: Design, known: list[Device], kinds: dict[str, DeviceKind], catalogue: Catalogue
) -> tuple[Backup, ...]:
    """The largest battery that fits the space, for each panel or supply that has none."""
    held = {b.at for b in design.backups}
    batteries = [k for k in catalogue.family(Family.BATTERY) if "capacity_ah" in k.figures]
    found = list(design.backups)
    for device in known:
        space = kinds[device.id].get("battery_space_ah")
        if device.id in held or space is None:
            continue
        fitting = [k for k in batteries if k.need("capacity_ah") <= space]
        if fitting:
            found.append(Backup(at=device.id, kind=max(fitting, key=lambda k: k.need("capacity_ah")).id))
    return tuple(found)
