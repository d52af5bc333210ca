"""Radio losses against published reference values and worked values."""

import math
from itertools import product

import pytest

from wardwright.errors import OutOfRangeError
from wardwright.physics.microwave import sheet_loss
from wardwright.physics.radio import (
    ERP_TO_EIRP_DB,
    OFFICE_LOS,
    OFFICE_NLOS,
    burn_through,
    collision_share,
    envelope_loss,
    fading_margin,
    free_space_loss,
    indoor_loss,
    indoor_loss_by_floors,
    multi_wall_loss,
    noise_floor,
    radiated_power,
    us_periodic_limit,
)
from wardwright.physics.radio_slabs import (
    bulk_attenuation,
    conductivity,
    relative_permittivity,
    stack_loss,
    wall_loss,
)

WORKED = "radio equations, worked apart"
BANDS = (433.92e6, 868.3e6, 915e6, 2400e6)


def worked(check, quantity, expected, actual, tolerance) -> None:
    check(source=WORKED, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance)


def seen(check, source, quantity, expected, actual, tolerance) -> None:
    check(source=source, status="seen", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance)


def test_free_space(check) -> None:
    for band, row in zip(
        BANDS,
        (
            (25.196, 45.196, 54.738, 65.196),
            (31.221, 51.221, 60.764, 71.221),
            (31.676, 51.676, 61.219, 71.676),
            (40.052, 60.052, 69.594, 80.052),
        ),
        strict=True,
    ):
        worked(check, "free space", row, [free_space_loss(band, d) for d in (1, 10, 30, 100)], 0.001)
    short = 32.4 + 20 * math.log10(868.3) + 20 * math.log10(0.030)
    seen(check, "ITU-P525", "free space, the form with 32.4", short, free_space_loss(868.3e6, 30), 0.06)


def test_power_and_field(check) -> None:
    worked(check, "field of 1 mW at 3 m", 95.229, 20 * math.log10(math.sqrt(30 * 1e-3) / 3 / 1e-6), 0.002)
    assert radiated_power(math.sqrt(30 * 1e-3) / 3) == pytest.approx(0.0, abs=1e-9)
    limits = {315e6: (6041.7, -19.61), 345e6: (7291.7, -17.97), 390e6: (9166.7, -15.98), 418e6: (10333.3, -14.94),
              433.92e6: (10996.7, -14.40), 470e6: (12500, -13.29)}  # fmt: skip
    for band, (field, power) in limits.items():
        worked(check, "limit of 15.231", field, 1e6 * us_periodic_limit(band), 0.1)
        worked(check, "power at the limit of 15.231", power, radiated_power(us_periodic_limit(band)), 0.01)
    seen(check, "CFR47-15.231", "field allowed at 433.9 MHz, about", 11000, 1e6 * us_periodic_limit(433.9e6), 50)
    microwatts = 1e3 * 10 ** (radiated_power(11e-3) / 10)
    seen(check, "CFR47-15.231", "power of 11000 µV/m at 3 m, about", 36, microwatts, 0.5)
    worked(
        check, "power of 50 mV/m and 200 µV/m", (-1.249, -49.208), [radiated_power(e) for e in (50e-3, 200e-6)], 0.005
    )
    worked(check, "25 mW ERP", 16.129, 10 * math.log10(25) + ERP_TO_EIRP_DB, 0.005)
    worked(check, "noise of 100 kHz", -118.0, noise_floor(1e5, 6.0), 0.05)


