"""From a layout of detectors to a whole design: zones, loops, panel, keypads, sounders, supply, battery."""

import math
from dataclasses import replace

from wardwright.analyses.power import power
from wardwright.catalogue.kinds import Catalogue, DeviceKind, Family
from wardwright.design.brief import Profile
from wardwright.design.devices import Backup, Cable, Device
from wardwright.design.programme import ReportingPath
from wardwright.design.sheet import DeviceRow, Sheet, Wiring, design_of
from wardwright.design.system import Design, ProtectionScheme
from wardwright.errors import WardwrightError
from wardwright.estimate.tariff import Tariff
from wardwright.placement.areas import area_of
from wardwright.placement.candidates import Candidate
from wardwright.placement.equipment import (
    Control,
    beside,
    communicators,
    controls,
    keypads,
    reporting_paths,
    sounders,
)
from wardwright.placement.layout import Layout
from wardwright.placement.names import Names
from wardwright.placement.panel_places import CONTROL
from wardwright.placement.radio_receiver import receivers_for
from wardwright.rules.aims.power import power_findings

SHEET_ID = "placed"


def complete(
    layout: Layout, scheme: ProtectionScheme, tariff: Tariff, retired: frozenset[str] = frozenset()
) -> tuple[Design, dict[str, str]]:
    """A whole design from a layout.

    Parameters
    ----------
    layout : Layout
        Detectors and the place of the panel.
    scheme : ProtectionScheme
        Building, brief, catalogue and what is placed already, which is kept as it is.
    tariff : Tariff
        Names the cable that is laid.
    retired : frozenset of str
        Ids the job has used up.

    Returns
    -------
    design : Design
        What was there, and everything new. Of the panels that hold the zones the cheapest whose supply holds is taken,
        with the smallest battery that does; where none does, the largest, and the proof says so.
    names : dict of str to str
        Id in the design by the id of the layout's device.
    """
    new = [layout.chances.candidates[i] for i in layout.chosen if not layout.chances.candidates[i].kept]
    there = scheme.of_family(*CONTROL)
    if there:
        design, names = _built(layout, scheme, tariff, retired, new, None, None)
        return design, names
    tried: list[tuple[Design, dict[str, str]]] = []
    by_radio = sum(_by_radio(scheme, c) for c in new)
    for control in controls(scheme, len(new) - by_radio, by_radio):
        for battery in _batteries(scheme.catalogue, control.panel):
            design, names = _built(layout, scheme, tariff, retired, new, control, battery)
            tried.append((design, names))
            if _holds(replace(scheme, design=design)):
                return design, names
    return tried[-1] if tried else _built(layout, scheme, tariff, retired, new, None, None)


def _by_radio(scheme: ProtectionScheme, candidate: Candidate) -> bool:
    return all(scheme.catalogue.kind(d.kind).radio for d in candidate.devices)


def _holds(scheme: ProtectionScheme) -> bool:
    """Whether nothing about the supply is refuted."""
    try:
        return not any(f.refutes for f in power_findings(scheme, power(scheme)))
    except WardwrightError:
        return False


def _batteries(catalogue: Catalogue, panel: DeviceKind) -> list[str | None]:
    """Lead-acid batteries the panel has room for, smallest first."""
    room = panel.get("battery_space_ah") or 0.0
    fitting = [
        k
        for k in catalogue.family(Family.BATTERY)
        if k.need("capacity_ah") <= room and "lead" in k.words.get("chemistry", "")
    ]
    found: list[str | None] = [k.id for k in sorted(fitting, key=lambda k: k.need("capacity_ah"))]
    return found or [None]


def _built(
    layout: Layout,
    scheme: ProtectionScheme,
    tariff: Tariff,
    retired: frozenset[str],
    new: list[Candidate],
    control: Control | None,
    battery: str | None,
) -> tuple[Design, dict[str, str]]:
    premises, catalogue = scheme.premises, scheme.catalogue
    zones = scheme.design.programme.zones
    names = Names({*premises.ids, *retired, *(d.id for d in scheme.design.devices)}, (z.name for z in zones))
    rows: list[DeviceRow] = []
    panel = layout.panel
    ends: list[str] = []
    ears = _receivers(layout, scheme, names)
    if control is not None:
        count = control.expanders
        spots = beside(scheme, panel, len(ears) + count + 1)[len(ears) :]
        key = names.device(control.panel)
        rows.append(_row(panel, key, panel.name, kind=control.panel.id, battery=battery))
        ends = [key] * int(control.panel.get("inputs") or 0)
        for k in range(count):
            assert control.expander is not None
            box = names.device(control.expander)
            beside_it = panel.model_copy(update={"position": spots[k]})
            rows.append(_row(beside_it, box, f"Expander {k + 1}", kind=control.expander.id, ends_on=key))
            ends += [box] * int(control.expander.need("inputs"))
        rows += communicators(scheme, names, spots[count], panel.room_id, panel.storey_id)
        main = key
    else:
        main = panel.id
        spots = beside(scheme, panel, len(ears) + 1)[len(ears) :]
        rows += communicators(scheme, names, spots[0], panel.room_id, panel.storey_id)
    rows += ears
    rows += [r.model_copy(update={"ends_on": main}) for r in keypads(scheme, names)]
    taken = [d.position for c in new for d in c.devices]
    rows += [r.model_copy(update={"ends_on": main}) for r in sounders(scheme, names, taken)]
    rows = [r if r.ends_on or r.id == main else r.model_copy(update={"ends_on": main}) for r in rows]
    given: dict[str, str] = {}
    inputs, heard = iter(ends), 0
    for candidate in new:
        zone, area = names.zone(candidate.name), area_of(scheme, candidate.devices)
        if _by_radio(scheme, candidate):
            end = _heard_by(layout, ears, heard)
            heard += len(candidate.devices)
        else:
            end = next(inputs, main)
        for device in candidate.devices:
            key = names.device(catalogue.kind(device.kind))
            given[device.id] = key
            rows.append(_row(device, key, candidate.name, zone=zone, ends_on=end, inside=candidate.inside, area=area))
    sheet = Sheet(
        device=tuple(rows),
        area=scheme.design.programme.areas,
        wiring=_wiring(catalogue.kind(panel.kind) if control is None else control.panel, tariff),
        confirmation="sequential" if _confirmed(scheme) else "none",
        path=reporting_paths(scheme, rows),
    )
    made = design_of(sheet, premises, catalogue, profile=scheme.brief.profile, where=SHEET_ID)
    return (_joined(scheme.design, made) if scheme.design.devices else made), given


