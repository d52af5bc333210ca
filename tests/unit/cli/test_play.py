"""The play command: what it writes, for whom, and what it says to a slip."""

import csv
import json
from pathlib import Path

import pytest
from tests.house import scheme
from typer.testing import CliRunner

from wardwright.cli import app
from wardwright.errors import InputError
from wardwright.job.model import Job
from wardwright.storage.job_file import save_job

SCRIPT = """
title = "A break-in (invented)"
begins = "08:00"
set_away = ["house"]
seed = 4

[[actor]]
id = "burglar"
kind = "intruder"
name = "Intruder"

[[actor.act]]
do = "break in"
by = "window"
to = "jewels"
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    system = scheme()
    path = tmp_path / "job.json"
    save_job(Job(id="house", title="House", premises=system.premises, design=system.design, brief=system.brief), path)
    (tmp_path / "script.toml").write_text(SCRIPT, encoding="utf-8")
    return path


def run(job: Path, *words: str, script: str = "script.toml") -> str:
    result = CliRunner().invoke(app, ["play", str(job), str(job.parent / script), *words], env={"COLUMNS": "240"})
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.output


def test_it_tells_the_timeline_and_what_became_of_the_intruder(job: Path) -> None:
    told = run(job)
    assert "alarm: Living" in " ".join(told.split())
    assert "Intruder by Living window: alarm" in told
    assert "target taken after" in told


def test_it_writes_a_page_a_table_and_all_of_it(job: Path) -> None:
    names = [job.parent / f"out.{kind}" for kind in ("html", "csv", "json")]
    run(job, *(word for name in names for word in ("-o", str(name))))
    assert names[0].read_text(encoding="utf-8").startswith("<!doctype html>")
    rows = list(csv.DictReader(names[1].read_text(encoding="utf-8").splitlines()))
    assert any("1131 01 002; BA" in row["reports"] for row in rows)  # SIA DC-05 perimeter, DC-03 burglary, from memory
    whole = json.loads(names[2].read_text(encoding="utf-8"))
    assert whole["intrusions"][0]["had_ms"] > 0
    assert json.loads(run(job, "--json")) == whole


def test_a_clients_timeline_does_not_tell_what_was_taken_when(job: Path) -> None:
    told = run(job, "--for", "client", "--json")
    assert json.loads(told)["intrusions"][0]["had_ms"] is None
    assert "Jewellery" not in told
    (job.parent / "unset.toml").write_text(SCRIPT.replace('set_away = ["house"]', ""), encoding="utf-8")
    with pytest.raises(InputError, match="no page for a client"):
        run(job, "--for", "client", script="unset.toml")


@pytest.mark.parametrize(
    ("words", "script", "says"),
    [
        (["-o", "out.pdf"], "script.toml", "written as .html, .csv, .json"),
        ([], "none.toml", "there is no such file"),
    ],
)
def test_a_slip_is_one_plain_sentence(job: Path, words: list[str], script: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        run(job, *words, script=script)
