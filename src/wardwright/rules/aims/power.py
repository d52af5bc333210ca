"""Does it keep going? Findings on what feeds each device: voltage, collapse, rings, fuses, buses."""

from collections.abc import Iterator

from wardwright.analyses.power import PowerAnalysis, VoltageAt
from wardwright.analyses.supply_network import SUPPLIES
from wardwright.catalogue.kinds import Family
from wardwright.design.brief import Profile
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.physics.buses import COMMON_MODE_DROP_V, UNIT_LOADS_MAX, bus_resistance
from wardwright.physics.protection import class2_limits, fuse_load
from wardwright.rules.aims.judging import CATALOGUE, PRACTICE, bounded
from wardwright.rules.aims.readings import readings
from wardwright.rules.aims.standby import standby_findings

FUSE_OPENS = 2.0
"""A small fuse opens within seconds at this multiple of its rating. [-] FUSE-DERATING."""
US = (Profile.US_HOME, Profile.US_BUSINESS)
BUS_FAMILIES = (Family.KEYPAD, Family.EXPANDER)


def power_findings(scheme: ProtectionScheme, analysis: PowerAnalysis) -> tuple[Finding, ...]:
    """Findings on the supply of a design.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    analysis : PowerAnalysis
        What follows from it.

    Returns
    -------
    tuple of Finding
        All of them under the question of power.
    """
    return (
        *_fed(scheme, analysis),
        *standby_findings(analysis),
        *(_voltage(scheme, item) for item in analysis.voltages if item.undecided or item.minimum_v is not None),
        *_too_high(analysis),
        *_collapse(analysis),
        *_rings(analysis),
        *_fuses(analysis),
        *_class2(scheme),
        *_buses(scheme, analysis),
        *readings(analysis.compared, Question.POWER),
    )


def _fed(scheme: ProtectionScheme, analysis: PowerAnalysis) -> Iterator[Finding]:
    problems = list(analysis.problems)
    if not any(scheme.kind_of(d).family in SUPPLIES for d in scheme.fitted):
        problems = [("", "there is no control panel and no supply in the design")]
    for element, text in problems:
        yield Finding(
            "power.fed",
            Question.POWER,
            Outcome.NOT_MET,
            Weight.REQUIRED,
            (element,) if element else (),
            f"“{element}” {text}." if element else f"{text[0].upper()}{text[1:]}.",
            "The supply of one device has still to be put right on the drawing.",
            citation=PRACTICE,
            fix="Draw one run of supply to each device from nearer the battery.",
        )
    if not problems:
        count = len(analysis.voltages)
        yield Finding(
            "power.fed",
            Question.POWER,
            Outcome.MET,
            Weight.REQUIRED,
            tuple(s.at for s in analysis.standby),
            f"Each of the {count} wired devices that draw current is fed from one supply.",
            "Every wired device is fed.",
            value=float(count),
            unit="devices",
            citation=PRACTICE,
        )


def _voltage(scheme: ProtectionScheme, item: VoltageAt) -> Finding:
    kind = scheme.kind_of(scheme.design.device(item.device_id))
    own_battery = kind.words.get("self_powered") == "yes"
    if item.undecided:
        said = f"{item.undecided[0].upper()}{item.undecided[1:]}."
    elif item.collapse_multiplier is not None and item.collapse_multiplier < 1.0:
        said = f"{item.device_id}: the supply collapses; no voltage satisfies these loads over these cables."
    else:
        how = "carried over from a reading" if item.measured else "with everything in alarm"
        said = (
            f"{item.device_id} ({kind.name}) has {item.voltage_v:.1f} V at the end of discharge, {how}; it needs "
            f"{item.minimum_v or 0.0:g} V."
        )
        if own_battery and item.minimum_v is not None and item.voltage_v < item.minimum_v:
            said += " Its own battery carries it through."
    length = "a length on the way is routed on the plan, not measured; " if item.assumed else ""
    return bounded(
        "power.voltage",
        Question.POWER,
        Weight.RECOMMENDED if own_battery else Weight.REQUIRED,
        (item.device_id, item.fed_by),
        said,
        value=None if item.undecided else item.voltage_v,
        operator=">=",
        limit=item.minimum_v,
        unit="V",
        assumption=f"{length}cable at 50 °C, everything in alarm at once",
        good="This device still has enough voltage when the battery is nearly empty.",
        bad="One device needs a thicker or shorter cable to work to the end of a long power cut.",
        unsettled="The cable to one device has still to be measured.",
        citation=CATALOGUE,
        fix="Use a thicker cable or two cores a leg, feed it from a nearer supply, or spread the load.",
        digits=3,
    )


