"""The same small house must come out of IFC whatever the file does: its plan is drawn in ``ifc_houses`` in metres."""

import dataclasses
import math
from pathlib import Path

import pytest
from shapely import Polygon

pytest.importorskip("ifcopenshell", reason="the optional IFC part is not installed")

from tests.ifc_houses import HOLES, ROOMS, WALLS, Hole, House

from wardwright.errors import InputError, IntakeError
from wardwright.intake.draft import Assumption
from wardwright.intake.ifc import read_ifc
from wardwright.intake.open_file import read_premises
from wardwright.premises.fabric import RoomUse
from wardwright.premises.model import Premises
from wardwright.premises.openings import OUTSIDE, Movement, OpeningKind
from wardwright.premises.plan import opening_shape, storey_plans


def taken_in(house: House, tmp_path: Path, **more: float) -> tuple[Premises, tuple[Assumption, ...]]:
    intake = read_premises(house.write(tmp_path / "house.ifc"), **more)
    storey_plans(intake.premises)  # every shape can be drawn
    return intake.premises, intake.assumptions


def said(assumptions: tuple[Assumption, ...], what: str) -> list[Assumption]:
    return [a for a in assumptions if a.what == what]


def by_name(premises: Premises, name: str):  # type: ignore[no-untyped-def]
    return next(o for o in premises.openings if o.name == name)


def joins(premises: Premises, name: str) -> set[str | None]:
    rooms = {r.id: r.name for r in premises.rooms}
    return {rooms.get(s, s) if s else None for s in by_name(premises, name).sides}


def check_house(premises: Premises, *, areas: float = 0.01) -> None:
    """Rooms, walls and openings as drawn."""
    found = {r.name: Polygon(r.outline, r.holes).area for r in premises.rooms}
    for name, (x0, y0, x1, y1) in ROOMS.items():
        assert found[name] == pytest.approx((x1 - x0) * (y1 - y0), rel=areas), name
    assert {r.name: r.use for r in premises.rooms} == {"Wohnzimmer": RoomUse.LIVING, "Küche": RoomUse.KITCHEN}
    assert joins(premises, "front") == {OUTSIDE, "Wohnzimmer"}
    assert joins(premises, "between") == {"Wohnzimmer", "Küche"}
    assert joins(premises, "view") == {OUTSIDE, "Küche"}
    for hole in HOLES:
        opening = by_name(premises, hole.name)
        assert opening.width_m == pytest.approx(hole.width, abs=0.005)
        assert opening.height_m == pytest.approx(hole.height, abs=0.005)
        assert opening.sill_m == pytest.approx(hole.sill, abs=0.005)
        wall = premises.wall(opening.place.wall_id)
        x0, y0, x1, y1 = WALLS[hole.wall]
        assert wall.thickness_m == pytest.approx(min(x1 - x0, y1 - y0), abs=0.005)
        assert wall.outside == (hole.wall != "partition")
    assert len(premises.walls) == len(WALLS)
    assert by_name(premises, "front").final_exit


@pytest.mark.parametrize("schema", ["IFC2X3", "IFC4"])
@pytest.mark.parametrize("unit", ["metre", "millimetre", "foot", "inch"])
def test_any_length_unit(schema: str, unit: str, tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(schema=schema, unit=unit), tmp_path)
    check_house(premises)
    assert not said(assumptions, "length unit")


@pytest.mark.parametrize(("unit", "header"), [("millimetre", "metre"), ("inch", "millimetre"), ("metre", "millimetre")])
def test_a_header_that_lies_is_found_out_by_the_doors(unit: str, header: str, tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(unit=unit, said=header), tmp_path)
    check_house(premises)
    (note,) = said(assumptions, "length unit")
    assert unit in note.assumed
    assert "--scale" in note.correct_by


def test_a_header_without_a_unit_is_reported(tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(unit="millimetre", said="none"), tmp_path)
    check_house(premises)
    assert said(assumptions, "length unit")


def test_a_scale_given_by_hand_overrides_the_header(tmp_path: Path) -> None:
    premises, _ = taken_in(House(unit="inch", said="metre"), tmp_path, scale=0.0254)
    check_house(premises)


