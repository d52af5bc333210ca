"""A firm's stock of jobs proved again: what no longer holds, kills, bad jobs, the cluster."""

import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from tests.scenarios.test_wrong_programmes import good, timers
from typer.testing import CliRunner

from wardwright.audit import engines
from wardwright.audit.engines import in_processes, on_cluster
from wardwright.audit.journal import RUNNING, Journal, basis_of, last_audit
from wardwright.audit.one_job import Task, Terms, audit_job
from wardwright.audit.records import FAILED, Audited, lost
from wardwright.audit.run import RECORDS, audit_folder
from wardwright.cli import app
from wardwright.design.system import ProtectionScheme
from wardwright.documents.register import issue
from wardwright.errors import InputError
from wardwright.job.model import Job
from wardwright.prove import prove
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import job_text, save_job

TERMS = Terms("2026-01-02")


@pytest.fixture(autouse=True)
def firm_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WARDWRIGHT_FIRM", str(tmp_path / "firm"))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1790000000")


def job(number: int = 0, base: ProtectionScheme | None = None) -> Job:
    base = base or good()
    return Job(
        id=f"invented-{number}",
        title=f"Invented house {number}",
        invented=True,
        premises=base.premises,
        design=base.design,
        brief=base.brief,
    )


def without_bell(whole: Job) -> Job:
    """The same with its sounders timed to nothing: an alarm nobody hears."""
    return whole.model_copy(update={"design": timers(bell_s=0).design})


def stock(folder: Path, count: int) -> Path:
    for number in range(count):
        save_job(job(number), folder / f"job-{number}.json")
    return folder


def in_turn(tasks: Sequence[Task]) -> Iterator[Audited]:
    return (audit_job(task) for task in tasks)


def run(*words: str | Path) -> tuple[int, str]:
    result = CliRunner().invoke(app, [str(w) for w in words])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.exit_code, result.stdout


def test_what_is_kept_of_a_job_is_what_its_proof_says() -> None:
    whole = job()
    found = audit_job(Task("job.json", job_text(whole).encode(), TERMS))
    proof = prove(whole, catalogue_of(whole), today=TERMS.today)
    assert found.verdict == proof.verdict.name.lower()
    required = {f.identity: f for f in proof.findings if f.weight.value == "required"}
    assert {s.identity for s in found.standing} == {i for i, f in required.items() if f.refutes or f.blocks}
    assert set(found.held) == {i for i, f in required.items() if f.outcome.value == "met"}
    assert Audited.from_tree(json.loads(json.dumps(found.as_tree()))) == found


def test_one_bad_job_never_stops_the_rest(tmp_path: Path) -> None:
    stock(tmp_path, 2)
    (tmp_path / "half.json").write_text(job_text(job())[:1000], encoding="utf-8")
    (tmp_path / "image.json").write_bytes(b"\xff\xd8\xff\xe0")
    (tmp_path / "newer.json").write_text('{"format": 99, "premises": {}}', encoding="utf-8")
    (tmp_path / "gone.json").symlink_to(tmp_path / "moved-away.json")
    status, said = run("audit", tmp_path, "--workers", "2", "--json")
    assert status == 1
    jobs = {j["file"]: j for j in json.loads(said)["jobs"]}
    assert len(jobs) == 6
    assert {f for f, j in jobs.items() if j["verdict"] == FAILED} == {
        "gone.json",
        "half.json",
        "image.json",
        "newer.json",
    }
    assert "cannot be read" in jobs["gone.json"]["error"]
    assert "newer Wardwright" in jobs["newer.json"]["error"]
    assert "not text" in jobs["image.json"]["error"]
    assert jobs["job-0.json"]["total"]


def test_a_job_that_takes_too_long_is_given_up() -> None:
    found = audit_job(Task("job.json", job_text(job()).encode(), Terms("2026-01-02", seconds_each=0.0)))
    assert found.verdict == FAILED
    assert "given up after 0 s" in found.error
    assert found.title == "Invented house 0"


