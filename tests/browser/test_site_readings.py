"""A reading taken on site is kept for good, checked before it is, and shown beside what was computed."""

import re

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import house_job, job_of, take_in
from tests.browser.first_session import until

pytestmark = pytest.mark.browser


def test_a_walk_test_is_read_in_feet_and_stands_beside_the_prediction(page: Page) -> None:
    take_in(page, house_job(), "proof")
    until(page, "document.querySelector('.answers') !== null", 120)
    page.get_by_text("Readings taken on site").click()
    expect(page.get_by_text("Nothing was read yet.")).to_be_visible()
    page.get_by_label("What was read").select_option("walk test range")
    page.get_by_label("Where").select_option("pir-living")
    page.get_by_label("The instrument showed").fill("1,5")
    page.get_by_label("Unit").select_option("ft")
    page.get_by_role("textbox", name="Instrument", exact=True).fill("tape")
    keep = page.get_by_role("button", name="Keep the reading")
    expect(keep).to_be_disabled()
    page.get_by_label("Who read it").fill("Ada Ash (invented)")
    keep.click()
    row = page.get_by_role("region", name="Table: readings taken on site").get_by_role("row").nth(1)
    expect(row).to_contain_text("1.5 ft")
    expect(row).to_contain_text(re.compile("predicted"), timeout=120_000)  # five feet: no model explains so little
    kept = job_of(page)["site"]
    assert [r["reading"]["value"] for r in kept] == [1.5]
    page.get_by_role("button", name="Undo").click(timeout=5_000, force=True)
    page.wait_for_timeout(500)
    assert job_of(page)["site"] == kept, "what was read on site is not undone"
