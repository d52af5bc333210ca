"""Edits against findings: each is an ordinary edit of the job, and those that mend do so in the proof of the whole."""

import pytest
from tests.house import design, house

from wardwright.catalogue.load import load_catalogue
from wardwright.findings import Finding, Outcome
from wardwright.job.model import Job
from wardwright.placement.mending import Mend, mended, mends
from wardwright.prove import Proof, prove


def proved(job: Job) -> Proof:
    return prove(job, load_catalogue(), today="2026-11-25")


@pytest.fixture(scope="module")
def proof() -> Proof:
    return proved(Job(id="house", title="House", premises=house(), design=design(), invented=True))


def offered(proof: Proof, rule: str, *about: str) -> tuple[Finding, tuple[Mend, ...]]:
    finding = next(f for f in proof.findings if f.rule == rule and set(about) <= set(f.about))
    return finding, mends(proof, finding)


def after(proof: Proof, finding: Finding, mend: Mend) -> Outcome | None:
    found = [f.outcome for f in proved(mended(proof, mend)).findings if f.identity == finding.identity]
    return found[0] if found else None


def test_a_way_in_that_is_not_watched_gets_a_detector_wired_and_watched(proof: Proof) -> None:
    finding, found = offered(proof, "entry.way-in-watched-with-people-inside", "front")
    assert finding.outcome is Outcome.NOT_MET
    first = found[0]
    assert first.words == "Put a shock detector on Front door"
    job = mended(proof, first)
    new = [d for d in job.design.devices if d.id not in {x.id for x in proof.job.design.devices}]
    assert [d.opening_id for d in new] == ["front"]
    assert any(new[0].id in z.device_ids for z in job.design.programme.zones)
    assert after(proof, finding, first) is Outcome.MET


def test_thin_copper_is_made_thicker_until_the_voltage_holds(proof: Proof) -> None:
    finding, found = offered(proof, "power.voltage", "communicator")
    outcomes = [after(proof, finding, m) for m in found]
    assert outcomes[-1] is Outcome.MET
    order = [Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.MET]
    assert [order.index(o) for o in outcomes if o] == sorted(order.index(o) for o in outcomes if o)


def test_a_detector_on_the_way_to_the_keypad_is_let_wait(proof: Proof) -> None:
    finding, found = offered(proof, "living.walk-waits", "pir-living")
    assert [m.words for m in found] == ["Let Living wait for the entry time"]
    assert after(proof, finding, found[0]) is None


def test_what_is_met_wants_no_edit(proof: Proof) -> None:
    met = next(f for f in proof.findings if f.outcome is Outcome.MET)
    assert mends(proof, met) == ()
