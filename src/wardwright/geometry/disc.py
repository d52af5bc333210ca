"""Cutting a view to a disc about the eye: straight pieces inside, arcs beyond."""

import math
from collections.abc import Iterable

Piece = tuple[bool, tuple[float, float, float, float]]
"""Whether it is an arc about the origin, and its ends x0, y0, x1, y1. [m]"""


def clip_to_disc(segments: Iterable[tuple[float, float, float, float]], radius: float) -> list[Piece]:
    r"""Cut wall pieces seen from the origin to a disc about it.

    Parameters
    ----------
    segments : iterable of tuple
        Pieces x0, y0, x1, y1, anticlockwise as seen from the origin. [m]
    radius : float
        Of the disc, > 0. [m]

    Returns
    -------
    list of tuple
        Pieces in the same order; where a wall is farther than the radius, an arc takes its place. [m]

    Notes
    -----
    With :math:`p(t) = p_0 + t e` the circle is met where :math:`e^2 t^2 + 2 (p_0\cdot e) t + p_0^2 - R^2 = 0`.
    """
    pieces: list[Piece] = []
    r2 = radius * radius
    for x0, y0, x1, y1 in segments:
        in0, in1 = x0 * x0 + y0 * y0 <= r2, x1 * x1 + y1 * y1 <= r2
        if in0 and in1:
            pieces.append((False, (x0, y0, x1, y1)))
            continue
        ex, ey = x1 - x0, y1 - y0
        e2 = ex * ex + ey * ey
        half = x0 * ex + y0 * ey
        turn = x0 * ey - y0 * ex
        root = r2 * e2 - turn * turn
        if e2 <= 0.0 or root <= 0.0:
            pieces.append((True, _onto(x0, y0, x1, y1, radius)))
            continue
        root = math.sqrt(root)
        enter, leave = (-half - root) / e2, (-half + root) / e2
        if not in0 and (enter >= 1.0 or leave <= 0.0):
            pieces.append((True, _onto(x0, y0, x1, y1, radius)))
            continue
        ax, ay, bx, by = x0, y0, x1, y1
        if not in0:
            ax, ay = x0 + enter * ex, y0 + enter * ey
            pieces.append((True, _onto(x0, y0, ax, ay, radius)))
        if not in1:
            bx, by = x0 + leave * ex, y0 + leave * ey
        pieces.append((False, (ax, ay, bx, by)))
        if not in1:
            pieces.append((True, _onto(bx, by, x1, y1, radius)))
    return pieces


def piece_area(arc: bool, ends: tuple[float, float, float, float], radius: float) -> float:
    """Area between the origin and one piece of outline.

    Parameters
    ----------
    arc : bool
        Whether the piece is an arc about the origin. [-]
    ends : tuple of float
        Its ends x0, y0, x1, y1. [m]
    radius : float
        Of the arc. [m]

    Returns
    -------
    float
        Sector R²θ/2 or triangle (p₀ × p₁)/2. [m²]
    """
    x0, y0, x1, y1 = ends
    turn = x0 * y1 - x1 * y0
    if not arc:
        return 0.5 * turn
    return 0.5 * radius * radius * math.atan2(turn, x0 * x1 + y0 * y1)


def arc_points(x0: float, y0: float, x1: float, y1: float, step: float) -> list[tuple[float, float]]:
    """Points on an arc about the origin between its ends, ends left out.

    Parameters
    ----------
    x0, y0, x1, y1 : float
        Ends, anticlockwise. [m]
    step : float
        Widest angle between neighbouring points. [rad]

    Returns
    -------
    list of tuple
        The points. [m]
    """
    span = math.atan2(x0 * y1 - x1 * y0, x0 * x1 + y0 * y1)
    count = math.ceil(span / step)
    return [
        (x0 * math.cos(a) - y0 * math.sin(a), x0 * math.sin(a) + y0 * math.cos(a))
        for a in (span * i / count for i in range(1, count))
    ]


def _onto(x0: float, y0: float, x1: float, y1: float, radius: float) -> tuple[float, float, float, float]:
    """Both ends drawn onto the circle along their rays."""
    s0, s1 = radius / math.hypot(x0, y0), radius / math.hypot(x1, y1)
    return (s0 * x0, s0 * y0, s1 * x1, s1 * y1)
