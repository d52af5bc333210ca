"""The infrared equations against values worked out apart from the program for the reference detector.

These test that the equations are solved right, not that they are the right equations: no validation. Published figures
that the model's inputs rest on are checked at the end, under their own sources.
"""

import math
from functools import cache

import numpy as np
import pytest

from wardwright.physics.facets import RD_1, crossing_frequency, knee_range
from wardwright.physics.infrared import ArcWalk, lowest_visible, margin, received_power, walk_arc, walk_signal
from wardwright.physics.pyroelectric import response
from wardwright.physics.thermal_contrast import (
    BARE_SHARE,
    PERSON_EMISSIVITY,
    STANDARD_RADIANCE,
    STEFAN_BOLTZMANN,
    band_exitance,
    clothing_temperature,
    radiance_difference,
    walker_contrast,
)

WORKED = "reference detector RD-1, worked apart"
ALL_TRACKS = tuple(math.radians(a) for a in (0, 15, -15, 30, -30, 45, -45))
DB = 0.3


@cache
def arc(distance: float, speed: float, **body: float) -> ArcWalk:
    return walk_arc(RD_1, distance, speed, **{"height": 2.2, **body})


def threshold() -> float:
    return arc(12.0, 1.0).peak(math.radians(-30))


def boresight(distance: float, speed: float, stretch: float = 3.0, **body: float) -> float:
    return margin(arc(distance, speed, **body).peak(0.0, stretch), threshold())


def worst(distance: float, speed: float, stretch: float = 3.0, **body: float) -> float:
    walk = arc(distance, speed, **body)
    return margin(min(walk.peak(track, stretch) for track in ALL_TRACKS), threshold())


def radiance(room: float, contrast: float) -> float:
    return abs(float(radiance_difference(room, contrast)))


def straight_in(azimuth_deg: float, sway: bool) -> tuple[np.ndarray, np.ndarray]:
    t = np.arange(0.0, 15.4 + 1e-9, 0.002)
    r = 16.0 - t
    azimuth = math.radians(azimuth_deg) + (0.03 * np.sin(2.0 * np.pi * t) / r if sway else np.zeros_like(r))
    return r, walk_signal(received_power(RD_1, azimuth, r, height=2.2), 0.002, hold=30.0)


def worked(check, quantity, expected, actual, tolerance, relative=False) -> None:
    check(
        source=WORKED, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance,
        relative=relative,
    )  # fmt: skip


RADIOMETRY = [  # degC, total, 4 sigma T^3, 8-14 um, share, dM/dT 8-14, dL/dT 8-14, dM/dT 7-14, dM/dT 5-14
    (0, 315.66, 4.622, 110.43, 0.3499, 2.002, 0.637, 2.362, 2.831),
    (10, 364.48, 5.149, 131.61, 0.3611, 2.233, 0.711, 2.663, 3.254),
    (20, 418.77, 5.714, 155.11, 0.3704, 2.469, 0.786, 2.974, 3.708),
    (25, 448.08, 6.011, 167.75, 0.3744, 2.588, 0.824, 3.133, 3.947),
    (30, 478.90, 6.319, 180.99, 0.3779, 2.708, 0.862, 3.295, 4.192),
    (34, 504.68, 6.572, 192.01, 0.3805, 2.804, 0.893, 3.425, 4.393),
    (37, 524.69, 6.767, 200.53, 0.3822, 2.877, 0.916, 3.524, 4.547),
]


@pytest.mark.parametrize("row", RADIOMETRY, ids=lambda r: f"{r[0]} degC")
def test_radiometry(check, row) -> None:
    celsius, total, slope, band, share, d814, dl, d714, d514 = row
    t = celsius + 273.15

    def rate(low: float, high: float) -> float:
        return float(band_exitance(t + 0.005, (low, high)) - band_exitance(t - 0.005, (low, high))) / 0.01

    exitance = float(band_exitance(t))
    worked(
        check,
        "band exitance and its rate",
        [total, slope, band, share, d814, dl, d714, d514],
        [STEFAN_BOLTZMANN * t**4, 4 * STEFAN_BOLTZMANN * t**3, exitance, exitance / (STEFAN_BOLTZMANN * t**4),
         rate(8e-6, 14e-6), rate(8e-6, 14e-6) / math.pi, rate(7e-6, 14e-6), rate(5e-6, 14e-6)],
        [0.006, 0.0006, 0.006, 0.00006, 0.0006, 0.0006, 0.0006, 0.0006],
    )  # fmt: skip


