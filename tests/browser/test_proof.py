"""Proof in a real browser: a question opened, a finding chosen and mended by an edit that was tried, and taken back."""

import re

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import at, house_job, state_of, take_in
from tests.browser.first_session import until

pytestmark = pytest.mark.browser
PROOF = "(await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2] + '/proof')).json())"
SETTLED = f"""async () => {{ const p = {PROOF};
    const j = await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2])).json();
    return p.state === 'done' && p.revision === j.revision; }}"""


def proved(page: Page) -> list[dict[str, object]]:
    """Every finding, once the proof is of the job as it stands."""
    until(page, SETTLED, 120)
    return list(page.evaluate(f"async () => {PROOF}.proof.findings"))


@pytest.fixture
def proof(page: Page) -> Page:
    """The proof of an invented house, worked out."""
    take_in(page, house_job())
    at(page, "proof")
    proved(page)
    expect(page.get_by_text("Proved as it stands.")).to_be_visible()
    return page


def test_a_finding_is_mended_by_an_edit_it_offers_and_the_edit_is_taken_back(proof: Page) -> None:
    page = proof
    nav = page.get_by_role("navigation", name="The eight questions")
    expect(nav.get_by_role("link")).to_have_count(8)
    nav.get_by_role("link", name=re.compile("Does it keep going")).click()
    groups = page.locator("details > summary")
    assert groups.all_inner_texts()[0].startswith("Fails"), "what is refuted stands first"
    before = proved(page)
    refuted = next(f for f in before if f["rule"] == "power.voltage" and f["weight"] == "required")
    assert refuted["outcome"] == "not met"
    page.get_by_role("button", name=re.compile(re.escape(str(refuted["explanation"])[:60]))).first.click()
    article = page.get_by_role("article")
    for part in ("Value", "Limit", "Margin", "Source", "About"):
        expect(article.get_by_text(part, exact=True)).to_be_visible()
    until(page, f"window.__plan.look.marked.has({str(refuted['about'][0])!r})")  # type: ignore[index]
    article.get_by_text("How it was worked out").click()
    expect(article.get_by_role("table").first).to_contain_text("mm²", timeout=60_000)
    article.get_by_role("button", name="Find edits that mend it").click()
    edits = page.get_by_role("region", name="Edits that would mend it")
    expect(edits.get_by_text("Mends it").first).to_be_visible(timeout=60_000)
    edits.get_by_role("button", name=re.compile("Do it: ")).first.click()
    until(page, "!Object.keys(localStorage).some(k => k.startsWith('wardwright-waiting'))")
    after = proved(page)
    same = next(f for f in after if f["id"] == refuted["id"])
    assert same["outcome"] == "met"
    expect(article.get_by_text("holds").first).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    until(page, f"async () => {PROOF}.revision > 2")
    assert next(f for f in proved(page) if f["id"] == refuted["id"])["outcome"] == "not met"
    expect(article.get_by_text("fails").first).to_be_visible()


