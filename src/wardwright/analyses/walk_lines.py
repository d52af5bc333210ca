"""Straight walks across a storey in every direction, all at once, and what a detector makes of them.

Each direction has parallel lines ``LINE_M`` apart; along each, samples ``SAMPLE_M`` apart. A line is cut by walls into
runs. On a run the walker starts standing still at its beginning, the element settled, and walks to its end, swaying a
little as people do. The filter runs as a recursion over all runs of a direction together.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d
from scipy.signal import lfilter

from wardwright.analyses.grid import Grid
from wardwright.analyses.motion_sensor import Microwave
from wardwright.analyses.sightlines import Outlook, Sightlines
from wardwright.physics.microwave import microwave_margin, noticed_by_doppler
from wardwright.physics.pyroelectric import Response, recursion
from wardwright.physics.thermal_contrast import STANDARD_RADIANCE

LINE_M = 0.125
"""Between lines of one direction: a cell's walk passes within half of it. [m]"""
SAMPLE_M = 0.025
"""Between samples along a line. [m]"""
STRETCH_M = 3.0
"""Length of a walk that is assessed, centred on its cell. [m]"""
SWAY_M = 0.03
"""Sideways swing of a walker (assumption). [m]"""
SWAY_PERIOD_M = 1.0
"""Distance walked in one swing, two steps (assumption). [m]"""
FARTHEST = 2.5
"""Beyond this many times the rated range nothing is looked for. [-]"""
TORSO_M = 1.1
"""Height the microwave looks at. [m]"""
_HALF = round(STRETCH_M / 2.0 / SAMPLE_M)


@dataclass(frozen=True, eq=False)
class Direction:
    """All walks along one direction and back, free samples only, run after run."""

    heading_rad: float
    x: NDArray[np.float64]
    y: NDArray[np.float64]
    """Where the walker's middle is, sway included. [m]"""
    run_start: NDArray[np.int64]
    """First sample of the run each sample belongs to."""
    run_end: NDArray[np.int64]
    """One past its last sample."""
    cell: NDArray[np.int64]
    """Sample nearest to each cell's centre, shape (ny, nx); -1 where the cell is not free."""


