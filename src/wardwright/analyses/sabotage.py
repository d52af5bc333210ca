"""What can be done to the system itself: each fault or act of sabotage, where, how long it takes, what it puts out.

Left out on purpose: somebody who knows a code (every system yields to that; rights and duress are proved elsewhere),
and anything done to the receiving centre.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from wardwright.analyses.contact_field import ContactField
from wardwright.analyses.loops import LoopAnalysis
from wardwright.analyses.panel_programme import Numbering, numbering
from wardwright.analyses.power import PowerAnalysis
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.panel.events import Event, PathEvent, SupplyEvent, TamperEvent

LEAF_M = 0.045
"""Thickness of a leaf a magnet is held against. Common practice, no source. [m]"""
BEFORE_S = 60.0
"""Done this long before the way in is attacked. Assumption. [s]"""
HOUR_S = 3600.0
SMASH_S, LID_S = 5.0, 1.0
"""Tearing a box off the wall once beside it, and how long before its end the lid tells. Assumption. [s]"""
LOCKED_S, LOCKED_LID_S = 60.0, 10.0
"""The same for a locked metal enclosure. Assumption. [s]"""
Where = Literal["outside", "on the way in", "inside before", "inside during"]


@dataclass(frozen=True)
class Fault:
    """One thing done to the system, or gone wrong with it."""

    key: str
    name: str
    where: Where
    takes_s: float
    events: tuple[tuple[float, Event], ...] = ()
    """What reaches the panel, by time from the start of the attack on the way in. [s]"""
    deaf: frozenset[str] = frozenset()
    """Devices put out."""
    opening_id: str = ""
    """Only where he comes in here."""
    smashes: str = ""
    """Device he must get to first."""
    assumption: str = ""


def faults(
    scheme: ProtectionScheme,
    contacts: tuple[ContactField, ...],
    inputs: LoopAnalysis | None,
    supply: PowerAnalysis | None,
) -> tuple[Fault, ...]:
    """Everything that can be done to a system.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    contacts : tuple of ContactField
        Which contacts a foreign magnet holds.
    inputs : LoopAnalysis or None
        Which loops read a short or a cut as all well.
    supply : PowerAnalysis or None
        How long batteries last.

    Returns
    -------
    tuple of Fault
        Supply and paths, then devices, then boxes to be smashed.
    """
    names = numbering(scheme)
    return (
        *_supply(scheme, supply, names),
        *_paths(scheme, names),
        *_radio(scheme),
        *_magnets(scheme, contacts),
        *_masks(scheme),
        *_loops(inputs),
        *_boxes(scheme),
    )


def _with_mains(scheme: ProtectionScheme, names: Numbering, hours: float) -> Iterator[tuple[float, Event]]:
    """Paths that go down with the mains once their backups are empty. [s]"""
    for path in scheme.design.programme.paths:
        lasts = path.without_mains_h
        if lasts is not None and lasts < hours:
            yield -HOUR_S * (hours - lasts), PathEvent(names.path_ids.index(path.id), False)


def _supply(scheme: ProtectionScheme, supply: PowerAnalysis | None, names: Numbering) -> Iterator[Fault]:
    first = BEFORE_S / HOUR_S
    yield Fault(
        "mains", "mains cut", "outside", 30.0,
        ((-BEFORE_S, SupplyEvent("mains", False)), *_with_mains(scheme, names, first)),
        assumption="the meter or the street's supply can be got at from outside",
    )  # fmt: skip
    lasts = [s.interval_h[1] for s in supply.standby if s.interval_h is not None] if supply is not None else []
    if lasts:
        hours = max(lasts) + 1.0
        yield Fault(
            "battery", f"mains cut, batteries waited out ({max(lasts):.0f} h)", "outside", HOUR_S * hours,
            (
                (-HOUR_S * hours, SupplyEvent("mains", False)),
                *_with_mains(scheme, names, hours),
                (-HOUR_S * 2.0, SupplyEvent("battery", False)),
                (-BEFORE_S, SupplyEvent("power", False)),
            ),
            assumption="nobody comes while the mains is off",
        )  # fmt: skip


def _paths(scheme: ProtectionScheme, names: Numbering) -> Iterator[Fault]:
    what = {
        "line": ("telephone line cut", 30.0, "the line enters where it can be reached"),
        "ip": ("broadband cut in the street or at the house", 60.0, "the cable enters where it can be reached"),
        "cellular": ("mobile network jammed", 10.0, "a jammer one can carry drowns the network here"),
    }
    for kind, (name, takes, assumption) in what.items():
        mine = [p for p in scheme.design.programme.paths if p.kind == kind]
        if mine:
            events = tuple((-BEFORE_S, PathEvent(names.path_ids.index(p.id), False)) for p in mine)
            yield Fault(f"path-{kind}", name, "outside", takes, events, assumption=assumption)
    wireless = [p for p in scheme.design.programme.paths if any(d.kind == "wi-fi" for d in p.hangs_on)]
    if wireless:
        events = tuple((-BEFORE_S, PathEvent(names.path_ids.index(p.id), False)) for p in wireless)
        yield Fault("wi-fi", "wireless network gone: jammed, or its password changed", "outside", 10.0, events)


def _radio(scheme: ProtectionScheme) -> Iterator[Fault]:
    kinds = scheme.catalogue.kinds
    radio = frozenset(d.id for d in scheme.fitted if d.kind in kinds and kinds[d.kind].radio)
    if radio:
        yield Fault(
            "jam", f"radio of {len(radio)} devices jammed", "outside", 10.0, deaf=radio,
            assumption="too short for supervision to notice, and the receiver does not tell of jamming",
        )  # fmt: skip


def _magnets(scheme: ProtectionScheme, contacts: tuple[ContactField, ...]) -> Iterator[Fault]:
    for key in dict.fromkeys(c.opening_id for c in contacts):
        held = frozenset(
            c.device_id for c in contacts if c.opening_id == key and c.foreign_m is not None and c.foreign_m > LEAF_M
        )
        if held:
            name = scheme.premises.opening(key).name or key
            yield Fault(
                f"magnet-{key}", f"magnet held to the contact of “{name}”", "on the way in", 20.0, deaf=held,
                opening_id=key, assumption="he knows where the contact sits",
            )  # fmt: skip


def _masks(scheme: ProtectionScheme) -> Iterator[Fault]:
    for device in scheme.of_family(Family.MOTION, Family.DUAL):
        if scheme.kind_of(device).words.get("masking_detection") != "yes":
            yield Fault(
                f"mask-{device.id}", f"{device.id} covered while the system is unset", "inside before", 10.0,
                deaf=frozenset({device.id}), assumption="a visitor gets near it, and nobody tests it before setting",
            )  # fmt: skip


def _loops(inputs: LoopAnalysis | None) -> Iterator[Fault]:
    for report in inputs.reports if inputs is not None else ():
        hidden = [x for x in report.unseen if x.startswith(("a short", "a cut"))]
        if hidden and report.contacts:
            yield Fault(
                f"loop-{report.loop_id}", f"loop {report.loop_id}: {hidden[0]}", "inside before", 60.0,
                deaf=frozenset(report.contacts), assumption="its cable is got at while the system is unset",
            )  # fmt: skip


def _boxes(scheme: ProtectionScheme) -> Iterator[Fault]:
    for device in scheme.of_family(Family.PANEL, Family.ALL_IN_ONE):
        yield Fault(
            f"smash-{device.id}", f"{device.id} torn off the wall", "inside during", _stands(scheme, device),
            smashes=device.id, assumption="he knows where it hangs and goes there first",
        )  # fmt: skip
    panels = scheme.of_family(Family.PANEL, Family.ALL_IN_ONE)
    for device in scheme.of_family(Family.COMMUNICATOR):
        beside = [p for p in panels if p.storey_id == device.storey_id and _apart(p, device) < 1.0]
        if not beside and any(p.device_id == device.id for p in scheme.design.programme.paths):
            yield Fault(
                f"smash-{device.id}", f"{device.id} torn off the wall", "inside during", _stands(scheme, device),
                smashes=device.id, assumption="he knows where it hangs and goes there first",
            )  # fmt: skip


def _stands(scheme: ProtectionScheme, device: Device) -> float:
    return LOCKED_S if _locked(scheme, device) else SMASH_S


def _locked(scheme: ProtectionScheme, device: Device) -> bool:
    return scheme.kind_of(device).words.get("locked_enclosure") == "yes"


def _apart(a: Device, b: Device) -> float:
    return float(((a.position[0] - b.position[0]) ** 2 + (a.position[1] - b.position[1]) ** 2) ** 0.5)


def smashed_events(scheme: ProtectionScheme, device_id: str, at: float) -> tuple[tuple[float, Event], ...]:
    """What reaches the panel when a box is torn down: its lid first, then nothing of what it did.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    device_id : str
        The box.
    at : float
        When it gives way. [s]

    Returns
    -------
    tuple of (float, Event)
        Times from the start of the attack. [s]
    """
    box = scheme.design.device(device_id)
    family = scheme.kind_of(box).family
    lead = LOCKED_LID_S if _locked(scheme, box) else LID_S
    lid = (max(0.0, at - lead), TamperEvent(device_id, False))
    if family in (Family.PANEL, Family.ALL_IN_ONE):
        return lid, (at, SupplyEvent("power", False))
    names = numbering(scheme)
    mine = [p for p in scheme.design.programme.paths if p.device_id == device_id]
    return (lid, *((at, PathEvent(names.path_ids.index(p.id), False)) for p in mine))
