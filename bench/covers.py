"""Covering problems of 2 000 candidates by 5 000 witnesses against a second solver; polygons; what p devices cover.

The buildings are those of the description in ``bench.plans`` and two more made here; candidates stand evenly along all
walls, with eight headings where the field is 90 degrees. All invented.
"""

import math
import time

import numpy as np
from bench.plans import ten_space_house
from bench.polygons import corridors, star
from bench.table import Row
from ortools.sat.python import cp_model
from scipy import sparse
from shapely import Polygon, box, contains_xy, unary_union

from wardwright.geometry.visibility import Scene, visible
from wardwright.placement.budget import solve_budget
from wardwright.placement.covering import solve_cover
from wardwright.placement.gallery import fewest_corners

LIMIT_S = 30.0
CANDIDATES = 2000


def small_offices() -> Polygon:
    """40 by 25 m: 24 rooms in four rows along two corridors, 12 columns. [m]"""
    walls = []
    for y, side in ((5.0, 1), (7.0, -1), (18.0, 1), (20.0, -1)):
        gaps = unary_union([box(x + 3.0, y - 1.0, x + 3.9, y + 1.0) for x in np.arange(6) * 40.0 / 6.0])
        walls.append(box(0.0, y - 0.05, 40.0, y + 0.05).difference(gaps))
        low, high = {5.0: (0.0, 5.0), 7.0: (7.0, 12.5), 18.0: (12.5, 18.0), 20.0: (20.0, 25.0)}[y]
        walls += [box(x - 0.05, low, x + 0.05, high) for x in np.arange(1, 6) * 40.0 / 6.0]
        walls += [box(x + side, low + 2.0, x + side + 0.4, low + 2.4) for x in (8.0, 21.0, 35.0)]
    walls.append(box(0.0, 12.45, 19.5, 12.55))
    walls.append(box(20.5, 12.45, 40.0, 12.55))
    return box(0.0, 0.0, 40.0, 25.0).difference(unary_union(walls))


def hall() -> Polygon:
    """30 by 30 m with 24 racks of 3.2 by 1.2 m. [m]"""
    racks = [box(3.0 + 7.0 * i, 2.5 + 4.4 * j, 6.2 + 7.0 * i, 3.7 + 4.4 * j) for i in range(4) for j in range(6)]
    return box(0.0, 0.0, 30.0, 30.0).difference(unary_union(racks))


