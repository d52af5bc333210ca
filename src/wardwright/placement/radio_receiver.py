"""Detectors by radio: kinds the brief allows, the receiver they talk to, and which of them it hears well enough."""

from collections.abc import Sequence
from dataclasses import replace

from wardwright.analyses.radio import radio
from wardwright.catalogue.kinds import DeviceKind
from wardwright.design.devices import Device, RadioLink
from wardwright.design.system import Design, ProtectionScheme
from wardwright.errors import WardwrightError
from wardwright.findings import Outcome
from wardwright.placement.candidates import Candidate
from wardwright.placement.equipment import beside
from wardwright.placement.grades import receiver_kind, receiver_there
from wardwright.placement.prices import Pricing
from wardwright.rules.aims.radio import radio_findings

RECEIVER_M = 2.0
"""Height of a receiver beside the panel. Common practice, no source. [m]"""


def receiver_beside(scheme: ProtectionScheme, panel: Device) -> Device | None:
    """The receiver that is there, or one on the wall beside the panel; None where the brief allows no kind.

    Parameters
    ----------
    scheme : ProtectionScheme
        Brief, catalogue and what is placed already.
    panel : Device
        The panel.
    """
    there = receiver_there(scheme)
    kind = receiver_kind(scheme)
    if there is not None or kind is None:
        return there
    place = {"position": beside(scheme, panel, 1)[0], "height_m": RECEIVER_M}
    return panel.model_copy(update={"id": "receiver", "kind": kind.id, "name": "Radio receiver", **place})


def with_radio(scheme: ProtectionScheme, wired: Pricing, candidates: Sequence[Candidate]) -> Pricing | None:
    """Prices for one panel place with radio devices allowed; None where none is heard there.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, brief, catalogue.
    wired : Pricing
        Prices without radio.
    candidates : sequence of Candidate
        What could be placed.
    """
    receiver = receiver_beside(scheme, wired.panel)
    devices = [d for c in candidates if not c.kept for d in c.devices if scheme.catalogue.kind(d.kind).radio]
    if receiver is None or not devices:
        return None
    heard = _heard(scheme, receiver, devices)
    if not heard:
        return None
    fixed = 0.0 if receiver_there(scheme) is not None else wired.box(receiver)
    return replace(wired, receiver=receiver, heard=heard, fixed=fixed)


def _heard(scheme: ProtectionScheme, receiver: Device, devices: Sequence[Device]) -> frozenset[str]:
    """Devices whose link the proof would call good at the pessimistic end."""
    once = {d.id: d for d in (*devices, receiver)}
    links = tuple(RadioLink(device_id=d.id, receiver_id=receiver.id) for d in devices)
    try:
        found = radio_findings(radio(replace(scheme, design=Design(devices=tuple(once.values()), radio=links))))
    except WardwrightError:
        return frozenset()
    reserve = (f for f in found if f.rule == "power.radio-reserve" and f.outcome is Outcome.MET)
    return frozenset(f.about[0] for f in reserve)


def receivers_for(kind: DeviceKind, devices: int) -> int:
    """Receivers that a number of radio devices want. [-]"""
    return -(-devices // max(1, int(kind.get("radio_devices_max") or devices)))