def _too_high(analysis: PowerAnalysis) -> Iterator[Finding]:
    """The device that comes closest to its highest voltage, on mains."""
    known = [
        (item.maximum_v - item.highest_v, item.device_id, item)
        for item in analysis.voltages
        if item.maximum_v is not None and item.highest_v is not None and not item.undecided
    ]
    if not known:
        return
    worst = min(known)[2]
    yield bounded(
        "power.voltage-high",
        Question.POWER,
        Weight.REQUIRED,
        (worst.device_id, worst.fed_by),
        f"On mains in the cold {worst.device_id} sees {worst.highest_v or 0.0:.1f} V; it stands "
        f"{worst.maximum_v or 0.0:g} V. No device is nearer to its limit.",
        value=worst.highest_v,
        operator="<=",
        limit=worst.maximum_v,
        unit="V",
        good="No device gets too much voltage.",
        bad="One device gets too much voltage.",
        citation=CATALOGUE,
        fix="Lower the supply's setting to the battery's float voltage, or change the device.",
        digits=3,
    )


def _collapse(analysis: PowerAnalysis) -> Iterator[Finding]:
    reserve = {v.fed_by: v.collapse_multiplier for v in analysis.voltages if v.collapse_multiplier is not None}
    for supply, multiplier in reserve.items():
        yield bounded(
            "power.collapse",
            Question.POWER,
            Weight.REQUIRED,
            (supply,),
            f"All loads on {supply} together could grow {multiplier:.2f} times before the voltage collapses."
            if multiplier >= 1.0
            else f"The voltage on {supply} collapses: its loads would have to fall to {multiplier:.2f} of what they "
            "are.",
            value=multiplier,
            operator=">=",
            limit=1.0,
            good="The cables carry what hangs on them.",
            bad="The cables do not carry what hangs on them; our proposal adds what is needed.",
            citation="TAHERI-KEKATOS-2018",
            fix="Use thicker cable or a second supply.",
        )


def _rings(analysis: PowerAnalysis) -> Iterator[Finding]:
    """The cut that leaves least."""
    whole = [cut for cut in analysis.cuts if not cut.lost]
    if not whole:
        return
    worst = min(whole, key=lambda cut: (cut.margin_v, cut.feed_id))
    yield bounded(
        "power.ring-cut",
        Question.POWER,
        Weight.RECOMMENDED,
        (worst.feed_id,) if worst.worst_device_id is None else (worst.feed_id, worst.worst_device_id),
        f"With {worst.feed_id} cut the supply collapses."
        if worst.voltage_v <= 0.0
        else f"With {worst.feed_id} cut, {worst.worst_device_id} has {worst.voltage_v:.1f} V, {worst.margin_v:+.1f} V "
        f"from its limit: the worst of {len(whole)} cuts.",
        value=worst.margin_v,
        operator=">=",
        limit=0.0,
        unit="V",
        good="The supply ring still works when it is cut in one place.",
        bad="The supply ring has to be strengthened to stand a cut.",
        citation=PRACTICE,
        fix="Use thicker cable in the ring.",
    )


