"""Which openings can be reached, from what, by which rule."""

import math

import pytest
from tests.unit.premises.box import box, roof, window

from wardwright.premises.fabric import Room, Storey, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import InSlab, OnWall, Opening, OpeningKind
from wardwright.premises.reach import COMMERCIAL_US, ENGLAND, EUROPE, RESIDENTIAL_US, reach

ALL = (RESIDENTIAL_US, COMMERCIAL_US, EUROPE, ENGLAND)


@pytest.mark.parametrize("rules", ALL, ids=lambda r: r.name)
def test_a_low_window_is_reached_from_the_ground_by_every_rule(rules) -> None:
    result = reach(box(window("w", "south", 2.3, 0.9)), rules)["w"]
    assert result.reachable is True
    assert result.surface_id == "ground"
    assert result.rise_m == pytest.approx(0.9)
    assert result.citation


@pytest.mark.parametrize(
    ("sill", "answers"),
    [
        (1.99, (True, True, True, True)),
        (2.5, (True, True, True, False)),
        (3.5, (True, True, False, False)),
        (3.66, (False, True, False, False)),
        (5.48, (False, True, False, False)),
        (5.49, (False, False, False, False)),
    ],
)
def test_the_limits_differ_by_rule(sill: float, answers: tuple[bool, ...]) -> None:
    premises = box(window("w", "south", 2.3, sill))
    assert tuple(reach(premises, rules)["w"].reachable for rules in ALL) == answers


def test_the_commercial_limit_itself_is_out_of_reach_and_the_residential_one_within() -> None:
    assert reach(box(window("w", "south", 2.3, 18 * 0.3048)), COMMERCIAL_US)["w"].reachable is False
    assert reach(box(window("w", "south", 2.3, 12 * 0.3048)), RESIDENTIAL_US)["w"].reachable is True


def test_lower_ground_makes_a_window_higher() -> None:
    assert reach(box(window("w", "south", 2.3, 2.5), ground=-1.0), EUROPE)["w"].reachable is False


def test_a_low_roof_brings_a_high_window_within_reach() -> None:
    high = window("w", "south", 2.3, 4.6)
    porch = roof("porch", 1.0, -1.8, 2.0, 1.5, 2.4)
    assert reach(box(high), RESIDENTIAL_US)["w"].reachable is False
    result = reach(box(high, standings=(porch,)), RESIDENTIAL_US)["w"]
    assert result.reachable is True
    assert result.surface_id == "porch"
    assert result.rise_m == pytest.approx(2.2)
    assert reach(box(high, standings=(porch,)), EUROPE)["w"].reachable is True
    assert reach(box(high, standings=(porch,)), ENGLAND)["w"].reachable is False


def test_a_roof_elsewhere_does_not() -> None:
    far = roof("porch", 1.0, 4.5, 2.0, 1.5, 2.4)
    assert reach(box(window("w", "south", 2.3, 4.6), standings=(far,)), RESIDENTIAL_US)["w"].reachable is False


def test_in_england_a_roof_above_three_and_a_half_metres_does_not_count() -> None:
    for level, answer in ((3.4, True), (3.6, False)):
        shed = roof("shed", 1.0, -1.8, 2.0, 1.5, level)
        found = reach(box(window("w", "south", 2.3, level + 1.0), standings=(shed,)), ENGLAND)["w"]
        assert found.reachable is answer


def test_a_narrow_ledge_is_left_to_the_surveyor_under_the_residential_rule() -> None:
    ledge = roof("ledge", 1.0, -0.9, 2.0, 0.6, 2.4, kind="climbable")
    result = reach(box(window("w", "south", 2.3, 4.6), standings=(ledge,)), RESIDENTIAL_US)["w"]
    assert result.reachable is None
    assert "1.22 m" in result.explanation


def test_what_cannot_be_climbed_counts_only_when_something_below_lifts_one_onto_it() -> None:
    high = window("w", "south", 2.3, 6.5)
    balcony = roof("balcony", 1.0, -1.8, 2.0, 1.5, 4.5, kind="balcony", climbable=False)
    shed = roof("shed", 1.0, -3.5, 2.0, 1.5, 2.3)
    assert reach(box(high, standings=(balcony,)), EUROPE)["w"].reachable is False
    assert reach(box(high, standings=(balcony, shed)), EUROPE)["w"].reachable is True