def _receivers(layout: Layout, scheme: ProtectionScheme, names: Names) -> list[DeviceRow]:
    """As many new receivers as the new radio devices want; none where one is there."""
    receiver = layout.pricing.receiver
    if receiver is None or not layout.by_radio or not layout.pricing.fixed:
        return []
    kind = scheme.catalogue.kind(receiver.kind)
    count = receivers_for(kind, layout.by_radio)
    places = beside(scheme, layout.panel, count)
    moved = (receiver.model_copy(update={"position": at}) for at in places)
    return [_row(each, names.device(kind), receiver.name) for each in moved]


def _heard_by(layout: Layout, ears: list[DeviceRow], before: int) -> str:
    """The receiver of the next radio device: filled one after the other."""
    receiver = layout.pricing.receiver
    assert receiver is not None  # a radio candidate is chosen only where something hears it
    if not ears:
        return receiver.id
    full = int(layout.pricing.catalogue.kind(receiver.kind).get("radio_devices_max") or layout.by_radio)
    return ears[min(before // full, len(ears) - 1)].id


def _row(
    device: Device,
    key: str,
    name: str,
    *,
    kind: str | None = None,
    battery: str | None = None,
    zone: str = "",
    ends_on: str | None = None,
    inside: bool | None = None,
    area: tuple[str, ...] = (),
) -> DeviceRow:
    return DeviceRow(
        id=key,
        kind=kind or device.kind,
        name=name,
        storey=device.storey_id,
        room=device.room_id if device.opening_id is None else None,
        at=device.position,
        height=device.height_m,
        facing=math.degrees(device.heading_rad),
        opening=device.opening_id,
        leaf=device.leaf_id,
        zone=zone,
        inside=inside,
        area=area,
        ends_on=ends_on,
        battery=battery,
    )


def _wiring(panel: DeviceKind, tariff: Tariff) -> Wiring:
    """Supervision with the resistors the panel's thresholds are meant for."""
    usual = Wiring(cable=tariff.cable_kind)
    end, alarm = panel.get("eol_ohm"), panel.get("eol_alarm_ohm")
    return usual.model_copy(update={"end_ohm": end or usual.end_ohm, "alarm_ohm": alarm or usual.alarm_ohm})


def _confirmed(scheme: ProtectionScheme) -> bool:
    return scheme.brief.profile is Profile.UK_CONFIRMED or scheme.premises.surroundings.response.confirmed_only


def _joined(old: Design, new: Design) -> Design:
    """What was there and what is new in one design; loops, zones and cables of the new keep clear of the old."""
    held = len(old.loops)
    loops = {loop.id: f"loop-{held + n}" for n, loop in enumerate(new.loops, 1)}
    while set(loops.values()) & {loop.id for loop in old.loops}:
        held += 1
        loops = {loop.id: f"loop-{held + n}" for n, loop in enumerate(new.loops, 1)}
    first = max((z.number for z in old.programme.zones), default=0)
    taken = {z.id for z in old.programme.zones}
    zones = []
    for zone in new.programme.zones:
        key, n = f"zone-{first + zone.number}", 0
        while key in taken:
            n += 1
            key = f"zone-{first + zone.number}-{n}"
        taken.add(key)
        loop = loops.get(zone.loop_id or "")
        zones.append(zone.model_copy(update={"id": key, "number": first + zone.number, "loop_id": loop}))
    programme = old.programme.model_copy(
        update={
            "areas": old.programme.areas or new.programme.areas,
            "zones": (*old.programme.zones, *zones),
            "outputs": (*old.programme.outputs, *new.programme.outputs),
            "paths": (*old.programme.paths, *_unused(new.programme.paths, {p.id for p in old.programme.paths})),
            "entry_path_keypad_ids": (*old.programme.entry_path_keypad_ids, *new.programme.entry_path_keypad_ids),
        }
    )
    renamed = tuple(
        loop.model_copy(update={"id": loops[loop.id], "terminal": f"Z{first + n}"})
        for n, loop in enumerate(new.loops, 1)
    )
    backups: tuple[Backup, ...] = (*old.backups, *new.backups)
    cables: tuple[Cable, ...] = (*old.cables, *new.cables)
    return old.model_copy(
        update={
            "devices": (*old.devices, *new.devices),
            "cables": cables,
            "loops": (*old.loops, *renamed),
            "feeds": (*old.feeds, *new.feeds),
            "radio": (*old.radio, *new.radio),
            "backups": backups,
            "programme": programme,
        }
    )


def _unused(records: tuple[ReportingPath, ...], used: set[str]) -> tuple[ReportingPath, ...]:
    return tuple(r for r in records if r.id not in used)
