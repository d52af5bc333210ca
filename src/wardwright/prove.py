"""The proof of a job: every finding, with the results they rest on."""

from dataclasses import dataclass
from typing import Any

from wardwright.analyses.entry import EntryAnalysis
from wardwright.analyses.loops import LoopAnalysis
from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.routes import RouteAnalysis
from wardwright.analyses.timing import TimingAnalysis
from wardwright.design.system import ProtectionScheme
from wardwright.estimate.offers import Offer
from wardwright.estimate.quote import Estimate
from wardwright.findings import Finding
from wardwright.job.model import Departure, Job


@dataclass(frozen=True)
class Proof:
    """Stub."""

    job: Job
    scheme: ProtectionScheme
    findings: tuple[Finding, ...]
    accepted: tuple[tuple[Finding, Departure], ...]
    lapsed: tuple[Departure, ...]
    entry: EntryAnalysis | None
    routes: tuple[RouteAnalysis, ...]
    power: PowerAnalysis | None
    loops: LoopAnalysis | None
    timing: TimingAnalysis | None
    coverage: Any
    estimate: Estimate | None
    offers: tuple[Offer, ...]
