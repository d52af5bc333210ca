"""axe-core, its rules for WCAG 2.2 AA: nothing on any page, light and dark, desktop and a phone 360 px wide."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from tests.browser.conftest import Workbench, house_job, take_in, watched
from tests.browser.first_session import until

pytestmark = pytest.mark.browser
AXE = Path(__file__).resolve().parents[2] / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
RUN = """async () => (await axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']}))
    .violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.target.join(' ') + ' ' + (n.failureSummary || '')))"""
SIZES = {"desktop": (1280, 900), "phone": (360, 740)}


def found(page: Page) -> list[str]:
    page.evaluate(AXE.read_text())
    return list(page.evaluate(RUN))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", list(SIZES))
def test_axe_finds_nothing(chrome: Browser, workbench: Workbench, faults: list[str], scheme: str, size: str) -> None:
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: run ./dev frontend first")
    width, height = SIZES[size]
    context = chrome.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)  # type: ignore[arg-type]
    watched(context, workbench.address, faults)
    page = context.new_page()
    page.goto(workbench.link)
    page.get_by_role("heading", name="Begin a job").wait_for()
    assert found(page) == []
    key = take_in(page, house_job())
    page.locator("details summary").evaluate_all("all => all.forEach(s => s.parentElement.open = true)")
    page.get_by_role("button", name="Front door").first.click()
    page.get_by_role("heading", name="Front door").wait_for()
    assert found(page) == []
    assert narrow(page)
    for stage in ("design", "proof", "papers"):
        page.goto(f"{page.url.split('#')[0]}#/job/{key}/{stage}")
        page.locator("h2").first.wait_for()
        page.locator("details summary").evaluate_all("all => all.forEach(s => s.parentElement.open = true)")
        assert found(page) == [], stage
        assert narrow(page), stage
    context.close()


def narrow(page: Page) -> bool:
    """Whether nothing is wider than the window."""
    until(page, "document.readyState === 'complete'")
    return bool(page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"))
