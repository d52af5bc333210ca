"""Openings as they are stored: hosted doors and windows, open boundaries, the door people leave by."""

import math
from collections.abc import Sequence

from wardwright.intake.hosting import Hosted
from wardwright.intake.joining import open_boundaries
from wardwright.intake.names import ENTRANCE, folded
from wardwright.intake.sides import Sides, compare_with_source
from wardwright.intake.site import Site
from wardwright.premises.fabric import Room, RoomUse
from wardwright.premises.openings import (
    NEIGHBOUR,
    OUTSIDE,
    FreeLine,
    InSlab,
    OnWall,
    Opening,
    OpeningKind,
    Place,
)


def opening_record(site: Site, hosted_opening: Hosted, sides: Sides) -> Opening:
    """One opening as stored.

    Parameters
    ----------
    site : Site
        The building so far.
    hosted_opening : Hosted
        The opening on its wall.
    sides : tuple
        What lies on either side.
    """
    draft = hosted_opening.draft
    key = site.ids.name(hosted_opening.kind.value.replace(" ", "-"), draft.name)
    site.names[draft.key] = key
    compare_with_source(site, hosted_opening, key, sides)
    level, sill = hosted_opening.level, hosted_opening.sill
    if hosted_opening.wall is None:
        below = next((f for f in site.floors if site.names[f.key] == sides[0]), None)
        if below is not None:
            home = site.level(below.draft.storey_key)
            sill, level = sill + level.elevation - home.elevation, home
        place: Place = InSlab(storey_id=level.id, outline=draft.outline)
    else:
        place = OnWall(
            wall_id=next(p.id for p in site.pieces if p.source_key == hosted_opening.wall.source_key),
            offset_m=hosted_opening.offset,
        )
    # A leaf the source names (``front-window.upper-sash``) keeps that name; others are numbered.
    own = f"{draft.key}."
    leaves = tuple(
        leaf.model_copy(update={"id": f"{key}.{leaf.id.removeprefix(own) if leaf.id.startswith(own) else n}"})
        for n, leaf in enumerate(draft.leaves, start=1)
    )
    return Opening(
        id=key,
        name=draft.name or key,
        kind=hosted_opening.kind,
        place=place,
        width_m=round(hosted_opening.width, 4),
        height_m=round(hosted_opening.height, 4),
        sill_m=round(sill, 4) + 0.0,  # never minus nought
        sides=sides,
        leaves=leaves,
        usually=draft.usually or "open",
        final_exit=bool(draft.final_exit),
        position_assumed=draft.position_assumed,
    )


def passages(site: Site) -> list[Opening]:
    """Open boundaries between rooms; no leaf, no wall."""
    found: list[Opening] = []
    for level in site.levels:
        walls = site.by_level[level.id].walls
        for boundary in open_boundaries(site.floors_on(level, indoors=False), walls):
            a, b = boundary.first, boundary.second
            sides = tuple(site.names[f.key] if f.draft.indoors else OUTSIDE for f in (a, b))
            key = site.ids.name("passage", f"{a.draft.name} {b.draft.name}")
            if OUTSIDE in sides:
                site.report.add(
                    "open to the outside",
                    (key,),
                    "an opening without a leaf: the source draws no wall between this room and the space out of doors",
                    "draw the wall or the door that is there",
                )
            low = max(a.low, b.low)
            found.append(
                Opening(
                    id=key,
                    name=f"{a.draft.name} – {b.draft.name}",
                    kind=OpeningKind.PASSAGE,
                    place=FreeLine(storey_id=level.id, start=boundary.start, end=boundary.end),
                    width_m=round(math.dist(boundary.start, boundary.end), 4),
                    height_m=round(max(0.5, min(a.high, b.high, level.ceiling) - low), 4),
                    sill_m=round(low - level.elevation, 4),
                    sides=(sides[0], sides[1]),
                )
            )
    return found


def with_final_exits(site: Site, openings: list[Opening], rooms: Sequence[Room]) -> list[Opening]:
    """One door to leave by for every dwelling, where the source names none."""
    by_id = {r.id: r for r in rooms}
    for name in sorted({r.dwelling for r in rooms if r.indoors}):
        doors = [
            o
            for o in openings
            if o.kind is OpeningKind.DOOR
            and (OUTSIDE in o.sides or NEIGHBOUR in o.sides)
            and any(by_id[r].dwelling == name for r in o.room_ids if r in by_id)
        ]
        if not doors or any(o.final_exit for o in doors):
            continue

        def worth(o: Opening) -> tuple[bool, bool, bool, float]:
            uses = {by_id[r].use for r in o.room_ids if r in by_id}
            solid = not any(leaf.glazing is not None and leaf.glazing.part == "whole" for leaf in o.leaves)
            hall = bool(uses & {RoomUse.HALL, RoomUse.PORCH, RoomUse.STAIR, RoomUse.LANDING})
            return bool(ENTRANCE.search(folded(o.name))), hall, solid, o.width_m

        chosen = max(doors, key=worth)
        openings = [o.model_copy(update={"final_exit": True}) if o is chosen else o for o in openings]
        site.report.add(
            "door people leave by",
            (chosen.id,),
            "this one: the source does not say" if len(doors) > 1 else "this one: it is the only door to the outside",
            "mark another as the final exit if people leave by that",
        )
    if not any(o.final_exit for o in openings):
        site.report.add(
            "door people leave by", (), "none found: no door leads to the outside", "mark the final exit", missing=True
        )
    return openings


def ground_level(site: Site, openings: Sequence[Opening]) -> float:
    """Ground level: as the source states it, or the threshold of the lowest outside door. [m]

    Parameters
    ----------
    site : Site
        The building so far.
    openings : sequence of Opening
        As stored.
    """
    if site.draft.ground_m is not None:
        return site.draft.ground_m
    level_by_wall = {p.id: p.storey_id for p in site.pieces}
    levels = {lv.id: lv for lv in site.levels}
    doors = [
        levels[level_by_wall[o.place.wall_id]].elevation + o.sill_m
        for o in openings
        if o.kind in (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR) and OUTSIDE in o.sides and o.place.kind == "wall"
    ]
    roomed = [lv.elevation for lv in site.levels if site.floors_on(lv)]
    ground = round(min(doors, default=min(roomed, default=site.levels[0].elevation)), 4) + 0.0
    site.report.add(
        "ground level",
        (),
        f"{ground:.2f} m, the threshold of the lowest outside door"
        if doors
        else f"{ground:.2f} m, the lowest floor with rooms",
        "measure the ground below each window and set ground_m",
    )
    return ground
