"""What lies between rooms, and between rooms and outside, as sound meets it."""

from dataclasses import dataclass
from itertools import pairwise

from wardwright.analyses.room_sound import is_glazed
from wardwright.premises.fabric import Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import StoreyPlan, storey_plans

DOOR_DB = (20.0, 23.0, 17.0)
"""A shut inner door: central, most, least. [dB] BS5839-6-2004, LEE-KIM-2018, FSRI-2017."""
LIGHT_WALL_DB = (30.0, 33.0, 28.0)
"""Boards on studs as built: laboratory class 33 [STC-TABLES], about 5 dB less in the field. [dB]"""
HEAVY_WALL_DB = (38.0, 40.0, 35.0)
"""Plastered brick or block as built: laboratory class 40 for 100 mm [STC-TABLES]. [dB]"""
FLOOR_DB = (40.0, 45.0, 35.0)
"""A floor between storeys. Assumption. [dB]"""
FRONT_DB = (28.0, 33.0, 23.0)
"""A shut window or outside door for the tone of a sounder. Assumption. [dB]"""
PARTY_DB = (47.0, 52.0, 42.0)
"""A party wall, 225 mm of plastered brick as built: laboratory class 52 [STC-TABLES]. [dB]"""
STAIR_M2 = 2.0
"""Hole of a stair. Assumption. [m²]"""
NEAR_M = 0.25
"""Rooms whose outlines come this near a wall's middle have it between them. [m]"""
THIN_M = 0.15

Spread = tuple[float, float, float]


@dataclass(frozen=True)
class Between:
    """Something between two rooms."""

    a: str
    b: str
    area_m2: float
    loss_db: Spread
    """Central, most, least."""
    door_id: str | None = None
    """The door it is, if it is one that opens."""


def between_rooms(premises: Premises) -> tuple[Between, ...]:
    """Walls, floors, stairs, passages and doors between rooms.

    Parameters
    ----------
    premises : Premises
        The building.

    Returns
    -------
    tuple of Between
        Doors with what they lose shut; whether they stand open is for the caller.
    """
    found: list[Between] = []
    plans = storey_plans(premises)
    indoors = {r.id for r in premises.rooms if r.indoors}
    for opening in premises.openings:
        ends = [r for r in opening.room_ids if r in indoors]
        if len(ends) == 2:
            area = opening.width_m * opening.height_m
            free = opening.kind is OpeningKind.PASSAGE
            loss: Spread = (0.0, 0.0, 0.0) if free else FRONT_DB if is_glazed(opening) else DOOR_DB
            found.append(Between(ends[0], ends[1], area, loss, None if free else opening.id))
    for plan in plans.values():
        found += _walls(plan, indoors)
    found += _floors(premises, plans, indoors)
    for stair in premises.stairs:
        at = [
            plans[key].room_at(place) if key in plans else None
            for key, place in ((stair.lower_storey_id, stair.foot), (stair.upper_storey_id, stair.head))
        ]
        if at[0] is not None and at[1] is not None and at[0].id in indoors and at[1].id in indoors:
            found.append(Between(at[0].id, at[1].id, STAIR_M2, (0.0, 0.0, 0.0)))
    return tuple(found)


def _walls(plan: StoreyPlan, indoors: set[str]) -> list[Between]:
    found = []
    rooms = [r for r in plan.rooms if r.id in indoors]
    grown = {r.id: plan.room_shapes[r.id].buffer(NEAR_M) for r in rooms}
    for i, one in enumerate(rooms):
        for other in rooms[i + 1 :]:
            strip = grown[one.id].intersection(grown[other.id])
            if strip.area < 0.05:
                continue
            shares = [(plan.bodies[w.id].intersection(strip).area, w) for w in plan.walls]
            area, wall = max(shares, key=lambda pair: pair[0], default=(0.0, None))
            if wall is None or area < 0.02:
                continue
            length = sum(a for a, _ in shares) / wall.thickness_m
            height = min(one.height_m or plan.storey.height_m, other.height_m or plan.storey.height_m)
            found.append(Between(one.id, other.id, max(0.1, length * height), _wall_loss(wall)))
    return found


def _wall_loss(wall: Wall) -> Spread:
    if wall.party:
        return PARTY_DB
    return LIGHT_WALL_DB if wall.thickness_m <= THIN_M and not wall.outside else HEAVY_WALL_DB


def _floors(premises: Premises, plans: dict[str, StoreyPlan], indoors: set[str]) -> list[Between]:
    storeys = sorted(premises.storeys, key=lambda s: s.elevation_m)
    found = []
    for below, above in pairwise(storeys):
        for low in plans[below.id].rooms:
            for high in plans[above.id].rooms:
                if low.id in indoors and high.id in indoors:
                    area = plans[below.id].room_shapes[low.id].intersection(plans[above.id].room_shapes[high.id]).area
                    if area > 0.2:
                        found.append(Between(low.id, high.id, area, FLOOR_DB))
    return found