def test_a_scale_that_is_no_scale_is_refused(tmp_path: Path) -> None:
    path = House().write(tmp_path / "house.ifc")
    with pytest.raises(InputError, match="scale"):
        read_ifc(path, scale=-1.0)


@pytest.mark.parametrize("degrees", [17.0, 45.0, 90.0, 211.5])
def test_a_turned_plan_stays_turned_and_whole(degrees: float, tmp_path: Path) -> None:
    premises, _ = taken_in(House(turned=math.radians(degrees)), tmp_path)
    check_house(premises)
    shape = opening_shape(premises, by_name(premises, "front"))
    turn = math.degrees(shape.along_rad) - degrees
    assert abs((turn + 90.0) % 180.0 - 90.0) < 0.1


def test_a_plan_far_from_the_origin_is_brought_back(tmp_path: Path) -> None:
    house = House(moved=(3_456_789.0, 5_432_100.0, 0.0), turned=0.3, unit="millimetre")
    premises, assumptions = taken_in(house, tmp_path)
    check_house(premises)
    assert max(abs(v) for r in premises.rooms for p in r.outline for v in p) < 50.0
    (note,) = said(assumptions, "place of the plan")
    assert "-345678" in note.assumed or "-345679" in note.assumed


def test_a_building_high_above_the_sea_starts_at_its_lowest_floor(tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(moved=(0.0, 0.0, 512.0)), tmp_path)
    check_house(premises)
    assert premises.storeys[0].elevation_m == pytest.approx(0.0)
    assert said(assumptions, "level of the building")


@pytest.mark.parametrize("shapes", [True, False])
def test_without_a_host_relation_the_wall_is_found_from_the_place(shapes: bool, tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(hosts=False, opening_shapes=shapes, turned=0.7), tmp_path)
    check_house(premises)
    assert bool(said(assumptions, "place of an opening")) is not shapes


def test_openings_without_a_shape_are_placed_by_position_and_size(tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(opening_shapes=False), tmp_path)
    check_house(premises)
    (note,) = said(assumptions, "place of an opening")
    assert len(note.where) == 3


@pytest.mark.parametrize("flag", [True, False])
def test_wrong_flags_are_reported_and_not_believed(flag: bool, tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(flags=flag), tmp_path)
    check_house(premises)
    wrong = {w for a in said(assumptions, "outside or inside") for w in a.where}
    names = {o.id: o.name for o in premises.openings}
    assert {names[w] for w in wrong} == ({"between"} if flag else {"front", "view"})


def test_a_host_relation_that_is_wrong_is_reported(tmp_path: Path) -> None:
    front, *others = HOLES
    house = House(holes=(dataclasses.replace(front, wall="north"), *others))
    premises, assumptions = taken_in(house, tmp_path)
    check_house(premises)
    assert said(assumptions, "wall of an opening")


def test_the_same_room_stored_twice_counts_once(tmp_path: Path) -> None:
    once = House().spaces
    premises, assumptions = taken_in(House(spaces=(*once, once[0])), tmp_path)
    check_house(premises)
    assert len(premises.rooms) == 2
    assert said(assumptions, "the same room stored several times")


def test_a_space_that_gathers_the_rooms_of_a_flat_is_left_out(tmp_path: Path) -> None:
    flat = ("Wohnung", (0.3, 0.3, 7.4, 3.3), 0.0, 2.5)
    premises, assumptions = taken_in(House(spaces=(flat, *House().spaces)), tmp_path)
    check_house(premises)
    assert len(premises.rooms) == 2
    assert said(assumptions, "a space that only gathers others")


def test_without_spaces_rooms_are_found_between_the_walls(tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(spaces=()), tmp_path)
    areas = sorted(Polygon(r.outline).area for r in premises.rooms)
    assert areas == pytest.approx([9.0, 12.0], rel=0.01)
    assert [a for a in said(assumptions, "rooms") if "none" in a.assumed]
    assert by_name(premises, "front").is_outside
    assert len(by_name(premises, "between").room_ids) == 2


