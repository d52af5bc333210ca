"""Coverage while one detector is being moved: only what it sees is worked out anew, at one pace, in fewer directions,
on walks laid wider apart.

It follows the hand; the full map, at all paces and directions, takes its place when the detector is let go.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.coverage import CoverageMap, fleeting_margins, floor_cells, hazard_fields
from wardwright.analyses.mode import Mode, watching_devices
from wardwright.analyses.walk_lines import WIDE
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme

SPEED_M_S = 0.3
"""Creeping: mostly what is least noticed. [m/s]"""
HEADINGS = 6
"""The full map looks along sixteen. [-]"""
STEP_M = 0.25
_HEADING = 2.0 * np.pi * np.arange(HEADINGS) / HEADINGS


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
        if self._watches(device):
            alone = fleeting_margins(self._scheme, device, self._mode, empty.grid, HEADINGS, SPEED_M_S, WIDE)
            best = np.maximum(best, alone)
        return replace(
            empty,
            worst_db=np.where(np.isnan(empty.worst_db), np.nan, best.min(axis=0)).astype(np.float32),
            worst_heading_rad=_HEADING[best.argmin(axis=0)],
        )

    def _watches(self, device: Device) -> bool:
        looks = self._scheme.kind_of(device).family in (Family.MOTION, Family.DUAL, Family.BEAM)
        return looks and device.id in watching_devices(_with_devices(self._scheme, (device,)), self._mode)


def _with_devices(scheme: ProtectionScheme, devices: tuple[Device, ...]) -> ProtectionScheme:
    return replace(scheme, design=scheme.design.model_copy(update={"devices": devices}))


def _best(scheme: ProtectionScheme, mode: Mode) -> dict[str, tuple[CoverageMap, NDArray[np.float32]]]:
    """By storey: a map with its floor and nothing on it, and the best margin by direction and cell."""
    found = {}
    held = hazard_fields(scheme, mode, step_m=STEP_M, headings=HEADINGS, speeds=(SPEED_M_S,), lay=WIDE)
    for key, by_speed in held.items():
        field = by_speed[SPEED_M_S]
        grid = field.grid
        best = np.full((HEADINGS, grid.ny, grid.nx), -np.inf, dtype=np.float32)
        if field.device_ids:
            best = field.margin_db.max(axis=0)
        floor = floor_cells(scheme.premises, key, mode, grid, HEADINGS, WIDE)
        bare = np.where(floor, -np.inf, np.nan).astype(np.float32)
        found[key] = (CoverageMap(grid, bare, np.zeros(bare.shape), (SPEED_M_S,), mode.value), best)
    return found
