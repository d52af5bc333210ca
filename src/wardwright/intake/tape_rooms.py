"""Room outlines from typed walls, closed where they do not close.

The misclosure is spread by the transit rule of land surveying: each leg's east-west part takes a share of the east-west
misclosure in proportion to its own east-west part, and likewise north-south. Walls typed square stay square.
"""

import math
from dataclasses import dataclass

from shapely import Polygon

from wardwright.errors import InputError
from wardwright.intake.tape_form import SIDES, FormRoom, TypedWall, WallRef
from wardwright.model import XY

NOISE_M = 0.0005
"""A misclosure below this is arithmetic, not tape. [m]"""
TAPE_M, TAPE_SHARE = 0.03, 0.01
"""What a careful tape is off by: the larger of the two, length and share of the room's span. Assumption. [m], [-]"""

GROSS_M, GROSS_SHARE = 0.50, 0.25
"""A misclosure beyond both is a wall left out or mistyped, and is not spread. Assumption. [m], [-]"""


@dataclass(frozen=True)
class Edge:
    """One wall of a room, walked clockwise with the wall on the left hand."""

    number: int
    side: str
    start: XY
    end: XY

    @property
    def length(self) -> float:
        """Length. [m]"""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> XY:
        """Unit vector in walking direction; seen from inside, from left to right."""
        return ((self.end[0] - self.start[0]) / self.length, (self.end[1] - self.start[1]) / self.length)

    @property
    def outward(self) -> XY:
        """Unit vector out of the room."""
        x, y = self.along
        return (-y, x)

    def at(self, distance: float, out: float = 0.0) -> XY:
        """Point a distance along the wall, and out of the room. [m]"""
        (ux, uy), (nx, ny) = self.along, self.outward
        return (self.start[0] + ux * distance + nx * out, self.start[1] + uy * distance + ny * out)

    def moved(self, dx: float, dy: float) -> "Edge":
        """The same wall elsewhere. [m]"""
        (a, b), (c, d) = self.start, self.end
        return Edge(self.number, self.side, (a + dx, b + dy), (c + dx, d + dy))


@dataclass(frozen=True)
class Outline:
    """A closed room, its south-west corner of the bounding box at the origin."""

    edges: tuple[Edge, ...]
    misclosure: XY
    """What the typed walls end short of their beginning, east and north. [m]"""
    worked_out: tuple[str, ...] = ()
    """Walls that were not measured and follow from the others."""

    @property
    def ring(self) -> tuple[XY, ...]:
        """Corners, anticlockwise. [m]"""
        return tuple(e.start for e in reversed(self.edges))

    @property
    def short(self) -> tuple[tuple[float, str], ...]:
        """How much is missing along which wall, in the words of the form; empty where the room closes. [m]"""
        found = []
        for gap, low, high in ((self.misclosure[0], "north", "south"), (self.misclosure[1], "west", "east")):
            if abs(gap) > NOISE_M:
                found.append((abs(gap), low if gap < 0.0 else high))
        return tuple(found)

    @property
    def within_tape(self) -> bool:
        """True when the misclosure is no more than a tape is off by."""
        spans = [sum(abs(e.end[i] - e.start[i]) for e in self.edges) / 2 for i in (0, 1)]
        return all(abs(m) <= max(TAPE_M, TAPE_SHARE * s) for m, s in zip(self.misclosure, spans, strict=True))

    def wall(self, ref: WallRef) -> Edge:
        """The wall a line means; the longest of its side where several could be meant and none is singled out."""
        if ref.side is None:
            found = [e for e in self.edges if e.number == ref.number]
            if not found:
                raise InputError(f"there is no {ref.words}; the room has {len(self.edges)} walls")
            return found[0]
        found = [e for e in self.edges if e.side == ref.side]
        if not found:
            sides = ", ".join(s for s in SIDES if any(e.side == s for e in self.edges))
            raise InputError(f"the room has no {ref.side} wall; its walls are on the {sides}")
        if ref.number is None:
            return max(found, key=lambda e: e.length)
        if ref.number > len(found):
            raise InputError(f"there is no {ref.words}; the room has {len(found)} on that side")
        return found[ref.number - 1]


def close_by_transit_rule(legs: list[XY]) -> tuple[list[XY], XY]:
    """Spread the misclosure of a traverse so that it closes.

    Parameters
    ----------
    legs : list of tuple of float
        East and north parts of each leg. [m]

    Returns
    -------
    tuple of list and tuple
        The legs corrected, and the misclosure they had (east, north). [m]

    Notes
    -----
    Correction of a leg's part = - misclosure x |part| / sum of |parts|. [TRANSIT-RULE-2022]_
    """
    gap = (sum(leg[0] for leg in legs), sum(leg[1] for leg in legs))
    spans = [sum(abs(leg[i]) for leg in legs) or 1.0 for i in (0, 1)]
    closed = [(x - gap[0] * abs(x) / spans[0], y - gap[1] * abs(y) / spans[1]) for x, y in legs]
    return closed, gap


def outline_of(room: FormRoom) -> Outline:
    """The closed outline of a room as typed.

    Parameters
    ----------
    room : FormRoom
        With its size or its walls.

    Returns
    -------
    Outline
        Closed, walked clockwise.

    Raises
    ------
    InputError
        If there is neither size nor walls, both disagree, or the walls can be no room.
    """
    if room.walls and room.size_m:
        raise InputError("the room has both a size and walls; keep one of them")
    if room.walls:
        return _walked(room.walls, list(range(1, len(room.walls) + 1)))
    if room.size_m is None:
        raise InputError(
            "the room has no size; write “room: Kitchen, 4.20 x 3.10” (east-west x north-south), or name its walls"
        )
    wide, deep = room.size_m
    if min(wide, deep) < 0.3:
        raise InputError(f"a room of {wide:.2f} m x {deep:.2f} m is no room; check the unit")
    return _outline([(0.0, deep), (wide, 0.0), (0.0, -deep), (-wide, 0.0)], (0.0, 0.0), (), [1, 2, 3, 4])


