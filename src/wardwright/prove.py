"""The proof of a job: run every analysis, judge, hold the accepted departures against what was found.

One call, one value: everything the papers and the command line print comes out of :func:`prove`.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import TypeVar

from wardwright.analyses.attack_choices import Choice, attack_choices
from wardwright.analyses.audibility import Audibility, audibility
from wardwright.analyses.beam_reserve import BeamReserve, beam_reserves
from wardwright.analyses.cables import CablePlan, cable_plan
from wardwright.analyses.contact_field import ContactField, contact_fields
from wardwright.analyses.coverage import CoverageMap, coverage_map, hazard_fields
from wardwright.analyses.defeats import AttackAnalysis, attack_analysis
from wardwright.analyses.entry import entry
from wardwright.analyses.entry_records import EntryAnalysis
from wardwright.analyses.glass_hearing import Hearing, glass_hearings
from wardwright.analyses.kept_routes import kept_routes
from wardwright.analyses.loops import LoopAnalysis, loops
from wardwright.analyses.mode import Mode, modes_wanted
from wardwright.analyses.power import PowerAnalysis, power
from wardwright.analyses.programme_proof import ProgrammeProof, programme_proof
from wardwright.analyses.radio import RadioAnalysis, radio
from wardwright.analyses.readings import cable_length_read
from wardwright.analyses.route_records import RouteAnalysis
from wardwright.analyses.scenario.standard import Story, standard_stories
from wardwright.analyses.signal import SignalAnalysis, signal
from wardwright.analyses.site_readings import site_readings
from wardwright.analyses.siting import siting_checks
from wardwright.analyses.siting_records import SitingCheck
from wardwright.analyses.timing import TimingAnalysis, timing
from wardwright.catalogue.kinds import Catalogue
from wardwright.design.brief import Reading
from wardwright.design.check import Problem, check_design
from wardwright.design.system import Design, ProtectionScheme
from wardwright.errors import OutOfRangeError, WardwrightError
from wardwright.estimate.offers import Offer, offers
from wardwright.estimate.quote import Estimate, estimate
from wardwright.estimate.tariff import Tariff
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.job.departures import standings
from wardwright.job.model import Departure, Job
from wardwright.rules.aims.attack import attack_findings
from wardwright.rules.aims.audible import audible_findings
from wardwright.rules.aims.beams import beam_findings
from wardwright.rules.aims.cables import cable_findings
from wardwright.rules.aims.contacts import contact_findings
from wardwright.rules.aims.entry import entry_findings
from wardwright.rules.aims.fabric import fabric_findings
from wardwright.rules.aims.hearing import hearing_findings
from wardwright.rules.aims.living import living_findings
from wardwright.rules.aims.loops import loop_findings
from wardwright.rules.aims.nuisance import nuisance_findings
from wardwright.rules.aims.power import power_findings
from wardwright.rules.aims.programme import programme_findings
from wardwright.rules.aims.radio import radio_findings
from wardwright.rules.aims.readings import site_reading_findings
from wardwright.rules.aims.route import route_findings
from wardwright.rules.aims.signal import signal_findings
from wardwright.rules.confirmations import Confirmation
from wardwright.rules.evidence import Evidence
from wardwright.rules.judge import rule_findings

T = TypeVar("T")

PARTS = (
    "coverage",
    "ways in",
    "contacts",
    "breaking glass",
    "beams",
    "routes",
    "siting",
    "readings on site",
    "cables",
    "supply",
    "loops",
    "radio",
    "walk to the keypad",
    "sound",
    "panel programme",
    "attacks",
    "signalling",
)
"""The parts a proof is worked out in."""


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
    programme: ProgrammeProof | None = None
    contacts: tuple[ContactField, ...] = ()
    glass: tuple[Hearing, ...] = ()
    beams: tuple[BeamReserve, ...] = ()
    siting: tuple[SitingCheck, ...] = ()
    cables: CablePlan | None = None
    attacks: AttackAnalysis | None = None
    signal: SignalAnalysis | None = None
    choices: tuple[Choice, ...] = ()
    """What each choice buys against an attack; worked out for papers only."""
    radio: RadioAnalysis | None = None
    audibility: Audibility | None = None
    coverage: dict[str, CoverageMap] | None = None
    stories: tuple[Story, ...] = ()
    """How the system works, played; with the margin maps, for papers."""
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


def scheme_of(job: Job, catalogue: Catalogue) -> ProtectionScheme:
    """A job as the analyses want it.

    Parameters
    ----------
    job : Job
        The job.
    catalogue : Catalogue
        The kinds its design uses.

    Returns
    -------
    ProtectionScheme
        Building, design, catalogue, brief, and the readings taken on site.
    """
    readings: tuple[Reading, ...] = tuple(r.reading for r in job.site if r.reading is not None)
    return ProtectionScheme(job.premises, job.design, catalogue, job.brief, readings)


def prove(
    job: Job,
    catalogue: Catalogue,
    *,
    today: str,
    confirmations: Iterable[Confirmation] = (),
    tariff: Tariff | None = None,
    with_coverage: bool = False,
    progress: Callable[[str], None] | None = None,
) -> Proof:
    """Everything that can be said about a job.

    Parameters
    ----------
    job : Job
        The job.
    catalogue : Catalogue
        The kinds its design uses.
    today : str
        ISO date, for departures that end.
    confirmations : iterable of Confirmation
        Remembered rows that the firm has confirmed from the text.
    tariff : Tariff, optional
        The firm's prices; with it the estimate and the three offers are worked out too.
    with_coverage : bool
        Work out what only papers show as well: margin maps for drawings, and how the system works, played.
    progress : callable, optional
        Told the name of each part before it is worked out, in the order of ``PARTS``; what it raises stops the work.

    Returns
    -------
    Proof
        Findings, and the results they rest on. A poor or broken design is a finding, never an error.
    """
    scheme = scheme_of(job, catalogue)
    problems = check_design(scheme)
    findings = [_broken(problem) for problem in problems]
    if any(problem.severity == "broken" for problem in problems):
        return _settled(job, scheme, findings, problems, today)
    attempt = _Attempt(findings, progress)
    fields = attempt(Question.ROUTE, "coverage", lambda: {mode: hazard_fields(scheme, mode) for mode in Mode}) or {}
    ways = attempt(Question.ENTRY, "ways in", lambda: entry(scheme, fields))
    contacts = attempt(Question.ENTRY, "contacts", lambda: contact_fields(scheme))
    glass = attempt(
        Question.ENTRY,
        "breaking glass",
        lambda: tuple(told for mode in modes_wanted(scheme) for told in glass_hearings(scheme, mode)),
    )
    beams = attempt(Question.ROUTE, "beams", lambda: beam_reserves(scheme))
    ways_through = attempt(
        Question.ROUTE,
        "routes",
        lambda: tuple(kept_routes(scheme, mode, fields[mode]) for mode in modes_wanted(scheme) if mode in fields),
    )
    sited = attempt(
        Question.NUISANCE, "siting", lambda: tuple(c for d in scheme.fitted for c in siting_checks(scheme, d))
    )
    read = attempt(Question.POWER, "readings on site", lambda: site_readings(scheme))
    laid = attempt(Question.POWER, "cables", lambda: cable_plan(scheme))
    supply = attempt(Question.POWER, "supply", lambda: power(scheme))
    inputs = attempt(Question.POWER, "loops", lambda: loops(scheme))
    links = attempt(Question.POWER, "radio", lambda: radio(scheme))
    walks = attempt(Question.LIVING, "walk to the keypad", lambda: timing(scheme))
    sound = attempt(Question.LIVING, "sound", lambda: audibility(scheme))
    behaviour = attempt(Question.LIVING, "panel programme", lambda: programme_proof(scheme, walks))
    away = next((r for r in ways_through or () if r.mode == Mode.AWAY), None)
    attacked = None
    if away is not None and scheme.brief.monitored:
        attacked = attempt(
            Question.ATTACK,
            "attacks",
            lambda: attack_analysis(scheme, away, fields[Mode.AWAY], contacts or (), inputs, supply),
        )
    signalled = attempt(Question.SIGNAL, "signalling", lambda: signal(scheme, away, attacked, today=today))
    if ways is not None:
        findings.extend(entry_findings(scheme, ways))
        findings.extend(fabric_findings(scheme))
    if contacts is not None:
        findings.extend(contact_findings(scheme, contacts))
    if glass is not None:
        findings.extend(hearing_findings(scheme, glass))
    if beams is not None:
        findings.extend(beam_findings(beams))
    if ways_through is not None:
        findings.extend(route_findings(scheme, ways_through))
    findings.extend(nuisance_findings(sited or (), contacts or ()))
    findings.extend(site_reading_findings(read or ()))
    if laid is not None:
        findings.extend(cable_findings(laid))
    if supply is not None:
        findings.extend(power_findings(scheme, supply))
    if inputs is not None:
        findings.extend(loop_findings(scheme, inputs))
    if links is not None:
        findings.extend(radio_findings(links))
    if sound is not None:
        findings.extend(audible_findings(scheme, sound))
    if walks is not None:
        findings.extend(living_findings(scheme, walks))
    if attacked is not None:
        findings.extend(attack_findings(attacked))
    if signalled is not None:
        findings.extend(signal_findings(scheme, signalled))
    if behaviour is not None:
        findings.extend(programme_findings(scheme, behaviour))
    evidence = Evidence(
        scheme,
        ways,
        ways_through or (),
        supply,
        inputs,
        walks,
        behaviour,
        radio=links,
        audibility=sound,
        glass=glass,
        siting=sited,
    )
    findings.extend(rule_findings(evidence, confirmations))
    return _settled(
        job,
        scheme,
        findings,
        problems,
        today,
        entry=ways,
        routes=ways_through or (),
        power=supply,
        loops=inputs,
        timing=walks,
        programme=behaviour,
        contacts=contacts or (),
        glass=glass or (),
        beams=beams or (),
        siting=sited or (),
        cables=laid,
        attacks=attacked,
        signal=signalled,
        choices=attack_choices(scheme, away, fields[Mode.AWAY], contacts or (), inputs, supply, designed=attacked)
        if with_coverage and away is not None and attacked is not None
        else (),
        radio=links,
        audibility=sound,
        coverage=coverage_map(scheme, Mode.AWAY) if with_coverage else None,
        stories=standard_stories(scheme, walks, ways_through or ()) if with_coverage else (),
        estimate=_estimate(job, scheme, tariff) if tariff else None,
        offers=_offers(job, scheme, tariff) if tariff else (),
    )


class _Attempt:
    """Runs an analysis; what it cannot decide becomes a finding that says why."""

    def __init__(self, findings: list[Finding], progress: Callable[[str], None] | None) -> None:
        self.findings = findings
        self.progress = progress

    def __call__(self, question: Question, name: str, work: Callable[[], T]) -> T | None:
        if self.progress is not None:
            self.progress(name)
        try:
            return work()
        except WardwrightError as error:
            kind = "outside the range of a formula" if isinstance(error, OutOfRangeError) else "could not be computed"
            self.findings.append(
                Finding(
                    rule=f"{question.value}.not-computed",
                    question=question,
                    outcome=Outcome.NOT_DECIDED,
                    weight=Weight.REQUIRED,
                    about=(name,),
                    explanation=f"{name}: {kind}: {error}",
                    plain=f"One part of the proof ({name}) could not be worked out from what is known so far.",
                )
            )
            return None


def _broken(problem: Problem) -> Finding:
    broken = problem.severity == "broken"
    return Finding(
        rule="rules.design-hangs-together",
        question=Question.RULES,
        outcome=Outcome.NOT_MET if broken else Outcome.NOT_DECIDED,
        weight=Weight.REQUIRED if broken else Weight.RECOMMENDED,
        about=(problem.where,),
        explanation=f"{problem.where}: {problem.what}. Expected: {problem.expected}",
        plain="The drawing of the system is not finished: something in it does not fit together yet.",
        citation="the design itself",
        fix=problem.expected,
    )


ORDER = {Outcome.NOT_MET: 0, Outcome.NOT_DECIDED: 1, Outcome.MET: 2, Outcome.DOES_NOT_APPLY: 3}
WEIGHTS = {Weight.REQUIRED: 0, Weight.RECOMMENDED: 1, Weight.REMEMBERED: 2}


def _settled(
    job: Job,
    scheme: ProtectionScheme,
    findings: list[Finding],
    problems: tuple[Problem, ...],
    today: str,
    **results: object,
) -> Proof:
    questions = list(Question)
    ordered = sorted(findings, key=lambda f: (questions.index(f.question), ORDER[f.outcome], WEIGHTS[f.weight]))
    proof = Proof(
        job=job,
        scheme=scheme,
        findings=tuple(ordered),
        problems=problems,
        **results,  # type: ignore[arg-type]
    )
    return with_departures(proof, job, today=today)


def with_departures(proof: Proof, job: Job, *, today: str) -> Proof:
    """The same proof for a job that differs in its departures only: nothing is worked out again.

    Parameters
    ----------
    proof : Proof
        What was found.
    job : Job
        The job with the departures that count now.
    today : str
        ISO date, for departures that end.

    Returns
    -------
    Proof
        With what is accepted, and what no longer holds.
    """
    held = standings(job.departures, proof.findings, today=today)
    return replace(
        proof,
        job=job,
        accepted=tuple((s.finding, s.departure) for s in held if s.finding is not None and not s.lapsed),
        lapsed=tuple((s.departure, s.lapsed) for s in held if s.lapsed),
    )


def _as_laid(scheme: ProtectionScheme) -> Design:
    """The design with every cable at the length read on site, where one was."""
    cables = tuple(
        c if (read := cable_length_read(scheme, c.id)) is None else c.model_copy(update={"length_m": read})
        for c in scheme.design.cables
    )
    return scheme.design.model_copy(update={"cables": cables})


def _estimate(job: Job, scheme: ProtectionScheme, tariff: Tariff) -> Estimate:
    design, brief = _as_laid(scheme), job.brief
    return estimate(design, scheme.catalogue, tariff=tariff, premises=job.premises, monitored=brief.monitored)


def _offers(job: Job, scheme: ProtectionScheme, tariff: Tariff) -> tuple[Offer, ...]:
    design, brief = _as_laid(scheme), job.brief
    return offers(design, scheme.catalogue, tariff=tariff, premises=job.premises, monitored=brief.monitored)