def test_what_no_longer_holds_against_the_audit_before(tmp_path: Path) -> None:
    stock(tmp_path, 2)
    run("audit", tmp_path, "--workers", "1")
    status, said = run("audit", tmp_path, "--workers", "1", "--json")
    assert json.loads(said)["no_longer_holds"] == []
    save_job(without_bell(job(1)), tmp_path / "job-1.json")
    status, said = run("audit", tmp_path, "--workers", "1", "--json", "--csv", tmp_path / "out.csv")
    assert status == 1
    gone = json.loads(said)["no_longer_holds"]
    assert gone
    assert {g["file"] for g in gone} == {"job-1.json"}
    assert "panel.alarm-audible" in {g["claim"]["rule"] for g in gone}
    assert all(g["job_changed"] for g in gone)
    before = last_audit(tmp_path / RECORDS)
    assert before is not None
    missing = {g["claim"]["identity"] for g in gone}
    assert missing <= {s.identity for j in before.jobs if j.file == "job-1.json" for s in j.standing}
    assert "held in the audit of" in (tmp_path / "out.csv").read_text()
    status, said = run("audit", tmp_path, "--workers", "1")
    assert "still holds" in said.replace("\n", " ")


def test_what_no_longer_holds_against_the_last_papers(tmp_path: Path) -> None:
    whole = job()
    catalogue = catalogue_of(whole)
    proof = prove(whole, catalogue, today=TERMS.today)
    handed = issue(
        whole, paper="client", copy_number=1, to="A. Client (invented)", date="2025-05-05", content=b"paper",
        catalogue=catalogue, findings=proof.findings,
    )  # fmt: skip
    save_job(handed, tmp_path / "same.json")
    save_job(without_bell(handed), tmp_path / "changed.json")
    audit = audit_folder(tmp_path, TERMS, engine=in_turn)
    gone = lost(audit.jobs, None)
    assert gone
    assert {each.file for each in gone} == {"changed.json"}
    assert {each.before for each in gone} == {"held in the client's paper, copy 1, of 2025-05-05"}


def test_a_price_that_moved_is_told(tmp_path: Path) -> None:
    folder = stock(tmp_path / "jobs", 1)
    run("audit", folder, "--workers", "1")
    (tmp_path / "firm").mkdir()
    (tmp_path / "firm" / "tariff.toml").write_text('name = "Dearer (invented)"\nmargin_share = 0.6\n', encoding="utf-8")
    _, said = run("audit", folder, "--workers", "1", "--json")
    moved = json.loads(said)["prices_moved"]
    assert len(moved) == 1
    assert moved[0]["before"] != moved[0]["now"]


