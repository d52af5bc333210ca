"""Rooms and stairs as they are stored, and which customer each room belongs to."""

import math
from collections.abc import Sequence

from shapely import Point, Polygon

from wardwright.intake.joining import dwellings, into_room
from wardwright.intake.room_outlines import Floor
from wardwright.intake.site import Site
from wardwright.model import XY
from wardwright.premises.fabric import Room, RoomUse, Stair
from wardwright.premises.openings import OUTSIDE, Opening, OpeningKind

_WAYS = (OpeningKind.DOOR, OpeningKind.PASSAGE)


def dwelling_by_room(site: Site, openings: Sequence[Opening], stairs: Sequence[Stair]) -> dict[str, str]:
    """Which customer each room belongs to: as the source says, or by what is joined indoors.

    Parameters
    ----------
    site : Site
        The building so far.
    openings : sequence of Opening
        As stored.
    stairs : sequence of Stair
        As stored.
    """
    given = {f.key: f.draft.dwelling for f in site.floors if f.draft.dwelling}
    if given:
        return given
    key_of = {site.names[f.key]: f.key for f in site.floors}
    joins: list[tuple[str, str]] = []
    entered: list[str] = []
    for opening in openings:
        rooms = [key_of[r] for r in opening.room_ids if r in key_of]
        if opening.kind in _WAYS and len(rooms) == 2:
            joins.append((rooms[0], rooms[1]))
        if opening.kind in (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR) and OUTSIDE in opening.sides:
            entered += rooms
    for stair in stairs:
        lower = next(lv for lv in site.levels if lv.id == stair.lower_storey_id)
        upper = next(lv for lv in site.levels if lv.id == stair.upper_storey_id)
        ends = [into_room(stair.foot, site.floors_on(lower))[0], into_room(stair.head, site.floors_on(upper))[0]]
        if ends[0] is not None and ends[1] is not None:
            joins.append((ends[0].key, ends[1].key))
    for low in site.floors:
        # A stair hall through two storeys holds the stair that leads to the floor beside its upper half.
        for stair in stairs:
            if low.high - low.low > 3.8 and low.shape.contains(Point(stair.foot)):
                top = next(lv for lv in site.levels if lv.id == stair.upper_storey_id)
                up = into_room(stair.head, site.floors_on(top))[0]
                if up is not None:
                    joins.append((low.key, up.key))
    found = dwellings(site.floors, joins, entered)
    if found:
        names = sorted(set(found.values()))
        site.report.add(
            "several dwellings",
            (),
            f"{len(names)}: {', '.join(names)}; no door or stair joins them indoors",
            "make a job for each customer, or join them if a door is missing",
        )
    return found


def room_record(site: Site, floor: Floor, dwelling: dict[str, str]) -> Room:
    """One room as stored.

    Parameters
    ----------
    site : Site
        The building so far.
    floor : Floor
        The room.
    dwelling : dict of str to str
        Dwelling by room key.
    """
    draft = floor.draft
    use = draft.use or RoomUse.OTHER
    if use is RoomUse.OTHER:
        for stair in site.draft.stairs:
            if len(stair.outline) >= 3:
                outline = Polygon(stair.outline)
                if (
                    outline.intersection(floor.shape).area > 0.5 * outline.area
                    and floor.shape.area < 2.5 * outline.area
                ):
                    use = RoomUse.STAIR
                    site.report.add("use of a room", (site.names[floor.key],), "stair: a stair fills it", "set its use")
                    break
    if use is RoomUse.OTHER and draft.indoors:
        site.report.add("use of a room", (site.names[floor.key],), "other: its name does not tell", "set its use")
    return Room(
        id=site.names[floor.key],
        name=draft.name or site.names[floor.key],
        storey_id=site.level(draft.storey_key).id,
        outline=draft.outline,
        holes=draft.holes,
        use=use,
        height_m=None if draft.height_m is None else round(draft.height_m, 4),
        dwelling=dwelling.get(floor.key, ""),
        soft_furnished=draft.soft_furnished,
        position_assumed=draft.position_assumed,
        indoors=draft.indoors,
    )


def stair_records(site: Site) -> tuple[Stair, ...]:
    """Stairs with foot and head in rooms of their storeys.

    Parameters
    ----------
    site : Site
        The building so far.
    """
    stairs: list[Stair] = []
    for draft in site.draft.stairs:
        lower, upper = site.level(draft.lower_key), site.level(draft.upper_key)
        if lower.elevation > upper.elevation:
            lower, upper = upper, lower
        if lower is upper:
            site.report.add(
                "stair", (draft.name,), "left out: both ends lie on one storey", "say which storeys it joins"
            )
            continue
        key = site.ids.name("stair", draft.name)
        site.names[draft.key] = key
        ends: list[XY] = []
        assumed = False
        for word, given, level in (("foot", draft.foot, lower), ("head", draft.head, upper)):
            floors = site.floors_on(level)
            point = given
            if point is None:
                assumed = True
                point = _stair_end(draft.outline, floors)
                if point is not None:
                    site.report.add(f"{word} of a stair", (key,), "in the room its outline lies in", f"set its {word}")
            if point is None:
                break
            room, moved_to = into_room(point, floors)
            if room is None:
                site.report.add(
                    f"{word} of a stair",
                    (key,),
                    "as drawn, though no room lies there",
                    f"set its {word}, or draw the room",
                )
            elif moved_to != point:
                site.report.add(
                    f"{word} of a stair",
                    (key,),
                    f"moved {math.dist(point, moved_to):.2f} m into the nearest room",
                    f"set its {word}",
                )
            ends.append(moved_to)
        if len(ends) < 2:
            site.report.add(
                "stair", (key,), "left out: no room at one of its ends", "draw its foot and head", missing=True
            )
            continue
        stairs.append(
            Stair(
                id=key,
                name=draft.name or key,
                lower_storey_id=lower.id,
                upper_storey_id=upper.id,
                foot=ends[0],
                head=ends[1],
                outline=draft.outline,
                width_m=draft.width_m or 0.9,
                kind=draft.kind,
                assumed=assumed,
            )
        )
    _missing_stairs(site, stairs)
    return tuple(stairs)


def _stair_end(outline: Sequence[XY], floors: Sequence[Floor]) -> XY | None:
    if len(outline) >= 3:
        middle = Polygon(outline).centroid
        return float(middle.x), float(middle.y)
    named = [f for f in floors if f.draft.use is RoomUse.STAIR]
    if not named:
        return None
    spot = named[0].shape.representative_point()
    return float(spot.x), float(spot.y)


def _missing_stairs(site: Site, stairs: Sequence[Stair]) -> None:
    roomed = [lv for lv in site.levels if site.floors_on(lv)]
    reached = {s.lower_storey_id for s in stairs} | {s.upper_storey_id for s in stairs}
    for level in roomed:
        if len(roomed) > 1 and level.id not in reached:
            site.report.add(
                "way up",
                (level.id,),
                "none: the source draws no stair to or from this storey",
                "draw the stair, with its foot and its head",
                missing=True,
            )
