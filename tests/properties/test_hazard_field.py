"""The hazard field against the direct model, walk by walk.

The field filters by a recursion over samples 25 mm apart, reads fans of beams from a table and keeps wall distances by
tenths of a degree. The direct model walks the same line ten times finer and filters by Fourier transform. And since a
cell stands for the walks through it, the field is also compared with walks through the very centre of the cell.
"""

import math

import numpy as np
import pytest
import shapely
from bench.plans import twelve_detectors
from shapely import LineString, Point

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.motion_sensor import motion_sensor
from wardwright.analyses.room_heat import warmth
from wardwright.analyses.sightlines import Outlook, sightlines
from wardwright.analyses.single_walk import walk_margin
from wardwright.analyses.walk_lines import CLOSE, walks_of
from wardwright.physics.infrared import nth_peak, walk_signal
from wardwright.physics.thermal_contrast import STANDARD_RADIANCE

FINER = 10


@pytest.fixture(autouse=True)
def _no_store(monkeypatch) -> None:
    monkeypatch.setenv("WARDWRIGHT_CACHE", "off")


def test_field_against_the_direct_model_on_the_same_walk() -> None:
    scheme = twelve_detectors(("pir-wide", "pir-pet", "pir-curtain", "pir-long-range"))
    fields = hazard_fields(scheme, Mode.AWAY)["s0"]
    lines = sightlines(scheme.premises, "s0", open_inner_doors(scheme.premises, Mode.AWAY))
    assert lines is not None
    walks = [(w, k) for w in walks_of(lines, fields[1.0].grid, 16) for k in range(len(w.heading_rad))]
    rng = np.random.default_rng(4)
    errors = []
    for _ in range(260):
        speed = float(rng.choice([0.3, 1.0, 2.5]))
        field, d, h = fields[speed], int(rng.integers(12)), int(rng.integers(16))
        sensor = motion_sensor(scheme, scheme.design.devices[d])
        cells = np.argwhere(field.margin_db[d, h] > -6.0)
        if not len(cells):
            continue
        iy, ix = cells[rng.integers(len(cells))]
        walk, k = walks[h % 8]
        at = walk.cell[k, iy, ix]
        first, last = int(walk.run_start[at]), int(walk.run_end[at]) - 1
        x, y, centre = walk.x[first : last + 1], walk.y[first : last + 1], (at - first) * CLOSE.sample_m
        if h >= 8:
            x, y, centre = x[::-1], y[::-1], (last - at) * CLOSE.sample_m
        fine = np.arange((last - first) * FINER + 1) / FINER
        x, y = np.interp(fine, np.arange(last - first + 1), x), np.interp(fine, np.arange(last - first + 1), y)
        power = Outlook(sensor, lines).power(x, y)
        output = walk_signal(power, CLOSE.sample_m / FINER / speed, hold=30.0)
        peak = nth_peak(output, np.abs(fine * CLOSE.sample_m - centre) <= 1.5 + 1e-9, sensor.pulses)
        cx, cy = field.grid.x0_m + ix * field.grid.step_m, field.grid.y0_m + iy * field.grid.step_m
        level = warmth(lines.plan.room_at((cx, cy))).central_db + sensor.in_hand_db
        direct = 20.0 * math.log10(max(peak * STANDARD_RADIANCE / sensor.threshold_w, 1e-3)) + level
        errors.append(abs(float(field.margin_db[d, h, iy, ix]) - direct))
    assert len(errors) > 200
    half, most, nearly_all = np.percentile(errors, [50, 90, 97])
    assert half < 0.1, "half of the walks agree within 0.1 dB"
    assert most < 0.5, "nine in ten within 0.5 dB"
    assert nearly_all < 1.5


def test_field_against_walks_through_the_very_centre_of_the_cell() -> None:
    scheme = twelve_detectors()
    field = hazard_fields(scheme, Mode.AWAY, speeds=(1.0,))["s0"][1.0]
    lines = sightlines(scheme.premises, "s0", open_inner_doors(scheme.premises, Mode.AWAY))
    assert lines is not None
    rng = np.random.default_rng(8)
    errors, clear = [], 0
    for _ in range(120):
        d, h = int(rng.integers(12)), int(rng.integers(16))
        cells = np.argwhere(field.margin_db[d, h] > -6.0)
        if not len(cells):
            continue
        iy, ix = cells[rng.integers(len(cells))]
        centre = np.array([field.grid.x0_m + ix * field.grid.step_m, field.grid.y0_m + iy * field.grid.step_m])
        along = np.array([math.cos(field.heading_rad[h]), math.sin(field.heading_rad[h])])
        run = LineString([centre - 30 * along, centre + 30 * along]).intersection(lines.free)
        for part in shapely.get_parts(run):
            if part.distance(Point(centre)) > 1e-6:
                continue
            a, b = sorted(part.coords[:: len(part.coords) - 1], key=lambda p: float(np.dot(p, along)))
            back = min(4.5, float(np.dot(centre - a, along)))
            ahead = min(1.5, float(np.dot(b - centre, along)))
            # the whole walk up to the end of the stretch is at least as noticeable as the stretch alone
            path = [tuple(centre - back * along), tuple(centre + ahead * along)]
            whole = walk_margin(scheme, scheme.design.devices[d], path, 1.0, Mode.AWAY)
            errors.append(float(field.margin_db[d, h, iy, ix]) - whole)
            clear += errors[-1] < 3.0
    assert len(errors) > 80
    assert clear / len(errors) > 0.9, "the field hardly ever claims much more than a walk through the cell gives"
