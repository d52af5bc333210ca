"""Drafted walls as pieces that each stand on one storey: an axis, a thickness, a body."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import shapely
from shapely import LineString, Polygon

from wardwright.intake.draft import DraftWall
from wardwright.intake.levels import Level
from wardwright.intake.report import Report
from wardwright.intake.wall_axes import Axis, wall_axes
from wardwright.model import XY
from wardwright.premises.fabric import Layer

RECTANGLE_SHARE = 0.80
"""A body that fills this share of its smallest turned rectangle is one straight wall; the rest is mitres, notches."""
OVERHEAD_M = 1.9
"""A wall that begins above this is a beam or a bulkhead: it stops neither a person nor a view below it. [m]"""
DEFAULT_OUTER_M = 0.30
DEFAULT_INNER_M = 0.12
THICKEST_M = 1.5


@dataclass(frozen=True)
class Piece:
    """A wall on one storey."""

    id: str
    source_key: str
    storey_id: str
    axis: tuple[XY, ...]
    thickness: float
    low: float
    """Foot above the building's zero. [m]"""
    high: float
    layers: tuple[Layer, ...] = ()
    toward: XY | None = None
    name: str = ""
    flag: bool | None = None
    party: bool = False
    assumed: bool = False

    @cached_property
    def line(self) -> LineString:
        """Its axis. [m]"""
        return LineString(self.axis)

    @cached_property
    def body(self) -> Polygon:
        """Its outline on plan, ends square. [m]"""
        shape = self.line.buffer(self.thickness / 2.0, cap_style="flat", join_style="mitre")
        return shape if isinstance(shape, Polygon) else Polygon()

    def direction_at(self, along: float) -> float:
        """Direction of the axis at a distance from its start. [rad]"""
        line = self.line
        reach = min(0.05, line.length / 4.0)
        a = line.interpolate(max(0.0, min(along, line.length) - reach))
        b = line.interpolate(min(line.length, max(0.0, along) + reach))
        return math.atan2(b.y - a.y, b.x - a.x)


def axis_walls(walls: Sequence[DraftWall], report: Report) -> list[DraftWall]:
    """Every wall with an axis and a thickness; a body drawn as one outline for several walls becomes several.

    Parameters
    ----------
    walls : sequence of DraftWall
        With an axis or a body.
    report : Report
        Takes the guesses.
    """
    made: list[DraftWall] = []
    for wall in walls:
        if not all(math.isfinite(v) for p in (*wall.axis, *wall.body) for v in p):
            report.add("wall", (wall.key,), "left out: a coordinate is not a number", "draw it again", missing=True)
            continue
        if len(wall.body) >= 3 and len(wall.axis) < 2:
            axes = _axes(wall, report)
            for n, axis in enumerate(axes):
                key = wall.key if n == 0 else f"{wall.key}/{n + 1}"
                made.append(replace(wall, key=key, axis=axis.points, thickness_m=axis.thickness, body=()))
            continue
        points = tuple(p for k, p in enumerate(wall.axis) if k == 0 or math.dist(p, wall.axis[k - 1]) > 1e-3)
        if len(points) < 2:
            report.add("wall", (wall.key,), "left out: it has no length", "draw it again", missing=True)
            continue
        thickness = wall.thickness_m
        if thickness is None or not 0.005 < thickness <= THICKEST_M:
            fallback = sum(layer.thickness_m for layer in wall.layers) or (
                DEFAULT_OUTER_M if wall.outside else DEFAULT_INNER_M
            )
            said = "none is given" if thickness is None else f"{thickness:.3g} m is no wall's thickness"
            report.add("wall thickness", (wall.key,), f"{fallback:.2f} m: {said}", "measure it, set thickness_m")
            thickness = fallback
        made.append(replace(wall, axis=points, thickness_m=thickness, body=()))
    return _once(made, report)


def _axes(wall: DraftWall, report: Report) -> list[Axis]:
    raw = Polygon(wall.body)
    body = raw if raw.is_valid else shapely.make_valid(raw)
    stated = sum(layer.thickness_m for layer in wall.layers) or wall.thickness_m
    if isinstance(body, Polygon):
        straight = _straight(body, stated)
        if straight is not None and body.area >= RECTANGLE_SHARE * straight.thickness * straight.line.length:
            return [straight]
    axes = [a for a in wall_axes(body) if a.line.length > 0.01]
    if not axes:
        report.add("wall", (wall.key,), "left out: its outline has no length", "draw it again", missing=True)
    return axes


def _straight(body: Polygon, stated: float | None) -> Axis | None:
    box = body.minimum_rotated_rectangle
    if not isinstance(box, Polygon) or box.area < 1e-4:
        return None
    a, b, c, d = list(box.exterior.coords)[:4]
    along, across = math.dist(a, b), math.dist(b, c)
    if min(along, across) < 0.005 or min(along, across) > THICKEST_M:
        return None
    turned = across > along
    if stated is not None and max(along, across) < min(2.5 * min(along, across), THICKEST_M):
        # A stub about as long as it is thick: only the stated thickness tells which way it runs.
        turned = abs(along - stated) < abs(across - stated)
    if turned:
        a, b, c, d = b, c, d, a
        along, across = across, along
    start, end = ((a[0] + d[0]) / 2.0, (a[1] + d[1]) / 2.0), ((b[0] + c[0]) / 2.0, (b[1] + c[1]) / 2.0)
    return Axis((start, end), across)


