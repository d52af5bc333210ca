"""What hides a walker from a detector: walls, shut doors, glass, furniture."""

import math
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon, Point, Polygon, unary_union

from wardwright.analyses.free_floor import SEAM_M
from wardwright.analyses.motion_sensor import MotionSensor
from wardwright.geometry.visibility import Scene, View, visible
from wardwright.physics.facets import Optics, signed_fan
from wardwright.physics.infrared import BODY_HEIGHT, BODY_WIDTH, NEAREST
from wardwright.premises.fabric import Obstacle
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import StoreyPlan, storey_plans
from wardwright.worked_out import once

PRECISION_M = 1e-5
"""Corners nearer than this are one. [m]"""
OFF_WALL_M = 0.01
"""How far in front of its wall a detector looks out. [m]"""
INTO_WALL_M = 0.6
"""A detector drawn this deep in a wall is taken to hang on its face. [m]"""
DIRECTIONS = 3600
"""Directions in which the distance to the wall is kept: every 0.1 degree. [-]"""
SLICES = 4
"""Upright slices of a body, each in sight or not. [-]"""
TOUCH_M = 0.05
"""A slice this far behind the wall's face is still before it: bodies do not enter walls. [m]"""
ABOUT_M = 0.3
"""A body whose middle is this far out of view may still reach into it. [m]"""
_FAN_STEP = 2.0 * math.pi / 12_288
_ANGLES = np.asarray((np.arange(DIRECTIONS) + 0.5) * (2.0 * math.pi / DIRECTIONS), dtype=np.float64)
_COS, _SIN = np.cos(_ANGLES), np.sin(_ANGLES)


@dataclass(frozen=True, eq=False)
class Sightlines:
    """One storey as infrared sees it."""

    plan: StoreyPlan
    free: Polygon | MultiPolygon
    """Where sight and walking are free: rooms and open doorways, less everything solid. [m]"""
    scene: Scene
    obstacles: tuple[Obstacle, ...]

    @cached_property
    def content(self) -> bytes:
        """Everything that decides what is hidden, for telling unchanged storeys."""
        stuff = [shapely.to_wkb(self.free)]
        stuff += [repr((o.outline, o.base_m, o.height_m)).encode() for o in self.obstacles]
        return b"|".join(stuff)


def sightlines(
    premises: Premises, storey_id: str, open_ids: frozenset[str], *, also_open: frozenset[str] = frozenset()
) -> Sightlines | None:
    """The free space of a storey.

    Parameters
    ----------
    premises : Premises
        The building.
    storey_id : str
        The storey.
    open_ids : frozenset of str
        Inner doors that stand open. Passages always do; every other door, and all glass, is opaque.
    also_open : frozenset of str
        Openings somebody has just come through.

    Returns
    -------
    Sightlines or None
        None where the storey has no room: there is nothing to look into.
    """
    return _free_space(premises, storey_id, open_ids | also_open)


@once(32)
def _free_space(premises: Premises, storey_id: str, open_ids: frozenset[str]) -> Sightlines | None:
    plan = storey_plans(premises)[storey_id]
    if not plan.rooms:
        return None
    rooms = [shape.buffer(SEAM_M, join_style="mitre") for shape in plan.room_shapes.values()]
    ways = [s for s in plan.openings if s.opening.kind is OpeningKind.PASSAGE or s.opening.id in open_ids]
    open_space = unary_union([*rooms, *(s.outline for s in ways if s.opening.place.kind != "slab")])
    # a shut door that stands in no wall of its own is opaque all the same
    shut = [s.outline for s in plan.openings if s not in ways and s.opening.place.kind == "line"]
    solid = unary_union([plan.solid(open_ids=open_ids), *shut])
    free = shapely.set_precision(open_space.difference(solid), PRECISION_M)
    parts = [p for p in shapely.get_parts(free) if isinstance(p, Polygon) and p.area > 0.05]
    if not parts:
        return None
    shape = parts[0] if len(parts) == 1 else MultiPolygon(parts)
    return Sightlines(plan, shape, Scene.from_polygon(shape), plan.obstacles)


