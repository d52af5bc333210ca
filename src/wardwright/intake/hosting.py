"""Every opening on the wall it is cut in, decided from geometry; the source's own word is only compared."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shapely import Point, Polygon

from wardwright.intake.draft import DraftOpening
from wardwright.intake.levels import Level, level_at
from wardwright.intake.report import Report
from wardwright.intake.wall_pieces import Piece, base_key
from wardwright.model import XY
from wardwright.premises.openings import OpeningKind

_TURN = math.sin(math.radians(25.0))
_NEAR_M = 0.10
"""How far off a wall's face an opening may be drawn and still be in it. [m]"""
_FAR_M = 0.35
_LYING = (OpeningKind.ROOFLIGHT, OpeningKind.HATCH, OpeningKind.BULKHEAD)
# Sizes taken where the source gives none. Assumptions; from memory of ordinary joinery.
_SIZES: dict[OpeningKind, tuple[float, float, float]] = {
    OpeningKind.DOOR: (0.90, 2.00, 0.0),
    OpeningKind.GARAGE_DOOR: (2.40, 2.10, 0.0),
    OpeningKind.WINDOW: (1.00, 1.20, 0.90),
    OpeningKind.PASSAGE: (0.90, 2.00, 0.0),
    OpeningKind.DUCT: (0.20, 0.20, 2.00),
}
_OTHER_SIZE = (0.80, 0.80, 0.90)
WIDEST_M = 12.0


@dataclass(frozen=True)
class Hosted:
    """An opening with its size, its level, and the wall it is in."""

    draft: DraftOpening
    kind: OpeningKind
    level: Level
    width: float
    height: float
    sill: float
    """Above the floor of its level. [m]"""
    wall: Piece | None
    offset: float | None
    centre: XY | None
    along: float

    @property
    def low(self) -> float:
        """Lower edge above the building's zero. [m]"""
        return self.level.elevation + self.sill

    @property
    def high(self) -> float:
        """Upper edge above the building's zero. [m]"""
        return self.low + self.height


def sized(opening: DraftOpening, report: Report) -> tuple[float, float, float]:
    """Width, height and sill, with what is missing or impossible filled in and reported.

    Parameters
    ----------
    opening : DraftOpening
        As read.
    report : Report
        Takes the guesses.

    Returns
    -------
    tuple of float
        Width, height, sill. [m]
    """
    usual = _SIZES.get(opening.kind, _OTHER_SIZE)
    values = []
    for word, given, fallback, low, high in (
        ("width", opening.width_m, usual[0], 0.05, WIDEST_M),
        ("height", opening.height_m, usual[1], 0.05, 10.0),
        ("sill height", opening.sill_m, usual[2], -20.0, 50.0),
    ):
        if given is not None and math.isfinite(given) and low <= given <= high:
            values.append(given)
            continue
        why = "the source gives none" if given is None else f"{given:.3g} m is impossible"
        report.add(f"{word} of a {opening.kind.value}", (opening.key,), f"{fallback:.2f} m: {why}", "measure it")
        values.append(fallback)
    return values[0], values[1], values[2]


