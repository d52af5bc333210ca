"""Several storeys in one drawing: side by side under their titles, or over each other on layers of their own.

Only what is evident is parted: every plan must carry a title, or every wall layer a token, that names another level.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import MultiPoint, Point, box
from shapely.geometry.base import BaseGeometry

from wardwright.intake.dxf_layers import Meaning, plain_name
from wardwright.intake.dxf_strokes import Label, Sheet, Stroke
from wardwright.intake.names import folded
from wardwright.model import XY

APART_M = 1.5
"""Plans of different storeys stand at least this far apart on a sheet. [m]"""
SMALLEST_PLAN_M = 4.0
_TITLE_REACH_M = 8.0

_ORDINAL = {
    "first": 1,
    "second": 2,
    "third": 3,
    "fourth": 4,
    "premier": 1,
    "deuxieme": 2,
    "primera": 1,
    "segunda": 2,
    "erstes": 1,
    "zweites": 2,
    "drittes": 3,
}
_STOREY = r"(?:floor|storey|story|level|etage|geschoss|og|obergeschoss|planta|piso|piano|niveau|stock|verdieping)"
_FIXED: tuple[tuple[int, str], ...] = (
    (-1, r"basement|cellar|keller(geschoss)?|untergeschoss|[12]?\.? ?ug|kg|sous.?sol|sotano|kelder|lower level"),
    (0, r"ground (floor|level|storey|story)|main (floor|level)|erdgeschoss|eg|rdc|rez.de.chaussee|planta baja|pb|gf|"
        r"piano terra|begane grond"),
    (1, r"upper (floor|level|storey|story)|upstairs|obergeschoss|og|planta alta"),
    (9, r"attic|loft|dachgeschoss|dg|combles|grenier|zolder"),
)  # fmt: skip


@dataclass(frozen=True)
class Level:
    """One storey's part of a drawing."""

    name: str
    number: int
    """0 the ground floor, 1 the one above, -1 a basement."""
    sheet: Sheet
    moved: XY = (0.0, 0.0)
    """By how much it was shifted to lie over the lowest. [m]"""


def level_number(text: str) -> int | None:
    """Which storey a title or a layer's name speaks of.

    Parameters
    ----------
    text : str
        ``GROUND FLOOR PLAN``, ``1. OG``, ``A-WALL-L02``.

    Returns
    -------
    int or None
        First floor counts as 1 here whatever the country; 9 is an attic. None where no level is named.
    """
    plain = re.sub(r"[.]", " ", folded(text))
    plain = re.sub(r"\s+", " ", plain)
    found = re.search(rf"(?<![a-z0-9])(\d{{1,2}})(?:st|nd|rd|th|er|e|eme)? ?{_STOREY}(?![a-z])", plain)
    found = found or re.search(rf"(?<![a-z]){_STOREY} ?0?(\d{{1,2}})(?!\d)", plain)
    found = found or re.search(r"(?<![a-z0-9])[lf]0?(\d)(?![a-z0-9])", plain)
    if found:
        return int(found[1])
    for word, number in _ORDINAL.items():
        if re.search(rf"(?<![a-z]){word} {_STOREY}|{_STOREY} {word}(?![a-z])", plain):
            return number
    for number, words in _FIXED:
        if re.search(rf"(?<![a-z])(?:{words})(?![a-z])", plain):
            return number
    return None


def levels_in(plan: Sheet, walls: Sequence[Stroke]) -> list[Level]:
    """Part a drawing into storeys, where it is evident.

    Parameters
    ----------
    plan : Sheet
        The drawing. [m]
    walls : sequence of Stroke
        What is taken for walls.

    Returns
    -------
    list of Level
        From the lowest up; one for the whole drawing where nothing tells storeys apart.
    """
    levels = _by_layer(plan, walls) or _by_place(plan, walls)
    if not levels:
        return [Level("ground floor", 0, plan)]
    return _numbered(sorted(levels, key=lambda v: v.number))


def _numbered(levels: list[Level]) -> list[Level]:
    """Where no ground floor is named, the first floor is it; an attic comes on top of the others."""
    numbers = [v.number for v in levels]
    if 0 not in numbers and 1 in numbers:
        levels = [replace(v, number=v.number - 1) if 0 < v.number < 9 else v for v in levels]
    below = [v.number for v in levels if v.number < 9]
    top = max(below) + 1 if below else 0
    return [replace(v, number=top) if v.number == 9 else v for v in levels]


