"""Where one device more could go to mend a finding: on an opening, along a route, in a room; or hang better."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from wardwright.analyses.route_records import Route
from wardwright.analyses.siting import siting_checks
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.model import XY
from wardwright.placement.candidates import Candidate, offered
from wardwright.placement.grades import suitable
from wardwright.placement.wall_spots import wall_spots
from wardwright.placement.watching import TURNS_RAD, on_wall
from wardwright.premises.plan import storey_plans

ROOMS = 3
"""Rooms along a route that a detector is tried in. [-]"""
HALF_VIEW_RAD = math.radians(45.0)
"""Half the angle a motion detector is taken to see, to choose among spots. Common practice, no source. [rad]"""


def on_the_opening(
    scheme: ProtectionScheme, opening_id: str, *, inside: bool
) -> Iterator[tuple[str, tuple[Device, ...]]]:
    """What could watch an opening besides what does: on its leaves, in the room behind it.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    opening_id : str
        The opening.
    inside : bool
        Wanted with people inside too: no motion detector then.

    Yields
    ------
    tuple of str and tuple of Device
        The edit in words, and the devices, cheapest way first.
    """
    name = scheme.premises.opening(opening_id).name
    there = {scheme.kind_of(d).family for d in scheme.fitted if d.opening_id == opening_id}
    without = tuple(d for d in scheme.design.devices if d.opening_id != opening_id)
    bare = replace(scheme, design=scheme.design.model_copy(update={"devices": without}))
    candidates = [c for c in offered(bare).candidates if not c.kept]
    packages: dict[tuple[str, ...], tuple[Device, ...]] = {}
    for candidate in candidates:
        if any(d.opening_id == opening_id for d in candidate.devices):
            new = tuple(d for d in candidate.devices if scheme.kind_of(d).family not in there)
            packages.setdefault(tuple(sorted(d.kind for d in new)), new)
    for devices in sorted(packages.values(), key=len)[:3]:
        if devices:
            yield f"Put {_listed(scheme, devices)} on {name}", devices
    opening = scheme.premises.opening(opening_id)
    for family in (Family.GLASS_BREAK, *(() if inside else (Family.MOTION, Family.DUAL))):
        for room_id in opening.room_ids:
            if family is Family.GLASS_BREAK and any(
                scheme.kind_of(d).family is family and d.room_id == room_id for d in scheme.fitted
            ):
                continue
            spots = _in_room(scheme, candidates, room_id, family)
            target = _centre(scheme, opening_id)
            if spots and target is not None:
                best = min(spots, key=lambda d: _off(d, target))
                room = scheme.premises.room(room_id).name
                yield f"Hang {_listed(scheme, (best,))} in {room}, towards {name}", (best,)


def on_the_way(scheme: ProtectionScheme, routes: Sequence[Route]) -> Iterator[tuple[str, Device]]:
    """One more motion detector in the rooms some routes go through, where most of their way is in view.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    routes : sequence of Route
        The routes to catch.

    Yields
    ------
    tuple of str and Device
        The edit in words, and the device.
    """
    plans = storey_plans(scheme.premises)
    passed: dict[str, list[XY]] = {}
    for storey_id, x, y in (p for r in routes for p in _along(r)):
        room = plans[storey_id].room_at((x, y)) if storey_id in plans else None
        if room is not None and room.indoors:
            passed.setdefault(room.id, []).append((x, y))
    candidates = [c for c in offered(scheme).candidates if not c.kept]
    for room_id, points in sorted(passed.items(), key=lambda item: -len(item[1]))[:ROOMS]:
        spots = _in_room(scheme, candidates, room_id, Family.MOTION, Family.DUAL)
        if spots:
            best = max(spots, key=lambda d: sum(_off(d, p) < HALF_VIEW_RAD for p in points))
            room = scheme.premises.room(room_id)
            yield f"Hang {_listed(scheme, (best,))} in {room.name}", best


def sounder_spots(scheme: ProtectionScheme, room_ids: Sequence[str]) -> Iterator[tuple[str, Device]]:
    """An inner sounder in each room named.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    room_ids : sequence of str
        Rooms, or beds, that hear too little; other ids are passed over.

    Yields
    ------
    tuple of str and Device
        The edit in words, and the device.
    """
    kinds = suitable(scheme, Family.INNER_SOUNDER)
    beds = {b.id: b.room_id for b in scheme.premises.beds}
    wanted = dict.fromkeys(beds.get(key, key) for key in room_ids)
    for spot in wall_spots(scheme.premises) if kinds else ():
        if spot.room_id in wanted:
            del wanted[spot.room_id]
            device = on_wall(kinds[0], spot)
            yield f"Hang {_listed(scheme, (device,))} in {scheme.premises.room(spot.room_id).name}", device


def inside_the_door(scheme: ProtectionScheme, opening_ids: Sequence[str]) -> Iterator[tuple[str, Device]]:
    """A keypad on the wall nearest to a final exit, inside.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    opening_ids : sequence of str
        The exits; none: all of them.

    Yields
    ------
    tuple of str and Device
        The edit in words, and the device.
    """
    kinds = suitable(scheme, Family.KEYPAD)
    for opening in scheme.premises.openings:
        centre = _centre(scheme, opening.id)
        spots = [s for s in wall_spots(scheme.premises) if s.room_id in opening.room_ids]
        wanted = opening.final_exit and (not opening_ids or opening.id in opening_ids)
        if wanted and kinds and centre is not None and spots:
            best = min(spots, key=lambda s: math.dist(s.position, centre))
            device = on_wall(kinds[0], best).model_copy(update={"height_m": 1.4})
            yield f"Hang {_listed(scheme, (device,))} inside {opening.name}", device


def looks_elsewhere(scheme: ProtectionScheme, ids: Sequence[str]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """A motion detector turned, or hung elsewhere in its room, so that no siting rule objects.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    ids : sequence of str
        What the finding is about; what is no motion detector is passed over.

    Yields
    ------
    tuple of str, str and dict
        The edit in words, the detector's id, and its new values.
    """
    for device in scheme.of_family(Family.MOTION, Family.DUAL):
        if device.id not in ids:
            continue
        objected = {c.rule for c in siting_checks(scheme, device) if c.objects}
        name = device.name or device.id
        for turn in TURNS_RAD[1:]:
            turned = device.model_copy(update={"heading_rad": device.heading_rad + turn})
            if len({c.rule for c in siting_checks(scheme, turned) if c.objects}) < len(objected):
                side = "left" if turn > 0 else "right"
                yield (
                    f"Turn {name} {abs(math.degrees(turn)):.0f}° to the {side}",
                    device.id,
                    {"heading_rad": turned.heading_rad},
                )
                break
        room = scheme.room_of(device)
        free = [c for c in offered(scheme).candidates if not c.kept]
        spots = [] if room is None else _in_room(scheme, free, room.id, Family.MOTION, Family.DUAL)
        for spot in sorted(spots, key=lambda d: math.dist(d.position, device.position))[:2]:
            values = {"position": list(spot.position), "heading_rad": spot.heading_rad}
            moved = math.dist(spot.position, device.position)
            if moved > 0.3:
                where = f"{spot.position[0]:.1f}/{spot.position[1]:.1f}"
                yield f"Hang {name} elsewhere in its room, {moved:.1f} m off, at {where}", device.id, values


def _listed(scheme: ProtectionScheme, devices: Sequence[Device]) -> str:
    kinds = [scheme.kind_of(d).name.lower() for d in devices]
    counted = {k: kinds.count(k) for k in kinds}
    return " and ".join(f"{n} × {k}" if n > 1 else f"{_article(k)} {k}" for k, n in counted.items())


def _article(noun: str) -> str:
    return "an" if noun[:1] in "aeiou" else "a"


def _in_room(
    scheme: ProtectionScheme, candidates: Sequence[Candidate], room_id: str, *families: Family
) -> list[Device]:
    single = [c.devices[0] for c in candidates if len(c.devices) == 1]
    return [d for d in single if d.room_id == room_id and scheme.kind_of(d).family in families]


def _centre(scheme: ProtectionScheme, opening_id: str) -> XY | None:
    for plan in storey_plans(scheme.premises).values():
        for shape in plan.openings:
            if shape.opening.id == opening_id:
                return shape.centre
    return None


def _off(device: Device, at: XY) -> float:
    """Angle between where a device looks and a point. [rad]"""
    towards = math.atan2(at[1] - device.position[1], at[0] - device.position[0])
    return abs((towards - device.heading_rad + math.pi) % math.tau - math.pi)


def _along(route: Route) -> Iterator[tuple[str, float, float]]:
    """Points of a route, about half a metre apart."""
    for (storey, x0, y0), (other, x1, y1) in zip(route.points, route.points[1:], strict=False):
        if storey == other:
            pieces = max(1, round(math.dist((x0, y0), (x1, y1)) / 0.5))
            for n in range(pieces):
                yield storey, x0 + (x1 - x0) * n / pieces, y0 + (y1 - y0) * n / pieces
