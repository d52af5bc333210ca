"""How fast detection builds up while somebody walks: the hazard field laid over the walking graph.

A detector's margin M over its threshold, for a straight walk of length L along a heading, means a chance
``p = Phi((M + shift) / sigma)`` for that walk. Per metre that is a detection exponent ``-ln(1 - p) / L``: exponents add
along a path as if its metres were independent chances.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr

from wardwright.analyses.grid import HazardField
from wardwright.analyses.walkable import HEADING_RAD, WalkGraph

Fields = Mapping[str, Mapping[float, HazardField]]
"""Detection hazard by storey id and walking pace."""
MOST_PER_WALK = 20.7
"""Exponent of one walk is capped here: a chance of 1 - 1e-9. [-]"""
_T = np.linspace(-6.0, 6.0, 2401)
_EXPONENT = np.minimum(-log_ndtr(-_T), MOST_PER_WALK).astype(np.float32)
_EXPONENT[0] = 0.0
LOW, CENTRAL, HIGH = 0, 1, 2


def walk_exponent(
    margin: NDArray[np.floating], shift: float | NDArray[np.floating], sigma: float
) -> NDArray[np.float32]:
    """Detection exponent of one standard walk.

    Parameters
    ----------
    margin : array
        Margin over the threshold; minus infinity where nothing is seen. [dB]
    shift : float or array
        Added to every margin. [dB]
    sigma : float
        Spread of the margin from walk to walk. [dB]

    Returns
    -------
    array
        ``-ln(1 - Phi((M + shift) / sigma))``, capped at 20.7, from a table with steps of 0.005 in its argument: within
        3 % where the chance exceeds one in a million, nothing below that. [-]
    """
    place = (margin + shift) * (200.0 / sigma) + 1200.5
    return np.asarray(_EXPONENT[np.fmin(np.fmax(place, 0.0), 2400.0).astype(np.int32)])  # fmax: no margin, no chance


class Exposure:
    """Motion detectors that watch, storey by storey and speed by speed, on the places of a walking graph.

    Parameters
    ----------
    graph : WalkGraph
        The building's places.
    fields : Fields
        Detection hazard by storey and pace.
    watched : frozenset of str
        Devices that count; the others are heard by nobody.
    """

    def __init__(self, graph: WalkGraph, fields: Fields, watched: frozenset[str]) -> None:
        self._graph = graph
        used = [f for key, by_pace in fields.items() if key in graph.storey_ids for f in by_pace.values()]
        self.device_ids = tuple(dict.fromkeys(d for f in used for d in f.device_ids if d in watched))
        self.speeds_m_s = tuple(sorted({f.speed_m_s for f in used}, reverse=True))
        """Fastest first. [m/s]"""
        self.stretch_m = used[0].stretch_m if used else 3.0
        self.assumption = next((f.assumption for f in used if f.assumption), "the margin of motion detectors")
        self._rows: dict[tuple[int, int], tuple[HazardField, list[int], list[int]]] = {}
        self._headings: dict[tuple[int, int], NDArray[np.intp]] = {}
        self._cell_y = np.zeros(graph.size, dtype=np.int32)
        self._cell_x = np.zeros(graph.size, dtype=np.int32)
        for field in used:
            storey, speed = graph.storey_ids.index(field.grid.storey_id), self.speeds_m_s.index(field.speed_m_s)
            rows = [i for i, d in enumerate(field.device_ids) if d in watched]
            names = [self.device_ids.index(field.device_ids[i]) for i in rows]
            self._rows[(storey, speed)] = (field, rows, names)
            turn = np.angle(np.exp(1j * (HEADING_RAD[:, None] - field.heading_rad[None, :])))
            self._headings[(storey, speed)] = np.argmin(np.abs(turn), axis=1)
            here = np.flatnonzero(graph.storey == storey)
            grid = field.grid
            self._cell_x[here] = np.clip(np.rint((graph.x[here] - grid.x0_m) / grid.step_m), 0, grid.nx - 1)
            self._cell_y[here] = np.clip(np.rint((graph.y[here] - grid.y0_m) / grid.step_m), 0, grid.ny - 1)

    def per_metre(self, speed: int) -> NDArray[np.float32]:
        """Exponent per metre of all detectors together, central assumption, for each place and heading.

        Parameters
        ----------
        speed : int
            Index into ``speeds_m_s``.

        Returns
        -------
        array
            Shape (places, 32). [1/m]
        """
        total = np.zeros((self._graph.size, 32), dtype=np.float32)
        for storey in range(len(self._graph.storey_ids)):
            found = self._rows.get((storey, speed))
            if found is None or not found[1]:
                continue
            field, rows, _ = found
            summed = np.zeros(field.margin_db.shape[1:], dtype=np.float32)
            for row in rows:
                margin = field.margin_db[row]
                seen = np.isfinite(margin).any(axis=0)
                if not seen.any():
                    continue
                (y0, y1), (x0, x1) = _span(seen.any(axis=1)), _span(seen.any(axis=0))
                part = np.s_[:, y0:y1, x0:x1]
                summed[part] += walk_exponent(margin[part], 0.0, field.sigma_db)
            here = np.flatnonzero(self._graph.storey == storey)
            at_cells = summed[:, self._cell_y[here], self._cell_x[here]] / field.stretch_m
            total[here] = at_cells[self._headings[(storey, speed)]].T
        return total

    def along(
        self,
        start: NDArray[np.intp],
        end: NDArray[np.intp],
        move: NDArray[np.intp],
        speed: int,
    ) -> NDArray[np.float64]:
        """Exponent per metre of every detector on each step of a path.

        Parameters
        ----------
        start, end : array of int
            Places each step leads from and to.
        move : array of int
            Heading of each step, index into ``MOVES``.
        speed : int
            Index into ``speeds_m_s``.

        Returns
        -------
        array
            Shape (3, detectors, steps): pessimistic, central and optimistic. [1/m]
        """
        found = np.zeros((3, len(self.device_ids), len(start)))
        for place in (start, end):
            storeys = self._graph.storey[place]
            for storey in range(len(self._graph.storey_ids)):
                held = self._rows.get((storey, speed))
                on = np.flatnonzero(storeys == storey)
                if held is None or not held[1] or not len(on):
                    continue
                field, rows, names = held
                heading = self._headings[(storey, speed)][move[on]]
                cells = place[on]
                y, x = self._cell_y[cells], self._cell_x[cells]
                margin = field.margin_db[np.array(rows)[:, None], heading[None, :], y[None, :], x[None, :]]
                seeing = np.flatnonzero((margin > -np.inf).any(axis=1))
                if not len(seeing):
                    continue
                into = np.ix_(np.array(names)[seeing], on)
                for i, side in enumerate((-1, 0, 1)):
                    shift = field.shift_db(side)[y, x]
                    rate = walk_exponent(margin[seeing], shift, field.sigma_db)
                    found[i][into] += rate / (2.0 * field.stretch_m)
        return found


def _span(any_of: NDArray[np.bool_]) -> tuple[int, int]:
    at = np.flatnonzero(any_of)
    return int(at[0]), int(at[-1]) + 1
