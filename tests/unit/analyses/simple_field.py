"""A plain stand-in for the infrared model: a detector sees its own room, better across than along, worse when slow."""

import math

import numpy as np
import shapely

from wardwright.analyses.free_floor import storey_grid
from wardwright.analyses.grid import HazardField
from wardwright.catalogue.kinds import Family
from wardwright.design.system import ProtectionScheme
from wardwright.premises.plan import storey_plans

ASSUMPTION = "clothing and temperature"


def simple_fields(
    scheme: ProtectionScheme, step: float = 0.1, headings: int = 16, speeds: tuple[float, ...] = (0.3, 1.0, 2.5)
) -> dict[str, dict[float, HazardField]]:
    """Margin 24 dB within 3 m, 12 dB less each doubling, 20 dB between across and along, 9 dB from run to creep."""
    angles = np.arange(headings) * 2.0 * np.pi / headings
    found: dict[str, dict[float, HazardField]] = {}
    for key, plan in storey_plans(scheme.premises).items():
        grid = storey_grid(plan, step)
        if grid is None:
            continue
        motion = [d for d in scheme.of_family(Family.MOTION, Family.DUAL) if d.storey_id == key]
        xx, yy = grid.centres()
        for speed in speeds:
            margin = np.full((len(motion), headings, grid.ny, grid.nx), -np.inf, dtype=np.float32)
            for i, device in enumerate(motion):
                dx, dy = xx - device.position[0], yy - device.position[1]
                away = np.maximum(np.hypot(dx, dy), 0.3)
                room = plan.room_at(device.position)
                assert room is not None
                inside = shapely.contains_xy(plan.room_shapes[room.id], xx, yy)
                for h, angle in enumerate(angles):
                    across = np.abs((dx * math.sin(angle) - dy * math.cos(angle)) / away)
                    level = 24.0 - 40.0 * np.log10(np.maximum(away, 3.0) / 3.0) + 20.0 * np.log10(across + 0.1)
                    margin[i, h] = np.where(inside, level + 9.0 * math.log10(speed / 2.5), -np.inf)
            ids = tuple(d.id for d in motion)
            found.setdefault(key, {})[speed] = HazardField(grid, ids, angles, speed, margin, assumption=ASSUMPTION)
    return found
