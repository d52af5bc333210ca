"""What stands in and around the building as it is stored: obstacles, surfaces, heat, beds, people, targets."""

import math
from typing import Literal, cast

from shapely import Polygon

from wardwright.intake.draft import DraftStanding
from wardwright.intake.levels import level_at
from wardwright.intake.room_outlines import outdoors_word
from wardwright.intake.rooms_from_walls import rings_of
from wardwright.intake.site import Site
from wardwright.intake.wall_axes import polygons_of
from wardwright.premises.fabric import Obstacle, Standing
from wardwright.premises.life import Bed, HeatSource, Person, Pet, Target

_HEAT_KINDS = ("radiator", "stove", "boiler", "fireplace", "heater", "air vent", "cooker", "oven", "other")
_STANDING_KINDS = ("ground", "roof", "balcony", "terrace", "fire stair", "climbable", "neighbouring roof")
_GROUND_M = 0.6
"""A surface no higher above the ground than this is a terrace one steps onto. Assumption. [m]"""
_NARROWEST_LEDGE_M = 0.4


def obstacles(site: Site) -> tuple[Obstacle, ...]:
    """Furniture and fittings that stand in the way.

    Parameters
    ----------
    site : Site
        The building so far.
    """
    found: list[Obstacle] = []
    for draft in site.draft.obstacles:
        if len(draft.outline) < 3 or not all(math.isfinite(v) for p in draft.outline for v in p):
            continue
        if draft.height_m <= draft.base_m or draft.height_m <= 0.0:
            continue
        key = site.ids.name("obstacle", draft.name)
        site.names[draft.key] = key
        found.append(
            Obstacle(
                id=key,
                name=draft.name or key,
                storey_id=site.level(draft.storey_key).id,
                outline=draft.outline,
                base_m=max(0.0, round(draft.base_m, 4)),
                height_m=round(draft.height_m, 4),
            )
        )
    return tuple(found)


def standings(site: Site, ground: float) -> tuple[Standing, ...]:
    """Surfaces a person can stand on: roofs, and what sticks out of the building at floor level.

    Parameters
    ----------
    site : Site
        The building so far.
    ground : float
        Ground level above the building's zero. [m]
    """
    found: list[Standing] = []
    drafts = list(site.draft.standings)
    for floor in site.floors:
        if not floor.draft.indoors:
            kind = outdoors_word(floor.draft.name)
            if kind != "roof":
                drafts.append(DraftStanding(floor.key, floor.draft.name, kind, floor.draft.outline, floor.low))
    for draft in drafts:
        shape = Polygon(draft.outline)
        shape = shape if shape.is_valid else shape.buffer(0)
        kind = draft.kind
        parts = polygons_of(shape)
        if kind == "slab":
            level = level_at(site.levels, draft.level_m + 0.5)
            if level is None:
                continue
            inside = site.by_level[level.id].within
            parts = polygons_of(shape.difference(inside.buffer(0.02)))
            kind = "terrace" if draft.level_m - ground <= _GROUND_M else "balcony"
        for part in parts:
            slim = part.buffer(-_NARROWEST_LEDGE_M / 2.0, join_style="mitre")
            if slim.is_empty or kind not in _STANDING_KINDS:
                continue
            part = max(polygons_of(slim.buffer(_NARROWEST_LEDGE_M / 2.0, join_style="mitre")), key=lambda p: p.area)
            low = draft.level_m - ground <= _GROUND_M
            if kind == "terrace" and abs(draft.level_m - ground) < 0.05:
                continue  # it is the ground
            key = site.ids.name(kind.replace(" ", "-"), draft.name)
            site.names[draft.key] = key
            found.append(
                Standing(
                    id=key,
                    name=draft.name or key,
                    kind=cast("Literal['ground', 'roof', 'balcony', 'terrace', 'climbable']", kind),
                    outline=rings_of(part, tolerance=0.005)[0],
                    level_m=round(draft.level_m, 4),
                    climbable=low or (kind == "climbable" if draft.climbable is None else draft.climbable),
                )
            )
    return tuple(found)


def heat_sources(site: Site) -> tuple[HeatSource, ...]:
    """Warm or blowing things.

    Parameters
    ----------
    site : Site
        The building so far.
    """
    found = []
    for key, kind, storey, position, height in site.draft.heat:
        new = site.ids.number("heat")
        site.names.setdefault(key, new)
        found.append(
            HeatSource(
                id=new,
                kind=cast("Literal['other']", kind if kind in _HEAT_KINDS else "other"),
                storey_id=site.level(storey).id,
                position=position,
                height_m=max(0.0, round(height, 3)),
            )
        )
    return tuple(found)


def beds(site: Site) -> tuple[Bed, ...]:
    """Beds, in the rooms they stand in.

    Parameters
    ----------
    site : Site
        The building so far.
    """
    known = {f.key for f in site.floors}
    return tuple(
        bed.model_copy(update={"id": site.ids.number("bed"), "room_id": site.names[bed.room_id]})
        for bed in site.draft.beds
        if bed.room_id in known
    )


def pets(site: Site) -> tuple[Pet, ...]:
    """Pets, with the rooms they roam.

    Parameters
    ----------
    site : Site
        The building so far.
    """
    return tuple(
        p.model_copy(update={"room_ids": tuple(site.names[r] for r in p.room_ids if r in site.names)})
        for p in site.draft.pets
    )


def people(site: Site) -> tuple[Person, ...]:
    """People, with the rooms they sleep in.

    Parameters
    ----------
    site : Site
        The building so far.
    """
    return tuple(
        p.model_copy(update={"sleeps_in": site.names.get(p.sleeps_in) if p.sleeps_in else None})
        for p in site.draft.people
    )


def targets(site: Site) -> tuple[Target, ...]:
    """What is worth stealing, in the rooms it stands in.

    Parameters
    ----------
    site : Site
        The building so far.
    """
    return tuple(
        t.model_copy(update={"room_id": site.names[t.room_id]}) for t in site.draft.targets if t.room_id in site.names
    )
