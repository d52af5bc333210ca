"""What one unit of a DXF drawing is: header, dimensions, size codes, door leaves, walls and size weighed together."""

import math
from collections.abc import Sequence

from wardwright.errors import InputError
from wardwright.intake.dxf_openings import OPENING_MEANINGS
from wardwright.intake.dxf_strokes import Dimension, Sheet, Stroke
from wardwright.intake.lengths import UNITS_M, parse_length
from wardwright.intake.size_codes import size_code
from wardwright.intake.unit_evidence import Clue, Ratio, Scale, infer_scale
from wardwright.intake.wall_faces import segments_of, typical_gap

HEADER_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 10: "yd", 14: "dm", 21: "ft"}
"""Codes of the header variable $INSUNITS that a building may be drawn in."""


def drawing_scale(sheet: Sheet, walls: Sequence[Stroke], named: bool) -> Scale:
    """Decide what one drawing unit is.

    Parameters
    ----------
    sheet : Sheet
        As read. [drawing units]
    walls : sequence of Stroke
        What is taken for walls.
    named : bool
        The walls stand on a layer whose name says so: then the distance between lines is a clue.

    Raises
    ------
    IntakeError
        If nothing decides.
    """
    header = HEADER_UNITS.get(sheet.unit_code)
    ratios = [_dimension_ratios(sheet.dimensions)]
    swings = [s.arc for s in sheet.strokes if s.arc and s.meaning in OPENING_MEANINGS and 15 <= s.arc.sweep_deg <= 120]
    radii = tuple(a.radius for a in swings)
    coded: list[float] = []
    for label in sheet.labels:
        code = size_code(label.text)
        if code is None or code.pair or not swings:
            continue
        nearest = min(swings, key=lambda a: math.dist(a.centre, label.at))
        if math.dist(nearest.centre, label.at) < 2.0 * nearest.radius:
            coded.append(code.widths[0] / nearest.radius)
    if coded:
        ratios.append(Ratio("size codes beside door leaves", tuple(coded)))
    x0, y0, x1, y1 = extent_of(walls)
    clues = [Clue("the plan's overall size", (max(x1 - x0, y1 - y0),), 2.5, 300.0)]
    if radii:
        clues.append(Clue(f"{len(radii)} door leaves", radii, 0.5, 1.3, strong=len(radii) >= 2))
    extent = max(x1 - x0, y1 - y0, 1e-12)
    gap = typical_gap(segments_of([(s.points, s.closed) for s in walls], shortest=extent * 1e-4))
    if gap is not None and named:
        clues.append(Clue("the walls' thickness", (gap,), 0.05, 0.65))
    return infer_scale([r for r in ratios if r.values], clues, header, where=sheet.name)


def _dimension_ratios(dimensions: Sequence[Dimension]) -> Ratio:
    values: list[float] = []
    for dimension in dimensions:
        text = dimension.text.strip()
        if any(mark in text for mark in "'\"′″") or text[-1:].isalpha():
            try:
                length = parse_length(text, "m")
            except InputError:
                continue
            if length > 0:
                values.append(length / dimension.drawn)
            continue
        try:
            figure = float(text.replace(",", "."))
        except ValueError:
            continue
        # A bare figure a power of ten off what it measures: drawn in one metric unit, written in another.
        ratio = figure / dimension.drawn
        for power, drawn_unit in ((1e-3, "mm"), (1e-2, "cm"), (0.1, "mm"), (10.0, "cm"), (100.0, "m"), (1000.0, "m")):
            if abs(ratio / power - 1) < 0.005:
                values.append(UNITS_M[drawn_unit])
    return Ratio("dimensions", tuple(values))


def like_walls(strokes: Sequence[Stroke]) -> bool:
    """Whether unnamed lines look like walls at all: many in pairs a little apart, or leaves that swing."""
    x0, y0, x1, y1 = extent_of(strokes)
    shortest = max(x1 - x0, y1 - y0, 1e-12) * 1e-4
    swings = [s for s in strokes if s.arc and 80 <= s.arc.sweep_deg <= 100]
    return (
        len(swings) >= 2
        or typical_gap(segments_of([(s.points, s.closed) for s in strokes], shortest=shortest)) is not None
    )


def extent_of(strokes: Sequence[Stroke]) -> tuple[float, float, float, float]:
    """Least and greatest x and y of strokes, as x0, y0, x1, y1. [drawing units]"""
    xs = [p[0] for s in strokes for p in s.points]
    ys = [p[1] for s in strokes for p in s.points]
    return min(xs), min(ys), max(xs), max(ys)