def test_without_walls_walls_are_put_up_round_the_rooms(tmp_path: Path) -> None:
    house = House(walls={}, hosts=False)
    premises, assumptions = taken_in(house, tmp_path)
    assert premises.walls and all(w.assumed for w in premises.walls)
    assert joins(premises, "between") == {"Wohnzimmer", "Küche"}
    assert joins(premises, "front") == {OUTSIDE, "Wohnzimmer"}
    assert said(assumptions, "walls")


def test_a_space_the_list_leaves_out_is_found(tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(spaces=House().spaces[:1]), tmp_path)
    assert sorted(Polygon(r.outline).area for r in premises.rooms) == pytest.approx([9.0, 12.0], rel=0.01)
    assert said(assumptions, "rooms the source does not list")


def test_a_space_through_two_storeys_keeps_its_height(tmp_path: Path) -> None:
    tall = ("Stair hall", (4.4, 0.3, 7.4, 3.3), 0.0, 5.3)
    upper = ("Landing", (0.3, 0.3, 4.3, 3.3), 2.8, 2.5)
    house = House(
        spaces=(House().spaces[0], tall, upper),
        storeys=(("Ground", 0.0), ("Upper", 2.8)),
        holes=(*HOLES, Hole("high", "IfcWindow", "east", (7.55, 1.8), math.pi / 2, 1.0, 1.0, 3.7)),
    )
    house.walls = dict(WALLS)
    premises, assumptions = taken_in(house, tmp_path)
    hall = next(r for r in premises.rooms if r.name == "Stair hall")
    assert hall.height_m == pytest.approx(5.3)
    assert [r.storey_id for r in premises.rooms if r.name == "Landing"] == [premises.storeys[1].id]
    assert joins(premises, "high") == {OUTSIDE, "Stair hall"}
    high = by_name(premises, "high")
    assert premises.storey_of(high).elevation_m == pytest.approx(2.8)
    assert high.sill_m == pytest.approx(0.9)
    assert [a for a in said(assumptions, "way up") if a.missing]


def test_a_curved_wall_is_one_wall_with_a_bent_axis(tmp_path: Path) -> None:
    house = House(arc=(3.0, 0.25, 2.6))
    premises, _ = taken_in(house, tmp_path)
    (arc,) = [w for w in premises.walls if len(w.axis) > 2]
    assert arc.thickness_m == pytest.approx(0.25, abs=0.01)
    length = sum(math.dist(a, b) for a, b in zip(arc.axis, arc.axis[1:], strict=False))
    assert length == pytest.approx(math.pi * 3.0, rel=0.01)


def test_without_storeys_levels_come_from_the_floors(tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(storeys=()), tmp_path)
    check_house(premises)
    assert said(assumptions, "storeys")


def test_a_door_wider_than_its_wall_is_named(tmp_path: Path) -> None:
    wide = Hole("between", "IfcDoor", "partition", (4.35, 1.8), math.pi / 2, 4.0, 2.0)
    premises, assumptions = taken_in(House(holes=(HOLES[0], wide, HOLES[2])), tmp_path)
    assert by_name(premises, "between").width_m <= 3.7
    assert any("length of its wall" in a.assumed for a in said(assumptions, "width of a door"))


def test_operation_becomes_leaves(tmp_path: Path) -> None:
    slide = Hole("front", "IfcDoor", "south", (2.0, 0.15), 0.0, 1.8, 2.1, operation="DOUBLE_DOOR_SLIDING")
    premises, _ = taken_in(House(holes=(slide, *HOLES[1:])), tmp_path)
    leaves = by_name(premises, "front").leaves
    assert [leaf.movement for leaf in leaves] == [Movement.SLIDING, Movement.SLIDING]
    assert len({leaf.id for o in premises.openings for leaf in o.leaves}) == sum(
        len(o.leaves) for o in premises.openings
    )


