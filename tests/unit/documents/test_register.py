"""The register of papers issued only ever grows."""

import hashlib

import pytest
from tests.unit.documents import invented_house as house

from wardwright.catalogue.load import load_catalogue
from wardwright.documents.register import issue, next_copy_number
from wardwright.errors import InputError
from wardwright.job.model import Job


def issued(job: Job, paper: str = "firm", **more: object) -> Job:
    given = {
        "paper": paper,
        "copy_number": next_copy_number(job, paper),
        "to": "the engineer",
        "date": "2026-11-25",
        "content": b"%PDF",
        "catalogue": load_catalogue(),
        "findings": house.findings(),
        "prices": {"As specified": "4050.78 EUR"},
    }
    return issue(job, **(given | more))  # type: ignore[arg-type]


def test_a_copy_is_logged_with_what_it_rests_on() -> None:
    job = issued(issued(house.job()))
    first, second = job.issued
    assert (first.id, first.copy_number, second.id, second.copy_number) == ("I-1", 1, "I-2", 2)
    assert first.fingerprint == hashlib.sha256(b"%PDF").hexdigest()
    assert set(first.snapshot["kinds"]) == {d.kind for d in job.design.devices} | {"battery-7ah"}
    assert "EN50131-1 table 23" in first.snapshot["sources"]
    assert first.catalogue_edition == load_catalogue().edition
    assert Job.model_validate_json(job.model_dump_json()) == job, "it survives being saved"
    assert next_copy_number(job, "client") == 1


def test_numbers_are_used_once_and_somebody_is_named() -> None:
    job = issued(house.job())
    with pytest.raises(InputError, match="issued before"):
        issued(job, copy_number=1)
    with pytest.raises(InputError, match="to whom"):
        issued(job, to=" ")
    taken = job.model_copy(update={"retired_ids": ("I-2",)})
    assert issued(taken).issued[-1].id == "I-3"
