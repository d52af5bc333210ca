"""A tape survey becomes a draft; what is wrong with it is told by line and room, all at once."""

import math
from pathlib import Path

import pytest
from shapely import Polygon

from wardwright.errors import IntakeError
from wardwright.intake.open_file import read_premises
from wardwright.intake.tape import read_tape, read_tape_text
from wardwright.premises.fabric import RoomUse
from wardwright.premises.reach import RESIDENTIAL_US, reach

ROOT = Path(__file__).resolve().parents[3]
EXAMPLE = ROOT / "demo" / "terrace.tape.txt"


def draft(text: str):
    return read_tape_text(text, "survey.txt")


def problems(text: str) -> str:
    with pytest.raises(IntakeError) as caught:
        draft(text)
    return str(caught.value)


def corner(d, name: str) -> tuple[float, float]:
    ring = next(r.outline for r in d.rooms if r.name == name)
    return (min(x for x, _ in ring), min(y for _, y in ring))


def notes(d, what: str) -> list:
    return [a for a in d.assumptions if what in a.what]


def test_the_smallest_survey_there_is() -> None:
    d = draft("room: Kitchen, 4.20 x 3.10")
    (room,) = d.rooms
    assert Polygon(room.outline).area == pytest.approx(4.20 * 3.10)
    assert Polygon(room.outline).exterior.is_ccw
    assert d.survey == "approximate"
    assert [s.name for s in d.storeys] == ["Ground floor"]


def test_feet_and_inches() -> None:
    window_line = "  north: window, 3' x 4', sill 2'6\", 1'3\" from west end"
    d = draft("units: feet and inches\nroom: Den, 13'6\" x 10 ft 3\n" + window_line)
    assert Polygon(d.rooms[0].outline).area == pytest.approx(13.5 * 10.25 * 0.3048**2, rel=1e-4)
    (window,) = d.openings
    assert window.width_m == pytest.approx(0.9144)
    assert window.sill_m == pytest.approx(0.762)
    assert window.centre[0] == pytest.approx((1.25 + 1.5) * 0.3048, abs=1e-4)


def test_decimal_commas() -> None:
    d = draft("room: Küche, 4,20 x 3,10\n  north: window, 1,20 x 1,05, sill 0,90, 1,50 from west end")
    assert Polygon(d.rooms[0].outline).area == pytest.approx(4.20 * 3.10)
    assert d.openings[0].centre[0] == pytest.approx(2.10)


def test_walls_one_by_one_named_by_side() -> None:
    d = draft("room: L\n  walls: west 5.00, north 2.00, east 1.00, north 2.20, east 4.00, south 4.20")
    assert Polygon(d.rooms[0].outline).area == pytest.approx(4.2 * 4.0 + 2.0 * 1.0)
    assert not notes(d, "close")


def test_walls_by_turns_give_the_same_room() -> None:
    by_side = draft("room: L\n  walls: west 5.00, north 2.00, east 1.00, north 2.20, east 4.00, south 4.20")
    by_turn = draft("room: L\n  walls: 5.00, right 2.00, right 1.00, left 2.20, right 4.00, right 4.20")
    assert Polygon(by_turn.rooms[0].outline).equals(Polygon(by_side.rooms[0].outline))


def test_a_walk_the_other_way_round_is_understood() -> None:
    walls = "  walls: west 3.00, south 4.00, east 3.00, north 4.00"
    d = draft(f"room: R\n{walls}\n  east: window, 1 x 1, 0.50 from south end")
    xs = [x for x, _ in d.rooms[0].outline]
    assert max(xs) - min(xs) == pytest.approx(4.0)
    assert d.openings[0].centre == pytest.approx((4.15, 1.0))


def test_a_slanting_wall() -> None:
    cut = math.sqrt(2.0)
    d = draft(f"room: Bay\n  walls: west 3, north 4, east 2, south-east {cut:.4f}, south 3")
    assert Polygon(d.rooms[0].outline).area == pytest.approx(12.0 - 0.5, abs=1e-3)


