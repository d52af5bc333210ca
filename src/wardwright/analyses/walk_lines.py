"""Straight walks across a storey in every direction, all at once, and what a detector makes of them.

Each direction has parallel lines; along each lie samples. A line is cut by walls into
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
from wardwright.analyses.sightlines import ABOUT_M, Outlook, Sightlines
from wardwright.physics.microwave import microwave_margin, noticed_by_doppler
from wardwright.physics.pyroelectric import Response, recursion
from wardwright.physics.thermal_contrast import STANDARD_RADIANCE

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


@dataclass(frozen=True)
class Lay:
    """How close walks are laid."""

    line_m: float
    """Between lines of one direction: a cell's walk passes within half of it. [m]"""
    sample_m: float
    """Between samples along a line. [m]"""

    @property
    def half(self) -> int:
        """Samples in half a stretch. [-]"""
        return round(STRETCH_M / 2.0 / self.sample_m)


TOGETHER = 40_000
"""Samples of one batch: enough that setting out costs little, few enough that what is worked on stays at hand. [-]"""
CLOSE = Lay(0.125, 0.025)
"""For proofs."""
WIDE = Lay(0.25, 0.05)
"""For what is only looked at while a detector is in the hand."""


@dataclass(frozen=True, eq=False)
class Walks:
    """All walks along some directions and back, free samples only, run after run."""

    first: int
    """Number of the first of the directions."""
    heading_rad: NDArray[np.float64]
    """The directions."""
    x: NDArray[np.float64]
    y: NDArray[np.float64]
    """Where the walker's middle is, sway included. [m]"""
    run_start: NDArray[np.int64]
    """First sample of the run each sample belongs to."""
    run_end: NDArray[np.int64]
    """One past its last sample."""
    cell: NDArray[np.int64]
    """Sample nearest to each cell's centre, shape (directions, ny, nx); -1 where the cell is not free."""
    lay: Lay


