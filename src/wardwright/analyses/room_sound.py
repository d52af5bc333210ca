"""Rooms as sound meets them: surfaces, volume, and the rooms that open into each other."""

from dataclasses import dataclass

from wardwright.premises.fabric import Room, RoomUse
from wardwright.premises.model import Premises
from wardwright.premises.openings import Leaf, Opening, OpeningKind
from wardwright.premises.plan import storey_plans

HARD_USES = (
    RoomUse.KITCHEN,
    RoomUse.BATHROOM,
    RoomUse.UTILITY,
    RoomUse.GARAGE,
    RoomUse.WORKSHOP,
    RoomUse.STORE,
    RoomUse.PLANT,
    RoomUse.STAIR,
    RoomUse.PORCH,
    RoomUse.BASEMENT,
    RoomUse.ATTIC,
)
"""Rooms taken as unfurnished for sound where nobody noted it. Assumption."""
TILED_USES = (RoomUse.KITCHEN, RoomUse.BATHROOM, RoomUse.UTILITY)
"""Rooms with a hard floor, furnished or not. Assumption."""
UPHOLSTERED = 0.15
"""Upholstery of a furnished room as a share of its floor. Assumption. [-]"""
NOTED = "whether the rooms are softly furnished"


@dataclass(frozen=True)
class RoomSound:
    """One room, furnished one way."""

    surfaces: dict[str, float]
    """Area by name of surface. [m²]"""
    volume_m3: float


def room_height(premises: Premises, room: Room) -> float:
    """Clear height of a room; its storey's where it is not known. [m]"""
    return room.height_m or premises.storey(room.storey_id).height_m


def is_glazed(opening: Opening) -> bool:
    """Glass for the most part: a window, a rooflight, a leaf glazed whole."""
    if opening.kind in (OpeningKind.WINDOW, OpeningKind.ROOFLIGHT):
        return True
    return any(leaf.glazing is not None and leaf.glazing.part == "whole" for leaf in opening.leaves)


def pane_size(opening: Opening, leaf: Leaf | None) -> tuple[float, float]:
    """Width and height of the pane of a leaf, as far as they are known. [m]"""
    glazing = leaf.glazing if leaf is not None else None
    width = (glazing.width_m if glazing else None) or (leaf.width_m if leaf else None) or opening.width_m
    return width, (glazing.height_m if glazing else None) or opening.height_m


def room_sound(premises: Premises, room: Room, *, soft: bool) -> RoomSound:
    """Surfaces and volume of a room.

    Parameters
    ----------
    premises : Premises
        The building.
    room : Room
        One of its rooms.
    soft : bool
        Carpet and upholstery, against bare floor.

    Returns
    -------
    RoomSound
        Walls and ceiling of plasterboard, glass and doors as drawn. Assumption where the fabric is not known.
    """
    plan = storey_plans(premises)[room.storey_id]
    shape = plan.room_shapes[room.id]
    height = room_height(premises, room)
    openings = [s.opening for s in plan.openings if room.id in s.opening.room_ids]
    glass = sum(o.width_m * o.height_m for o in openings if is_glazed(o))
    doors = sum(o.width_m * o.height_m for o in openings if not is_glazed(o) and o.kind is not OpeningKind.PASSAGE)
    walls = max(0.1, shape.length * height - glass - doors)
    floor = "tile" if room.use in TILED_USES else ("carpet" if soft else "boards")
    surfaces = {floor: shape.area, "plasterboard ceiling": shape.area, "plasterboard": walls}
    if glass:
        surfaces["window glass"] = glass
    if doors:
        surfaces["wooden door"] = doors
    if soft:
        surfaces["upholstery"] = UPHOLSTERED * shape.area
    return RoomSound(surfaces, shape.area * height)


def furnishings(room: Room) -> tuple[bool, ...]:
    """Ways a room may be furnished: as noted, or both where nobody noted it, the likelier first."""
    if room.soft_furnished is not None:
        return (room.soft_furnished,)
    likely = room.use not in HARD_USES
    return (likely, not likely)


def joined_rooms(premises: Premises, room_id: str, open_ids: frozenset[str]) -> frozenset[str]:
    """Rooms that open into one another with these doors open, stairs included.

    Parameters
    ----------
    premises : Premises
        The building.
    room_id : str
        Where to start.
    open_ids : frozenset of str
        Inner doors that stand open; passages always do.

    Returns
    -------
    frozenset of str
        Ids of rooms, the first included.
    """
    found, waiting = {room_id}, [room_id]
    joins = room_joins(premises, open_ids)
    while waiting:
        here = waiting.pop()
        for a, b in joins:
            other = b if a == here else a if b == here else None
            if other is not None and other not in found:
                found.add(other)
                waiting.append(other)
    return frozenset(found)


def room_joins(premises: Premises, open_ids: frozenset[str]) -> tuple[tuple[str, str], ...]:
    """Pairs of rooms with air between them: passages, open doors, stairs."""
    plans = storey_plans(premises)
    indoors = {r.id for r in premises.rooms if r.indoors}
    pairs = []
    for opening in premises.openings:
        ends = [r for r in opening.room_ids if r in indoors]
        if len(ends) == 2 and (opening.kind is OpeningKind.PASSAGE or opening.id in open_ids):
            pairs.append((ends[0], ends[1]))
    for stair in premises.stairs:
        ends = []
        for storey_id, place in ((stair.lower_storey_id, stair.foot), (stair.upper_storey_id, stair.head)):
            room = plans[storey_id].room_at(place) if storey_id in plans else None
            if room is not None and room.indoors:
                ends.append(room.id)
        if len(ends) == 2:
            pairs.append((ends[0], ends[1]))
    return tuple(pairs)
