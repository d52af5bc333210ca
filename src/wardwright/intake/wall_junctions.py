"""Strips of wall put together: corners filled, walls run through where others arrive, curves closed up."""

import math
from collections.abc import Sequence
from itertools import pairwise

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.intake.wall_axes import closed_up, polygons_of
from wardwright.intake.wall_faces import THICKEST_M, Strip

CAVITY_M = 0.20
"""Two leaves no further apart than this are one wall with a cavity. [m]"""
_TOUCH_M = 0.03
_IN_LINE = 0.3
"""Sine of the angle below which two strips count as one wall that bends."""


def solid_of(strips: Sequence[Strip], bodies: Sequence[BaseGeometry] = ()) -> BaseGeometry:
    """Strips and ready bodies as one solid, corners filled, hairline gaps closed.

    Parameters
    ----------
    strips : sequence of Strip
        From :func:`~wardwright.intake.wall_faces.strips_between`.
    bodies : sequence of BaseGeometry
        Walls drawn as hatches or filled shapes. [m]

    Returns
    -------
    BaseGeometry
        What is wall on plan. [m]
    """
    bands = [s.band() for s in strips]
    wedges, held = _wedges(strips, bands)
    whole = shapely.union_all([*bands, *wedges, *_corners(strips, bands, held), *_interrupted(strips, bands), *bodies])
    whole = closed_up(whole, 0.012)
    cavities = [p for p in polygons_of(closed_up(whole, CAVITY_M / 2).difference(whole)) if _slender(p)]
    return closed_up(shapely.union_all([whole, *cavities]), 0.002) if cavities else whole


def _slender(shape: Polygon) -> bool:
    box = shape.minimum_rotated_rectangle
    if not isinstance(box, Polygon):
        return False
    a, b, c = list(box.exterior.coords)[:3]
    sides = sorted((math.dist(a, b), math.dist(b, c)))
    # An L or a ring of cavity is slender too: its area says how wide it is.
    return sides[1] > 3.0 * sides[0] or shape.area < 0.5 * CAVITY_M * shape.length


def _ends(band: Polygon) -> tuple[LineString, LineString]:
    """The edges of a band at its start and at its end."""
    a, b, c, d = list(band.exterior.coords)[:4]
    return LineString([a, d]), LineString([b, c])


def _sine(one: Strip, two: Strip) -> float:
    (ax, ay), (bx, by) = one.direction, two.direction
    return abs(ax * by - ay * bx)


def _wedges(strips: Sequence[Strip], bands: Sequence[Polygon]) -> tuple[list[BaseGeometry], set[tuple[int, int]]]:
    """Ground between the ends of strips that follow a curve, and which ends those are."""
    found: list[BaseGeometry] = []
    held: set[tuple[int, int]] = set()
    ends = [_ends(b) for b in bands]
    tree = shapely.STRtree(list(bands))
    for i, band in enumerate(bands):
        for j in tree.query(band.buffer(_TOUCH_M), predicate="intersects"):
            if j <= i or not 0.02 < _sine(strips[i], strips[j]) < _IN_LINE:
                continue
            pairs = [(a, b) for a in (0, 1) for b in (0, 1)]
            a, b = min(pairs, key=lambda ab: ends[i][ab[0]].hausdorff_distance(ends[j][ab[1]]))
            one, two = ends[i][a], ends[j][b]
            if one.distance(two) > _TOUCH_M or one.hausdorff_distance(two) > 0.5 * max(one.length, two.length):
                continue
            found.append(shapely.union_all([one, two]).convex_hull)
            held |= {(i, a), (int(j), b)}
    return found, held


def _corners(strips: Sequence[Strip], bands: Sequence[Polygon], held: set[tuple[int, int]]) -> list[BaseGeometry]:
    """Where two walls meet at an angle: the ground both would cover if they ran on far enough, and no further."""
    if not strips:
        return []
    found: list[BaseGeometry] = []
    reach = [b.buffer(_TOUCH_M + 0.002) for b in bands]
    far = THICKEST_M + _TOUCH_M
    longer = [_run_on(strips, k, far, held) for k in range(len(strips))]
    for i, j in shapely.STRtree(longer).query(longer, predicate="intersects").T:
        one, two = strips[i], strips[j]
        sine = _sine(one, two)
        if i >= j or sine < _IN_LINE:
            continue
        cosine = max(0.0, 1.0 - sine * sine) ** 0.5
        runs = [min((b.thickness + a.thickness * cosine) / sine + _TOUCH_M, far) for a, b in ((one, two), (two, one))]
        corner = _run_on(strips, i, runs[0], held).intersection(_run_on(strips, j, runs[1], held))
        if corner.area <= 0.0 or not (corner.intersects(reach[i]) and corner.intersects(reach[j])):
            continue
        found.append(corner)
        # A wall that arrives aslant ends square as a band: fill up to the wall it meets.
        found += [_filled_up(bands[k], corner) for k in (i, j)]
    return found


def _run_on(strips: Sequence[Strip], k: int, run: float, held: set[tuple[int, int]]) -> Polygon:
    """A band lengthened at the ends where no other strip goes on from it."""
    return strips[k].band(0.0 if (k, 0) in held else run, 0.0 if (k, 1) in held else run)


def _filled_up(band: Polygon, corner: BaseGeometry) -> BaseGeometry:
    """Ground between the nearer end of a band and the corner it runs into."""
    end = min(_ends(band), key=lambda e: e.distance(corner))
    if end.distance(corner) > _TOUCH_M:
        return Polygon()
    return shapely.union_all([end, corner]).convex_hull


def _interrupted(strips: Sequence[Strip], bands: Sequence[Polygon]) -> list[BaseGeometry]:
    """Where one face runs through and the other breaks off for a wall that arrives, the wall itself runs through."""
    by_face: dict[int, list[int]] = {}
    for k, strip in enumerate(strips):
        for face in strip.faces:
            by_face.setdefault(face, []).append(k)
    tree = shapely.STRtree(list(bands))
    found: list[BaseGeometry] = []
    for face, members in by_face.items():
        if face < 0 or len(members) < 2:
            continue
        ux, uy = strips[members[0]].direction
        rows = []
        for k in members:
            ends = sorted(p[0] * ux + p[1] * uy for p in (strips[k].start, strips[k].end))
            rows.append((ends[0], ends[1], k))
        rows.sort()
        for (_, end, a), (start, _, b) in pairwise(rows):
            one, two = strips[a], strips[b]
            if not 0.005 < start - end < 1.5 or abs(one.thickness - two.thickness) > 0.05 * one.thickness + 0.002:
                continue
            tip = max((one.start, one.end), key=lambda p: p[0] * ux + p[1] * uy)
            far = (tip[0] + ux * (start - end), tip[1] + uy * (start - end))
            patch = Strip(tip, far, one.thickness).band()
            for k in tree.query(patch.buffer(_TOUCH_M), predicate="intersects"):
                vx, vy = strips[k].direction
                sine = abs(ux * vy - uy * vx)
                if sine > 0.12 and start - end < strips[k].thickness / sine + 0.06:
                    found.append(patch)
                    break
    return found
