"""Sight and the hazard field: visibility polygons against two others in the same run, detectors cold and warm."""

import itertools
import math
import os
import tempfile

import numpy as np
from bench.plans import points_inside, ten_space_house, twelve_detectors
from bench.table import Row, best_of
from pyvispoly import FieldNumber, Point, PolygonWithHoles, VisibilityPolygonCalculator
from pyvispoly import Polygon as ExactPolygon
from shapely import Point as Spot
from shapely import Polygon, get_parts, unary_union

from wardwright.analyses import field_store
from wardwright.analyses.coverage import coverage_map, hazard_fields
from wardwright.analyses.mode import Mode
from wardwright.geometry.visibility import Scene, visible

FAR = 100.0


def by_shadows(shape: Polygon, x: float, y: float) -> float:
    """Area in sight by taking every wall's shadow off the plan."""
    shadows = []
    for ring in (shape.exterior, *shape.interiors):
        corners = np.array(ring.coords)
        for a, b in itertools.pairwise(corners):
            da, db = a - (x, y), b - (x, y)
            if abs(da[0] * db[1] - da[1] * db[0]) < 1e-12:
                continue
            far_a, far_b = a + da / math.hypot(*da) * FAR, b + db / math.hypot(*db) * FAR
            middle = (da + db) / math.hypot(*(da + db)) * FAR * 2.0 + (x, y)
            shadows.append(Polygon([a, far_a, middle, far_b, b]))
    seen = shape.difference(unary_union([s for s in shadows if s.is_valid]))
    return float(min(get_parts(seen), key=lambda part: part.distance(Spot(x, y))).area)


def rows() -> list[Row]:
    """Measure."""
    house = ten_space_house()
    scene = Scene.from_polygon(house)
    queries = [tuple(p) for p in points_inside(house, 1000).tolist()]

    def ring(coords) -> ExactPolygon:  # type: ignore[no-untyped-def]
        return ExactPolygon([Point(FieldNumber(x), FieldNumber(y)) for x, y in list(coords)[:-1]])

    plan = house.normalize()
    exact = VisibilityPolygonCalculator(
        PolygonWithHoles(ring(plan.exterior.coords[::-1]), [ring(h.coords[::-1]) for h in plan.interiors])
    )

    def ours() -> list[float]:
        return [visible(scene, q).area for q in queries]

    def outside(count: int) -> list[float]:
        points = [Point(FieldNumber(x), FieldNumber(y)) for x, y in queries[:count]]
        return [float(exact.compute_visibility_polygon(p).area()) for p in points]

    areas = ours()
    assert np.allclose(areas[:50], outside(50), rtol=1e-9), "areas differ from the exact library's"
    assert np.allclose(areas[:5], [by_shadows(house, *q) for q in queries[:5]], rtol=1e-6), "areas differ from shadows'"
    mine = best_of(3, ours) / len(queries)
    theirs = best_of(2, lambda: outside(200)) / 200
    shadows = best_of(2, lambda: [by_shadows(house, *q) for q in queries[:10]]) / 10
    limited = best_of(3, lambda: [visible(scene, q, reach=6.0, heading=0.5, field=1.6).area for q in queries]) / 1000

    with tempfile.TemporaryDirectory() as folder:
        before = os.environ.get("XDG_CACHE_HOME")
        os.environ["XDG_CACHE_HOME"] = folder
        field_store.forget()
        scheme = twelve_detectors()
        cold = best_of(1, lambda: hazard_fields(scheme, Mode.AWAY))
        field_store.forget()
        disk = best_of(1, lambda: hazard_fields(scheme, Mode.AWAY))
        warm = best_of(3, lambda: hazard_fields(scheme, Mode.AWAY))
        drawn = best_of(3, lambda: coverage_map(scheme, Mode.AWAY))
        if before is None:
            del os.environ["XDG_CACHE_HOME"]
        else:
            os.environ["XDG_CACHE_HOME"] = before
        field_store.forget()

    return [
        Row("visibility polygon, 78-edge house", f"{mine * 1e6:.1f} µs", f"exact library {theirs * 1e6:.0f} µs",
            f"{theirs / mine:.1f} x", "<= 25 µs"),
        Row("the same", f"{1 / mine:,.0f} a second", f"shapely shadows {shadows * 1e6:,.0f} µs",
            f"{shadows / mine:.0f} x", ">= 50 x"),
        Row("the same, 6 m and 92 degrees", f"{limited * 1e6:.1f} µs"),
        Row("hazard field, 12 detectors, 16 headings, 3 speeds: nothing kept", f"{cold:.2f} s"),
        Row("the same, kept on disk", f"{disk * 1e3:.0f} ms", aim="< 500 ms"),
        Row("the same, kept in memory", f"{warm * 1e3:.0f} ms", aim="< 500 ms"),
        Row("coverage map from it", f"{drawn * 1e3:.0f} ms"),
    ]  # fmt: skip
