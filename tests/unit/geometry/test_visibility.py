"""Sight at the odd places: edges, corners, outside, narrow and wide fields, arcs."""

import math

import numpy as np
import pytest
from shapely import MultiPolygon, Point, Polygon, box

from wardwright.errors import GeometryError
from wardwright.geometry.visibility import Scene, sees, visible

L_ROOM = Polygon([(0, 0), (6, 0), (6, 3), (3, 3), (3, 6), (0, 6)])
RING = box(0, 0, 10, 10).difference(box(4, 4, 6, 6))


@pytest.mark.parametrize(
    ("point", "area"),
    [
        ((1.0, 1.0), 27.0),  # sees both arms whole
        ((0.0, 0.0), 27.0),  # in the corner
        ((3.0, 3.0), 27.0),  # at the reflex corner itself
        ((0.0, 2.0), 27.0),  # on the wall: the ray past the reflex corner rises above the arm
        ((6.0, 3.0), 18.0),  # a far corner sees its arm only
        ((2.0, 3.0), 27.0),
        ((-0.1, 1.0), 0.0),  # outside
        ((4.0, 4.0), 0.0),
        ((50.0, 1.0), 0.0),
    ],
)
def test_area_by_hand(point: tuple[float, float], area: float) -> None:
    assert visible(Scene.from_polygon(L_ROOM), point).area == pytest.approx(area, abs=1e-9)


def test_a_point_behind_the_corner_loses_a_triangle() -> None:
    # From (1, 5) the ray past (3, 3) falls at 45 degrees and meets y = 0 at x = 6: the arm above that line is hidden.
    assert visible(Scene.from_polygon(L_ROOM), (1.0, 5.0)).area == pytest.approx(27.0 - 4.5)


def test_range_and_field_in_an_open_room() -> None:
    scene = Scene.from_polygon(box(-10, -10, 10, 10))
    assert visible(scene, (0, 0), reach=3).area == pytest.approx(math.pi * 9)
    assert visible(scene, (0, 0), reach=3, heading=0.7, field=math.radians(90)).area == pytest.approx(math.pi * 9 / 4)
    assert visible(scene, (0, 0), reach=3, heading=0.7, field=math.radians(270)).area == pytest.approx(math.pi * 27 / 4)
    assert visible(scene, (-10, 0), reach=3, heading=0.0, field=math.pi).area == pytest.approx(math.pi * 4.5)
    assert visible(scene, (-10, -10), reach=3).area == pytest.approx(math.pi * 9 / 4)
    drawn = visible(scene, (0, 0), reach=3).polygon()
    assert drawn.is_valid
    assert math.pi * 9 * 0.998 < drawn.area < math.pi * 9


@pytest.mark.parametrize("field_deg", [20, 90, 179, 180, 181, 240, 359])
def test_parts_of_the_circle_add_up(field_deg: float) -> None:
    scene = Scene.from_polygon(RING)
    field = math.radians(field_deg)
    for point in ((1.3, 2.7), (4.0, 2.0), (4.0, 4.0), (5.0, 4.0), (0.0, 5.0)):
        for heading in (0.0, 1.0, 3.0, -2.0):
            one = visible(scene, point, reach=6, heading=heading, field=field)
            other = visible(scene, point, reach=6, heading=heading + math.pi, field=2 * math.pi - field)
            assert one.area + other.area == pytest.approx(visible(scene, point, reach=6).area)
            assert one.polygon(0.001).area == pytest.approx(one.area, rel=1e-4)


def test_drawn_outline_matches_area_at_edges_and_corners() -> None:
    scene = Scene.from_polygon(RING)
    for point in ((4.0, 4.0), (6.0, 5.0), (0.0, 0.0), (10.0, 5.0), (5.0, 4.0 + 1e-12)):
        view = visible(scene, point)
        shape = view.polygon()
        assert shape.is_valid
        assert shape.area == pytest.approx(view.area)
        assert RING.buffer(1e-6).covers(shape)


def test_membership_agrees_with_the_outline() -> None:
    scene = Scene.from_polygon(RING)
    view = visible(scene, (1.0, 5.0), reach=7, heading=0.3, field=math.radians(200))
    shape = view.polygon(0.0005)
    rng = np.random.default_rng(5)
    x, y = rng.uniform(0, 10, (2, 2000))
    far = np.array([shape.boundary.distance(Point(p)) > 1e-3 for p in zip(x, y, strict=True)])
    inside = np.array([shape.covers(Point(p)) for p in zip(x, y, strict=True)])
    assert (view.contains(x, y) == inside)[far].all()
    assert inside.sum() > 500


def test_sees_along_walls_and_past_corners() -> None:
    scene = Scene.from_polygon(RING)
    assert sees(scene, (0, 4), (10, 4))  # along the pillar's face
    assert sees(scene, (2, 6), (6, 2))  # touching its corner
    assert not sees(scene, (2, 7), (7, 3))  # through it
    assert sees(scene, (2, 8), (8, 8))
    assert sees(scene, (4, 4), (6, 4))  # from corner to corner of one face
    assert not sees(scene, (4, 4), (6, 6))  # through it, corner to corner
    assert not sees(scene, (5, 5), (1, 1))  # inside the pillar
    assert not sees(scene, (1, 1), (11, 1))
    assert sees(scene, (2, 2), (2, 2))


def test_two_separate_rooms() -> None:
    scene = Scene.from_polygon(MultiPolygon([box(0, 0, 2, 2), box(3, 0, 5, 2)]))
    assert visible(scene, (1, 1)).area == pytest.approx(4.0)
    assert not sees(scene, (1, 1), (4, 1))


def test_what_cannot_be_a_scene() -> None:
    with pytest.raises(GeometryError, match="empty"):
        Scene.from_polygon(Polygon())
    with pytest.raises(GeometryError, match="proper shape"):
        Scene.from_polygon(Polygon([(0, 0), (3, 3), (3, 0), (0, 2)]))
    scene = Scene.from_polygon(box(0, 0, 1, 1))
    with pytest.raises(GeometryError, match="range"):
        visible(scene, (0.5, 0.5), reach=0.0)
    with pytest.raises(GeometryError, match="field of view"):
        visible(scene, (0.5, 0.5), field=1.0)
