"""Calculation sheets: the steps by which supply, voltages and loops were worked out."""

from dataclasses import dataclass

from wardwright.documents.wording import rounded
from wardwright.prove import Proof


@dataclass(frozen=True)
class CalculationSheet:
    """One calculation: what was done, step by step, and what governs it."""

    heading: str
    steps: tuple[tuple[str, str], ...]
    notes: tuple[str, ...] = ()
    undecided: str = ""


def calculation_sheets(proof: Proof) -> tuple[CalculationSheet, ...]:
    """Every calculation of a proof that has steps to show.

    Parameters
    ----------
    proof : Proof
        The proof.

    Returns
    -------
    tuple of CalculationSheet
        Supplies, then voltages (those worked alike share a sheet), loops, radio links, contacts, breaking glass, sound,
        walks, siting of detectors, cables, signalling.
    """
    return (
        *_standby(proof),
        *_voltages(proof),
        *_loops(proof),
        *_radio(proof),
        *_contacts(proof),
        *_glass(proof),
        *_sound(proof),
        *_walks(proof),
        *_siting(proof),
        *_cables(proof),
        *_signal(proof),
    )


def _standby(proof: Proof) -> list[CalculationSheet]:
    found = []
    for supply in proof.power.standby if proof.power is not None else ():
        notes = [f"Asked for: {rounded(supply.demand_h, 3)} h ({supply.demand_citation})."]
        if supply.assumption:
            notes.append(f"Governed by: {supply.assumption}.")
        if supply.predicted_h is not None:
            spread = ""
            if supply.interval_h is not None:
                spread = f" ({rounded(supply.interval_h[0])}–{rounded(supply.interval_h[1])} h)"
            notes.insert(0, f"Result: {rounded(supply.predicted_h)} h{spread} on battery.")
        found.append(CalculationSheet(f"Battery at {supply.at}", supply.steps, tuple(notes), supply.undecided))
    return found


def _voltages(proof: Proof) -> list[CalculationSheet]:
    found = []
    for at in proof.power.voltages if proof.power is not None else ():
        least = f", needs {at.minimum_v:.1f} V" if at.minimum_v is not None else ""
        how = "measured" if at.measured else "end of discharge"
        notes = [] if at.undecided else [f"Result: {at.voltage_v:.1f} V ({how}){least}."]
        if at.collapse_multiplier is not None:
            notes.append(f"The supply collapses at {rounded(at.collapse_multiplier)} times this load.")
        heading = f"Voltage at {at.device_id}, fed by {at.fed_by}"
        found.append(CalculationSheet(heading, at.steps, tuple(notes), at.undecided))
    return found


def _loops(proof: Proof) -> list[CalculationSheet]:
    found = []
    for report in proof.loops.reports if proof.loops is not None else ():
        states = tuple(
            (f"{s.name}, share of the reference", f"{s.low * 100:.1f} to {s.high * 100:.1f} %") for s in report.states
        )
        notes = []
        if report.tightest_gap is not None:
            between = (
                f" between {report.tightest_between[0]} and {report.tightest_between[1]}"
                if report.tightest_between
                else ""
            )
            notes.append(f"Tightest gap {rounded(report.tightest_gap * 100)} % of the reference{between}.")
        if report.cause:
            notes.append(f"What eats it: {report.cause}.")
        notes += [f"Cannot be told apart: {text}." for text in report.merged]
        if report.best_ohm:
            notes.append(f"Best preferred values: {' and '.join(f'{rounded(r, 3)} Ω' for r in report.best_ohm)}.")
        found.append(CalculationSheet(f"Loop {report.loop_id}", report.steps or states, tuple(notes), report.undecided))
    return found


def _radio(proof: Proof) -> list[CalculationSheet]:
    found = []
    for link in proof.radio.links if proof.radio is not None else ():
        notes = []
        if link.reserve_db is not None and link.interval_db is not None:
            low, high = link.interval_db
            notes.append(f"Result: {link.reserve_db:.0f} dB in reserve ({low:.0f} to {high:.0f} dB).")
        if link.assumption:
            notes.append(f"Governed by: {link.assumption}.")
        heading = f"Radio from {link.device_id} to {link.receiver_id}"
        found.append(CalculationSheet(heading, link.steps, tuple(notes), link.undecided))
    return found


def _contacts(proof: Proof) -> list[CalculationSheet]:
    return [
        CalculationSheet(
            f"Contact {one.device_id}",
            one.steps,
            (f"Distances within {one.spread:.0%}: reeds and magnets of one kind differ.",),
            one.undecided,
        )
        for one in proof.contacts
    ]