def test_indoor_models(check) -> None:
    got = [indoor_loss(f, 20, OFFICE_NLOS) for f in (868.3e6, 433.92e6)]
    worked(check, "office out of sight", (60.08, 52.91), got, 0.02)
    worked(check, "office in sight", 61.33, indoor_loss(2.4e9, 20, OFFICE_LOS), 0.02)
    worked(check, "older office model", 83.162, indoor_loss_by_floors(915e6, 20, coefficient=33, floor_loss=9), 0.01)
    worked(check, "older model for homes", 73.105, indoor_loss_by_floors(1.8e9, 10, floor_loss=8), 0.01)
    got = [multi_wall_loss(1.8e9, 20, light=2, heavy=1, floors=k) for k in (0, 2)]
    worked(check, "multi-wall at 1800 MHz", (77.274, 110.797), got, 0.01)
    worked(check, "multi-wall at 868 MHz", 73.343, multi_wall_loss(868.3e6, 15, light=2, floors=1), 0.01)
    bare = multi_wall_loss(900e6, 10)
    got = [(multi_wall_loss(900e6, 10, floors=k) - bare) / 14.8 for k in (1, 2, 3)]
    worked(check, "factor for floors", (1.0, 1.8319, 2.3819), got, 1e-4)
    worked(check, "level received", -47.93, 12.15 - indoor_loss(868.3e6, 20, OFFICE_NLOS), 0.02)
    with pytest.raises(OutOfRangeError):
        indoor_loss_by_floors(868.3e6, 0.5)


def test_permittivity(check) -> None:
    sigma = conductivity("concrete", 868.3e6)
    worked(check, "conductivity of concrete", 0.04137, sigma, 1e-5)
    worked(check, "loss part of concrete", 0.8564, -relative_permittivity("concrete", 868.3e6).imag, 1e-3)
    for name, (eps, sig) in {
        "concrete": (5.24, 0.0928),
        "brick": (3.91, 0.0275),
        "plasterboard": (2.73, 0.0197),
        "timber": (1.99, 0.0122),
        "glass": (6.31, 0.0119),
        "chipboard": (2.58, 0.0435),
        "ceiling board": (1.48, 0.0029),
    }.items():
        got = (relative_permittivity(name, 2.44e9).real, conductivity(name, 2.44e9))
        worked(check, "materials at 2.44 GHz", (eps, sig), got, (1e-9, 6e-5))


TABLE = {
    "concrete 100": ([("concrete", 0.100)], (3.51, 4.85, 5.12, 8.10)),
    "concrete 150": ([("concrete", 0.150)], (3.25, 5.38, 5.74, 11.40)),
    "concrete 200": ([("concrete", 0.200)], (5.30, 7.49, 7.44, 14.57)),
    "concrete 300": ([("concrete", 0.300)], (6.17, 10.12, 10.65, 21.05)),
    "brick 102.5": ([("brick", 0.1025)], (3.19, 2.80, 3.06, 3.36)),
    "brick 215": ([("brick", 0.215)], (4.78, 5.49, 5.42, 5.73)),
    "plasterboard": ([("plasterboard", 0.0125)], (0.12, 0.30, 0.32, 1.07)),
    "stud wall": ([("plasterboard", 0.0125), ("air", 0.075), ("plasterboard", 0.0125)], (0.21, 0.35, 0.41, 0.80)),
    "double stud wall": ([("plasterboard", 0.025), ("air", 0.07), ("plasterboard", 0.025)], (0.41, 1.20, 1.50, 2.77)),
    "wood 38": ([("timber", 0.038)], (0.23, 0.55, 0.58, 0.62)),
    "wood door": ([("timber", 0.044)], (0.28, 0.64, 0.67, 0.65)),
    "chipboard 18": ([("chipboard", 0.018)], (0.39, 0.76, 0.79, 1.67)),
    "chipboard door": ([("chipboard", 0.044)], (1.03, 1.74, 1.78, 2.26)),
    "glass 4": ([("glass", 0.004)], (0.05, 0.18, 0.19, 1.07)),
    "glass 6": ([("glass", 0.006)], (0.10, 0.37, 0.41, 1.91)),
    "double glazing": ([("glass", 0.004), ("air", 0.016), ("glass", 0.004)], (0.16, 0.49, 0.52, 0.17)),
    "cavity wall": ([("brick", 0.1025), ("air", 0.05), ("concrete", 0.1)], (7.20, 7.12, 8.05, 11.44)),
    "floor": ([("chipboard", 0.018), ("air", 0.2), ("plasterboard", 0.0125)], (0.49, 0.80, 0.73, 1.85)),
}