def cover_of(shape: Polygon, reach: float, field_deg: float, witnesses: int = 5000) -> sparse.csr_array:
    """Witnesses on a grid over the floor by candidates along the walls; witnesses nobody sees are left out."""
    headings = 1 if field_deg >= 360.0 else 8
    rings = [shape.exterior, *shape.interiors]
    step = sum(ring.length for ring in rings) / (CANDIDATES // headings)
    places = [ring.interpolate(d).coords[0] for ring in rings for d in np.arange(step / 2.0, ring.length, step)]
    spacing = math.sqrt(shape.area / witnesses)
    x0, y0, x1, y1 = shape.bounds
    gx, gy = np.meshgrid(np.arange(x0 + spacing / 2.0, x1, spacing), np.arange(y0 + spacing / 2.0, y1, spacing))
    inside = contains_xy(shape, gx.ravel(), gy.ravel())
    x, y = gx.ravel()[inside], gy.ravel()[inside]
    scene = Scene.from_polygon(shape)
    columns = []
    for place in places:
        for k in range(headings):
            whole = headings == 1
            view = visible(
                scene, place, reach=reach, heading=None if whole else k * math.pi / 4.0,
                field=None if whole else math.radians(field_deg),
            )  # fmt: skip
            columns.append(view.contains(x, y))
    seen = sparse.csr_array(np.array(columns).T.astype(float))
    return sparse.csr_array(seen[np.asarray(seen.sum(axis=1)) > 0.0])


def second_solver(rows: sparse.csr_array, seconds: float) -> tuple[int, int, float]:
    """Best cover, bound and time of constraint programming with three workers, on the problem as it stands."""
    model = cp_model.CpModel()
    x = [model.new_bool_var("") for _ in range(rows.shape[1])]
    for i in range(rows.shape[0]):
        model.add_bool_or([x[j] for j in rows.indices[rows.indptr[i] : rows.indptr[i + 1]]])
    model.minimize(sum(x))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 3
    solver.parameters.max_time_in_seconds = seconds
    begin = time.perf_counter()
    solver.solve(model)
    return round(solver.objective_value), math.ceil(solver.best_objective_bound - 1e-6), time.perf_counter() - begin


def cover_rows_of_table() -> list[Row]:
    """Covers of rooms and of open halls, ours on one thread against the second solver on three workers."""
    found = []
    for name, shape, reach, field in (
        ("house of ten spaces, 90 degrees", ten_space_house(), 12.0, 90.0),
        ("24 offices, 90 degrees", small_offices(), 12.0, 90.0),
        ("24 offices, 360 degrees, 8 m", small_offices(), 8.0, 360.0),
        ("hall with racks, 360 degrees, 8 m", hall(), 8.0, 360.0),
        ("hall with racks, 90 degrees", hall(), 12.0, 90.0),
    ):
        rows = cover_of(shape, reach, field)
        begin = time.perf_counter()
        ours = solve_cover(np.ones(rows.shape[1]), rows, time_limit_s=LIMIT_S)
        taken = time.perf_counter() - begin
        best, bound, theirs = second_solver(rows, LIMIT_S)
        if ours.proved and best == bound:
            assert ours.cost == best, "the two solvers prove different optima"
        said = f"proved {ours.cost:.0f}" if ours.proved else f"{ours.cost:.0f}, at least {ours.bound:.0f}"
        other = f"proved {best}" if best == bound else f"{best}, at least {bound}"
        found.append(
            Row(
                f"cover {rows.shape[1]} x {rows.shape[0]}: {name}",
                f"{said}, {taken:.1f} s",
                f"{other}, {theirs:.1f} s",
                f"{theirs / taken:.1f} x" if ours.proved else f"gap {100.0 * ours.gap:.0f} %",
                "gap under 10 % in 30 s" if "hall" in name else "under 3 s",
            )
        )
    return found


def polygon_rows() -> list[Row]:
    """Fewest corners that see a floor."""
    proved, total, at_500 = 0, 0, []
    for corners in (40, 100, 200, 300, 400, 500, 600):
        for seed in range(4):
            for grown in (corridors, star):
                begin = time.perf_counter()
                result = fewest_corners(grown(corners, seed), time_limit_s=60.0)
                if corners == 500 and grown is corridors:
                    at_500.append(time.perf_counter() - begin)
                total += 1
                proved += result.proved
    return [
        Row("fewest corners, polygons of 40 to 600 corners: proved in 60 s", f"{proved} of {total}", aim="all"),
        Row("the same, corridors of 500 corners, mean", f"{np.mean(at_500):.2f} s", aim="<= 1 s"),
    ]


def budget_rows() -> list[Row]:
    """The best cover with p devices: the greedy choice with exchanges, and after branch and cut."""
    rows = cover_of(ten_space_house(), 12.0, 90.0)
    ones, found = np.ones(rows.shape[1]), []
    for p in (4, 8, 12):
        begin = time.perf_counter()
        first = solve_budget(ones, rows, p, time_limit_s=0.01)
        taken = time.perf_counter() - begin
        best = solve_budget(ones, rows, p, time_limit_s=LIMIT_S, start=first.chosen)
        share, full = 100.0 * first.value / rows.shape[0], 100.0 * best.value / rows.shape[0]
        found.append(
            Row(
                f"best cover with {p} devices, house of ten spaces",
                f"{share:.2f} % in {taken:.1f} s",
                f"{full:.2f} %, at most {100.0 * best.bound / rows.shape[0]:.2f} %, after {LIMIT_S:.0f} s",
                f"{full - share:.2f} points",
                "1 point in 1 s",
            )
        )
    return found


def rows() -> list[Row]:
    """Measure."""
    return [*cover_rows_of_table(), *polygon_rows(), *budget_rows()]
