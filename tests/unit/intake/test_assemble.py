"""Geometry decided once for every reader: drafts written here by hand, with the faults drawings really have."""

import math
from dataclasses import replace

import pytest
from shapely import Polygon

from wardwright.errors import IntakeError
from wardwright.intake.assemble import assemble
from wardwright.intake.draft import (
    Assumption,
    Draft,
    DraftOpening,
    DraftRoom,
    DraftStair,
    DraftStorey,
    DraftWall,
)
from wardwright.intake.names import is_outdoors, material_key, room_use
from wardwright.model import XY
from wardwright.premises.fabric import Layer, RoomUse
from wardwright.premises.model import Premises
from wardwright.premises.openings import NEIGHBOUR, OUTSIDE, OpeningKind
from wardwright.premises.plan import storey_plans

GROUND = DraftStorey("g", "Ground", 0.0, 2.5)


def ring(x0: float, y0: float, x1: float, y1: float) -> tuple[XY, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def wall(key: str, x0: float, y0: float, x1: float, y1: float, thickness: float = 0.2, **more: object) -> DraftWall:
    return DraftWall(key, "g", ((x0, y0), (x1, y1)), thickness, **more)  # type: ignore[arg-type]


WALLS = (
    wall("south", 0.0, 0.0, 8.0, 0.0),
    wall("east", 8.0, 0.0, 8.0, 4.0),
    wall("north", 8.0, 4.0, 0.0, 4.0),
    wall("west", 0.0, 4.0, 0.0, 0.0),
    wall("middle", 5.0, 0.0, 5.0, 4.0, 0.1),
)
LIVING = DraftRoom("a", "g", "Living room", ring(0.1, 0.1, 4.95, 3.9))
KITCHEN = DraftRoom("b", "g", "Kitchen", ring(5.05, 0.1, 7.9, 3.9))


def door(key: str, x: float, y: float, *, width: float | None = 0.9, **more: object) -> DraftOpening:
    return DraftOpening(key, "g", key, OpeningKind.DOOR, (x, y), width_m=width, height_m=2.0, sill_m=0.0, **more)  # type: ignore[arg-type]


HOUSE = Draft(
    "house", "by hand", (GROUND,), WALLS, (LIVING, KITCHEN), (door("front", 2.0, 0.0), door("inner", 5.0, 2.0))
)


def built(draft: Draft) -> tuple[Premises, tuple[Assumption, ...]]:
    premises, assumptions = assemble(draft)
    storey_plans(premises)
    assert len(premises.ids) == sum(
        len(g) for g in (premises.storeys, premises.constructions, premises.walls, premises.openings, premises.rooms,
                         premises.stairs, premises.obstacles, premises.standings, premises.heat_sources)
    )  # fmt: skip
    return premises, assumptions


def notes(assumptions: tuple[Assumption, ...], what: str) -> list[Assumption]:
    return [a for a in assumptions if a.what == what]


def sides(premises: Premises, name: str) -> set[str | None]:
    rooms = {r.id: r.name for r in premises.rooms}
    opening = next(o for o in premises.openings if o.name == name)
    return {rooms.get(s, s) if s else None for s in opening.sides}


def test_a_plain_house() -> None:
    premises, assumptions = built(HOUSE)
    assert sides(premises, "front") == {OUTSIDE, "Living room"}
    assert sides(premises, "inner") == {"Living room", "Kitchen"}
    assert {w.id: w.outside for w in premises.walls} == {
        "wall-1": True, "wall-2": True, "wall-3": True, "wall-4": True, "wall-5": False,
    }  # fmt: skip
    assert {a.what for a in assumptions} == {"door people leave by", "ground level", "wall build-up"}
    assert all(a.correct_by for a in assumptions)


def test_nothing_to_build_from_is_an_error() -> None:
    with pytest.raises(IntakeError, match="no rooms and no walls"):
        assemble(replace(HOUSE, walls=(), rooms=()))


def test_a_figure_that_is_no_number_costs_its_element_only() -> None:
    nan = float("nan")
    draft = replace(
        HOUSE,
        walls=(*WALLS, wall("bad", 1.0, nan, 2.0, 2.0)),
        rooms=(*HOUSE.rooms, replace(LIVING, key="x", outline=((0.0, 0.0), (nan, 1.0), (2.0, 2.0)))),
        openings=(*HOUSE.openings, door("lost", nan, 0.0), door("odd", 6.5, 0.0, width=nan)),
    )
    premises, assumptions = built(draft)
    assert (len(premises.walls), len(premises.rooms)) == (5, 2)
    assert [a.where for a in notes(assumptions, "wall") if a.missing] == [("bad",)]
    assert [a.where for a in notes(assumptions, "room outline") if a.missing] == [("x",)]
    assert [a.where for a in notes(assumptions, "place of an opening") if a.missing] == [("lost",)]
    assert next(o for o in premises.openings if o.name == "odd").width_m == pytest.approx(0.9)


def test_a_wall_without_length_and_one_without_sense_are_named() -> None:
    draft = replace(HOUSE, walls=(*WALLS, wall("dot", 1.0, 1.0, 1.0, 1.0), wall("slab", 0.0, 2.0, 5.0, 2.0, 9.0)))
    _, assumptions = built(draft)
    assert ("dot",) in [a.where for a in notes(assumptions, "wall")]
    (note,) = notes(assumptions, "wall thickness")
    assert "9 m is no wall's thickness" in note.assumed


def test_a_room_that_crosses_itself_keeps_its_larger_part() -> None:
    bow = replace(KITCHEN, outline=((5.05, 0.1), (7.9, 3.9), (7.9, 0.1), (5.05, 3.0)))
    premises, assumptions = built(replace(HOUSE, rooms=(LIVING, bow)))
    (note,) = notes(assumptions, "room outline")
    assert note.where == ("room-kitchen",)
    assert all(Polygon(r.outline).is_valid for r in premises.rooms)


def test_a_room_of_300_metres_is_named() -> None:
    draft = replace(HOUSE, rooms=(*HOUSE.rooms, DraftRoom("hall", "g", "Hall", ring(20.0, 0.0, 320.0, 30.0))))
    _, assumptions = built(draft)
    (note,) = notes(assumptions, "room size")
    assert note.where == ("room-hall",)
    assert "300" in note.assumed


def test_a_door_wider_than_its_wall_is_cut_to_it_and_named() -> None:
    premises, assumptions = built(
        replace(HOUSE, openings=(door("front", 2.0, 0.0), door("inner", 5.0, 2.0, width=6.0)))
    )
    assert next(o for o in premises.openings if o.name == "inner").width_m == pytest.approx(4.0)
    assert notes(assumptions, "width of a door")


def test_a_door_drawn_past_the_end_of_its_wall_is_moved_in() -> None:
    premises, assumptions = built(replace(HOUSE, openings=(door("front", 7.9, 0.0, along_rad=0.0),)))
    (opening,) = premises.openings
    assert opening.place.kind == "wall"
    assert opening.place.offset_m == pytest.approx(8.0 - 0.45)
    assert notes(assumptions, "place of an opening")


def test_a_door_in_a_gap_between_walls_gets_the_wall_over_it() -> None:
    gap = (wall("left", 0.0, 0.0, 1.5, 0.0), wall("right", 2.5, 0.0, 8.0, 0.0))
    draft = replace(HOUSE, walls=(*gap, *WALLS[1:]), openings=(door("front", 2.0, 0.0, width=1.0, along_rad=0.0),))
    premises, assumptions = built(draft)
    assert sides(premises, "front") == {OUTSIDE, "Living room"}
    (over,) = [w for w in premises.walls if w.assumed]
    assert over.thickness_m == pytest.approx(0.2)
    assert notes(assumptions, "wall over an opening")


def test_sizes_that_are_missing_are_assumed_and_listed() -> None:
    bare = DraftOpening("w", "g", "w", OpeningKind.WINDOW, (8.0, 2.0))
    premises, assumptions = built(replace(HOUSE, openings=(*HOUSE.openings, bare)))
    window = next(o for o in premises.openings if o.kind is OpeningKind.WINDOW)
    assert window.sill_m == pytest.approx(0.9)
    for what in ("width of a window", "height of a window", "sill height of a window"):
        (note,) = notes(assumptions, what)
        assert note.where == (window.id,)
        assert note.correct_by


def test_a_flag_that_contradicts_the_plan_is_reported() -> None:
    premises, assumptions = built(
        replace(
            HOUSE, openings=(door("front", 2.0, 0.0), door("inner", 5.0, 2.0), door("side", 8.0, 2.0, outside=False))
        )
    )
    assert sides(premises, "side") == {OUTSIDE, "Kitchen"}
    assert notes(assumptions, "outside or inside")


def test_a_door_in_a_party_wall_leads_to_the_neighbour() -> None:
    shared = replace(WALLS[1], party=True)
    draft = replace(
        HOUSE,
        walls=(WALLS[0], shared, *WALLS[2:]),
        openings=(*HOUSE.openings, door("side", 8.0, 2.0), door("said", 0.0, 2.0, joins=("a", NEIGHBOUR))),
    )
    premises, _ = built(draft)
    assert sides(premises, "side") == {NEIGHBOUR, "Kitchen"}
    assert sides(premises, "said") == {NEIGHBOUR, "Living room"}
    assert next(w for w in premises.walls if w.party).outside is False


def test_a_facade_the_source_leaves_out_is_put_up_and_named() -> None:
    premises, assumptions = built(replace(HOUSE, walls=(*WALLS[:1], *WALLS[2:])))
    (extra,) = [w for w in premises.walls if w.assumed]
    assert extra.outside
    assert all(x == pytest.approx(8.05) for x, _ in extra.axis)  # its inner face on the room's edge, at 7.9 m
    assert notes(assumptions, "a wall the source leaves out")
    assert not [w for w in built(HOUSE)[0].walls if w.assumed]


def test_layers_are_turned_so_that_the_outside_comes_first() -> None:
    brick, board = Layer(material="brick", thickness_m=0.1), Layer(material="plasterboard", thickness_m=0.1)
    inward = replace(WALLS[0], layers=(brick, board), layers_toward=(0.0, 1.0))
    outward = replace(WALLS[2], layers=(board, brick), layers_toward=(0.0, 1.0))
    premises, _ = built(replace(HOUSE, walls=(inward, WALLS[1], outward, *WALLS[3:])))
    assert [tuple(x.material for x in c.layers) for c in premises.constructions] == [("brick", "plasterboard")]


def test_a_stair_is_joined_to_the_rooms_at_its_ends() -> None:
    upper = DraftStorey("u", "Upper", 2.8, 2.4)
    rooms = (LIVING, KITCHEN, DraftRoom("c", "u", "Landing", ring(0.1, 0.1, 7.9, 3.9)))
    stair = DraftStair("s", "stair", "u", "g", foot=(3.0, 4.2), head=(1.0, 1.0))
    premises, assumptions = built(replace(HOUSE, storeys=(upper, GROUND), rooms=rooms, stairs=(stair,)))
    (made,) = premises.stairs
    assert [s.name for s in premises.storeys] == ["Ground", "Upper"]
    assert (made.lower_storey_id, made.upper_storey_id) == ("storey-ground", "storey-upper")
    assert Polygon(LIVING.outline).contains(Polygon(LIVING.outline).representative_point())
    plans = storey_plans(premises)
    assert plans["storey-ground"].room_at(made.foot) is not None
    assert notes(assumptions, "foot of a stair")


def test_two_dwellings_side_by_side() -> None:
    rooms = (
        DraftRoom("a1", "g", "Kitchen A1", ring(0.1, 0.1, 3.9, 1.9)),
        DraftRoom("a2", "g", "Bedroom A2", ring(0.1, 2.1, 3.9, 3.9)),
        DraftRoom("b1", "g", "Kitchen B1", ring(4.1, 0.1, 7.9, 1.9)),
        DraftRoom("b2", "g", "Bedroom B2", ring(4.1, 2.1, 7.9, 3.9)),
    )
    walls = (*WALLS[:4], wall("party", 4.0, 0.0, 4.0, 4.0), wall("p", 0.0, 2.0, 8.0, 2.0))
    doors = (door("d1", 2.0, 0.0), door("d2", 6.0, 0.0), door("d3", 2.0, 2.0), door("d4", 6.0, 2.0))
    premises, assumptions = built(replace(HOUSE, walls=walls, rooms=rooms, openings=doors))
    assert {r.name: r.dwelling for r in premises.rooms} == {
        "Kitchen A1": "A", "Bedroom A2": "A", "Kitchen B1": "B", "Bedroom B2": "B",
    }  # fmt: skip
    assert [w.party for w in premises.walls] == [False, False, False, False, True, False]
    assert sum(o.final_exit for o in premises.openings) == 2
    assert notes(assumptions, "several dwellings")


def test_a_split_level_gets_a_level_of_its_own() -> None:
    raised = replace(KITCHEN, base_m=1.3, height_m=2.5)
    premises, assumptions = built(replace(HOUSE, rooms=(LIVING, raised), openings=(door("front", 2.0, 0.0),)))
    assert [round(s.elevation_m, 2) for s in premises.storeys] == [0.0, 1.3]
    assert notes(assumptions, "storey")


def test_ids_and_reports_speak_of_the_same_things() -> None:
    premises, assumptions = built(HOUSE)
    assert {r.id for r in premises.rooms} == {"room-living-room", "room-kitchen"}
    assert {o.id for o in premises.openings} == {"door-front", "door-inner"}
    assert all(w in premises.ids for a in assumptions for w in a.where)
    assert NEIGHBOUR not in premises.ids


@pytest.mark.parametrize("degrees", [0.0, 30.0, 123.0])
@pytest.mark.parametrize("shift", [(0.0, 0.0), (250_000.0, -80_000.0)])
def test_turning_and_moving_a_draft_changes_no_decision(degrees: float, shift: XY) -> None:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def at(p: XY) -> XY:
        return c * p[0] - s * p[1] + shift[0], s * p[0] + c * p[1] + shift[1]

    turned = replace(
        HOUSE,
        walls=tuple(replace(w, axis=tuple(map(at, w.axis))) for w in WALLS),
        rooms=tuple(replace(r, outline=tuple(map(at, r.outline))) for r in HOUSE.rooms),
        openings=tuple(replace(o, centre=at(o.centre)) for o in HOUSE.openings if o.centre),
    )
    plain, _ = built(HOUSE)
    premises, _ = built(turned)
    assert {
        (o.id, frozenset(o.sides), o.place.wall_id, round(o.place.offset_m or 0.0, 3)) for o in premises.openings
    } == {(o.id, frozenset(o.sides), o.place.wall_id, round(o.place.offset_m or 0.0, 3)) for o in plain.openings}
    assert [(w.outside, w.party) for w in premises.walls] == [(w.outside, w.party) for w in plain.walls]


@pytest.mark.parametrize(
    ("name", "use"),
    [
        ("Hall", RoomUse.HALL), ("Flur EG", RoomUse.HALL), ("Couloir", RoomUse.HALL), ("Pasillo", RoomUse.HALL),
        ("Bad", RoomUse.BATHROOM), ("Gäste-WC", RoomUse.BATHROOM), ("Salle de bains", RoomUse.BATHROOM),
        ("Baño 2", RoomUse.BATHROOM), ("En-suite", RoomUse.BATHROOM),
        ("Küche", RoomUse.KITCHEN), ("Wohnküche", RoomUse.KITCHEN),
        ("Cuisine", RoomUse.KITCHEN), ("Cocina", RoomUse.KITCHEN),
        ("Master Bedroom", RoomUse.BEDROOM), ("Schlafzimmer 2", RoomUse.BEDROOM), ("Chambre 1", RoomUse.BEDROOM),
        ("Dormitorio principal", RoomUse.BEDROOM), ("Kinderzimmer", RoomUse.BEDROOM),
        ("Wohnzimmer", RoomUse.LIVING), ("Great Room", RoomUse.LIVING), ("Séjour", RoomUse.LIVING),
        ("Salón", RoomUse.LIVING),
        ("Treppenhaus", RoomUse.STAIR), ("Escalier", RoomUse.STAIR), ("Garage", RoomUse.GARAGE),
        ("Cochera", RoomUse.GARAGE),
        ("Arbeitszimmer", RoomUse.STUDY), ("Abstellraum", RoomUse.STORE), ("Walk-in closet", RoomUse.STORE),
        ("Hauswirtschaftsraum", RoomUse.UTILITY), ("Buanderie", RoomUse.UTILITY), ("Keller 1", RoomUse.BASEMENT),
        ("Windfang", RoomUse.PORCH), ("Esszimmer", RoomUse.DINING), ("Salle à manger", RoomUse.DINING),
        ("Comedor", RoomUse.DINING), ("Room 12", RoomUse.OTHER), ("X7", RoomUse.OTHER),
    ],
)  # fmt: skip
def test_use_is_read_from_names_in_four_languages(name: str, use: RoomUse) -> None:
    assert room_use(name) is use


def test_outdoors_and_materials_by_name() -> None:
    assert all(map(is_outdoors, ("Balkon", "Terrasse", "Balcón", "Roof", "Covered porch", "Loggia 2")))
    assert not any(map(is_outdoors, ("Hofladen", "Bathroom", "Küche", "Porch")))
    assert material_key("Masonry - Concrete Block") == "block"
    assert material_key("Leichtbeton 102890359") == "concrete"
    assert material_key("Gipskartonplatte 12,5") == "plasterboard"
    assert material_key("Brique pleine") == "brick"
    assert material_key("Lana mineral aislante") == "insulation"
    assert material_key("Mystery") == "unknown"
