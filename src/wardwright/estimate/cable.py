"""How much cable: lengths as drawn, else an allowance from the distance along the walls."""

import math
from dataclasses import dataclass

from wardwright.catalogue.kinds import Catalogue, Family
from wardwright.design.devices import Device, Keep
from wardwright.design.system import Design
from wardwright.estimate.tariff import Tariff
from wardwright.premises.model import Premises

_ENDS = (Family.PANEL, Family.ALL_IN_ONE, Family.EXPANDER, Family.SUPPLY)
_UNWIRED = (Family.BATTERY, Family.RESISTOR, Family.CABLE, Family.LABOUR)


@dataclass(frozen=True)
class Run:
    """One run of cable to be laid."""

    from_id: str
    to_id: str
    kind: str
    length_m: float
    allowed: bool
    """True where the length is an allowance, not drawn."""


def _height_m(device: Device, premises: Premises | None, storeys: dict[str, int], storey_m: float) -> float:
    if premises is not None:
        for storey in premises.storeys:
            if storey.id == device.storey_id:
                return storey.elevation_m + device.height_m
    return storeys[device.storey_id] * storey_m + device.height_m


def allowance(first: Device, second: Device, *, tariff: Tariff, rise: float) -> float:
    """Cable to allow between two devices where nothing is drawn.

    Parameters
    ----------
    first, second : Device
        The two ends.
    tariff : Tariff
        Gives the factor and the slack.
    rise : float
        Difference in height between the two. [m]

    Returns
    -------
    float
        Factor times the distance along walls at right angles and up, plus slack. [m]
    """
    along = abs(first.position[0] - second.position[0]) + abs(first.position[1] - second.position[1])
    return float(tariff.cable_factor) * (along + abs(rise)) + float(tariff.cable_slack_m)


def cable_runs(
    design: Design, catalogue: Catalogue, *, tariff: Tariff, premises: Premises | None = None
) -> tuple[Run, ...]:
    """Every run of new cable a design needs.

    Parameters
    ----------
    design : Design
        The design; cables marked kept are not counted.
    catalogue : Catalogue
        Its kinds.
    tariff : Tariff
        Gives the allowance, and the kind of cable where none was chosen.
    premises : Premises, optional
        The building, for heights; without it storeys lie ``storey_m`` apart in the order they are met.

    Returns
    -------
    tuple of Run
        Drawn cables first, then an allowance for each wired new device that no cable touches.
    """
    devices = {d.id: d for d in design.devices if d.kind in catalogue.kinds}
    storeys = {key: place for place, key in enumerate(dict.fromkeys(d.storey_id for d in design.devices))}
    storey_m = float(tariff.storey_m)

    def between(a: Device, b: Device) -> float:
        rise = _height_m(a, premises, storeys, storey_m) - _height_m(b, premises, storeys, storey_m)
        return allowance(a, b, tariff=tariff, rise=rise)

    runs: list[Run] = []
    touched: set[str] = set()
    for cable in design.cables:
        touched.update((cable.from_id, cable.to_id))
        if cable.status not in (Keep.NEW, Keep.REPLACED):
            continue
        length, allowed = cable.length_m, False
        if length is None and len(cable.route) > 1:
            pairs = zip(cable.route, cable.route[1:], strict=False)
            drawn = sum(math.dist(a[1:], b[1:]) for a, b in pairs if a[0] == b[0])
            changes = sum(a[0] != b[0] for a, b in zip(cable.route, cable.route[1:], strict=False))
            length = drawn + changes * storey_m + float(tariff.cable_slack_m)
        if length is None and cable.from_id in devices and cable.to_id in devices:
            length, allowed = between(devices[cable.from_id], devices[cable.to_id]), True
        if length is not None:
            runs.append(Run(cable.from_id, cable.to_id, cable.kind or tariff.cable_kind, length, allowed))
    ends_at = _ends(design)
    panels = [d for d in devices.values() if catalogue.kind(d.kind).family in _ENDS]
    for device in devices.values():
        kind = catalogue.kind(device.kind)
        wired = not kind.radio and kind.family not in _UNWIRED
        if not wired or device.id in touched or device.status is not Keep.NEW:
            continue
        others = [p for p in panels if p.id != device.id]
        end = devices.get(ends_at.get(device.id, ""))
        if end is None:
            # a first panel has nothing to be wired to; it is where the others end
            if kind.family in (Family.PANEL, Family.ALL_IN_ONE) or not others:
                continue
            end = min(others, key=lambda p: between(device, p))
        runs.append(Run(device.id, end.id, tariff.cable_kind, between(device, end), allowed=True))
    return tuple(runs)


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
