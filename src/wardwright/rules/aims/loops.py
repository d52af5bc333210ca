"""Do the loops tell the truth? Findings on what each wired input can and cannot tell apart."""

from collections.abc import Iterator, Mapping

from wardwright.analyses.loops import LoopAnalysis, LoopReport
from wardwright.catalogue.kinds import DETECTORS
from wardwright.design.devices import Loop, Scheme
from wardwright.design.programme import Zone
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import PRACTICE, bounded
from wardwright.rules.aims.readings import readings

COMPUTED = "interval analysis of the loop"
INSULATION_OHM = 1e6
"""Least insulation of the cable of a loop, electronics taken off. [ohm] INSULATION-1M."""
MISPLACED = ("missing resistor", "resistor in the panel", "resistor before the end", "contact state")


def loop_findings(scheme: ProtectionScheme, analysis: LoopAnalysis) -> tuple[Finding, ...]:
    """Findings on the wired inputs and the zones on them.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    analysis : LoopAnalysis
        What each input sees.

    Returns
    -------
    tuple of Finding
        All of them under the question of power.
    """
    loops = {loop.id: loop for loop in scheme.design.loops}
    zones: dict[str, Zone] = {}
    for zone in scheme.design.programme.zones:
        if zone.loop_id is not None:
            zones.setdefault(zone.loop_id, zone)
    found: list[Finding] = []
    for report in analysis.reports:
        found.append(_apart(report))
        found += _built(report)
        found += _cable_told(report, loops[report.loop_id])
        found += _sharing(scheme, report, zones)
        found += _insulation(report)
    return (
        *found,
        *_zones(scheme, loops, zones),
        *_response(scheme),
        *readings(analysis.compared, Question.POWER),
    )


def _apart(report: LoopReport) -> Finding:
    """The states stay apart, by the panel's own thresholds where they are known."""
    by_panel = report.threshold_margin is not None
    value = report.threshold_margin if by_panel else report.tightest_gap
    between = report.tightest_between or ("", "")
    if report.undecided:
        said = f"Loop {report.loop_id}: {report.undecided}."
    elif value is None:
        said = f"Loop {report.loop_id} has only one state: nothing on it can be told."
    else:
        said = (
            f"Loop {report.loop_id}: nearest are {between[0]} and {between[1]}, {report.tightest_gap or 0.0:.3f} of "
            f"the reference apart in the worst case; {report.cause}."
        )
        if by_panel:
            said += f" The nearest of the panel's thresholds is {value:.3f} away."
    best = " and ".join(_kilo(r) for r in report.best_ohm)
    fix = (
        f"Fit {best}, which leave {report.best_gap or 0.0:.2f}."
        if best
        else "Shorten the cable or lower its resistance."
    )
    if report.threshold_margin is not None and report.threshold_margin < 0.0 and len(report.contacts) > 1:
        fix = "Give each contact a loop of its own: with several open at once the panel reads another state."
    if report.undecided:
        fix = "Measure what is not known."
    return bounded(
        "loops.states-apart",
        Question.POWER,
        Weight.REQUIRED,
        (report.loop_id, *report.contacts),
        said,
        value=None if report.undecided else value,
        operator=">=",
        limit=0.0,
        unit="of the reference",
        good="This line tells rest, alarm and fault apart, even with the worst parts.",
        bad="One line could mistake one state for another; its parts are changed.",
        unsettled="One line has still to be measured.",
        assumption="leakage from 100 kΩ, cable at 50 °C" if report.insulation_ohm is None else "cable at 50 °C",
        citation=COMPUTED,
        fix=fix,
    )


def _kilo(ohm: float) -> str:
    return f"{ohm / 1e3:.3g} kΩ" if ohm >= 1000.0 else f"{ohm:.3g} Ω"


def _built(report: LoopReport) -> Iterator[Finding]:
    """Resistors are there and where they should be."""
    for what, text in dict.fromkeys(report.faults):
        weight = Weight.REQUIRED if what in MISPLACED else Weight.RECOMMENDED
        unseen = (
            f" Then {' and '.join(report.unseen)} reads as normal."
            if report.unseen and weight is Weight.REQUIRED
            else ""
        )
        yield Finding(
            f"loops.{what.replace(' ', '-')}",
            Question.POWER,
            Outcome.NOT_MET,
            weight,
            (report.loop_id, *report.contacts),
            f"Loop {report.loop_id}: {text}.{unseen}",
            "One line is not yet wired as it should be; it is put right when we fit it.",
            citation=PRACTICE,
            fix="Put the resistors into the last device of the loop, alarm resistors each at their contact.",
        )


def _cable_told(report: LoopReport, loop: Loop) -> Iterator[Finding]:
    """Loops without supervision do not tell damage to their cable."""
    if report.undecided or not report.contacts:
        return
    if any(what in MISPLACED for what, _ in report.faults):
        return
    if report.unseen:
        text = f"Loop {report.loop_id} ({loop.scheme}): {' and '.join(report.unseen)} reads as normal."
    elif report.merged and loop.scheme is Scheme.SINGLE:
        text = f"Loop {report.loop_id} ({loop.scheme}) tells a short from rest; a cut cable reads as an alarm."
    else:
        text = f"Loop {report.loop_id} ({loop.scheme}) tells a cut and a short of its cable from rest."
    met = not report.unseen
    yield Finding(
        "loops.cable-supervised",
        Question.POWER,
        Outcome.MET if met else Outcome.NOT_MET,
        Weight.RECOMMENDED,
        (report.loop_id, *report.contacts),
        text,
        "Damage to this cable is noticed." if met else "One cable should be supervised better.",
        citation="UL1076 clause 1.4",
        fix="" if met else "Supervise the loop with end-of-line resistors in its last device.",
    )


