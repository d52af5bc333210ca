"""``wardwright corners``: rooms without an inner corner need one corner each."""

import json
from pathlib import Path

from tests.scenarios.test_wrong_programmes import good
from typer.testing import CliRunner

from wardwright.cli import app
from wardwright.errors import InputError
from wardwright.job.model import Job
from wardwright.premises.model import Premises
from wardwright.storage.job_file import save_job


def file(folder: Path, premises: Premises) -> str:
    path = folder / "job.json"
    save_job(Job(id="invented", title="Invented house", invented=True, premises=premises), path)
    return str(path)


def test_two_shut_rooms_need_two_corners_and_one_room_one(tmp_path: Path) -> None:
    job = file(tmp_path, good().premises)
    result = CliRunner().invoke(app, ["corners", job, "--json"])
    assert result.exit_code == 0
    floors = json.loads(result.stdout)
    assert {key: (len(f["corners"]), f["at_least"], f["proved"]) for key, f in floors.items()} == {
        "g": (2, 2, True),
        "u": (1, 1, True),
    }
    said = CliRunner().invoke(app, ["corners", job]).stdout
    assert "Ground floor" in said
    assert said.count("the fewest there can be") == 2


def test_a_building_without_rooms_is_told(tmp_path: Path) -> None:
    bare = good().premises.model_copy(update={"rooms": (), "openings": (), "stairs": (), "targets": ()})
    result = CliRunner().invoke(app, ["corners", file(tmp_path, bare)])
    assert isinstance(result.exception, InputError)
    assert "no storey has a room" in str(result.exception)
