"""Where the sun comes in: through which glass, on which days and hours, onto which floor and into which lens.

The sun's path is the same twice a year, so seven days from one solstice to the other stand for all. Hours are sun time
(12 when the sun stands highest): a clock differs by the place in its zone and by summer time. Nothing outside is known
to shade a window, so what is found is the most there can be.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from shapely import Point

from wardwright.analyses.sightlines import Sightlines
from wardwright.geometry.visibility import visible
from wardwright.model import XY
from wardwright.physics.sun import solar_coordinates, sun_direction
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import OpeningShape, storey_plans
from wardwright.worked_out import once

DAYS = {
    "late December": 355,
    "late January and November": 20,
    "late February and October": 50,
    "late March and September": 80,
    "late April and August": 110,
    "late May and July": 141,
    "late June": 172,
}
"""Days of the year 2000, from noon of 1 January, that stand for the whole year. [d]"""
HOURS = np.arange(4.0, 20.25, 0.5)
"""Sun time looked at. [h]"""
LOWEST = math.radians(3.0)
"""Below this trees and houses hide the sun nearly everywhere. Assumption. [rad]"""
ACROSS = (0.1, 0.5, 0.9)
"""Where in width and height of a pane a ray is followed. [-]"""
INSIDE_M = 0.02
"""How far inside its wall's face light is taken to enter. [m]"""

Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Shaft:
    """Sun through one opening: one entry of each array for each day and hour at which it comes in."""

    opening_id: str
    storey_id: str
    room_id: str
    shape: OpeningShape
    inward: XY
    """Unit vector into the room."""
    day: NDArray[np.intp]
    """Place in :data:`DAYS`."""
    hour: NDArray[np.float64]
    """Sun time. [h]"""
    towards: NDArray[np.float64]
    """Unit vector on plan towards the sun, one row each."""
    slope: NDArray[np.float64]
    """Tangent of the sun's elevation."""


def sun_known(premises: Premises) -> bool:
    """Whether latitude and north are known, so that the sun can be followed."""
    site = premises.surroundings
    return site.latitude_deg is not None and site.north_rad is not None


def is_glazed(shape: OpeningShape) -> bool:
    """Whether light comes through an opening while it is shut."""
    opening = shape.opening
    return opening.kind in (OpeningKind.WINDOW, OpeningKind.ROOFLIGHT) or any(
        leaf.glazing is not None or leaf.material == "glass" for leaf in opening.leaves
    )


@once(8)
def sun_shafts(premises: Premises) -> tuple[Shaft, ...]:
    """Sun through every upright glazed opening to the outside.

    Parameters
    ----------
    premises : Premises
        The building with its latitude and true north.

    Returns
    -------
    tuple of Shaft
        Openings the sun reaches; none where latitude or north is not known.
    """
    site = premises.surroundings
    if site.latitude_deg is None or site.north_rad is None:
        return ()
    declination, _ = solar_coordinates(np.array(list(DAYS.values())))
    azimuth, elevation = sun_direction(site.latitude_deg, declination[:, None], HOURS)
    turned = site.north_rad - azimuth
    towards = np.stack([np.cos(turned), np.sin(turned)], axis=-1)
    found = []
    for storey_id, plan in storey_plans(premises).items():
        for shape in plan.openings:
            opening = shape.opening
            if not (opening.is_outside and opening.place.kind != "slab" and is_glazed(shape)):
                continue
            inner = _inward(shape, {key: plan.room_shapes[key] for key in opening.room_ids if key in plan.room_shapes})
            if inner is None:
                continue
            room_id, inward = inner
            shines = (elevation > LOWEST) & (towards @ -np.array(inward) > 0.02)
            day, hour = np.nonzero(shines)
            if len(day):
                found.append(
                    Shaft(opening.id, storey_id, room_id, shape, inward, day, HOURS[hour], towards[shines],
                          np.tan(elevation[shines]))
                )  # fmt: skip
    return tuple(found)


