"""Polygons for measuring and testing, grown from a seed: corridors in the manner of an office, stars, combs."""

import numpy as np
from shapely import Polygon, box, unary_union

Cell = tuple[int, int]
ASIDE = ((1, 0), (-1, 0), (0, 1), (0, -1))


def corridors(corners: int, seed: int) -> Polygon:
    """A simple polygon of square cells 2 m wide that never meet but side by side, of ``corners`` corners or a few more.

    The cells grow as a tree; their corners are then moved by up to 0.2 m so that no two walls are in line.
    """
    rng = np.random.default_rng(seed)
    cells: list[Cell] = [(0, 0)]
    taken = {(0, 0)}
    shape = box(0.0, 0.0, 2.0, 2.0)
    while True:
        x, y = cells[int(rng.integers(max(0, len(cells) - 40), len(cells)))]
        dx, dy = ASIDE[int(rng.integers(4))]
        new = (x + dx, y + dy)
        around = {(new[0] + i, new[1] + j) for i in (-1, 0, 1) for j in (-1, 0, 1)} & taken
        aside = {(new[0] + i, new[1] + j) for i, j in ASIDE} & taken
        if new in taken or aside != {(x, y)} or any(abs(i - x) + abs(j - y) > 1 for i, j in around):
            continue
        cells.append(new)
        taken.add(new)
        if len(cells) % 8 == 0 or len(cells) * 2 > corners:
            shape = unary_union([box(2.0 * i, 2.0 * j, 2.0 * i + 2.0, 2.0 * j + 2.0) for i, j in cells]).simplify(0.0)
            if len(shape.exterior.coords) - 1 >= corners:
                break
    ring = np.array(shape.exterior.coords[:-1])
    return Polygon(ring + rng.uniform(-0.2, 0.2, ring.shape))


def star(corners: int, seed: int) -> Polygon:
    """Seen whole from its middle: a corner on every ray, 2 to 10 m out. [m]"""
    rng = np.random.default_rng(seed)
    angle = 2.0 * np.pi * (np.arange(corners) + rng.uniform(0.0, 0.9, corners)) / corners
    radius = rng.uniform(2.0, 10.0, corners)
    return Polygon(np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]))


def comb(teeth: int) -> Polygon:
    """Three corners to each tooth, and no point looks down to the tips of two teeth. [m]"""
    ring = [(0.0, 0.0), *((2.0 * k + dx, y) for k in range(teeth) for dx, y in ((0.0, 10.0), (1.0, 1.0), (2.0, 1.0)))]
    return Polygon([*ring[:-1], (2.0 * teeth, 0.0)][: 3 * teeth + 1])
