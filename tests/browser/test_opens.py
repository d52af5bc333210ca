"""The workbench opens, with its own fonts and under its own content policy, and nothing leaves the machine."""

import pytest
from playwright.sync_api import Page, expect
from tests.browser.first_session import until

pytestmark = pytest.mark.browser


def test_an_empty_store_says_what_to_do_next(page: Page) -> None:
    expect(page.get_by_role("heading", name="Begin a job")).to_be_visible()
    expect(page.get_by_text("No job yet. Name one above")).to_be_visible()


def test_a_new_job_shows_stages_plan_and_the_eight_questions(page: Page) -> None:
    page.get_by_label("Name of the job").fill("Opened once")
    page.get_by_role("button", name="Draw it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Opened once")
    expect(page.get_by_role("navigation", name="Stages").get_by_role("link")).to_have_text(
        ["Survey", "Design", "Proof", "Papers"]
    )
    expect(page.get_by_role("navigation", name="The eight questions").get_by_role("link")).to_have_count(8)
    expect(page.get_by_role("application")).to_be_visible()
    until(page, "window.__plan && window.__plan.map.getSize()?.[0] > 300")
    assert page.evaluate("document.fonts.check('15px \"Source Sans 3\"')")


def test_a_link_without_the_token_does_not_open(page: Page) -> None:
    page.context.clear_cookies()
    answer = page.goto(page.url.split("#")[0])
    assert answer is not None and answer.status == 401
