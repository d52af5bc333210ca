"""Microwave equations against worked values, and the published permittivities they rest on."""

import math

import numpy as np
from scipy.special import ndtr

from wardwright.physics.microwave import (
    accidental_rate,
    both_act,
    doppler_shift,
    echo_power,
    either_margin,
    joint_margin,
    microwave_margin,
    noticed_by_doppler,
    range_ratio,
    sheet_loss,
)

WORKED = "microwave equations, worked apart"
X, K = 10.525e9, 24.125e9


def worked(check, quantity, expected, actual, tolerance, relative=False) -> None:
    check(
        source=WORKED, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance,
        relative=relative,
    )  # fmt: skip


def test_doppler(check) -> None:
    speeds = (0.1, 0.3, 1.0, 1.4, 3.0)
    for carrier, row in {
        2.45e9: (1.63, 4.90, 16.34, 22.9, 49.0),
        5.8e9: (3.87, 11.6, 38.7, 54.2, 116),
        X: (7.02, 21.06, 70.22, 98.3, 210.7),
        K: (16.1, 48.3, 160.9, 225, 483),
    }.items():
        worked(check, "Doppler shift", row, doppler_shift(speeds, 0.0, carrier).tolist(), 0.005, relative=True)
    angles = np.radians([0, 30, 60, 75, 85, 88, 90])
    worked(
        check, "Doppler by angle", (70.2, 60.8, 35.1, 18.2, 6.1, 2.5, 0), doppler_shift(1.0, angles, X).tolist(), 0.06
    )


def test_echo_and_range(check) -> None:
    dbm = [10 * math.log10(echo_power(0.010, 10**0.8, X, 1.0, r) / 1e-3) for r in (1, 10, 12)]
    worked(check, "echo power", (-37.9, -77.9, -81.1), dbm, 0.06)
    worked(check, "range by cross-section", 0.798, range_ratio(0.495, 1.22), 0.0006)
    worked(check, "margin at half range", 12.0, float(microwave_margin(6.0, rated_range=12.0)), 0.05)
    worked(check, "margin behind a stud wall", -0.4, float(microwave_margin(8.0, rated_range=12.0, loss=2 * 3.7)), 0.05)
    worked(
        check, "margin for a slight person", -3.1,
        float(microwave_margin(12.0, rated_range=12.0, cross_section=0.495)), 0.06,
    )  # fmt: skip
    half_power = float(microwave_margin(12.0, rated_range=12.0, azimuth=math.radians(40), field=math.radians(80)))
    worked(check, "two-way pattern at the half-power angle", -6.0, half_power, 1e-9)
    assert not noticed_by_doppler(math.cos(math.radians(85)), 1.0)
    assert noticed_by_doppler(0.11, 0.21)
    assert not noticed_by_doppler(0.5, 0.19)


def test_sheets(check) -> None:
    table = {
        ("glass", 0.004): (2.5, 3.3), ("glass", 0.006): (0.5, 3.6), ("glass", 0.010): (2.3, 1.8),
        ("plasterboard", 0.0125): (1.8, 2.4), ("plasterboard", 0.025): (1.6, 3.0),
        ("timber", 0.040): (2.8, 6.8), ("chipboard", 0.018): (2.7, 5.3), ("brick", 0.102): (3.9, 4.1),
        ("concrete", 0.100): (17.0, 31.9), ("concrete", 0.150): (24.8, 47.1),
    }  # fmt: skip
    for (material, thickness), row in table.items():
        worked(check, "loss of a sheet", row, [sheet_loss(material, thickness, f) for f in (X, K)], 0.06)
    pairs = [2 * sheet_loss("glass", 0.004, X), 2 * sheet_loss("plasterboard", 0.0125, X)]
    worked(check, "loss of two sheets", (4.9, 3.7), pairs, 0.06)
    through = [range_ratio(1, 1, 2 * loss) for loss in (3.7, 4.9, 3.9, 24.8)]
    worked(check, "range through a wall", (0.65, 0.57, 0.64, 0.06), through, 0.006)


def test_two_technologies(check) -> None:
    got = [both_act(0.95, 0.90, rho) for rho in (0.0, 0.3, 0.6)]
    worked(check, "both act", (0.855, 0.8746, 0.8942), got, 5.1e-5)
    worked(check, "either acts", (0.995, 0.9754, 0.9558), [1.85 - p for p in got], 5.1e-5)
    year = 365.25 * 86400
    rates = [accidental_rate(12 / year, 24 / year, 10, 10, c / year) * year for c in (0.0, 0.2)]
    worked(check, "accidental alarms a year", (1.83e-4, 0.200), rates, 0.005, relative=True)
    a, b = np.array([-6.0, 0.0, 8.0]), np.array([3.0, -2.0, 40.0])
    product = ndtr(a / 4) * ndtr(b / 4)
    worked(check, "joint margin", product.tolist(), ndtr(joint_margin(a, b, 4.0) / 4).tolist(), 1e-12)
    union = ndtr(a / 4) + ndtr(b / 4) - product
    worked(check, "either margin", union.tolist(), ndtr(either_margin(a, b, 4.0) / 4).tolist(), 1e-12)
