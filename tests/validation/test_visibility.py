"""Areas in sight against independent libraries: values they gave for public plans, and one of them run here."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from bench.plans import points_inside, star_2000, ten_space_house
from pyvispoly import FieldNumber, Point, PolygonWithHoles, VisibilityPolygonCalculator
from pyvispoly import Polygon as ExactPolygon
from shapely import LineString, Polygon

from wardwright.geometry.visibility import Scene, sees, visible

LIBRARIES = "pyvispoly 0.3.1 and pysovist 0.3.0 (independent libraries)"
EXACT = "CGAL 5.5, exact kernel (independent library)"


def outside_area(shape: Polygon, point: tuple[float, float]) -> float:
    """Area in sight by an exact-arithmetic library."""

    def ring(coords) -> ExactPolygon:  # type: ignore[no-untyped-def]
        return ExactPolygon([Point(FieldNumber(x), FieldNumber(y)) for x, y in list(coords)[:-1]])

    oriented = shape.normalize()  # outer ring clockwise, holes anticlockwise
    plan = PolygonWithHoles(
        ring(oriented.exterior.coords[::-1]), [ring(hole.coords[::-1]) for hole in oriented.interiors]
    )
    calculator = VisibilityPolygonCalculator(plan)
    return float(calculator.compute_visibility_polygon(Point(FieldNumber(point[0]), FieldNumber(point[1]))).area())


@pytest.mark.real
def test_areas_of_44_public_plans(shared_premises: Path, check) -> None:
    plans = {p["id"]: p for p in json.loads((shared_premises / "plans-50.json").read_text())["plans"]}
    checks = json.loads((shared_premises / "plans-50-checks.json").read_text())["checks"]
    assert len(checks) == 44
    for row in checks:
        plan = plans[row["id"]]
        scene = Scene.from_polygon(Polygon(plan["outline"], plan["holes"]))
        point = tuple(row["point"])

        def compare(quantity: str, expected: float, actual: float) -> None:
            # the published figures carry six decimals
            allowed = max(1e-6 * expected, 5.1e-7)
            check(
                source=LIBRARIES, status="computed", quantity=quantity, expected=expected, actual=actual,
                tolerance=allowed,
            )  # fmt: skip

        compare("area in sight", row["visible_area"], visible(scene, point).area)
        compare("area in sight within 8", row["visible_area_range8"], visible(scene, point, reach=8.0).area)
        for heading, area in row["visible_area_range8_fov90"].items():
            view = visible(scene, point, reach=8.0, heading=math.radians(float(heading)), field=math.pi / 2)
            compare("area in sight within 8 and 90 degrees", area, view.area)


def test_house_of_ten_spaces(check) -> None:
    house = ten_space_house()
    scene = Scene.from_polygon(house)
    areas = [visible(scene, (x, y)).area for x, y in points_inside(house, 1000).tolist()]
    check(
        source=EXACT, status="computed", quantity="house: mean, first 200, least, most", tolerance=1e-6, relative=True,
        expected=[19.4502165, 19.1159691, 7.61185, 42.46499],
        actual=[float(np.mean(areas)), float(np.mean(areas[:200])), min(areas), max(areas)],
    )  # fmt: skip


def test_star_of_2000_corners(check) -> None:
    star = star_2000()
    scene = Scene.from_polygon(star)
    areas = [visible(scene, (x, y)).area for x, y in points_inside(star, 1000).tolist()]
    check(
        source=EXACT, status="computed", quantity="star: mean and first 10", tolerance=1e-8, relative=True,
        expected=[60.0326978, 54.4412825], actual=[float(np.mean(areas)), float(np.mean(areas[:10]))],
    )  # fmt: skip


def test_oblique_plans_with_holes_against_the_exact_library(check) -> None:
    rng = np.random.default_rng(20)
    for _ in range(12):
        angle = np.sort(rng.uniform(0.0, 2.0 * np.pi, 30))
        star = Polygon(np.column_stack([rng.uniform(3, 9, 30) * np.cos(angle), rng.uniform(3, 9, 30) * np.sin(angle)]))
        if not star.is_valid:
            star = star.buffer(0)
            if star.geom_type != "Polygon":
                continue
        for _ in range(3):
            x, y = points_inside(star, 1, seed=int(rng.integers(1 << 30)))[0]
            pillar = Polygon([(x + 0.2 * math.cos(a), y + 0.15 * math.sin(a)) for a in rng.uniform(0, 6.28, 3)])
            if pillar.is_valid and pillar.area > 1e-4 and star.contains(pillar.buffer(0.01)):
                cut = star.difference(pillar)
                star = cut if cut.geom_type == "Polygon" else star
        scene = Scene.from_polygon(star)
        for point in points_inside(star, 5, seed=3).tolist():
            check(
                source=LIBRARIES, status="computed", quantity="area in sight, oblique plans with holes",
                expected=outside_area(star, point), actual=visible(scene, point).area, tolerance=1e-9, relative=True,
            )  # fmt: skip


def test_who_sees_whom_agrees_with_lines_inside_the_plan() -> None:
    house = ten_space_house()
    scene = Scene.from_polygon(house)
    points = [tuple(p) for p in points_inside(house, 160, seed=11).tolist()]
    for a in points[:20]:
        inside = [house.covers(LineString([a, b])) for b in points]
        assert [sees(scene, a, b) for b in points] == inside
        assert [sees(scene, b, a) for b in points] == inside
        x, y = np.array(points).T
        assert visible(scene, a).contains(x, y).tolist() == inside
