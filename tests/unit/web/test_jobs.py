"""Jobs over the interface: taken in, edited, undone, never overwritten silently."""

import json
from typing import Any

from starlette.testclient import TestClient

WALL = {"id": "w1", "storey_id": "storey-1", "axis": [[0, 0], [4, 0]], "thickness_m": 0.3}


def new(window: TestClient, title: str = "A house") -> dict[str, Any]:
    answer = window.post("/api/v1/jobs", json={"title": title})
    assert answer.status_code == 201, answer.text
    found: dict[str, Any] = answer.json()
    return found


def moves(window: TestClient, state: dict[str, Any], *asked: dict[str, Any], what: str = "edit") -> Any:
    return window.post(
        f"/api/v1/jobs/{state['key']}/moves", json={"revision": state["revision"], "what": what, "moves": asked}
    )


def test_a_new_job_is_listed_and_read_back(window: TestClient) -> None:
    state = new(window)
    assert [line["title"] for line in window.get("/api/v1/jobs").json()] == ["A house"]
    assert window.get(f"/api/v1/jobs/{state['key']}").json() == state


def test_an_edit_moves_the_revision_on_and_is_undone_and_done_again(window: TestClient) -> None:
    first = new(window)
    second = moves(window, first, {"do": "add", "place": "premises.walls", "value": WALL}, what="wall drawn").json()
    assert (second["revision"], second["undo"]) == (2, "wall drawn")
    third = window.post(f"/api/v1/jobs/{first['key']}/undo", json={"revision": 2}).json()
    assert third["revision"] == 3
    assert third["job"]["premises"] == first["job"]["premises"]
    assert third["redo"] == "wall drawn"
    fourth = window.post(f"/api/v1/jobs/{first['key']}/redo", json={"revision": 3}).json()
    assert fourth["job"] == second["job"]
    nothing = window.post(f"/api/v1/jobs/{first['key']}/redo", json={"revision": 4})
    assert nothing.status_code == 422
    assert nothing.json()["message"] == "there is nothing to do again"


def test_two_windows_never_overwrite_each_other_silently(window: TestClient) -> None:
    first = new(window)
    theirs = moves(window, first, {"do": "set", "place": "brief", "values": {"client": "theirs"}}).json()
    mine = moves(window, first, {"do": "set", "place": "brief", "values": {"client": "mine"}})
    assert mine.status_code == 409
    assert mine.json()["kind"] == "conflict"
    assert mine.json()["current"] == theirs, "both states are in the caller's hand"
    whole = window.put(f"/api/v1/jobs/{first['key']}", json={"revision": 1, "job": first["job"]})
    assert whole.status_code == 409
    assert window.request("DELETE", f"/api/v1/jobs/{first['key']}", params={"revision": 1}).status_code == 409


def test_a_removed_id_never_comes_back_as_something_else(window: TestClient) -> None:
    state = new(window)
    state = moves(window, state, {"do": "add", "place": "premises.walls", "value": WALL}).json()
    state = moves(window, state, {"do": "remove", "place": "premises.walls", "id": "w1"}).json()
    again = moves(window, state, {"do": "add", "place": "premises.walls", "value": WALL})
    assert again.status_code == 422
    assert "used before" in again.json()["message"]
    back = window.post(f"/api/v1/jobs/{state['key']}/undo", json={"revision": state["revision"]})
    assert [w["id"] for w in back.json()["job"]["premises"]["walls"]] == ["w1"], "undo brings the same wall back"


def test_what_was_recorded_on_site_survives_undo_and_cannot_be_edited_away(window: TestClient) -> None:
    state = new(window)
    state = moves(window, state, {"do": "add", "place": "premises.walls", "value": WALL}).json()
    note = {"id": "site-1", "date": "2026-11-25", "by": "Ann", "kind": "note", "text": "dry"}
    state = moves(window, state, {"do": "add", "place": "site", "value": note}).json()
    gone = moves(window, state, {"do": "remove", "place": "site", "id": "site-1"})
    assert gone.status_code == 422
    for _ in range(2):
        state = window.post(f"/api/v1/jobs/{state['key']}/undo", json={"revision": state["revision"]}).json()
    assert state["job"]["premises"]["walls"] == []
    assert [r["id"] for r in state["job"]["site"]] == ["site-1"]


def test_the_job_file_goes_out_and_in(window: TestClient) -> None:
    state = new(window)
    file = window.get(f"/api/v1/jobs/{state['key']}/file")
    assert file.headers["content-disposition"] == 'attachment; filename="a-house.json"'
    back = window.post("/api/v1/job-files", content=file.content)
    assert back.status_code == 201
    assert back.json()["job"] == state["job"]
    assert back.json()["key"] != state["key"]


def test_what_cannot_be_is_refused_in_words(window: TestClient) -> None:
    state = new(window)
    asked = moves(window, state, {"do": "add", "place": "premises.walls", "value": {**WALL, "thickness_m": -1}})
    assert asked.status_code == 422
    assert asked.json()["where"] == "premises.walls.0.thickness_m"
    assert window.get("/api/v1/jobs/nothing").json()["kind"] == "not found"
    for text in ('{"title": "\\ud800"}', "[" * 200_000, '{"title": 1e999}', "{", '{"job": {"format": NaN}}'):
        answer = window.post("/api/v1/jobs", content=text, headers={"Content-Type": "application/json"})
        assert 400 <= answer.status_code < 500, text[:20]
        assert answer.json()["message"]
    deep = window.post("/api/v1/job-files", content="[" * 200_000)
    assert deep.status_code == 422
    assert "nested too deeply" in deep.json()["message"]


def test_the_description_of_the_interface_is_served(window: TestClient) -> None:
    told = window.get("/api/v1/openapi.json").json()
    assert told["openapi"].startswith("3.1")
    assert json.dumps(told).count('"Refusal"') >= 1


def test_walls_drawn_become_a_room_and_devices_are_wired_by_the_usual_rules(window: TestClient) -> None:
    made = window.post("/api/v1/jobs", json={"title": "Drawn"}).json()
    asked = {
        "revision": 1,
        "what": "room drawn",
        "storey_id": "storey-1",
        "line": [[0, 0], [4, 0], [4, 3], [0, 3]],
        "closed": True,
        "thickness_m": 0.2,
        "inner": True,
    }
    drawn = window.post(f"/api/v1/jobs/{made['key']}/walls", json=asked).json()
    assert [r["name"] for r in drawn["job"]["premises"]["rooms"]] == ["Room 1"]
    assert drawn["undo"] == "room drawn"
    panel = {"id": "panel", "kind": "panel-8", "storey_id": "storey-1", "position": [0.1, 1]}
    moves = [{"do": "add", "place": "design.devices", "value": panel}]
    window.post(f"/api/v1/jobs/{made['key']}/moves", json={"revision": 2, "moves": moves}).json()
    wired = window.post(f"/api/v1/jobs/{made['key']}/wiring", json={"revision": 3}).json()
    assert [b["at"] for b in wired["job"]["design"]["backups"]] == ["panel"]
    crossed = window.post(f"/api/v1/jobs/{made['key']}/walls", json={**asked, "revision": 4, "line": [[0, 0], [1, 1]]})
    assert crossed.status_code == 422
    assert "three" in crossed.json()["message"]
