"""A house is drawn and protected, and a device moved, without a pointer."""

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import house_job, job_of, take_in
from tests.browser.first_session import Session, until

pytestmark = pytest.mark.browser


def tab_to(page: Page, name: str, *, role: str = "", most: int = 200) -> None:
    """Press Tab until something with these words in its name has the focus."""
    named = """() => { const e = document.activeElement, label = e.labels && e.labels[0] && e.labels[0].innerText;
        return [e.getAttribute('aria-label') || label || e.innerText || '', e.tagName.toLowerCase()]; }"""
    for _ in range(most):
        page.keyboard.press("Tab")
        said, tag = page.evaluate(named)
        if tag != "body" and name in said and (not role or tag == role):
            return
    raise AssertionError(f"Tab never came to {name}")


def test_rooms_doors_and_devices_without_a_pointer(page: Page) -> None:
    tab_to(page, "Name of the job")
    page.keyboard.type("By keys")
    page.keyboard.press("Enter")
    until(page, "window.__plan?.storey && window.__plan.map.getSize()?.[0] > 200")
    settled = Session(page).settled
    for size in ("4 x 3", "13'6\" x 3"):
        tab_to(page, "Or its inner size")
        page.keyboard.type(size)
        page.keyboard.press("Enter")
        settled()
    rooms = job_of(page)["premises"]["rooms"]
    assert len(rooms) == 2
    page.keyboard.press("Shift+Tab")
    tab_to(page, "Plan of")
    tab_to(page, "Door", role="button")
    page.keyboard.press("Enter")
    tab_to(page, "Without pointing", role="summary")
    page.keyboard.press("Enter")
    tab_to(page, "On wall", role="select")
    page.keyboard.press("ArrowDown")
    tab_to(page, "Put it in")
    page.keyboard.press("Enter")
    settled()
    (door,) = job_of(page)["premises"]["openings"]
    assert "outside" in door["sides"]
    tab_to(page, "Design", role="a")
    page.keyboard.press("Enter")
    tab_to(page, "Surface magnetic contact", role="button")
    page.keyboard.press("Enter")
    tab_to(page, "Place", role="select")
    page.keyboard.press("ArrowDown")
    tab_to(page, "Put it there")
    page.keyboard.press("Enter")
    settled()
    (contact,) = job_of(page)["design"]["devices"]
    assert contact["opening_id"] == door["id"]
    assert contact["leaf_id"] == door["leaves"][0]["id"]


def test_walls_by_length_and_arrow_on_the_plan_itself(page: Page) -> None:
    page.get_by_label("Name of the job").fill("Paced")
    page.get_by_role("button", name="Draw it").click()
    until(page, "window.__plan?.storey && window.__plan.map.getSize()?.[0] > 200")
    page.get_by_role("button", name="Walls", exact=True).click()
    page.get_by_role("application").focus()
    for length, way in (("4", "ArrowRight"), ("3,5", "ArrowUp"), ("4", "ArrowLeft")):
        page.keyboard.type(length)
        page.keyboard.press(way)
    page.keyboard.press("c")
    Session(page).settled()
    (room,) = job_of(page)["premises"]["rooms"]
    xs, ys = [p[0] for p in room["outline"]], [p[1] for p in room["outline"]]
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((3.75, 3.25), abs=1e-6)


def test_a_device_is_moved_turned_and_removed_by_keys_and_undone(page: Page) -> None:
    take_in(page, house_job(), "design")
    page.get_by_role("button", name="pir-living").click()
    expect(page.get_by_role("heading", name="pir-living")).to_be_visible()
    page.get_by_role("application").focus()
    settled = Session(page).settled

    def device() -> dict[str, object]:
        return next(d for d in job_of(page)["design"]["devices"] if d["id"] == "pir-living")

    was = device()
    page.keyboard.press("ArrowLeft")
    settled()
    assert device()["position"] == pytest.approx([was["position"][0] - 0.05, was["position"][1]])  # type: ignore[index]
    page.keyboard.press("]")
    settled()
    assert device()["heading_rad"] != was["heading_rad"]
    page.keyboard.press("Delete")
    settled()
    job = job_of(page)
    assert "pir-living" not in {d["id"] for d in job["design"]["devices"]}
    assert "l-living" not in {loop["id"] for loop in job["design"]["loops"]}
    for _ in range(3):
        page.keyboard.press("Control+z")
        page.wait_for_timeout(400)
    assert device() == was
