"""The proof of a job: every finding, with the results they rest on."""

from dataclasses import dataclass
from enum import IntEnum

from wardwright.analyses.coverage import CoverageMap
from wardwright.analyses.entry_records import EntryAnalysis
from wardwright.analyses.loops import LoopAnalysis
from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.route_records import RouteAnalysis
from wardwright.analyses.timing import TimingAnalysis
from wardwright.design.check import Problem
from wardwright.design.system import ProtectionScheme
from wardwright.estimate.offers import Offer
from wardwright.estimate.quote import Estimate
from wardwright.findings import Finding, Outcome, Weight
from wardwright.job.model import Departure, Job


class Verdict(IntEnum):
    """What it comes to; the number is the exit status."""

    HOLDS = 0
    REFUTED = 1
    OPEN = 3


@dataclass(frozen=True, eq=False)
class Proof:
    """A job, judged."""

    job: Job
    scheme: ProtectionScheme
    findings: tuple[Finding, ...]
    """All of them: by question, refuted first."""
    accepted: tuple[tuple[Finding, Departure], ...] = ()
    lapsed: tuple[tuple[Departure, str], ...] = ()
    """Departures that no longer hold, with the reason."""
    problems: tuple[Problem, ...] = ()
    """Broken references and impossible values in the design or the building."""
    entry: EntryAnalysis | None = None
    routes: tuple[RouteAnalysis, ...] = ()
    power: PowerAnalysis | None = None
    loops: LoopAnalysis | None = None
    timing: TimingAnalysis | None = None
    coverage: dict[str, CoverageMap] | None = None
    estimate: Estimate | None = None
    offers: tuple[Offer, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Refuted by one refuted requirement, open with one undecided; accepted departures count as settled."""
        settled = {f.identity for f, _ in self.accepted}
        standing = [f for f in self.findings if f.identity not in settled]
        if any(f.refutes for f in standing):
            return Verdict.REFUTED
        if not any(f.weight is Weight.REQUIRED and f.outcome is Outcome.MET for f in self.findings):
            return Verdict.REFUTED  # nothing at all is proved: an empty design is no success
        if any(f.blocks for f in standing):
            return Verdict.OPEN
        return Verdict.HOLDS
