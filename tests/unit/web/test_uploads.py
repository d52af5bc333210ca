"""Uploads: read in a process of their own; what is hostile is refused in words and nothing else is touched."""

import io
import json
import struct
import zipfile
import zlib
from pathlib import Path

import pytest
from PIL import Image
from starlette.testclient import TestClient

from wardwright.web import sandbox

PLAN = json.dumps({"name": "x"}).encode()
TAPE = Path(__file__).resolve().parents[3] / "demo" / "terrace.tape.txt"


def refused(window: TestClient, content: bytes, name: str, status: int = 422) -> str:
    answer = window.post("/api/v1/buildings", content=content, params={"name": name})
    assert answer.status_code == status, answer.text
    assert window.get("/api/v1/jobs").json() == []
    message: str = answer.json()["message"]
    assert len(message) > 10
    assert "Traceback" not in message
    return message


def test_a_tape_survey_becomes_a_job_with_its_guesses(window: TestClient) -> None:
    answer = window.post("/api/v1/buildings", content=TAPE.read_bytes(), params={"name": "terrace.tape.txt"})
    assert answer.status_code == 201, answer.text
    state = answer.json()
    assert state["job"]["premises"]["rooms"]
    again = window.put(
        f"/api/v1/jobs/{state['key']}/building",
        content=TAPE.read_bytes(),
        params={"name": "terrace.tape.txt", "revision": state["revision"]},
    )
    assert again.status_code == 200, again.text


def test_a_packed_file_that_unpacks_to_far_too_much(window: TestClient) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("house.ifc", b"\0" * (sandbox.UNPACKED_BYTES + 1))
    assert len(out.getvalue()) < 1_000_000
    assert "unpacks to" in refused(window, out.getvalue(), "house.ifczip")


def test_a_packed_file_that_lies_about_its_size(window: TestClient) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("house.ifc", b"\0" * (sandbox.UNPACKED_BYTES + 1))
    raw = bytearray(out.getvalue())
    true, small = struct.pack("<I", sandbox.UNPACKED_BYTES + 1), struct.pack("<I", 1000)
    assert raw.count(true) >= 2
    refused(window, bytes(raw.replace(true, small)), "house.ifczip")


def test_a_building_cut_short(window: TestClient) -> None:
    refused(window, b"ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nENDSEC;\nDATA;\n#1=IFCPROJ", "house.ifc")


def test_a_drawing_of_far_too_many_lines(window: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sandbox, "WALL_S", 2)
    line = "0\nLINE\n8\n0\n10\n{0}\n20\n0\n11\n{0}\n21\n5\n"
    body = "".join(line.format(i) for i in range(400_000))
    drawing = f"0\nSECTION\n2\nENTITIES\n{body}0\nENDSEC\n0\nEOF\n".encode()
    assert "took more than 2 s" in refused(window, drawing, "huge.dxf")


def test_json_nested_far_too_deep(window: TestClient) -> None:
    refused(window, b"[" * 5_000_000, "deep.json")


@pytest.mark.parametrize(
    ("content", "name"),
    [
        (b"MZ\x90\x00\x03\x00\x00\x00\x04\x00", "house.ifc"),
        (b"%PDF-1.7\n", "house.dxf"),
        (b"\x89PNG\r\n\x1a\n", "plan.json"),
        (b"", "nothing.ifc"),
        (b"hello", "house.json"),
        (PLAN, "../../../../etc/passwd"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", "\x00‮plan.ifc"),
    ],
)
def test_what_is_not_a_building(window: TestClient, content: bytes, name: str) -> None:
    refused(window, content, name)


def storey(window: TestClient) -> tuple[str, str]:
    state = window.post("/api/v1/jobs", json={"title": "x"}).json()
    return state["key"], state["job"]["premises"]["storeys"][0]["id"]


def photograph() -> bytes:
    """A picture that says where it was taken, turned by its orientation mark."""
    picture = Image.new("RGB", (40, 20), "white")
    exif = picture.getexif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 28.0, 40.0), 3: "W", 4: (0.0, 0.0, 5.0)})
    exif[0x010F] = "a camera"
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif, comment=b"taken at home")
    return out.getvalue()


def test_a_photograph_loses_where_it_was_taken(window: TestClient) -> None:
    key, ground = storey(window)
    taken = photograph()
    assert b"Exif" in taken
    put = window.put(f"/api/v1/jobs/{key}/pictures", content=taken, params={"name": "plan.jpg"})
    assert put.status_code == 200, put.text
    assert (put.json()["width_px"], put.json()["height_px"]) == (20, 40), "turned as it was held"
    kept = window.get(f"/api/v1/jobs/{key}/pictures/{put.json()['picture']}")
    assert kept.headers["content-type"] == "image/png"
    with Image.open(io.BytesIO(kept.content)) as picture:
        assert dict(picture.getexif()) == {}
        assert picture.info == {}
    assert b"camera" not in kept.content
    assert b"home" not in kept.content
    again = window.put(f"/api/v1/jobs/{key}/pictures", content=taken, params={"name": "plan.jpg"})
    assert again.json() == put.json(), "the same picture is kept once"
    underlay = {"id": "underlay-1", "storey_id": ground, **put.json(), "metres_per_pixel": 0.02, "x_m": 1.5}
    move = {"do": "add", "place": "underlays", "value": underlay}
    laid = window.post(f"/api/v1/jobs/{key}/moves", json={"revision": 1, "what": "picture laid", "moves": [move]})
    assert laid.json()["job"]["underlays"][0]["x_m"] == 1.5
    undone = window.post(f"/api/v1/jobs/{key}/undo", json={"revision": laid.json()["revision"]})
    assert undone.json()["job"]["underlays"] == []
    assert window.get(f"/api/v1/jobs/{key}/pictures/{'0' * 24}").status_code == 404


def bomb() -> bytes:
    """A PNG of 60 000 x 60 000 pixels in a few bytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 1, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (bomb(), "million pixels"),
        (photograph()[:300], "damaged"),
        (b"%PDF-1.7\n1 0 obj <<", "damaged"),
        (b"GIF89a", "no PDF and no PNG"),
    ],
)
def test_what_is_not_a_picture(window: TestClient, content: bytes, says: str) -> None:
    key, _ = storey(window)
    put = window.put(f"/api/v1/jobs/{key}/pictures", content=content)
    assert put.status_code == 422
    assert says in put.json()["message"]
    assert window.get(f"/api/v1/jobs/{key}").json()["revision"] == 1


@pytest.mark.parametrize("module", ["numpy.py", "json.py", "wardwright.py", "sitecustomize.py", "zipfile.py"])
def test_an_upload_is_never_run(window: TestClient, tmp_path: Path, module: str) -> None:
    trace = tmp_path / "run"
    refused(window, f"open({str(trace)!r}, 'w').close()\n".encode(), module)
    assert not trace.exists()


@pytest.mark.real
@pytest.mark.parametrize("name", ["house-fzk.ifc", "bungalow-floorplan.dxf", "duplex-architecture.ifc"])
def test_real_files_come_in_under_the_limits(window: TestClient, shared_premises: Path, name: str) -> None:
    content = (shared_premises / name).read_bytes()
    answer = window.post("/api/v1/buildings", content=content, params={"name": name})
    assert answer.status_code == 201, answer.text
    assert len(answer.json()["job"]["premises"]["rooms"]) >= 5
