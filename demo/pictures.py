"""Pictures of every page of the workbench, light and dark, desktop and phone, of the invented house.

``python demo/pictures.py OUT`` writes them all; ``--guide`` renews those the guide shows.
"""

import shutil
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT / "src"), str(ROOT)]

from demo.orchard_lane_job import orchard_lane_job  # noqa: E402
from demo.served import served  # noqa: E402
from PIL import Image  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from wardwright.storage.store import Store  # noqa: E402

GUIDE = ROOT / "docs" / "guide" / "pictures"
SIZES = {"desktop": (1280, 860), "phone": (360, 740)}
SHOWN = {"jobs", "survey", "survey-chosen", "design", "design-placing", "proof", "papers"}
PROOF = "await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2] + '/proof')).json()"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]


def main(out: Path, *, guide: bool) -> None:
    """Take the pictures."""
    chromium = shutil.which("chromium")
    if chromium is None:
        raise SystemExit("needs Chromium on the PATH")
    with tempfile.TemporaryDirectory() as folder:
        store = Store.at(Path(folder) / "jobs.sqlite")
        key = store.add(orchard_lane_job()).key
        with served(store) as (address, token), sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
            for size, (width, height) in SIZES.items():
                for scheme in ("light", "dark"):
                    context = browser.new_context(
                        viewport={"width": width, "height": height},
                        color_scheme=scheme,  # type: ignore[arg-type]
                        device_scale_factor=2 if size == "phone" else 1,
                    )
                    page = context.new_page()
                    page.goto(f"{address}/open?token={token}")
                    for name in _pages(page, address, key):
                        page.screenshot(path=out / f"{name}-{size}-{scheme}.png")
                        if guide and name in SHOWN and size == "desktop" and scheme == "light":
                            with Image.open(out / f"{name}-{size}-{scheme}.png") as picture:
                                picture.convert("P", palette=Image.Palette.ADAPTIVE, colors=256).save(
                                    GUIDE / f"{name}.png", optimize=True
                                )
                    context.close()
            browser.close()


def _pages(page: Any, address: str, key: str) -> Any:
    """Bring up one page after another; its name when it is there."""
    page.get_by_role("heading", name="Begin a job").wait_for()
    page.wait_for_timeout(200)
    yield "jobs"
    stage = f"{address}/#/job/{key}"
    page.goto(f"{stage}/survey")
    _until(page, "window.__plan?.storey && [...window.__plan.features()].length > 5")
    page.wait_for_timeout(500)
    yield "survey"
    page.get_by_text("Everything on this storey").first.click()
    page.get_by_role("region", name="Everything on this storey").get_by_role("button").first.click()
    page.wait_for_timeout(200)
    page.locator(".drawer").evaluate("e => e.scrollTo(0, 0)")
    yield "survey-chosen"
    page.goto(f"{stage}/design")
    _until(page, "document.querySelector('.legend') !== null")
    _until(page, "!document.querySelector('nav .state')?.innerText.includes('Working')")
    page.wait_for_timeout(400)
    yield "design"
    page.get_by_role("list", name="Kinds").get_by_role("button").nth(1).click()
    box = page.get_by_role("application").bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.wait_for_timeout(1500)
    yield "design-placing"
    page.goto(f"{stage}/proof/entry")
    _until(page, f"async () => ({PROOF}).state === 'done'")
    page.wait_for_timeout(800)
    yield "proof"
    page.goto(f"{stage}/papers")
    page.get_by_role("heading", name="Papers").first.wait_for()
    page.wait_for_timeout(400)
    yield "papers"


def _until(page: Any, asked: str, seconds: float = 180) -> None:
    end = time.monotonic() + seconds
    while not page.evaluate(asked):
        if time.monotonic() > end:
            raise SystemExit(f"never came: {asked}")
        page.wait_for_timeout(50)


if __name__ == "__main__":
    wanted = [a for a in sys.argv[1:] if not a.startswith("-")]
    target = Path(wanted[0]) if wanted else ROOT / "out" / "pictures"
    target.mkdir(parents=True, exist_ok=True)
    GUIDE.mkdir(parents=True, exist_ok=True)
    main(target, guide="--guide" in sys.argv)
