"""Rooms from walls, walls from rooms, axes from bodies: against areas worked out by hand."""

import math

import pytest
import shapely
from shapely import Point, Polygon, affinity, box

from wardwright.intake.draft import DraftOpening, DraftRoom, DraftWall
from wardwright.intake.rooms_from_walls import rooms_from_walls
from wardwright.intake.wall_axes import wall_axes
from wardwright.intake.walls_from_rooms import walls_from_rooms
from wardwright.model import XY
from wardwright.premises.openings import OpeningKind


def wall(key: str, a: XY, b: XY, thickness: float = 0.3, storey: str = "s") -> DraftWall:
    return DraftWall(key, storey, (a, b), thickness)


def shell(storey: str = "s") -> list[DraftWall]:
    """8 m × 6 m on the axes, walls 0.3 m: 7.7 m × 5.7 m inside."""
    corners = [(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)]
    return [wall(f"w{k}", corners[k], corners[(k + 1) % 4], storey=storey) for k in range(4)]


def areas(rooms: tuple[DraftRoom, ...]) -> list[float]:
    return [Polygon(r.outline, r.holes).area for r in rooms]


def door(x: float, y: float, width: float | None = 0.9, along: float | None = None) -> DraftOpening:
    return DraftOpening("d", "s", "door", OpeningKind.DOOR, (x, y), along, width)


def test_one_room_between_four_walls() -> None:
    assert areas(rooms_from_walls(shell(), [])) == pytest.approx([7.7 * 5.7])


def test_a_door_closes_the_gap_it_stands_in() -> None:
    partition = [wall("a", (4, 0), (4, 2), 0.1), wall("b", (4, 2.9), (4, 6), 0.1)]
    assert areas(rooms_from_walls([*shell(), *partition], [])) == pytest.approx([7.7 * 5.7 - 0.1 * (5.7 - 0.9)])
    halves = areas(rooms_from_walls([*shell(), *partition], [door(4, 2.45)]))
    assert halves == pytest.approx([3.8 * 5.7, 3.8 * 5.7])
    unsized = areas(rooms_from_walls([*shell(), *partition], [door(4, 2.45, None)]))
    assert unsized == pytest.approx(halves)


@pytest.mark.parametrize("short", [0.02, 0.05, 0.3])
def test_small_drafting_gaps_are_bridged(short: float) -> None:
    partition = wall("p", (4, 0), (4, 5.85 - short), 0.1)
    rooms = areas(rooms_from_walls([*shell(), partition], []))
    assert rooms == pytest.approx([3.8 * 5.7, 3.8 * 5.7], rel=0.01)


def test_overlapping_bodies_and_a_column() -> None:
    bodies = [
        ((-0.15, -0.15), (8.15, -0.15), (8.15, 0.15), (-0.15, 0.15)),
        ((-0.15, -0.15), (0.15, -0.15), (0.15, 6.15), (-0.15, 6.15)),
    ]
    bodies += [
        ((7.85, -0.15), (8.15, -0.15), (8.15, 6.15), (7.85, 6.15)),
        ((-0.15, 5.85), (8.15, 5.85), (8.15, 6.15), (-0.15, 6.15)),
    ]
    bodies.append(((3.0, 3.0), (3.4, 3.0), (3.4, 3.4), (3.0, 3.4)))
    walls = [DraftWall(f"b{k}", "s", body=b) for k, b in enumerate(bodies)]
    (room,) = rooms_from_walls(walls, [])
    assert Polygon(room.outline, room.holes).area == pytest.approx(7.7 * 5.7 - 0.16)
    assert len(room.holes) == 1


def test_storeys_are_kept_apart_and_nothing_closed_is_nothing() -> None:
    rooms = rooms_from_walls([*shell("g"), *shell("u")], [])
    assert sorted(r.storey_key for r in rooms) == ["g", "u"]
    assert rooms_from_walls(shell()[:3], []) == ()
    assert rooms_from_walls([], []) == ()
    assert rooms_from_walls([wall("point", (1, 1), (1, 1))], []) == ()


def test_a_cavity_is_no_room() -> None:
    outer = box(-0.5, -0.5, 8.5, 6.5).difference(box(-0.35, -0.35, 8.35, 6.35))
    leaf = [DraftWall(f"o{k}", "s", a.points, a.thickness) for k, a in enumerate(wall_axes(outer))]
    assert areas(rooms_from_walls([*shell(), *leaf], [])) == pytest.approx([7.7 * 5.7])


