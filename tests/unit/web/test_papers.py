"""Proof and papers of a small house over the interface."""

import hashlib
import io
import time
from typing import Any

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient
from tests.house import design
from tests.house import house as premises

from wardwright.findings import Question
from wardwright.job.model import Job


@pytest.fixture
def house(window: TestClient) -> dict[str, Any]:
    job = Job(id="invented", title="Invented", premises=premises(), design=design(), invented=True)
    answer = window.post("/api/v1/jobs", json={"job": job.model_dump(mode="json")})
    assert answer.status_code == 201, answer.text
    found: dict[str, Any] = answer.json()
    return found


def proved(window: TestClient, key: str, within_s: float = 120.0) -> dict[str, Any]:
    begun = window.post(f"/api/v1/jobs/{key}/proof")
    assert begun.status_code == 202
    end = time.monotonic() + within_s
    while time.monotonic() < end:
        state: dict[str, Any] = window.get(f"/api/v1/jobs/{key}/proof").json()
        if state["state"] != "computing":
            return state
        time.sleep(0.05)
    raise AssertionError(f"no proof within {within_s} s")


def test_the_proof_answers_eight_questions(window: TestClient, house: dict[str, Any]) -> None:
    assert window.get(f"/api/v1/jobs/{house['key']}/proof").json()["state"] == "none"
    state = proved(window, house["key"])
    assert state["state"] == "done", state["message"]
    assert (state["revision"], state["done"]) == (1, state["parts"])
    assert [q["key"] for q in state["proof"]["questions"]] == [q.value for q in Question]
    assert state["proof"]["findings"]
    assert window.post(f"/api/v1/jobs/{house['key']}/proof").json() == state, "what is done is not begun again"


def test_a_proof_is_stopped_and_begun_again(window: TestClient, house: dict[str, Any]) -> None:
    window.post(f"/api/v1/jobs/{house['key']}/proof")
    stopped = window.delete(f"/api/v1/jobs/{house['key']}/proof").json()
    assert stopped["state"] == "stopped"
    assert proved(window, house["key"])["state"] == "done"


def test_a_finding_is_taken_on_by_name(window: TestClient, house: dict[str, Any]) -> None:
    findings = proved(window, house["key"])["proof"]["findings"]
    one = next(f for f in findings if f["outcome"] in ("not met", "not decided"))
    asked = {"revision": 1, "finding": one["id"], "who": "Ann", "why": "agreed"}
    after = window.post(f"/api/v1/jobs/{house['key']}/departures", json=asked).json()
    assert [d["finding"] for d in after["job"]["departures"]] == [one["id"]]
    again = proved(window, house["key"])["proof"]
    assert next(f for f in again["findings"] if f["id"] == one["id"])["accepted"]


def test_papers_are_looked_at_and_issued(window: TestClient, house: dict[str, Any]) -> None:
    key = house["key"]
    look = window.get(f"/api/v1/jobs/{key}/papers/client")
    assert look.status_code == 200, look.text
    assert look.headers["content-type"] == "application/pdf"
    assert look.headers["content-security-policy"] == "frame-ancestors 'self'"
    assert len(PdfReader(io.BytesIO(look.content)).pages) >= 2
    assert window.get(f"/api/v1/jobs/{key}").json()["revision"] == 1, "looking enters nothing in the register"
    asked = {"revision": 1, "paper": "firm", "to": "Ann", "passphrase": "four words do nicely"}
    firm = window.post(f"/api/v1/jobs/{key}/papers", json=asked)
    assert firm.status_code == 200, firm.text
    assert PdfReader(io.BytesIO(firm.content)).is_encrypted
    state = window.get(f"/api/v1/jobs/{key}").json()
    assert str(state["revision"]) == firm.headers["wardwright-revision"] == "2"
    assert state["job"]["issued"][0]["fingerprint"] == hashlib.sha256(firm.content).hexdigest()
    stale = window.post(f"/api/v1/jobs/{key}/papers", json=asked)
    assert stale.status_code == 409
    short = window.post(f"/api/v1/jobs/{key}/papers", json={**asked, "revision": 2, "passphrase": "short"})
    assert short.status_code == 422


def test_offers_and_plan(window: TestClient, house: dict[str, Any]) -> None:
    offers = window.get(f"/api/v1/jobs/{house['key']}/offers")
    assert offers.status_code == 200, offers.text
    assert len(offers.json()) == 3
    storey = house["job"]["premises"]["storeys"][0]["id"]
    plan = window.get(f"/api/v1/jobs/{house['key']}/plans/{storey}", params={"bare": True})
    assert plan.headers["content-type"] == "image/svg+xml"
    assert plan.text.startswith("<svg")
    assert window.get(f"/api/v1/jobs/{house['key']}/plans/nowhere").status_code == 404


def test_kinds_and_schema(window: TestClient, house: dict[str, Any]) -> None:
    kinds = window.get(f"/api/v1/jobs/{house['key']}/catalogue").json()["kinds"]
    assert {d["kind"] for d in house["job"]["design"]["devices"]} <= {k["id"] for k in kinds}
    assert window.get("/api/v1/schema").json()["title"] == "Job"
    assert len(window.get("/api/v1/about").json()["questions"]) == 8