def test_a_surface_above_the_head_is_no_way_down() -> None:
    top = roof("top", -0.5, -0.5, 5.0, 4.0, 7.0)
    result = reach(box(window("w", "south", 2.3, 4.0), standings=(top,)), EUROPE)["w"]
    assert result.reachable is False
    assert result.surface_id == "ground"


def test_a_place_not_measured_leaves_a_partial_roof_undecided() -> None:
    porch = roof("porch", 0.0, -1.8, 1.2, 1.5, 2.4)
    unplaced = window("w", "south", None, 4.6, position_assumed=True)
    result = reach(box(unplaced, standings=(porch,), survey="approximate"), RESIDENTIAL_US)["w"]
    assert result.reachable is None
    assert "not known" in result.explanation


def test_an_approximate_sill_close_to_the_limit_is_not_decided() -> None:
    assert reach(box(window("w", "south", 2.3, 3.05), survey="approximate"), EUROPE)["w"].reachable is None
    assert reach(box(window("w", "south", 2.3, 3.2), survey="approximate"), EUROPE)["w"].reachable is False


def test_a_door_to_the_neighbour_is_reached_from_there() -> None:
    door = window("d", "east", 1.8, 0.0, kind=OpeningKind.DOOR, height=2.0, sides=("room", "neighbour"))
    assert reach(box(door), EUROPE)["d"].reachable is True


def test_an_opening_of_unknown_side_is_not_decided() -> None:
    result = reach(box(window("w", "south", 2.3, 0.9, sides=("room", None))), EUROPE)["w"]
    assert result.reachable is None
    assert "both its sides" in result.explanation


def test_inner_openings_are_not_listed() -> None:
    assert reach(box(window("w", "south", 2.3, 0.9, sides=("room", "room"))), EUROPE) == {}


def test_a_rooflight_is_reached_from_the_roof_it_sits_in() -> None:
    light = Opening(
        id="r",
        name="r",
        kind=OpeningKind.ROOFLIGHT,
        place=InSlab(storey_id="g", outline=((1, 1), (2, 1), (2, 2), (1, 2))),
        width_m=1.0,
        height_m=1.0,
        sill_m=2.6,
        sides=("room", "outside"),
    )
    flat = roof("flat", -0.3, -0.3, 4.6, 3.6, 2.5)
    assert reach(box(light, standings=(flat,)), ENGLAND)["r"].reachable is True
    assert reach(box(light), ENGLAND)["r"].reachable is False


@pytest.mark.parametrize(("width", "height", "fits"), [(0.5, 0.5, True), (0.2, 0.2, False), (0.12, 1.5, None)])
def test_man_size(width: float, height: float, fits: bool | None) -> None:
    result = reach(box(window("w", "south", 2.3, 0.9, width=width, height=height)), COMMERCIAL_US)["w"]
    assert result.man_size is fits


def courtyard(*openings: Opening) -> Premises:
    """A square court 3 m wide, walls of rooms on its north, east and south sides; storeys at 0 and 6 m."""
    storeys = (
        Storey(id="g", name="Ground", elevation_m=0.0, height_m=5.8),
        Storey(id="u", name="Upper", elevation_m=6.0, height_m=2.5),
    )
    walls = []
    rooms = []
    for s in storeys:
        walls += [
            Wall(id=f"{s.id}-south", storey_id=s.id, axis=((0, 0), (3, 0)), thickness_m=0.3),
            Wall(id=f"{s.id}-north", storey_id=s.id, axis=((0, 3.3), (3, 3.3)), thickness_m=0.3),
            Wall(id=f"{s.id}-east", storey_id=s.id, axis=((3.15, 0.15), (3.15, 3.15)), thickness_m=0.3),
        ]
        for key, ring in {
            "south": ((0, -3), (3, -3), (3, -0.15), (0, -0.15)),
            "north": ((0, 3.45), (3, 3.45), (3, 6), (0, 6)),
            "east": ((3.3, 0.15), (6, 0.15), (6, 3.15), (3.3, 3.15)),
        }.items():
            rooms.append(Room(id=f"{s.id}-room-{key}", name=key, storey_id=s.id, outline=ring))
    return Premises(name="court", storeys=storeys, walls=walls, rooms=rooms, openings=openings)