def _fuses(analysis: PowerAnalysis) -> Iterator[Finding]:
    if not analysis.protection:
        return
    hot = max(analysis.protection, key=lambda p: (p.load_a / fuse_load(p.fuse_a), p.feed_id))
    yield bounded(
        "power.fuse-load",
        Question.POWER,
        Weight.RECOMMENDED,
        (hot.feed_id,),
        f"{hot.feed_id} carries {hot.load_a:.2f} A in alarm behind a fuse of {hot.fuse_a:g} A, which should carry "
        f"{fuse_load(hot.fuse_a):.2f} A at most. No run is nearer to its limit.",
        value=hot.load_a,
        operator="<=",
        limit=fuse_load(hot.fuse_a),
        unit="A",
        good="The fuses have room.",
        bad="One fuse has too little room.",
        citation="75 % of the rating, from memory",
        fix="Spread the load over more outputs.",
    )
    far = min(analysis.protection, key=lambda p: (p.short_a / p.fuse_a, p.feed_id))
    yield bounded(
        "power.fuse-opens",
        Question.POWER,
        Weight.RECOMMENDED,
        (far.feed_id,),
        f"A dead short at the end of {far.feed_id} draws {far.short_a:.1f} A; its fuse of {far.fuse_a:g} A opens "
        f"within seconds from {FUSE_OPENS * far.fuse_a:g} A.",
        value=far.short_a,
        operator=">=",
        limit=FUSE_OPENS * far.fuse_a,
        unit="A",
        good="A short in a cable is cut off by its fuse.",
        bad="A short at the end of one cable might not be cut off; its fuse is changed.",
        citation="FUSE-DERATING",
        fix="Use a smaller fuse, a resettable one, or a thicker cable.",
    )


def _class2(scheme: ProtectionScheme) -> Iterator[Finding]:
    """US wiring methods rest on Class 2 outputs."""
    if scheme.brief.profile not in US:
        return
    for device in scheme.of_family(*SUPPLIES):
        kind = scheme.kind_of(device)
        volt, fuse = kind.get("output_float_v"), kind.get("fuse_a")
        if volt is None or fuse is None:
            continue
        limit = class2_limits(volt, inherently_limited=False).fuse
        yield bounded(
            "power.class-2",
            Question.POWER,
            Weight.REMEMBERED,
            (device.id,),
            f"The outputs of {device.id} at {volt:g} V are fused at {fuse:g} A; Class 2 allows {limit or 0.0:g} A.",
            value=fuse,
            operator="<=",
            limit=limit,
            unit="A",
            good="The low-voltage outputs are limited as the electrical code asks.",
            bad="One low-voltage output needs a smaller fuse.",
            citation="NEC-CH9-T11, table 11(B), from memory",
            fix="Fit a smaller fuse at the output.",
        )


def _buses(scheme: ProtectionScheme, analysis: PowerAnalysis) -> Iterator[Finding]:
    """Keypads and expanders share a balanced bus with the panel."""
    on_bus = tuple(d.id for d in scheme.of_family(*BUS_FAMILIES) if not scheme.kind_of(d).radio)
    if not on_bus:
        return
    loads = len(on_bus) + 1
    yield bounded(
        "power.bus-load",
        Question.POWER,
        Weight.RECOMMENDED,
        on_bus,
        f"{len(on_bus)} keypads and expanders and the panel load the bus with {loads} unit loads at most; with both "
        f"ends terminated the driver sees {bus_resistance(min(loads, UNIT_LOADS_MAX)):.0f} Ω, and it is made for 54 Ω.",
        value=float(loads),
        operator="<=",
        limit=float(UNIT_LOADS_MAX),
        assumption="a balanced bus, one unit load each",
        good="The data line carries all its keypads.",
        bad="The data line needs a repeater.",
        citation="TIA-485",
        fix="Add a repeater.",
    )
    drops = {v.device_id: v.drop_v / 2.0 for v in analysis.voltages if v.device_id in on_bus and not v.undecided}
    if drops:
        worst = max(drops, key=lambda key: (drops[key], key))
        yield bounded(
            "power.bus-reference",
            Question.POWER,
            Weight.RECOMMENDED,
            (worst,),
            f"The 0 V core to {worst} drops {drops[worst]:.1f} V, which shifts its bus reference; "
            f"{COMMON_MODE_DROP_V:g} V leave room.",
            value=drops[worst],
            operator="<=",
            limit=COMMON_MODE_DROP_V,
            unit="V",
            good="The data line to the keypads is sound.",
            bad="The data line to one keypad needs more copper.",
            citation=PRACTICE,
            fix="Give the 0 V core more copper.",
        )
