"""Thump, shatter and coverings against worked values. No published level of breaking glass was found."""

import math

import pytest

from wardwright.physics.acoustics import absorption_area, air_absorption, reverberation_time, room_constant
from wardwright.physics.glass_break import (
    REFERENCE_ROOM,
    pane_frequency,
    shatter_attenuation,
    shatter_margin,
    thump_level,
    thump_margin,
)
from wardwright.physics.partitions import composite_loss, covering_loss

WORKED = "glass-break equations, worked apart"
CURTAINED = {**REFERENCE_ROOM, "curtain": 6.0}
del CURTAINED["window glass"]
KITCHEN = {"tile": 23.0, "plasterboard ceiling": 20.0, "plasterboard": 38.0, "window glass": 4.0}
OFFICE = {"carpet": 80.0, "plasterboard ceiling": 80.0, "plasterboard": 80.0, "window glass": 20.8}


@pytest.fixture
def worked(check):
    def run(quantity, expected, actual, tolerance) -> None:
        check(
            source=WORKED, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance
        )

    return run


def test_panes(worked) -> None:
    for size, row in {
        (0.3, 0.3): (164, 219, 328, 547),
        (0.4, 0.4): (92, 123, 185, 308),
        (0.6, 0.9): (29.6, 39.5, 59, 99),
        (1.0, 1.0): (14.8, 19.7, 29.5, 49),
        (1.0, 1.5): (10.7, 14.2, 21.3, 35.5),
        (1.2, 2.0): (7.0, 9.3, 13.9, 23.2),
    }.items():
        got = [pane_frequency(*size, t / 1000) for t in (3, 4, 6, 10)]
        worked(f"thump of a pane of {size}", row, got, [0.01 * x for x in row])
    for (pane, d), row in {
        ((0.4, 0.4), 0.001): (85, 79, 66),
        ((1.0, 1.0), 0.001): (101, 95, 82),
        ((1.0, 1.5), 0.002): (111, 105, 92),
    }.items():
        worked(f"level of the thump of {pane}", row, [thump_level(*pane, d, v) for v in (25, 50, 224)], 0.6)
    worked("thump in twice the volume", -6.02, thump_margin(100, 0.3, 0.3, least_side=0.3), 0.01)


def test_the_reference_room_and_others(worked) -> None:
    got = [shatter_attenuation(7.6, REFERENCE_ROOM, 50, f) for f in (4000, 8000)]
    worked("loss at the rated reach", (10.96, 12.04), got, 0.01)
    for name, surfaces, volume, row in (
        ("reference room", REFERENCE_ROOM, 50, {1: 4.7, 3: 0.8, 6: 0.1, 9: -0.1}),
        ("curtained room", CURTAINED, 50, {3: 0.5, 6: -0.3, 9: -0.5}),
        ("hard kitchen", KITCHEN, 50, {3: 2.4, 6: 1.8, 9: 1.7}),
        ("open office", OFFICE, 224, {2: -1.4, 4: -4.5, 6: -5.5, 9: -6.1}),
    ):
        got = [shatter_margin(r, surfaces, volume, rated_range=7.6, frequency=4000) for r in row]
        worked(f"margin in the {name}", list(row.values()), got, 0.06)
    for name, surfaces, volume, constants, times in (
        ("reference room", REFERENCE_ROOM, 50, (26.6, 32.9), (0.35, 0.31)),
        ("curtained room", CURTAINED, 50, (34.0, 41.0), (0.28, 0.25)),
        ("hard kitchen", KITCHEN, 50, (4.4, 8.5), (1.89, 1.04)),
        ("open office", OFFICE, 224, (95.2, 126.8), (0.46, 0.38)),
    ):
        area = sum(surfaces.values())
        for f, constant, decay in zip((4000, 8000), constants, times, strict=True):
            bare = absorption_area(surfaces, f)
            full = absorption_area(surfaces, f, volume=volume, air=air_absorption(f))
            worked(f"room constant of the {name}", constant, room_constant(full, area), 0.06)
            got = reverberation_time(volume, bare, surface=area, air_absorbed=full - bare)
            worked(f"reverberation of the {name}", decay, got, 0.006)


def test_coverings(worked) -> None:
    bands = (250, 1000, 4000, 8000)
    for name, mass, resistance, row in (
        ("voile", 0.08, 50, (0.4, 0.5, 0.5, 0.5)),
        ("light cotton", 0.2, 300, (1.6, 2.6, 2.7, 2.7)),
        ("lined", 0.45, 1000, (3.6, 6.5, 6.9, 6.9)),
        ("velvet", 0.6, 2000, (4.7, 9.7, 10.6, 10.7)),
        ("blackout", 0.45, math.inf, (2.4, 11.1, 22.8, 28.8)),
    ):
        worked(f"loss of {name}", row, [covering_loss(mass, resistance, f) for f in bands], 0.06)
    got = [composite_loss([(s, 0), (1 - s, 20)]) for s in (0.01, 0.05, 0.1)] + [composite_loss([(0.2, 0), (0.8, 24)])]
    worked("loss with gaps", (17.0, 12.3, 9.6, 6.9), got, 0.06)
    drawn = covering_loss(0.45, 1000, 4000)
    got = shatter_margin(6, REFERENCE_ROOM, 50, rated_range=7.6, frequency=4000, covering=drawn)
    worked("lined curtain at 6 m", -6.8, got, 0.06)
