"""A closer look through the interface: edits tried, steps, courses of events kept apart from the workbench."""

from starlette.testclient import TestClient
from tests.house import design, house

from wardwright.job.model import Job


def taken_in(window: TestClient) -> str:
    job = Job(id="house", title="House", premises=house(), design=design(), invented=True)
    made = window.post("/api/v1/jobs", json={"job": job.model_dump(mode="json")})
    assert made.status_code == 201, made.text
    return str(made.json()["key"])


def test_edits_are_tried_and_a_story_is_played_in_a_box_of_its_own(window: TestClient) -> None:
    key = taken_in(window)
    base = f"/api/v1/jobs/{key}"
    assert window.get(f"{base}/findings/000000000000/edits").status_code == 422
    assert window.get(f"{base}/findings/nonsense/steps").status_code == 422
    assert window.get(f"{base}/stories/9").status_code == 422
    stories = window.get(f"{base}/stories").json()
    assert "Going out and coming home" in [s["heading"] for s in stories]
    page = window.get(f"{base}/stories/0")
    assert page.headers["content-type"].startswith("text/html")
    policy = page.headers["content-security-policy"]
    assert "sandbox allow-scripts" in policy
    assert "allow-same-origin" not in policy, "it never sees the session"
    assert page.headers["x-frame-options"] == "SAMEORIGIN"
