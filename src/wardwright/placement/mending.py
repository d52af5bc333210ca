"""The ordinary edits that might mend a finding: one device more, another setting, a larger battery, thicker copper.

Nothing here says that an edit does mend it; that is for the proof of the job with the edit made.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.design.programme import Right, Zone, ZoneResponse
from wardwright.design.system import Design
from wardwright.design.wiring_up import wired_up
from wardwright.findings import Finding, Outcome
from wardwright.job.ids import used_ids
from wardwright.job.model import Job
from wardwright.job.moves import Add, Move, Set, moved
from wardwright.placement.mending_places import (
    inside_the_door,
    looks_elsewhere,
    on_the_opening,
    on_the_way,
    sounder_spots,
)
from wardwright.placement.names import Names
from wardwright.prove import Proof

AREAS_MM2 = (0.22, 0.5, 0.75, 1.0, 1.5, 2.5)
"""Copper of cables met in the trade: 0.22 mm² common practice, no source; from 0.5 mm² on IEC60228-2004 table 3. [mm²]
"""
STEP_S = 5.0
"""Timers are set in such steps. Common practice, no source. [s]"""
KEYPAD_M = 1.4
"""Height a keypad is moved to. Common practice, no source. [m]"""
BEDSIDE = ("bedroom", "landing", "bathroom")


@dataclass(frozen=True)
class Mend:
    """One edit that might mend a finding."""

    words: str
    moves: tuple[Move, ...]
    wires: bool = False
    """What it places is wired and programmed by the usual rules."""


def mends(proof: Proof, finding: Finding) -> tuple[Mend, ...]:
    """Ordinary edits worth trying against a finding.

    Parameters
    ----------
    proof : Proof
        The proof it comes from.
    finding : Finding
        What is not met, or not decided.

    Returns
    -------
    tuple of Mend
        None where only a survey, a measurement or somebody's decision helps.
    """
    if finding.outcome not in (Outcome.NOT_MET, Outcome.NOT_DECIDED):
        return ()
    found: list[Mend] = []
    for begins, make in _MAKERS:
        if finding.rule.startswith(begins):
            found.extend(make(proof, finding))
    job = proof.job
    design = wired_up(job.design, job.premises, proof.scheme.catalogue, job.brief.profile)
    if design != job.design:
        found.append(Mend("Wire and programme what is placed and not wired yet", (), wires=True))
    return tuple({m.words: m for m in found}.values())


def mended(proof: Proof, mend: Mend) -> Job:
    """The job with an edit made.

    Parameters
    ----------
    proof : Proof
        The proof of the job as it is.
    mend : Mend
        The edit.

    Returns
    -------
    Job
        Checked as a whole.
    """
    job = moved(proof.job, mend.moves) if mend.moves else proof.job
    if not mend.wires:
        return job
    design = wired_up(job.design, job.premises, proof.scheme.catalogue, job.brief.profile)
    return job.model_copy(update={"design": design})


def _placed(proof: Proof, devices: tuple[Device, ...], words: str) -> Mend:
    """Devices under ids of their own."""
    names = Names(used_ids(proof.job), ())
    scheme = proof.scheme
    moves = []
    for device in devices:
        kind = scheme.catalogue.kind(device.kind)
        values = device.model_dump(mode="json") | {"id": names.device(kind), "name": _name(proof, device, kind)}
        moves.append(Add(do="add", place="design.devices", value=values))
    return Mend(words, tuple(moves), wires=True)


def _name(proof: Proof, device: Device, kind: DeviceKind) -> str:
    premises = proof.scheme.premises
    where = (
        premises.opening(device.opening_id).name
        if device.opening_id
        else premises.room(device.room_id).name
        if device.room_id
        else ""
    )
    return f"{where} {kind.family.value}".strip()


def _setting(place: str, words: str, values: dict[str, Any], key: str | None = None) -> Mend:
    return Mend(words, (Set(do="set", place=place, id=key, values=values),))


def _way_in(proof: Proof, finding: Finding) -> Iterator[Mend]:
    inside = finding.rule.endswith("people-inside")
    for opening_id in finding.about:
        if inside:
            yield from _watched_inside(proof, opening_id)
        for words, devices in on_the_opening(proof.scheme, opening_id, inside=inside):
            yield _placed(proof, devices, words)


def _watched_inside(proof: Proof, opening_id: str) -> Iterator[Mend]:
    """Zones of what notices this opening, watched with people inside too; not those that look where people walk."""
    opening = proof.scheme.premises.opening(opening_id)
    rooms = {r for r in opening.room_ids if proof.scheme.premises.room(r).use.value not in BEDSIDE}
    for device in proof.scheme.fitted:
        if device.opening_id != opening_id and device.room_id not in rooms:
            continue
        for zone in proof.scheme.zones_of_device.get(device.id, ()):
            if not zone.set_with_people_inside:
                yield _zone(zone, f"Watch zone {zone.number}, {zone.name}, with people inside too", True)


def _zone(zone: Zone, words: str, inside: bool) -> Mend:
    return _setting("design.programme.zones", words, {"set_with_people_inside": inside}, zone.id)


def _route(proof: Proof, finding: Finding) -> Iterator[Mend]:
    inside = finding.rule.endswith("people-inside")
    mine = [r for a in proof.routes for r in a.routes if r.target_id in finding.about and (a.mode != "away") == inside]
    for opening_id in dict.fromkeys(r.opening_id for r in mine[:3]) if inside else ():
        for words, devices in on_the_opening(proof.scheme, opening_id, inside=True):
            yield _placed(proof, devices, words)
    if not inside:
        for words, device in on_the_way(proof.scheme, mine[:3]):
            yield _placed(proof, (device,), words)


def _timer(proof: Proof, finding: Finding) -> Iterator[Mend]:
    name = "entry" if finding.rule == "living.entry-time" else "exit"
    wanted = finding.interval[1] if finding.interval else finding.value or 0.0
    seconds = math.ceil(wanted / STEP_S) * STEP_S
    now = getattr(proof.job.design.programme.timers, f"{name}_s")
    if seconds > now:
        words = f"Set the {name} time to {seconds:g} s instead of {now:g} s"
        yield _setting("design.programme.timers", words, {f"{name}_s": seconds})


def _height(proof: Proof, finding: Finding) -> Iterator[Mend]:
    for device in proof.job.design.devices:
        if device.id in finding.about:
            words = f"Hang {device.name or device.id} {KEYPAD_M:g} m above the floor"
            yield _setting("design.devices", words, {"height_m": KEYPAD_M}, device.id)


def _sleepers(proof: Proof, finding: Finding) -> Iterator[Mend]:
    zones = {z.id: z for d in finding.about for z in proof.scheme.zones_of_device.get(d, ())}
    wanted = [z for z in zones.values() if z.set_with_people_inside]
    if wanted:
        words = f"Leave {', '.join(z.name for z in wanted)} out when set with people inside"
        yield Mend(words, tuple(m for z in wanted for m in _zone(z, "", False).moves))


def _coming_home(proof: Proof, finding: Finding) -> Iterator[Mend]:
    scheme = proof.scheme
    zones = {z.id: z for d in finding.about for z in scheme.zones_of_device.get(d, ())}
    zones |= {z.id: z for z in scheme.design.programme.zones if z.id in finding.about}
    moves = []
    for zone in zones.values():
        families = {scheme.kind_of(d).family for d in scheme.fitted if zone in scheme.zones_of_device.get(d.id, ())}
        motion = families & {Family.MOTION, Family.DUAL}
        response = ZoneResponse.INTERIOR_FOLLOWER if motion else ZoneResponse.ENTRY_EXIT
        if zone.response not in (ZoneResponse.INTERIOR_FOLLOWER, ZoneResponse.ENTRY_EXIT):
            values = {"response": response.value}
            moves.append(Set(do="set", place="design.programme.zones", id=zone.id, values=values))
    if moves:
        names = ", ".join(zones[m.id].name for m in moves if m.id)
        yield Mend(f"Let {names} wait for the entry time", tuple(moves))


def _copper(proof: Proof, finding: Finding) -> Iterator[Mend]:
    """The run of supply to each device named: the next cables thicker than it has."""
    feeds = [f for f in proof.job.design.feeds if f.to_id in finding.about and f.cable_id is None]
    for area in AREAS_MM2:
        thin = [f for f in feeds if f.conductor_area_m2 is not None and f.conductor_area_m2 * 1e6 < area - 1e-6]
        if thin:
            names = ", ".join(f.to_id for f in thin)
            yield Mend(
                f"Feed {names} with {area:g} mm² a core",
                tuple(
                    Set(do="set", place="design.feeds", id=f.id, values={"conductor_area_m2": area * 1e-6})
                    for f in thin
                ),
            )


def _battery(proof: Proof, finding: Finding) -> Iterator[Mend]:
    scheme, design = proof.scheme, proof.job.design
    for at in finding.about:
        if not any(d.id == at for d in design.devices):
            continue
        room = scheme.kind_of(scheme.design.device(at)).get("battery_space_ah") or 0.0
        fitted = next((b for b in design.backups if b.at == at), None)
        has = scheme.catalogue.kind(fitted.kind).need("capacity_ah") if fitted else 0.0
        for kind in sorted(scheme.catalogue.family(Family.BATTERY), key=lambda k: k.need("capacity_ah")):
            lead = "lead" in kind.words.get("chemistry", "")
            if lead and has < kind.need("capacity_ah") <= room:
                yield _batteries(design, at, kind)
        if fitted is not None and fitted.age_years > 0.0:
            fresh = [b.model_dump(mode="json") | ({"age_years": 0.0} if b is fitted else {}) for b in design.backups]
            yield _setting("design", f"Fit a new battery of the same kind in {at}", {"backups": fresh})


def _batteries(design: Design, at: str, kind: DeviceKind) -> Mend:
    others = [b.model_dump(mode="json") for b in design.backups if b.at != at]
    values = {"backups": [*others, {"at": at, "kind": kind.id}]}
    return _setting("design", f"Fit {kind.name} in {at}", values)


def _heard(proof: Proof, finding: Finding) -> Iterator[Mend]:
    for words, device in sounder_spots(proof.scheme, finding.about):
        yield _placed(proof, (device,), words)


def _keypad(proof: Proof, finding: Finding) -> Iterator[Mend]:
    for words, device in inside_the_door(proof.scheme, finding.about):
        yield _placed(proof, (device,), words)


def _sited(proof: Proof, finding: Finding) -> Iterator[Mend]:
    for words, key, values in looks_elsewhere(proof.scheme, finding.about):
        yield _setting("design.devices", words, values, key)


def _right(proof: Proof, finding: Finding) -> Iterator[Mend]:
    areas = tuple(a.id for a in proof.job.design.programme.areas if a.id in finding.about)
    if areas:
        used, number = used_ids(proof.job), 1
        while f"right-{number}" in used:
            number += 1
        right = Right(id=f"right-{number}", holder="household", area_ids=areas, may=("set", "unset"))
        yield Mend(
            "Let the household set and unset it, at all hours",
            (Add(do="add", place="design.programme.rights", value=right.model_dump(mode="json")),),
        )


_MAKERS: tuple[tuple[str, Callable[[Proof, Finding], Iterator[Mend]]], ...] = (
    ("entry.way-in-watched", _way_in),
    ("route.", _route),
    ("living.entry-time", _timer),
    ("living.exit-time", _timer),
    ("living.keypad-height", _height),
    ("living.sleep-with-it-set", _sleepers),
    ("living.walk-waits", _coming_home),
    ("panel.coming-home", _coming_home),
    ("EU-ENT-06", _coming_home),
    ("power.voltage", _copper),
    ("power.", _battery),
    ("living.alarm-heard", _heard),
    ("living.alarm-wakes", _heard),
    ("living.keypad-reachable", _keypad),
    ("nuisance.", _sited),
    ("MNT-", _sited),
    ("panel.somebody-may-unset", _right),
)