def directions(lines: Sightlines, grid: Grid, headings: int) -> tuple[Direction, ...]:
    """Lay the walks over a storey.

    Parameters
    ----------
    lines : Sightlines
        The storey.
    grid : Grid
        Its cells.
    headings : int
        Walking directions over the full circle, even: half of them are the others walked back.

    Returns
    -------
    tuple of Direction
        One for each of the first ``headings / 2`` directions.
    """
    shapely.prepare(lines.free)
    xx, yy = grid.centres()
    free_cell = shapely.contains_xy(lines.free, xx, yy)
    x0, y0, x1, y1 = lines.free.bounds
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    found = []
    for k in range(headings // 2):
        heading = 2.0 * math.pi * k / headings
        along, across = (
            np.array([math.cos(heading), math.sin(heading)]),
            np.array([-math.sin(heading), math.cos(heading)]),
        )
        s_of, u_of = corners @ along, corners @ across
        first_s, first_u = math.floor(s_of.min() / SAMPLE_M), math.floor(u_of.min() / LINE_M)
        s = SAMPLE_M * np.arange(first_s, math.ceil(s_of.max() / SAMPLE_M) + 1)
        u = LINE_M * np.arange(first_u, math.ceil(u_of.max() / LINE_M) + 1)
        px = u[:, None] * across[0] + s[None, :] * along[0]
        py = u[:, None] * across[1] + s[None, :] * along[1]
        free = shapely.contains_xy(lines.free, px, py)
        number = np.full(free.shape, -1, dtype=np.int64)
        number[free] = np.arange(np.count_nonzero(free))
        sway = SWAY_M * np.sin(2.0 * math.pi * s / SWAY_PERIOD_M)[None, :]
        edges = np.diff(np.pad(free, ((0, 0), (1, 1))).astype(np.int8), axis=1)
        starts = number[np.nonzero(edges[:, :-1] == 1)]
        lengths = np.diff(np.append(starts, np.count_nonzero(free)))
        cu, cs = xx * across[0] + yy * across[1], xx * along[0] + yy * along[1]
        col = np.clip(np.rint(cs / SAMPLE_M).astype(np.int64) - first_s, 0, len(s) - 1)
        exact = cu / LINE_M - first_u
        row = np.clip(np.rint(exact).astype(np.int64), 0, len(u) - 1)
        beside = np.clip(np.where(exact > row, row + 1, row - 1), 0, len(u) - 1)
        cell = number[row, col]
        cell = np.where(cell < 0, number[beside, col], cell)
        found.append(
            Direction(
                heading,
                (px + sway * across[0])[free],
                (py + sway * across[1])[free],
                np.repeat(starts, lengths),
                np.repeat(starts + lengths, lengths),
                np.where(free_cell, cell, -1),
            )
        )
    return tuple(found)


def infrared_margins(
    outlook: Outlook, walks: tuple[Direction, ...], speeds: tuple[float, ...], rated_range: float
) -> NDArray[np.float32]:
    """Margins of the infrared part for the standard contrast, nothing in hand.

    Parameters
    ----------
    outlook : Outlook
        The detector and what it sees.
    walks : tuple of Direction
        The walks.
    speeds : tuple of float
        Walking speeds. [m/s]
    rated_range : float
        Of the detector. [m]

    Returns
    -------
    ndarray
        Shape (speeds, headings, ny, nx); minus infinity where nothing is seen. [dB]
    """
    sensor = outlook.sensor
    ny, nx = walks[0].cell.shape
    half = len(walks)
    margins = np.full((len(speeds), 2 * half, ny, nx), -np.inf, dtype=np.float32)
    box = outlook.view.polygon().bounds if outlook.view.segments else None
    if box is None or not box:
        return margins
    (ex, ey), far = outlook.eye, FARTHEST * rated_range
    for k, walk in enumerate(walks):
        near = (walk.x >= max(box[0], ex - far) - 0.3) & (walk.x <= min(box[2], ex + far) + 0.3)
        near &= (walk.y >= max(box[1], ey - far) - 0.3) & (walk.y <= min(box[3], ey + far) + 0.3)
        at = np.flatnonzero(near)
        at = at[outlook.reaches(walk.x[at], walk.y[at])]
        if not len(at):
            continue
        power = np.zeros(len(walk.x))
        power[at] = outlook.power(walk.x[at], walk.y[at])
        first, last = _touched_runs(walk, at)
        if not len(first):
            continue
        iy, ix = np.nonzero(walk.cell >= 0)
        centre = walk.cell[iy, ix]
        row = np.searchsorted(first, centre, side="right") - 1
        held = (row >= 0) & (centre < last[np.maximum(row, 0)])
        iy, ix, centre, row = iy[held], ix[held], centre[held], row[held]
        for back in (False, True):
            packed, inside = _pack(power, first, last, back)
            column = last[row] - 1 - centre if back else centre - first[row]
            for j, speed in enumerate(speeds):
                peaks = _peaks(_filter(packed, speed, sensor.element), inside, sensor.pulses, row, column)
                with np.errstate(divide="ignore"):
                    decibel = 20.0 * np.log10(peaks * (STANDARD_RADIANCE / sensor.threshold_w))
                margins[j, k + half if back else k, iy, ix] = decibel
    return margins


def microwave_margins(
    outlook: Outlook, walks: tuple[Direction, ...], speeds: tuple[float, ...], part: Microwave
) -> NDArray[np.float32]:
    """Margins of the microwave part for a target of 1 m², nothing in hand.

    Parameters
    ----------
    outlook : Outlook
        The detector.
    walks : tuple of Direction
        The walks.
    speeds : tuple of float
        Walking speeds. [m/s]
    part : Microwave
        Its figures.

    Returns
    -------
    ndarray
        Shape (speeds, headings, ny, nx); minus infinity where the walk has too little along the line of sight, or the
        place is hidden by a wall (partitions let microwaves through, which is left out: it could only add). [dB]
    """
    sensor = outlook.sensor
    ny, nx = walks[0].cell.shape
    half = len(walks)
    margins = np.full((len(speeds), 2 * half, ny, nx), -np.inf, dtype=np.float32)
    for k, walk in enumerate(walks):
        iy, ix = np.nonzero(walk.cell >= 0)
        at = walk.cell[iy, ix]
        x, y = walk.x[at], walk.y[at]
        seen = outlook.view.contains(x, y)
        iy, ix, at, x, y = iy[seen], ix[seen], at[seen], x[seen], y[seen]
        dx, dy = x - outlook.eye[0], y - outlook.eye[1]
        cos, sin = math.cos(walk.heading_rad), math.sin(walk.heading_rad)
        lead, offset2 = dx * cos + dy * sin, (dy * cos - dx * sin) ** 2 + (sensor.height_m - TORSO_M) ** 2
        before = np.minimum(STRETCH_M / 2.0, SAMPLE_M * (at - walk.run_start[at]))
        after = np.minimum(STRETCH_M / 2.0, SAMPLE_M * (walk.run_end[at] - 1 - at))
        from_, to = lead - before, lead + after
        r_from, r_to = np.sqrt(from_**2 + offset2), np.sqrt(to**2 + offset2)
        passes = (from_ < 0.0) & (to > 0.0)
        nearest = np.where(passes, np.sqrt(offset2), np.minimum(r_from, r_to))
        travel = np.maximum(r_from, r_to) - nearest
        share = np.maximum(np.abs(from_) / np.maximum(r_from, 0.1), np.abs(to) / np.maximum(r_to, 0.1))
        r = np.sqrt(lead**2 + offset2)
        off = np.mod(np.arctan2(dy, dx) - sensor.heading_rad + math.pi, 2.0 * math.pi) - math.pi
        elevation = np.arctan2(TORSO_M - sensor.height_m, np.hypot(dx, dy))
        value = microwave_margin(r, rated_range=part.range_m, azimuth=off, elevation=elevation, field=part.field_rad)
        for j, speed in enumerate(speeds):
            noticed = np.where(noticed_by_doppler(speed * share, travel), value, -np.inf)
            margins[j, k, iy, ix] = noticed
            margins[j, k + half, iy, ix] = noticed
    return margins


def _touched_runs(walk: Direction, at: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First sample and one past the last of every run that has power, cut to half a stretch beyond where it has."""
    runs, begin = np.unique(walk.run_start[at], return_index=True)
    finish = np.append(begin[1:], len(at)) - 1
    first = np.maximum(at[begin] - _HALF, runs)
    last = np.minimum(at[finish] + _HALF + 1, walk.run_end[runs])
    return first, last


def _pack(
    power: NDArray[np.float64], first: NDArray[np.int64], last: NDArray[np.int64], back: bool
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Runs as rows of one array, in the order they are walked, each less its first value; and which places are used."""
    length = last - first
    step = np.arange(int(length.max()))
    inside = step[None, :] < length[:, None]
    index = (last[:, None] - 1 - step[None, :]) if back else (first[:, None] + step[None, :])
    rows = power[np.where(inside, index, first[:, None])]
    return np.where(inside, rows - rows[:, :1], 0.0), inside


def _filter(rows: NDArray[np.float64], speed: float, element: Response) -> NDArray[np.float64]:
    numerator, denominator = recursion(SAMPLE_M / speed, element)
    return np.asarray(lfilter(numerator, denominator, rows, axis=-1))


def _peaks(
    output: NDArray[np.float64],
    inside: NDArray[np.bool_],
    pulses: int,
    row: NDArray[np.int64],
    column: NDArray[np.int64],
) -> NDArray[np.float64]:
    """The weakest of the pulses that count, within the stretch about the places given by row and column."""
    held = np.where(inside, output, 0.0)
    if pulses == 1:
        most = maximum_filter1d(np.abs(held), 2 * _HALF + 1, axis=-1, mode="constant")
        return np.asarray(most[row, column])
    # each lobe counts once, with what of it lies in the stretch; lobes alternate in sign by nature
    wide = np.pad(held, ((0, 0), (_HALF, _HALF)))
    windows = np.lib.stride_tricks.sliding_window_view(wide, 2 * _HALF + 1, axis=-1)[row, column]
    new = np.ones(windows.shape, dtype=np.bool_)
    sign = np.signbit(windows)
    new[:, 1:] = sign[:, 1:] != sign[:, :-1]
    start = np.flatnonzero(new)
    top = np.maximum.reduceat(np.abs(windows).ravel(), start)
    lobes = np.zeros(windows.shape)
    lobes.ravel()[start] = top
    return np.asarray(np.partition(lobes, -pulses, axis=-1)[:, -pulses])
