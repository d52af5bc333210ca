"""Job files: read, migrated, refused in words, never damaged."""

import json
import os
from pathlib import Path

import pytest

from wardwright.errors import JobFileError
from wardwright.job.model import FORMAT, Job
from wardwright.premises.fabric import Storey
from wardwright.premises.model import Premises
from wardwright.storage.job_file import MIGRATIONS, job_from_text, load_job, save_job

SAMPLES = Path(__file__).resolve().parents[2] / "samples"


def small_job() -> Job:
    storey = Storey(id="ground", name="Ground floor", elevation_m=0.0, height_m=2.4)
    return Job(id="j-1", title="Number 1", premises=Premises(name="Number 1", storeys=(storey,)))


def test_a_saved_job_loads_as_itself(tmp_path: Path) -> None:
    save_job(small_job(), tmp_path / "job.json")
    assert load_job(tmp_path / "job.json") == small_job()
    migrated = load_job(SAMPLES / "job-format-1.json")
    save_job(migrated, tmp_path / "migrated.json")
    assert load_job(tmp_path / "migrated.json") == migrated


@pytest.mark.parametrize("number", sorted(MIGRATIONS))
def test_every_old_format_has_a_kept_sample_that_still_loads(number: int) -> None:
    job = load_job(SAMPLES / f"job-format-{number}.json")
    assert job.format == FORMAT
    assert job.firm.name == "Weir Lane Alarms (invented)"
    assert job.premises.openings[0].final_exit


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not a job file"),
        ("[]", "not a job file"),
        ('{"format": 99, "premises": {}}', "newer Wardwright"),
        ('{"format": 0, "premises": {}}', "never released"),
        ('{"format": true, "premises": {}}', "not a whole number"),
        ('{"format": 2, "premises": {"name": NaN}}', "NaN"),
        ("[" * 100_000, "nested too deeply"),
    ],
)
def test_what_is_no_job_is_refused_in_words(text: str, says: str) -> None:
    with pytest.raises(JobFileError, match=says):
        job_from_text(text, where="x.json")


def test_a_wrong_value_names_the_element_and_the_field() -> None:
    tree = json.loads((SAMPLES / "job-format-1.json").read_text())
    tree["premises"]["openings"][0]["width_m"] = -1
    with pytest.raises(JobFileError, match=r"front-door.*width_m.*greater than 0.*-1"):
        job_from_text(json.dumps(tree), where="x.json")


def test_a_failed_write_leaves_the_old_file_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "job.json"
    save_job(small_job(), path)
    before = path.read_bytes()

    def full_disc(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_disc)
    with pytest.raises(JobFileError, match="No space left"):
        save_job(small_job().model_copy(update={"title": "changed"}), path)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]
