"""A loop as it is really wired: its stations in cable order, with what is wrong in how it is built."""

import itertools
from dataclasses import dataclass, replace

from wardwright.analyses.cabling import run_resistance
from wardwright.catalogue.kinds import DETECTORS, DeviceKind, Family
from wardwright.design.devices import Device, Loop, Resistor, Scheme
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.physics import loops as physics
from wardwright.physics.loops import Station

RELAY_OHM = 10.0
"""Largest resistance of a detector's closed alarm contact where the catalogue gives none. [Ω] Assumption."""

REED_OHM = 1.0
"""The same of a reed contact. [Ω] Assumption; a new one has about 0.1 Ω."""


@dataclass(frozen=True)
class BuiltLoop:
    """Stations of one loop, the panel first."""

    stations: tuple[Station, ...]
    linked: bool
    """The pair is joined at its far end."""
    faults: tuple[tuple[str, str], ...]
    steps: tuple[tuple[str, str], ...]
    unknown: str
    """What is not known of its cable."""


def build_loop(scheme: ProtectionScheme, loop: Loop) -> BuiltLoop:
    """The stations of a loop from the design.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    loop : Loop
        One of its loops.

    Returns
    -------
    BuiltLoop
        A resistor is put where it really sits: in the panel, at some contact, at the last one.

    Raises
    ------
    InputError
        If a contact is not fitted, or the loop mixes what cannot be mixed.
    """
    devices = {d.id: d for d in scheme.fitted}
    chain = [devices[loop.at]]
    for key in loop.contacts:
        if key not in devices:
            raise InputError(f"its contact “{key}” is not fitted", where=loop.id)
        chain.append(devices[key])
    faults: list[tuple[str, str]] = []
    across = [d.id for d in chain[1:] if _opens_to_rest(scheme.kind_of(d), loop.scheme)]
    if across and loop.scheme in (Scheme.DOUBLE, Scheme.TRIPLE):
        text = f"{', '.join(across)}: a contact open at rest cannot be supervised by {loop.scheme}"
        raise InputError(text, where=loop.id)
    if across and len(across) < len(chain) - 1:
        raise InputError("contacts open at rest and contacts closed at rest share it", where=loop.id)
    for device in chain[1:]:
        secure = scheme.kind_of(device).words.get("state_when_secure")
        wanted = {Scheme.NC: "closed", Scheme.NO: "open"}.get(loop.scheme)
        if wanted and secure and secure != wanted:
            faults.append(("contact state", f"{device.id} is {secure} at rest and is wired as {loop.scheme}"))
    stations = [Station(loop.at)]
    steps: list[tuple[str, str]] = []
    unknown = ""
    for before, device in itertools.pairwise(chain):
        run = _run(scheme, loop, before, device)
        unknown = unknown or run[1]
        steps += run[2]
        kind = scheme.kind_of(device)
        fallback = RELAY_OHM if kind.family in DETECTORS and kind.family is not Family.CONTACT else REED_OHM
        stations.append(
            Station(
                device.id,
                contact="across" if device.id in across else "series",
                cable=run[0],
                contact_resistance=kind.get("contact_ohm") or fallback,
            )
        )
    _seat(loop, scheme, stations, faults, linked=not across)
    return BuiltLoop(tuple(stations), not across and loop.scheme is not Scheme.NO, tuple(faults), tuple(steps), unknown)


def _opens_to_rest(kind: DeviceKind, scheme: Scheme) -> bool:
    """True for a contact that stands open while all is well and goes across the pair."""
    if scheme in (Scheme.NC, Scheme.NO):
        return scheme is Scheme.NO
    return kind.words.get("state_when_secure") == "open"