def _glass(proof: Proof) -> list[CalculationSheet]:
    names = {o.id: o.name for o in proof.scheme.premises.openings}
    found = []
    for one in (h for h in proof.glass if h.counts):
        notes = (f"Governed by: {one.assumption}.",) if one.assumption else ()
        leaf = f", leaf {one.leaf_id}" if one.leaf_id else ""
        heading = f"Breaking glass: {one.device_id} and {names[one.opening_id]}{leaf}, {one.mode}"
        found.append(CalculationSheet(heading, one.steps, notes))
    return found


def _sound(proof: Proof) -> list[CalculationSheet]:
    if proof.audibility is None:
        return []
    found = []
    judged = ("living.alarm", "signal.alarm", "nuisance.next-door")
    told = {key for f in proof.findings if f.rule.startswith(judged) for key in f.about}
    for place in (p for p in proof.audibility.places if p.id in told):
        low, high = place.interval_db
        notes = [f"Result: {place.level_db:.0f} dB(A) ({low:.0f} to {high:.0f})."]
        if place.assumption:
            notes.append(f"Governed by: {place.assumption}.")
        found.append(CalculationSheet(f"Alarm at {place.name} ({place.where})", place.steps, tuple(notes)))
    return found


def _walks(proof: Proof) -> list[CalculationSheet]:
    found = []
    names = {o.id: o.name for o in proof.scheme.premises.openings}
    for walk in proof.timing.walks if proof.timing is not None else ():
        steps: list[tuple[str, str]] = []
        if walk.length_m is not None and walk.walk_s is not None:
            spread = f" ({walk.interval_s[0]:.0f} to {walk.interval_s[1]:.0f} s)" if walk.interval_s else ""
            steps = [
                ("way from the door to the keypad", f"{rounded(walk.length_m)} m"),
                ("time for the slowest", f"{walk.walk_s:.0f} s{spread}"),
                ("entry time set", f"{walk.entry_s:.0f} s"),
                ("exit time set", f"{walk.exit_s:.0f} s"),
                ("passes", ", ".join(walk.crossed_device_ids) or "no detector"),
            ]
        notes = (f"Governed by: {walk.assumption}.",) if walk.assumption else ()
        found.append(
            CalculationSheet(
                f"Walk from {names.get(walk.opening_id, walk.opening_id)} to {walk.keypad_id or 'a keypad'}",
                tuple(steps),
                notes,
                walk.undecided,
            )
        )
    return found


def _siting(proof: Proof) -> list[CalculationSheet]:
    """One sheet for each detector: every rule with its figure and limit."""
    found = []
    for key in dict.fromkeys(c.device_id for c in proof.siting):
        steps = []
        for check in proof.siting:
            if check.device_id != key:
                continue
            said = check.said
            if check.value is not None and check.limit is not None:
                most = "at most" if check.operator == "<=" else "at least"
                spread = "" if check.interval is None else " ({} to {})".format(*(rounded(v) for v in check.interval))
                said += (
                    f" {rounded(check.value)}{spread} {check.unit}; {most} {rounded(check.limit)}. {check.citation}."
                )
            steps.append((check.rule.replace("-", " "), said))
        found.append(CalculationSheet(f"Siting of {key}", tuple(steps)))
    return found


def _cables(proof: Proof) -> list[CalculationSheet]:
    plan = proof.cables
    if plan is None or not plan.runs:
        return []
    steps = tuple(
        (f"{item.run.from_id} to {item.run.to_id}", "; ".join(f"{name}: {said}" for name, said in item.steps))
        for item in plan.runs
    )
    notes = (
        f"Result: {plan.length_m:.0f} m with slack, {plan.minutes / 60.0:.0f} h to lay.",
        "Governed by: minutes a metre and a hole (assumptions); the least time decides the way.",
    )
    return [CalculationSheet("Cables", steps, notes)]


def _signal(proof: Proof) -> list[CalculationSheet]:
    told = proof.signal
    if told is None or not told.paths:
        return []
    legs = tuple((leg.name, f"{leg.usual_s:.0f} to {leg.most_s:.0f} s ({leg.basis})") for leg in told.chain)
    notes = [f"Result: {told.usual_s / 60.0:.0f} to {told.most_s / 60.0:.0f} min from the first detection to help."]
    if told.inside_s is not None:
        notes.append(f"By the quickest way an intruder is inside for {told.inside_s:.0f} s after the first detection.")
    found = [CalculationSheet("From the first detection to help", legs, tuple(notes))]
    if told.steps:
        by_kind = "Hours a year are assumptions by kind, within a factor of three, where none was entered."
        found.append(CalculationSheet("Availability of the reporting paths", told.steps, (by_kind,)))
    return found
