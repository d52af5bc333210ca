"""Readings over the interface: where each quantity can be read, and refusals in words; nothing refused is kept."""

import pytest
from fastapi.testclient import TestClient
from tests.house import house, scheme

from wardwright.job.model import Job
from wardwright.storage.job_file import job_text


def job(window: TestClient) -> tuple[str, int]:
    held = scheme()
    text = job_text(Job(id="h", title="Invented", premises=house(), design=held.design))
    made = window.post("/api/v1/job-files", content=text, headers={"Content-Type": "application/json"})
    assert made.status_code == 201, made.text
    return made.json()["key"], made.json()["revision"]


GIVEN = {
    "quantity": "walk test range",
    "at": "pir-living",
    "value": 30.0,
    "unit": "ft",
    "instrument": "tape",
    "by": "A",
}


def test_what_can_be_read_names_elements_that_are_there(window: TestClient) -> None:
    key, _ = job(window)
    found = {r["quantity"]: r for r in window.get(f"/api/v1/jobs/{key}/readings").json()}
    assert "pir-living" in found["walk test range"]["at"]
    assert found["loop resistance"]["units"][0] == "ohm"
    assert all(r["at"] and r["units"] for r in found.values())


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"at": "nowhere"}, "device"),
        ({"quantity": "mood"}, "quantity"),
        ({"unit": "V"}, "unit"),
        ({"value": "far"}, "number"),
    ],
)
def test_what_cannot_be_is_refused_in_words(window: TestClient, changed: dict[str, object], says: str) -> None:
    key, revision = job(window)
    told = window.post(f"/api/v1/jobs/{key}/readings", json={"revision": revision, **GIVEN, **changed})
    assert told.status_code == 422
    assert says in told.json()["message"]
    assert window.get(f"/api/v1/jobs/{key}").json()["revision"] == revision


def test_a_reading_made_on_an_old_revision_conflicts_and_a_good_one_stays_through_undo(window: TestClient) -> None:
    key, revision = job(window)
    told = window.post(f"/api/v1/jobs/{key}/readings", json={"revision": revision, **GIVEN}).json()
    assert told["job"]["site"][-1]["reading"]["value"] == 30.0
    again = window.post(f"/api/v1/jobs/{key}/readings", json={"revision": revision, **GIVEN})
    assert again.status_code == 409
    undone = window.post(f"/api/v1/jobs/{key}/undo", json={"revision": told["revision"]})
    assert [r["id"] for r in undone.json().get("job", told["job"])["site"]] == [r["id"] for r in told["job"]["site"]]
