"""``wardwright verify``: what it prints, and its exit status."""

import json
from dataclasses import replace
from pathlib import Path

from tests.scenarios.test_wrong_programmes import good, timers
from typer.testing import CliRunner

from wardwright.cli import app
from wardwright.design.system import ProtectionScheme
from wardwright.job.model import Job
from wardwright.storage.job_file import save_job


def job_file(folder: Path, scheme: ProtectionScheme) -> str:
    path = folder / "job.json"
    save_job(
        Job(
            id="invented",
            title="Invented house",
            invented=True,
            premises=scheme.premises,
            design=scheme.design,
            brief=scheme.brief,
        ),
        path,
    )
    return str(path)


def test_a_right_programme_is_proved(tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["verify", job_file(tmp_path, good()), "--reductions"])
    assert result.exit_code == 0, result.output
    assert "refuted" not in result.output
    assert "treated alike" in result.output.replace("\n", " ")


def test_a_wrong_one_is_refuted_with_its_story(tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["verify", job_file(tmp_path, timers(bell_s=0)), "--json"])
    assert result.exit_code == 1
    answers = {a["key"]: a for a in json.loads(result.output)["answers"]}
    assert answers["alarm-audible"]["proved"] is False
    assert "keypad: alarm" in answers["alarm-audible"]["story"]


def test_own_properties_are_asked_too(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text('[properties]\nhall = "while set away: zone “Hall” trips -> entry time"\n', encoding="utf-8")
    result = CliRunner().invoke(app, ["verify", job_file(tmp_path, good()), "--own", str(own)])
    assert result.exit_code == 1
    assert "Hall trips" in result.output


def test_no_programme_is_plainly_refused(tmp_path: Path) -> None:
    scheme = good()
    empty = replace(scheme, design=scheme.design.model_copy(update={"programme": type(scheme.design.programme)()}))
    result = CliRunner().invoke(app, ["verify", job_file(tmp_path, empty)])
    assert "no area" in str(result.exception)
