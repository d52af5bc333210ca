"""Fields of magnets against an independent library, and make and break distances against worked values."""

import magpylib
import numpy as np
import pytest

from wardwright.physics.magnetics import (
    averaged,
    block_field,
    coil_field,
    leaf_opening,
    reach,
    reed_field,
    rod_field,
    warmed,
)

WORKED = "magnetics, worked apart"
LIBRARY = "magnetics, by an independent library"
RODS = {
    "alnico rod d5 x 25": {"length": 0.025, "diameter": 0.005, "polarisation": 0.80},
    "alnico rod d10 x 40": {"length": 0.040, "diameter": 0.010, "polarisation": 0.835},
    "NdFeB rod d6 x 20": {"length": 0.020, "diameter": 0.006, "polarisation": 1.20},
    "NdFeB disc d10 x 5": {"length": 0.005, "diameter": 0.010, "polarisation": 1.20},
    "NdFeB disc d20 x 10": {"length": 0.010, "diameter": 0.020, "polarisation": 1.20},
}
ALNICO = RODS["alnico rod d5 x 25"]


def millimetres(*values):
    return [v / 1000 for v in values]


@pytest.mark.parametrize("name", RODS)
def test_rods_against_the_library(check, name) -> None:
    rod = RODS[name]
    other = magpylib.magnet.Cylinder(
        polarization=(0, 0, rod["polarisation"]), dimension=(rod["diameter"], rod["length"])
    )
    rng = np.random.default_rng(7)
    aside = rng.uniform(rod["diameter"] / 2 + 0.002, 0.06, 60)
    along = rng.uniform(-0.06, 0.06, 60)
    theirs = other.getB(np.c_[aside, np.zeros(60), along])[:, 2]
    mine = rod_field(along, aside, **rod)
    scale = float(np.abs(theirs).max())
    check(
        source=LIBRARY,
        status="computed",
        quantity="field of a round rod",
        expected=theirs.tolist(),
        actual=mine.tolist(),
        tolerance=1e-9 * scale,
    )


@pytest.mark.parametrize(("size", "polarisation"), [((0.025, 0.010, 0.005), 0.38), ((0.04, 0.02, 0.01), 1.28)])
def test_blocks_against_the_library(check, size, polarisation) -> None:
    other = magpylib.magnet.Cuboid(polarization=(polarisation, 0, 0), dimension=size)
    rng = np.random.default_rng(3)
    spots = rng.uniform(-0.09, 0.09, (80, 3))
    spots = spots[np.any(np.abs(spots) > np.array(size) / 2 + 0.001, axis=1)]
    theirs = other.getB(spots)[:, 0]
    mine = block_field(*spots.T, size=size, polarisation=polarisation)
    check(
        source=LIBRARY,
        status="computed",
        quantity="field of a block",
        expected=theirs.tolist(),
        actual=mine.tolist(),
        tolerance=1e-9 * float(np.abs(theirs).max()),
    )


def worked(check, quantity, expected, actual, tolerance) -> None:
    check(source=WORKED, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance)


def test_fields_on_axis_and_beside(check) -> None:
    rows = {
        "alnico rod d5 x 25": ((40.85, 10.93, 4.66, 2.47, 0.97), (4.22, 2.40, 1.44, 0.915, 0.426, 0.229)),
        "alnico rod d10 x 40": ((119.7, 42.0, 19.7, 11.0, 4.62), (13.3, 9.28, 6.42, 4.50, 2.36, 1.35)),
        "NdFeB rod d6 x 20": ((81.2, 22.3, 9.46, 4.96, 1.90), (9.36, 4.90, 2.80, 1.72, 0.775, 0.409)),
        "NdFeB disc d10 x 5": ((112.4, 32.6, 12.9, 6.26, 2.13), (12.0, 4.91, 2.47, 1.42, 0.593, 0.302)),
        "NdFeB disc d20 x 10": ((231, 112, 57.9, 32.6, 12.9), (114, 44.4, 21.5, 12.0, 4.91, 2.47)),
    }
    for name, (ahead, beside) in rows.items():
        rod = RODS[name]
        faces = rod["length"] / 2 + np.array(millimetres(5, 10, 15, 20, 30))
        worked(
            check,
            f"on the axis of {name}",
            ahead,
            (1e3 * rod_field(faces, 0.0, **rod)).tolist(),
            [0.006 * x for x in ahead],
        )
        got = np.abs(1e3 * rod_field(0.0, millimetres(15, 20, 25, 30, 40, 50), **rod)).tolist()
        worked(check, f"beside {name}", beside, got, [0.006 * x for x in beside])
    ferrite = {"size": (0.025, 0.010, 0.005), "polarisation": 0.38}
    got = 1e3 * block_field(0.0125 + np.array(millimetres(5, 10, 15, 20, 30)), 0.0, 0.0, **ferrite)
    worked(check, "on the axis of a ferrite bar", (37.3, 11.93, 5.36, 2.90, 1.15), got.tolist(), 0.05)
    got = [1e3 * coil_field(1.0, *millimetres(*c)) for c in ((10, 5), (15, 6), (25.4, 8), (50, 10))]
    worked(check, "millitesla to the ampere-turn", (0.112, 0.078, 0.047, 0.025), got, 0.0006)


