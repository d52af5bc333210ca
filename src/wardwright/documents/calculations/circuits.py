"""Calculation sheets of batteries, cells, voltages, loops, cables and readings."""

from collections.abc import Iterator

from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.readings import Compared
from wardwright.documents.calculations.records import CalculationSheet, held_against
from wardwright.documents.wording import rounded
from wardwright.prove import Proof


def batteries(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each supply."""
    for supply in proof.power.standby if proof.power is not None else ():
        result = ""
        if supply.predicted_h is not None:
            low, high = supply.interval_h or (supply.predicted_h, supply.predicted_h)
            result = f"{rounded(supply.predicted_h)} h ({rounded(low)}–{rounded(high)} h) on battery"
        yield CalculationSheet(
            f"Battery at {supply.at}",
            supply.steps,
            result,
            held_against(
                proof.findings, supply.at, "power.standby", "power.recharge", "power.battery", "power.charger"
            ),
            (f"Governed by: {supply.assumption}.",) if supply.assumption else (),
            supply.undecided,
        )


def cells(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each radio device with a cell."""
    for cell in proof.power.cells if proof.power is not None else ():
        result = "" if cell.years is None else f"{rounded(cell.years)} years"
        held = held_against(proof.findings, cell.device_id, "power.cell")
        yield CalculationSheet(f"Cell of {cell.device_id}", cell.steps, result, held, undecided=cell.undecided)


def voltages(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each fed device, then the fuses, then what each cut of a ring leaves."""
    if proof.power is None:
        return
    for at in proof.power.voltages:
        how = "measured" if at.measured else "everything in alarm, end of discharge"
        notes = []
        if at.collapse_multiplier is not None:
            notes.append(f"The supply collapses at {rounded(at.collapse_multiplier)} times this load.")
        yield CalculationSheet(
            f"Voltage at {at.device_id}, fed by {at.fed_by}",
            at.steps,
            "" if at.undecided else f"{at.voltage_v:.1f} V ({how})",
            held_against(proof.findings, at.device_id, "power.voltage")
            or (() if at.minimum_v is None else (f"at least {at.minimum_v:.1f} V, the catalogue's figure",)),
            tuple(notes),
            at.undecided,
        )
    yield from _fuses(proof.power)
    if proof.power.cuts:
        steps = tuple(
            (
                f"{cut.feed_id} cut",
                f"lost: {', '.join(cut.lost)}"
                if cut.lost
                else f"{cut.voltage_v:.1f} V at {cut.worst_device_id}, {cut.margin_v:+.1f} V to its limit",
            )
            for cut in proof.power.cuts
        )
        yield CalculationSheet("Every single cut of the ring", steps)


def _fuses(power: PowerAnalysis) -> Iterator[CalculationSheet]:
    steps = tuple(
        (run.feed_id, f"{run.load_a:.2g} A in alarm; {run.short_a:.2g} A into a short; fuse {run.fuse_a:g} A")
        for run in power.protection
    )
    if steps:
        yield CalculationSheet(
            "Fuses", steps, notes=("Load at most 75 % of the fuse; a short opens it well above it.",)
        )


def loops(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each loop."""
    for report in proof.loops.reports if proof.loops is not None else ():
        states = tuple(
            (f"{s.name}, share of the reference", f"{s.low * 100:.1f} to {s.high * 100:.1f} %") for s in report.states
        )
        result = ""
        if report.tightest_gap is not None:
            between = f" between {' and '.join(report.tightest_between)}" if report.tightest_between else ""
            result = f"tightest gap {rounded(report.tightest_gap * 100)} % of the reference{between}"
        notes = [f"What eats it: {report.cause}."] if report.cause else []
        notes += [f"Cannot be told apart: {text}." for text in report.merged]
        if report.best_ohm:
            notes.append(f"Best preferred values: {' and '.join(f'{rounded(r, 3)} Ω' for r in report.best_ohm)}.")
        yield CalculationSheet(
            f"Loop {report.loop_id}",
            report.steps or states,
            result,
            held_against(proof.findings, report.loop_id, "loops."),
            tuple(notes),
            report.undecided,
        )


def cables(proof: Proof) -> Iterator[CalculationSheet]:
    """One for all runs."""
    plan = proof.cables
    if plan is None or not plan.runs:
        return
    steps = tuple(
        (f"{item.run.from_id} to {item.run.to_id}", "; ".join(f"{name}: {said}" for name, said in item.steps))
        for item in plan.runs
    )
    result = f"{plan.length_m:.0f} m with slack, {plan.minutes / 60.0:.0f} h to lay, {len(plan.holes)} holes"
    yield CalculationSheet("Runs", steps, result, notes=("Governed by: minutes a metre and a hole (assumptions).",))


def readings(proof: Proof) -> Iterator[CalculationSheet]:
    """One for all readings that took the place of a prediction."""
    told: list[Compared] = []
    for analysis in (proof.power, proof.loops, proof.radio, proof.audibility):
        told += analysis.compared if analysis is not None else ()
    if told:
        yield CalculationSheet("Readings", tuple((f"{c.quantity} at {c.at}", _reading(c)) for c in told))


def _reading(told: Compared) -> str:
    unit = told.unit
    words = f"measured {rounded(told.measured, 3)} {unit}"
    if told.predicted is not None and told.difference is not None:
        words += f"; predicted {rounded(told.predicted, 3)} {unit}, difference {told.difference:+.2g} {unit}"
    if told.low is not None and told.high is not None:
        words += f"; explained from {rounded(told.low, 3)} to {rounded(told.high, 3)} {unit}"
    return words + ("" if told.explained else ": cannot be true") + (f". {told.note}" if told.note else "")
