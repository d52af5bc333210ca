"""The first job of the README, typed as a newcomer would type it, mistakes included."""

import json
from pathlib import Path

import pytest
from demo.write_ifc import write_ifc
from pypdf import PdfReader
from typer.testing import CliRunner

from wardwright.cli import app
from wardwright.errors import InputError, WardwrightError
from wardwright.storage.job_file import load_job

ROOT = Path(__file__).resolve().parents[2]
RUN = CliRunner()


def run(*words: str | Path) -> tuple[int, str]:
    result = RUN.invoke(app, [str(w) for w in words])
    if isinstance(result.exception, WardwrightError):
        raise result.exception
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


@pytest.fixture(autouse=True)
def firm_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WARDWRIGHT_FIRM", str(tmp_path / "firm"))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1790000000")


@pytest.fixture(scope="module")
def drawing(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_ifc(tmp_path_factory.mktemp("drawing") / "orchard-lane.ifc")


@pytest.fixture
def job(drawing: Path, tmp_path: Path) -> Path:
    path = tmp_path / "job.json"
    assert run("intake", drawing, "-o", path)[0] == 0
    run("brief", path, "profile=Europe grade 2", "detect_before_target=0.6", "client=A. Client (invented)")
    run("survey", path, ROOT / "demo" / "orchard-lane.survey.toml")
    run("design", path, ROOT / "demo" / "orchard-lane.design.toml")
    return path


def test_from_a_drawing_to_papers(job: Path, tmp_path: Path) -> None:
    assert run("check", job) == (0, "job.json: nothing broken.\n")
    status, said = run("prove", job)
    assert status in (1, 3)
    assert "Is every way in watched?" in said
    status, said = run("prove", job, "--json")
    proof = json.loads(said)
    refuted = [f for f in proof["findings"] if f["outcome"] == "not met" and f["weight"] == "required"]
    assert bool(refuted) == (status == 1)
    assert run("quote", job)[0] == 0
    assert len(json.loads(run("quote", job, "--json")[1])) == 3
    run("papers", job, "-o", tmp_path / "papers")
    run("papers", job, "-o", tmp_path / "papers", "--firm", "--to", "Office")
    run("papers", job, "-o", tmp_path / "papers", "--firm", "--to", "Van", "--passphrase", "four words are enough")
    issued = [(i.paper, i.copy_number, i.to) for i in load_job(job).issued]
    assert issued == [("client", 1, "A. Client (invented)"), ("firm", 1, "Office"), ("firm", 2, "Van")]
    assert PdfReader(tmp_path / "papers" / "job-firm-copy-2.pdf").is_encrypted
    assert (tmp_path / "papers" / "job-devices.csv").is_file()


def test_an_empty_design_is_no_success(drawing: Path, tmp_path: Path) -> None:
    path = tmp_path / "empty.json"
    run("intake", drawing, "-o", path)
    assert run("prove", path)[0] == 1


def test_a_finding_taken_on_no_longer_refutes_and_lapses_when_the_design_changes(job: Path) -> None:
    findings = json.loads(run("prove", job, "--json")[1])["findings"]
    refuted = [f for f in findings if f["outcome"] == "not met" and f["weight"] == "required"]
    assert refuted
    for finding in refuted:
        run("accept", job, finding["id"], "--who", "A. Client", "--why", "agreed on site")
    assert run("prove", job)[0] == 3
    load = load_job(job)
    kept = tuple(d for d in load.design.devices if not d.id.startswith("PIR"))
    fewer = load.design.model_copy(update={"devices": kept})
    job.write_text(load.model_copy(update={"design": fewer}).model_dump_json())
    assert run("prove", job)[0] == 1


def test_a_confirmed_row_can_refute(job: Path) -> None:
    def standby() -> dict[str, object]:
        findings = json.loads(run("prove", job, "--json")[1])["findings"]
        return next(f for f in findings if f["rule"] == "EU-PWR-04")

    assert standby()["weight"] == "remembered"
    run("confirm", "EU-PWR-04", "--edition", "the text on our shelf", "--by", "B. Reader")
    assert standby()["weight"] == "required"
    with pytest.raises(WardwrightError):
        run("confirm", "EU-NOWHERE-99", "--edition", "x", "--by", "y")


def test_mistakes_are_told_in_words(job: Path, drawing: Path, tmp_path: Path) -> None:
    before = job.read_bytes()
    with pytest.raises(InputError, match="already"):
        run("intake", drawing, "-o", job)
    with pytest.raises(InputError, match="no such file"):
        run("design", job, tmp_path / "nothing.toml")
    with pytest.raises(InputError, match="not a design sheet"):
        run("design", job, drawing)
    with pytest.raises(InputError, match="no finding"):
        run("accept", job, "zzzz", "--who", "A", "--why", "b")
    with pytest.raises(InputError, match="fields are"):
        run("brief", job, "profil=x")
    with pytest.raises(InputError, match="profile"):
        run("brief", job, "profile=x")
    assert run("prove")[0] == 2
    assert job.read_bytes() == before
