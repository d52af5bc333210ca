"""While a detector is dragged the map follows; on touch two fingers zoom; the storey stays in sight when turned."""

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.conftest import Workbench, house_job, job_of, take_in, watched
from tests.browser.first_session import Session, until

pytestmark = pytest.mark.browser


def test_the_map_follows_a_dragged_detector_and_the_job_holds_where_it_was_let_go(page: Page) -> None:
    take_in(page, house_job(), "design")
    until(page, "document.querySelector('.legend') !== null", 60)
    x, y = page.evaluate("window.__plan.pixelOf('pir-living')")
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(1, 25):
        page.mouse.move(x - 4 * n, y)
        page.wait_for_timeout(30)
    until(page, "window.__plan.painted.n > 0", 60)
    page.mouse.up()
    Session(page).settled()
    was = next(d for d in house_job()["design"]["devices"] if d["id"] == "pir-living")["position"]
    now = next(d for d in job_of(page)["design"]["devices"] if d["id"] == "pir-living")
    assert now["position"][0] < was[0] - 0.5
    assert now["position"][1] == pytest.approx(8 - 0.15 - 0.03, abs=1e-6)  # held by the inner face of the north wall
    assert now["heading_rad"] == pytest.approx(-1.5708, abs=0.01)  # and looking into the room
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("button", name="Redo")).to_be_enabled()
    back = next(d for d in job_of(page)["design"]["devices"] if d["id"] == "pir-living")
    assert back["position"] == was


def test_two_fingers_zoom_and_one_pans_on_a_phone(chrome: Browser, workbench: Workbench, faults: list[str]) -> None:
    context = chrome.new_context(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
    watched(context, workbench.address, faults)
    page = context.new_page()
    page.goto(workbench.link)
    take_in(page, house_job())
    box = page.get_by_role("application").bounding_box()
    assert box is not None
    cx, cy = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2 + 20
    fingers = context.new_cdp_session(page)

    def touch(kind: str, *points: tuple[float, float]) -> None:
        fingers.send(
            "Input.dispatchTouchEvent",
            {"type": kind, "touchPoints": [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)]},
        )
        page.wait_for_timeout(30)

    before = page.evaluate("window.__plan.map.getView().getResolution()")
    touch("touchStart", (cx - 20, cy), (cx + 20, cy))
    for n in range(1, 7):
        touch("touchMove", (cx - 20 - 10 * n, cy), (cx + 20 + 10 * n, cy))
    touch("touchEnd")
    page.wait_for_timeout(400)
    assert page.evaluate("window.__plan.map.getView().getResolution()") < before / 1.5
    context.close()
