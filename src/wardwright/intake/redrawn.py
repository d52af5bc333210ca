"""What follows when walls and openings are drawn or moved by hand: rooms, what lies on either side, what is outside.

Only storeys whose closed spaces changed are looked at again; what the surveyor said of a room stays with the room.
"""

import math
from collections.abc import Sequence

import numpy as np
from shapely import LineString, Polygon

from wardwright.errors import GeometryError
from wardwright.intake.draft import DraftOpening, DraftWall
from wardwright.intake.enclosure import Enclosure, Space, left_normal
from wardwright.intake.report import Ids
from wardwright.intake.rooms_from_walls import free_spaces, rings_of
from wardwright.premises.fabric import Room, Storey, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import NEIGHBOUR, OUTSIDE, Opening, OpeningKind
from wardwright.premises.plan import OpeningShape, opening_shape, room_shape, wall_body

SAME_M = 0.002
"""Two spaces whose edges lie closer than this everywhere are one and the same. [m]"""


def redrawn(before: Premises, after: Premises, *, used: frozenset[str] = frozenset()) -> Premises:
    """The premises with everything that follows from walls and openings found again.

    Parameters
    ----------
    before, after : Premises
        As it was, and with its walls and openings as they were drawn.
    used : frozenset of str
        Ids that may not be given to a new room.

    Returns
    -------
    Premises
        Rooms, sides of openings, outside walls and the final exit brought up to date.

    Raises
    ------
    GeometryError
        If an opening is wider than the wall it is on.
    """
    if (before.walls, before.openings) == (after.walls, after.openings):
        return after
    after = after.model_copy(update={"openings": tuple(_kept_on_wall(after, o) for o in after.openings)})
    ids = Ids()
    ids.given |= used | after.ids | before.ids
    for storey in after.storeys:
        if _drawn(before, storey) != _drawn(after, storey):
            after = _storey_redrawn(before, after, storey, ids)
    return _with_final_exit(after)


def _drawn(premises: Premises, storey: Storey) -> tuple[tuple[Wall, ...], tuple[Opening, ...]]:
    walls = tuple(w for w in premises.walls if w.storey_id == storey.id)
    on = {w.id for w in walls}
    openings = (
        o
        for o in premises.openings
        if (o.place.wall_id in on if o.place.kind == "wall" else o.place.storey_id == storey.id)
    )
    return walls, tuple(openings)


def _kept_on_wall(premises: Premises, opening: Opening) -> Opening:
    """An opening slid back onto its wall where the wall was made shorter."""
    place = opening.place
    if place.kind != "wall" or place.offset_m is None:
        return opening
    length = LineString(premises.wall(place.wall_id).axis).length
    half = opening.width_m / 2
    if length < opening.width_m:
        raise GeometryError(
            f"“{opening.name}” is {opening.width_m:.2f} m wide and its wall would be {length:.2f} m long; "
            "remove it first, or make it narrower",
            where=opening.name,
        )
    offset = min(max(place.offset_m, half), length - half)
    if offset == place.offset_m:
        return opening
    return opening.model_copy(update={"place": place.model_copy(update={"offset_m": offset})})


def _spaces(premises: Premises, storey: Storey) -> list[Polygon]:
    walls, openings = _drawn(premises, storey)
    high = [w for w in walls if w.base_m < 1.0]
    drafts = [DraftWall(w.id, storey.id, axis=w.axis, thickness_m=w.thickness_m) for w in high]
    holes = []
    for opening in openings:
        if opening.place.kind != "slab":
            shape = opening_shape(premises, opening)
            holes.append(
                DraftOpening(
                    opening.id,
                    storey.id,
                    opening.name,
                    opening.kind,
                    shape.centre,
                    along_rad=shape.along_rad,
                    width_m=opening.width_m,
                )
            )
    return free_spaces(drafts, holes)