def test_make_and_break(check) -> None:
    rows = {
        "alnico rod d5 x 25": ((28.2, 37.1), (23.8, 31.7), (20.9, 28.2), (17.2, 23.8)),
        "NdFeB rod d6 x 20": ((35.8, 46.1), (30.8, 39.8), (27.6, 35.8), (23.4, 30.8)),
        "NdFeB disc d10 x 5": ((32.8, 41.6), (28.5, 36.2), (25.7, 32.8), (22.2, 28.5)),
        "alnico rod d10 x 40": ((55.6, 71.8), (47.5, 61.9), (42.3, 55.6), (35.6, 47.5)),
    }
    for name, pairs in rows.items():
        rod = RODS[name]
        for level, pair in zip((1.0e-3, 1.5e-3, 2.0e-3, 3.0e-3), pairs, strict=True):
            got = [1e3 * reach(lambda d, rod=rod: reed_field(d, **rod), share * level) for share in (1.0, 0.5)]
            worked(check, f"make and break of {name}", pair, got, 0.06)
    got = [1e3 * reach(lambda d: reed_field(d, **ALNICO), r * 1.5e-3) for r in (0.85, 0.6, 0.5, 0.4)]
    worked(check, "break by release ratio", (25.5, 29.5, 31.7, 34.6), got, 0.06)


def test_offset_and_the_null(check) -> None:
    for offset, wanted in {0: 23.8, 5: 22.8, 10: 18.7, 12: 14.5, 18: 10.9, 25: 13.9, 30: 13.0}.items():
        found = reach(lambda d, o=offset: reed_field(d, offset=o / 1e3, **ALNICO), 1.5e-3, nearest=0.010)
        worked(check, "make distance out of line", wanted, 1e3 * found, 0.06)
    assert reach(lambda d: reed_field(d, offset=0.015, **ALNICO), 1.5e-3, nearest=0.010) is None


def test_steel(check) -> None:
    for name, rows in {
        "alnico rod d5 x 25": ((11.1, 14.4), (15.6, 19.7), (18.2, 23.0), (20.3, 25.8)),
        "NdFeB rod d6 x 20": ((15.1, 18.4), (20.0, 24.2), (23.0, 28.0), (25.6, 31.4)),
        "NdFeB disc d10 x 5": ((15.8, 18.7), (20.1, 23.9), (22.6, 27.1), (24.7, 29.9)),
    }.items():
        rod = RODS[name]
        for height, pair in zip(millimetres(3.5, 6.5, 9.5, 13.5), rows, strict=True):
            got = [
                1e3 * reach(lambda d, rod=rod, h=height: reed_field(d, above_steel=h, **rod), level)
                for level in (1.5e-3, 0.75e-3)
            ]
            worked(check, f"make and break of {name} over steel", pair, got, 0.06)
    worked(
        check,
        "averaged field free and over steel",
        (3.907, 0.662),
        (1e3 * reed_field(0.015, **ALNICO), 1e3 * reed_field(0.015, above_steel=0.0035, **ALNICO)),
        0.001,
    )


def test_foreign_magnets_leaves_and_warmth(check) -> None:
    block = {"size": (0.04, 0.02, 0.01), "polarisation": 1.28}
    beside = reach(lambda d: averaged(lambda x: block_field(x, d, 0.0, **block)), 0.75e-3)
    ahead = reach(lambda d: averaged(lambda x: block_field(d + x, 0.0, 0.0, **block)), 0.75e-3)
    worked(check, "reach of a foreign block", (101, 132), (1e3 * beside, 1e3 * ahead), 0.6)
    disc = RODS["NdFeB disc d20 x 10"]
    beside = reach(lambda d: averaged(lambda x: rod_field(x, d, **disc)), 0.75e-3)
    ahead = reach(lambda d: averaged(lambda x: rod_field(d + x, 0.0, **disc)), 0.75e-3)
    worked(check, "reach of a foreign disc", (74, 93), (1e3 * beside, 1e3 * ahead), 0.6)
    got = [1e3 * leaf_opening(0.025, 0.8, x) for x in (0.75, 0.5, 0.1)]
    worked(check, "opening at the edge", (26.7, 40, 200), got, 0.05)
    found = []
    for celsius in (-20, 20, 60):
        bar = {"size": (0.025, 0.010, 0.005), "polarisation": warmed(0.38, celsius, coefficient=-0.0019)}
        found.append(1e3 * reach(lambda d, b=bar: averaged(lambda x: block_field(x, d, 0.0, **b)), 1.5e-3))
    worked(check, "make distance of a ferrite bar by warmth", (27.0, 26.2, 25.4), found, 0.06)
    window = [1e3 * reach(lambda d: reed_field(d, **RODS["NdFeB rod d6 x 20"]), b) for b in (4e-3, 2e-3)]
    worked(check, "window of a balanced contact", (20.8, 27.6), window, 0.06)