def test_a_room_that_does_not_close_says_where_and_by_how_much() -> None:
    d = draft("room: Kitchen\n  walls: west 3.10, north 3.86, east 3.10, south 4.20")
    (note,) = notes(d, "does not close")
    assert note.what == "Room “Kitchen” does not close: 0.34 m short along the north wall"
    assert "line 2" in note.correct_by
    assert Polygon(d.rooms[0].outline).area == pytest.approx(3.10 * 2 * 3.86 * 4.20 / (3.86 + 4.20), rel=1e-4)
    assert d.rooms[0].position_assumed


def test_a_small_misclosure_is_a_tapes_own() -> None:
    d = draft("room: Kitchen\n  walls: west 3.10, north 4.18, east 3.10, south 4.20")
    (note,) = notes(d, "does not close")
    assert "0.02 m" in note.what
    assert "as a tape will be" in note.assumed
    assert not d.rooms[0].position_assumed


def test_a_wall_nobody_could_measure_follows_from_the_others() -> None:
    d = draft("room: Kitchen\n  walls: west 3.10, north ?, east 3.10, south 4.20")
    assert Polygon(d.rooms[0].outline).area == pytest.approx(3.10 * 4.20)
    assert "north 4.20 m" in notes(d, "not measured")[0].assumed


def test_a_missing_wall_is_named() -> None:
    assert "4.00 m along the south wall is missing" in problems("room: Kitchen\n  walls: west 3, north 4, east 3")


def test_rooms_stand_a_wall_apart_where_the_lines_say() -> None:
    d = draft(
        "inside walls: 0.12\nroom: A, 4 x 3\n  north: B, level at west end\n  east: C, level at south end\n"
        "room: B, 4 x 2\nroom: C, 3 x 3"
    )
    assert corner(d, "B") == pytest.approx((0.0, 3.12))
    assert corner(d, "C") == pytest.approx((4.12, 0.0))
    assert not notes(d, "place of a room")


def test_a_second_neighbour_fixes_a_room() -> None:
    d = draft(
        "inside walls: 0.10\nroom: A, 4 x 3\n  north: B, level at west end\n  east: C, level at north end\n"
        "room: B, 2 x 2\nroom: C, 3 x 3\nroom: D, 3.9 x 2\n  west: B\n  south: A, C"
    )
    assert corner(d, "D") == pytest.approx((2.1, 3.1))
    assert not any("D" in a.where for a in notes(d, "place of a room"))


def test_a_door_measured_from_both_rooms_fixes_them_and_is_one_door() -> None:
    d = draft(
        "inside walls: 0.10\nroom: A, 4 x 3\n  north: door to B, 0.80 x 2.00, 1.00 from west end, solid\n"
        "room: B, 5 x 2\n  south: door to A, 0.80 x 2.00, 0.30 from west end"
    )
    (door,) = d.openings
    assert corner(d, "B") == pytest.approx((0.7, 3.1))
    assert door.centre == pytest.approx((1.4, 3.05))
    assert not door.position_assumed
    assert set(door.joins) == {"a", "b"}


def test_a_guessed_place_is_marked_and_says_what_to_measure() -> None:
    d = draft("room: A, 4 x 3\n  north: B\nroom: B, 2 x 2")
    (note,) = notes(d, "place of a room")
    assert note.where == ("B",)
    assert "line 2" in note.correct_by
    assert next(r for r in d.rooms if r.name == "B").position_assumed


def test_a_room_that_adjoins_nothing_is_set_aside_and_told() -> None:
    d = draft("room: A, 4 x 3\nroom: Shed, 2 x 2")
    assert corner(d, "Shed")[0] == pytest.approx(5.0)
    assert "no line says what it adjoins" in notes(d, "place of a room")[0].assumed


def test_guessed_rooms_do_not_lie_over_each_other() -> None:
    d = draft("room: Hall, 6 x 1.2\n  north: A, B, C\nroom: A, 1.8 x 3\nroom: B, 1.8 x 3\nroom: C, 1.8 x 3")
    shapes = [Polygon(r.outline) for r in d.rooms]
    assert all(a.intersection(b).area < 1e-6 for i, a in enumerate(shapes) for b in shapes[:i])
    assert [corner(d, name)[0] for name in "ABC"] == pytest.approx([0.0, 1.9, 3.8])


