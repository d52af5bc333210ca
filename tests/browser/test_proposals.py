"""An offer is proposed, looked at, taken as one edit, edited by hand with what that gives away, and taken back."""

import re

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import house_job, job_of, take_in
from tests.browser.first_session import until
from tests.browser.test_accessible import AXE, found, narrow

pytestmark = pytest.mark.browser
SETTLED = """async () => {
    const at = '/api/v1/jobs/' + location.hash.split('/')[2];
    const p = await (await fetch(at + '/proof')).json(), j = await (await fetch(at)).json();
    return p.state === 'done' && p.revision === j.revision; }"""
JOB = "(await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2])).json())"


def bare_house() -> dict[str, object]:
    job = house_job()
    job["design"] = {}
    return job


def test_an_offer_is_compared_taken_edited_and_taken_back(page: Page) -> None:
    take_in(page, bare_house(), "design")
    page.get_by_text("Propose a layout").click()
    page.get_by_label("Look for").select_option("10")
    page.get_by_role("button", name="Propose", exact=True).click()
    offers = page.get_by_role("region", name="Table: offers side by side")
    expect(offers).to_be_visible(timeout=240_000)
    expect(offers.get_by_role("columnheader", name="Least cost that meets the brief")).to_be_visible()
    expect(offers.get_by_role("row", name=re.compile("Price with tax"))).to_contain_text(re.compile(r"\d"))
    offers.get_by_role("button", name="Look at it: Least cost").click()
    assert page.evaluate("window.__plan.sketch.getFeatures().length") > 0, "the offer stands on the plan"
    expect(page.get_by_text(re.compile("lower bound"))).to_be_visible()
    if AXE.is_file():
        assert found(page) == []
    page.set_viewport_size({"width": 360, "height": 740})
    assert narrow(page), "the offers fit a phone"
    page.set_viewport_size({"width": 1180, "height": 820})
    offers.get_by_role("button", name="Take it: Least cost").click()
    until(page, SETTLED, 120)
    taken = job_of(page)["design"]["devices"]
    assert len(taken) > 3
    since = page.get_by_role("status", name="Since the offer was taken")
    expect(since).to_contain_text("nothing was given away", timeout=60_000)
    quiet = ("panel", "key", "sounder", "communicator", "siren", "expander", "supply", "strobe")
    seen = [
        d["id"]
        for d in taken
        if not any(word in d["kind"] for word in quiet) and page.evaluate(f"window.__plan.pixelOf('{d['id']}')")
    ]
    page.mouse.click(*page.evaluate(f"window.__plan.pixelOf('{seen[0]}')"))
    page.get_by_role("application").focus()
    page.keyboard.press("Delete")
    until(page, f"async () => !{JOB}.job.design.devices.some(d => d.id === '{seen[0]}')")
    expect(since).to_contain_text(re.compile("it was|more required claims fail"), timeout=120_000)
    page.reload()
    page.get_by_role("button", name="Undo").click()
    until(page, f"async () => {JOB}.job.design.devices.length === {len(taken)}")
    page.get_by_role("button", name="Undo").click()
    until(page, f"async () => !{JOB}.job.design.devices.length")


def test_a_search_is_stopped_with_the_best_so_far(page: Page) -> None:
    take_in(page, bare_house(), "design")
    page.get_by_text("Propose a layout").click()
    page.get_by_label("Look for").select_option("180")
    page.get_by_role("button", name="Propose", exact=True).click()
    page.get_by_role("button", name="Stop with the best so far").click()
    ended = page.get_by_role("region", name="Table: offers side by side").or_(
        page.get_by_text("Stopped before there was")
    )
    expect(ended).to_be_visible(timeout=240_000)
    expect(page.get_by_role("button", name="Propose", exact=True)).to_be_enabled()
