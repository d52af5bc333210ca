"""One job of an audit: from the text of its file to what is kept of its proof. Pure, so that any engine may run it."""

import hashlib
import time
from dataclasses import dataclass
from pathlib import Path

import wardwright
from wardwright.audit.records import FAILED, Audited, Paper, Standing
from wardwright.errors import WardwrightError
from wardwright.estimate.tariff import Tariff
from wardwright.findings import Outcome, Weight
from wardwright.job.model import Issued, Job
from wardwright.prove import Proof, prove
from wardwright.rules.confirmations import Confirmation
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import job_from_text


@dataclass(frozen=True)
class Terms:
    """What a proof depends on beside the job: the firm's confirmations and prices, and the day."""

    today: str
    confirmations: tuple[Confirmation, ...] = ()
    tariff: Tariff | None = None
    seconds_each: float = 600.0
    """A job that takes longer is given up; looked at between the parts of its proof. [s]"""


@dataclass(frozen=True)
class Task:
    """One file to be proved."""

    file: str
    content: bytes
    terms: Terms

    @property
    def sha256(self) -> str:
        """Of the content."""
        return hashlib.sha256(self.content).hexdigest()


class _TooLongError(WardwrightError):
    """A job took longer than it was given."""


def program_hash() -> str:
    """Hash of this program with all its lists: two that prove alike."""
    told = hashlib.sha256()
    root = Path(wardwright.__file__).parent
    for path in sorted(p for p in root.rglob("*") if p.suffix in {".py", ".csv", ".toml", ".json"}):
        told.update(str(path.relative_to(root)).encode() + b"\0" + path.read_bytes())
    return told.hexdigest()


def audit_job(task: Task) -> Audited:
    """Prove one job; whatever goes wrong becomes its line of the table.

    Parameters
    ----------
    task : Task
        The file and what it is proved by.
    """
    begin = time.monotonic()
    job: Job | None = None

    def in_time(part: str) -> None:
        if time.monotonic() - begin > task.terms.seconds_each:
            raise _TooLongError(f"given up after {task.terms.seconds_each:.0f} s, before the part “{part}”")

    try:
        job = job_from_text(task.content.decode("utf-8"), where=task.file)
        proof = prove(
            job,
            catalogue_of(job),
            today=task.terms.today,
            confirmations=task.terms.confirmations,
            tariff=task.terms.tariff,
            progress=in_time,
        )
        return _kept(task, proof, time.monotonic() - begin)
    except UnicodeDecodeError:
        error = f"{task.file}: not a job file: it is not text"
    except WardwrightError as problem:
        error = str(problem).splitlines()[0]
    except Exception as problem:  # a mistake of this program in one job must not end the audit of the others
        error = f"a mistake of the program: {type(problem).__name__}: {problem}"
    return failed(task, error, job=job, seconds=time.monotonic() - begin)


def failed(task: Task, error: str, *, job: Job | None = None, seconds: float = 0.0) -> Audited:
    """The line of a job that could not be proved."""
    name, title = ("", "") if job is None else (job.id, job.title)
    return Audited(task.file, task.sha256, name, title, FAILED, error, seconds=seconds)


def _kept(task: Task, proof: Proof, seconds: float) -> Audited:
    taken = {finding.identity for finding, _ in proof.accepted}
    required = [f for f in proof.findings if f.weight is Weight.REQUIRED]
    standing = [
        Standing(f.identity, f.rule, f.outcome.value, f.about, f.explanation)
        for f in required
        if f.identity not in taken and (f.refutes or f.blocks)
    ]
    bad = {claim.identity for claim in standing}
    held = [f for f in required if (f.outcome is Outcome.MET or f.identity in taken) and f.identity not in bad]
    price = proof.estimate
    return Audited(
        task.file,
        task.sha256,
        proof.job.id,
        proof.job.title,
        proof.verdict.name.lower(),
        "",
        tuple(sorted({f.identity for f in held})),
        tuple(sorted({f.rule for f in held})),
        tuple(standing),
        "" if price is None else f"{price.total:.2f} {price.currency}",
        _last_paper(proof.job.issued),
        seconds,
    )


def _last_paper(issued: tuple[Issued, ...]) -> Paper | None:
    """The youngest paper that kept what it showed as met."""
    for paper in reversed(issued):
        told = [paper.snapshot.get(key) for key in ("held", "rules", "standing")]
        if all(isinstance(each, list) for each in told):
            held, rules, standing = (tuple(str(word) for word in each or ()) for each in told)
            name = f"the {paper.paper}'s paper, copy {paper.copy_number}, of {paper.date}"
            return Paper(name, held, rules, standing)
    return None