def _storey_redrawn(before: Premises, after: Premises, storey: Storey, ids: Ids) -> Premises:
    was = _spaces(before, storey) if storey.id in before.ids else []
    now = _spaces(after, storey)
    new = [n for n in now if not any(_same(n, w) for w in was)]
    gone = [w for w in was if not any(_same(n, w) for n in now)]
    if new or gone:
        after = _rooms_redrawn(after, storey, new, gone, ids)
    return _sides_redrawn(before, after, storey, changed=bool(new or gone))


def _same(one: Polygon, other: Polygon) -> bool:
    return bool(one.symmetric_difference(other).area <= SAME_M * max(one.length, other.length))


def _rooms_redrawn(
    premises: Premises, storey: Storey, new: Sequence[Polygon], gone: Sequence[Polygon], ids: Ids
) -> Premises:
    """New spaces take over the room that fills most of them; what has no space any more goes, unless it is in use."""
    mine = [r for r in premises.rooms if r.storey_id == storey.id and r.indoors]
    shapes = {r.id: room_shape(r) for r in mine}
    taken: dict[str, Polygon] = {}
    fresh: list[Room] = []
    inherits: dict[str, str] = {}
    for space in sorted(new, key=lambda s: -s.area):
        inside = [
            r
            for r in mine
            if r.id not in taken and shapes[r.id].intersection(space).area > 0.3 * _less(space, shapes[r.id])
        ]
        outline, holes = rings_of(space)
        if inside:
            heir = max(inside, key=lambda r: shapes[r.id].intersection(space).area)
            taken[heir.id] = space
            inherits |= {r.id: heir.id for r in inside if r is not heir}
        else:
            fresh.append(_room(storey, outline, holes, ids, [*premises.rooms, *fresh]))
    in_use = {b.room_id for b in premises.beds} | {t.room_id for t in premises.targets}
    swallowed = set(inherits) - set(taken)
    lost = {
        r.id
        for r in mine
        if r.id not in taken
        and (r.id in swallowed or (r.id not in in_use and any(_same(shapes[r.id], g) for g in gone)))
    }
    rooms: list[Room] = []
    for room in premises.rooms:
        if room.id in taken:
            outline, holes = rings_of(taken[room.id])
            rooms.append(room.model_copy(update={"outline": outline, "holes": holes}))
        elif room.id not in lost:
            rooms.append(room)
    return _inherited(premises.model_copy(update={"rooms": (*rooms, *fresh)}), inherits, lost)


def _less(one: Polygon, other: Polygon) -> float:
    return float(min(one.area, other.area))


def _room(
    storey: Storey, outline: tuple[tuple[float, float], ...], holes: object, ids: Ids, rooms: Sequence[Room]
) -> Room:
    names = {r.name for r in rooms}
    number = next(n for n in range(1, len(names) + 2) if f"Room {n}" not in names)
    return Room.model_validate(
        {"id": ids.number("room"), "name": f"Room {number}", "storey_id": storey.id, "outline": outline, "holes": holes}
    )


def _inherited(premises: Premises, inherits: dict[str, str], lost: set[str]) -> Premises:
    """What stood in a room that became part of another now stands in that one; pets no longer roam what is gone."""
    heirs = {old: heir for old, heir in inherits.items() if old in lost}
    if not lost:
        return premises
    return premises.model_copy(
        update={
            "beds": tuple(b.model_copy(update={"room_id": heirs.get(b.room_id, b.room_id)}) for b in premises.beds),
            "targets": tuple(
                t.model_copy(update={"room_id": heirs.get(t.room_id, t.room_id)}) for t in premises.targets
            ),
            "pets": tuple(
                p.model_copy(
                    update={
                        "room_ids": tuple(
                            dict.fromkeys(heirs.get(r, r) for r in p.room_ids if r not in lost or r in heirs)
                        )
                    }
                )
                for p in premises.pets
            ),
        }
    )