def _sharing(scheme: ProtectionScheme, report: LoopReport, zones: Mapping[str, Zone]) -> Iterator[Finding]:
    """Several contacts on one loop, and a vented window among them."""
    if len(report.contacts) < 2:
        return
    zone = zones.get(report.loop_id)
    name = f"zone {zone.number} “{zone.name}”" if zone else f"loop {report.loop_id}"
    yield Finding(
        "loops.contacts-told-apart",
        Question.POWER,
        Outcome.NOT_MET,
        Weight.RECOMMENDED,
        (report.loop_id, *report.contacts),
        f"{len(report.contacts)} devices share {name}: the panel cannot tell which of them tripped, and leaving one "
        "out leaves out all.",
        "Some devices report together: after an alarm somebody has to look which it was.",
        value=float(len(report.contacts)),
        operator="<=",
        limit=1.0,
        unit="devices",
        digits=1,
        citation=PRACTICE,
        fix="Give each a zone of its own, or a zone for each room.",
    )
    vented = [device_id for device_id in report.contacts if _is_vented(scheme, device_id)]
    if vented:
        yield Finding(
            "loops.vented-window-alone",
            Question.POWER,
            Outcome.NOT_MET,
            Weight.REQUIRED,
            (report.loop_id, *vented),
            f"{', '.join(vented)} sits on a leaf that people want open while the system is set, and shares {name} with "
            f"{len(report.contacts) - 1} more: to set with it open the whole zone has to be left out.",
            "A window you like to leave ajar should not share its line with others.",
            citation="the brief",
            fix="Give the vented leaf a zone of its own, or a contact that is satisfied in the vent position.",
        )


def _is_vented(scheme: ProtectionScheme, device_id: str) -> bool:
    device = scheme.design.device(device_id)
    if device.opening_id is None:
        return False
    leaves = scheme.premises.opening(device.opening_id).leaves
    mine = [leaf for leaf in leaves if device.leaf_id in (None, leaf.id)]
    return any(leaf.vent is not None and leaf.vent.wanted_when_set for leaf in mine)


def _insulation(report: LoopReport) -> Iterator[Finding]:
    if report.insulation_ohm is None:
        return
    yield bounded(
        "loops.insulation",
        Question.POWER,
        Weight.RECOMMENDED,
        (report.loop_id,),
        f"Loop {report.loop_id}: insulation {report.insulation_ohm / 1e6:.3g} MΩ measured; 1 MΩ is the least.",
        value=report.insulation_ohm / 1e6,
        operator=">=",
        limit=INSULATION_OHM / 1e6,
        unit="MΩ",
        good="The cable is dry and sound.",
        bad="One cable is damp or damaged.",
        citation="INSULATION-1M",
        fix="Find the damp or damaged place; test core by core with the electronics taken off.",
    )


def _zones(scheme: ProtectionScheme, loops: Mapping[str, Loop], zones: Mapping[str, Zone]) -> Iterator[Finding]:
    """Every zone hears something, and every loop is a zone."""
    fitted = {d.id for d in scheme.fitted}
    deaf = []
    for zone in scheme.design.programme.zones:
        loop = loops.get(zone.loop_id or "")
        members = {*zone.device_ids, *(loop.contacts if loop else ())}
        if not members & fitted:
            deaf.append(zone)
    for zone in deaf:
        yield Finding(
            "loops.zone-has-device",
            Question.POWER,
            Outcome.NOT_MET,
            Weight.REQUIRED,
            (zone.id,),
            f"Zone {zone.number} “{zone.name}” has no fitted device: it would never tell anything.",
            "One zone has still to be given its device.",
            citation=PRACTICE,
            fix="Put a device on the zone, or take the zone out of the programme.",
        )
    for loop_id, loop in loops.items():
        if loop_id not in zones:
            yield Finding(
                "loops.on-a-zone",
                Question.POWER,
                Outcome.NOT_MET,
                Weight.REQUIRED,
                (loop_id, *loop.contacts),
                f"Loop {loop_id} is no zone: nobody hears {', '.join(loop.contacts) or 'it'}.",
                "One line has still to be programmed.",
                citation=PRACTICE,
                fix="Add a zone for this loop.",
            )
    heard = {key for loop in loops.values() for key in loop.contacts}
    unwired = [
        d.id
        for d in scheme.fitted
        if scheme.kind_of(d).family in DETECTORS and not scheme.kind_of(d).radio and d.id not in heard
    ]
    for device_id in unwired:
        yield Finding(
            "loops.device-on-a-loop",
            Question.POWER,
            Outcome.NOT_MET,
            Weight.REQUIRED,
            (device_id,),
            f"{device_id} is a wired detector and is on no loop.",
            "One detector has still to be wired.",
            citation=PRACTICE,
            fix="Put it on a loop, or choose a radio detector.",
        )


def _response(scheme: ProtectionScheme) -> Iterator[Finding]:
    """Each loop's response, against the shortest alarm signal on it."""
    short: list[tuple[float, str, str]] = []
    for loop in scheme.design.loops:
        for key in loop.contacts:
            device = next((d for d in scheme.fitted if d.id == key), None)
            hold = None if device is None else scheme.kind_of(device).get("alarm_hold_s")
            if hold is not None and hold < loop.response_s:
                short.append((hold, key, loop.id))
    for hold, key, loop_id in short:
        yield Finding(
            "loops.signal-long-enough",
            Question.POWER,
            Outcome.NOT_MET,
            Weight.REQUIRED,
            (loop_id, key),
            f"{key} holds its alarm for {hold:g} s; loop {loop_id} wants longer.",
            "Short signals could be missed; a setting is changed.",
            value=hold,
            unit="s",
            citation="the catalogue's figure for this kind",
            fix="Set the loop response shorter than the signal.",
        )