ROOMS = (10, 15, 18, 20, 23, 25, 28, 30, 32, 34, 36)


@pytest.mark.parametrize(
    ("clothing", "metabolic", "air", "expected"),
    [
        (1.0, 2.0, 1.0, (5.9, 4.5, 3.7, 3.2, 2.4, 1.9, 1.1, 0.6, 0.1, -0.4, -0.9)),
        (0.5, 2.0, 1.0, (9.5, 7.4, 6.1, 5.2, 4.0, 3.1, 1.8, 1.0, 0.2, -0.6, -1.5)),
        (1.5, 2.0, 1.0, (4.2, 3.2, 2.6, 2.3, 1.7, 1.3, 0.8, 0.4, 0.1, -0.3, -0.6)),
        (1.0, 1.2, 0.1, (9.8, 7.8, 6.6, 5.7, 4.4, 3.6, 2.3, 1.5, 0.7, -0.1, -0.9)),
    ],
)
def test_clothing_surface(check, clothing, metabolic, air, expected) -> None:
    got = [clothing_temperature(t, clothing, metabolic, air) - t for t in ROOMS]
    worked(check, "clothing surface above room", expected, got, 0.051)


def test_effective_contrast(check) -> None:
    expected = (7.87, 6.08, 5.02, 4.32, 3.27, 2.57, 1.53, 0.84, 0.15, -0.53, -1.21)
    worked(check, "effective contrast", expected, [walker_contrast(t) for t in ROOMS], 0.0051)


def test_element_response(check) -> None:
    f = (0.01, 0.03, 0.05, 0.1, 0.2, 0.3, 0.5, 0.625, 1, 2, 3, 5, 8, 10)
    size = np.abs(response(f))
    expected = (0.00056, 0.0138, 0.0550, 0.2568, 0.6639, 0.8794, 0.9990, 0.9889, 0.8597, 0.5327, 0.3524, 0.1797,
                0.0791, 0.0495)  # fmt: skip
    worked(check, "element response", expected, size.tolist(), [max(0.0006 * e, 6e-5) for e in expected])
    fine = np.geomspace(0.01, 100, 100_001)
    db = 20 * np.log10(np.abs(response(fine)))
    edges = [fine[db >= -3][0], fine[db >= -3][-1], fine[db >= -20][0], fine[db >= -20][-1], fine[db.argmax()]]
    worked(check, "response band", (0.215, 1.40, 0.064, 7.1, 0.526), [float(e) for e in edges], 0.01, relative=True)


def test_facet_optics(check) -> None:
    table = {0.1: (0.375, 0.125, 0.0625), 0.3: (1.125, 0.375, 0.1875), 1: (3.75, 1.25, 0.625), 3: (11.25, 3.75, 1.875)}
    for speed, row in table.items():
        got = [crossing_frequency(0.030, 2e-3, r, speed, math.pi / 2) for r in (2, 6, 12)]
        worked(check, "crossing frequency", row, got, 1e-9)
    assert crossing_frequency(0.030, 2e-3, 6, 1.0, 0.0) == 0.0
    worked(check, "range beyond which a body no longer fills a finger", 13.5, knee_range(0.45, 0.030, 1e-3), 1e-9)


def test_p1_to_p5(check) -> None:
    worked(check, "P1 radiance of the standard target", 2.517, STANDARD_RADIANCE, 0.001)
    finger = 0.5 * 1.0e-4 * STANDARD_RADIANCE * (1 / 30) * (2 / 30)
    worked(check, "P2 full finger of layer 1", 279.7e-9, finger, 0.02, relative=True)
    walk = arc(12.0, 1.0)
    worked(
        check, "P3 power at 12 m", 392.2e-9, float(np.abs(walk.power[walk.assessed(0.0)]).max()), 0.02, relative=True
    )
    peaks = [walk.peak(math.radians(a)) for a in (0, 15, 30, 45, -15, -45)]
    worked(check, "P4 peaks at 12 m", [v * 1e-9 for v in (371.1, 331.3, 243.9, 249.8, 312.7, 264.5)], peaks, 0.02, True)
    worked(check, "P5 threshold", 228.5e-9, threshold(), 0.02, relative=True)


