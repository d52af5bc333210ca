"""Doors and windows of a drawing: where a wall breaks off, where a leaf swings, where a symbol lies on a wall."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.intake.dxf_layers import Meaning
from wardwright.intake.dxf_strokes import Arc, Label, Stroke
from wardwright.intake.size_codes import SizeCode, size_code
from wardwright.intake.wall_axes import Axis, polygons_of
from wardwright.intake.wall_gaps import DOOR_LIKE_M, Gap, wall_gaps
from wardwright.model import XY

OPENING_MEANINGS = (Meaning.DOOR, Meaning.WINDOW, Meaning.OPENING, Meaning.GARAGE_DOOR)
WIDEST_M = 6.6
"""Widest opening looked for: a double garage door is 4.9 m. [m]"""
BARE = 1.0
"""Rating of a gap with nothing drawn in it, the lowest there is."""
LEAF_M = (0.30, 1.70)
"""Radii that a swinging leaf can have. [m]"""


@dataclass
class Found:
    """An opening as drawn."""

    start: XY
    end: XY
    thickness: float
    """Of its wall. [m]"""
    broken: bool
    """The wall's faces break off at it."""
    arcs: list[Arc] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    code: SizeCode | None = None
    block: str = ""

    @property
    def width(self) -> float:
        """Clear width. [m]"""
        return math.dist(self.start, self.end)

    @property
    def centre(self) -> XY:
        """Middle of the opening. [m]"""
        return ((self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2)

    @property
    def along(self) -> float:
        """Direction of its wall. [rad]"""
        return math.atan2(self.end[1] - self.start[1], self.end[0] - self.start[0])

    @property
    def meanings(self) -> set[Meaning]:
        """What the layers and blocks of its strokes say, heads left out."""
        return {s.meaning for s in self.strokes} - {Meaning.HEADER}

    def strip(self, beyond: float = 0.02, aside: float = 0.0) -> Polygon:
        """Its ground, through the wall. [m]"""
        ux, uy = math.cos(self.along), math.sin(self.along)
        a = (self.start[0] - ux * beyond, self.start[1] - uy * beyond)
        b = (self.end[0] + ux * beyond, self.end[1] + uy * beyond)
        strip = LineString([a, b]).buffer(self.thickness / 2 + aside, cap_style="flat")
        return strip if isinstance(strip, Polygon) else Polygon()

    def along_span(self, shape: BaseGeometry) -> tuple[float, float] | None:
        """From where to where along the opening a shape reaches. [m]"""
        ux, uy = math.cos(self.along), math.sin(self.along)
        xy = shapely.get_coordinates(shape)
        if not len(xy):
            return None
        s = (xy[:, 0] - self.start[0]) * ux + (xy[:, 1] - self.start[1]) * uy
        return float(s.min()), float(s.max())


def line_of(stroke: Stroke) -> BaseGeometry:
    """A stroke as a line, closed where it is. [m]"""
    points = (*stroke.points, stroke.points[0]) if stroke.closed else stroke.points
    return LineString(points)


def find_openings(
    strokes: Sequence[Stroke],
    labels: Sequence[Label],
    solid: BaseGeometry,
    axes: Sequence[Axis],
    *,
    bare: float = DOOR_LIKE_M,
) -> tuple[list[Found], list[Label], int]:
    """Openings among the strokes of a plan.

    Parameters
    ----------
    strokes : sequence of Stroke
        Everything drawn that is neither text nor furniture. [m]
    labels : sequence of Label
        Texts; size codes among them are given to the opening they stand beside.
    solid : BaseGeometry
        Walls, broken off at openings or drawn through. [m]
    axes : sequence of Axis
        Their axes.
    bare : float
        Widest gap in a wall that counts as an opening though nothing is drawn in it. [m]

    Returns
    -------
    tuple
        The openings; size codes that belong to none of them; the number of door or window symbols on no wall.
    """
    symbols = [s for s in strokes if s.meaning in (*OPENING_MEANINGS, Meaning.HEADER) and s.arc is None]
    arcs = _leaf_arcs(strokes, solid)
    codes = [(c, label) for label in labels if (c := size_code(label.text)) is not None]
    found = _in_gaps(symbols, arcs, codes, solid, axes, bare)
    used = {id(s) for f in found for s in f.strokes} | {id(a) for f in found for a in f.arcs}
    more, homeless = _on_walls(
        [s for s in symbols if id(s) not in used and s.meaning is not Meaning.HEADER and not _is_open_leaf(s, found)],
        [a for a in arcs if id(a.arc) not in used],
        found,
        axes,
    )
    found += more
    spare = _give_codes(found, codes)
    return found, spare, homeless


def _leaf_arcs(strokes: Sequence[Stroke], solid: BaseGeometry) -> list[Stroke]:
    """Quarter circles, more or less, that may be the swing of a leaf; each once."""
    kept: list[Stroke] = []
    for stroke in strokes:
        arc = stroke.arc
        if arc is None or not LEAF_M[0] <= arc.radius <= LEAF_M[1] or not 10.0 <= arc.sweep_deg <= 125.0:
            continue
        if stroke.meaning not in (*OPENING_MEANINGS, Meaning.WALL, Meaning.UNKNOWN):
            continue
        if stroke.meaning is Meaning.WALL and _is_face(arc, strokes):
            continue
        near = 0.35 if stroke.meaning in OPENING_MEANINGS else 0.15
        if solid.distance(Point(arc.centre)) > near:
            continue
        if not any(
            k.arc and math.dist(k.arc.centre, arc.centre) < 0.02 and abs(k.arc.radius - arc.radius) < 0.03 for k in kept
        ):
            kept.append(stroke)
    return kept


def _is_open_leaf(stroke: Stroke, found: Sequence[Found]) -> bool:
    """Lines of a leaf drawn open lie between its hinge and one end of its swing."""
    for arc in (a for f in found for a in f.arcs):
        for tip in (arc.start, arc.end):
            leaf = LineString([arc.centre, tip])
            if all(leaf.distance(Point(p)) < 0.12 for p in stroke.points):
                return True
    return False


def _is_face(arc: Arc, strokes: Sequence[Stroke]) -> bool:
    """One face of a curved wall: the other lies round the same centre."""
    return any(
        s.arc is not None
        and math.dist(s.arc.centre, arc.centre) < 0.02
        and 0.03 < abs(s.arc.radius - arc.radius) < 0.65
        for s in strokes
        if s.meaning is Meaning.WALL
    )


# --- gaps -------------------------------------------------------------------------------------------------------------


def _in_gaps(
    symbols: Sequence[Stroke],
    arcs: Sequence[Stroke],
    codes: Sequence[tuple[SizeCode, Label]],
    solid: BaseGeometry,
    axes: Sequence[Axis],
    bare: float,
) -> list[Found]:
    lines = [line_of(s) for s in symbols]
    tree = shapely.STRtree(lines) if lines else None
    hinges = shapely.STRtree([Point(a.arc.centre) for a in arcs if a.arc is not None])
    rated: list[tuple[float, Found]] = []
    for gap in wall_gaps(axes, solid, longest=WIDEST_M):
        found = Found(gap.start, gap.end, gap.thickness, True)
        zone = found.strip(0.0, 0.05)
        inside = [symbols[k] for k in tree.query(zone, predicate="intersects")] if tree is not None else []
        found.strokes = [s for s in inside if _reaches_in(found, line_of(s), zone)]
        by = [arcs[k].arc for k in hinges.query(zone, predicate="dwithin", distance=0.5)]
        found.arcs = [arc for arc in by if arc is not None and _swings_in(found, arc)]
        cover = _cover(found, zone)
        coded = any(
            _fits(code, found) and math.dist(label.at, found.centre) < (0.4 if code.pair else 1.2)
            for code, label in codes
        )
        leaves = sum(a.radius for a in found.arcs)
        score = 0.0
        if found.arcs and leaves >= 0.7 * found.width:
            score = 3.0
        elif cover >= 0.6:
            score = 2.5 if gap.in_line else 2.0
        elif coded and gap.in_line:
            score = 1.5
        elif gap.in_line and gap.width <= bare and _is_doorway(gap, solid):
            score = BARE
        if found.arcs and leaves < 0.45 * found.width:
            found.arcs = []  # the swing of a door beside it
        if score:
            rated.append((score, found))
    return _without_overlaps(rated, solid)


def _without_overlaps(rated: Sequence[tuple[float, Found]], solid: BaseGeometry) -> list[Found]:
    """The best rated of openings over the same ground; wide gaps with nothing in them only within one building."""
    order = sorted(rated, key=lambda r: (-r[0], r[1].width))
    grounds = [f.strip(0.0) for _, f in order]
    wider = [f.strip() for _, f in order]
    tree = shapely.STRtree(wider)
    kept: list[int] = []
    chosen: set[int] = set()
    buildings: list[Polygon] | None = None
    for k, (score, found) in enumerate(order):
        near = [int(j) for j in tree.query(grounds[k], predicate="intersects") if int(j) in chosen]
        area = grounds[k].area
        if any(grounds[k].intersection(wider[j]).area >= 0.2 * min(area, wider[j].area) for j in near):
            continue
        if score <= BARE and found.width > DOOR_LIKE_M:
            if buildings is None:
                buildings = polygons_of(shapely.union_all([solid, *(wider[j] for j in kept)]))
            if not any(
                b.distance(Point(found.start)) < 0.02 and b.distance(Point(found.end)) < 0.02 for b in buildings
            ):
                continue
        kept.append(k)
        chosen.add(k)
    return [order[k][1] for k in kept]


def _is_doorway(gap: Gap, solid: BaseGeometry) -> bool:
    """Nothing drawn in it: only a gap in a wall of some length on both sides, not the ends of two piers or posts."""
    ux, uy = math.cos(gap.along), math.sin(gap.along)
    for end, sign in ((gap.start, -1.0), (gap.end, 1.0)):
        beyond = Point(end[0] + sign * ux * 0.25, end[1] + sign * uy * 0.25)
        if not solid.contains(beyond) and solid.distance(beyond) > 0.2:
            return False
    return True


def _reaches_in(found: Found, line: BaseGeometry, zone: BaseGeometry) -> bool:
    """A stroke belongs to an opening if part of it runs along inside it; a jamb line only touches its edge."""
    part = line.intersection(zone)
    span = found.along_span(part)
    return span is not None and span[1] - span[0] > 0.08


def _swings_in(found: Found, arc: Arc) -> bool:
    """The hinge is at a jamb and one end of the swing lies in the opening: the leaf shut."""
    if arc.radius > found.width + 0.12:
        return False
    line = LineString([found.start, found.end])
    near = found.thickness / 2 + 0.12
    if min(math.dist(arc.centre, found.start), math.dist(arc.centre, found.end)) > found.thickness / 2 + 0.2:
        return False
    ux, uy = math.cos(found.along), math.sin(found.along)
    for tip in (arc.start, arc.end):
        dx, dy = tip[0] - arc.centre[0], tip[1] - arc.centre[1]
        if abs(dx * ux + dy * uy) > 0.9 * arc.radius and line.distance(Point(tip)) < near:
            return True
    return False


def _cover(found: Found, zone: BaseGeometry) -> float:
    """Share of the width that strokes run along."""
    spans = [s for s in (found.along_span(line_of(k).intersection(zone)) for k in found.strokes) if s is not None]
    if not spans:
        return 0.0
    merged = shapely.union_all([LineString([(a, 0), (b + 1e-9, 0)]) for a, b in spans])
    return float(merged.intersection(LineString([(0, 0), (found.width, 0)])).length / found.width)


def _fits(code: SizeCode, found: Found) -> bool:
    drawn = found.width
    tolerance = 0.03 if code.pair else max(0.06, 0.05 * drawn)
    return abs(code.width_near(drawn) - drawn) <= tolerance


# --- symbols on walls drawn through -----------------------------------------------------------------------------------


def _on_walls(
    symbols: Sequence[Stroke], arcs: Sequence[Stroke], taken: Sequence[Found], axes: Sequence[Axis]
) -> tuple[list[Found], int]:
    if not axes:
        return [], 0
    lines = [a.line for a in axes]
    tree = shapely.STRtree(lines)
    found: list[Found] = []
    homeless = 0
    for group in _groups([*symbols, *arcs]):
        swings = [s.arc for s in group if s.arc is not None]
        shapes = [s for s in group if s.arc is None]
        mine = _from_arcs(swings, axes, lines, tree) or _from_shapes(shapes, axes, lines, tree)
        if not mine:
            homeless += int(any(s.meaning in (Meaning.DOOR, Meaning.WINDOW, Meaning.GARAGE_DOOR) for s in group))
            continue
        for one in mine:
            one.strokes = shapes or [s for s in group if s.arc is not None]
            ground = one.strip()
            if one.width > WIDEST_M or any(
                ground.intersection(k.strip()).area > 0.3 * min(ground.area, k.strip().area) for k in (*taken, *found)
            ):
                continue
            found.append(one)
    return found, homeless


def _groups(strokes: Sequence[Stroke]) -> list[list[Stroke]]:
    """Strokes of one symbol: of one inserted block, or touching each other."""
    groups: dict[int, list[Stroke]] = {}
    loose: list[Stroke] = []
    for s in strokes:
        if s.insert is not None:
            groups.setdefault(s.insert, []).append(s)
        else:
            loose.append(s)
    result = list(groups.values())
    if loose:
        shapes = [line_of(s).buffer(0.03) for s in loose]
        blobs = shapely.union_all(shapes)
        parts = list(getattr(blobs, "geoms", [blobs]))
        tree = shapely.STRtree(parts)
        by_part: dict[int, list[Stroke]] = {}
        for stroke, shape in zip(loose, shapes, strict=True):
            hit = tree.query(shape, predicate="intersects")
            by_part.setdefault(int(hit[0]) if len(hit) else -1, []).append(stroke)
        result += list(by_part.values())
    return result


def _nearest_axis(
    spot: Point,
    axes: Sequence[Axis],
    lines: Sequence[LineString],
    tree: shapely.STRtree,
    direction: float | None = None,
) -> tuple[Axis, float, float] | None:
    """Axis nearest to a point, its distance and its direction there."""
    best: tuple[Axis, float, float] | None = None
    for k in tree.query(spot.buffer(1.2)):
        distance = lines[k].distance(spot)
        at = lines[k].project(spot)
        a, b = lines[k].interpolate(max(0.0, at - 0.05)), lines[k].interpolate(min(lines[k].length, at + 0.05))
        along = math.atan2(b.y - a.y, b.x - a.x)
        if direction is not None and abs(math.sin(along - direction)) > 0.2:
            continue
        if best is None or distance < best[1]:
            best = (axes[k], distance, along)
    return best


def _from_arcs(
    swings: Sequence[Arc], axes: Sequence[Axis], lines: Sequence[LineString], tree: shapely.STRtree
) -> list[Found]:
    found: list[Found] = []
    for arc in swings:
        options: list[tuple[float, XY, Axis]] = []
        for tip in (arc.start, arc.end):
            direction = math.atan2(tip[1] - arc.centre[1], tip[0] - arc.centre[0])
            middle = Point((tip[0] + arc.centre[0]) / 2, (tip[1] + arc.centre[1]) / 2)
            near = _nearest_axis(middle, axes, lines, tree, direction)
            if near is not None and near[1] <= near[0].thickness / 2 + 0.15:
                options.append((near[1], tip, near[0]))
        if not options:
            continue
        _, tip, axis = min(options, key=lambda o: o[0])
        hinge = axis.line.interpolate(axis.line.project(Point(arc.centre)))
        shut = axis.line.interpolate(axis.line.project(Point(tip)))
        if hinge.distance(shut) < 0.5 * arc.radius:
            continue
        ux, uy = (shut.x - hinge.x) / hinge.distance(shut), (shut.y - hinge.y) / hinge.distance(shut)
        end = (hinge.x + ux * arc.radius, hinge.y + uy * arc.radius)
        found.append(Found((hinge.x, hinge.y), end, axis.thickness, False, [arc]))
    return _pairs_joined(found)


def _pairs_joined(found: list[Found]) -> list[Found]:
    """Two leaves that meet are one opening."""
    joined: list[Found] = []
    for one in found:
        for other in joined:
            if (
                len(other.arcs) == 1
                and math.dist(one.end, other.end) < 0.08
                and math.dist(one.start, other.start) > 0.4
            ):
                joined.remove(other)
                one = Found(other.start, one.start, one.thickness, False, [*other.arcs, *one.arcs])
                break
        joined.append(one)
    return joined


def _from_shapes(
    shapes: Sequence[Stroke], axes: Sequence[Axis], lines: Sequence[LineString], tree: shapely.STRtree
) -> list[Found]:
    if not shapes:
        return []
    whole = shapely.union_all([line_of(s) for s in shapes])
    centre = whole.envelope.centroid
    near = _nearest_axis(centre, axes, lines, tree)
    if near is None or near[1] > near[0].thickness / 2 + 0.25:
        return []
    axis, _, along = near
    ux, uy = math.cos(along), math.sin(along)
    foot = axis.line.interpolate(axis.line.project(centre))
    band = LineString([(foot.x - 4 * ux, foot.y - 4 * uy), (foot.x + 4 * ux, foot.y + 4 * uy)])
    inside = whole.intersection(band.buffer(axis.thickness / 2 + 0.03, cap_style="flat"))
    xy = shapely.get_coordinates(inside)
    if len(xy) < 2:
        return []
    s = (xy[:, 0] - foot.x) * ux + (xy[:, 1] - foot.y) * uy
    low, high = float(s.min()), float(s.max())
    if not 0.3 <= high - low <= WIDEST_M:
        return []
    return [
        Found((foot.x + ux * low, foot.y + uy * low), (foot.x + ux * high, foot.y + uy * high), axis.thickness, False)
    ]


# --- size codes -------------------------------------------------------------------------------------------------------


def _give_codes(found: Sequence[Found], codes: Sequence[tuple[SizeCode, Label]]) -> list[Label]:
    """Each code to the opening it stands beside: first where the widths agree, then to the nearest without a code."""
    pairs: list[tuple[int, float, int, int]] = []
    for i, (code, label) in enumerate(codes):
        for k, one in enumerate(found):
            line = LineString([one.start, one.end])
            distance = line.distance(Point(label.at))
            if _fits(code, one) and distance <= (0.6 if code.pair else 1.3):
                pairs.append((0, distance, i, k))
            elif not code.pair and distance <= 0.6 and (code.kind is not None or code.movements):
                pairs.append((1, distance, i, k))
    given: set[int] = set()
    for _, _, i, k in sorted(pairs):
        if i not in given and found[k].code is None:
            found[k].code = codes[i][0]
            given.add(i)
    return [
        label
        for i, (code, label) in enumerate(codes)
        if i not in given and not code.pair and (code.kind is not None or code.movements)
    ]


def panels(found: Found, symbols: Iterable[Stroke]) -> tuple[int, bool]:
    """Sliding panels drawn in an opening without a swing.

    Parameters
    ----------
    found : Found
        The opening.
    symbols : iterable of Stroke
        Strokes of doors and windows near it. [m]

    Returns
    -------
    tuple
        Number of panels one behind the other, and whether one runs into the wall beside the opening.
    """
    zone = found.strip(found.width, 0.03)
    ux, uy = math.cos(found.along), math.sin(found.along)
    rows: list[tuple[float, float, float]] = []
    for stroke in symbols:
        if stroke.arc is not None or stroke.meaning is Meaning.GARAGE_DOOR:
            continue
        ends = (*stroke.points[1:], stroke.points[0]) if stroke.closed else stroke.points[1:]
        for a, b in zip(stroke.points, ends, strict=False):
            length = math.dist(a, b)
            if length < 0.3 * found.width or length > 1.1 * found.width:
                continue
            if abs((b[0] - a[0]) * -uy + (b[1] - a[1]) * ux) > 0.05 * length:
                continue
            if not zone.contains(Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)):
                continue
            s = sorted((p[0] - found.start[0]) * ux + (p[1] - found.start[1]) * uy for p in (a, b))
            rows.append((s[0], s[1], -(a[0] - found.start[0]) * uy + (a[1] - found.start[1]) * ux))
    pocket = any(
        hi > found.width + 0.25 * found.width or lo < -0.25 * found.width
        for lo, hi, _ in rows
        if hi - lo > 0.5 * found.width
    )
    partial = [(round(lo / 0.08), round(hi / 0.08)) for lo, hi, _ in rows if hi - lo < 0.85 * found.width]
    return len(set(partial)), pocket
