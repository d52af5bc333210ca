"""Coverage on a drawing: how surely a walk across each place is noticed, and in which direction least.

Five tints with contour lines between them, so that a photocopy still tells them apart, and short strokes along the
direction of walking that is least likely to be noticed. Never a wedge.
"""

import itertools
import math
from typing import cast

import contourpy
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt
from shapely import LineString, Polygon, contains_xy, unary_union
from shapely.geometry.base import BaseGeometry

from wardwright.analyses.coverage import CoverageMap
from wardwright.documents.fabric_layers import lines_of
from wardwright.documents.frame import Frame
from wardwright.documents.ink import INK, MARGIN_COLOURS, MARGIN_STEPS_DB, MARGIN_WORDS, PAPER
from wardwright.documents.lettering import letter
from wardwright.documents.sheet import LegendRow, heading_row
from wardwright.documents.svg import area, el, group, line, polyline
from wardwright.premises.plan import StoreyPlan

_Filled = tuple[list[NDArray[np.float64]], list[NDArray[np.uint32]]]

FLOOR_DB = -24.0
"""What is not seen at all is drawn as this. [dB]"""
CEILING_DB = 36.0


def map_layer(margin: CoverageMap, plan: StoreyPlan, frame: Frame) -> str:
    """Tints and contour lines, room by room, so that nothing smears through a wall."""
    tints: list[list[BaseGeometry]] = [[] for _ in MARGIN_COLOURS]
    lines: list[str] = []
    solid = plan.solid()
    for room in plan.rooms:
        if not room.indoors:
            continue
        shape = plan.room_shapes[room.id].difference(solid)
        window = _window(margin, shape)
        if window is None:
            continue
        x, y, values = window
        generator = contourpy.contour_generator(x, y, values, fill_type=contourpy.FillType.OuterOffset)
        bounds = (2 * FLOOR_DB, *MARGIN_STEPS_DB, 2 * CEILING_DB)
        for step, (low, high) in enumerate(itertools.pairwise(bounds)):
            filled = _filled(generator, low, high)
            tints[step].append(frame.shape(filled.intersection(shape)))
        for level in MARGIN_STEPS_DB:
            lines += _contour(generator, level, shape, frame)
    return group(
        *(
            area(unary_union(parts).simplify(0.05), fill=colour)
            for parts, colour in zip(tints, MARGIN_COLOURS, strict=True)
            if parts
        ),
        *lines,
        class_="margin-map",
    )


def _window(
    margin: CoverageMap, shape: BaseGeometry
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]] | None:
    """The part of the grid round a room, values outside it taken from the nearest cell within."""
    xx, yy = margin.grid.centres()
    if shape.is_empty:
        return None
    x0, y0, x1, y1 = shape.bounds
    pad = 2 * margin.grid.step_m
    columns = np.flatnonzero((xx[0] >= x0 - pad) & (xx[0] <= x1 + pad))
    rows = np.flatnonzero((yy[:, 0] >= y0 - pad) & (yy[:, 0] <= y1 + pad))
    if len(columns) < 2 or len(rows) < 2:
        return None
    part = np.ix_(rows, columns)
    within = contains_xy(shape.buffer(1e-6), xx[part], yy[part])
    known = within & ~np.isnan(margin.worst_db[part])
    if not known.any():
        return None
    values = np.clip(np.nan_to_num(margin.worst_db[part], nan=FLOOR_DB, neginf=FLOOR_DB), FLOOR_DB, CEILING_DB)
    nearest = distance_transform_edt(~known, return_distances=False, return_indices=True)
    return xx[part][0], yy[part][:, 0], values[tuple(nearest)].astype(np.float64)


def _filled(generator: contourpy.ContourGenerator, low: float, high: float) -> BaseGeometry:
    points, offsets = cast(_Filled, generator.filled(low, high))
    found = []
    for ring_points, ring_offsets in zip(points, offsets, strict=True):
        rings = [ring_points[a:b] for a, b in itertools.pairwise(ring_offsets)]
        polygon = Polygon(rings[0], rings[1:])
        found.append(polygon if polygon.is_valid else polygon.buffer(0))
    return unary_union(found) if found else Polygon()


