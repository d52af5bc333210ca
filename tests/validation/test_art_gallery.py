"""Fewest corners that see a floor, against theorems and an independent computation.

The independent one shares nothing with ours: visibility polygons by an exact-arithmetic library (pyvispoly), unions by
shapely, the choice by trying every one, or for larger plans by a second solver. Theorems, all from memory:
[CHVATAL-1975] n/3 corners always do, and combs need that many; [OROURKE-1987] n/4 for right-angled plans, (n + 2h)/3
with h holes; [LEE-PREPARATA-1979] the points that see all of a plan: where the half-planes left of its edges meet.
"""

import json
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
import shapely
from bench.polygons import comb, corridors, star
from ortools.sat.python import cp_model
from pyvispoly import FieldNumber, Point, PolygonWithHoles, VisibilityPolygonCalculator
from pyvispoly import Polygon as ExactPolygon
from shapely import Polygon

from wardwright.placement.gallery import fewest_corners


def exact_views(plan: Polygon) -> list[Polygon]:
    """What each corner sees, computed in exact arithmetic."""

    def ring(coords: object) -> ExactPolygon:
        return ExactPolygon([Point(FieldNumber(x), FieldNumber(y)) for x, y in list(coords)[:-1]])  # type: ignore[call-overload]

    plan = shapely.orient_polygons(plan)
    calculator = VisibilityPolygonCalculator(
        PolygonWithHoles(ring(plan.exterior.coords), [ring(hole.coords) for hole in plan.interiors])
    )
    views = []
    for part in (plan.exterior, *plan.interiors):
        for x, y in list(part.coords)[:-1]:
            seen = calculator.compute_visibility_polygon(Point(FieldNumber(x), FieldNumber(y)))
            views.append(shapely.make_valid(Polygon([(float(p.x()), float(p.y())) for p in seen.boundary()])))
    return views


def unseen(plan: Polygon, views: list[Polygon]) -> shapely.Geometry:
    return shapely.difference(plan, shapely.union_all(views, grid_size=1e-8), grid_size=1e-8)


def by_trying_every_choice(plan: Polygon) -> int:
    views = exact_views(plan)
    for many in range(1, len(views) + 1):
        for chosen in combinations(views, many):
            if sum(v.area for v in chosen) >= plan.area * 0.999 and unseen(plan, list(chosen)).area < 1e-6:
                return many
    raise AssertionError("the corners together see every simple plan")


def by_second_solver(plan: Polygon) -> int:
    views = exact_views(plan)
    points = [shapely.Point(p.centroid) for p in shapely.get_parts(shapely.constrained_delaunay_triangles(plan))]
    while True:
        model = cp_model.CpModel()
        x = [model.new_bool_var(str(j)) for j in range(len(views))]
        for point in points:
            model.add_bool_or([x[j] for j, view in enumerate(views) if view.distance(point) < 1e-9])
        model.minimize(sum(x))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 3
        solver.parameters.max_time_in_seconds = 60.0
        assert solver.solve(model) == cp_model.OPTIMAL
        left = unseen(plan, [views[j] for j in range(len(views)) if solver.value(x[j])])
        if left.area < 1e-6:
            return round(solver.objective_value)
        triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(left))
        points += [t.centroid for t in triangles if t.area / t.length > 1e-6]


def all_seen(plan: Polygon, corners: tuple[tuple[float, float], ...]) -> bool:
    """Whether the corners found see everything, by the exact views."""
    plan = shapely.orient_polygons(plan)
    places = [c for ring in (plan.exterior, *plan.interiors) for c in list(ring.coords)[:-1]]
    chosen = [view for place, view in zip(places, exact_views(plan), strict=True) if place in corners]
    return len(chosen) == len(corners) and unseen(plan, chosen).area < 1e-5


def offices(shared_premises: Path) -> list[tuple[str, Polygon]]:
    plans = json.loads((shared_premises / "plans-50.json").read_text(encoding="utf-8"))["plans"]
    return [(p["id"], Polygon(p["outline"], p.get("holes", []))) for p in plans if p["source"] == "office-like"]


@pytest.mark.parametrize("teeth", range(1, 9))
def test_combs_need_a_third_of_their_corners(teeth: int) -> None:
    plan = comb(teeth)
    assert len(plan.exterior.coords) - 1 == 3 * teeth + 1
    found = fewest_corners(plan)
    assert found.proved
    assert len(found.corners) == (3 * teeth + 1) // 3


@pytest.mark.parametrize("seed", range(12))
def test_small_plans_by_trying_every_choice(seed: int) -> None:
    for plan in (corridors(12, seed), star(11, seed)):
        found = fewest_corners(plan)
        assert found.proved
        assert len(found.corners) == by_trying_every_choice(plan)


@pytest.mark.parametrize("seed", range(6))
def test_generated_plans_by_a_second_solver(seed: int) -> None:
    for plan in (corridors(60, seed), star(40, seed)):
        found = fewest_corners(plan)
        corners = len(plan.exterior.coords) - 1
        assert found.proved
        assert len(found.corners) <= corners // 3
        assert len(found.corners) == by_second_solver(plan)
        assert all_seen(plan, found.corners)


@pytest.mark.parametrize("seed", range(40))
def test_one_corner_does_where_and_only_where_a_corner_sees_all(seed: int) -> None:
    """One free point sees a star by its making; the corners need one exactly where a corner lies in the kernel."""
    plan = star(5 + seed % 8, seed)
    ring = np.array(plan.exterior.coords)
    along = np.diff(ring, axis=0)
    left = [
        all(dx * (y - ay) - dy * (x - ax) >= -1e-9 for (ax, ay), (dx, dy) in zip(ring[:-1], along, strict=True))
        for x, y in ring[:-1]
    ]
    found = fewest_corners(plan)
    assert found.proved
    assert len(found.corners) >= 1
    assert (len(found.corners) == 1) == any(left)


@pytest.mark.real
def test_office_plans(shared_premises: Path) -> None:
    plans = offices(shared_premises)
    assert len(plans) == 44
    for name, plan in plans:
        found = fewest_corners(plan)
        corners = sum(len(ring.coords) - 1 for ring in (plan.exterior, *plan.interiors))
        most = corners // 4 if not plan.interiors else (corners + 2 * len(plan.interiors)) // 3
        assert found.proved, name
        assert len(found.corners) <= most, name
        assert len(found.corners) <= corners // 3, name


@pytest.mark.real
def test_office_plans_by_a_second_solver(shared_premises: Path) -> None:
    for name, plan in [*offices(shared_premises)[::4]]:
        found = fewest_corners(plan)
        assert all_seen(plan, found.corners), name
        assert len(found.corners) == by_second_solver(plan), name