RANGES = (2, 4, 6, 8, 10, 12, 14, 16, 20)
SPEEDS = (0.1, 0.2, 0.3, 0.5, 1, 2, 3, 5)


def test_p6_p7_by_range(check) -> None:
    worked(
        check, "P6 margin by range", (8.8, 12.3, 11.7, 9.0, 7.9, 4.2, 0.3, -1.0, -5.9),
        [boresight(r, 1.0) for r in RANGES], DB,
    )  # fmt: skip
    worked(
        check, "P7 worst margin by range", (8.8, 8.1, 3.6, 0.3, 0.7, 0.0, 0.0, -1.4, -7.1),
        [worst(r, 1.0) for r in RANGES], DB,
    )  # fmt: skip


def test_p8_p9_by_speed(check) -> None:
    worked(
        check, "P8 margin by speed at 12 m", (-10.8, -3.3, -0.4, 1.7, 4.2, 2.2, -0.3, -3.9),
        [boresight(12, v) for v in SPEEDS], DB,
    )  # fmt: skip
    worked(
        check, "P9 margin by speed at 4 m", (3.8, 11.2, 13.7, 14.4, 12.3, 8.3, 4.4, -0.4),
        [boresight(4, v) for v in SPEEDS], DB,
    )  # fmt: skip


def test_p10_p11_by_contrast(check) -> None:
    worked(
        check, "P10 margin by contrast", (-6.8, -2.1, -0.7, 4.2, 7.4, 10.4, 13.6),
        [boresight(12, 1.0, radiance=radiance(20, d)) for d in (1, 1.7, 2, 3.5, 5, 7, 10)], DB,
    )  # fmt: skip
    worked(
        check, "P11 margin by room temperature", (10.6, 7.2, 6.1, 1.9, -2.4, -7.5, -22.2),
        [boresight(12, 1.0, radiance=radiance(t, walker_contrast(t))) for t in (10, 18, 20, 25, 28, 30, 32)],
        [DB, DB, DB, DB, DB, DB, 1.0],
    )  # fmt: skip


def test_p12_to_p15_walking_straight_in(check) -> None:
    _, silent = straight_in(0.0, sway=False)
    assert np.abs(silent).max() < 1e-20
    r, swaying = straight_in(0.0, sway=True)
    bands = ((10, 12), (8, 10), (6, 8), (4, 6), (2, 4), (0.6, 2))
    best = [margin(float(np.abs(swaying[(r >= a) & (r <= b)]).max()), threshold()) for a, b in bands]
    worked(check, "P13 straight in with sway", (-9.6, -6.6, -2.2, -0.3, -0.8, 6.4), best, DB)
    r, between = straight_in(5.25, sway=True)
    first = float(r[np.abs(between) >= threshold()][0])
    worked(check, "P14 first trip straight in", 4.26, first, 0.02, relative=True)
    gains = [boresight(d, 1.0) - best[2] for d in (6, 7, 8)]
    worked(check, "P15 across less straight in", (13.9, 12.4, 11.1), gains, DB)


def test_p16_crawling(check) -> None:
    got = [boresight(r, 0.3, width=1.2, top=0.45) for r in (2, 3, 4, 5, 6, 8, 10, 12)]
    worked(check, "P16 crawling", (9.8, -6.9, -2.8, -16.3, 1.3, -13.3, -5.6, -14.2), got, DB)


