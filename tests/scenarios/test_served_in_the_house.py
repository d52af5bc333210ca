"""On a second address of this machine: TLS judged by OpenSSL, password, and a second client paired by a code."""

import asyncio
import hashlib
import json
import os
import re
import ssl
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx2
import pytest
import websockets

from wardwright.web.door import Door
from wardwright.web.serve import door_file

ROOT = Path(__file__).resolve().parents[2]
COMMAND = (sys.executable, "-c", "from wardwright.cli import main; main()", "serve", "--port", "0")
PASSWORD = "four words do nicely"


@dataclass(frozen=True)
class Serving:
    base: str
    lines: list[str]


@contextmanager
def serving(folder: Path, *options: str) -> Iterator[Serving]:
    """The command itself, in a process of its own."""
    process = subprocess.Popen(
        [*COMMAND, "--store", str(folder / "jobs.sqlite"), *options],
        env=os.environ | {"PYTHONPATH": str(ROOT / "src"), "WARDWRIGHT_CACHE": "off"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert process.stdout is not None
    try:
        lines = [process.stdout.readline()]
        found = re.search(r"https?://[^/\s]+", lines[0])
        assert found, lines[0] + process.stdout.read()
        while "Stop with" not in lines[-1]:
            lines.append(process.stdout.readline())
        yield Serving(found.group(), lines)
    finally:
        process.terminate()
        assert process.wait(20) in (0, -15)
        process.stdout.close()


def client(base: str, trust: ssl.SSLContext | bool) -> httpx2.Client:
    return httpx2.Client(base_url=base, verify=trust, headers={"Origin": base}, timeout=30)


def test_beyond_this_machine_nothing_runs_without_a_password(tmp_path: Path) -> None:
    done = subprocess.run(
        [*COMMAND, "--address", "127.0.0.2", "--store", str(tmp_path / "jobs.sqlite")],
        env=os.environ | {"PYTHONPATH": str(ROOT / "src")},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 2
    assert "wardwright password" in done.stderr


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux answers on 127.0.0.2 by itself")
def test_office_and_tablet(tmp_path: Path) -> None:
    Door(door_file(tmp_path / "jobs.sqlite")).set_password(PASSWORD)
    with serving(tmp_path, "--address", "127.0.0.2") as server:
        assert server.base.startswith("https://127.0.0.2:")
        with pytest.raises(httpx2.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
            client(server.base, True).get("/trust")
        with pytest.raises(httpx2.HTTPError):
            client(server.base.replace("https", "http"), True).get("/")

        # the first visit: the warning is passed over once, the fingerprint compared with the one on the screen
        with client(server.base, False) as first:
            authority = first.get("/trust/wardwright.crt").content
            assert first.get("/api/v1/jobs").status_code == 401
        digest = hashlib.sha256(authority).hexdigest().upper()
        printed = ":".join(digest[i : i + 2] for i in range(0, 64, 2))
        assert any(printed in line for line in server.lines)

        trust = ssl.create_default_context(cadata=authority)
        with client(server.base, trust) as office, client(server.base, trust) as tablet:
            assert office.post("/sign-in", data={"password": PASSWORD}).status_code == 303
            made = office.post("/api/v1/jobs", json={"title": "A house"}).json()
            pairing = office.post("/api/v1/pairings").json()
            assert pairing["fingerprint"] == printed
            assert tablet.get("/api/v1/jobs").status_code == 401
            paired = tablet.post("/pair", data={"code": pairing["code"], "name": "tablet"})
            assert paired.status_code == 303
            assert [line["key"] for line in tablet.get("/api/v1/jobs").json()] == [made["key"]]
            cookies = "; ".join(f"{name}={value}" for name, value in tablet.cookies.items())
            told = asyncio.run(edited_elsewhere(server.base, made["key"], trust, cookies, office))
            assert told == {"kind": "changed", "revision": 2}
            stale = tablet.post(f"/api/v1/jobs/{made['key']}/undo", json={"revision": 1})
            assert stale.status_code == 409

    with serving(tmp_path, "--address", "127.0.0.2") as server, client(server.base, trust) as tablet:
        tablet.headers["Cookie"] = re.sub(r"wardwright-\d+", f"wardwright-{server.base.rsplit(':', 1)[1]}", cookies)
        assert len(tablet.get("/api/v1/jobs").json()) == 1, "still paired, still trusted"


async def edited_elsewhere(base: str, key: str, trust: ssl.SSLContext, cookies: str, office: httpx2.Client) -> Any:
    """The tablet listens; the office edits."""
    address = f"{base.replace('https', 'wss')}/api/v1/jobs/{key}/live"
    async with websockets.connect(
        address, ssl=trust, origin=websockets.Origin(base), additional_headers={"Cookie": cookies}
    ) as channel:
        move = {"do": "set", "place": "brief", "values": {"client": "Ann"}}
        asked = {"revision": 1, "moves": [move]}
        answer = await asyncio.to_thread(office.post, f"/api/v1/jobs/{key}/moves", json=asked)
        assert answer.status_code == 200
        return json.loads(await asyncio.wait_for(channel.recv(), 20))
