"""Papers in a real browser: looked at, issued with a passphrase, entered in the register; the job file out and in."""

import io
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from pypdf import PdfReader
from tests.browser.conftest import at, house_job, job_of, take_in

pytestmark = pytest.mark.browser
PASSPHRASE = "otter lamp gravel nine"


def test_the_client_paper_is_issued_and_the_dossier_opens_only_with_its_passphrase(page: Page, tmp_path: Path) -> None:
    take_in(page, house_job())
    at(page, "papers")
    page.get_by_label("To whom").fill("Bea Brook (invented)")
    page.get_by_role("button", name="Issue it").click()
    with page.expect_download(timeout=90_000) as waiting:
        page.get_by_role("link", name=re.compile("Download house-client")).click(timeout=90_000)
    client = waiting.value
    assert client.suggested_filename == "house-client-copy-1.pdf"
    content = Path(client.path()).read_bytes()
    assert content.startswith(b"%PDF-")
    text = "".join(p.extract_text() for p in PdfReader(io.BytesIO(content)).pages)
    assert "Invented house" in text

    page.get_by_label(re.compile("The firm’s dossier")).check()
    button = page.get_by_role("button", name="Issue it")
    page.get_by_label(re.compile("^Passphrase")).fill("too short")
    expect(button).to_be_disabled()
    page.get_by_label(re.compile("^Passphrase")).fill(PASSPHRASE)
    button.click()
    with page.expect_download(timeout=90_000) as waiting:
        page.get_by_role("link", name=re.compile("Download house-firm")).click(timeout=90_000)
    sealed = Path(waiting.value.path()).read_bytes()
    reader = PdfReader(io.BytesIO(sealed))
    assert reader.is_encrypted
    assert not reader.decrypt("another passphrase")
    assert reader.decrypt(PASSPHRASE)
    assert "mc-front" in "".join(p.extract_text() for p in reader.pages)

    register = page.get_by_role("region", name="Papers issued")
    expect(register.get_by_role("row")).to_have_count(3)
    expect(register).to_contain_text("Bea Brook (invented)")
    assert [(i["paper"], i["copy_number"]) for i in job_of(page)["issued"]] == [("client", 1), ("firm", 1)]
    assert PASSPHRASE not in str(job_of(page)), "the passphrase is kept nowhere"


def test_the_proposal_is_looked_at_without_being_issued(page: Page) -> None:
    take_in(page, house_job())
    at(page, "papers")
    page.get_by_role("button", name="Look at it here").click()
    sheet = page.get_by_role("region", name="Client’s proposal, not issued")
    expect(sheet.get_by_role("link", name="Download")).to_be_visible(timeout=90_000)
    if page.evaluate("navigator.pdfViewerEnabled"):
        expect(sheet.locator("iframe")).to_be_visible()
    else:
        expect(sheet).to_contain_text("shows no PDF")
    sheet.get_by_role("button", name="Close").click()
    expect(sheet).to_have_count(0)
    assert job_of(page)["issued"] == []


def test_the_job_file_goes_out_and_comes_back_as_a_job_of_its_own(page: Page, tmp_path: Path) -> None:
    key = take_in(page, house_job())
    at(page, "papers")
    before = job_of(page)
    with page.expect_download() as waiting:
        page.get_by_role("link", name="Download the job file").click()
    file = tmp_path / "house.json"
    waiting.value.save_as(file)
    page.get_by_label("Bring a job file in").set_input_files(file)
    expect(page.get_by_text("as a job of its own")).to_be_visible()
    page.get_by_role("button", name="Open it").click()
    page.get_by_role("heading", level=1, name="Invented house").wait_for()
    assert key not in page.url
    assert job_of(page) == before
    broken = tmp_path / "broken.json"
    broken.write_text(file.read_text()[:500])
    at(page, "papers")
    page.get_by_label("Bring a job file in").set_input_files(broken)
    expect(page.get_by_role("alert")).to_be_visible()
