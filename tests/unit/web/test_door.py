"""Beyond this machine: sign in, pair by a code that is good once, be thrown out, and do not guess."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from wardwright.errors import InputError
from wardwright.storage.store import Store
from wardwright.web.app import gated, make_app
from wardwright.web.certificate import certificate_for, private_address
from wardwright.web.door import TRIES, Door
from wardwright.web.entrance import Entrance
from wardwright.web.gate import Keys

HOST = "192.168.1.20:8765"
BASE = f"https://{HOST}"
PASSWORD = "four words do nicely"


@pytest.fixture(scope="module")
def password_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("door") / "door.json"
    Door(place).set_password(PASSWORD)
    return place


@pytest.fixture
def house(tmp_path: Path, password_file: Path) -> Iterator[TestClient]:
    """Somebody on the network who has not signed in."""
    place = tmp_path / "door.json"
    place.write_bytes(password_file.read_bytes())
    door = Door(place)
    entrance = Entrance(door, certificate_for(private_address("192.168.1.20"), tmp_path / "certificate"), BASE)
    keys = Keys(launch_token=None, door=door)
    app = make_app(Store.at(tmp_path / "jobs.sqlite"), keys=keys, entrance=entrance)
    with TestClient(
        gated(app, keys=keys, hosts=(HOST,), secure=True),
        base_url=BASE,
        headers={"Origin": BASE},
        follow_redirects=False,
    ) as client:
        yield client


def sign_in(client: TestClient, password: str = PASSWORD) -> int:
    return client.post("/sign-in", data={"password": password}).status_code


def test_before_the_door_there_is_nothing_of_any_job(house: TestClient) -> None:
    assert house.get("/api/v1/jobs").status_code == 401
    assert house.get("/").headers["location"] == "/sign-in"
    assert house.get("/open", params={"token": "None"}).status_code == 303
    assert house.post("/api/v1/pairings").status_code == 401
    assert house.get("/api/v1/jobs", headers={"Authorization": "Bearer None"}).status_code == 401
    for page in ("/sign-in", "/pair", "/trust", "/door.css", "/trust/wardwright.crt"):
        assert house.get(page).status_code == 200, page


def test_the_password_lets_in_and_signing_out_ends_it(house: TestClient) -> None:
    assert sign_in(house, "something else entirely") == 401
    assert house.get("/api/v1/jobs").status_code == 401
    answer = house.post("/sign-in", data={"password": PASSWORD})
    assert answer.status_code == 303
    cookie = answer.headers["set-cookie"]
    assert cookie.startswith("__Host-wardwright=")
    assert {"HttpOnly", "Secure", "SameSite=strict"} <= {part.strip() for part in cookie.split(";")}
    assert house.get("/api/v1/jobs").json() == []
    assert house.delete("/api/v1/session").status_code == 204
    assert house.get("/api/v1/jobs").status_code == 401


def test_a_form_on_another_site_cannot_sign_anybody_in(house: TestClient) -> None:
    for origin in ("https://evil.example", "null", f"http://{HOST}"):
        assert house.post("/sign-in", data={"password": PASSWORD}, headers={"Origin": origin}).status_code == 403
    del house.headers["Origin"]
    assert sign_in(house) == 403


def test_a_code_pairs_one_device_once_and_it_can_be_thrown_out(house: TestClient) -> None:
    sign_in(house)
    pairing = house.post("/api/v1/pairings").json()
    assert pairing["address"] == BASE
    assert pairing["qr_svg"].startswith("<svg")
    assert "style=" not in pairing["qr_svg"]
    office = dict(house.cookies)
    house.cookies.clear()
    form = {"code": pairing["code"].lower().replace("-", " "), "name": "Ann's tablet <script>"}
    paired = house.post("/pair", data=form)
    assert paired.status_code == 303
    assert "Max-Age" in paired.headers["set-cookie"]
    assert house.get("/api/v1/jobs").json() == []
    tablet = dict(house.cookies)
    house.cookies.clear()
    assert house.post("/pair", data=form).status_code == 401, "good once"
    house.cookies.update(office)
    (device,) = house.get("/api/v1/devices").json()
    assert device["name"] == "Ann's tablet <script>"
    assert house.delete(f"/api/v1/devices/{device['id']}").status_code == 204
    house.cookies.clear()
    house.cookies.update(tablet)
    assert house.get("/api/v1/jobs").status_code == 401


def test_a_paired_device_stays_paired_when_the_server_starts_again(tmp_path: Path, password_file: Path) -> None:
    place = tmp_path / "door.json"
    place.write_bytes(password_file.read_bytes())
    door = Door(place)
    key = door.pair(door.new_code(), "tablet", today="2026-11-25")
    assert key is not None
    assert Door(place).knows(key)
    assert key not in place.read_text()
    assert PASSWORD not in place.read_text()
    assert "$argon2id$" in place.read_text()


def test_guessing_is_stopped(house: TestClient) -> None:
    sign_in(house)
    code = house.post("/api/v1/pairings").json()["code"]
    house.cookies.clear()
    answers = [house.post("/pair", data={"code": f"AAAAAAA{i}", "name": "x"}).status_code for i in range(2, 2 + TRIES)]
    assert answers == [401] * (TRIES - 1) + [429]
    assert house.post("/pair", data={"code": code, "name": "x"}).status_code in (401, 429), "every code is void"
    assert [sign_in(house, "wrong wrong wrong") for _ in range(TRIES)] == [401] * TRIES
    assert sign_in(house) == 429, "even the right one has to wait"


def test_a_code_is_too_old_after_five_minutes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    door = Door(tmp_path / "door.json")
    now = [0.0]
    monkeypatch.setattr("wardwright.web.door.time.monotonic", lambda: now[0])
    code = door.new_code()
    now[0] = 301.0
    assert door.pair(code, "late", today="2026-11-25") is None


def test_what_was_typed_is_shown_as_text(house: TestClient) -> None:
    page = house.get("/pair", params={"code": '"><script>alert(1)</script>'}).text
    assert "<script" not in page


def test_a_short_password_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="12 characters"):
        Door(tmp_path / "door.json").set_password("short")


def test_on_this_machine_alone_there_is_no_door(window: TestClient) -> None:
    assert window.get("/sign-in").status_code == 404
    assert window.post("/api/v1/pairings").status_code == 404