def on(key: str, storey: str, side: str, offset: float, sill: float = 4.0) -> Opening:
    return Opening(
        id=key,
        name=key,
        kind=OpeningKind.WINDOW,
        place=OnWall(wall_id=f"{storey}-{side}", offset_m=offset),
        width_m=0.8,
        height_m=1.0,
        sill_m=sill,
        sides=(f"{storey}-room-{side}", "outside"),
    )


def test_reach_carries_across_a_court_within_its_fan() -> None:
    low, opposite = on("low", "g", "south", 1.0, 3.0), on("opposite", "g", "north", 1.5)
    found = reach(courtyard(low, opposite), RESIDENTIAL_US)["opposite"]
    assert found.reachable is True
    assert found.row == "US-ACC-06"
    assert found.surface_id == "low"
    assert found.distance_m == pytest.approx(3.0, abs=1e-6)
    assert reach(courtyard(opposite), RESIDENTIAL_US)["opposite"].reachable is False
    assert reach(courtyard(low, opposite), EUROPE)["opposite"].reachable is False


def test_reach_carries_round_an_inner_corner_only_along_a_line_at_45_degrees() -> None:
    low = on("low", "g", "south", 2.0, 3.0)
    level, further = on("level", "g", "east", 1.0), on("further", "g", "east", 2.5)
    found = reach(courtyard(low, level), RESIDENTIAL_US)["level"]
    assert found.reachable is True
    assert found.row == "US-ACC-05"
    # south covers 0.6..1.4 m from the corner, east covers 0.6..1.4 m: the shortest 45 degree line is 0.6 sqrt 2
    assert found.distance_m == pytest.approx(0.6 * math.sqrt(2))
    assert reach(courtyard(low, further), RESIDENTIAL_US)["further"].reachable is False


def test_reach_carries_up_to_the_storey_above_in_the_opposite_wall() -> None:
    low = on("low", "g", "south", 1.5, 3.0)
    above = on("above", "u", "north", 1.5, 0.0)
    found = reach(courtyard(low, above), RESIDENTIAL_US)["above"]
    assert found.row == "US-ACC-07"
    assert found.reachable is True
    # 3.0 m across and 6.0 - 4.0 = 2.0 m up between nearest edges
    assert found.distance_m == pytest.approx(math.hypot(3.0, 2.0))
    beyond = on("beyond", "u", "north", 1.5, 1.5)
    assert reach(courtyard(low, beyond), RESIDENTIAL_US)["beyond"].reachable is False


def test_in_the_same_wall_reach_does_not_carry_under_the_residential_rule() -> None:
    low, same = on("low", "g", "south", 0.6, 3.0), on("same", "g", "south", 1.8)
    assert reach(courtyard(low, same), RESIDENTIAL_US)["same"].reachable is False


def test_a_window_beside_a_neighbours_stair_door_counts_in_business() -> None:
    own, other = on("own", "u", "south", 0.6, 1.0), on("other", "u", "south", 1.9, 1.0)
    shared = other.model_copy(update={"sides": ("neighbour", "outside")})
    found = reach(courtyard(own, shared), COMMERCIAL_US)["own"]
    assert found.reachable is True
    assert found.row == "US-ACC-03"
    assert found.distance_m == pytest.approx(0.5)
    away = on("own", "u", "south", 0.45, 1.0)
    shared = shared.model_copy(update={"place": OnWall(wall_id="u-south", offset_m=2.2)})
    assert reach(courtyard(away, shared), COMMERCIAL_US)["own"].reachable is False


def test_a_fire_stair_opposite_counts_in_business() -> None:
    stair = roof("stair", 1.0, -4.0, 2.0, 1.0, 7.0, kind="fire stair")
    found = reach(box(window("w", "south", 2.3, 6.5), standings=(stair,)), COMMERCIAL_US)["w"]
    assert found.reachable is True
    assert found.row == "US-ACC-02"
    behind = roof("stair", 1.0, 4.0, 2.0, 1.0, 7.0, kind="fire stair")
    assert reach(box(window("w", "south", 2.3, 6.5), standings=(behind,)), COMMERCIAL_US)["w"].reachable is False