@pytest.mark.parametrize("turn", [0.0, 37.0, 90.0, 200.0])
def test_axes_of_a_solid_cover_it(turn: float) -> None:
    solid = shapely.union_all(
        [box(0, 0, 8, 6).difference(box(0.3, 0.3, 7.7, 5.7)), box(4, 0.3, 4.1, 5.7), box(4.1, 3, 7.7, 3.1)]
    )
    turned = affinity.translate(affinity.rotate(solid, turn, origin=(0, 0)), 500, -300)
    axes = wall_axes(turned)
    assert sorted(round(a.thickness, 3) for a in axes) == [0.1, 0.1, 0.3, 0.3, 0.3, 0.3]
    cover = shapely.union_all([a.body() for a in axes])
    assert turned.difference(cover).area < 0.01
    assert cover.difference(turned).area < 0.01


def test_a_curved_wall_is_one_axis() -> None:
    ring = Point(0, 0).buffer(3.0, quad_segs=12).difference(Point(0, 0).buffer(2.8, quad_segs=12))
    apse = shapely.union_all(
        [ring.intersection(box(-5, 0, 5, 5)), box(-3, -2, -2.8, 0), box(2.8, -2, 3, 0), box(-3, -2.2, 3, -2)]
    )
    axes = wall_axes(apse)
    longest = max(axes, key=lambda a: len(a.points))
    assert len(axes) == 4
    assert longest.thickness == pytest.approx(0.2, abs=0.005)
    assert longest.line.length == pytest.approx(math.pi * 2.9, rel=0.01)


def test_walls_round_rooms_give_the_rooms_back() -> None:
    gap = [
        DraftRoom("A", "s", "A", ((0, 0), (4, 0), (4, 3), (0, 3))),
        DraftRoom("B", "s", "B", ((4.1, 0), (8, 0), (8, 3), (4.1, 3))),
        DraftRoom("C", "s", "C", ((0, 3.1), (8, 3.1), (8, 6), (0, 6))),
    ]
    walls = walls_from_rooms(gap, [])
    assert all(w.assumed for w in walls)
    assert sorted(areas(rooms_from_walls(walls, []))) == pytest.approx([3.9 * 3, 12.0, 8 * 2.9])
    inner = [w for w in walls if w.outside is False]
    assert {round(w.thickness_m or 0, 3) for w in inner} == {0.1}
    outer = shapely.union_all([shapely.LineString(w.axis) for w in walls if w.outside])
    assert outer.length == pytest.approx(2 * (8.25 + 6.25), abs=1.5)  # each piece runs on into its neighbour


def test_shared_edges_become_inner_walls_once() -> None:
    rooms = [
        DraftRoom("A", "s", "A", ((0, 0), (4, 0), (4, 3), (0, 3))),
        DraftRoom("B", "s", "B", ((4, 0), (8, 0), (8, 3), (4, 3))),
    ]
    walls = walls_from_rooms(rooms, [])
    inner = [w for w in walls if w.outside is False]
    assert len(inner) == 1
    assert {p[0] for p in inner[0].axis} == {4.0}
    assert len(walls) == 7


def test_a_balcony_gets_no_wall_of_its_own() -> None:
    rooms = [
        DraftRoom("A", "s", "living", ((0, 0), (4, 0), (4, 3), (0, 3))),
        DraftRoom("B", "s", "balcony", ((4.2, 0), (6, 0), (6, 3), (4.2, 3)), indoors=False),
    ]
    walls = walls_from_rooms(rooms, [])
    assert len(walls) == 4
    between = next(w for w in walls if abs(w.axis[0][0] - w.axis[1][0]) < 1e-6 and w.axis[0][0] > 4)
    assert between.outside is True
    assert between.thickness_m == pytest.approx(0.2)


def test_an_opening_shows_that_a_very_thick_wall_is_one_wall() -> None:
    rooms = [
        DraftRoom("A", "s", "A", ((0, 0), (4, 0), (4, 3), (0, 3))),
        DraftRoom("B", "s", "B", ((4.9, 0), (8, 0), (8, 3), (4.9, 3))),
    ]
    assert not [w for w in walls_from_rooms(rooms, []) if w.outside is False]
    inner = [w for w in walls_from_rooms(rooms, [door(4.45, 1.5)]) if w.outside is False]
    assert [w.thickness_m for w in inner] == [pytest.approx(0.9)]
