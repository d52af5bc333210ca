"""Killed at any moment, the server has lost no edit that it accepted, and kept none by halves."""

import http.client
import json
import multiprocessing
import random
import re
import signal
import threading
import time
import urllib.request
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from wardwright.web.serve import serve

KILLS = 200
"""How often the server is killed."""

forking = multiprocessing.get_context("forkserver")
forking.set_forkserver_preload(["wardwright.web.serve"])  # two hundred starts from nothing would take ten minutes


@dataclass(frozen=True)
class Running:
    process: Any
    base: str
    token: str
    pipe: Any
    """Held open: a server whose words nobody takes dies of it, and not of the kill."""


def run(folder: Path, pipe: Any) -> None:
    serve(store=folder / "jobs.sqlite", port=0, say=pipe.send)


def started(folder: Path) -> Running:
    """The real server in a process of its own; back when it listens."""
    here, there = forking.Pipe()
    process = forking.Process(target=run, args=(folder, there))
    process.start()
    there.close()
    assert here.poll(30)
    found = re.search(r"(http://[^/]+)/open\?token=(\S+)", here.recv())
    assert found
    return Running(process, found.group(1), found.group(2), here)


def call(server: Running, path: str, body: object = None) -> Any:
    request = urllib.request.Request(
        f"{server.base}/api/v1{path}",
        data=None if body is None else json.dumps(body).encode(),
        headers={"Authorization": f"Bearer {server.token}", "Content-Type": "application/json"},
    )
    with urllib.request.urlopen(request, timeout=20) as answer:
        return json.load(answer)


def test_no_accepted_edit_is_lost_in_two_hundred_kills(tmp_path: Path) -> None:
    """One hand edits as fast as it can, each edit one more numbered wall; another kills within a few edits' time."""
    rng = random.Random(20261125)
    server = started(tmp_path)
    key = call(server, "/jobs", {"title": "killed"})["key"]
    accepted = 0
    edits_before_kill = []
    pace = 0.03  # how long the first edit of a server takes: on a slow machine the kill waits longer
    for _ in range(KILLS):
        timer = threading.Timer(rng.uniform(0.001, 3.0 * pace), server.process.kill)
        begun = accepted
        state = call(server, f"/jobs/{key}")
        asked = accepted
        timer.start()
        begun_at = time.perf_counter()
        try:
            while True:
                asked = accepted + 1
                wall = {
                    "id": f"w{asked}",
                    "storey_id": "storey-1",
                    "axis": [[0, asked], [4, asked]],
                    "thickness_m": 0.3,
                }
                move = {"do": "add", "place": "premises.walls", "value": wall}
                state = call(server, f"/jobs/{key}/moves", {"revision": state["revision"], "moves": [move]})
                accepted = asked
                if accepted == begun + 1:
                    pace = time.perf_counter() - begun_at
        except (OSError, http.client.HTTPException, json.JSONDecodeError, EOFError):
            pass
        timer.join()
        server.process.join(20)
        assert server.process.exitcode == -signal.SIGKILL
        edits_before_kill.append(accepted - begun)
        pace *= 1.3 if accepted == begun else 1.0
        server = started(tmp_path)
        state = call(server, f"/jobs/{key}")
        walls = [w["id"] for w in state["job"]["premises"]["walls"]]
        there = len(walls)
        assert walls == [f"w{i}" for i in range(1, there + 1)], "nothing by halves, nothing twice"
        assert accepted <= there <= asked, f"accepted {accepted}, asked {asked}, found {there}"
        assert state["revision"] == there + 1
        accepted = there
    server.process.kill()
    server.process.join(20)
    print(f"{KILLS} kills, {accepted} edits, {sum(n > 0 for n in edits_before_kill)} kills amid edits")
    assert sum(n > 0 for n in edits_before_kill) > KILLS / 3