@pytest.mark.parametrize("name", TABLE)
def test_slabs_and_stacks(check, name) -> None:
    layers, row = TABLE[name]
    worked(check, f"loss of {name}", row, [stack_loss(layers, f) for f in BANDS], 0.02)
    turned = list(reversed(layers))
    for f, across in product(BANDS, (True, False)):
        once = stack_loss(layers, f, angle=0.7, across=across)
        assert stack_loss(turned, f, angle=0.7, across=across) == pytest.approx(once, abs=1e-9)


def test_slanting_nominal_and_bulk(check) -> None:
    concrete = [("concrete", 0.150)]
    got = [stack_loss(concrete, 868.3e6, angle=math.radians(60), across=a) for a in (True, False)]
    worked(check, "slanting through concrete", (8.27, 4.83), got, 0.02)
    worked(check, "nominal concrete", (3.93, 5.82, 5.96, 11.23), [wall_loss(concrete, f) for f in BANDS], 0.15)
    for name, row in {
        "concrete": (17.11, 29.47, 30.71, 65.35),
        "brick": (17.13, 19.22, 19.38, 22.65),
        "plasterboard": (3.84, 7.37, 7.74, 19.15),
        "timber": (2.23, 4.68, 4.95, 13.93),
        "glass": (0.77, 1.94, 2.08, 7.57),
        "chipboard": (11.48, 19.74, 20.56, 43.67),
    }.items():
        got = [bulk_attenuation(name, f) for f in BANDS]
        worked(check, "bulk attenuation", row, got, [0.006 + 0.001 * x for x in row])
    for f in (1.2e9, 2.4e9, 10e9):  # timber has the same coefficients in both editions
        assert stack_loss([("timber", 0.044)], f) == pytest.approx(sheet_loss("timber", 0.044, f), abs=1e-6)
    assert stack_loss([("steel", 0.001)], 868e6) >= 50.0


def test_building_entry(check) -> None:
    shares = (0.01, 0.10, 0.5011872, 0.8912509)
    for building, row in {
        "traditional": (2.769, 6.891, 20.218, 35.448),
        "thermally efficient": (9.369, 19.484, 41.732, 65.040),
    }.items():
        got = [envelope_loss(28e9, p, building) for p in shares]
        seen(check, "ITU-P2109", f"entry loss at 28 GHz, {building}", row, got, 0.002)
    for building, value in {"traditional": 23.556, "thermally efficient": 37.995}.items():
        got = envelope_loss(2e9, 0.5011872, building, elevation=45)
        seen(check, "ITU-P2109", f"entry loss at 2 GHz and 45°, {building}", value, got, 0.002)
    got = [envelope_loss(868.3e6, p, b) for b in ("traditional", "thermally efficient") for p in (0.5, 0.9)]
    worked(check, "entry loss at 868 MHz", (14.220, 25.045, 31.209, 46.550), got, 0.005)


def test_margins_duty_and_collisions(check) -> None:
    worked(
        check,
        "Rayleigh margin",
        (9.773, 12.90, 19.978, 29.998),
        [fading_margin(a) for a in (0.9, 0.95, 0.99, 0.999)],
        0.005,
    )
    worked(check, "median under the mean", 1.59, fading_margin(0.5), 0.005)
    got = [collision_share(64, 0.012, 720), collision_share(64, 0.020, 60)]
    worked(check, "collisions", (0.002098, 0.04113), got, 1e-5)
    near = burn_through(10.0, 70.0, 20.0, capture=10.0, frequency=868.3e6)
    assert (10.0 - 70.0) - (20.0 - free_space_loss(868.3e6, near)) == pytest.approx(10.0)