def test_rooms_that_meet_without_a_wall_are_joined_by_an_open_boundary(tmp_path: Path) -> None:
    walls = {k: v for k, v in WALLS.items() if k != "partition"}
    spaces = (("Wohnzimmer", (0.3, 0.3, 4.35, 3.3), 0.0, 2.5), ("Küche", (4.35, 0.3, 7.4, 3.3), 0.0, 2.5))
    premises, _ = taken_in(House(walls=walls, spaces=spaces, holes=(HOLES[0], HOLES[2])), tmp_path)
    (passage,) = [o for o in premises.openings if o.kind is OpeningKind.PASSAGE]
    assert set(passage.room_ids) == {r.id for r in premises.rooms}
    assert passage.width_m == pytest.approx(3.0, abs=0.1)


def test_site_and_north(tmp_path: Path) -> None:
    premises, _ = taken_in(House(north=(0.6, 0.8)), tmp_path)
    around = premises.surroundings
    assert around.latitude_deg == pytest.approx(48 + 8 / 60 + 14 / 3600)
    assert around.longitude_deg == pytest.approx(-(11 + 34 / 60 + 31 / 3600))
    assert around.north_rad == pytest.approx(math.atan2(0.8, 0.6))


@pytest.mark.parametrize(
    ("ratios", "north"), [((2.0, 6.1e-17, 1.0), math.pi / 2), ((0.0, 0.0), None), ((0.1, 0.2, 5.0), None)]
)
def test_a_malformed_north_is_mended_or_left_open_and_always_reported(
    ratios: tuple[float, ...], north: float | None, tmp_path: Path
) -> None:
    premises, assumptions = taken_in(House(north=ratios), tmp_path)
    found = premises.surroundings.north_rad
    assert found is None if north is None else found == pytest.approx(north)
    assert said(assumptions, "north")


def test_a_truncated_file_gets_one_sentence_wherever_it_is_cut(tmp_path: Path) -> None:
    whole = House().write(tmp_path / "house.ifc").read_bytes()
    cut = tmp_path / "cut.ifc"
    for share in (0.0, 0.001, 0.05, 0.3, 0.5, 0.77, 0.95, 0.999):
        cut.write_bytes(whole[: int(len(whole) * share)])
        with pytest.raises(IntakeError) as error:
            read_premises(cut)
        assert "\n" not in str(error.value)


@pytest.mark.parametrize("share", [n / 20 for n in range(1, 20)])
def test_a_file_that_lost_its_middle_is_refused_or_still_a_building(share: float, tmp_path: Path) -> None:
    whole = House().write(tmp_path / "house.ifc").read_bytes()
    cut = tmp_path / "cut.ifc"
    cut.write_bytes(whole[: int(len(whole) * share)] + b"\nENDSEC;\nEND-ISO-10303-21;\n")
    try:
        premises = read_premises(cut).premises
    except IntakeError as error:
        assert "\n" not in str(error)
    else:
        assert premises.rooms and premises.walls


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"", "empty"),
        (b"   \n", "empty"),
        (b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n", "IFC"),
        (b"%PDF-1.7\n", "PDF"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "picture"),
        (b"\x7fELF\x00\x01", "no IFC"),
    ],
)
def test_foreign_and_empty_files_are_refused_in_one_sentence(content: bytes, word: str, tmp_path: Path) -> None:
    path = tmp_path / "plan.ifc"
    path.write_bytes(content)
    with pytest.raises(IntakeError, match=word):
        read_premises(path)


def test_a_file_without_walls_and_rooms_is_no_success(tmp_path: Path) -> None:
    path = House(walls={}, spaces=(), holes=()).write(tmp_path / "bare.ifc")
    with pytest.raises(IntakeError, match="no"):
        read_premises(path)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(IntakeError, match=r"gone\.ifc"):
        read_premises(tmp_path / "gone.ifc")


def test_ids_are_readable_and_unique_over_all_kinds(tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(), tmp_path)
    ids = [x.id for g in (premises.storeys, premises.walls, premises.rooms, premises.openings) for x in g]
    assert len(set(ids)) == len(ids)
    assert {"room-kueche", "door-front", "window-view"} <= set(ids)
    again, _ = taken_in(House(), tmp_path)
    assert again == premises
    known = {*ids, *(o.name for o in premises.openings)}
    assert all(w in known for a in assumptions for w in a.where)