def hosted(
    openings: Sequence[DraftOpening], pieces: list[Piece], levels: Sequence[Level], report: Report
) -> tuple[list[Hosted], list[Piece]]:
    """Openings on their walls.

    Parameters
    ----------
    openings : sequence of DraftOpening
        As read.
    pieces : list of Piece
        Walls, each on one storey.
    levels : sequence of Level
        Lowest first.
    report : Report
        Takes the guesses.

    Returns
    -------
    tuple
        Openings in the source's order; and walls added over openings that stand in a gap between walls.
    """
    found: list[Hosted] = []
    added: list[Piece] = []
    by_key = {lv.key: lv for lv in levels}
    for opening in _once(openings, report):
        width, height, sill = sized(opening, report)
        own = by_key.get(opening.storey_key) or levels[0]
        level = own
        if opening.kind not in _LYING and opening.sill_m is not None:
            middle = own.elevation + sill + height / 2.0
            if not own.elevation - 0.3 <= middle <= own.ceiling + 0.8:
                level = level_at(levels, middle) or own
        if level is not own:
            report.add(
                "storey of an opening",
                (opening.key,),
                f"“{level.name}”, at whose height it is drawn",
                "move it if wrong",
            )
        sill += own.elevation - level.elevation
        if opening.kind in _LYING and len(opening.outline) >= 3:
            spot_above = opening.centre or _middle(opening.outline)
            found.append(Hosted(opening, opening.kind, level, width, height, sill, None, None, spot_above, 0.0))
            continue
        centre = opening.centre
        if centre is not None and not all(map(math.isfinite, centre)):
            centre = None
        if centre is None:
            placed = _unplaced(opening, pieces, level, width, report)
            if placed is not None:
                found.append(replace(placed, height=height, sill=sill))
            continue
        here = [p for p in pieces if p.storey_id == level.id]
        z = (level.elevation + sill, level.elevation + sill + height)
        host = _host(opening, centre, width, here, z, _NEAR_M) or _host(opening, centre, width, here, z, _FAR_M)
        if host is None:
            host = _lintel(opening, centre, width, here, level, z, report)
            added.append(host)
        elif opening.wall_key is not None and base_key(host.source_key) != base_key(opening.wall_key):
            report.add(
                "wall of an opening",
                (opening.key, host.source_key),
                "the wall it is drawn in; the source names another",
                "move the opening if the drawing is wrong",
            )
        width, offset = _fitted(opening, host, centre, width, report)
        along = host.direction_at(offset)
        spot = host.line.interpolate(offset)
        found.append(Hosted(opening, opening.kind, level, width, height, sill, host, offset, (spot.x, spot.y), along))
    return found, added


def _middle(ring: Sequence[XY]) -> XY:
    centre = Polygon(ring).centroid
    return centre.x, centre.y


def _once(openings: Sequence[DraftOpening], report: Report) -> list[DraftOpening]:
    kept: list[DraftOpening] = []
    seen: dict[tuple[object, ...], DraftOpening] = {}
    for opening in openings:
        if opening.centre is None or not all(map(math.isfinite, opening.centre)):
            kept.append(opening)
            continue
        x, y = opening.centre
        sill = None if opening.sill_m is None or not math.isfinite(opening.sill_m) else round(opening.sill_m, 1)
        mark = (opening.storey_key, opening.kind, round(x, 2), round(y, 2), sill)
        if mark in seen:
            report.add("the same opening stored several times", (seen[mark].key,), "counted once", "nothing to do")
            continue
        seen[mark] = opening
        kept.append(opening)
    return kept


def _host(
    opening: DraftOpening,
    centre: XY,
    width: float,
    pieces: Sequence[Piece],
    z: tuple[float, float],
    near: float,
) -> Piece | None:
    """The wall whose body the opening lies in; among several, the one that holds most of its width most centrally."""
    spot = Point(centre)
    best: tuple[float, Piece] | None = None
    for piece in pieces:
        off = piece.line.distance(spot)
        gap = off - piece.thickness / 2.0
        if gap > near or min(piece.high, z[1]) - max(piece.low, z[0]) < 0.3 * (z[1] - z[0]):
            continue
        s = piece.line.project(spot)
        if opening.along_rad is not None:
            turn = abs(math.sin(piece.direction_at(s) - opening.along_rad))
            if turn > _TURN:
                continue
        held = min(piece.line.length, s + width / 2.0) - max(0.0, s - width / 2.0)
        beyond = _overrun(piece, spot)
        if beyond > width / 2.0 or held < 0.4 * min(width, piece.line.length):
            continue
        score = 2.0 * max(0.0, gap) + 0.5 * off + (1.0 - held / width) + beyond
        if opening.wall_key is not None and base_key(piece.source_key) == base_key(opening.wall_key):
            score -= 0.5
        if best is None or score < best[0]:
            best = (score, piece)
    return None if best is None else best[1]


def _overrun(piece: Piece, spot: Point) -> float:
    """How far a point lies beyond the ends of a straight wall, along it."""
    if len(piece.axis) > 2:
        return 0.0
    (x0, y0), (x1, y1) = piece.axis
    length = float(piece.line.length)
    s = ((spot.x - x0) * (x1 - x0) + (spot.y - y0) * (y1 - y0)) / length
    return float(max(0.0, -s, s - length))


