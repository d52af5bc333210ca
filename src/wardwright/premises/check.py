"""Broken references and impossible measures in premises, each in plain words."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from shapely import LineString, Polygon

from wardwright.premises.fabric import Room, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import NEIGHBOUR, OUTSIDE, Opening

LARGEST_ROOM_M = 150.0
"""A room of a home or small business longer than this is a slip of the unit. Assumption. [m]"""
LARGEST_OPENING_M = 15.0
"""An opening wider or higher than this is a slip of the unit. Assumption. [m]"""


@dataclass(frozen=True)
class Problem:
    """Something that cannot be as it stands."""

    where: str
    """Id of the element."""
    what: str
    """What is wrong, in plain words."""
    expected: str
    """What would be right."""
    severity: Literal["broken", "impossible"]
    """``broken``: it points at something that is not there. ``impossible``: a value nobody can build."""


def check_premises(premises: Premises) -> tuple[Problem, ...]:
    """Every broken reference and impossible measure of a building.

    Parameters
    ----------
    premises : Premises
        The building.

    Returns
    -------
    tuple of Problem
        In the order of the model; empty when nothing is wrong.
    """
    return (
        *_ids(premises),
        *_storeys(premises),
        *(p for wall in premises.walls for p in _wall(wall, premises)),
        *(p for opening in premises.openings for p in _opening(opening, premises)),
        *(p for room in premises.rooms for p in _room(room)),
        *_contents(premises),
    )


def repeated(groups: Iterable[tuple[str, Iterable[str]]]) -> Iterator[Problem]:
    """A problem for each id that more than one element carries.

    Parameters
    ----------
    groups : iterable of (str, iterable of str)
        What the elements are called in the trade, and their ids.

    Yields
    ------
    Problem
        One for each id that stands twice.
    """
    seen: dict[str, str] = {}
    told: set[str] = set()
    for name, ids in groups:
        for key in ids:
            if key in seen and key not in told:
                told.add(key)
                both = f"two {name}s" if seen[key] == name else f"a {seen[key]} and a {name}"
                yield Problem(key, f"{both} carry the id “{key}”", "an id of its own for each", "broken")
            seen.setdefault(key, name)


def _ids(premises: Premises) -> Iterator[Problem]:
    yield from repeated(
        (
            ("storey", (s.id for s in premises.storeys)),
            ("construction", (c.id for c in premises.constructions)),
            ("wall", (w.id for w in premises.walls)),
            ("opening", (o.id for o in premises.openings)),
            ("room", (r.id for r in premises.rooms)),
            ("stair", (s.id for s in premises.stairs)),
            ("obstacle", (o.id for o in premises.obstacles)),
            ("standing surface", (s.id for s in premises.standings)),
            ("chase", (c.id for c in premises.chases)),
            ("no-drilling mark", (n.id for n in premises.no_drilling)),
            ("heat source", (h.id for h in premises.heat_sources)),
            ("bed", (b.id for b in premises.beds)),
            ("pet", (p.id for p in premises.pets)),
            ("person", (p.id for p in premises.people)),
            ("target", (t.id for t in premises.targets)),
        )
    )
    for opening in premises.openings:
        leaves = [leaf.id for leaf in opening.leaves]
        for key in sorted({k for k in leaves if leaves.count(k) > 1}):
            yield Problem(opening.id, f"two leaves carry the id “{key}”", "an id of its own for each leaf", "broken")


def _storeys(premises: Premises) -> Iterator[Problem]:
    known = {s.id for s in premises.storeys}
    groups: tuple[tuple[str, Iterable[tuple[str, str]]], ...] = (
        ("wall", ((w.id, w.storey_id) for w in premises.walls)),
        ("room", ((r.id, r.storey_id) for r in premises.rooms)),
        ("obstacle", ((o.id, o.storey_id) for o in premises.obstacles)),
        ("heat source", ((h.id, h.storey_id) for h in premises.heat_sources)),
        ("chase", ((c.id, c.storey_id) for c in premises.chases)),
        ("stair", ((s.id, s.lower_storey_id) for s in premises.stairs)),
        ("stair", ((s.id, s.upper_storey_id) for s in premises.stairs)),
    )
    for name, pairs in groups:
        for key, storey_id in pairs:
            if storey_id not in known:
                said = f"this {name} is on the storey “{storey_id}”, which there is not"
                yield Problem(key, said, f"one of {_list(known)}", "broken")
    for stair in premises.stairs:
        if stair.lower_storey_id == stair.upper_storey_id:
            yield Problem(stair.id, "this stair starts and ends on one storey", "two storeys", "impossible")


def _wall(wall: Wall, premises: Premises) -> Iterator[Problem]:
    if LineString(wall.axis).length <= 1e-6:
        yield Problem(wall.id, "this wall has no length", "two points apart from each other", "impossible")
    if wall.construction_id is not None and wall.construction_id not in {c.id for c in premises.constructions}:
        said = f"this wall is built as “{wall.construction_id}”, which is described nowhere"
        yield Problem(wall.id, said, "the id of a construction, or none", "broken")


def _opening(opening: Opening, premises: Premises) -> Iterator[Problem]:
    place, name = opening.place, opening.name or opening.id
    if place.kind == "wall":
        wall = next((w for w in premises.walls if w.id == place.wall_id), None)
        if wall is None:
            said = f"“{name}” is in the wall “{place.wall_id}”, which there is not"
            yield Problem(opening.id, said, "the id of a wall", "broken")
        else:
            length = LineString(wall.axis).length
            offset = length / 2 if place.offset_m is None else place.offset_m
            if opening.width_m > length + 0.1:
                said = f"“{name}” is {opening.width_m:.2f} m wide in a wall {length:.2f} m long"
                yield Problem(opening.id, said, f"at most {length:.2f} m", "impossible")
            elif offset - opening.width_m / 2 < -0.05 or offset + opening.width_m / 2 > length + 0.05:
                said = (
                    f"“{name}”, {opening.width_m:.2f} m wide and centred {offset:.2f} m along, reaches beyond its wall"
                )
                half = opening.width_m / 2
                yield Problem(opening.id, said, f"a centre {half:.2f} to {length - half:.2f} m along", "impossible")
    elif place.storey_id not in {s.id for s in premises.storeys}:
        said = f"“{name}” is on the storey “{place.storey_id}”, which there is not"
        yield Problem(opening.id, said, "the id of a storey", "broken")
    if max(opening.width_m, opening.height_m) > LARGEST_OPENING_M:
        said = f"“{name}” measures {opening.width_m:.1f} m by {opening.height_m:.1f} m"
        yield Problem(opening.id, said, f"at most {LARGEST_OPENING_M:.0f} m (are the units right?)", "impossible")
    rooms = {r.id for r in premises.rooms}
    for side in opening.sides:
        if side is not None and side not in (OUTSIDE, NEIGHBOUR) and side not in rooms:
            said = f"“{name}” leads to the room “{side}”, which there is not"
            yield Problem(opening.id, said, f"a room's id, “{OUTSIDE}” or “{NEIGHBOUR}”", "broken")
    for leaf in opening.leaves:
        if leaf.width_m is not None and leaf.width_m > opening.width_m + 0.15:
            said = f"the leaf “{leaf.id}” of “{name}” is {leaf.width_m:.2f} m wide, its opening {opening.width_m:.2f} m"
            yield Problem(opening.id, said, f"at most {opening.width_m:.2f} m", "impossible")


def _room(room: Room) -> Iterator[Problem]:
    shape = Polygon(room.outline, room.holes)
    if not shape.is_valid:
        said = f"the outline of “{room.name}” crosses itself"
        yield Problem(room.id, said, "corners in order round the room", "impossible")
        return
    if shape.area < 0.05:
        said = f"“{room.name}” has a floor of {shape.area:.3f} m²"
        yield Problem(room.id, said, "a floor a person can stand on", "impossible")
    west, south, east, north = shape.bounds
    if max(east - west, north - south) > LARGEST_ROOM_M:
        said = f"“{room.name}” measures {east - west:.0f} m by {north - south:.0f} m"
        yield Problem(room.id, said, f"at most {LARGEST_ROOM_M:.0f} m (are the units right?)", "impossible")
    low, high = room.temperature_min_c, room.temperature_max_c
    if low is not None and high is not None and low > high:
        said = f"“{room.name}” is never colder than {low:g} and never warmer than {high:g} °C"
        yield Problem(room.id, said, "a lower limit below the upper", "impossible")


def _contents(premises: Premises) -> Iterator[Problem]:
    rooms = {r.id: r for r in premises.rooms}
    walls = {w.id for w in premises.walls}
    named: list[tuple[str, str, str]] = [
        *((b.id, "bed", b.room_id) for b in premises.beds),
        *((t.id, "target", t.room_id) for t in premises.targets),
        *((p.id, "pet", key) for p in premises.pets for key in p.room_ids),
        *((p.id, "person", p.sleeps_in) for p in premises.people if p.sleeps_in is not None),
        *((n.id, "no-drilling mark", key) for n in premises.no_drilling for key in n.room_ids),
    ]
    for key, what, room_id in named:
        if room_id not in rooms:
            said = f"this {what} is in the room “{room_id}”, which there is not"
            yield Problem(key, said, "the id of a room", "broken")
    for mark in premises.no_drilling:
        for wall_id in mark.wall_ids:
            if wall_id not in walls:
                said = f"this no-drilling mark is on the wall “{wall_id}”, which there is not"
                yield Problem(mark.id, said, "the id of a wall", "broken")
    if premises.survey == "approximate":
        return
    for target in premises.targets:
        room = rooms.get(target.room_id)
        if room is not None and not room.position_assumed:
            gap = _outside_by(room, target.position)
            if gap > 1.0:
                said = f"“{target.name}” stands {gap:.1f} m outside its room “{room.name}”"
                yield Problem(target.id, said, "a place in that room", "impossible")


def _outside_by(room: Room, position: tuple[float, float]) -> float:
    shape = Polygon(room.outline, room.holes)
    if not shape.is_valid:
        return 0.0
    x, y = position
    return float(shape.distance(LineString([(x, y), (math.nextafter(x, math.inf), y)])))


def _list(keys: Iterable[str]) -> str:
    names = sorted(keys)
    shown = ", ".join(f"“{name}”" for name in names[:8])
    return shown + (f" and {len(names) - 8} more" if len(names) > 8 else "")
