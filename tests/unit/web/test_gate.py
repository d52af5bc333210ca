"""The gate: names, origins, keys."""

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from wardwright.web.gate import Keys


def test_nothing_is_open_without_the_launch_token(window: TestClient) -> None:
    window.cookies.clear()
    assert window.get("/api/v1/jobs").status_code == 401
    assert window.get("/").status_code == 401
    assert window.get("/open", params={"token": "wrong"}).status_code == 401
    assert window.get("/api/v1/jobs", headers={"Cookie": "wardwright=wrong"}).status_code == 401
    assert window.get("/api/v1/jobs", headers={"Cookie": b"wardwright=\x80"}).status_code == 401


def test_a_program_may_use_the_launch_token_itself(window: TestClient, keys: Keys) -> None:
    window.cookies.clear()
    del window.headers["Origin"]
    mine = {"Authorization": f"Bearer {keys.launch_token}"}
    assert window.post("/api/v1/jobs", json={"title": "x"}, headers=mine).status_code == 201
    assert window.get("/api/v1/jobs", headers={"Authorization": "Bearer wrong"}).status_code == 401


@pytest.mark.parametrize("host", ["evil.example:8765", "127.0.0.1", "127.0.0.1:80", "localhost:8765.evil.example", ""])
def test_a_rebound_name_is_refused(window: TestClient, host: str) -> None:
    answer = window.get("/api/v1/jobs", headers={"Host": host})
    assert answer.status_code == 403
    assert answer.json()["where"] == "Host"


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://127.0.0.1:8765", "http://localhost:8765"])
def test_a_page_of_another_origin_is_refused(window: TestClient, origin: str) -> None:
    answer = window.post("/api/v1/jobs", json={"title": "x"}, headers={"Origin": origin})
    assert answer.status_code == 403
    assert answer.json()["where"] == "Origin"
    assert window.get("/api/v1/jobs").json() == []


def test_a_change_must_say_which_page_it_comes_from(window: TestClient) -> None:
    del window.headers["Origin"]
    assert window.post("/api/v1/jobs", json={"title": "x"}).status_code == 403
    cross = window.get("/api/v1/jobs", headers={"Sec-Fetch-Site": "cross-site"})
    assert cross.status_code == 403


def test_the_live_channel_is_behind_the_same_gate(window: TestClient) -> None:
    address = "ws://127.0.0.1:8765/api/v1/jobs/x/live"
    with window.websocket_connect(address) as channel:
        assert "no such job" in channel.receive_json()["message"], "this is how it looks to one who may come in"
    for headers in ({"Origin": "http://evil.example"}, {"Host": "evil.example"}, {"Cookie": "wardwright=wrong"}):
        with pytest.raises(WebSocketDisconnect), window.websocket_connect(address, headers=headers):
            pass
    del window.headers["Origin"]
    with pytest.raises(WebSocketDisconnect), window.websocket_connect(address):
        pass


def test_every_answer_carries_the_policy(window: TestClient) -> None:
    for path in ("/", "/api/v1/jobs", "/nothing", "/open?token=wrong"):
        headers = window.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"] == "no-store"


def test_a_body_too_large_is_refused(window: TestClient) -> None:
    answer = window.post("/api/v1/jobs", content=b"{}", headers={"Content-Length": "99999999999"})
    assert answer.status_code == 413