@lru_cache(maxsize=128)
def floor_patches(shaft: Shaft, lines: Sightlines) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    """Where rays through an opening meet the floor.

    Parameters
    ----------
    shaft : Shaft
        The sun through it.
    lines : Sightlines
        The storey it lights.

    Returns
    -------
    points : ndarray, shape (n, 2)
        On the floor, before any wall. [m]
    moments : ndarray of int, shape (n,)
        Entry of the shaft each belongs to.
    """
    shape, opening = shaft.shape, shaft.shape.opening
    inward, along = np.array(shaft.inward), np.array([math.cos(shape.along_rad), math.sin(shape.along_rad)])
    face = np.array(shape.centre) + inward * (shape.depth_m / 2.0)
    start = face + inward * INSIDE_M
    if not lines.scene.holds((float(start[0]), float(start[1]))):
        return np.empty((0, 2)), np.empty(0, dtype=np.intp)
    sideways = np.array([(k - 0.5) * opening.width_m for k in ACROSS])
    height = np.array([opening.sill_m + k * opening.height_m for k in ACROSS])
    s, z = (grid.ravel()[None, :] for grid in np.meshgrid(sideways, height))
    through = _through(shaft, s, z)
    run = z / shaft.slope[:, None]
    origin = face[None, None, :] + s[..., None] * along
    lands = origin - run[..., None] * shaft.towards[:, None, :]
    # rays of one pane are followed from its middle: a wall stops them where it stops that one
    away = lands - start
    distance, direction = np.hypot(away[..., 0], away[..., 1]), np.arctan2(away[..., 1], away[..., 0])
    depth = visible(lines.scene, (float(start[0]), float(start[1]))).depth(direction.ravel()).reshape(direction.shape)
    kept = through & (distance <= depth)
    moments = np.broadcast_to(np.arange(len(shaft.hour))[:, None], kept.shape)
    return lands[kept], moments[kept]


def into_lens(shaft: Shaft, place: XY, height: float) -> Flags:
    """When the sun shines straight at a place in the room through the opening.

    Parameters
    ----------
    shaft : Shaft
        The sun through it.
    place : (float, float)
        On plan. [m]
    height : float
        Above the floor. [m]

    Returns
    -------
    ndarray of bool
        One truth for each entry of the shaft.
    """
    shape = shaft.shape
    inward, along = np.array(shaft.inward), np.array([math.cos(shape.along_rad), math.sin(shape.along_rad)])
    away = np.array(place) - (np.array(shape.centre) + inward * (shape.depth_m / 2.0))
    behind = float(away @ inward)
    if behind <= 0.0:
        return np.zeros(len(shaft.hour), dtype=np.bool_)
    run = behind / (shaft.towards @ -inward)
    s = float(away @ along) + run * (shaft.towards @ along)
    return _through(shaft, s[:, None], (height + run * shaft.slope)[:, None])[:, 0]


def _through(shaft: Shaft, s: NDArray[np.float64], z: NDArray[np.float64]) -> Flags:
    """Whether rays that leave the inner face at ``s`` along the wall and ``z`` up came through the outer face too."""
    shape, opening = shaft.shape, shaft.shape.opening
    along = np.array([math.cos(shape.along_rad), math.sin(shape.along_rad)])
    run = (shape.depth_m / (shaft.towards @ -np.array(shaft.inward)))[:, None]
    outer_s = s + run * (shaft.towards @ along)[:, None]
    outer_z = z + run * shaft.slope[:, None]
    low, high, half = opening.sill_m, opening.sill_m + opening.height_m, opening.width_m / 2.0
    inner = (np.abs(s) <= half) & (z >= low) & (z <= high)
    return np.asarray(inner & (np.abs(outer_s) <= half) & (outer_z >= low) & (outer_z <= high))


def _inward(shape: OpeningShape, rooms: dict[str, object]) -> tuple[str, XY] | None:
    nx, ny = shape.normal
    reach = shape.depth_m / 2.0 + 0.1
    for sign in (1.0, -1.0):
        spot = Point(shape.centre[0] + sign * reach * nx, shape.centre[1] + sign * reach * ny)
        for room_id, room in rooms.items():
            if room.covers(spot):  # type: ignore[attr-defined]
                return room_id, (sign * nx, sign * ny)
    return None


def in_words(shaft: Shaft, moments: Flags) -> str:
    """Days and hours, for the firm: ``late June 7 to 9 h sun time``; the longest spell first."""
    spells = []
    for number, name in enumerate(DAYS):
        hours = shaft.hour[moments & (shaft.day == number)]
        if len(hours):
            spells.append((len(hours), f"{name} {hours.min():g} to {hours.max() + 0.5:g} h"))
    spells.sort(key=lambda item: -item[0])
    return ", ".join(text for _, text in spells[:2]) + (f" and {len(spells) - 2} more" if len(spells) > 2 else "")
