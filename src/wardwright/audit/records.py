"""What an audit keeps of every job, and the comparison with what was kept or handed over before."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from typing import Any

FAILED = "failed"
"""The verdict of a job that could not be proved at all; the others are those of a proof, in lower case."""


@dataclass(frozen=True)
class Standing:
    """A required claim that fails or is open, and that nobody has taken on."""

    identity: str
    rule: str
    outcome: str
    about: tuple[str, ...]
    explanation: str


@dataclass(frozen=True)
class Paper:
    """The last paper handed over that says what held on its day."""

    name: str
    """Paper, copy and date, in words."""
    held: tuple[str, ...]
    """Identities of the required claims it showed as met."""
    rules: tuple[str, ...]
    """Their rules."""
    standing: tuple[str, ...]
    """Identities of those it showed as not met or open."""


@dataclass(frozen=True)
class Audited:
    """One job, proved again."""

    file: str
    sha256: str
    """Of the file, so that a change of the job is told from a change of the rules."""
    job: str = ""
    title: str = ""
    verdict: str = FAILED
    error: str = ""
    held: tuple[str, ...] = ()
    """Identities of required claims that are met or taken on."""
    rules: tuple[str, ...] = ()
    """Their rules: what is met of a whole programme fails for one zone of it, and is then another claim of the rule."""
    standing: tuple[Standing, ...] = ()
    total: str = ""
    """Price with tax, with its currency; empty where nothing can be priced."""
    paper: Paper | None = None
    seconds: float = field(default=0.0, compare=False)

    def as_tree(self) -> dict[str, Any]:
        """For JSON."""
        return asdict(self)

    @staticmethod
    def from_tree(tree: dict[str, Any]) -> "Audited":
        """From JSON."""
        paper = tree.get("paper")
        return Audited(
            **{
                **tree,
                "held": tuple(tree["held"]),
                "rules": tuple(tree["rules"]),
                "standing": tuple(Standing(**{**s, "about": tuple(s["about"])}) for s in tree["standing"]),
                "paper": None
                if paper is None
                else Paper(paper["name"], tuple(paper["held"]), tuple(paper["rules"]), tuple(paper["standing"])),
            }
        )


@dataclass(frozen=True)
class Audit:
    """All jobs of a folder, on one day, by one state of the rules."""

    date: str
    basis: str
    """Hash of program, lists, prices, confirmations and day: what a proof depends on beside the job."""
    jobs: tuple[Audited, ...]


@dataclass(frozen=True)
class Lost:
    """A claim that held before and does not any more, or that was never asked before and is not met."""

    file: str
    title: str
    claim: Standing
    before: str
    """Where it held, in words; or that it was not asked then."""
    job_changed: bool
    """The job itself was edited since: the cause may lie there and not in a rule."""


@dataclass(frozen=True)
class Moved:
    """A price that is another one now."""

    file: str
    title: str
    before: str
    now: str


def lost(now: Iterable[Audited], before: Audit | None) -> list[Lost]:
    """What no longer holds: against the audit before, or where the job was not in it, against its last paper."""
    earlier = {} if before is None else {job.file: job for job in before.jobs if job.verdict != FAILED}
    found = []
    for job in now:
        was = earlier.get(job.file)
        if was is not None and before is not None:
            held, rules, standing = was.held, was.rules, {claim.identity for claim in was.standing}
            where, changed = f"the audit of {before.date}", was.sha256 != job.sha256
        elif job.paper is not None:
            held, rules, standing = job.paper.held, job.paper.rules, set(job.paper.standing)
            where, changed = job.paper.name, True
        else:
            continue
        for claim in job.standing:
            if claim.identity not in standing:
                known = claim.identity in held or claim.rule in rules
                said = f"held in {where}" if known else f"not asked in {where}"
                found.append(Lost(job.file, job.title, claim, said, changed))
    return found


def moved(now: Iterable[Audited], before: Audit | None) -> list[Moved]:
    """Prices that changed since the audit before."""
    earlier = {} if before is None else {job.file: job.total for job in before.jobs}
    found = []
    for job in now:
        was = earlier.get(job.file, "")
        if was and job.total and was != job.total:
            found.append(Moved(job.file, job.title, was, job.total))
    return found