def walks_of(lines: Sightlines, grid: Grid, headings: int, lay: Lay = CLOSE) -> tuple[Walks, ...]:
    """Lay the walks over a storey.

    Parameters
    ----------
    lines : Sightlines
        The storey.
    grid : Grid
        Its cells.
    headings : int
        Walking directions over the full circle, even: half of them are the others walked back.
    lay : Lay
        How close they are laid.

    Returns
    -------
    tuple of Walks
        The first ``headings / 2`` directions in order, as many together as make one batch.
    """
    shapely.prepare(lines.free)
    xx, yy = grid.centres()
    free_cell = shapely.contains_xy(lines.free, xx, yy)
    x0, y0, x1, y1 = lines.free.bounds
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    found: list[Walks] = []
    for k in range(headings // 2):
        heading = 2.0 * math.pi * k / headings
        along, across = (
            np.array([math.cos(heading), math.sin(heading)]),
            np.array([-math.sin(heading), math.cos(heading)]),
        )
        s_of, u_of = corners @ along, corners @ across
        first_s, first_u = math.floor(s_of.min() / lay.sample_m), math.floor(u_of.min() / lay.line_m)
        s = lay.sample_m * np.arange(first_s, math.ceil(s_of.max() / lay.sample_m) + 1)
        u = lay.line_m * np.arange(first_u, math.ceil(u_of.max() / lay.line_m) + 1)
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
        col = np.clip(np.rint(cs / lay.sample_m).astype(np.int64) - first_s, 0, len(s) - 1)
        exact = cu / lay.line_m - first_u
        row = np.clip(np.rint(exact).astype(np.int64), 0, len(u) - 1)
        beside = np.clip(np.where(exact > row, row + 1, row - 1), 0, len(u) - 1)
        cell = number[row, col]
        cell = np.where(cell < 0, number[beside, col], cell)
        walk = Walks(
            k,
            np.array([heading]),
            (px + sway * across[0])[free],
            (py + sway * across[1])[free],
            np.repeat(starts, lengths),
            np.repeat(starts + lengths, lengths),
            np.where(free_cell, cell, -1)[None],
            lay,
        )
        if found and len(found[-1].x) + len(walk.x) <= TOGETHER:
            found[-1] = _joined(found[-1], walk)
        else:
            found.append(walk)
    return tuple(found)


def _joined(a: Walks, b: Walks) -> Walks:
    shift = len(a.x)
    return Walks(
        a.first,
        np.concatenate([a.heading_rad, b.heading_rad]),
        np.concatenate([a.x, b.x]),
        np.concatenate([a.y, b.y]),
        np.concatenate([a.run_start, b.run_start + shift]),
        np.concatenate([a.run_end, b.run_end + shift]),
        np.concatenate([a.cell, np.where(b.cell >= 0, b.cell + shift, -1)]),
        a.lay,
    )


def infrared_margins(
    outlook: Outlook, walks: tuple[Walks, ...], speeds: tuple[float, ...], rated_range: float
) -> NDArray[np.float32]:
    """Margins of the infrared part for the standard contrast, nothing in hand.

    Parameters
    ----------
    outlook : Outlook
        The detector and what it sees.
    walks : tuple of Walks
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
    margins = _unseen(walks, len(speeds))
    half = margins.shape[1] // 2
    if outlook.box is None:
        return margins
    x0, y0, x1, y1 = outlook.box
    (ex, ey), far = outlook.eye, FARTHEST * rated_range
    for walk in walks:
        near = (walk.x >= max(x0, ex - far) - ABOUT_M) & (walk.x <= min(x1, ex + far) + ABOUT_M)
        near &= (walk.y >= max(y0, ey - far) - ABOUT_M) & (walk.y <= min(y1, ey + far) + ABOUT_M)
        at = np.flatnonzero(near)
        at = at[outlook.reaches(walk.x[at], walk.y[at])]
        if not len(at):
            continue
        power = np.zeros(len(walk.x))
        power[at] = outlook.power(walk.x[at], walk.y[at])
        first, last = _touched_runs(walk, at)
        if not len(first):
            continue
        k, iy, ix = np.nonzero(walk.cell >= 0)
        centre = walk.cell[k, iy, ix]
        row = np.searchsorted(first, centre, side="right") - 1
        held = (row >= 0) & (centre < last[np.maximum(row, 0)])
        k, iy, ix, centre, row = k[held] + walk.first, iy[held], ix[held], centre[held], row[held]
        # there and back at once: the runs as they are walked, below them the same runs walked back
        packed, inside = _pack(power, first, last)
        row = np.concatenate([row, row + len(first)])
        column = np.concatenate([centre - first[row[: len(centre)]], last[row[: len(centre)]] - 1 - centre])
        k, iy, ix = np.concatenate([k, k + half]), np.concatenate([iy, iy]), np.concatenate([ix, ix])
        for j, speed in enumerate(speeds):
            output = _filter(packed, walk.lay.sample_m / speed, sensor.element)
            peaks = _peaks(output, inside, sensor.pulses, row, column, walk.lay.half)
            with np.errstate(divide="ignore"):
                margins[j, k, iy, ix] = 20.0 * np.log10(peaks * (STANDARD_RADIANCE / sensor.threshold_w))
    return margins


def _unseen(walks: tuple[Walks, ...], speeds: int) -> NDArray[np.float32]:
    headings = 2 * sum(len(walk.heading_rad) for walk in walks)
    return np.full((speeds, headings, *walks[0].cell.shape[1:]), -np.inf, dtype=np.float32)


def microwave_margins(
    outlook: Outlook, walks: tuple[Walks, ...], speeds: tuple[float, ...], part: Microwave
) -> NDArray[np.float32]:
    """Margins of the microwave part for a target of 1 m², nothing in hand.

    Parameters
    ----------
    outlook : Outlook
        The detector.
    walks : tuple of Walks
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
    margins = _unseen(walks, len(speeds))
    half = margins.shape[1] // 2
    for walk in walks:
        k, iy, ix = np.nonzero(walk.cell >= 0)
        at = walk.cell[k, iy, ix]
        seen = outlook.view.contains(walk.x[at], walk.y[at])
        k, iy, ix, at = k[seen], iy[seen], ix[seen], at[seen]
        x, y = walk.x[at], walk.y[at]
        dx, dy = x - outlook.eye[0], y - outlook.eye[1]
        cos, sin = np.cos(walk.heading_rad)[k], np.sin(walk.heading_rad)[k]
        lead, offset2 = dx * cos + dy * sin, (dy * cos - dx * sin) ** 2 + (sensor.height_m - TORSO_M) ** 2
        before = np.minimum(STRETCH_M / 2.0, walk.lay.sample_m * (at - walk.run_start[at]))
        after = np.minimum(STRETCH_M / 2.0, walk.lay.sample_m * (walk.run_end[at] - 1 - at))
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
            margins[j, k + walk.first, iy, ix] = noticed
            margins[j, k + walk.first + half, iy, ix] = noticed
    return margins


def _touched_runs(walk: Walks, at: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First sample and one past the last of every run that has power, cut to half a stretch beyond where it has."""
    runs, begin = np.unique(walk.run_start[at], return_index=True)
    finish = np.append(begin[1:], len(at)) - 1
    first = np.maximum(at[begin] - walk.lay.half, runs)
    last = np.minimum(at[finish] + walk.lay.half + 1, walk.run_end[runs])
    return first, last


def _pack(
    power: NDArray[np.float64], first: NDArray[np.int64], last: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Runs as rows of one array, walked as they lie and then walked back, each less its first value; and which places
    are used.
    """
    length = last - first
    step = np.arange(int(length.max()))
    inside = step[None, :] < length[:, None]
    there, back = first[:, None] + step[None, :], last[:, None] - 1 - step[None, :]
    index = np.concatenate([np.where(inside, there, first[:, None]), np.where(inside, back, first[:, None])])
    inside = np.concatenate([inside, inside])
    rows = power[index]
    return np.where(inside, rows - rows[:, :1], 0.0), inside


def _filter(rows: NDArray[np.float64], step_s: float, element: Response) -> NDArray[np.float64]:
    numerator, denominator = recursion(step_s, element)
    return np.asarray(lfilter(numerator, denominator, rows, axis=-1))


def _peaks(
    output: NDArray[np.float64],
    inside: NDArray[np.bool_],
    pulses: int,
    row: NDArray[np.int64],
    column: NDArray[np.int64],
    half: int,
) -> NDArray[np.float64]:
    """The weakest of the pulses that count, within the stretch about the places given by row and column."""
    held = np.where(inside, output, 0.0)
    if pulses == 1:
        most = maximum_filter1d(np.abs(held), 2 * half + 1, axis=-1, mode="constant")
        return np.asarray(most[row, column])
    # each lobe counts once, with what of it lies in the stretch; lobes alternate in sign by nature
    wide = np.pad(held, ((0, 0), (half, half)))
    windows = np.lib.stride_tricks.sliding_window_view(wide, 2 * half + 1, axis=-1)[row, column]
    new = np.ones(windows.shape, dtype=np.bool_)
    sign = np.signbit(windows)
    np.not_equal(sign[:, 1:], sign[:, :-1], out=new[:, 1:])
    lobe = np.flatnonzero(new)
    tops = np.maximum.reduceat(np.abs(windows, out=windows).ravel(), lobe)
    of_window = lobe // windows.shape[1]
    first = np.flatnonzero(np.diff(of_window, prepend=-1))
    for _ in range(pulses - 1):  # the greatest goes, as often as others must come after it
        greatest = np.flatnonzero(tops == np.maximum.reduceat(tops, first)[of_window])
        once = np.diff(of_window[greatest], prepend=-1) != 0
        tops[greatest[once]] = 0.0
    return np.asarray(np.maximum.reduceat(tops, first))