def _sides_redrawn(before: Premises, after: Premises, storey: Storey, *, changed: bool) -> Premises:
    enclosure = _enclosure(after, storey)
    low, high = storey.elevation_m, storey.elevation_m + storey.height_m
    was = {o.id: o for o in before.openings}
    walls_were = {w.id: w for w in before.walls}
    walls, mine = _drawn(after, storey)
    on = {w.id: w for w in walls}
    openings = {o.id: o for o in mine}
    for opening in mine:
        if opening.place.kind == "slab":
            continue
        wall = on.get(opening.place.wall_id) if opening.place.kind == "wall" else None
        moved = was.get(opening.id) != opening or (wall is not None and walls_were.get(wall.id) != wall)
        if moved or changed:
            shape = opening_shape(after, opening)
            sides = _sides(enclosure, shape, low, opening, wall)
            openings[opening.id] = opening.model_copy(update={"sides": sides})
    outer = {w.id: _is_outside(enclosure, w, low, high) for w in walls if changed or walls_were.get(w.id) != w}
    return after.model_copy(
        update={
            "openings": tuple(openings.get(o.id, o) for o in after.openings),
            "walls": tuple(
                w if w.id not in outer else w.model_copy(update={"outside": outer[w.id]}) for w in after.walls
            ),
        }
    )


def _enclosure(premises: Premises, storey: Storey) -> Enclosure:
    elevation = {s.id: s for s in premises.storeys}
    spaces = []
    for room in premises.rooms:
        on = elevation[room.storey_id]
        high = on.elevation_m + (room.height_m or on.height_m)
        spaces.append(Space(room.id, room_shape(room), on.elevation_m, high, room.indoors))
    bodies = [wall_body(w) for w in premises.walls if w.storey_id == storey.id and (w.height_m or 9.0) > 1.5]
    return Enclosure(spaces, bodies, None, storey.elevation_m, storey.elevation_m + storey.height_m)


def _sides(
    enclosure: Enclosure, shape: OpeningShape, floor: float, opening: Opening, wall: Wall | None
) -> tuple[str | None, str | None]:
    found: list[str | None] = []
    low = floor + opening.sill_m
    for n, sign in enumerate((1.0, -1.0)):
        nx, ny = shape.normal
        side = enclosure.beyond(
            shape.centre,
            (sign * nx, sign * ny),
            shape.depth_m / 2,
            opening.width_m,
            low + 0.05,
            low + opening.height_m - 0.05,
        )
        theirs = opening.sides[n] == NEIGHBOUR or (wall is not None and wall.party)
        found.append(None if side == "wall" else NEIGHBOUR if side == OUTSIDE and theirs else side)
    return found[0], found[1]


def _is_outside(enclosure: Enclosure, wall: Wall, low: float, high: float) -> bool:
    """Whether out of doors lies along either face anywhere."""
    line = LineString(wall.axis)
    for share in (0.25, 0.5, 0.75):
        spot = line.interpolate(share, normalized=True)
        ahead = line.interpolate(min(1.0, share + 0.01), normalized=True)
        nx, ny = left_normal(math.atan2(ahead.y - spot.y, ahead.x - spot.x))
        reach = wall.thickness_m / 2 + 0.1
        points = np.array([(spot.x + s * nx * reach, spot.y + s * ny * reach) for s in (1.0, -1.0)])
        if OUTSIDE in enclosure.at(points, low + 0.1, high - 0.1):
            return True
    return False


def _with_final_exit(premises: Premises) -> Premises:
    """The first outside door is the one people leave by, until another is said to be."""
    doors = [o for o in premises.openings if o.kind is OpeningKind.DOOR and OUTSIDE in o.sides]
    if not doors or any(o.final_exit for o in premises.openings):
        return premises
    return premises.model_copy(
        update={
            "openings": tuple(
                o.model_copy(update={"final_exit": True}) if o is doors[0] else o for o in premises.openings
            )
        }
    )
