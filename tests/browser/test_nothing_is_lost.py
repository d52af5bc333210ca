"""Undo through everything, reload, two windows, a server that dies mid-edit."""

import time

import pytest
from playwright.sync_api import Page, Route, expect
from tests.browser.conftest import house_job, job_of, state_of, take_in
from tests.browser.first_session import NOTHING_WAITS, Session, draw_three_rooms, until

pytestmark = pytest.mark.browser


def test_everything_drawn_is_taken_back_step_by_step_and_done_again(page: Page) -> None:
    draw_three_rooms(Session(page))
    drawn = job_of(page)
    undo, redo = page.get_by_role("button", name="Undo"), page.get_by_role("button", name="Redo")
    steps = 0
    while undo.is_enabled():
        before = state_of(page)["revision"]
        undo.click()
        moved_on(page, before)
        steps += 1
    empty = job_of(page)
    assert steps == 9
    assert empty["premises"]["walls"] == [] == empty["premises"]["rooms"]
    for _ in range(steps):
        expect(redo).to_be_enabled()
        before = state_of(page)["revision"]
        redo.click()
        moved_on(page, before)
    again = job_of(page)
    assert again["premises"] == drawn["premises"]


def test_a_reload_shows_what_was_there(page: Page) -> None:
    draw_three_rooms(Session(page))
    drawn = job_of(page)
    page.reload()
    until(page, "window.__plan?.storey && window.__plan.pixelOf('room-3') !== null")
    assert job_of(page) == drawn


def test_two_windows_on_one_job_follow_each_other(page: Page) -> None:
    take_in(page, house_job())
    other = page.context.new_page()
    other.goto(page.url)
    until(other, "window.__plan?.storey && window.__plan.pixelOf('hall') !== null")
    other.get_by_text("Everything on this storey").first.click()
    rename(page, "Hall", "Lobby")
    expect(other.get_by_role("button", name="Lobby")).to_be_visible()


def test_an_edit_crossed_by_another_window_is_said_and_can_be_done_after_all(page: Page) -> None:
    key = take_in(page, house_job())
    origin = page.url.split("/#")[0]
    crossings = iter([{"do": "set", "place": "brief", "values": {"client": "Ann"}}])

    def crossed(route: Route) -> None:
        """Somebody else's edit arrives first."""
        first = next(crossings, None)
        if first is not None:
            body = {"revision": route.request.post_data_json["revision"], "what": "early", "moves": [first]}
            page.request.post(f"{origin}/api/v1/jobs/{key}/moves", data=body, headers={"Origin": origin})
        route.continue_()

    page.route("**/moves", crossed)
    rename(page, "Hall", "Lobby", wait=False)
    expect(page.get_by_role("alert")).to_contain_text("Another window changed this job")
    between = job_of(page)
    assert "Lobby" not in {r["name"] for r in between["premises"]["rooms"]}
    assert between["brief"]["client"] == "Ann"
    page.get_by_role("button", name="Do it now").click()
    Session(page).settled()
    after = job_of(page)
    assert "Lobby" in {r["name"] for r in after["premises"]["rooms"]}
    assert after["brief"]["client"] == "Ann"


def test_an_edit_made_while_the_server_is_away_survives_a_reload_and_is_sent_when_it_is_back(
    page: Page, faults: list[str]
) -> None:
    take_in(page, house_job())
    page.route("**/moves", lambda route: route.abort())
    rename(page, "Hall", "Lobby", wait=False)
    expect(page.get_by_role("alert")).to_contain_text("does not answer")
    page.reload()
    page.unroute("**/moves")
    until(page, NOTHING_WAITS, 30)
    assert "Lobby" in {r["name"] for r in job_of(page)["premises"]["rooms"]}
    faults[:] = [f for f in faults if "ERR_FAILED" not in f]  # that is the server being away


def moved_on(page: Page, revision: int) -> None:
    """Wait until the job stands at a later revision, here and in the store."""
    end = time.monotonic() + 15
    while state_of(page)["revision"] <= revision:
        assert time.monotonic() < end
        page.wait_for_timeout(25)
    page.wait_for_timeout(60)


def rename(page: Page, old: str, new: str, *, wait: bool = True) -> None:
    """Rename a room by the table and its form."""
    page.get_by_text("Everything on this storey").first.click()
    page.get_by_role("button", name=old, exact=True).first.click()
    field = page.get_by_role("textbox", name="Name", exact=True)
    field.fill(new)
    field.press("Enter")
    if wait:
        Session(page).settled()
