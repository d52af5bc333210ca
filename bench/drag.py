"""A detector dragged in the workbench: from the pointer's event to the frame that shows its map, in headless Chromium.

The clock of both ends is the page's own: the event's time stamp, and the first task after the frame that holds the map.
"""

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from bench.table import Row

STEPS = 150
STEP_MS = 1000 / 60
MEDIAN_MS, P95_MS = 33.0, 50.0
PROOF_S = 1.0
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
JOB = "await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2])).json()"
PROOF = "await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2] + '/proof')).json()"
WATCH = """() => {
    const held = window.__drag = {asked: [], shown: []};
    let event = 0;
    for (const kind of ['pointermove', 'pointerrawupdate']) {
        addEventListener(kind, e => { event = e.timeStamp; }, true);
    }
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (message, ...rest) {
        if (message.say) held.asked.push([JSON.parse(message.say).n, event]);
        return post.call(this, message, ...rest);
    };
    let last = 0;
    const after = new MessageChannel();
    after.port2.onmessage = e => held.shown.push([e.data, performance.now()]);
    window.__plan.map.on('postrender', () => {
        const painted = window.__plan.painted;
        if (painted.n > last) { last = painted.n; after.port1.postMessage(painted.n); }
    });
}"""


def latencies(asked: list[list[float]], shown: list[list[float]]) -> list[float]:
    """From each painted map back to the event it answers. [ms]"""
    when = {int(n): at for n, at in asked}
    return [at - when[int(n)] for n, at in shown if int(n) in when]


def rows() -> list[Row]:
    """Measure."""
    chromium = shutil.which("chromium")
    from wardwright.web.app import STATIC

    if chromium is None or not (STATIC / "index.html").is_file():
        return [Row("workbench: dragging a detector; needs Chromium and ./dev frontend", "not measured")]
    with tempfile.TemporaryDirectory() as folder:
        os.environ.setdefault("WARDWRIGHT_FIRM", str(Path(folder) / "firm"))
        return _measured(chromium, Path(folder))


def _measured(chromium: str, folder: Path) -> list[Row]:
    from demo.orchard_lane_job import orchard_lane_job
    from playwright.sync_api import sync_playwright

    from wardwright.storage.store import Store

    store = Store.at(folder / "jobs.sqlite")
    kept = store.add(orchard_lane_job())
    with _serving(folder / "jobs.sqlite") as (address, token), sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        page = browser.new_page(viewport={"width": 1180, "height": 820})
        page.goto(f"{address}/open?token={token}")
        page.goto(f"{address}/#/job/{kept.key}/design")
        dragged = _dragged(page, kept.job)
        browser.close()
    return dragged


@contextmanager
def _serving(store: Path) -> Iterator[tuple[str, str]]:
    """The command itself in a process of its own, as people have it: its address, and the token that opens it."""
    command = [sys.executable, "-c", "from wardwright.cli import main; main()", "serve", "--port", "0", "--store"]
    process = subprocess.Popen([*command, str(store)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    try:
        found = re.search(r"(http://[^/\s]+)/open\?token=(\S+)", process.stdout.readline())
        if found is None:
            raise RuntimeError("the workbench did not open")
        yield found[1], found[2]
    finally:
        process.terminate()
        process.wait(20)


def _dragged(page: Any, job: Any) -> list[Row]:
    device = next(d for d in job.design.devices if d.kind.startswith("pir"))
    _until(page, f"window.__plan?.pixelOf && window.__plan.pixelOf('{device.id}') !== null", 60)
    _until(page, f"async () => ({PROOF}).state === 'done'", 300)
    x, y = page.evaluate("id => window.__plan.pixelOf(id)", device.id)
    for way in (1, -1):  # once to warm up, once to measure
        if way == -1:
            page.evaluate(WATCH)
        page.mouse.move(x, y)
        page.mouse.down()
        begin = time.perf_counter()
        for n in range(1, STEPS + 1):
            page.mouse.move(x + way * 0.4 * n, y)
            time.sleep(max(0.0, begin + n * STEP_MS / 1000 - time.perf_counter()))
        page.wait_for_timeout(600)
        if way == -1:
            seen = page.evaluate("window.__drag")
        let_go = time.perf_counter()
        page.mouse.up()
        page.wait_for_timeout(60)
        _until(page, "!Object.keys(localStorage).some(k => k.startsWith('wardwright-waiting'))", 10)
        wanted = page.evaluate(
            "async () => (await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2])).json()).revision"
        )
        _until(
            page,
            f"async () => {{ const p = {PROOF}; return p.state === 'done' && p.revision === {wanted} }}",
            60,
        )
        proved = time.perf_counter() - let_go
        x, y = page.evaluate("id => window.__plan.pixelOf(id)", device.id)
    taken = sorted(latencies(seen["asked"], seen["shown"]))
    median, p95 = statistics.median(taken), taken[min(len(taken) - 1, int(0.95 * len(taken)))]
    name = f"workbench: {device.id} dragged, {len(taken)} maps shown"
    return [
        Row(f"{name}, median", f"{median:.0f} ms", f"{MEDIAN_MS:.0f} ms", f"{median / MEDIAN_MS:.2f} ×", "two frames"),
        Row(f"{name}, 95 %", f"{p95:.0f} ms", f"{P95_MS:.0f} ms", f"{p95 / P95_MS:.2f} ×", "three frames"),
        Row("workbench: whole proof after letting go", f"{proved:.2f} s", f"{PROOF_S:.0f} s", f"{proved:.2f} ×", "1 s"),
    ]


def _until(page: Any, asked: str, seconds: float) -> None:
    end = time.monotonic() + seconds
    while not page.evaluate(asked):
        if time.monotonic() > end:
            raise RuntimeError(f"never came: {asked}")
        page.wait_for_timeout(20)
