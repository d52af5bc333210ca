"""Somebody who has never seen it draws a house of three rooms, protects it, sees what is open and prints a proposal."""

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import job_of
from tests.browser.first_session import Session, draw_three_rooms, print_proposal, protect_three_rooms, until

pytestmark = pytest.mark.browser
FEWEST = 40
"""Actions a first session may take."""


def test_from_an_empty_store_to_a_proposal_in_at_most_forty_actions(
    page: Page, capsys: pytest.CaptureFixture[str]
) -> None:
    session = Session(page)
    draw_three_rooms(session)
    protect_three_rooms(session)
    content = print_proposal(session)
    with capsys.disabled():
        print(f"\nfirst session: {session.count} actions")
    assert session.count <= FEWEST
    assert content.startswith(b"%PDF-")
    job = job_of(page)
    premises = job["premises"]
    assert len(premises["rooms"]) == 3
    ways_out = [o["name"] for o in premises["openings"] if "outside" in o["sides"]]
    assert sorted(ways_out) == ["Door 1", "Window 1", "Window 2"]
    assert [o["name"] for o in premises["openings"] if o["final_exit"]] == ["Door 1"]
    design = job["design"]
    contacts = {d["opening_id"] for d in design["devices"] if d["kind"] == "contact-surface"}
    assert len(contacts - {None}) == 3
    assert len(design["programme"]["zones"]) == 6
    assert design["backups"]


def test_a_refuted_finding_is_mended_by_placing_what_it_asks_for(page: Page) -> None:
    session = Session(page)
    draw_three_rooms(session)
    protect_three_rooms(session)
    proof = "(await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2] + '/proof')).json())"
    done = f"async () => {{ const p = {proof}; return p.state === 'done' && p.proof.revision === p.revision; }}"
    until(page, done, 90)
    glass = f"""async () => {proof}.proof.findings
        .filter(f => f.rule.startsWith('entry.') && f.outcome === 'not met' && f.explanation.includes('glass broken'))
        .flatMap(f => f.about)"""
    before = page.evaluate(glass)
    assert before, "windows without a glass-break detector are refuted when set with people inside"
    listed = page.get_by_role("list", name="Kinds").get_by_role("button")
    listed.filter(has_text="Acoustic glass-break detector").first.click()
    session.click((5.5, 4.7), "glass-break")
    session.press("Wire and programme")
    session.settled()
    revision = page.evaluate(
        "async () => (await (await fetch('/api/v1/jobs/' + location.hash.split('/')[2])).json()).revision"
    )
    until(page, f"async () => {{ const p = {proof}; return p.state === 'done' && p.revision === {revision}; }}", 90)
    after = page.evaluate(glass)
    assert set(after) < set(before)
    expect(page.get_by_role("navigation", name="The eight questions")).to_contain_text("fail")
