"""Device tags: a square with two or three letters, put near its device where it covers nothing that matters."""

import math
from dataclasses import dataclass
from functools import cached_property

from shapely import LineString, box, clip_by_rect, intersection
from shapely.geometry.base import BaseGeometry

from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device, Keep
from wardwright.documents.frame import Box, Frame
from wardwright.documents.ink import INK, PAPER, QUIET
from wardwright.documents.lettering import letter, text_width
from wardwright.documents.svg import el, group, line, polyline
from wardwright.errors import NoSolutionError
from wardwright.model import XY
from wardwright.premises.plan import StoreyPlan

SIDE = 4.0
"""Side of a tag. [mm]"""
GAP = 0.5
"""Least room between two tags. [mm]"""
ID_SIZE = 1.7
NEAREST_MM, STEP_MM = 3.1, 0.8
"""Radius of the first ring of places tried round a device, and what each ring adds. [mm]"""
PER_MM = 0.9
"""What each millimetre from the device costs."""
LAST_RING = 400
NEAR_MM = 16.0
"""Walls are cut out this far round a device before places near it are tried: much the quicker. [mm]"""
STRAY_M = 1.0
"""How far from its opening's edge a device on a leaf may be drawn. [m]"""
FACING = frozenset({Family.MOTION, Family.DUAL, Family.BEAM, Family.GLASS_BREAK})
"""Families that look or listen one way, and so have a notch."""


@dataclass(frozen=True)
class Tag:
    """One tag to be placed."""

    device_id: str
    letters: str
    anchor: XY
    """The device itself on paper. [mm]"""
    notch: XY | None = None
    """Unit vector on paper towards what it faces."""
    leaf: XY | None = None
    """Unit vector on paper towards the leaf it sits on."""
    radio: bool = False
    kept: bool = False
    caption: str = ""
    """Small words under the square: the device's id on the firm's drawings."""

    @cached_property
    def size(self) -> XY:
        """Width and height of square and caption together. [mm]"""
        if not self.caption:
            return (SIDE, SIDE)
        return (max(SIDE, text_width(self.caption, ID_SIZE)), SIDE + ID_SIZE * 1.15)


@dataclass(frozen=True)
class Placed:
    """A tag with its place."""

    tag: Tag
    box: Box
    """Square and caption. [mm]"""

    @property
    def square(self) -> Box:
        """The square alone. [mm]"""
        return Box(self.box.x + (self.box.width - SIDE) / 2, self.box.y, SIDE, SIDE)


def tag_of(device: Device, kind: DeviceKind, plan: StoreyPlan, frame: Frame, *, caption: bool) -> Tag:
    """The tag of a device."""
    place, leaf = device.position, None
    for shape in plan.openings:
        if shape.opening.id != device.opening_id:
            continue
        if math.dist(place, shape.centre) > shape.opening.width_m / 2 + STRAY_M:
            place = shape.centre  # a contact is where its opening is, whatever was typed
        dx, dy = (a - b for a, b in zip(frame.at(shape.centre), frame.at(place), strict=True))
        reach = math.hypot(dx, dy)
        leaf = (dx / reach, dy / reach) if reach > 0.05 else (0.0, -1.0)
    return Tag(
        device_id=device.id,
        letters=kind.tag,
        anchor=frame.at(place),
        notch=frame.direction(device.heading_rad) if kind.family in FACING else None,
        leaf=leaf,
        radio=kind.radio,
        kept=device.status is Keep.KEPT,
        caption=device.id if caption else "",
    )


def place_tags(
    tags: list[Tag], space: Box, *, taken: list[Box] | None = None, avoid: BaseGeometry | None = None
) -> list[Placed]:
    """Find a place for every tag; no two overlap, none leaves ``space`` while there is room in it.

    Each tag tries places on growing rings round its device and takes the cheapest: near, off the walls and openings,
    off the names of rooms, off the devices, with no leader crossing another.

    Parameters
    ----------
    tags : list of Tag
        What to place; the order decides who chooses first.
    space : Box
        Where tags may lie. [mm]
    taken : list of Box, optional
        Names of rooms and other words that tags keep off. [mm]
    avoid : BaseGeometry, optional
        Walls and openings on paper: tags keep off them while they can. [mm]

    Returns
    -------
    list of Placed
        In the order given.
    """
    words = list(taken or ())
    placed: list[Placed] = []
    leaders: list[tuple[XY, XY]] = []
    for tag in tags:
        best: tuple[float, Box] | None = None
        ring = 0
        x, y = tag.anchor
        near = None if avoid is None else clip_by_rect(avoid, x - NEAR_MM, y - NEAR_MM, x + NEAR_MM, y + NEAR_MM)
        while (best is None or PER_MM * STEP_MM * ring < best[0]) and ring <= LAST_RING:
            radius = NEAREST_MM + STEP_MM * ring
            count = 16 + 4 * min(ring, 12)
            for step in range(count):
                spot = _candidate(tag, radius, 2 * math.pi * step / count)
                most = math.inf if best is None else best[0]
                if any(spot.overlaps(p.box, GAP) for p in placed) or (
                    not spot.inside(space) and ring <= LAST_RING - 100
                ):
                    continue
                cost = PER_MM * STEP_MM * ring + _words_cost(spot, words, tags)
                if cost < most and avoid is not None:
                    outline = box(spot.x, spot.y, spot.right, spot.bottom)
                    fabric = near if radius + max(tag.size) < NEAR_MM else avoid
                    cost += 1.2 * float(intersection(fabric, outline).area)
                    if tag.leaf is None:  # a tag on the far side of a wall would be read as in the next room
                        reach = LineString([tag.anchor, Placed(tag, spot).square.centre])
                        cost += 1.5 * float(intersection(fabric, reach).length)
                if cost < most:
                    end = Placed(tag, spot).square.centre
                    cost += 6.0 * sum(_cross((tag.anchor, end), other) for other in leaders)
                if cost < most - 1e-9:
                    best = (cost, spot)
            ring += 1
        if best is None:
            raise NoSolutionError(f"there is no room on the sheet for the tag of {tag.device_id}")
        placed.append(Placed(tag, best[1]))
        leaders.append((tag.anchor, placed[-1].square.centre))
    return placed