def _fitted(opening: DraftOpening, host: Piece, centre: XY, width: float, report: Report) -> tuple[float, float]:
    """Width and place along the wall, so that the opening does not reach beyond its wall."""
    length = host.line.length
    if width > length + 0.05:
        report.add(
            f"width of a {opening.kind.value}",
            (opening.key, host.source_key),
            f"{length:.2f} m, the length of its wall: it is given as {width:.2f} m wide",
            "measure the opening and the wall",
        )
        width = length
    s = host.line.project(Point(centre))
    half = min(width, length) / 2.0
    offset = min(max(s, half), length - half)
    if abs(offset - s) > 0.10:
        report.add(
            "place of an opening",
            (opening.key, host.source_key),
            f"moved {abs(offset - s):.2f} m along its wall: it would reach beyond the wall's end",
            "measure its distance from the corner",
        )
    return width, offset


def _lintel(
    opening: DraftOpening,
    centre: XY,
    width: float,
    pieces: Sequence[Piece],
    level: Level,
    z: tuple[float, float],
    report: Report,
) -> Piece:
    """The wall that must run over an opening which the source draws in a gap between two walls."""
    spot = Point(centre)
    near = sorted((p for p in pieces if p.line.distance(spot) < width + 1.0), key=lambda p: p.line.distance(spot))
    along = opening.along_rad
    if along is None:
        along = near[0].direction_at(near[0].line.project(spot)) if near else 0.0
    in_line = [p for p in near if abs(math.sin(p.direction_at(p.line.project(spot)) - along)) < _TURN]
    thickness = in_line[0].thickness if in_line else near[0].thickness if near else 0.12
    ux, uy = math.cos(along), math.sin(along)
    half = width / 2.0
    x, y = centre
    if in_line:
        # Put it in line with the wall beside it, not where the leaf happens to be drawn.
        wall = in_line[0]
        (wx, wy) = wall.axis[0]
        across = -(x - wx) * uy + (y - wy) * ux
        if abs(across) <= wall.thickness / 2.0 + _FAR_M and len(wall.axis) == 2:
            x, y = x + across * uy, y - across * ux
    report.add(
        "wall over an opening",
        (opening.key,),
        f"a wall {thickness:.2f} m thick across the gap it is drawn in" if near else "a wall of its own",
        "nothing to do, unless the opening belongs elsewhere",
    )
    return Piece(
        id="",
        source_key=f"{opening.key}|over",
        storey_id=level.id,
        axis=((x - ux * half, y - uy * half), (x + ux * half, y + uy * half)),
        thickness=thickness,
        low=level.elevation,
        high=max(level.ceiling, z[1]),
        assumed=True,
        layers=in_line[0].layers if in_line else (),
        toward=in_line[0].toward if in_line else None,
        name=in_line[0].name if in_line else "",
    )


def _unplaced(
    opening: DraftOpening, pieces: Sequence[Piece], level: Level, width: float, report: Report
) -> Hosted | None:
    """An opening without a place: on the wall the source names, at its middle; otherwise it is only listed."""
    named = [p for p in pieces if opening.wall_key is not None and base_key(p.source_key) == base_key(opening.wall_key)]
    named.sort(key=lambda p: (p.storey_id != level.id, -p.line.length))
    if not named:
        report.add(
            "place of an opening",
            (opening.name,),
            "left out: the source draws no shape and names no wall",
            "add it on its wall",
            missing=True,
        )
        return None
    host = named[0]
    report.add(
        "place of an opening",
        (opening.key, host.source_key),
        "the middle of its wall: the source gives none",
        "measure it",
    )
    width, offset = _fitted(opening, host, _at(host, 0.5), width, report)
    draft = replace(opening, position_assumed=True)
    spot = host.line.interpolate(offset)
    return Hosted(draft, opening.kind, level, width, 0.0, 0.0, host, None, (spot.x, spot.y), host.direction_at(offset))


def _at(piece: Piece, share: float) -> XY:
    spot = piece.line.interpolate(share, normalized=True)
    return spot.x, spot.y
