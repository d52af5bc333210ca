"""Each real building is brought in by its file, its guesses shown beside the plan and settled there."""

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import job_of
from tests.browser.first_session import until

pytestmark = [pytest.mark.browser, pytest.mark.real]


@pytest.mark.parametrize("name", ["house-fzk.ifc", "duplex-architecture.ifc", "bungalow-floorplan.dxf"])
def test_a_real_building_is_brought_in_and_a_guess_settled(page: Page, shared_premises: Path, name: str) -> None:
    if name.endswith(".ifc"):
        pytest.importorskip("ifcopenshell")
    page.set_default_timeout(120_000)
    page.locator("#file").set_input_files(shared_premises / name)
    page.wait_for_url("**/survey")
    until(page, "window.__plan?.storey && [...window.__plan.features()].length > 5", 120)
    premises = job_of(page)["premises"]
    assert premises["rooms"]
    assert premises["openings"]
    report = page.get_by_role("group").filter(has_text="Intake report").first
    notes = job_of(page)["intake"]
    assert notes
    expect(report.get_by_role("listitem")).to_have_count(len(notes))
    report.get_by_role("button", name="It is right").first.click()
    expect(report.get_by_text("looked at and right").first).to_be_visible()
    assert job_of(page)["intake"][0]["settled"]
    shown = report.locator("li p.row button").first
    if shown.count():
        shown.click()


def test_a_collection_asks_which_plan(page: Page, shared_premises: Path) -> None:
    page.set_default_timeout(60_000)
    page.locator("#file").set_input_files(shared_premises / "plans-50.json")
    page.get_by_label("Which one?").select_option("flat-10")
    page.wait_for_url("**/survey")
    until(page, "window.__plan?.storey && [...window.__plan.features()].length > 5", 60)
    assert job_of(page)["premises"]["rooms"]


def test_services_are_laid_over_their_building(page: Page, shared_premises: Path) -> None:
    pytest.importorskip("ifcopenshell")
    page.set_default_timeout(120_000)
    page.locator("#file").set_input_files(shared_premises / "duplex-architecture.ifc")
    page.wait_for_url("**/survey")
    until(page, "window.__plan?.storey && [...window.__plan.features()].length > 5", 120)
    before = len(job_of(page)["premises"]["services"])
    page.get_by_label("Lay the same project’s building services over it").set_input_files(
        shared_premises / "duplex-electrical.ifc"
    )
    expect(page.get_by_role("status").filter(has_text="Services laid over")).to_have_count(1)
    assert len(job_of(page)["premises"]["services"]) > before


def test_a_file_that_is_no_building_is_refused_in_words(page: Page, tmp_path: Path) -> None:
    bad = tmp_path / "holiday.dxf"
    bad.write_bytes(b"not a drawing at all")
    page.locator("#file").set_input_files(bad)
    expect(page.get_by_role("alert")).to_be_visible()
    assert page.get_by_role("alert").inner_text().strip()


def test_a_picture_lies_under_the_plan_scaled_by_two_points(page: Page, tmp_path: Path) -> None:
    from PIL import Image

    picture = tmp_path / "sketch.png"
    Image.new("RGB", (600, 400), "white").save(picture)
    page.get_by_label("Name of the job").fill("Over a picture")
    page.get_by_role("button", name="Draw it").click()
    until(page, "window.__plan?.storey && window.__plan.map.getSize()?.[0] > 200")
    page.get_by_text("Picture underneath").click()
    page.locator("#picture").set_input_files(picture)
    page.get_by_role("button", name="Scale by two points").click()
    for at in ((1.0, 1.0), (5.0, 1.0)):
        x, y = page.evaluate("at => window.__plan.pixelAt(at)", list(at))
        page.mouse.click(x, y)
    page.get_by_label("The distance between them is").fill("2")
    page.keyboard.press("Enter")
    lies = "async () => (await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2])).json()).job.underlays[0]"
    until(page, f"async () => (await ({lies})()).metres_per_pixel < 0.011")
    placement = page.evaluate(lies)
    assert placement["metres_per_pixel"] == pytest.approx(0.02 * 2 / 4, rel=0.02)  # 600 px were laid down 12 m wide
    assert placement["x_m"] == pytest.approx(0.5, abs=0.03)  # about the first point, 1 m from the corner, now half
    for _ in range(2):  # the scale, and that it lies there at all, are taken back like any edit
        page.get_by_role("button", name="Undo").click()
    until(page, f"async () => (await ({lies})()) === undefined")
    expect(page.get_by_label("Picture or PDF")).to_be_visible()
    page.get_by_role("button", name="Redo").click()
    expect(page.get_by_role("button", name="Scale by two points")).to_be_visible()
