"""Sight and coverage on buildings somebody else drew."""

import math
from pathlib import Path

import numpy as np
import pytest

from wardwright.analyses.coverage import coverage_map, hazard_fields
from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.sightlines import sightlines
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.geometry.visibility import visible
from wardwright.intake.assemble import assemble
from wardwright.intake.ifc import read_ifc
from wardwright.premises.plan import storey_plans

pytestmark = pytest.mark.real


@pytest.mark.parametrize("name", ["house-fzk.ifc", "duplex-architecture.ifc"])
def test_a_detector_in_every_room(shared_premises: Path, name: str, monkeypatch) -> None:
    monkeypatch.setenv("WARDWRIGHT_CACHE", "off")
    premises, _ = assemble(read_ifc(shared_premises / name))
    open_ids = open_inner_doors(premises, Mode.AWAY)
    devices, zones = [], []
    for storey_id, plan in storey_plans(premises).items():
        lines = sightlines(premises, storey_id, open_ids)
        if lines is None:
            continue
        corner = np.array(lines.scene.corners).reshape(-1, 3, 2)
        e, f = corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]
        assert 0.5 * np.sum(e[:, 0] * f[:, 1] - e[:, 1] * f[:, 0]) == pytest.approx(lines.free.area)
        for shape in plan.room_shapes.values():
            inner = shape.buffer(-0.05)
            if inner.is_empty or shape.area < 3.0:
                continue
            x, y = next(iter(inner.exterior.coords))
            middle = shape.representative_point()
            assert visible(lines.scene, (middle.x, middle.y)).area <= lines.free.area + 1e-6
            key = f"d{len(devices)}"
            devices.append(
                Device(id=key, kind="pir-wide", storey_id=storey_id, position=(x, y), height_m=2.2,
                       heading_rad=math.atan2(middle.y - y, middle.x - x))
            )  # fmt: skip
            zones.append(
                Zone(id=f"z-{key}", number=len(zones) + 1, name=key, area_ids=("a",), response=ZoneResponse.INTERIOR,
                     device_ids=(key,))
            )  # fmt: skip
    programme = Programme(areas=(Area(id="a", name="all"),), zones=tuple(zones))
    scheme = ProtectionScheme(premises, Design(devices=tuple(devices), programme=programme), load_catalogue(), Brief())
    maps, fields = coverage_map(scheme, Mode.AWAY), hazard_fields(scheme, Mode.AWAY)
    lived_in = [m for key, m in maps.items() if sum(d.storey_id == key for d in devices) >= 4]
    assert lived_in
    for held in lived_in:
        # One detector in a corner of every room: most walks are noticed on most of the floor, and everywhere fewer
        # in the direction least noticed.
        floor = ~np.isnan(held.worst_db)
        best = fields[held.grid.storey_id][1.0].margin_db.max(axis=0)
        noticed = np.median(best, axis=0)[floor] >= 0.0
        assert np.mean(noticed) > 0.75
        assert np.mean(noticed) > held.share(0.0)
        assert held.share(0.0) > held.share(6.0) > 0.2
