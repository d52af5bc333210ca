"""The workbench in a real browser: a server of its own for each test, Debian's Chromium, no request beyond it."""

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from demo.served import served
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright
from tests.browser.first_session import until
from tests.house import design, house

from wardwright.job.model import Job
from wardwright.storage.store import Store
from wardwright.web.app import STATIC

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


INSIDE = ("chrome-extension:", "chrome:")
"""The browser's own pages, its PDF reader among them: nothing leaves the machine for them."""


@dataclass
class Workbench:
    """A running server."""

    address: str
    token: str
    store: Path

    @property
    def link(self) -> str:
        return f"{self.address}/open?token={self.token}"


@pytest.fixture(scope="session")
def chromium() -> str:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("no Chromium on the PATH: install Debian's package chromium to run the browser tests")
    if not (STATIC / "index.html").is_file():
        pytest.skip("the workbench's pages are not built: run ./dev frontend first")
    return found


@pytest.fixture(scope="session")
def playwright_here() -> Iterator[Playwright]:
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def chrome(playwright_here: Playwright, chromium: str) -> Iterator[Browser]:
    browser = playwright_here.chromium.launch(executable_path=chromium, args=FLAGS)
    yield browser
    browser.close()


@pytest.fixture
def workbench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Workbench]:
    monkeypatch.setenv("WARDWRIGHT_FIRM", str(tmp_path / "firm"))
    store = tmp_path / "jobs.sqlite"
    with served(Store.at(store)) as (address, token):
        yield Workbench(address, token, store)


def watched(context: BrowserContext, address: str, faults: list[str]) -> None:
    """Note every error of a page, and every request that would leave this machine."""

    def of_page(page: Page) -> None:
        page.on("pageerror", lambda error: faults.append(f"error: {error}"))
        page.on("console", lambda said: faults.append(f"console: {said.text}") if said.type == "error" else None)

    context.on("page", of_page)
    context.on(
        "request",
        lambda asked: (
            None
            if asked.url.startswith((address, "data:", "blob:", *INSIDE, address.replace("http", "ws", 1)))
            else faults.append(f"leaves this machine: {asked.url}")
        ),
    )


@pytest.fixture
def faults() -> Iterator[list[str]]:
    found: list[str] = []
    yield found
    assert not [f for f in found if "status of 4" not in f and "status of 5" not in f], found


@pytest.fixture
def page(chrome: Browser, workbench: Workbench, faults: list[str]) -> Iterator[Page]:
    """A window on the workbench, a tablet in landscape."""
    context = chrome.new_context(viewport={"width": 1180, "height": 820}, reduced_motion="reduce")  # type: ignore[arg-type]
    context.set_default_timeout(15_000)
    watched(context, workbench.address, faults)
    window = context.new_page()
    window.goto(workbench.link)
    yield window
    context.close()


def plan_pixel(page: Page, at: tuple[float, float]) -> tuple[float, float]:
    """Where a point of the plan is on the page."""
    x, y = page.evaluate("at => window.__plan.pixelAt(at)", list(at))
    return float(x), float(y)


def state_of(page: Page) -> dict[str, Any]:
    """The job in sight and its revision, as the server has them."""
    asked = "async () => (await fetch('/api/v1/jobs/' + location.hash.split('/')[2])).json()"
    return dict(page.evaluate(asked))


def job_of(page: Page) -> dict[str, Any]:
    """The job in sight, as the server has it."""
    return dict(state_of(page)["job"])


def take_in(page: Page, job: dict[str, Any], stage: str = "survey") -> str:
    """Put a whole job into the store and open it; its key."""
    post = """async job => (await (await fetch('/api/v1/jobs', {method: 'POST', body: JSON.stringify({job}),
        headers: {'Content-Type': 'application/json'}})).json()).key"""
    key = str(page.evaluate(post, job))
    page.goto(f"{page.url.split('#')[0]}#/job/{key}/{stage}")
    until(page, "window.__plan?.storey && window.__plan.map.getSize()?.[0] > 200")
    return key


def at(page: Page, stage: str, place: str = "") -> None:
    """Go to a stage of the job in sight, and to a place within it."""
    base, _, _ = page.url.partition("#")
    key = page.url.split("/job/")[1].split("/")[0]
    page.goto(f"{base}#/job/{key}/{stage}{'/' + place if place else ''}")


def house_job() -> dict[str, Any]:
    """The invented house of the tests, with its design."""
    job = Job(id="house", title="Invented house", premises=house(), design=design(), invented=True)
    return dict(job.model_dump(mode="json"))