def test_along_a_south_wall_left_is_east() -> None:
    d = draft("room: Hall, 6 x 1.2\n  south: A, B\nroom: A, 2 x 3\nroom: B, 2 x 3")
    assert [corner(d, name)[0] for name in "AB"] == pytest.approx([4.0, 1.9])


def test_an_unmeasured_opening_is_put_where_there_is_room_and_marked() -> None:
    d = draft("room: A, 4 x 3\n  north: window, 1.00 x 1.20, 0.20 from west end\n  north: window, 0.80 x 1.20")
    placed, guessed = d.openings
    assert not placed.position_assumed
    assert guessed.position_assumed
    assert guessed.centre[0] == pytest.approx((1.20 + 4.0) / 2)


def test_storeys_stack() -> None:
    d = draft(
        "floors: 0.30\nstorey: Ground, height 2.50\nroom: A, 4 x 3\nstorey: Upper, height 2.40\n"
        "room: B, 2 x 2, over A\nstorey: Cellar, level -2.20, height 2.00\nroom: C, 4 x 3, over A"
    )
    assert [s.elevation_m for s in d.storeys] == pytest.approx([0.0, 2.80, -2.20])
    assert corner(d, "B") == corner(d, "A") == corner(d, "C")


def test_a_stair_climbs_where_it_is_said_to() -> None:
    d = draft(
        "storey: Ground, height 2.5\nroom: Hall, 2 x 6\n"
        "  stair: up to Landing, by the east wall, 1.00 from south end, 0.90 x 3.20, climbing north\n"
        "storey: Upper, height 2.4\nroom: Landing, 2 x 6, over Hall"
    )
    (stair,) = d.stairs
    assert stair.foot == pytest.approx((1.55, 0.70))
    assert stair.head == pytest.approx((1.55, 4.50))
    assert Polygon(stair.outline).area == pytest.approx(0.90 * 3.20)
    assert stair.width_m == pytest.approx(0.90)


def test_contents_household_and_surfaces() -> None:
    d = draft(
        "ground: 0.20 below\nroom: Bedroom, 4 x 3, carpet\n  bed: double, by the west wall, 1.00 from south end\n"
        "  heat: radiator, by the north wall, 2.00 from west end\n"
        "  target: Safe, 2 min, high, at 3.00 east 1.00 north\n"
        "  furniture: Wardrobe, 1.20 x 0.60 x 2.00, by the east wall, 0.00 from north end\n"
        "  climb: Shed roof, 2.20 above ground, 2.00 x 1.50, beyond the south wall, 0.50 from west end\n"
        "pet: dog Rex, 55 lb, in Bedroom\nperson: elder Ada, sleeps in Bedroom, 0.6 m/s"
    )
    assert d.beds[0].sleepers == 2
    assert d.beds[0].position == pytest.approx((0.30, 1.00))
    assert d.heat[0][1] == "radiator"
    assert (d.targets[0].take_s, d.targets[0].worth) == (120.0, "high")
    assert Polygon(d.obstacles[0].outline).bounds == pytest.approx((3.4, 1.8, 4.0, 3.0))
    assert d.standings[0].level_m == pytest.approx(2.0)
    assert Polygon(d.standings[0].outline).bounds == pytest.approx((0.5, -1.8, 2.5, -0.3))
    assert d.pets[0].mass_kg == pytest.approx(24.95, abs=0.01)
    assert d.people[0].sleeps_in == d.rooms[0].key
    assert d.ground_m == pytest.approx(-0.20)


def test_party_walls_and_materials() -> None:
    d = draft(
        "outside walls: 0.33, solid brick\nparty walls: 0.22, brick\ninside walls: 0.10, plaster and lath\n"
        "room: A, 4 x 3\n  east: neighbour\n  north: B, level at west end\nroom: B, 4 x 3"
    )
    party = [w for w in d.walls if w.party]
    assert len(party) == 1
    assert party[0].thickness_m == pytest.approx(0.22)
    assert party[0].axis[0][0] == pytest.approx(4.11)
    inner = [w for w in d.walls if w.outside is False and not w.party]
    assert [layer.material for w in inner for layer in w.layers] == ["plaster and lath"]


