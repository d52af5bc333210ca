"""The grid an analysis lays over a storey, and the detection-hazard field on it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Grid:
    """Square cells over one storey; cell (iy, ix) has its centre at ``x0_m + ix*step_m``, ``y0_m + iy*step_m``."""

    storey_id: str
    x0_m: float
    y0_m: float
    step_m: float
    nx: int
    ny: int

    def centres(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Coordinates of the cell centres, each of shape (ny, nx). [m]"""
        x = self.x0_m + self.step_m * np.arange(self.nx)
        y = self.y0_m + self.step_m * np.arange(self.ny)
        xx, yy = np.meshgrid(x, y)
        return xx, yy

    def cell(self, x: float, y: float) -> tuple[int, int]:
        """Row and column (iy, ix) of the nearest cell, clipped to the grid."""
        ix = min(max(round((x - self.x0_m) / self.step_m), 0), self.nx - 1)
        iy = min(max(round((y - self.y0_m) / self.step_m), 0), self.ny - 1)
        return iy, ix


@dataclass(frozen=True)
class HazardField:
    """How well each detector notices a person at each place, walking in each direction, at one speed.

    ``margin_db[d, h, iy, ix]`` is the margin of detector ``d`` over its threshold for a straight walk of ``stretch_m``
    centred on the cell along heading ``h``; minus infinity where it sees nothing. The probability for one such walk is
    ``Phi((margin + shift) / sigma_db)``; ``shift`` moves all margins together by the plausible spread of people,
    clothing, temperature and installation.
    """

    grid: Grid
    device_ids: tuple[str, ...]
    heading_rad: NDArray[np.float64]
    """Walking directions, anticlockwise from +x, evenly spread over the full circle, shape (h,). [rad]"""
    speed_m_s: float
    margin_db: NDArray[np.float32]
    sigma_db: float = 4.0
    stretch_m: float = 3.0
    low_db: float = -6.0
    """Shift for the pessimistic end of the plausible spread. [dB]"""
    high_db: float = 6.0
    """Shift for the optimistic end. [dB]"""
    assumption: str = ""
    """What governs the spread."""
    low_cell_db: NDArray[np.float32] | None = None
    """Further shift of each cell at the pessimistic end, shape (ny, nx): rooms that get warmer than most. [dB]"""
    high_cell_db: NDArray[np.float32] | None = None
    """The same at the optimistic end. [dB]"""

    def shift_db(self, end: int) -> NDArray[np.float32]:
        """What is to be added to every margin at one end of the plausible spread.

        Parameters
        ----------
        end : int
            -1 for the pessimistic end, 0 for the central assumption, 1 for the optimistic end.

        Returns
        -------
        ndarray
            Shape (ny, nx). [dB]
        """
        shape = (self.grid.ny, self.grid.nx)
        if end == 0:
            return np.zeros(shape, dtype=np.float32)
        common, cell = (self.low_db, self.low_cell_db) if end < 0 else (self.high_db, self.high_cell_db)
        return np.full(shape, common, dtype=np.float32) + (np.float32(0.0) if cell is None else cell)
