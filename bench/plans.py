"""Plans for measuring and testing, drawn from their description: no building anybody lives in."""

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, box, contains_xy, unary_union


def ten_space_house() -> Polygon:
    """Free space of a house of ten spaces, 14 x 9 m inside, walls 0.10 m, doors 0.9 m, one pillar. [m]"""
    half = 0.05

    def across(y: float, x0: float, x1: float, doors: tuple[float, ...]) -> Polygon:
        gaps = unary_union([box(d - 0.45, y - 1.0, d + 0.45, y + 1.0) for d in doors])
        return box(x0 - half, y - half, x1 + half, y + half).difference(gaps)

    walls = [across(4.0, 0.0, 10.0, (1.8, 5.0, 8.3)), across(5.2, 0.0, 14.0, (1.5, 4.6, 7.2, 9.4, 12.4))]
    walls += [box(x - half, 0.0, x + half, 4.0) for x in (3.6, 7.0, 10.0)]
    walls += [box(x - half, 5.2, x + half, 9.0) for x in (3.0, 6.2, 8.2, 10.6)]
    walls.append(box(4.9, 6.9, 5.2, 7.2))
    return box(0.0, 0.0, 14.0, 9.0).difference(unary_union(walls))


def star_2000() -> Polygon:
    """A star of 2 000 corners: sorted uniform angles, radius uniform in 5 to 10 m, seed 1. [m]"""
    rng = np.random.default_rng(1)
    angle = np.sort(rng.uniform(0.0, 2.0 * np.pi, 2000))
    radius = rng.uniform(5.0, 10.0, 2000)
    return Polygon(np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]))


def points_inside(shape: Polygon, count: int, seed: int = 7) -> NDArray[np.float64]:
    """Points uniform in the bounding box, those outside rejected, from the PCG64 generator. [m]"""
    rng = np.random.Generator(np.random.PCG64(seed))
    x0, y0, x1, y1 = shape.bounds
    found: list[tuple[float, float]] = []
    while len(found) < count:
        x, y = rng.uniform(x0, x1), rng.uniform(y0, y1)
        if contains_xy(shape, x, y):
            found.append((x, y))
    return np.array(found)
