"""Names and sizes written in a plan, given to the rooms they stand in; open space parted where it narrows."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Point, Polygon

from wardwright.intake.dxf_layers import Meaning, meaning_of
from wardwright.intake.dxf_strokes import Label
from wardwright.intake.names import is_outdoors, room_use
from wardwright.intake.size_codes import room_size, size_code, stated_area
from wardwright.intake.wall_axes import polygons_of
from wardwright.model import XY
from wardwright.premises.fabric import RoomUse

MOUTH_M = 2.6
"""Open space is parted between two names where it is no wider than this. [m]"""
SMALLEST_PART_M2 = 0.8

_SHORT = {
    "util": RoomUse.UTILITY,
    "lndry": RoomUse.UTILITY,
    "ldry": RoomUse.UTILITY,
    "clo": RoomUse.STORE,
    "clos": RoomUse.STORE,
    "lin": RoomUse.STORE,
    "stor": RoomUse.STORE,
    "sto": RoomUse.STORE,
    "toil": RoomUse.BATHROOM,
    "ba": RoomUse.BATHROOM,
    "pdr": RoomUse.BATHROOM,
    "pwdr": RoomUse.BATHROOM,
    "kit": RoomUse.KITCHEN,
    "kü": RoomUse.KITCHEN,
    "liv": RoomUse.LIVING,
    "fam": RoomUse.LIVING,
    "din": RoomUse.DINING,
    "bdrm": RoomUse.BEDROOM,
    "bed": RoomUse.BEDROOM,
    "mbr": RoomUse.BEDROOM,
    "mstr": RoomUse.BEDROOM,
    "gar": RoomUse.GARAGE,
    "ent": RoomUse.HALL,
    "mech": RoomUse.PLANT,
    "off": RoomUse.OFFICE,
}
_NO_NAME = re.compile(
    r"note|door|window|scale|plan|sheet|typ|attic access|min\.|max\.|clg|ceiling|provide|shelf|rod|shower\b.*x|"
    r"\bin\b|\bon\b|\bto\b|\bfor\b|\bbetween\b|\bshall\b|\bper\b|w/|\bwalls?\b|"
    r"hose|panel|beam|header|opening|line of|above|below|slope|drawn|date|project|copyright|"
    r"stairs? (up|down)|\bdn\b|\bup\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class RoomName:
    """A name on the plan, with the size printed under it."""

    text: str
    at: XY
    use: RoomUse | None
    area: float | None = None
    """Printed size. [m²]"""

    @property
    def outdoors(self) -> bool:
        """The name speaks of a place under the sky."""
        return is_outdoors(self.text)


def use_of_name(text: str) -> RoomUse | None:
    """What a room is for, abbreviations of drawings included; None where the name does not say."""
    use = room_use(text)
    if use is not RoomUse.OTHER:
        return use
    for word in re.split(r"[^a-zA-Zü]+", text.lower()):
        if word in _SHORT:
            return _SHORT[word]
    return None


def room_names(labels: Sequence[Label]) -> list[RoomName]:
    """Room names among the texts of a plan.

    Parameters
    ----------
    labels : sequence of Label
        Every text. [m]

    Returns
    -------
    list of RoomName
        Names of several lines joined, printed sizes attached.
    """
    worded = [t for t in labels if _wordy(t.text)]
    known = [t for t in worded if use_of_name(t.text) is not None or is_outdoors(t.text)]
    known += [t for t in worded if t not in known and meaning_of(t.layer) is Meaning.ROOM]
    names: list[RoomName] = []
    used: set[int] = set()
    for label in known:
        if id(label) in used:
            continue
        lines = _with_lines(label, worded, used)
        used |= {id(t) for t in lines}
        text = " ".join(t.text.strip() for t in lines)
        at = (sum(t.at[0] for t in lines) / len(lines), sum(t.at[1] for t in lines) / len(lines))
        names.append(RoomName(text, at, use_of_name(text), _printed_area(lines, labels)))
    return names


def _wordy(text: str) -> bool:
    letters = sum(c.isalpha() for c in text)
    return (
        2 <= len(text) <= 26
        and letters >= max(2, 0.5 * len(text))
        and size_code(text) is None
        and room_size(text) is None
        and stated_area(text) is None
        and not _NO_NAME.search(text)
    )


def _with_lines(label: Label, worded: Sequence[Label], used: set[int]) -> list[Label]:
    """The label with the lines of the same name above and below it, from top to bottom."""
    lines = [label]
    grew = True
    while grew:
        grew = False
        for other in worded:
            if other in lines or id(other) in used or other.layer != label.layer:
                continue
            if abs(other.height - label.height) > 0.06 * label.height or abs(other.angle_deg - label.angle_deg) > 2.0:
                continue
            for mine in lines:
                down, aside = _offset(mine, other)
                if 1.0 * label.height < abs(down) < 2.2 * label.height and abs(aside) < 3.0 * label.height:
                    lines.append(other)
                    grew = True
                    break
    return sorted(lines, key=lambda t: _offset(label, t)[0])


def _offset(a: Label, b: Label) -> tuple[float, float]:
    angle = math.radians(a.angle_deg)
    dx, dy = b.at[0] - a.at[0], b.at[1] - a.at[1]
    return dx * math.sin(angle) - dy * math.cos(angle), dx * math.cos(angle) + dy * math.sin(angle)


def _printed_area(lines: Sequence[Label], labels: Sequence[Label]) -> float | None:
    best: tuple[float, float] | None = None
    last = lines[-1]
    for other in labels:
        size = room_size(other.text)
        area = stated_area(other.text) if size is None else size[0] * size[1]
        if area is None or not 0.3 <= area <= 5000.0:
            continue
        distance = math.dist(other.at, last.at)
        if distance < 4.0 * last.height and (best is None or distance < best[0]):
            best = (distance, area)
    return best[1] if best else None


@dataclass(frozen=True)
class Part:
    """A room, or a part of open space, with the names that stand in it."""

    shape: Polygon
    names: tuple[RoomName, ...]


@dataclass(frozen=True)
class Mouth:
    """Where open space was parted."""

    start: XY
    end: XY


def parted(shape: Polygon, names: Sequence[RoomName]) -> tuple[list[Part], list[Mouth]]:
    """Part a room with several names where it narrows between them.

    Parameters
    ----------
    shape : Polygon
        Floor closed off by walls. [m]
    names : sequence of RoomName
        All names of the plan.

    Returns
    -------
    tuple
        The parts, and the lines between them: from a corner that juts into the space to another one, or straight on
        from a wall's end to the wall opposite.
    """
    inside = [n for n in names if shape.contains(Point(n.at))]
    if len(inside) < 2:
        return [Part(shape, tuple(inside))], []
    inner = shape.buffer(0.01)
    for chord in _chords(shape):
        if not inner.covers(chord):
            continue
        ends = shapely.get_coordinates(chord)
        # A hair longer, so that it surely reaches the walls; what slivers it cuts off there are dropped.
        a_bit = (ends[1] - ends[0]) / chord.length * 0.006
        cut = LineString([ends[0] - a_bit, ends[1] + a_bit])
        parts = [p for p in polygons_of(shape.difference(cut.buffer(1e-4))) if p.area > 0.01]
        named = [p for p in parts if any(p.contains(Point(n.at)) for n in inside)]
        if len(parts) != 2 or len(named) != 2 or min(p.area for p in parts) < SMALLEST_PART_M2:
            continue
        one, one_mouths = parted(parts[0], inside)
        two, two_mouths = parted(parts[1], inside)
        mouth = Mouth((float(ends[0][0]), float(ends[0][1])), (float(ends[1][0]), float(ends[1][1])))
        return [*one, *two], [mouth, *one_mouths, *two_mouths]
    return [Part(shape, tuple(inside))], []


def _chords(shape: Polygon) -> list[LineString]:
    """Lines at which a shape may be parted, shortest first."""
    plain = shapely.geometry.polygon.orient(shapely.simplify(shape, 0.01))
    if not isinstance(plain, Polygon):
        return []
    juts: list[tuple[XY, XY, XY]] = []
    for ring in (plain.exterior, *plain.interiors):
        xy = [(float(c[0]), float(c[1])) for c in ring.coords[:-1]]
        for k, v in enumerate(xy):
            before, after = xy[k - 1], xy[(k + 1) % len(xy)]
            cross = (v[0] - before[0]) * (after[1] - v[1]) - (v[1] - before[1]) * (after[0] - v[0])
            if cross < -1e-6:
                juts.append((before, v, after))
    lines: list[LineString] = []
    boundary = plain.boundary
    for before, v, after in juts:
        for other in (before, after):
            length = math.dist(other, v)
            ux, uy = (v[0] - other[0]) / length, (v[1] - other[1]) / length
            start = (v[0] + ux * 1e-4, v[1] + uy * 1e-4)
            hit = LineString([start, (v[0] + ux * MOUTH_M, v[1] + uy * MOUTH_M)]).intersection(boundary)
            reach = MOUTH_M if hit.is_empty else Point(v).distance(hit)
            end = (v[0] + ux * reach, v[1] + uy * reach)
            # A line that grazes a corner ends there.
            for _, w, _ in juts:
                along = (w[0] - v[0]) * ux + (w[1] - v[1]) * uy
                if 0.4 <= along <= math.dist(v, end) + 0.02 and abs((w[1] - v[1]) * ux - (w[0] - v[0]) * uy) < 0.03:
                    end = w
            if end in [w for _, w, _ in juts] or not hit.is_empty:
                lines.append(LineString([v, end]))
    straight = len(lines)
    for i, (_, a, _) in enumerate(juts):
        lines += [LineString([a, b]) for _, b, _ in juts[i + 1 :] if 0.4 <= math.dist(a, b) <= MOUTH_M]
    # A line on from a wall looks like a boundary; one slantwise from corner to corner must be much shorter to win.
    ranked = [(c.length * (1.0 if k < straight else 1.5), c) for k, c in enumerate(lines)]
    return [c for _, c in sorted(ranked, key=lambda r: r[0]) if 0.4 <= c.length <= MOUTH_M]


def joint_use(names: Sequence[RoomName]) -> RoomUse | None:
    """Use of a room with several names: that of the part people live in."""
    uses = [n.use for n in names if n.use is not None]
    for use in (RoomUse.LIVING, RoomUse.KITCHEN, RoomUse.DINING):
        if use in uses:
            return use
    return uses[0] if uses else None
