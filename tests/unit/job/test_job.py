"""Ids, departures, site records."""

from dataclasses import replace

import pytest

from wardwright.design.devices import Device
from wardwright.design.system import Design
from wardwright.errors import InputError
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.job.departures import accept, standings
from wardwright.job.ids import next_id, replaced
from wardwright.job.model import Job, SiteRecord
from wardwright.job.records import add_site_record, merge_site_records
from wardwright.premises.fabric import Storey
from wardwright.premises.model import Premises

STOREY = Storey(id="ground", name="Ground floor", elevation_m=0.0, height_m=2.4)
JOB = Job(id="j-1", title="Number 1", premises=Premises(name="Number 1", storeys=(STOREY,)))
FINDING = Finding(
    rule="power.standby",
    question=Question.POWER,
    outcome=Outcome.NOT_MET,
    weight=Weight.REQUIRED,
    about=("panel-1",),
    explanation="9 h, 12 h wanted",
    plain="The battery is too small.",
    value=9.04,
    operator=">=",
    limit=12.0,
    unit="h",
)


def with_devices(job: Job, *ids: str) -> Job:
    devices = tuple(Device(id=i, kind="k", storey_id="ground", position=(0.0, 0.0)) for i in ids)
    return job.model_copy(update={"design": Design(devices=devices)})


def test_an_id_is_never_reused() -> None:
    one = with_devices(JOB, "pir-1", "pir-2")
    gone = replaced(one, with_devices(one, "pir-1"))
    assert next_id(gone, "pir") == "pir-3"
    with pytest.raises(InputError, match="pir-2"):
        replaced(gone, with_devices(gone, "pir-1", "pir-2"))


def test_a_departure_holds_until_its_numbers_change() -> None:
    job = accept(JOB, FINDING, who="A. Client", why="battery on order", when="2026-11-01", until="2026-12-01")
    (held,) = standings(job.departures, [FINDING], today="2026-11-25")
    assert held.lapsed == ""
    (same_print,) = standings(job.departures, [replace(FINDING, value=9.0401)], today="2026-11-25")
    assert same_print.lapsed == ""
    (changed,) = standings(job.departures, [replace(FINDING, value=8.0)], today="2026-11-25")
    assert "changed" in changed.lapsed
    (late,) = standings(job.departures, [FINDING], today="2026-12-02")
    assert "2026-12-01" in late.lapsed
    (met,) = standings(job.departures, [replace(FINDING, outcome=Outcome.MET)], today="2026-11-25")
    assert "no longer needed" in met.lapsed
    (gone,) = standings(job.departures, [], today="2026-11-25")
    assert gone.finding is None
    assert gone.lapsed


def test_a_departure_needs_a_name_and_something_to_accept() -> None:
    with pytest.raises(InputError, match="reason"):
        accept(JOB, FINDING, who="A. Client", why=" ", when="2026-11-01")
    with pytest.raises(InputError, match="nothing to accept"):
        accept(JOB, replace(FINDING, outcome=Outcome.MET), who="A", why="b", when="2026-11-01")


def test_two_phones_merge_and_disagreement_is_told() -> None:
    note = SiteRecord(id="site-1", date="2026-11-20", by="A", kind="note", text="seen")
    other = SiteRecord(id="site-2", date="2026-11-19", by="B", kind="test", passed=True)
    one, two = add_site_record(JOB, note), add_site_record(JOB, other)
    assert merge_site_records(one, two).site == merge_site_records(two, one).site == (other, note)
    with pytest.raises(InputError, match="site-1"):
        merge_site_records(one, add_site_record(JOB, note.model_copy(update={"text": "not seen"})))
    with pytest.raises(InputError, match="taken"):
        add_site_record(one, note)


def reading(quantity: str, at: str, unit: str, **more: object) -> SiteRecord:
    taken = {"id": "r-1", "quantity": quantity, "at": at, "value": 9.0, "unit": unit, "date": "2026-11-20", **more}
    return SiteRecord(id="site-1", date="2026-11-20", by="A", kind="reading", reading={**taken, "instrument": "tape"})


def test_a_reading_that_could_never_be_taken_back_is_looked_at_first() -> None:
    job = with_devices(JOB, "pir-1")
    assert add_site_record(job, reading("walk test range", "pir-1", "m")).site
    for record, told in (
        (reading("walk test range", "pir-9", "m"), "cannot be read at “pir-9”: give the id of a device"),
        (reading("loop resistance", "pir-1", "ohm"), "give the id of a loop"),
        (reading("walk test range", "pir-1", "V"), "unit “V”"),
    ):
        with pytest.raises(InputError, match=told):
            add_site_record(job, record)
