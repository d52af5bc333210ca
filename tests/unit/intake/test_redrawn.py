"""Rooms, sides and outside walls follow what is drawn by hand."""

import math

import pytest

from wardwright.errors import GeometryError
from wardwright.intake.redrawn import redrawn
from wardwright.intake.walled import walled
from wardwright.premises.fabric import Storey
from wardwright.premises.life import Target
from wardwright.premises.model import Premises
from wardwright.premises.openings import OnWall, Opening, OpeningKind

EMPTY = Premises(name="drawn", storeys=(Storey(id="g", name="Ground floor", elevation_m=0.0, height_m=2.5),))
ROOM = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))
BESIDE = ((4.0, 0.0), (7.0, 0.0), (7.0, 3.0), (4.0, 3.0))


def drawn(premises: Premises, ring: tuple[tuple[float, float], ...], *, inner: bool = False) -> Premises:
    new = walled(premises, "g", ring, closed=True, thickness_m=0.2, inner=inner)
    return redrawn(premises, premises.model_copy(update={"walls": (*premises.walls, *new)}))


def area(ring: tuple[tuple[float, float], ...]) -> float:
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


def test_four_walls_make_a_room_of_their_inner_size() -> None:
    premises = drawn(EMPTY, ROOM)
    (room,) = premises.rooms
    assert room.name == "Room 1"
    assert area(room.outline) == pytest.approx(3.8 * 2.8, abs=1e-6)  # walls 0.2 m thick about a 4 m by 3 m line
    assert [w.outside for w in premises.walls] == [True] * 4


def test_a_room_taped_inside_keeps_its_taped_size() -> None:
    premises = drawn(EMPTY, ROOM, inner=True)
    assert area(premises.rooms[0].outline) == pytest.approx(12.0, abs=1e-6)


def test_a_second_room_shares_the_wall_between() -> None:
    premises = drawn(drawn(EMPTY, ROOM), BESIDE)
    assert len(premises.walls) == 7
    assert len(premises.rooms) == 2
    shared = [w for w in premises.walls if {w.axis[0], w.axis[-1]} == {(4.0, 0.0), (4.0, 3.0)}]
    assert [w.outside for w in shared] == [False]


def with_opening(premises: Premises, wall: int, offset: float, width: float, kind: OpeningKind, key: str) -> Premises:
    opening = Opening(
        id=key,
        name=key,
        kind=kind,
        place=OnWall(wall_id=premises.walls[wall].id, offset_m=offset),
        width_m=width,
        height_m=2.0,
        sill_m=0.0,
    )
    return redrawn(premises, premises.model_copy(update={"openings": (*premises.openings, opening)}))


def test_sides_of_a_door_are_found_and_the_first_outside_door_is_the_way_out() -> None:
    two = drawn(drawn(EMPTY, ROOM), BESIDE)
    first, second = (r.id for r in two.rooms)
    between = next(n for n, w in enumerate(two.walls) if {w.axis[0], w.axis[-1]} == {(4.0, 0.0), (4.0, 3.0)})
    inner = with_opening(two, between, 1.5, 0.9, OpeningKind.DOOR, "inner")
    assert set(inner.opening("inner").sides) == {first, second}
    assert not inner.opening("inner").final_exit
    outer = with_opening(inner, 0, 2.0, 0.9, OpeningKind.DOOR, "front")
    assert "outside" in outer.opening("front").sides
    assert outer.opening("front").final_exit
    assert len(outer.rooms) == 2


def test_taking_the_wall_between_away_makes_one_room_and_keeps_the_larger_ones_name_and_all_that_stood_in_it() -> None:
    two = drawn(drawn(EMPTY, ROOM), BESIDE)
    large, small = two.rooms if area(two.rooms[0].outline) > area(two.rooms[1].outline) else two.rooms[::-1]
    named = two.model_copy(
        update={
            "rooms": tuple(r.model_copy(update={"name": "Kitchen"}) if r is large else r for r in two.rooms),
            "targets": (Target(id="t", name="Safe", room_id=small.id, position=(6.0, 1.0)),),
        }
    )
    left = tuple(w for w in named.walls if {w.axis[0], w.axis[-1]} != {(4.0, 0.0), (4.0, 3.0)})
    one = redrawn(named, named.model_copy(update={"walls": left}))
    (room,) = one.rooms
    assert room.name == "Kitchen"
    assert one.targets[0].room_id == room.id
    assert area(room.outline) == pytest.approx(6.8 * 2.8, abs=1e-6)


def test_moving_a_wall_changes_the_room_and_not_who_it_is() -> None:
    premises = drawn(EMPTY, ROOM)
    moved = {(4.0, 0.0): (5.0, 0.0), (4.0, 3.0): (5.0, 3.0)}
    walls = tuple(w.model_copy(update={"axis": tuple(moved.get(p, p) for p in w.axis)}) for w in premises.walls)
    after = redrawn(premises, premises.model_copy(update={"walls": walls}))
    assert [r.id for r in after.rooms] == [r.id for r in premises.rooms]
    assert area(after.rooms[0].outline) == pytest.approx(4.8 * 2.8, abs=1e-6)


def test_an_opening_slides_back_onto_a_wall_made_shorter_and_one_too_wide_is_refused_in_words() -> None:
    premises = with_opening(drawn(EMPTY, ROOM), 0, 3.4, 1.0, OpeningKind.WINDOW, "w")
    wall = premises.walls[0]

    def shortened(length: float) -> Premises:
        axis = (wall.axis[0], (wall.axis[0][0] + length, wall.axis[0][1]))
        assert math.isclose(wall.axis[0][1], wall.axis[-1][1])
        walls = (wall.model_copy(update={"axis": axis}), *premises.walls[1:])
        return redrawn(premises, premises.model_copy(update={"walls": walls}))

    place = shortened(3.0).opening("w").place
    assert place.kind == "wall"
    assert place.offset_m == pytest.approx(2.5)
    with pytest.raises(GeometryError, match="remove it first"):
        shortened(0.8)