def test_north() -> None:
    for words, degrees in (("up", 90), ("right", 0), ("20 degrees left of up", 110), ("30 degrees right", 60)):
        assert math.degrees(draft(f"north: {words}\nroom: A, 2 x 2").north_rad) == pytest.approx(degrees)


SLIPS = {
    "a wall longer than it can be": ("room: A, 300 x 4", "line 1", "300 m"),
    "a wall without length": ("room: A\n  walls: west 0, north 2, east 2, south 2", "line 2, room “A”", "no length"),
    "no size": ("room: A", "line 1, room “A”", "no size"),
    "size and walls": ("room: A, 2 x 2\n  walls: west 2, north 2, east 2, south 2", "line 2, room “A”", "both"),
    "crossing walls": ("room: A\n  walls: 4, right 3, right 2, right 5, left 2, left 2", "room “A”", "cross"),
    "mixture": ("room: A\n  walls: west 2, right 2, east 2", "line 2", "not a mixture"),
    "no side": ("room: A\n  walls: 2, 3, 2, 3", "line 2", "which wall it is"),
    "a word for a length": ("room: A, 4.20 x wide", "line 1, room “A”", "not understood"),
    "a misspelt key": ("room: A, 2 x 2\n  nroth: window, 1 x 1", "line 2", "did you mean “north:”"),
    "a misspelt room": ("room: Hall, 2 x 2\nroom: A, 2 x 2\n  north: Hal", "line 3, room “A”", "did you mean “Hall”"),
    "a room twice": ("room: A, 2 x 2\nroom: a, 3 x 3", "line 2", "already a room called “a” (line 1)"),
    "no colon": ("room A 2 x 2", "line 1", "no colon"),
    "no room": ("survey: nothing", "line 1", "has no room"),
    "a wide window": ("room: A, 2 x 2\n  north: window, 2.40 x 1", "line 2, room “A”", "2.40 m wide"),
    "beyond the end": ("room: A, 2 x 2\n  north: window, 1 x 1, 1.50 from west end", "line 2", "beyond the end"),
    "no width": ("room: A, 2 x 2\n  north: window", "line 2, room “A”", "no width"),
    "two in one place": (
        "room: A, 4 x 2\n  north: window, 1 x 1, 1 from west end\n  north: window, 1 x 1, 1.5 from west end",
        "line 3",
        "opening of line 2",
    ),
    "an end the wall has not": ("room: A, 4 x 2\n  north: window, 1 x 1, 1 from north end", "line 2", "no north end"),
    "a wall the room has not": ("room: A, 4 x 2\n  south-west: window, 1 x 1", "line 2", "no south-west wall"),
    "a bad height": ("room: A, 2 x 2, height 24", "line 1", "not likely"),
    "a bad vent": ("room: A, 2 x 2\n  north: window, 1 x 1, vented at night", "line 2", "how far"),
    "another storey": (
        "storey: G\nroom: A, 2 x 2\n  north: B\nstorey: U\nroom: B, 2 x 2",
        "line 3, room “A”",
        "another storey",
    ),
    "itself": ("room: A, 2 x 2\n  north: A", "line 2", "itself"),
    "opposite claims": ("room: A, 2 x 2\n  north: B\nroom: B, 2 x 2\n  north: A", "line 2", "cannot lie beyond"),
    "contradiction": (
        "room: A, 4 x 3\n  north: B, level at west end\n  east: C, level at south end\n"
        "room: B, 4 x 2\nroom: C, 3 x 3\n  north: B",
        "line 6, room “C”",
        "too far apart|put them apart",
    ),
    "outside and a neighbour": (
        "room: A, 4 x 3\n  north: outside\n  north: window to neighbour, 1 x 1",
        "line 3, room “A”",
        "outside beyond it",
    ),
    "a gross misclosure": ("room: A\n  walls: west 3, north 4, east 3, south 7", "line 2, room “A”", "3.00 m short"),
    "a bed outside": ("room: A, 4 x 3\n  bed: single, at 9 east 1 north", "line 2, room “A”", "outside the room"),
    "a heavy pet": ("room: A, 4 x 3\npet: dog Rex, 0 kg", "line 2", "not possible"),
    "a strange fitting": ("room: A, 4 x 3\n  heat: sauna", "line 2", "radiator"),
    "a stair to nowhere": ("room: A, 4 x 3\n  stair: up to B", "line 2", "no room is called “B”"),
    "a strange unit": ("units: cubits\nroom: A, 2 x 2", "line 1", "cubits"),
}