def _candidate(tag: Tag, radius: float, angle: float) -> Box:
    width, height = tag.size
    middle = (tag.anchor[0] + radius * math.cos(angle), tag.anchor[1] + radius * math.sin(angle))
    return Box(middle[0] - width / 2, middle[1] - SIDE / 2, width, height)


def _words_cost(spot: Box, words: list[Box], tags: list[Tag]) -> float:
    """What covering names of rooms and other devices costs."""
    cost = 60.0 * sum(spot.overlaps(other, 0.3) for other in words)
    for other in tags:
        x, y = other.anchor
        if spot.x - 0.9 < x < spot.right + 0.9 and spot.y - 0.9 < y < spot.bottom + 0.9:
            cost += 8.0
    return cost


def _cross(one: tuple[XY, XY], other: tuple[XY, XY]) -> bool:
    """True when two leaders properly cross; touching at an end does not count."""

    def side(a: XY, b: XY, c: XY) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


def tag_layer(placed: list[Placed]) -> str:
    """Leaders, marks where the devices are, and the squares on top."""
    leaders = [_leader(p) for p in placed]
    marks = [_anchor(p.tag) for p in placed]
    squares = [group(*square_marks(p), data_id=p.tag.device_id, class_="device") for p in placed]
    return group(*leaders, *marks, *squares, class_="devices")


def _leader(placed: Placed) -> str:
    square, (x, y) = placed.square, placed.tag.anchor
    end = (min(max(x, square.x), square.right), min(max(y, square.y), square.bottom))
    if math.hypot(end[0] - x, end[1] - y) < 0.5:
        return ""
    return line((x, y), end, stroke=PAPER, stroke_width=0.5) + line((x, y), end, stroke=INK, stroke_width=0.16)


def _anchor(tag: Tag) -> str:
    x, y = tag.anchor
    if tag.leaf is None:
        return el("circle", cx=x, cy=y, r=0.6, fill=INK, stroke=PAPER, stroke_width=0.25)
    dx, dy = tag.leaf
    corners = [
        (x + 1.1 * dx, y + 1.1 * dy),
        (x - 0.6 * dx - 0.8 * dy, y - 0.6 * dy + 0.8 * dx),
        (x - 0.6 * dx + 0.8 * dy, y - 0.6 * dy - 0.8 * dx),
    ]
    return polyline(corners, closed=True, fill=INK, stroke=PAPER, stroke_width=0.25)


def square_marks(placed: Placed) -> list[str]:
    """The square with its letters, notch, bar and caption."""
    tag, square = placed.tag, placed.square
    x, y = square.centre
    marks = [
        el(
            "rect",
            x=square.x,
            y=square.y,
            width=SIDE,
            height=SIDE,
            fill=PAPER,
            stroke=INK,
            stroke_width=0.3,
            stroke_dasharray="0.8 0.5" if tag.radio else None,
        )
    ]
    size = 2.1 if len(tag.letters) < 3 else 1.8
    while text_width(tag.letters, size, "semibold") > SIDE - 0.5:
        size *= 0.95
    marks.append(letter(tag.letters, x, y + size * 0.33, size, face="semibold", text_anchor="middle"))
    if tag.kept:
        marks.append(line((x - 1.3, y + 1.35), (x + 1.3, y + 1.35), stroke=INK, stroke_width=0.3))
    if tag.notch is not None:
        dx, dy = tag.notch
        reach = SIDE / 2 / max(abs(dx), abs(dy))
        tip = (x + dx * (reach + 1.0), y + dy * (reach + 1.0))
        foot = [(x + dx * reach - s * 0.7 * dy, y + dy * reach + s * 0.7 * dx) for s in (1, -1)]
        marks.append(polyline([foot[0], tip, foot[1]], closed=True, fill=INK))
    if tag.caption:
        marks.append(
            letter(
                tag.caption,
                placed.box.x + placed.box.width / 2,
                square.bottom + ID_SIZE * 0.95,
                ID_SIZE,
                fill=QUIET,
                halo=PAPER,
                text_anchor="middle",
            )
        )
    return marks