def test_a_finding_is_taken_on_with_name_and_reason(proof: Page) -> None:
    page = proof
    open_one = next(f for f in proved(page) if f["outcome"] == "not met" and f["question"] == "entry")
    at(page, "proof", f"entry%2F{open_one['id']}")
    page.get_by_text("Take it on as a departure").click()
    page.get_by_label("Who takes it on").fill("Ann Archer (invented)")
    page.get_by_label("Why", exact=True).fill("The door is replaced in spring.")
    page.get_by_role("button", name="Take it on").click()
    expect(page.get_by_text("Taken on as a departure.")).to_be_visible(timeout=60_000)
    departures = state_of(page)["job"]["departures"]
    assert [(d["finding"], d["who"]) for d in departures] == [(open_one["id"], "Ann Archer (invented)")]
    at(page, "proof")
    expect(page.get_by_text("The door is replaced in spring.")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    until(page, SETTLED, 60)
    assert state_of(page)["job"]["departures"] == []


def test_a_proof_is_stopped_and_begun_again(page: Page) -> None:
    take_in(page, house_job())
    at(page, "proof")
    page.get_by_role("button", name="Stop", exact=True).click(timeout=60_000)
    expect(page.get_by_text("Stopped")).to_be_visible()
    assert page.evaluate(f"async () => {PROOF}.state") == "stopped"
    page.get_by_role("button", name=re.compile("Prove")).click()
    expect(page.get_by_text("Proved as it stands.")).to_be_visible(timeout=120_000)


def test_routes_are_played_by_key_and_the_chance_only_grows(proof: Page) -> None:
    page = proof
    at(page, "proof", "route")
    routes = page.get_by_role("region", name="Routes played")
    rows = routes.get_by_role("region", name="The three routes").get_by_role("row")
    expect(rows).to_have_count(4)
    scrub = routes.get_by_role("slider", name="Moment of the route")
    scrub.focus()
    page.keyboard.press("Home")
    shares = []
    for _ in range(6):
        page.keyboard.press("PageUp")
        told = scrub.get_attribute("aria-valuetext") or ""
        found = re.search(r"(\d+) %$", told)
        assert found, told
        shares.append(int(found.group(1)))
    assert shares == sorted(shares)
    page.keyboard.press("End")
    last = routes.locator(".told").inner_text()
    drawn = page.evaluate("window.__plan.played.getFeatures().length")
    assert drawn > 2
    routes.get_by_role("button", name="fastest").click()
    expect(routes.locator(".told")).not_to_have_text(last)
    routes.get_by_role("button", name="Play").click()
    expect(routes.get_by_role("button", name="Play")).to_be_visible(timeout=60_000)
    end = float(scrub.get_attribute("max") or 0)
    assert float(scrub.input_value()) == pytest.approx(end, abs=0.11)


def test_the_panel_is_played_and_attacks_stand_in_tables(proof: Page) -> None:
    page = proof
    at(page, "proof", "attack")
    page.get_by_text("How it plays, minute by minute").click()
    page.get_by_role("button", name="Show it on a moving plan").last.click(timeout=60_000)
    frame = page.frame_locator("iframe").first
    frame.get_by_role("button", name="Next moment").click()
    expect(frame.locator("#clock")).not_to_have_text("")
    page.locator("summary").filter(has_text="Intrusions, nothing done to the system").press("Enter")
    expect(page.get_by_role("region", name="Intrusions, nothing done to the system")).to_contain_text("Front door")


def test_proof_by_keyboard_alone(page: Page) -> None:
    take_in(page, house_job())
    at(page, "proof")
    proved(page)
    page.get_by_role("navigation", name="The eight questions").get_by_role("link").first.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Is every way in watched?")).to_be_visible()
    tabbed_to(page, "cut or kicked in, set with people inside")
    page.keyboard.press("Enter")
    expect(page.get_by_role("article")).to_be_visible()
    tabbed_to(page, "Find edits that mend it")
    page.keyboard.press("Enter")
    expect(page.get_by_text("Mends it").first).to_be_visible(timeout=90_000)
    tabbed_to(page, "Do it")
    page.keyboard.press("Enter")
    until(page, "!Object.keys(localStorage).some(k => k.startsWith('wardwright-waiting'))")
    assert len(state_of(page)["job"]["design"]["devices"]) > len(house_job()["design"]["devices"])
    page.keyboard.press("Control+z")
    until(page, SETTLED, 90)
    assert state_of(page)["job"]["design"] == house_job()["design"]


def tabbed_to(page: Page, words: str) -> None:
    """Press Tab until what has the focus says this, as somebody without a pointer would."""
    for _ in range(120):
        page.keyboard.press("Tab")
        if words in str(page.evaluate("document.activeElement.innerText || ''")):
            return
    raise AssertionError(f"the keyboard never comes to “{words}”")
