"""Cables on a drawing: each run as it is laid, a ring where it leaves for another storey. Only for the firm."""

from itertools import pairwise

from wardwright.analyses.cables import CablePlan
from wardwright.documents.frame import Frame
from wardwright.documents.ink import INK, PAPER
from wardwright.documents.sheet import LegendRow, heading_row
from wardwright.documents.svg import el, group, polyline
from wardwright.model import XY

WIDTH = 0.35
DASH = "1.6 0.5"
RING = 1.1


def cable_layer(plan: CablePlan, storey_id: str, frame: Frame) -> str:
    """Every routed run on one storey.

    Parameters
    ----------
    plan : CablePlan
        The runs.
    storey_id : str
        The storey drawn.
    frame : Frame
        Scale and place on paper.

    Returns
    -------
    str
        SVG.
    """
    lines: list[str] = []
    rings: dict[tuple[float, float], str] = {}
    for item in plan.runs:
        way = item.run.length.way
        if way is None:
            continue
        piece: list[XY] = []
        for key, x, y, _ in way.points:
            if key == storey_id:
                piece.append((x, y))
            elif piece:
                lines.append(_line(piece, frame))
                piece = []
        if piece:
            lines.append(_line(piece, frame))
        for a, b in pairwise(way.points):
            if a[0] != b[0] and storey_id in (a[0], b[0]):
                x, y = frame.at((a if a[0] == storey_id else b)[1:3])
                spot = (round(x, 1), round(y, 1))
                rings[spot] = el("circle", cx=x, cy=y, r=RING, fill=PAPER, stroke=INK, stroke_width=WIDTH)
    return group(*(x for x in lines if x), *rings.values(), class_="cables")


def _line(points: list[XY], frame: Frame) -> str:
    if len(points) < 2:
        return ""
    places = [frame.at(p) for p in points]
    halo = polyline(places, stroke=PAPER, stroke_width=3.0 * WIDTH, stroke_linejoin="round")
    return halo + polyline(places, stroke=INK, stroke_width=WIDTH, stroke_dasharray=DASH)


def cable_rows() -> list[LegendRow]:
    """What the lines mean."""
    return [
        heading_row("Cables"),
        LegendRow(polyline([(-3.0, 0.0), (3.0, 0.0)], stroke=INK, stroke_width=WIDTH, stroke_dasharray=DASH), "cable"),
        LegendRow(el("circle", cx=0, cy=0, r=RING, fill=PAPER, stroke=INK, stroke_width=WIDTH), "to another storey"),
    ]
