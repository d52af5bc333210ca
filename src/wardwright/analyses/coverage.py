"""Where motion detectors notice somebody: by place, direction and speed, in decibels over the threshold."""

import hashlib
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from wardwright.analyses import field_store, walk_lines
from wardwright.analyses import sightlines as sightlines_module
from wardwright.analyses.beams import beam_margins
from wardwright.analyses.free_floor import storey_grid
from wardwright.analyses.grid import Grid, HazardField
from wardwright.analyses.mode import Mode, open_inner_doors, watching_devices
from wardwright.analyses.motion_sensor import MotionSensor, motion_sensor
from wardwright.analyses.room_heat import CLOTHING, contrast_level, warmth
from wardwright.analyses.sightlines import Outlook, Sightlines, sightlines
from wardwright.analyses.walk_lines import (
    CLOSE,
    STRETCH_M,
    SWAY_M,
    SWAY_PERIOD_M,
    Lay,
    Walks,
    infrared_margins,
    microwave_margins,
    walks_of,
)
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.geometry import visibility
from wardwright.physics import facets, infrared, microwave, pyroelectric
from wardwright.physics.infrared import SIGMA
from wardwright.physics.microwave import either_margin, joint_margin
from wardwright.premises.model import Premises
from wardwright.premises.plan import storey_plans
from wardwright.worked_out import once

SPEEDS = (0.3, 1.0, 2.5)
"""Creeping, walking, running. [m/s]"""
GOOD_DB, FAIR_DB = 6.0, 0.0
"""A walk is noticed 93 times and 50 times in a hundred. [dB]"""
CALIBRATION_SPREAD_DB = {"walk test": 1.0, "setting": 2.0, "catalogue": 3.0, "nothing": 3.0}
"""How far the threshold may be from what was taken, by what it rests on (assumption). [dB]"""
BODY_SPREAD_DB = 1.5
"""Small and large people (assumption). [dB]"""


@dataclass(frozen=True)
class CoverageMap:
    """Coverage of one storey for a drawing: the best detector at each place, over all directions of walking."""

    grid: Grid
    worst_db: NDArray[np.float32]
    """Margin in the direction least noticed, shape (ny, nx); minus infinity where unseen, NaN off the floor. [dB]"""
    worst_heading_rad: NDArray[np.float64]
    """The direction of walking least noticed, anticlockwise from +x. [rad]"""
    speeds_m_s: tuple[float, ...]
    mode: str

    def share(self, at_least: float = FAIR_DB) -> float:
        """Share of the floor on which every direction has at least a margin.

        Parameters
        ----------
        at_least : float
            The margin. [dB]

        Returns
        -------
        float
            Share; 0 where there is no floor. [-]
        """
        floor = ~np.isnan(self.worst_db)
        return float(np.mean(self.worst_db[floor] >= at_least)) if floor.any() else 0.0


def hazard_fields(
    scheme: ProtectionScheme,
    mode: Mode,
    *,
    step_m: float = 0.25,
    headings: int = 16,
    speeds: Sequence[float] = SPEEDS,
    lay: Lay = CLOSE,
) -> dict[str, dict[float, HazardField]]:
    """Margins of every watching motion detector and photo-beam over the whole building.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    mode : Mode
        How it is set: decides which doors stand open and which devices are heard.
    step_m : float
        Cell size. [m]
    headings : int
        Walking directions over the full circle; even.
    speeds : sequence of float
        Walking speeds. [m/s]
    lay : Lay
        How close walks are laid.

    Returns
    -------
    dict of str to dict of float to HazardField
        By storey id and speed, for every storey with a room.

    Raises
    ------
    InputError
        If the kind of a motion detector lacks the figures its pattern follows from.
    """
    wanted = tuple(dict.fromkeys(float(v) for v in speeds))
    open_ids = open_inner_doors(scheme.premises, mode)
    heard = watching_devices(scheme, mode)
    watching = [d for d in scheme.of_family(Family.MOTION, Family.DUAL, Family.BEAM) if d.id in heard]
    fields: dict[str, dict[float, HazardField]] = {}
    for key, plan in storey_plans(scheme.premises).items():
        grid = storey_grid(plan, step_m)
        lines = sightlines(scheme.premises, key, open_ids)
        if grid is None or lines is None:
            continue
        devices = [d for d in watching if d.storey_id == key]
        fields[key] = _storey_fields(scheme, devices, lines, grid, headings, wanted, lay)
    return fields


