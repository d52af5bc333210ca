"""Who is let in, in real browsers: not a page of another origin, not a rebound name; a second profile by a code."""

import os
import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect
from tests.browser.conftest import FLAGS, Workbench

from wardwright.web.door import Door
from wardwright.web.serve import door_file

pytestmark = pytest.mark.browser
ROOT = Path(__file__).resolve().parents[2]
PASSWORD = "four words do nicely"
TRIES = """async address => {
    const found = {};
    const asked = async (name, work) => { try { found[name] = await work(); } catch (e) { found[name] = 'refused'; } };
    const json = {'Content-Type': 'application/json'};
    await asked('read', async () => (await (await fetch(address + '/api/v1/jobs', {credentials: 'include'})).text()));
    await asked('blind', async () => (await fetch(address + '/api/v1/jobs', {method: 'POST', mode: 'no-cors',
        credentials: 'include', body: '{"title": "theirs"}'})).type);
    await asked('json', async () => (await fetch(address + '/api/v1/jobs', {method: 'POST', credentials: 'include',
        headers: json, body: '{"title": "theirs"}'})).type);
    await asked('live', () => new Promise((yes, no) => {
        const socket = new WebSocket(address.replace('http', 'ws') + '/api/v1/jobs/x/live');
        socket.onopen = () => yes('open'); socket.onerror = () => no();
    }));
    const form = document.createElement('form');
    form.method = 'post'; form.action = address + '/api/v1/jobs'; form.enctype = 'text/plain'; form.target = 'hidden';
    form.innerHTML = '<input name=\\'{"title": "theirs", "x": "\\' value=\\'"}\\'>';
    document.body.append(form); form.submit();
    await new Promise(done => setTimeout(done, 500));
    return found;
}"""


@pytest.fixture
def elsewhere() -> Iterator[str]:
    """A page of another origin on this very machine: the nearest an attacker gets to our cookies."""

    class Page(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            content = b"<!doctype html><title>Elsewhere</title><body><iframe name=hidden></iframe>"
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Page)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def test_a_page_of_another_origin_reads_nothing_and_changes_nothing(
    chrome: Browser, workbench: Workbench, elsewhere: str
) -> None:
    context = chrome.new_context()
    ours = context.new_page()
    ours.goto(workbench.link)
    ours.get_by_role("heading", name="Begin a job").wait_for()
    theirs = context.new_page()
    theirs.goto(elsewhere)
    found = theirs.evaluate(TRIES, workbench.address)
    blind = found.pop("blind")
    assert blind in ("opaque", "refused"), "sent without a look at the answer; what counts is that nothing came of it"
    assert found == {"read": "refused", "json": "refused", "live": "refused"}
    assert ours.evaluate("async () => (await fetch('/api/v1/jobs')).json()") == []
    theirs.set_content(f"<iframe src='{workbench.address}/'></iframe>")
    theirs.wait_for_timeout(500)
    assert "Begin a job" not in (theirs.frames[1].content() if len(theirs.frames) > 1 else "")
    context.close()


def test_a_rebound_name_is_turned_away(playwright_here: Playwright, chromium: str, workbench: Workbench) -> None:
    rules = "--host-resolver-rules=MAP rebound.example 127.0.0.1"
    browser = playwright_here.chromium.launch(executable_path=chromium, args=[*FLAGS, rules])
    page = browser.new_page()
    port = workbench.address.rsplit(":", 1)[1]
    answer = page.goto(f"http://rebound.example:{port}/open?token={workbench.token}")
    assert answer is not None
    assert answer.status == 403
    assert "does not go by that name" in page.content()
    browser.close()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux answers on 127.0.0.2 by itself")
def test_a_second_profile_is_paired_over_tls_by_a_code_that_is_good_once(chrome: Browser, tmp_path: Path) -> None:
    Door(door_file(tmp_path / "jobs.sqlite")).set_password(PASSWORD)
    command = (sys.executable, "-c", "from wardwright.cli import main; main()", "serve", "--port", "0")
    process = subprocess.Popen(
        [*command, "--store", str(tmp_path / "jobs.sqlite"), "--address", "127.0.0.2"],
        env=os.environ | {"PYTHONPATH": str(ROOT / "src")},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    try:
        said = process.stdout.readline()
        found = re.search(r"https://\S+", said)
        assert found, said
        address = found.group()
        # The certificate is the machine's own; the tests of the server judge it with OpenSSL.
        office = chrome.new_context(ignore_https_errors=True)
        tablet = chrome.new_context(ignore_https_errors=True, viewport={"width": 820, "height": 1180}, has_touch=True)
        desk = office.new_page()
        desk.goto(address)
        desk.get_by_label("Password").fill(PASSWORD)
        desk.get_by_role("button", name="Sign in").click()
        desk.get_by_label("Name of the job").fill("Shared house")
        desk.get_by_role("button", name="Draw it").click()
        desk.get_by_role("heading", name="Shared house").wait_for()
        desk.goto(address)
        desk.get_by_text("Pair a tablet or phone").click()
        desk.get_by_role("button", name="Make a code").click()
        code = desk.get_by_label("Code", exact=True).inner_text()
        expect(desk.get_by_role("img", name="Square to point the camera at")).to_be_visible()

        hand = tablet.new_page()
        hand.goto(address)
        expect(hand.get_by_label("Password")).to_be_visible()
        paired(hand, address, code)
        expect(hand.get_by_role("link", name="Shared house")).to_be_visible()
        third = chrome.new_context(ignore_https_errors=True)
        late = third.new_page()
        paired(late, address, code)
        expect(late.get_by_role("alert")).to_contain_text("used before")
        for context in (office, tablet, third):
            context.close()
    finally:
        process.terminate()
        process.wait(20)
        process.stdout.close()


def paired(page: Page, address: str, code: str) -> None:
    page.goto(f"{address}/pair")
    page.get_by_label("Code").fill(code)
    page.get_by_label("Name of this device").fill("Ann’s tablet (invented)")
    page.get_by_role("button", name="Pair").click()
