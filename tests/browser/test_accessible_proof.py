"""axe-core finds nothing on the proof and the papers as somebody works on them, light and dark, desk and phone."""

import pytest
from playwright.sync_api import Browser, expect
from tests.browser.conftest import Workbench, at, house_job, take_in, watched
from tests.browser.test_accessible import AXE, SIZES, found, narrow
from tests.browser.test_proof import proved

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(("scheme", "size"), [("light", "desktop"), ("dark", "phone")])
def test_axe_finds_nothing_at_work(
    chrome: Browser, workbench: Workbench, faults: list[str], scheme: str, size: str
) -> None:
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: run ./dev frontend first")
    width, height = SIZES[size]
    context = chrome.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)  # type: ignore[arg-type]
    context.set_default_timeout(60_000)
    watched(context, workbench.address, faults)
    page = context.new_page()
    page.goto(workbench.link)
    take_in(page, house_job())
    at(page, "proof")
    findings = proved(page)
    fails = next(f for f in findings if f["rule"] == "power.voltage" and f["outcome"] == "not met")
    for place in ("", "route", "attack", "power", f"power%2F{fails['id']}"):
        at(page, "proof", place)
        page.locator("h2").first.wait_for()
        if place.endswith(str(fails["id"])):
            page.get_by_role("button", name="Find edits that mend it").click()
            expect(page.get_by_text("Mends it").first).to_be_visible(timeout=90_000)
            page.get_by_text("How it was worked out").click()
            page.get_by_text("Take it on as a departure").click()
            page.get_by_role("article").get_by_role("table").first.wait_for()
        if not place:
            page.get_by_text("Readings taken on site").click()
            page.get_by_label("What was read").select_option("walk test range")
        assert found(page) == [], place
        assert narrow(page), place
    at(page, "papers")
    page.get_by_label("The firm’s dossier").check()
    page.get_by_text("What it costs", exact=True).click()
    assert found(page) == []
    assert narrow(page)
    context.close()
