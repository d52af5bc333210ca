"""Calculation sheets: all that was worked out is printed, can be followed, and names where it comes from."""

import dataclasses
import re
from collections.abc import Iterator

import pytest
from tests.house import scheme
from tests.unit.documents import invented_house

from wardwright.analyses.readings import Compared
from wardwright.cli.formulas import by_hand
from wardwright.design.devices import Device, RadioLink
from wardwright.documents.calculations.records import CalculationSheet, merged
from wardwright.documents.calculations.sheets import SUBJECTS, calculations
from wardwright.job.model import Job
from wardwright.prove import Proof, prove
from wardwright.sources import bibliography

PLAIN = ("textbook", "computed", "assumption", "from memory", "geometry", "conservation of charge", "independence")


@pytest.fixture(scope="module")
def proof() -> Proof:
    base = scheme()
    more = (
        Device(id="rx", kind="receiver", storey_id="g", position=(9.0, 7.5), height_m=1.8),
        Device(id="tx", kind="pir-wide-radio", storey_id="u", position=(5.0, 7.5), height_m=2.2),
        Device(id="beam", kind="photo-beam", storey_id="g", position=(0.3, 0.3), height_m=0.8, heading_rad=0.0),
    )
    design = base.design.model_copy(
        update={
            "devices": (*base.design.devices, *more),
            "radio": (RadioLink(device_id="tx", receiver_id="rx"),),
        }
    )
    job = Job(id="j", title="J", premises=base.premises, design=design, brief=base.brief)
    return prove(job, base.catalogue, today="2026-01-02")


def sheets(proof: Proof) -> list[CalculationSheet]:
    return [sheet for subject in calculations(proof) for sheet in subject.sheets]


def with_steps(value: object) -> Iterator[tuple[tuple[str, str], ...]]:
    """Steps of every record in a result."""
    if isinstance(value, tuple):
        for item in value:
            yield from with_steps(item)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            held = getattr(value, field.name)
            if field.name == "steps":
                yield held
            else:
                yield from with_steps(held)


APART = ("job", "scheme", "findings", "accepted", "lapsed", "problems", "audibility")
"""Not results of an analysis; the alarm's places are printed where a finding judges them (next test)."""


def test_every_step_of_every_analysis_is_printed(proof: Proof) -> None:
    printed = "\n".join(words for sheet in sheets(proof) for step in sheet.steps for words in step)
    count = 0
    for name in (f.name for f in dataclasses.fields(proof) if f.name not in APART):
        for steps in with_steps(getattr(proof, name)):
            count += 1
            assert all(said in printed for _, said in steps), name
    assert count > 20


def test_the_alarm_has_a_sheet_wherever_a_finding_judges_it(proof: Proof) -> None:
    assert proof.audibility is not None
    printed = {s.steps for s in sheets(proof)}
    judged = {f.about[0] for f in proof.findings if f.rule.startswith("living.alarm") and f.value is not None}
    places = [p for p in proof.audibility.places if p.id in judged]
    assert places
    assert {p.steps for p in places} <= printed


def test_every_subject_has_a_sheet_when_its_devices_are_there(proof: Proof) -> None:
    found = {subject.subject for subject in calculations(proof)}
    assert found == {subject for subject, *_ in SUBJECTS} - {"Measured on site"}


def test_formulas_name_known_sources_and_functions() -> None:
    known, functions = bibliography(), by_hand()
    for subject, formulas, _ in SUBJECTS:
        assert formulas or subject == "Inputs"
        for formula in formulas:
            assert formula.source in known or formula.source.split(",")[0] in PLAIN or "computed" in formula.source
            assert not formula.by_hand or formula.by_hand in functions, formula.by_hand


RUN = re.compile(r"2 × ([\d.]+) m, .*? × ([\d.]+) Ω/km × ([\d.]+) \+ (\d+) × ([\d.]+) mΩ = ([\d.e+-]+) Ω")


def test_the_printed_arithmetic_comes_out(proof: Proof) -> None:
    """Ohm's law by the printed numbers: what a reviewer with a pencil gets, to the digits printed."""
    lines = [said for sheet in sheets(proof) for _, said in sheet.steps]
    found = [m for m in map(RUN.search, lines) if m]
    assert found
    for m in found:
        metres, per_km, warm, joints, each, told = (float(x) for x in m.groups())
        assert 2 * metres * per_km / 1000 * warm + joints * each / 1000 == pytest.approx(told, rel=0.01, abs=0.02)


def test_results_stand_beside_their_limits_with_source_and_outcome(proof: Proof) -> None:
    battery = next(s for s in sheets(proof) if s.heading.startswith("Battery at"))
    hours = next(line for line in battery.held if line.startswith("power.standby:"))
    finding = next(f for f in proof.findings if f.rule == "power.standby")
    assert finding.citation in hours
    assert hours.endswith(finding.outcome.value)


def test_every_figure_a_calculation_starts_from_is_printed_with_its_source(proof: Proof) -> None:
    printed = {s.heading: dict(s.steps) for s in sheets(proof)}
    for device in proof.scheme.fitted:
        kind = proof.scheme.kind_of(device)
        sheet = next(steps for heading, steps in printed.items() if f"Catalogue: {kind.name}" in heading.split("; "))
        told = " ".join(sheet.values())
        assert all(f.source in told for name, f in kind.figures.items() if name not in ("price", "fit_minutes"))
    assert "0.90 (the brief)" in printed["The brief"].values()


def test_sheets_worked_alike_share_one() -> None:
    one, other = CalculationSheet("A", (("x", "1"),)), CalculationSheet("B", (("x", "1"),))
    assert [s.heading for s in merged((one, other, CalculationSheet("C", ())))] == ["A; B", "C"]


def test_a_reading_stands_beside_what_was_predicted() -> None:
    base = invented_house.proof()
    assert base.power is not None
    told = Compared("r", "voltage", "KP-1", 11.9, 12.3, 11.5, 13.0, "V")
    wild = Compared("r2", "voltage", "KP-2", 5.0, 12.3, 11.5, 13.0, "V")
    proof = dataclasses.replace(base, power=dataclasses.replace(base.power, compared=(told, wild)))
    said = dict(next(s for s in sheets(proof) if s.heading == "Readings").steps)
    assert "difference -0.4 V" in said["voltage at KP-1"]
    assert said["voltage at KP-2"].endswith("cannot be true")
