"""The moving page of a scenario as a file in a real browser: it plays, is worked by keys, asks for nothing."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect
from tests.browser.conftest import FLAGS
from tests.house import scheme

from wardwright.analyses.scenario.playing import play
from wardwright.analyses.scenario.script import Act, Actor, Scenario
from wardwright.documents.playing_page import playing_page

pytestmark = pytest.mark.browser

SCRIPT = Scenario(
    title="<b>Break-in</b>",
    begins="08:00",
    set_away=("house",),
    actor=(
        Actor(
            id="burglar",
            name="Intruder </script>",
            kind="intruder",
            act=(Act(do="break in", by="window", to="jewels", at="08:10"), Act(do="leave")),
        ),
    ),
)


@pytest.fixture(scope="module")
def browser(playwright_here: Playwright) -> Iterator[Browser]:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("no Chromium on the PATH: install Debian's package chromium to run the browser tests")
    opened = playwright_here.chromium.launch(executable_path=found, args=FLAGS)
    yield opened
    opened.close()


@pytest.fixture
def moving(browser: Browser, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    system = scheme()
    timeline = play(system, SCRIPT)
    html = playing_page(system, timeline, devices=system.fitted, firm=True, subtitle="Test", invented=True)
    path = tmp_path / "page.html"
    path.write_text(html, encoding="utf-8")
    context = browser.new_context(reduced_motion=getattr(request, "param", "no-preference"))
    context.set_default_timeout(15_000)
    faults: list[str] = []
    context.on("request", lambda r: None if r.url.startswith(("file:", "data:")) else faults.append(r.url))
    window = context.new_page()
    window.on("pageerror", lambda error: faults.append(str(error)))
    window.on("console", lambda said: faults.append(said.text) if said.type in ("error", "warning") else None)
    window.goto(path.as_uri())
    yield window
    context.close()
    assert not faults


def test_it_plays_passes_over_quiet_time_and_lights_what_reports(moving: Page) -> None:
    assert moving.title() == "<b>Break-in</b>"
    expect(moving.locator("#clock")).to_have_text("08:00:00")
    moving.get_by_label("Speed").select_option("15")
    moving.get_by_role("button", name="Play").click()
    expect(moving.locator('[data-id="mc-window"].on')).to_have_count(1)
    moving.get_by_role("button", name="Pause").click()
    expect(moving.locator(".who.intruder")).to_be_visible()
    expect(moving.locator('[data-id="outer-sounder"].sounding')).to_have_count(1)
    expect(moving.locator("#keypad")).to_contain_text("alarm: ")
    expect(moving.locator("#reports")).to_contain_text("; BA]")


@pytest.mark.parametrize("moving", ["reduce"], indirect=True)
def test_keys_work_it_and_nothing_glides_where_that_is_unwanted(moving: Page) -> None:
    moving.keyboard.press("ArrowRight")
    first = moving.locator("#clock").inner_text()
    moving.keyboard.press("ArrowRight")
    assert moving.locator("#clock").inner_text() >= first
    moving.keyboard.press("Home")
    expect(moving.locator("#clock")).to_have_text("08:00:00")
    moving.keyboard.press(" ")
    moving.wait_for_timeout(700)
    expect(moving.locator("#clock")).to_have_text("08:00:00")  # it goes from moment to moment
    expect(moving.locator("#clock")).not_to_have_text("08:00:00")
    moving.keyboard.press("Escape")
    moving.locator("td button").last.click()
    expect(moving.locator("tr.now")).to_have_count(1)
