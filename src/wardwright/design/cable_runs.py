"""Every run of new cable a design needs: from each wired device to where it ends."""

from collections.abc import Iterator
from dataclasses import dataclass

from wardwright.catalogue.kinds import Catalogue, Family
from wardwright.design.devices import Device, Keep
from wardwright.design.lengths import MEASURED, Length, drawn_length, unmeasured_length
from wardwright.design.system import Design
from wardwright.premises.model import Premises

ENDS = (Family.PANEL, Family.ALL_IN_ONE, Family.EXPANDER, Family.SUPPLY)
UNWIRED = (Family.BATTERY, Family.RESISTOR, Family.CABLE, Family.LABOUR)


@dataclass(frozen=True)
class CableRun:
    """One run of cable to be laid."""

    from_id: str
    to_id: str
    kind: str | None
    """Catalogue kind; None where nobody chose one."""
    length: Length
    cable_id: str | None = None
    """Id of the cable in the design, where one is drawn."""


def cable_runs(design: Design, catalogue: Catalogue, premises: Premises) -> tuple[CableRun, ...]:
    """Every run of new cable.

    Parameters
    ----------
    design : Design
        The design; cables that are kept are not counted.
    catalogue : Catalogue
        Its kinds.
    premises : Premises
        The building, for the ways.

    Returns
    -------
    tuple of CableRun
        Cables of the design first, then one for each wired new device that no cable touches.
    """
    devices = {d.id: d for d in design.devices if d.kind in catalogue.kinds}
    return (*_drawn(design, devices, premises), *_wanted(design, devices, catalogue, premises))


def _drawn(design: Design, devices: dict[str, Device], premises: Premises) -> Iterator[CableRun]:
    for cable in design.cables:
        if cable.status not in (Keep.NEW, Keep.REPLACED):
            continue
        length = drawn_length(cable, premises)
        if length is None and cable.from_id in devices and cable.to_id in devices:
            length = unmeasured_length(devices[cable.from_id], devices[cable.to_id], premises)
        if length is not None:
            yield CableRun(cable.from_id, cable.to_id, cable.kind, length, cable.id)


def _wanted(design: Design, devices: dict[str, Device], catalogue: Catalogue, premises: Premises) -> Iterator[CableRun]:
    touched = {end for cable in design.cables for end in (cable.from_id, cable.to_id)}
    ends_at = _ends(design)
    given = {feed.to_id: feed.length_m for feed in design.feeds if feed.length_m is not None}
    panels = [d for d in devices.values() if catalogue.kind(d.kind).family in ENDS]
    for device in devices.values():
        kind = catalogue.kind(device.kind)
        wired = not kind.radio and kind.family not in UNWIRED
        if not wired or device.id in touched or device.status is not Keep.NEW:
            continue
        others = [p for p in panels if p.id != device.id]
        end = devices.get(ends_at.get(device.id, ""))
        if end is None:
            # a first panel has nothing to be wired to; it is where the others end
            if kind.family in (Family.PANEL, Family.ALL_IN_ONE) or not others:
                continue
            end = min(others, key=lambda p: unmeasured_length(device, p, premises).metres)
        metres = given.get(device.id)
        length = unmeasured_length(device, end, premises) if metres is None else Length(metres, MEASURED)
        yield CableRun(device.id, end.id, None, length)


def _ends(design: Design) -> dict[str, str]:
    """Where each device's cable ends: the device before it on its loop, else the loop's panel, else what feeds it."""
    found: dict[str, str] = {}
    for feed in design.feeds:
        found[feed.to_id] = feed.from_id
    for loop in design.loops:
        before = loop.at
        for contact in loop.contacts:
            found[contact] = before
            before = contact
    return found