def test_p17_p18_behind_furniture(check) -> None:
    def behind(top: float, r: float) -> tuple[float, float]:
        lowest = float(lowest_visible(2.2, top, 3.0, np.array(r)))
        return lowest, boresight(r, 1.0, bottom=lowest)

    low = [behind(0.9, r) for r in (4, 5, 6)]
    worked(check, "P17 lowest visible height behind 0.9 m", (0.47, 0.03, 0.0), [z for z, _ in low], 0.006)
    worked(check, "P17 margin behind 0.9 m", (8.7, 10.7, 11.7), [m for _, m in low], DB)
    high = [behind(1.8, r)[1] for r in (4, 5, 6, 8, 10, 12)]
    worked(check, "P18 margin behind 1.8 m", (-15.4, -4.9, -1.2, 2.2, 2.1, 1.4), high, DB)


def test_p19_p20_mounting_height(check) -> None:
    heights = (1.8, 2.0, 2.2, 2.4, 2.7, 3.0)
    worked(
        check, "P19 mounting height, 12 m", (1.4, 2.5, 4.2, 5.6, 5.9, 4.3),
        [boresight(12, 1.0, height=h) for h in heights], DB,
    )  # fmt: skip
    worked(
        check, "P20 mounting height, 6 m", (9.5, 11.1, 11.7, 10.5, 9.7, 8.7),
        [boresight(6, 1.0, height=h) for h in heights], DB,
    )  # fmt: skip


def test_p21_p22_pets_and_p23(check) -> None:
    ranges = (2, 4, 6, 10)
    small = [boresight(r, 1.0, width=0.45, top=0.25) for r in ranges]
    large = [boresight(r, 1.0, width=0.7, top=0.5) for r in ranges]
    worked(check, "P21 small pet", (2.7, 0.0, -2.7, -6.3), small, DB)
    worked(check, "P22 larger pet", (-1.2, 3.0, 3.4, 1.4), large, DB)
    worked(check, "P23 four steps", (2.6, -1.3), (boresight(12, 0.61, 2.44), worst(12, 0.61, 2.44)), DB)


@pytest.mark.parametrize(
    ("speed", "room", "expected"),
    [
        (1.0, None, (14.5, 18, 19.5)),
        (0.3, None, (10, 11.5, 15)),
        (0.1, None, (4, 5, 7.5)),
        (3.0, None, (4, 6, 6.5)),
        (1.0, 20, (17, 19, 20.5)),
        (1.0, 25, (6.5, 15.5, 18.5)),
        (1.0, 28, (4, 4.5, 10.5)),
        (1.0, 30, (0, 3.5, 4)),
        (1.0, 32, (0, 0, 0)),
        (1.0, 34, (0, 0, 0)),
    ],
)
def test_farthest_range_seen_at_every_azimuth(check, speed, room, expected) -> None:
    body = {} if room is None else {"radiance": radiance(room, walker_contrast(room))}

    def farthest(in_hand: float) -> float:
        reached, r = 0.0, 2.0
        while worst(r, speed, **body) + in_hand >= -0.5:
            reached, r = r, r + 0.5
        return reached

    worked(check, "farthest range at every azimuth", expected, [farthest(m) for m in (0.0, 3.0, 6.0)], 0.01)


def test_black_body_shares_from_the_handbook(check) -> None:
    # share of black-body radiation below a wavelength, by wavelength times temperature in um K (from memory)
    table = {2000: 0.066728, 2898: 0.250108, 4000: 0.480877, 5000: 0.633747, 6000: 0.737818, 8000: 0.856288}
    t = 300.0
    shares = [float(band_exitance(t, (1e-7, x / t * 1e-6))) / (STEFAN_BOLTZMANN * t**4) for x in table]
    check(
        source="PLANCK-SERIES", status="from memory", quantity="share of black-body radiation below a wavelength",
        expected=list(table.values()), actual=shares, tolerance=2e-4,
    )  # fmt: skip


def test_emissivity_of_a_walker_against_measured_cloth_and_skin(check) -> None:
    cloth, skin = (0.87, 0.88, 0.88, 0.82), 0.971  # NIJ-FABRICS abstract; TOGAWA-1989 abstract
    mixed = (1 - BARE_SHARE) * float(np.mean(cloth)) + BARE_SHARE * skin
    check(
        source="NIJ-FABRICS", status="seen", quantity="emissivity of clothes and skin mixed",
        expected=mixed, actual=PERSON_EMISSIVITY, tolerance=0.03,
    )  # fmt: skip
