"""A draft becomes premises: every decision about geometry, made once for all readers; every guess listed."""

from dataclasses import replace
from typing import Literal, cast

import shapely
from shapely import Polygon

from wardwright.errors import IntakeError
from wardwright.intake import content_records as contents
from wardwright.intake.bare_edges import walls_left_out
from wardwright.intake.draft import Assumption, Draft, DraftRoom, DraftWall
from wardwright.intake.enclosure import Enclosure, Space
from wardwright.intake.hosting import hosted
from wardwright.intake.levels import Level, levels_of, settled
from wardwright.intake.opening_records import ground_level, opening_record, passages, with_final_exits
from wardwright.intake.placing import near_origin
from wardwright.intake.report import Ids, Report
from wardwright.intake.room_outlines import Floor, floors_of
from wardwright.intake.room_records import dwelling_by_room, room_record, stair_records
from wardwright.intake.rooms_from_walls import rings_of, rooms_from_walls
from wardwright.intake.services import service_records
from wardwright.intake.sides import sides_of
from wardwright.intake.site import Site
from wardwright.intake.wall_axes import polygons_of
from wardwright.intake.wall_pieces import axis_walls, linings_cut, pieces_of
from wardwright.intake.wall_records import wall_records
from wardwright.intake.walls_from_rooms import walls_from_rooms
from wardwright.premises.fabric import Storey
from wardwright.premises.life import Surroundings
from wardwright.premises.model import Premises

_UNLISTED_M2 = 1.0
"""A closed space smaller than this is a shaft. [m²]"""


def assemble(draft: Draft) -> tuple[Premises, tuple[Assumption, ...]]:
    """Put a building together from what a reader found.

    Parameters
    ----------
    draft : Draft
        Shapes in metres with the source's word on them.

    Returns
    -------
    tuple
        The premises, and every guess made on the way, the reader's included.

    Raises
    ------
    IntakeError
        If there are neither rooms nor walls to make rooms from.
    """
    report = Report(draft.assumptions)
    draft = settled(near_origin(replace(draft, assumptions=())), report)
    for note in draft.assumptions:
        report.add(note.what, note.where, note.assumed, note.correct_by, missing=note.missing)
    walls = axis_walls(draft.walls, report)
    floors = floors_of(draft.rooms, draft.storeys, report)
    walls, floors = _both(draft, walls, floors, report)
    draft = replace(draft, walls=tuple(walls), rooms=tuple(f.draft for f in floors))
    site = Site(draft, report, Ids())
    site.levels = levels_of(draft, site.ids, report)
    site.names.update({lv.key: lv.id for lv in site.levels})
    site.floors = [_with_ceiling(f, site) for f in floors]
    site.pieces = pieces_of(walls, site.levels, report)
    site.openings, over = hosted(draft.openings, site.pieces, site.levels, report)
    holes = [(o.wall, o.offset, o.width, o.low, o.high) for o in site.openings if o.wall and o.offset is not None]
    site.pieces = linings_cut([*site.pieces, *over], holes)
    site.pieces += walls_left_out(site.floors, site.pieces, site.levels, report)
    site.pieces = [replace(p, id=site.ids.number("wall")) for p in site.pieces]
    site.names.update({p.source_key: p.id for p in site.pieces})
    _name_rooms(site)
    for level in site.levels:
        site.by_level[level.id] = _enclosure(site, level)
    return _premises(site)


def _both(
    draft: Draft, walls: list[DraftWall], floors: list[Floor], report: Report
) -> tuple[list[DraftWall], list[Floor]]:
    """Rooms from walls or walls from rooms where the source has only one of them."""
    indoors = [f for f in floors if f.draft.indoors]
    if not walls and not indoors:
        raise IntakeError("there are no rooms and no walls in it to make a building of", where=draft.source)
    if not walls:
        made = walls_from_rooms([f.draft for f in floors], draft.openings)
        report.add(
            "walls",
            (),
            f"{len(made)} put up along the edges of the rooms: the source draws none",
            "measure thickness and build-up, and correct them",
        )
        return axis_walls(made, report), floors
    if not indoors:
        derived = rooms_from_walls(_enclosing(walls), draft.openings)
        if not derived:
            raise IntakeError(
                "its walls close off no room: the plan has gaps wider than a doorway, or its scale is wrong",
                where=draft.source,
            )
        report.add(
            "rooms",
            (),
            f"{len(derived)} found between the walls: the source draws none",
            "give each its name and use",
        )
        return walls, [*floors, *floors_of(derived, draft.storeys, report)]
    return walls, floors + _unlisted(draft, walls, floors, report)