def _walked(walls: list[TypedWall], numbers: list[int]) -> Outline:
    headings = _headings(walls)
    legs, worked_out = _measured(walls, headings)
    closed, gap = close_by_transit_rule(legs)
    if walls[0].side and _area(closed) > 0.0:
        # Named by their sides but walked the other way round: take them in the opposite order.
        return _walked(walls[::-1], numbers[::-1])
    if min(math.hypot(*leg) for leg in closed) < 0.01:
        where = " and ".join(f"{size:.2f} m along the {side} wall" for size, side in _outline_short(gap))
        raise InputError(f"the room does not close: {where} is missing. Add the wall, or write it as “south ?”")
    for i, (size, side) in enumerate(((gap[0], "east-west"), (gap[1], "north-south"))):
        span = sum(abs(leg[i]) for leg in legs) / 2
        if abs(size) > max(GROSS_M, GROSS_SHARE * span):
            where = " and ".join(
                f"{missing:.2f} m short along the {name} wall" for missing, name in _outline_short(gap)
            )
            raise InputError(
                f"the room does not close: {where}. That is no slip of the tape: measure the {side} walls again"
            )
    if _area(closed) > 0.0:
        closed = [(-x, -y) for x, y in reversed(closed)]
        gap, numbers = (-gap[0], -gap[1]), numbers[::-1]
    return _outline(closed, gap, worked_out, numbers)


def _outline_short(gap: XY) -> list[tuple[float, str]]:
    sides = [(gap[0], "north", "south"), (gap[1], "west", "east")]
    return [(abs(g), low if g < 0.0 else high) for g, low, high in sides if abs(g) > NOISE_M]


def _headings(walls: list[TypedWall]) -> list[float]:
    """Walking direction of every wall, clockwise from north. [rad]

    A wall on the north side is walked eastwards: a quarter turn on from its side. The first wall of a walk by turns is
    walked northwards.
    """
    found: list[float] = []
    for wall in walls:
        if wall.side is not None:
            found.append(math.radians(SIDES.index(wall.side) * 45.0 + 90.0))
        elif wall.turn is None:
            found.append(0.0)
        else:
            way, angle = wall.turn
            found.append(found[-1] + math.radians(angle if way == "right" else -angle))
    return found


def _measured(walls: list[TypedWall], headings: list[float]) -> tuple[list[XY], tuple[str, ...]]:
    """Legs of the walk, with lengths nobody measured worked out from the others. [m]"""
    ways = [(round(math.sin(h), 12), round(math.cos(h), 12)) for h in headings]
    lengths = [w.length_m for w in walls]
    named = []
    for axis, words in ((0, "east-west"), (1, "north-south")):
        open_ones = [i for i, length in enumerate(lengths) if length is None and abs(ways[i][1 - axis]) < 1e-9]
        if not open_ones:
            continue
        if len(open_ones) > 1:
            raise InputError(f"two {words} walls are not measured; only one of them can be worked out from the others")
        if any(lengths[i] is None for i in range(len(walls)) if i != open_ones[0] and abs(ways[i][axis]) > 1e-9):
            break
        i = open_ones[0]
        rest = sum((lengths[k] or 0.0) * ways[k][axis] for k in range(len(walls)) if k != i)
        length = -rest / ways[i][axis]
        if length < 0.05:
            raise InputError(
                f"the {words} walls cannot close the room: the one not measured would be {length:.2f} m long"
            )
        lengths[i] = length
        named.append(f"{walls[i].side or f'wall {i + 1}'} {length:.2f} m")
    if any(length is None for length in lengths):
        raise InputError(
            "a slanting wall must be measured; only a wall along the page can be worked out from the others"
        )
    return [(x * (n or 0.0), y * (n or 0.0)) for (x, y), n in zip(ways, lengths, strict=True)], tuple(named)


def _area(legs: list[XY]) -> float:
    """Signed area of a closed walk, positive when anticlockwise. [m²]"""
    x = y = total = 0.0
    for dx, dy in legs:
        total += x * (y + dy) - (x + dx) * y
        x, y = x + dx, y + dy
    return total / 2


def _outline(legs: list[XY], gap: XY, worked_out: tuple[str, ...], numbers: list[int]) -> Outline:
    corners = [(0.0, 0.0)]
    for dx, dy in legs[:-1]:
        corners.append((corners[-1][0] + dx, corners[-1][1] + dy))
    west, south = min(x for x, _ in corners), min(y for _, y in corners)
    corners = [(x - west, y - south) for x, y in corners]
    shape = Polygon(corners)
    if not shape.is_valid:
        raise InputError("the walls cross each other; go round the room once, in order, and check each turn")
    if shape.area < 0.2:
        raise InputError(f"the room has an area of {shape.area:.2f} m²; check the unit and the walls")
    edges = []
    for i, start in enumerate(corners):
        end = corners[(i + 1) % len(corners)]
        heading = math.degrees(math.atan2(end[0] - start[0], end[1] - start[1]))
        side = SIDES[round((heading - 90.0) / 45.0) % 8]
        edges.append(Edge(numbers[i], side, start, end))
    return Outline(tuple(edges), gap, worked_out)
