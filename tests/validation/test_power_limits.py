"""Limits of low-voltage sources, of fuses and of batteries, each against the table or note it is taken from."""

import pytest

from wardwright.analyses.standby import WORN
from wardwright.catalogue.load import load_catalogue
from wardwright.physics import battery, buses, discharge
from wardwright.physics.protection import class2_limits
from wardwright.rules.aims.power import FUSE_OPENS


def test_sources_that_limit_themselves(check) -> None:
    """IEC 60950-1 table 2B: 8 A up to 30 V, 150/V A to 60 V; 5 V VA up to 20 V, 100 VA above."""
    limits = {v: class2_limits(v, inherently_limited=True) for v in (12.0, 20.0, 24.0, 30.0, 48.0, 60.0)}
    check(
        source="IEC60950-1-2B",
        status="seen",
        quantity="current of a source that limits itself [A]",
        expected=(8.0, 8.0, 8.0, 8.0, 3.125, 2.5),
        actual=[x.current for x in limits.values()],
        tolerance=1e-9,
    )
    check(
        source="IEC60950-1-2B",
        status="seen",
        quantity="power of a source that limits itself [VA]",
        expected=(60.0, 100.0, 100.0, 100.0, 100.0, 100.0),
        actual=[x.nameplate_power for x in limits.values()],
        tolerance=1e-9,
    )


def test_sources_that_a_fuse_limits(check) -> None:
    """IEC 60950-1 table 2C, up to 20 V: fuse 5 A, short-circuit current 1000/V A."""
    limits = [class2_limits(v, inherently_limited=False) for v in (10.0, 12.5, 20.0)]
    check(
        source="IEC60950-1-2B",
        status="seen",
        quantity="fuse of any other source up to 20 V [A]",
        expected=(5.0, 5.0, 5.0),
        actual=[x.fuse or 0.0 for x in limits],
        tolerance=0.0,
    )
    check(
        source="IEC60950-1-2B",
        status="seen",
        quantity="short-circuit current of any other source [A]",
        expected=(100.0, 80.0, 50.0),
        actual=[x.current for x in limits],
        tolerance=1e-9,
    )


def test_direct_current_rows_of_class_2(check) -> None:
    """NEC chapter 9 table 11(B), remembered: 5 V VA up to 20 V, 100/V A above, the fuse likewise."""
    low, high = class2_limits(13.8, inherently_limited=False), class2_limits(24.0, inherently_limited=False)
    for quantity, expected, actual in (
        ("nameplate power at 13.8 V [VA]", 69.0, low.nameplate_power),
        ("nameplate current at 24 V [A]", 4.1667, high.nameplate_current),
        ("largest fuse at 24 V [A]", 4.1667, high.fuse or 0.0),
    ):
        check(
            source="NEC-CH9-T11",
            status="from memory",
            quantity=quantity,
            expected=expected,
            actual=actual,
            tolerance=1e-3,
        )


def test_a_small_fuse_opens_at_twice_its_rating(check) -> None:
    check(
        source="FUSE-DERATING",
        status="seen",
        quantity="current that opens a small fuse in 5 s, of its rating",
        expected=2.0,
        actual=FUSE_OPENS,
        tolerance=0.0,
    )


def test_a_battery_is_replaced_at_80_percent(check) -> None:
    check(
        source="BATTERY-REPLACE-80",
        status="seen",
        quantity="share of its rating at which a battery is replaced",
        expected=0.80,
        actual=WORN,
        tolerance=0.0,
    )
    check(
        source="IEEE485",
        status="from memory",
        quantity="ageing factor",
        expected=1.25,
        actual=battery.AGEING,
        tolerance=0.0,
    )
    check(
        source="IEEE485",
        status="from memory",
        quantity="design margin, 1.10 to 1.15",
        expected=1.125,
        actual=battery.DESIGN_MARGIN,
        tolerance=0.025 + 1e-9,
    )


def test_cell_size_factors_beyond_the_chart(check) -> None:
    """25, 30, 35 and 125 degrees F, remembered; the chart that was seen runs from 40 to 120."""
    fahrenheit = {25.0: 1.520, 30.0: 1.430, 35.0: 1.350, 125.0: 0.850}
    got = [battery.temperature_factor((f - 32.0) / 1.8) for f in fahrenheit]
    check(
        source="IEEE485",
        status="from memory",
        quantity="cell-size factor outside 40 to 120 degrees F",
        expected=list(fahrenheit.values()),
        actual=got,
        tolerance=1e-6,
    )