def coverage_map(
    scheme: ProtectionScheme,
    mode: Mode,
    *,
    step_m: float = 0.25,
    headings: int = 16,
    speeds: Sequence[float] = (0.3, 1.0),
    device_ids: Iterable[str] | None = None,
    lay: Lay = CLOSE,
) -> dict[str, CoverageMap]:
    """Coverage of every storey, for drawing.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    mode : Mode
        How it is set.
    step_m : float
        Cell size. [m]
    headings : int
        Walking directions over the full circle; even.
    speeds : sequence of float
        Walking speeds; each place and direction counts at the speed least noticed. [m/s]
    device_ids : iterable of str, optional
        Only these devices.
    lay : Lay
        How close walks are laid.

    Returns
    -------
    dict of str to CoverageMap
        By storey id.
    """
    only = None if device_ids is None else frozenset(device_ids)
    maps: dict[str, CoverageMap] = {}
    # the usual speeds are worked out, and kept, together
    asked = SPEEDS if set(speeds) <= set(SPEEDS) else tuple(speeds)
    fields = hazard_fields(scheme, mode, step_m=step_m, headings=headings, speeds=asked, lay=lay)
    for storey_id, held in fields.items():
        by_speed = {v: field for v, field in held.items() if v in speeds}
        some = next(iter(by_speed.values()))
        rows = [i for i, d in enumerate(some.device_ids) if only is None or d in only]
        grid = some.grid
        best = np.full((headings, grid.ny, grid.nx), -np.inf, dtype=np.float32)
        if rows:
            best = np.min([f.margin_db[rows].max(axis=0) for f in by_speed.values()], axis=0)
        floor = floor_cells(scheme.premises, storey_id, mode, grid, headings, lay)
        maps[storey_id] = CoverageMap(
            grid,
            np.where(floor, best.min(axis=0), np.nan).astype(np.float32),
            some.heading_rad[best.argmin(axis=0)],
            tuple(by_speed),
            mode.value,
        )
    return maps


def floor_cells(
    premises: Premises, storey_id: str, mode: Mode, grid: Grid, headings: int, lay: Lay = CLOSE
) -> NDArray[np.bool_]:
    """Cells of a storey on which a walk in every direction is laid.

    Parameters
    ----------
    premises : Premises
        The building.
    storey_id : str
        The storey.
    mode : Mode
        Decides which doors stand open.
    grid : Grid
        Its cells.
    headings : int
        Walking directions over the full circle; even.
    lay : Lay
        How close walks are laid.

    Returns
    -------
    ndarray of bool
        Shape (ny, nx). [-]
    """
    lines = sightlines(premises, storey_id, open_inner_doors(premises, mode))
    if lines is None:
        return np.zeros((grid.ny, grid.nx), dtype=np.bool_)
    return np.asarray(np.logical_and.reduce([(w.cell >= 0).all(axis=0) for w in _laid(lines, grid, headings, lay)]))


def _storey_fields(
    scheme: ProtectionScheme,
    devices: list[Device],
    lines: Sightlines,
    grid: Grid,
    headings: int,
    speeds: tuple[float, ...],
    lay: Lay,
) -> dict[float, HazardField]:
    heading = 2.0 * math.pi * np.arange(headings) / headings
    margin = np.full((len(speeds), len(devices), headings, grid.ny, grid.nx), -np.inf, dtype=np.float32)
    heat = _heat(scheme.premises, grid)
    grounds = ["nothing"]
    for i, device in enumerate(devices):
        margin[:, i] = _margins(scheme, device, lines, grid, headings, speeds, lay, heat.central_db)
        if scheme.kind_of(device).family is not Family.BEAM:
            grounds.append(motion_sensor(scheme, device).in_hand_from)
    common_low, common_high, assumption = _spread(grounds, heat)
    return {
        speed: HazardField(
            grid=grid,
            device_ids=tuple(d.id for d in devices),
            heading_rad=heading,
            speed_m_s=speed,
            margin_db=margin[j],
            sigma_db=SIGMA,
            stretch_m=STRETCH_M,
            low_db=common_low[0],
            high_db=common_high[0],
            assumption=assumption,
            low_cell_db=common_low[1],
            high_cell_db=common_high[1],
        )
        for j, speed in enumerate(speeds)
    }


def fleeting_margins(
    scheme: ProtectionScheme, device: Device, mode: Mode, grid: Grid, headings: int, speed: float, lay: Lay
) -> NDArray[np.float32]:
    """Margins of one motion detector or beam where it will not stay: worked out, and not kept.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design it belongs to.
    device : Device
        The detector, watching.
    mode : Mode
        Decides which doors stand open.
    grid : Grid
        Cells of its storey.
    headings : int
        Walking directions over the full circle; even.
    speed : float
        Walking speed. [m/s]
    lay : Lay
        How close walks are laid.

    Returns
    -------
    ndarray
        Shape (headings, ny, nx); minus infinity where nothing is seen. [dB]
    """
    lines = sightlines(scheme.premises, grid.storey_id, open_inner_doors(scheme.premises, mode))
    if lines is None:
        return np.full((headings, grid.ny, grid.nx), -np.inf, dtype=np.float32)
    central = _heat(scheme.premises, grid).central_db
    every = _margins(scheme, device, lines, grid, headings, (speed,), lay, central, kept=False)
    return np.asarray(every[0])