def _enclosing(walls: list[DraftWall]) -> list[DraftWall]:
    """Walls that make rooms: no bulkheads, and none of a storey that has only parapets or footings."""
    standing = [w for w in walls if w.base_m < 1.0]
    high = {w.storey_key for w in standing if w.height_m is None or w.base_m + w.height_m > 1.5}
    return [w for w in standing if w.storey_key in high]


def _unlisted(draft: Draft, walls: list[DraftWall], floors: list[Floor], report: Report) -> list[Floor]:
    """Spaces the walls close off on a storey with rooms, that the source's own list of rooms leaves out."""
    roomed = {f.draft.storey_key for f in floors if f.draft.indoors}
    here = [w for w in _enclosing(walls) if w.storey_key in roomed]
    elevation = {s.key: s.elevation_m for s in draft.storeys}
    found: list[DraftRoom] = []
    for room in rooms_from_walls(here, draft.openings):
        level = elevation[room.storey_key] + room.base_m + 1.0
        used = [f.shape for f in floors if f.low - 0.3 <= level <= f.high]
        taken = shapely.union_all(used) if used else Polygon()
        shape = Polygon(room.outline, room.holes)
        # A listed room that fills most of the closed space is that space, whatever finishes it leaves out.
        if shape.intersection(taken).area > 0.5 * shape.area:
            continue
        rest = shape.difference(taken)
        if rest.area < _UNLISTED_M2 or rest.buffer(-0.3).is_empty:
            continue
        part = max(polygons_of(rest), key=lambda p: p.area)
        outline, holes = rings_of(part)
        found.append(replace(room, outline=outline, holes=holes, name=f"unnamed room {len(found) + 1}"))
    if found:
        report.add(
            "rooms the source does not list",
            tuple(r.key for r in found),
            "taken as rooms: walls close them off, and nothing says what they are",
            "name each, or remove it if it is a shaft or a yard",
        )
    return floors_of(found, draft.storeys, report)


def _with_ceiling(floor: Floor, site: Site) -> Floor:
    if floor.draft.height_m is not None:
        return floor
    return replace(floor, high=max(floor.low + 1.0, site.level(floor.draft.storey_key).ceiling))


def _name_rooms(site: Site) -> None:
    for floor in site.floors:
        site.names[floor.key] = site.ids.name("room", floor.draft.name)


def _enclosure(site: Site, level: Level) -> Enclosure:
    spaces = [
        Space(site.names[f.key], f.shape, f.low, f.high, f.draft.indoors) for f in site.floors if not f.shape.is_empty
    ]
    bodies = [p.body for p in site.pieces if p.storey_id == level.id and p.high - p.low > 1.5]
    covers = [Polygon(s.outline) for s in site.draft.standings if s.level_m > level.elevation + 1.5]
    covers = [c if c.is_valid else c.buffer(0) for c in covers]
    cover = shapely.union_all(covers) if covers else None
    return Enclosure(spaces, bodies, cover, level.elevation, level.ceiling)


def _premises(site: Site) -> tuple[Premises, tuple[Assumption, ...]]:
    draft = site.draft
    openings = [opening_record(site, o, sides_of(site, o)) for o in site.openings] + passages(site)
    stairs = stair_records(site)
    dwelling = dwelling_by_room(site, openings, stairs)
    rooms = [room_record(site, f, dwelling) for f in site.floors]
    by_room = {r.id: r.dwelling for r in rooms}
    openings = with_final_exits(site, openings, rooms)
    walls, constructions = wall_records(site, by_room)
    ground = ground_level(site, openings)
    premises = Premises(
        name=draft.name or "building",
        storeys=tuple(
            Storey(id=lv.id, name=lv.name, elevation_m=lv.elevation, height_m=lv.height) for lv in site.levels
        ),
        constructions=constructions,
        walls=walls,
        openings=tuple(openings),
        rooms=tuple(rooms),
        stairs=stairs,
        obstacles=contents.obstacles(site),
        standings=contents.standings(site, ground),
        heat_sources=contents.heat_sources(site),
        beds=contents.beds(site),
        pets=contents.pets(site),
        people=contents.people(site),
        targets=contents.targets(site),
        surroundings=Surroundings(
            latitude_deg=draft.latitude_deg,
            longitude_deg=draft.longitude_deg,
            north_rad=draft.north_rad,
            ground_m=ground,
        ),
        survey=cast(
            'Literal["measured", "drawn", "approximate"]',
            draft.survey if draft.survey in ("measured", "drawn", "approximate") else "drawn",
        ),
    )
    # What the building's own file holds of services is already among its obstacles and heat sources.
    points = service_records(premises, draft.services, site.ids.given)[0]
    return premises.model_copy(update={"services": tuple(points)}), site.report.renamed(site.names)