def test_end_of_discharge(check) -> None:
    check(
        source="MYELECTRICAL-163",
        status="seen",
        quantity="end of discharge of a 12 V block at 1.75 V a cell [V]",
        expected=6 * 1.75,
        actual=discharge.END_OF_DISCHARGE_V,
        tolerance=1e-9,
    )


def test_ethernet_classes(check) -> None:
    source = {0: 15.4, 1: 4.0, 2: 7.0, 3: 15.4, 4: 30.0, 5: 45.0, 6: 60.0, 7: 75.0, 8: 90.0}
    device = {0: 12.95, 1: 3.84, 2: 6.49, 3: 12.95, 4: 25.5, 5: 40.0, 6: 51.0, 7: 62.0, 8: 71.3}
    check(
        source="IEEE802.3-POE",
        status="seen",
        quantity="power of the switch by class [W]",
        expected=list(source.values()),
        actual=[buses.POE_SOURCE_W[k] for k in source],
        tolerance=0.0,
    )
    check(
        source="IEEE802.3-POE",
        status="seen",
        quantity="power that a class allows the device [W]",
        expected=list(device.values()),
        actual=[buses.POE_DEVICE_W[k] for k in device],
        tolerance=0.0,
    )


def test_unit_loads_of_a_bus(check) -> None:
    """A unit load is 12 kohm; 32 of them are allowed."""
    for quantity, expected, actual in (
        ("one unit load [ohm]", 12_000.0, buses.bus_resistance(1.0, terminators=0)),
        ("unit loads of a bus", 32.0, float(buses.UNIT_LOADS_MAX)),
    ):
        check(source="TIA-485", status="seen", quantity=quantity, expected=expected, actual=actual, tolerance=1e-6)


CATALOGUE = [
    # source, status, quantity, kind, figure, published value in stored units
    ("UFGS13702N", "seen", "largest gap of a recessed contact [m]", "contact-recessed", "operate_gap_m", 0.0127),
    ("UFGS13702N", "seen", "gap of a recessed contact in steel [m]", "contact-recessed", "steel_gap_m", 0.0095),
    ("UFGS13702N", "seen", "largest gap of a surface contact [m]", "contact-wide-gap", "operate_gap_m", 0.03175),
    ("UFGS13702N", "seen", "least gap of a balanced contact [m]", "contact-balanced", "operate_gap_m", 0.010),
    ("UFGS13721A", "seen", "radius of a shock detector on one pane [m]", "shock", "range_m", 1.5),
    (
        "EN50131-2-6-TM",
        "seen",
        "working point of the alnico test magnet [T]",
        "contact-wide-gap",
        "magnet_polarisation_t",
        0.835,
    ),
    # 10 mW e.r.p. is 12.15 dBm from an isotropic radiator
    (
        "ERC-REC-70-03-A7",
        "seen",
        "power at 868.6 to 868.7 MHz [dBm EIRP]",
        "contact-surface-radio",
        "radio_power_dbm",
        12.15,
    ),
    ("ERC-REC-70-03-A7", "seen", "share of an hour at 868.6 to 868.7 MHz", "contact-surface-radio", "radio_duty", 0.01),
    (
        "CFR47-15.231",
        "seen",
        "check-in of a safety transmitter, share of an hour",
        "contact-surface-radio-433",
        "radio_duty",
        2.0 / 3600.0,
    ),
    (
        "CFR47-15.245",
        "seen",
        "middle of the band for moving-body sensors [Hz]",
        "dual",
        "microwave_frequency_hz",
        10.525e9,
    ),
    ("HIGHFIELDS-CR17345", "seen", "capacity of a 123 cell [Ah]", "contact-surface-radio", "cell_capacity_ah", 1.3),
    ("UTILITIESBUNKER-PEUKERT", "seen", "Peukert exponent of lithium", "battery-lifepo4-7ah", "peukert", 1.05),
    ("UL1023", "from memory", "85 dB at 10 feet, at 1 m [dB]", "all-in-one", "level_db_1m", 94.68),
]


@pytest.mark.parametrize("case", CATALOGUE, ids=lambda c: f"{c[0]}-{c[3]}")
def test_the_catalogue_holds_what_its_source_prints(case, check) -> None:
    source, status, quantity, kind, figure, published = case
    kept = load_catalogue().kind(kind)
    held = kept.need(figure)
    check(
        source=source, status=status, quantity=quantity, expected=published, actual=held, tolerance=1.5e-3 * published
    )
    assert kept.figures[figure].source.split(";")[0] == source