def _contour(generator: contourpy.ContourGenerator, level: float, shape: BaseGeometry, frame: Frame) -> list[str]:
    """The lines of one level in one room; the longest says which level it is."""
    pieces = [
        piece
        for points in generator.lines(level)
        if len(points) > 1
        for piece in lines_of(frame.shape(LineString(points).intersection(shape)).simplify(0.05))
    ]
    marks = [polyline(list(p.coords), stroke=INK, stroke_width=0.28 if level == 0 else 0.12) for p in pieces]
    longest = max(pieces, key=lambda p: p.length, default=None)
    if longest is not None and longest.length > 18.0:
        spot = longest.interpolate(0.4, normalized=True)
        text = f"{level:+.0f} dB".replace("-", "−") if level else "0 dB"
        marks.append(letter(text, spot.x, spot.y + 0.7, 2.0, halo=PAPER, text_anchor="middle"))
    return marks


def stroke_layer(margin: CoverageMap, plan: StoreyPlan, frame: Frame, *, apart_mm: float = 9.0) -> str:
    """Short strokes along the walk least likely to be noticed, where anything is seen at all."""
    apart_m = apart_mm / frame.mm_per_m
    every = max(1, round(apart_m / margin.grid.step_m))
    rooms = unary_union([plan.room_shapes[r.id] for r in plan.rooms if r.indoors]).buffer(-0.15)
    xx, yy = margin.grid.centres()
    marks = []
    for iy in range(every // 2, margin.grid.ny, every):
        for ix in range(every // 2, margin.grid.nx, every):
            if not np.isfinite(margin.worst_db[iy, ix]) or not contains_xy(rooms, xx[iy, ix], yy[iy, ix]):
                continue
            px, py = frame.at((float(xx[iy, ix]), float(yy[iy, ix])))
            dx, dy = frame.direction(float(margin.worst_heading_rad[iy, ix]))
            tip, tail = (px + 1.5 * dx, py + 1.5 * dy), (px - 1.5 * dx, py - 1.5 * dy)
            marks.append(line(tail, tip))
            angle = math.atan2(dy, dx)
            for off in (2.6, -2.6):
                marks.append(line(tip, (tip[0] + 0.8 * math.cos(angle + off), tip[1] + 0.8 * math.sin(angle + off))))
    return group(*marks, class_="least-noticed", stroke=INK, stroke_width=0.14)


def map_rows(margin: CoverageMap) -> list[LegendRow]:
    """The legend of the map: five steps with what they mean."""
    bounds = [
        f"under {_db(MARGIN_STEPS_DB[0])}",
        *(f"{_db(a)} to {_db(b)}" for a, b in itertools.pairwise(MARGIN_STEPS_DB)),
        f"over {_db(MARGIN_STEPS_DB[-1])}",
    ]
    rows = [heading_row("Is a walk here noticed?")]
    for colour, word, bound in zip(MARGIN_COLOURS, MARGIN_WORDS, bounds, strict=True):
        swatch = el("rect", x=-3, y=-1.9, width=6, height=3.8, fill=colour, stroke=INK, stroke_width=0.12)
        rows.append(LegendRow(swatch, f"{word}: {bound}"))
    arrow = (
        line((-1.8, 0), (1.8, 0), stroke=INK, stroke_width=0.18)
        + line((1.8, 0), (1.0, 0.6), stroke=INK, stroke_width=0.18)
        + line((1.8, 0), (1.0, -0.6), stroke=INK, stroke_width=0.18)
    )
    rows.append(LegendRow(arrow, "direction of walking least likely to be noticed"))
    rows.append(
        LegendRow(
            line((-3, 0), (3, 0), stroke=INK, stroke_width=0.28),
            f"0 dB: noticed as often as not. Best detector, {_pace(margin)}, set {margin.mode}",
        )
    )
    return rows


def _pace(margin: CoverageMap) -> str:
    slow, fast = min(margin.speeds_m_s), max(margin.speeds_m_s)
    return f"at {slow:.1f} m/s" if slow == fast else f"worst of {slow:.1f} to {fast:.1f} m/s"


def _db(value: float) -> str:
    return f"{value:.0f} dB".replace("-", "−")