def _once(walls: list[DraftWall], report: Report) -> list[DraftWall]:
    seen: dict[tuple[object, ...], str] = {}
    kept = []
    for wall in walls:
        ends = sorted((round(x, 2), round(y, 2)) for x, y in (wall.axis[0], wall.axis[-1]))
        middle = LineString(wall.axis).interpolate(0.5, normalized=True)
        mark = (wall.storey_key, *ends, round(middle.x, 1), round(middle.y, 1), round(wall.thickness_m or 0.0, 2))
        mark = (*mark, round(wall.base_m, 1), round(wall.height_m or 0.0, 1))
        if mark in seen:
            report.add("the same wall stored several times", (seen[mark],), "counted once", "nothing to do")
            continue
        seen[mark] = wall.key
        kept.append(wall)
    return kept


def pieces_of(walls: Sequence[DraftWall], levels: Sequence[Level], report: Report) -> list[Piece]:
    """Walls cut at the floors they pass, so that every storey has its own.

    Parameters
    ----------
    walls : sequence of DraftWall
        With axis and thickness.
    levels : sequence of Level
        Lowest first.
    report : Report
        Takes the guesses.
    """
    by_key = {lv.key: lv for lv in levels}
    pieces: list[Piece] = []
    for wall in walls:
        own = by_key.get(wall.storey_key)
        if own is None:
            continue
        low = own.elevation + wall.base_m
        high = low + wall.height_m if wall.height_m is not None else own.ceiling
        placed = 0
        for n, level in enumerate(levels):
            bottom = max(low, level.elevation)
            ceiling = levels[n + 1].elevation if n + 1 < len(levels) else math.inf
            if level is own and wall.height_m is None:
                top = high
            else:
                top = min(high, max(ceiling, level.ceiling))
            if top - bottom <= 0.05:
                continue
            reaches = top - bottom >= 1.0 and bottom - level.elevation < 1.2
            if level is not own and not reaches:
                continue
            if bottom - level.elevation >= OVERHEAD_M:
                continue
            placed += 1
            pieces.append(
                Piece(
                    id="",
                    source_key=wall.key if placed == 1 else f"{wall.key}^{placed}",
                    storey_id=level.id,
                    axis=wall.axis,
                    thickness=wall.thickness_m or DEFAULT_INNER_M,
                    low=bottom,
                    high=top,
                    layers=wall.layers,
                    toward=wall.layers_toward,
                    name=wall.construction_name,
                    flag=wall.outside,
                    party=wall.party,
                    assumed=wall.assumed,
                )
            )
        if placed == 0:
            report.add(
                "walls above head height",
                (wall.construction_name or wall.key,),
                "left out of the plan: they begin above a person's head",
                "nothing to do",
            )
        elif placed > 1:
            report.add(
                "walls through several storeys",
                (wall.key,),
                "cut at the floors, one piece to a storey",
                "nothing to do",
            )
    order = {lv.id: n for n, lv in enumerate(levels)}
    return sorted(pieces, key=lambda p: order[p.storey_id])


def base_key(key: str) -> str:
    """Key of the source's wall a piece came from.

    Parameters
    ----------
    key : str
        Key of a piece.
    """
    return key.split("^")[0].split("/")[0]


_LINING_M = 0.25
"""A wall no thicker than this that stands against another is a lining of it. [m]"""
_AGAINST_M = 0.15


def linings_cut(pieces: Sequence[Piece], holes: Sequence[tuple[Piece, float, float, float, float]]) -> list[Piece]:
    """Walls with the linings that stand against them cut through wherever the wall itself has an opening.

    Parameters
    ----------
    pieces : sequence of Piece
        All walls.
    holes : sequence of tuple
        Host, offset along it, width, lower and upper edge above the building's zero of each opening. [m]

    Returns
    -------
    list of Piece
        The same walls; a lining with a hole in it becomes two.
    """
    hosts = {h[0].source_key for h in holes}
    made: list[Piece] = []
    for piece in pieces:
        gaps: list[tuple[float, float]] = []
        if piece.thickness <= _LINING_M and len(piece.axis) == 2 and piece.source_key not in hosts:
            gaps = [g for hole in holes if (g := _gap(piece, hole)) is not None]
        made += _with_gaps(piece, gaps) if gaps else [piece]
    return made


def _gap(piece: Piece, hole: tuple[Piece, float, float, float, float]) -> tuple[float, float] | None:
    host, offset, width, low, high = hole
    if (
        host.storey_id != piece.storey_id
        or host.thickness < piece.thickness
        or min(high, piece.high) <= max(low, piece.low)
    ):
        return None
    spot = host.line.interpolate(offset)
    reach = host.thickness / 2.0 + piece.thickness / 2.0
    if not 0.5 * reach < piece.line.distance(spot) < reach + _AGAINST_M:
        return None
    s = float(piece.line.project(spot))
    if (
        abs(math.sin(piece.direction_at(s) - host.direction_at(offset))) > 0.1
        or not 0.02 < s < piece.line.length - 0.02
    ):
        return None
    return max(0.0, s - width / 2.0), min(float(piece.line.length), s + width / 2.0)


def _with_gaps(piece: Piece, gaps: list[tuple[float, float]]) -> list[Piece]:
    kept: list[tuple[float, float]] = [(0.0, float(piece.line.length))]
    for low, high in gaps:
        kept = [part for a, b in kept for part in ((a, min(b, low)), (max(a, high), b)) if part[1] - part[0] > 0.02]
    parts = []
    for n, (a, b) in enumerate(kept, start=1):
        start, end = piece.line.interpolate(a), piece.line.interpolate(b)
        key = piece.source_key if n == 1 else f"{piece.source_key}^{n}-part"
        parts.append(replace(piece, source_key=key, axis=((start.x, start.y), (end.x, end.y))))
    return parts
