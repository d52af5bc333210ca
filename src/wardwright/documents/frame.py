"""From metres of building to millimetres of paper: sheet sizes, scales, and the turn that makes a plan fit best."""

import math
from dataclasses import dataclass

from shapely import MultiPoint, affinity
from shapely.geometry.base import BaseGeometry

from wardwright.design.brief import Profile
from wardwright.model import XY

METRIC_SCALES = (20, 50, 100, 200, 500, 1000, 2000)
IMPERIAL_SCALES = (24, 48, 96, 192, 384, 768, 1536)
"""Half an inch, a quarter, an eighth ... to the foot, as drawings in the United States are made."""


@dataclass(frozen=True)
class Paper:
    """A size of paper."""

    name: str
    width_mm: float
    height_mm: float


A3 = Paper("A3", 420.0, 297.0)
A4 = Paper("A4", 297.0, 210.0)
TABLOID = Paper("Tabloid", 431.8, 279.4)
LETTER = Paper("Letter", 279.4, 215.9)
"""All landscape, for drawings."""


def is_american(profile: Profile) -> bool:
    """True where paper is Letter and lengths are in feet."""
    return profile in (Profile.US_HOME, Profile.US_BUSINESS)


def drawing_paper(profile: Profile, *, large: bool) -> Paper:
    """Paper for drawings: A3 or Tabloid for the firm, A4 or Letter where a client prints at home."""
    if is_american(profile):
        return TABLOID if large else LETTER
    return A3 if large else A4


def scale_words(scale: int) -> str:
    """A scale as it is written on a drawing."""
    inches = {24: "1/2 in", 48: "1/4 in", 96: "1/8 in", 192: "1/16 in", 384: "1/32 in"}
    return f"{inches[scale]} = 1 ft (1:{scale})" if scale in inches else f"1:{scale}"


@dataclass(frozen=True)
class Box:
    """An upright rectangle on paper. [mm]"""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge. [mm]"""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """Lower edge. [mm]"""
        return self.y + self.height

    @property
    def centre(self) -> XY:
        """Middle. [mm]"""
        return (self.x + self.width / 2, self.y + self.height / 2)

    def overlaps(self, other: "Box", gap: float = 0.0) -> bool:
        """True when the two share area, or come nearer than ``gap``."""
        return (
            self.x < other.right + gap
            and other.x < self.right + gap
            and self.y < other.bottom + gap
            and other.y < self.bottom + gap
        )

    def inside(self, other: "Box") -> bool:
        """True when wholly within another."""
        return self.x >= other.x and self.y >= other.y and self.right <= other.right and self.bottom <= other.bottom


@dataclass(frozen=True)
class Frame:
    """How a storey lies on the sheet: turned, scaled, and set in the middle of the space for it."""

    scale: int
    turn_rad: float
    middle_m: XY
    """Middle of the building after turning. [m]"""
    middle_mm: XY
    """Where that comes on the sheet. [mm]"""

    @property
    def mm_per_m(self) -> float:
        """Millimetres of paper for a metre of building."""
        return 1000.0 / self.scale

    def at(self, point: XY) -> XY:
        """A place in the building as a place on the sheet; y runs down on paper."""
        cos, sin = math.cos(self.turn_rad), math.sin(self.turn_rad)
        x = point[0] * cos - point[1] * sin - self.middle_m[0]
        y = point[0] * sin + point[1] * cos - self.middle_m[1]
        return (self.middle_mm[0] + x * self.mm_per_m, self.middle_mm[1] - y * self.mm_per_m)

    def shape(self, geometry: BaseGeometry) -> BaseGeometry:
        """A shape in the building as a shape on the sheet."""
        k = self.mm_per_m
        cos, sin = math.cos(self.turn_rad), math.sin(self.turn_rad)
        return affinity.affine_transform(
            geometry,
            [
                k * cos,
                -k * sin,
                -k * sin,
                -k * cos,
                self.middle_mm[0] - k * self.middle_m[0],
                self.middle_mm[1] + k * self.middle_m[1],
            ],
        )

    def direction(self, angle: float) -> XY:
        """Unit vector on paper of a direction on plan."""
        return (math.cos(angle + self.turn_rad), -math.sin(angle + self.turn_rad))


def fitting_frame(
    points: list[XY], space: Box, *, scales: tuple[int, ...], askew_rad: float = 0.0, room_mm: float = 9.0
) -> Frame:
    """The largest customary scale at which everything fits, the building turned only as far as it must.

    Parameters
    ----------
    points : list of XY
        Everything that has to be on the drawing, of all storeys, so that the sheets of a building match. [m]
    space : Box
        Where the plan may lie. [mm]
    scales : tuple of int
        Customary scales, largest drawing first.
    askew_rad : float, optional
        How far the walls lie off the axes; they are turned back by it. [rad]
    room_mm : float, optional
        Kept free all round for tags outside the walls. [mm]

    Returns
    -------
    Frame
        Scale, turn and position. A building that lies askew is turned square to the sheet; a quarter turn is made only
        where it allows a larger scale.
    """
    hull = MultiPoint(points or [(0.0, 0.0)]).convex_hull
    best: Frame | None = None
    for turn in (-askew_rad, math.pi / 2 - askew_rad):
        turned = affinity.rotate(hull, turn, origin=(0.0, 0.0), use_radians=True)
        x0, y0, x1, y1 = turned.bounds
        for scale in scales:
            k = 1000.0 / scale
            fits = (x1 - x0) * k <= space.width - 2 * room_mm and (y1 - y0) * k <= space.height - 2 * room_mm
            if fits or scale == scales[-1]:
                if best is None or scale < best.scale:
                    best = Frame(scale, turn, ((x0 + x1) / 2, (y0 + y1) / 2), space.centre)
                break
    assert best is not None
    return best


def askew(walls: list[tuple[XY, XY]]) -> float:
    """How far the walls lie off the axes, by the direction most of their length has.

    Parameters
    ----------
    walls : list of tuple
        Ends of straight pieces of wall. [m]

    Returns
    -------
    float
        Angle between -45 and +45 degrees; 0 where it is less than 2 degrees. [rad]
    """
    real = imaginary = 0.0
    for (x0, y0), (x1, y1) in walls:
        length, angle = math.hypot(x1 - x0, y1 - y0), math.atan2(y1 - y0, x1 - x0)
        real += length * math.cos(4 * angle)
        imaginary += length * math.sin(4 * angle)
    off = math.atan2(imaginary, real) / 4 if real or imaginary else 0.0
    return 0.0 if abs(off) < math.radians(2.0) else off
