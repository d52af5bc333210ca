"""The coefficients of the radio models, each against the recommendation or report it is taken from."""

import math

from wardwright.physics import radio
from wardwright.physics.microwave import LEAST_RADIAL_TRAVEL, MATERIALS
from wardwright.physics.radio_slabs import conductivity, relative_permittivity


def seen(check, source, quantity, expected, actual, tolerance=1e-6) -> None:
    check(source=source, status="seen", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance)


def test_office_of_p1238(check) -> None:
    """ITU-R P.1238-11 table 2, office: in sight 1.46, 34.62, 2.03, 3.76; out of sight 2.46, 29.53, 2.38, 5.04."""
    rows = (radio.OFFICE_LOS, radio.OFFICE_NLOS)

    def loss(f, d, row):
        return radio.indoor_loss(f, d, row)

    distance = [(loss(1e9, 20, r) - loss(1e9, 5, r)) / (10 * math.log10(4)) for r in rows]
    frequency = [(loss(4e9, 10, r) - loss(1e9, 10, r)) / (10 * math.log10(4)) for r in rows]
    start = [loss(1e9, 10, r) - 10 * a for r, a in zip(rows, distance, strict=True)]
    seen(check, "ITU-P1238", "office: growth with distance", (1.46, 2.46), distance)
    seen(check, "ITU-P1238", "office: growth with frequency", (2.03, 2.38), frequency)
    seen(check, "ITU-P1238", "office: loss at 1 m and 1 GHz [dB]", (34.62, 29.53), start)
    seen(check, "ITU-P1238", "office: spread [dB]", (3.76, 5.04), [r[3] for r in rows])


def test_homes_of_the_older_p1238(check) -> None:
    """Residential at 1.8 to 2.0 GHz: power coefficient 28."""
    got = radio.indoor_loss_by_floors(1.9e9, 10.0) - radio.indoor_loss_by_floors(1.9e9, 1.0)
    seen(check, "ITU-P1238", "homes: power coefficient [dB a decade]", 28.0, got)


def test_walls_and_floors_of_cost_231(check) -> None:
    """Light wall 1.9 dB at 900 and 3.4 dB at 1800 MHz, heavy wall 6.9 dB at 1800 MHz, floor 14.8 and 18.3 dB."""

    def more(f, **walls):
        return radio.multi_wall_loss(f, 10.0, **walls) - radio.multi_wall_loss(f, 10.0)

    seen(check, "COST231", "light wall [dB]", (1.9, 3.4), [more(f, light=1) for f in (900e6, 1800e6)])
    seen(check, "COST231", "heavy wall [dB]", 6.9, more(1800e6, heavy=1))
    # one floor counts once, less the correction of its exponent: (1+2)/(1+1) - 0.46 of 1 is 1
    seen(check, "COST231", "floor [dB]", (14.8, 18.3), [more(f, floors=1) for f in (900e6, 1800e6)])
    seen(
        check,
        "COST231",
        "correction for several floors",
        0.46,
        4 / 3 - math.log(more(900e6, floors=2) / more(900e6, floors=1), 2),
    )


NEWER = {
    "concrete": (5.24, 0.0462),
    "brick": (3.91, 0.0238),
    "plasterboard": (2.73, 0.0085),
    "timber": (1.99, 0.0047),
    "glass": (6.31, 0.0036),
    "ceiling board": (1.48, 0.0011),
    "chipboard": (2.58, 0.0217),
    "plywood": (2.71, 0.33),
    "marble": (7.074, 0.0055),
}
GROWTH = {
    "concrete": 0.7822,
    "brick": 0.16,
    "plasterboard": 0.9395,
    "timber": 1.0718,
    "glass": 1.3394,
    "ceiling board": 1.0750,
    "chipboard": 0.7800,
    "plywood": 0.0,
    "marble": 0.9262,
}


def test_materials_of_p2040(check) -> None:
    """ITU-R P.2040-4 as an open ray-tracing library holds it: permittivity, conductivity at 1 GHz and its exponent."""
    seen(
        check,
        "ITU-P2040-4",
        "permittivity of materials",
        [e for e, _ in NEWER.values()],
        [relative_permittivity(m, 1e9).real for m in NEWER],
    )
    seen(
        check,
        "ITU-P2040-4",
        "conductivity of materials at 1 GHz [S/m]",
        [s for _, s in NEWER.values()],
        [conductivity(m, 1e9) for m in NEWER],
        1e-9,
    )
    seen(
        check,
        "ITU-P2040-4",
        "growth of conductivity with frequency",
        list(GROWTH.values()),
        [math.log10(conductivity(m, 10e9) / conductivity(m, 1e9)) for m in GROWTH],
    )


def test_materials_of_the_older_p2040_at_9_ghz(check) -> None:
    """ITU-R P.2040-1 in a printed table for 9 GHz: concrete 0.19305, plasterboard 0.054914, wood 0.049528 S/m, glass
    0.059075."""
    printed = {"concrete": 0.19305, "plasterboard": 0.054914, "timber": 0.049528, "glass": 0.059075}
    got = [MATERIALS[m][1] * 9.0 ** MATERIALS[m][2] for m in printed]
    seen(check, "ITU-P2040", "conductivity at 9 GHz [S/m]", list(printed.values()), got, 1e-5)


def test_field_of_a_radiator(check) -> None:
    """ITU-R P.525 annex 1: 1 W makes sqrt(30) V/m at 1 m, so that field is 30 dBm."""
    seen(
        check,
        "ITU-P525-2",
        "power for a field at a distance [dBm]",
        (30.0, 0.0),
        [radio.radiated_power(math.sqrt(30.0), 1.0), radio.radiated_power(math.sqrt(0.03) / 3.0, 3.0)],
    )


def test_movement_too_small_for_a_doppler_detector(check) -> None:
    """GOST R 50659-2012: no alarm for a movement under 0.2 m."""
    seen(check, "GOST-50659", "movement that gives no alarm [m]", 0.2, LEAST_RADIAL_TRAVEL)