@pytest.mark.parametrize("text, where, what", SLIPS.values(), ids=SLIPS.keys())
def test_slips_are_told_by_line_and_room(text: str, where: str, what: str) -> None:
    message = problems(text)
    assert where in message
    assert any(part in message for part in what.split("|")), message


def test_all_slips_are_told_at_once() -> None:
    message = problems("room: A, 300 x 4\nroom: B\nroom: C, 2 x 2\n  nroth: window\n  north: window, 5 x 1")
    assert message.startswith("survey.txt: 3 lines need mending:")
    for line in ("line 1", "line 2", "line 4"):
        assert line in message


@pytest.mark.parametrize("content", [b"", b"\0\1\2", b"   \n# only a note\n"])
def test_a_file_that_cannot_serve(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "survey.txt"
    path.write_bytes(content)
    with pytest.raises(IntakeError, match=r"survey\.txt"):
        read_tape(path)


def test_words_not_understood_are_told_not_swallowed() -> None:
    d = draft("room: A, 4 x 3\n  north: window, 1 x 1, 1 from west end, covered in ivy")
    assert "covered in ivy" in notes(d, "not understood")[0].assumed


def test_the_example_reads_without_a_slip() -> None:
    d = read_tape(EXAMPLE)
    assert len(d.storeys) == 3
    assert len(d.rooms) == 8
    assert corner(d, "Kitchen")[1] == pytest.approx(3.80 + 0.11 + 3.90 + 0.11, abs=1e-3)
    assert [o.name for o in d.openings if o.final_exit] == ["Front door"]


def test_the_example_becomes_premises_that_can_be_judged() -> None:
    taken = read_premises(EXAMPLE)
    premises = taken.premises
    assert premises.survey == "approximate"
    assert {r.name: r.use for r in premises.rooms}["Front room"] is RoomUse.LIVING
    sides = {o.name: set(o.sides) for o in premises.openings}
    assert sides["Garden doors"] == {"room-kitchen", "outside"}
    assert sides["Door from Back room to Kitchen"] == {"room-back-room", "room-kitchen"}
    assert sides["Loft hatch"] == {"room-landing", "room-loft"}
    assert sum(w.party for w in premises.walls) >= 6
    assert all(w.outside is False for w in premises.walls if w.party)
    leaves = {o.name: [leaf.id for leaf in o.leaves] for o in premises.openings}
    assert leaves["Front window"] == ["window-front-window.upper-sash", "window-front-window.lower-sash"]
    found = reach(premises, RESIDENTIAL_US)
    by_name = {o.name: found[o.id] for o in premises.openings if o.id in found}
    assert by_name["Front window"].reachable is True
    assert by_name["Back bedroom north window"].surface_id == "roof-kitchen-roof"
    assert by_name["Front bedroom south window"].reachable is False
    assert by_name["Landing north window"].reachable is None


def test_the_guide_shows_the_example_as_it_is() -> None:
    page = (ROOT / "docs" / "guide" / "tape-survey.md").read_text(encoding="utf-8")
    assert EXAMPLE.read_text(encoding="utf-8") in page


def test_another_kind_of_text_gets_one_sentence() -> None:
    text = "Dear Sir,\nthank you for your letter.\nWe shall come on Monday:\nperhaps at nine.\nYours\n"
    message = problems(text)
    assert "has no room" in message
    assert "\n" not in message


def test_a_long_list_of_slips_is_cut_short() -> None:
    message = problems("room: A, 2 x 2\n" + "  nonsense: 1\n" * 50)
    assert message.startswith("survey.txt: 50 lines need mending:")
    assert message.endswith("and 20 more")