class Outlook:
    """What one detector sees of a storey, and the power a standard body puts on its element anywhere.

    Parameters
    ----------
    sensor : MotionSensor
        The detector.
    lines : Sightlines
        Its storey.
    """

    def __init__(self, sensor: MotionSensor, lines: Sightlines) -> None:
        self.sensor = sensor
        eye = eye_of(sensor, lines)
        self.eye = sensor.position if eye is None else eye
        self.view: View = visible(lines.scene, self.eye)
        self._depth = self.view.depth(_ANGLES) if eye is not None else np.zeros(DIRECTIONS)
        self.box: tuple[float, float, float, float] | None = self.view.polygon().bounds or None
        """What is in view lies within: least x and y, greatest x and y; None where nothing is. [m]"""
        self._hides = _horizons(self.eye, sensor.height_m, _within(self.box, lines.obstacles))
        self._fan, self.fan_limit = _fan(sensor.optics)

    def reaches(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether any part of a body at a place may be in sight and in a beam.

        Parameters
        ----------
        x, y : ndarray
            Places. [m]

        Returns
        -------
        ndarray of bool
            One truth for each place. [-]
        """
        dx, dy = x - self.eye[0], y - self.eye[1]
        r = np.maximum(np.hypot(dx, dy), NEAREST)
        azimuth = np.arctan2(dy, dx)
        half = np.arctan(BODY_WIDTH / (2.0 * r))
        off = np.abs(np.mod(azimuth - self.sensor.heading_rad + math.pi, 2.0 * math.pi) - math.pi)
        found = off - half <= self.fan_limit
        sides = [self._clear(azimuth + side * half, r) for side in (-0.75, -0.25, 0.25, 0.75)]
        return np.asarray(found & np.logical_or.reduce(sides))

    def power(
        self,
        x: NDArray[np.float64],
        y: NDArray[np.float64],
        *,
        bottom: float = 0.0,
        top: float = BODY_HEIGHT,
        width: float = BODY_WIDTH,
    ) -> NDArray[np.float64]:
        """Signed power on the element pair for unit radiance difference.

        Parameters
        ----------
        x, y : ndarray
            Places of the body's middle. [m]
        bottom, top : float
            Of the body above the floor. [m]
        width : float
            Of the body. [m]

        Returns
        -------
        ndarray
            Power per radiance difference: as :func:`wardwright.physics.infrared.received_power`, the body cut into
            upright slices each of which is in sight or not. [m² sr]
        """
        optics, height = self.sensor.optics, self.sensor.height_m
        dx, dy = x - self.eye[0], y - self.eye[1]
        r = np.maximum(np.hypot(dx, dy), NEAREST)
        azimuth = np.arctan2(dy, dx)
        low, high = self._in_sight(azimuth, r, bottom, top)
        half = np.arctan(width / (2.0 * r))
        down, up = np.arctan((low - height) / r), np.arctan((high - height) / r)
        off = np.mod(azimuth - self.sensor.heading_rad + math.pi, 2.0 * math.pi) - math.pi
        across = np.zeros((*x.shape, len(optics.layers)))
        before = self._running(off - half)
        for k in range(SLICES):
            after = self._running(off + half * (2.0 * (k + 1) / SLICES - 1.0))
            clear = self._clear(azimuth + half * (2.0 * (k + 0.5) / SLICES - 1.0), r)
            across += (after - before) * clear[..., None]
            before = after
        total = np.zeros(x.shape)
        for i, layer in enumerate(optics.layers):
            finger = optics.element_height / layer.focal_length
            foot = -layer.depression - finger / 2.0
            upright = np.clip(up - foot, 0.0, finger) - np.clip(down - foot, 0.0, finger)
            total += layer.area * across[..., i] * upright
        return optics.transmission * total

    def _clear(self, direction: NDArray[np.float64], r: NDArray[np.float64]) -> NDArray[np.bool_]:
        index = np.floor(direction * (DIRECTIONS / (2.0 * math.pi))).astype(np.int64) % DIRECTIONS
        return np.asarray(self._depth[index] >= r - TOUCH_M)

    def _running(self, angle: NDArray[np.float64]) -> NDArray[np.float64]:
        place = (angle + 2.0 * math.pi) / _FAN_STEP
        index = place.astype(np.int64)
        value, rise = np.moveaxis(self._fan[index], -2, 0)
        return np.asarray(value + rise * (place - index)[..., None])

    def _in_sight(
        self, azimuth: NDArray[np.float64], r: NDArray[np.float64], bottom: float, top: float
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest point of a body that furniture leaves in sight."""
        low, high = np.full(r.shape, bottom), np.full(r.shape, top)
        if self._hides:
            index = np.floor(azimuth * (DIRECTIONS / (2.0 * math.pi))).astype(np.int64) % DIRECTIONS
            h = self.sensor.height_m
            for hides in self._hides:
                near = hides.near[index]
                behind = np.flatnonzero(r > near)
                if not len(behind):
                    continue
                there, distance = index[behind], r[behind]
                far = np.minimum(hides.far[there], distance)
                if hides.base < 0.5 * BODY_HEIGHT:
                    # everything below the ray that just clears its top, at the far edge for a ray going down
                    edge = far if hides.top < h else near[behind]
                    low[behind] = np.maximum(low[behind], h - (h - hides.top) * distance / edge)
                else:
                    # hangs from above: everything above the ray that just passes under it
                    edge = near[behind] if hides.base < h else far
                    high[behind] = np.minimum(high[behind], h - (h - hides.base) * distance / edge)
        return low, np.maximum(high, low)


@cache
def _fan(optics: Optics) -> tuple[NDArray[np.float64], float]:
    """The running integral of the beams by angle and layer with what it rises to the next angle, shape (angles, 2,
    layers), and the angle from the boresight beyond which none points.
    """
    grid = -2.0 * math.pi + _FAN_STEP * np.arange(2 * 12_288 + 2)
    fan = np.stack([np.interp(grid, corner, integral) for corner, integral in signed_fan(optics)], axis=1)
    rise = np.diff(fan, axis=0)
    moving = np.flatnonzero(np.any(rise != 0.0, axis=1))
    inner = moving[np.abs(grid[moving]) <= math.pi]
    return np.stack([fan[:-1], rise], axis=1), float(np.abs(grid[inner]).max()) + _FAN_STEP if len(inner) else 0.0


def _within(box: tuple[float, float, float, float] | None, obstacles: tuple[Obstacle, ...]) -> tuple[Obstacle, ...]:
    """What can hide anything: an obstacle beyond the walls of what is in view hides nothing that is in view."""
    if box is None:
        return ()
    x0, y0, x1, y1 = box
    found = []
    for obstacle in obstacles:
        xs, ys = zip(*obstacle.outline, strict=True)
        if min(xs) <= x1 + ABOUT_M and max(xs) >= x0 - ABOUT_M and min(ys) <= y1 + ABOUT_M and max(ys) >= y0 - ABOUT_M:
            found.append(obstacle)
    return tuple(found)


@dataclass(frozen=True, eq=False)
class _Horizon:
    """One obstacle by direction: where its near and far edges are; near is infinite where it is not."""

    base: float
    top: float
    near: NDArray[np.float64]
    far: NDArray[np.float64]


def _horizons(eye: tuple[float, float], height: float, obstacles: tuple[Obstacle, ...]) -> list[_Horizon]:
    found = []
    for obstacle in obstacles:
        ring = np.array(obstacle.outline) - np.array(eye)
        if obstacle.base_m <= height <= obstacle.height_m and Polygon(ring).distance(Point(0.0, 0.0)) < 1e-3:
            continue  # the detector hangs on it
        corner = np.arctan2(ring[:, 1], ring[:, 0])
        turns = np.mod(np.diff(corner) + math.pi, 2.0 * math.pi) - math.pi
        span = corner[0] + np.append(0.0, np.cumsum(turns))  # on round the outline, never jumping by a whole turn
        step = 2.0 * math.pi / DIRECTIONS
        first, last = math.floor(span.min() / step), math.ceil(span.max() / step)
        if last - first >= DIRECTIONS // 2:
            first, last = 0, DIRECTIONS - 1  # the detector hangs over it
        index = np.arange(first, last + 1) % DIRECTIONS
        cos, sin = _COS[index][:, None], _SIN[index][:, None]
        a, e = ring, np.append(ring[1:], ring[:1], axis=0) - ring
        turn = cos * e[:, 1] - sin * e[:, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            away = (a[:, 0] * e[:, 1] - a[:, 1] * e[:, 0]) / turn
            along = (a[:, 0] * sin - a[:, 1] * cos) / turn
        hit = (np.abs(turn) > 1e-12) & (away > 0.0) & (along >= 0.0) & (along <= 1.0)
        nearest = np.where(hit, away, np.inf).min(axis=1)
        farthest = np.where(hit, away, -np.inf).max(axis=1)
        near, far = np.full(DIRECTIONS, np.inf), np.full(DIRECTIONS, np.inf)
        hits = np.isfinite(nearest)
        inside = hits & (hit.sum(axis=1) % 2 == 1)  # from within, the first crossing is already the far edge
        near[index[hits]] = np.where(inside, NEAREST, nearest)[hits]
        far[index[hits]] = farthest[hits]
        found.append(_Horizon(obstacle.base_m, obstacle.height_m, near, far))
    return found


def eye_of(sensor: MotionSensor, lines: Sightlines) -> tuple[float, float] | None:
    """Where a detector looks from: its own position, or the face of the wall it is drawn in.

    Parameters
    ----------
    sensor : MotionSensor
        The detector.
    lines : Sightlines
        Its storey.

    Returns
    -------
    tuple of float or None
        The point; None where the detector is not in or on the free space. [m]
    """
    x, y = sensor.position
    cos, sin = math.cos(sensor.heading_rad), math.sin(sensor.heading_rad)
    ahead = (x + OFF_WALL_M * cos, y + OFF_WALL_M * sin)
    if lines.scene.holds(ahead):
        return ahead
    ray = LineString([(x, y), (x + INTO_WALL_M * cos, y + INTO_WALL_M * sin)]).intersection(lines.free)
    if not ray.is_empty:
        start = Point(shapely.get_coordinates(ray)[np.argmin(np.hypot(*(shapely.get_coordinates(ray) - (x, y)).T))])
        return (start.x + OFF_WALL_M * cos, start.y + OFF_WALL_M * sin)
    return None