def test_a_killed_audit_goes_on_where_it_stopped(tmp_path: Path) -> None:
    """The real command, killed with SIGKILL when some jobs are done; started again it proves only the others."""
    folder = stock(tmp_path / "jobs", 12)
    command = [sys.executable, "-c", "from wardwright.cli import main; main()", "audit", str(folder), "--workers", "2"]
    environment = {**os.environ, "WARDWRIGHT_CACHE": "off", "PYTHONPATH": os.pathsep.join(sys.path)}
    journal = folder / RECORDS / RUNNING
    process = subprocess.Popen(
        command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    end = time.monotonic() + 120.0
    while time.monotonic() < end and (not journal.exists() or journal.read_bytes().count(b"\n") < 4):
        assert process.poll() is None
        time.sleep(0.02)
    process.send_signal(signal.SIGKILL)
    process.wait()
    done = [json.loads(line) for line in journal.read_text().splitlines()[1:] if line.endswith("}")]
    assert 3 <= len(done) < 12
    again = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert f"{len(done)} of 12 are done" in again.stderr
    assert again.stdout.startswith("12 jobs on ")
    finished = last_audit(folder / RECORDS)
    assert finished is not None
    assert not journal.exists()
    kept = {j.file: j.seconds for j in finished.jobs}
    assert all(kept[d["file"]] == d["seconds"] for d in done)  # not proved a second time
    with pytest.raises(ProcessLookupError):  # nobody of the killed run is left behind
        time.sleep(1.0)
        os.killpg(process.pid, 0)


def test_other_rules_or_an_edited_job_are_not_taken_from_a_stopped_audit(tmp_path: Path) -> None:
    folder = stock(tmp_path, 2)
    journal = Journal(folder / RECORDS, basis_of(TERMS))
    for number in range(2):
        text = (folder / f"job-{number}.json").read_bytes()
        journal.add(Audited(f"job-{number}.json", Task("", text, TERMS).sha256, title="kept", verdict="holds"))
    with (folder / RECORDS / RUNNING).open("a") as file:
        file.write('{"file": "torn')  # what a kill in the middle of a line leaves
    save_job(job(7), folder / "job-1.json")
    audit = audit_folder(folder, TERMS, engine=in_turn)
    assert [j.title for j in audit.jobs] == ["kept", "Invented house 7"]
    Journal(folder / RECORDS, basis_of(TERMS)).add(audit.jobs[0])
    other = Terms("2026-01-03")
    assert basis_of(other) != basis_of(TERMS)
    assert audit_folder(folder, other, engine=in_turn).jobs[0].title == "Invented house 0"


def die_on_the_third(task: Task) -> Audited:
    if task.file == "2":
        os.kill(os.getpid(), signal.SIGKILL)
    return Audited(task.file, "", verdict="holds")


def test_a_process_that_dies_is_named_and_the_others_are_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engines, "audit_job", die_on_the_third)
    found = {a.file: a for a in in_processes([Task(str(n), b"", TERMS) for n in range(6)], 2)}
    assert len(found) == 6
    assert [f for f, a in found.items() if a.verdict == FAILED] == ["2"]
    assert "died" in found["2"].error


def test_a_cluster_proves_the_same(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed", reason="needs the extra “cluster”")
    stock(tmp_path, 3)
    (tmp_path / "half.json").write_text("{", encoding="utf-8")
    here = audit_folder(tmp_path, TERMS, engine=in_turn)
    with (
        distributed.LocalCluster(n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None) as cluster,
    ):
        address = cluster.scheduler_address
        there = audit_folder(tmp_path, TERMS, engine=lambda tasks: on_cluster(tasks, address))
    assert there.jobs == here.jobs


def by_thread() -> str:
    """Stands for the hash of a program that is another one at the worker than here."""
    return threading.current_thread().name


@pytest.mark.parametrize(("workers", "said"), [(1, "another version of Wardwright"), (0, "no workers")])
def test_a_cluster_that_cannot_prove_alike_is_refused(workers: int, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    distributed = pytest.importorskip("distributed", reason="needs the extra “cluster”")
    monkeypatch.setattr(engines, "program_hash", by_thread)
    with (
        distributed.LocalCluster(n_workers=workers, processes=False, dashboard_address=None) as cluster,
        pytest.raises(InputError, match=said),
    ):
        list(on_cluster([Task("job.json", b"{", TERMS)], cluster.scheduler_address))


def test_nobody_at_the_address_is_one_plain_sentence(tmp_path: Path) -> None:
    pytest.importorskip("distributed", reason="needs the extra “cluster”")
    stock(tmp_path, 1)
    with pytest.raises(InputError, match="no scheduler answers there"):
        run("audit", tmp_path, "--scheduler", "tcp://127.0.0.1:9")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["missing"], "no folder"),
        (["."], "no job lies in it"),
        ([".", "--workers", "2", "--scheduler", "x"], "either"),
    ],
)
def test_wrong_use_is_told(tmp_path: Path, words: list[str], said: str) -> None:
    with pytest.raises(InputError, match=said):
        run("audit", tmp_path / words[0], *words[1:])