def _run(
    scheme: ProtectionScheme, loop: Loop, before: Device, device: Device
) -> tuple[float, str, tuple[tuple[str, str], ...]]:
    """Resistance of the run to a device, what is unknown about it, and its steps."""
    mine = [c for c in scheme.design.cables if c.id in loop.cable_ids]
    cable = next((c for c in mine if {c.from_id, c.to_id} == {before.id, device.id}), None)
    cable = cable or next((c for c in mine if device.id in (c.from_id, c.to_id)), None)
    run = run_resistance(scheme, before, device, cable=cable)
    # A run of unknown cable is carried at twice the usual core; the loop stays undecided until it is measured.
    ohm = run.ohm if run.ohm is not None else 0.38 * run.length.metres
    return ohm, run.unknown, run.steps


def _part(resistor: Resistor) -> physics.Resistor:
    return physics.Resistor(resistor.ohm, resistor.tolerance)


def _seat(
    loop: Loop, scheme: ProtectionScheme, stations: list[Station], faults: list[tuple[str, str]], *, linked: bool
) -> None:
    """Puts each resistor where it sits, and notes what is missing or misplaced."""
    index = {s.name: k for k, s in enumerate(stations)}
    last = len(stations) - 1
    supervised = loop.scheme in (Scheme.SINGLE, Scheme.DOUBLE, Scheme.TRIPLE)
    ends = [r for r in loop.resistors if r.role == "end of line"]
    if supervised and not ends:
        faults.append(("missing resistor", f"{loop.scheme} without an end-of-line resistor"))
    for resistor in ends[:1]:
        place = index.get(resistor.at)
        if place is None:
            raise InputError(f"its end-of-line resistor sits in “{resistor.at}”, which is not on it", where=loop.id)
        part = _part(resistor)
        stations[place] = (
            replace(stations[place], in_series=part) if linked else replace(stations[place], across_pair=part)
        )
        if place == 0 and last > 0:
            faults.append(("resistor in the panel", f"the end-of-line resistor sits in {loop.at}, not at the far end"))
        elif place < last:
            after = stations[place + 1].name
            faults.append(("resistor before the end", f"the end-of-line resistor sits before {after}"))
    _alarm_resistors(loop, stations, index, faults)
    if loop.scheme is Scheme.TRIPLE:
        for resistor in (r for r in loop.resistors if r.role == "fault"):
            place = index.get(resistor.at, 0)
            if place == 0:
                faults.append(("resistor in the panel", f"the fault resistor sits in {loop.at}"))
            else:
                stations[place] = replace(stations[place], fault_contact=True, across_fault=_part(resistor))
        for k, station in enumerate(stations[1:], 1):
            device = scheme.design.device(station.name)
            masks = scheme.kind_of(device).words.get("masking_detection") == "yes"
            if masks and not station.fault_contact:
                stations[k] = replace(station, fault_contact=True)
                faults.append(("missing resistor", f"no resistor across the fault contact of {station.name}"))


def _alarm_resistors(
    loop: Loop,
    stations: list[Station],
    index: dict[str, int],
    faults: list[tuple[str, str]],
) -> None:
    """The resistors across alarm contacts of double and triple end of line."""
    if loop.scheme not in (Scheme.DOUBLE, Scheme.TRIPLE):
        return
    in_panel = False
    for resistor in (r for r in loop.resistors if r.role == "alarm"):
        place = index.get(resistor.at)
        if place is None:
            raise InputError(f"a resistor sits in “{resistor.at}”, which is not on it", where=loop.id)
        if place > 0:
            stations[place] = replace(stations[place], across_contact=_part(resistor))
        elif not in_panel:
            # One across the terminals serves all contacts; more of them would be the same mistake again.
            in_panel = True
            stations[0] = replace(stations[0], across_pair=_part(resistor))
            faults.append(("resistor in the panel", f"the alarm resistor sits in {loop.at}, not at its contact"))
    bare = [s.name for s in stations[1:] if s.contact == "series" and s.across_contact is None]
    if bare and not in_panel:
        faults.append(("contact without resistor", f"no resistor across {', '.join(bare)}"))
