"""Coverage while one detector is being moved: only what it sees is worked out anew, at one pace and fewer directions.

It follows the hand; the full map, at all paces and directions, takes its place when the detector is let go.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.coverage import CoverageMap, floor_cells, hazard_fields
from wardwright.analyses.field_store import fleeting
from wardwright.analyses.mode import Mode
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme

SPEED_M_S = 1.0
"""Walking. [m/s]"""
HEADINGS = 4
"""Along and across the drawing; the full map looks along sixteen. [-]"""
STEP_M = 0.25


class Dragging:
    """The coverage of a scheme while one of its devices is moved.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design as it stands.
    mode : Mode
        How it is set.
    device_id : str
        The device in hand; it may be new.
    """

    def __init__(self, scheme: ProtectionScheme, mode: Mode, device_id: str) -> None:
        self._scheme = scheme
        self._mode = mode
        self._rest = _best(_with_devices(scheme, tuple(d for d in scheme.fitted if d.id != device_id)), mode)

    def at(self, device: Device) -> CoverageMap | None:
        """The coverage of the storey with the device where it is held now.

        Parameters
        ----------
        device : Device
            The device in hand.

        Returns
        -------
        CoverageMap or None
            Of its storey; None where the storey has no floor.
        """
        rest = self._rest.get(device.storey_id)
        if rest is None:
            return None
        empty, best = rest
        looks = self._scheme.kind_of(device).family in (Family.MOTION, Family.DUAL, Family.BEAM)
        if looks:
            with fleeting():
                alone = _best(_with_devices(self._scheme, (device,)), self._mode, device.storey_id)
            best = np.maximum(best, alone[device.storey_id][1])
        floor = ~np.isnan(empty.worst_db)
        heading = 2.0 * np.pi * np.arange(HEADINGS) / HEADINGS
        return replace(
            empty,
            worst_db=np.where(floor, best.min(axis=0), np.nan).astype(np.float32),
            median_db=np.where(floor, _median(best), np.nan).astype(np.float32),
            worst_heading_rad=heading[best.argmin(axis=0)],
        )


def _median(best: NDArray[np.float32]) -> NDArray[np.float32]:
    with np.errstate(invalid="ignore"):
        return np.asarray(np.median(best, axis=0))


def _with_devices(scheme: ProtectionScheme, devices: tuple[Device, ...]) -> ProtectionScheme:
    return replace(scheme, design=scheme.design.model_copy(update={"devices": devices}))


def _best(
    scheme: ProtectionScheme, mode: Mode, storey_id: str | None = None
) -> dict[str, tuple[CoverageMap, NDArray[np.float32]]]:
    """By storey: a map with its floor and nothing on it, and the best margin by direction and cell."""
    found = {}
    held = hazard_fields(scheme, mode, step_m=STEP_M, headings=HEADINGS, speeds=(SPEED_M_S,), storey_id=storey_id)
    for key, by_speed in held.items():
        field = by_speed[SPEED_M_S]
        grid = field.grid
        best = np.full((HEADINGS, grid.ny, grid.nx), -np.inf, dtype=np.float32)
        if field.device_ids:
            best = field.margin_db.max(axis=0)
        floor = floor_cells(scheme.premises, key, mode, grid, HEADINGS)
        bare = np.where(floor, -np.inf, np.nan).astype(np.float32)
        empty = CoverageMap(grid, bare, bare, np.zeros(bare.shape), (SPEED_M_S,), mode.value)
        found[key] = (empty, best)
    return found
