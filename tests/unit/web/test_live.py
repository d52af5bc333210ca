"""The live channel: map and route follow a device, news of other windows arrive, nonsense is answered in words."""

import json
from typing import Any

import numpy as np
import pytest
from starlette.testclient import TestClient
from tests.house import design
from tests.house import house as premises

from wardwright.analyses.coverage import CoverageMap
from wardwright.analyses.grid import Grid
from wardwright.job.model import Job
from wardwright.web.live_tasks import packed_map

LIVE = "ws://127.0.0.1:8765"


@pytest.fixture
def house(window: TestClient) -> dict[str, Any]:
    job = Job(id="invented", title="Invented", premises=premises(), design=design(), invented=True)
    found: dict[str, Any] = window.post("/api/v1/jobs", json={"job": job.model_dump(mode="json")}).json()
    return found


def unpacked(content: bytes) -> tuple[dict[str, Any], Any, Any]:
    """As the browser reads it."""
    length = int.from_bytes(content[:4], "little")
    head = json.loads(content[4 : 4 + length])
    cells = head["nx"] * head["ny"]
    body = content[4 + length :]
    assert len(body) == 2 * cells
    shape = (head["ny"], head["nx"])
    return (
        head,
        np.frombuffer(body[:cells], np.int8).reshape(shape),
        np.frombuffer(body[cells:], np.uint8).reshape(shape),
    )


def test_a_map_survives_the_wire() -> None:
    worst = np.array([[np.nan, -np.inf, 0.2], [3.4, -90.0, 90.0]], dtype=np.float32)
    turn = np.array([[0.0, 0.0, np.pi / 2], [np.pi, 3 * np.pi / 2, 0.0]])
    found = CoverageMap(Grid("s", 1.0, 2.0, 0.25, 3, 2), worst, turn, (1.0,), "away")
    head, margin, heading = unpacked(packed_map(found, 4, {"kind": "map"}))
    assert margin.tolist() == [[-128, -127, 0], [7, -126, 126]]
    assert heading.tolist() == [[0, 0, 1], [2, 3, 0]]
    assert (head["x0_m"], head["y0_m"], head["step_m"], head["db_step"]) == (1.0, 2.0, 0.25, 0.5)


def test_map_and_route_follow_the_hand(window: TestClient, house: dict[str, Any]) -> None:
    whole = window.get(f"/api/v1/jobs/{house['key']}/maps/{house['job']['premises']['storeys'][0]['id']}")
    assert whole.status_code == 200, whole.text
    assert not unpacked(whole.content)[0]["draft"]
    kinds = {k["id"]: k["family"] for k in window.get(f"/api/v1/jobs/{house['key']}/catalogue").json()["kinds"]}
    device = next(d for d in house["job"]["design"]["devices"] if kinds[d["kind"]] == "motion detector")
    x, y = device["position"]
    with window.websocket_connect(f"{LIVE}/api/v1/jobs/{house['key']}/live") as channel:
        channel.send_json({"n": 7, "device": {"id": device["id"], "position": [x + 0.1, y]}})
        seen: set[str] = set()
        while seen < {"draft", "full", "route"}:
            message = channel.receive()
            if message.get("bytes"):
                head, margin, _ = unpacked(message["bytes"])
                assert (head["n"], head["revision"], head["storey_id"]) == (7, 1, device["storey_id"])
                assert (margin > -127).any()
                seen.add("draft" if head["draft"] else "full")
            else:
                told = json.loads(message["text"])
                assert told["kind"] == "route", told
                assert 0.0 <= told["route"]["probability"] <= 1.0
                seen.add("route")
        moved = {"do": "set", "place": "design.devices", "id": device["id"], "values": {"position": [x + 0.1, y]}}
        window.post(f"/api/v1/jobs/{house['key']}/moves", json={"revision": 1, "moves": [moved]})
        assert channel.receive_json() == {"kind": "changed", "revision": 2}


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"n": 1}', '{"n": 1, "device": {"id": "x", "position": [0, NaN]}}', "[" * 100_000]
)
def test_nonsense_on_the_channel_is_answered_in_words(window: TestClient, house: dict[str, Any], text: str) -> None:
    with window.websocket_connect(f"{LIVE}/api/v1/jobs/{house['key']}/live") as channel:
        channel.send_text(text)
        assert channel.receive_json()["kind"] == "trouble"
        channel.send_json({"n": 2, "device": {"id": "no-such", "position": [0, 0]}})
        told = channel.receive_json()
        assert (told["kind"], told["n"]) == ("trouble", 2)


def test_a_channel_to_no_job_says_so(window: TestClient) -> None:
    with window.websocket_connect(f"{LIVE}/api/v1/jobs/nothing/live") as channel:
        assert "no such job" in channel.receive_json()["message"]
