"""What could be placed: a package of contacts and shock detectors on each opening, detectors in corners and on walls.

A candidate is one zone: it reports by itself, so two candidates are two independent detections. Candidates of one spot
exclude each other.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from wardwright.analyses.room_sound import pane_size
from wardwright.analyses.ways_in import Attackable, attackable_openings
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.physics.shock import detectors_for_pane
from wardwright.placement.grades import radio_kinds, receiver_kind, wired_kinds
from wardwright.placement.wall_spots import wall_spots
from wardwright.placement.watching import KindsOf, on_wall, watchers
from wardwright.premises.openings import GlassKind, Opening, OpeningKind
from wardwright.premises.plan import OpeningShape, storey_plans

BY_RADIO = ":r"
"""Ends the id of a candidate made of radio devices; without it, it is the id of the same by wire."""
MOST_SHOCKS = 4
"""Shock detectors on one opening. Assumption. [-]"""
EARS = 3
"""Places for a glass-break detector offered for each room, those nearest to its panes. [-]"""


@dataclass(frozen=True, eq=False)
class Candidate:
    """One zone that could be had, or that is there already."""

    id: str
    name: str
    spot: str
    """Candidates of one spot exclude each other: an opening, a place on a wall."""
    devices: tuple[Device, ...]
    kept: bool = False
    """Part of the design already: not paid for, not to be left out."""
    inside: bool = True
    """Watched with people inside too."""


@dataclass(frozen=True)
class Offered:
    """All candidates of a job, and what siting rules refused."""

    candidates: tuple[Candidate, ...]
    refused: tuple[tuple[str, str], ...]
    """Place and the rule against it, in plain words."""


def kept_zones(scheme: ProtectionScheme) -> tuple[Candidate, ...]:
    """Zones of the design as it stands; what is on no zone is heard by nobody and counts for nothing."""
    loops = {loop.id: loop for loop in scheme.design.loops}
    fitted = {d.id: d for d in scheme.fitted}
    found = []
    for zone in scheme.design.programme.zones:
        ids = dict.fromkeys((*zone.device_ids, *(loops[zone.loop_id].contacts if zone.loop_id in loops else ())))
        devices = tuple(fitted[key] for key in ids if key in fitted)
        if devices:
            inside = zone.set_with_people_inside
            found.append(Candidate(zone.id, zone.name, f"kept:{zone.id}", devices, True, inside))
    return tuple(found)


def offered(scheme: ProtectionScheme) -> Offered:
    """Everything that could be placed in a building for its brief.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, brief, catalogue, and what is placed already.

    Returns
    -------
    Offered
        Candidates, none of them on an opening, in a room, or of a kind that the brief rules out; and the places that
        siting rules refused.
    """
    refused: list[tuple[str, str]] = []
    found = [
        *kept_zones(scheme),
        *_on_openings(scheme),
        *_watching(scheme, wired_kinds, refused),
        *_listening(scheme, wired_kinds),
    ]
    if receiver_kind(scheme) is not None:
        found += [*_contacts_by_radio(scheme), *_watching(scheme, radio_kinds, []), *_listening(scheme, radio_kinds)]
    return Offered(tuple(found), tuple(refused))


def _free_openings(scheme: ProtectionScheme) -> Iterator[Attackable]:
    """Ways in that can be reached, with nothing on them yet, and not ruled out."""
    taken = {d.opening_id for d in scheme.fitted if d.opening_id}
    ruled_out = set(scheme.brief.ruled_out)
    for item in attackable_openings(scheme):
        opening = item.shape.opening
        if item.reachable is False or not item.attacks or opening.id in taken:
            continue
        if not {opening.id, *opening.room_ids} & ruled_out:
            yield item


def _contacts_by_radio(scheme: ProtectionScheme) -> Iterator[Candidate]:
    """Contacts of an opening by radio: those of shut leaves on one zone, that of a leaf wanted open by itself."""
    for item in _free_openings(scheme):
        opening = item.shape.opening
        contacts = _contacts(scheme, item, radio_kinds)
        vented = {leaf.id for leaf in opening.leaves if leaf.vent is not None and leaf.vent.wanted_when_set}
        for contact in (c for c in contacts if c.leaf_id in vented):
            yield Candidate(f"{contact.leaf_id}:c{BY_RADIO}", opening.name, f"leaf:{contact.leaf_id}", (contact,))
        shut = tuple(c for c in contacts if c.leaf_id not in vented)
        if shut:
            yield Candidate(f"{opening.id}:c{BY_RADIO}", opening.name, f"opening:{opening.id}", shut)


def _on_openings(scheme: ProtectionScheme) -> Iterator[Candidate]:
    for item in _free_openings(scheme):
        opening = item.shape.opening
        vented = [leaf.id for leaf in opening.leaves if leaf.vent is not None and leaf.vent.wanted_when_set]
        contacts = _contacts(scheme, item, wired_kinds)
        for contact in (c for c in contacts if c.leaf_id in vented):
            # left out while it stands open, so it shares its zone with nothing
            key = f"{contact.leaf_id}:c"
            yield Candidate(key, opening.name, f"leaf:{contact.leaf_id}", (contact,))
        contacts = tuple(c for c in contacts if c.leaf_id not in vented)
        shocks = _shocks(scheme, item)
        for with_contacts in (True, False) if contacts else (False,):
            for shocked in ((), *shocks):
                devices = (*(contacts if with_contacts else ()), *shocked)
                if devices:
                    key = f"{opening.id}:{'c' if with_contacts else ''}{len(shocked) or ''}"
                    yield Candidate(key, opening.name, f"opening:{opening.id}", devices)


def _contacts(scheme: ProtectionScheme, item: Attackable, kinds_of: KindsOf) -> tuple[Device, ...]:
    """One contact for each leaf that an attack moves, of the cheapest kind that can tell."""
    opening = item.shape.opening
    moved = {a.moved_leaf_id or a.leaf_id for a in item.attacks if a.leaf_moves or a.from_vent}
    leaves = [leaf for leaf in opening.leaves if leaf.id in moved]
    if not moved:
        return ()
    overhead = opening.kind is OpeningKind.GARAGE_DOOR
    kinds = [k for k in kinds_of(scheme, Family.CONTACT) if ("overhead" in k.id) == overhead]
    if opening.kind is not OpeningKind.DOOR:
        kinds = [k for k in kinds if "recessed" not in k.id]
    found = []
    for leaf in leaves or (None,):
        gap = leaf.vent.gap_m if leaf is not None and leaf.vent is not None and leaf.vent.wanted_when_set else 0.0
        able = [k for k in kinds if (k.get("operate_gap_m") or 0.0) >= gap]
        if not able:
            return ()
        found.append(_at(able[0], item.shape, leaf.id if leaf is not None else None, 0.9))
    return tuple(found)


def _shocks(scheme: ProtectionScheme, item: Attackable) -> Iterator[tuple[Device, ...]]:
    """Rows of one to four shock detectors along an opening, from as many as its largest pane wants."""
    kinds = wired_kinds(scheme, Family.SHOCK)
    if not kinds or not any(a.structure_shaken for a in item.attacks):
        return
    opening = item.shape.opening
    least = max((detectors_for_pane(*pane_size(opening, leaf)) for leaf in opening.leaves or (None,)), default=1)
    for count in range(1, max(MOST_SHOCKS, least) + 1):
        yield tuple(
            _at(kinds[0], item.shape, None, 1.0, along=((i + 1) / (count + 1) - 0.5) * opening.width_m)
            for i in range(count)
        )


def _at(kind: DeviceKind, shape: OpeningShape, leaf_id: str | None, up: float, along: float = 0.0) -> Device:
    opening = shape.opening
    x, y = shape.centre
    part = leaf_id.rpartition(".")[2] if leaf_id else f"{along:+.2f}"
    return Device(
        id=f"{kind.tag}-{opening.id}-{part}"[:80].replace("+", "p"),
        kind=kind.id,
        name=opening.name,
        storey_id=shape.storey_id,
        position=(x + along * math.cos(shape.along_rad), y + along * math.sin(shape.along_rad)),
        height_m=opening.sill_m + up * opening.height_m,
        opening_id=opening.id,
        leaf_id=leaf_id,
    )


def _watching(scheme: ProtectionScheme, kinds_of: KindsOf, refused: list[tuple[str, str]]) -> Iterator[Candidate]:
    for each in watchers(scheme, kinds_of, refused):
        spot = f"m:{each.spot.id}"
        key = spot + each.aim + (BY_RADIO if scheme.kind_of(each.device).radio else "")
        yield Candidate(key, scheme.premises.room(each.spot.room_id).name, spot, (each.device,), inside=each.inside)


def _listening(scheme: ProtectionScheme, kinds_of: KindsOf) -> Iterator[Candidate]:
    """Glass-break detectors, where a room has panes of a kind they are declared for."""
    kinds = kinds_of(scheme, Family.GLASS_BREAK)
    if not kinds:
        return
    kind = kinds[0]
    spots = wall_spots(scheme.premises)
    for plan in storey_plans(scheme.premises).values():
        for room in plan.rooms:
            panes = [s for s in plan.openings if room.id in s.opening.room_ids and _glazed(s.opening, kind)]
            if not panes or room.id in scheme.brief.ruled_out:
                continue
            mine = [s for s in spots if s.room_id == room.id]
            mine.sort(key=lambda s: max(math.dist(s.position, p.centre) for p in panes))
            for spot in mine[:EARS]:
                key = f"g:{spot.id}"
                yield Candidate(key + BY_RADIO if kind.radio else key, room.name, key, (on_wall(kind, spot),))


def _glazed(opening: Opening, kind: DeviceKind) -> bool:
    declared = kind.words.get("glass_kinds", "").split()
    kinds = {leaf.glazing.kind for leaf in opening.leaves if leaf.glazing is not None}
    return opening.is_outside and any(k is GlassKind.UNKNOWN or k.value in declared for k in kinds)