def _by_layer(plan: Sheet, walls: Sequence[Stroke]) -> list[Level]:
    numbers = {s.layer: level_number(re.sub(r"[^\w]|_", " ", plain_name(s.layer))) for s in plan.strokes}
    groups: dict[int, list[Stroke]] = {}
    for stroke in walls:
        number = numbers[stroke.layer]
        if number is None:
            return []
        groups.setdefault(number, []).append(stroke)
    if len(groups) < 2:
        return []
    boxes = {k: _hull(g) for k, g in groups.items()}
    whole = max(boxes.values(), key=lambda b: b.area)
    if any(b.intersection(whole).area < 0.5 * b.area or b.area < SMALLEST_PLAN_M**2 for b in boxes.values()):
        return []
    lowest = min(groups, key=abs)
    levels: list[Level] = []
    for number in groups:
        strokes = [s for s in plan.strokes if (numbers[s.layer] if numbers[s.layer] is not None else lowest) == number]
        labels = [
            t
            for t in plan.labels
            if (n if (n := level_number(re.sub(r"[^\w]|_", " ", plain_name(t.layer)))) is not None else lowest)
            == number
        ]
        layer = groups[number][0].layer
        levels.append(Level(plain_name(layer), number, replace(plan, strokes=strokes, labels=labels)))
    return levels


def _hull(strokes: Sequence[Stroke]) -> BaseGeometry:
    return MultiPoint([p for s in strokes for p in s.points]).envelope


def _by_place(plan: Sheet, walls: Sequence[Stroke]) -> list[Level]:
    points = [p for s in walls for p in s.points]
    if len(points) > 60_000:
        return []
    blots = shapely.union_all([_hull([s]).buffer(APART_M / 2) for s in walls])
    parts = list(getattr(blots, "geoms", [blots]))
    plans = [p for p in parts if min(p.bounds[2] - p.bounds[0], p.bounds[3] - p.bounds[1]) > SMALLEST_PLAN_M]
    if len(plans) < 2:
        return []
    titles = [(n, t) for t in plan.labels if len(t.text) <= 48 and (n := level_number(t.text)) is not None]
    given: list[tuple[int, Label] | None] = []
    for area in plans:
        zone = box(*area.bounds)
        near = sorted((zone.distance(Point(t.at)), -t.height, k) for k, (_, t) in enumerate(titles))
        near = [n for n in near if n[0] <= _TITLE_REACH_M and _nearest_plan(titles[n[2]][1], plans) is area]
        # The largest lettering under or beside a plan is its title.
        given.append(titles[min(near, key=lambda n: (n[1], n[0]))[2]] if near else None)
    if any(g is None for g in given) or len({g[0] for g in given if g}) != len(plans):
        return []
    named = sorted(zip(plans, [g for g in given if g], strict=True), key=lambda r: abs(r[1][0]))
    base = named[0][0].bounds
    levels: list[Level] = []
    for area, (number, title) in named:
        shift = (base[0] - area.bounds[0], base[1] - area.bounds[1])
        strokes = [s for s in plan.strokes if _mine(s.points[0], area, plans)]
        labels = [t for t in plan.labels if t is not title and _mine(t.at, area, plans)]
        levels.append(Level(title.text.lower(), number, _shifted(plan, strokes, labels, shift), shift))
    return levels


def _nearest_plan(label: Label, plans: Sequence[BaseGeometry]) -> BaseGeometry:
    return min(plans, key=lambda p: box(*p.bounds).distance(Point(label.at)))


def _mine(at: XY, area: BaseGeometry, plans: Sequence[BaseGeometry]) -> bool:
    return min(plans, key=lambda p: box(*p.bounds).distance(Point(at))) is area


def _shifted(plan: Sheet, strokes: Sequence[Stroke], labels: Sequence[Label], by: XY) -> Sheet:
    def put(p: XY) -> XY:
        return (p[0] + by[0], p[1] + by[1])

    moved = []
    for s in strokes:
        arc = s.arc and replace(s.arc, centre=put(s.arc.centre), start=put(s.arc.start), end=put(s.arc.end))
        moved.append(replace(s, points=tuple(put(p) for p in s.points), arc=arc))
    return replace(plan, strokes=moved, labels=[replace(t, at=put(t.at)) for t in labels])


def stair_outlines(sheet: Sheet) -> list[BaseGeometry]:
    """Stairs drawn on layers or in blocks that say so, as outlines.

    Parameters
    ----------
    sheet : Sheet
        One storey. [m]
    """
    lines = [_hull([s]).buffer(0.2) for s in sheet.strokes if s.meaning is Meaning.STAIR]
    if len(lines) < 4:
        return []
    blots = shapely.union_all(lines)
    found: list[BaseGeometry] = []
    for part in getattr(blots, "geoms", [blots]):
        x0, y0, x1, y1 = part.buffer(-0.2).bounds if not part.buffer(-0.2).is_empty else part.bounds
        if (
            sum(part.contains(line.centroid) for line in lines) >= 4
            and min(x1 - x0, y1 - y0) >= 0.6
            and max(x1 - x0, y1 - y0) <= 8
        ):
            found.append(box(x0, y0, x1, y1))
    return found