def _margins(
    scheme: ProtectionScheme,
    device: Device,
    lines: Sightlines,
    grid: Grid,
    headings: int,
    speeds: tuple[float, ...],
    lay: Lay,
    central: NDArray[np.float32],
    *,
    kept: bool = True,
) -> NDArray[np.float32]:
    """Margins of one detector, shape (speeds, headings, ny, nx); the element of contrast of each cell included."""
    kind = scheme.kind_of(device)
    if kind.family is Family.BEAM:
        broken = beam_margins(device, kind, lines, _laid(lines, grid, headings, lay))
        return np.broadcast_to(broken, (len(speeds), *broken.shape))
    sensor = motion_sensor(scheme, device)
    rated_range = kind.need("range_m")

    def compute() -> tuple[NDArray[np.float32], ...]:
        outlook, walks = Outlook(sensor, lines), _laid(lines, grid, headings, lay)
        warm = infrared_margins(outlook, walks, speeds, rated_range)
        if sensor.microwave is None:
            return (warm,)
        return warm, microwave_margins(outlook, walks, speeds, sensor.microwave)

    laid = (lay, STRETCH_M, SWAY_M, SWAY_PERIOD_M, grid, headings, speeds, rated_range)
    held = field_store.remember(_key(sensor, lines, laid), compute) if kept else compute()
    warm = held[0] + (central + np.float32(sensor.in_hand_db))
    if sensor.microwave is None:
        return warm
    combine = joint_margin if sensor.microwave.both else either_margin
    return np.asarray(combine(warm, held[1] + np.float32(sensor.in_hand_db), SIGMA), dtype=np.float32)


def _key(sensor: MotionSensor, lines: Sightlines, laid: tuple[object, ...]) -> str:
    """Hash of everything infrared and microwave margins depend on; what a cell adds is left out."""
    figures = (sensor.position, sensor.height_m, sensor.heading_rad, sensor.optics, sensor.threshold_w, sensor.pulses)
    digest = hashlib.sha256(_model())
    digest.update(repr((laid, figures, sensor.microwave, sensor.element)).encode())
    digest.update(lines.content)
    return digest.hexdigest()[:40]


@cache
def _model() -> bytes:
    """The text of the modules a field follows from: fields kept by another version are not mistaken for this one's."""
    modules = (sightlines_module, walk_lines, visibility, facets, infrared, microwave, pyroelectric)
    return b"".join(Path(m.__file__).read_bytes() for m in modules if m.__file__)


@once(4)
def _laid(lines: Sightlines, grid: Grid, headings: int, lay: Lay) -> tuple[Walks, ...]:
    """The walks of a storey, laid once for all its detectors."""
    return walks_of(lines, grid, headings, lay)


@dataclass(frozen=True, eq=False)
class _Heat:
    """Levels of contrast on a storey by cell, as the rooms are heated."""

    central_db: NDArray[np.float32]
    low_db: NDArray[np.float32]
    high_db: NDArray[np.float32]
    """Shifts from the central level."""
    usual_low_db: float
    usual_high_db: float
    """Medians over the floor, not over what is watched: a storey's spread does not hang on its detectors."""


@once(16)
def _heat(premises: Premises, grid: Grid) -> _Heat:
    plan = storey_plans(premises)[grid.storey_id]
    nowhere = warmth(None)
    usual = (nowhere.central_db, nowhere.low_db, nowhere.high_db)
    levels = [np.full((grid.ny, grid.nx), value, dtype=np.float32) for value in usual]
    xx, yy = grid.centres()
    floor = np.zeros((grid.ny, grid.nx), dtype=np.bool_)
    for room in sorted(plan.rooms, key=lambda r: -plan.room_shapes[r.id].area):
        here = warmth(room)
        inside = shapely.contains_xy(plan.room_shapes[room.id], xx, yy)
        floor |= inside
        for level, value in zip(levels, (here.central_db, here.low_db, here.high_db), strict=True):
            level[inside] = value
    low, high = (float(np.median(level[floor])) if floor.any() else 0.0 for level in levels[1:])
    return _Heat(levels[0], levels[1], levels[2], low, high)


def _spread(
    grounds: list[str], heat: _Heat
) -> tuple[tuple[float, NDArray[np.float32]], tuple[float, NDArray[np.float32]], str]:
    """Common shifts of a storey, what single cells add to them, and what governs."""
    usual = contrast_level(20.0)
    light, heavy = contrast_level(20.0, CLOTHING[0]) - usual, contrast_level(20.0, CLOTHING[2]) - usual
    loosest = max(CALIBRATION_SPREAD_DB[g] for g in (grounds[1:] or grounds))
    parts = {
        "the room's temperature": heat.usual_low_db,
        "the walker's clothes": heavy,
        "how sensitive the detectors really are": -loosest,
        "the walker's size": -BODY_SPREAD_DB,
    }
    down = -math.sqrt(sum(v * v for v in parts.values()))
    up = math.sqrt(heat.usual_high_db**2 + light**2 + loosest**2 + BODY_SPREAD_DB**2)
    governing = min(parts, key=lambda k: parts[k])
    return (
        (down, np.minimum(heat.low_db - np.float32(heat.usual_low_db), 0.0).astype(np.float32)),
        (up, np.maximum(heat.high_db - np.float32(heat.usual_high_db), 0.0).astype(np.float32)),
        f"mostly {governing}; also " + ", ".join(k for k in parts if k != governing),
    )
