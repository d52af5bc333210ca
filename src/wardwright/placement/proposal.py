"""A whole proposal for a job: candidates, the cheapest layout of them, a whole design, and its proof."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from wardwright.analyses.mode import modes_wanted
from wardwright.catalogue.kinds import Catalogue
from wardwright.design.devices import Device, Keep
from wardwright.design.system import Design, ProtectionScheme
from wardwright.errors import InputError
from wardwright.estimate.tariff import Tariff
from wardwright.job.ids import replaced
from wardwright.job.model import Job
from wardwright.placement.candidates import BY_RADIO, Candidate, Offered, offered
from wardwright.placement.chances import Chances
from wardwright.placement.complete import complete
from wardwright.placement.equipment import controls
from wardwright.placement.layout import Layout, Progress, Stop, lay_out
from wardwright.placement.panel_places import panel_places
from wardwright.placement.prices import Pricing
from wardwright.placement.radio_receiver import with_radio
from wardwright.placement.wants import Aims, Want
from wardwright.prove import Proof, prove, scheme_of
from wardwright.rules.confirmations import Confirmation

PLACES = 4
"""Places for the panel that are tried. [-]"""


@dataclass(frozen=True, eq=False)
class Problem:
    """What has to be decided, worked out once for all offers."""

    job: Job
    scheme: ProtectionScheme
    offered: Offered
    chances: Chances
    pricings: tuple[Pricing, ...]
    catalogue: Catalogue
    tariff: Tariff


@dataclass(frozen=True, eq=False)
class Proposal:
    """One proposed design, proved."""

    layout: Layout
    offered: Offered
    job: Job
    proof: Proof
    names: dict[str, str]
    """Id in the design by the id of the candidate's device."""

    @property
    def in_the_way(self) -> tuple[Want, ...]:
        """What no choice of candidates can do: one for each opening, attack, target and mode."""
        found = {(w.what, w.mode, w.opening_id, w.attack, w.target_id): w for w in self.layout.hopeless}
        return tuple(found.values())


def problem_of(job: Job, catalogue: Catalogue, tariff: Tariff) -> Problem:
    """What has to be decided for a job.

    Parameters
    ----------
    job : Job
        Building, brief, and what is placed already: it is kept. What is marked replaced is taken for gone.
    catalogue : Catalogue
        Kinds that may be placed.
    tariff : Tariff
        The firm's prices.

    Raises
    ------
    InputError
        If there is nothing to protect, no way in, or no place and no kind for a panel.
    """
    scheme = scheme_of(job, catalogue)
    if not job.premises.targets and not job.premises.beds:
        raise InputError("say first what is worth stealing and where it lies, or where people sleep", where=job.title)
    if any(d.status is Keep.REPLACED for d in job.design.devices):
        gone = {d.id for d in job.design.devices if d.status is Keep.REPLACED}
        scheme = replace(scheme, design=job.design.model_copy(update={"devices": _left(job.design.devices, gone)}))
    found = offered(scheme)
    if not found.candidates:
        raise InputError("no opening can be reached from outside, so there is nothing to place", where=job.title)
    panels = controls(scheme, 1)
    places = panel_places(scheme, panels[0].panel.id if panels else "")
    if not places or (not panels and not scheme.of_family()):
        raise InputError(
            "no control panel of the brief's grade is in the catalogue, or no room suits one", where=job.title
        )
    no_cable = tariff.cable_kind in scheme.brief.ruled_out
    priced = [Pricing(job.premises, catalogue, tariff, place, no_cable=no_cable) for place in places]
    # places from which most can be wired, and that for the least; the proof is for these
    wired = sorted(priced, key=lambda p: _reach(p, found.candidates))[:PLACES]
    radio = [p for each in wired if (p := with_radio(scheme, each, found.candidates)) is not None]
    held = _worth_having(found.candidates, (*wired, *radio))
    chances = Chances(scheme, held, modes_wanted(scheme))
    radio = radio if any(catalogue.kind(d.kind).radio for c in held if not c.kept for d in c.devices) else []
    return Problem(job, scheme, replace(found, candidates=held), chances, (*wired, *radio), catalogue, tariff)


def _reach(pricing: Pricing, candidates: Sequence[Candidate]) -> tuple[int, float]:
    """Candidates that cannot be wired to a panel place, and the price of all others."""
    prices = pricing.all(candidates)
    return sum(p is None for p in prices), sum(p or 0.0 for p in prices)


def _worth_having(candidates: Sequence[Candidate], pricings: Sequence[Pricing]) -> tuple[Candidate, ...]:
    """All but what can be neither wired nor heard from any panel place, and radio that nowhere costs less than wire."""
    prices = [dict(zip((c.id for c in candidates), p.all(candidates), strict=True)) for p in pricings]

    def pays(candidate: Candidate) -> bool:
        for held in prices:
            price, other = held[candidate.id], held.get(candidate.id.removesuffix(BY_RADIO))
            if price is not None and (other is None or price < other or not candidate.id.endswith(BY_RADIO)):
                return True
        return False

    return tuple(c for c in candidates if pays(c))


def _left(devices: Iterable[Device], gone: set[str]) -> tuple[Device, ...]:
    return tuple(d for d in devices if d.id not in gone)


def propose(
    problem: Problem,
    *,
    today: str,
    aims: Aims | None = None,
    time_limit_s: float = 60.0,
    confirmations: Iterable[Confirmation] = (),
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> Proposal:
    """The cheapest design that meets the aims, completed and proved.

    Parameters
    ----------
    problem : Problem
        What has to be decided.
    today : str
        ISO date, for the proof.
    aims : Aims, optional
        What is asked; the brief's own where nothing is said.
    time_limit_s : float
        Seconds for the search; after them the best so far.
    confirmations : iterable of Confirmation
        The firm's.
    progress, stop : callable, optional
        As for :func:`~wardwright.placement.layout.lay_out`.
    """
    wanted = aims or Aims.of(problem.job.brief)
    layout = lay_out(problem.chances, wanted, problem.pricings, time_limit_s=time_limit_s, progress=progress, stop=stop)
    return finished(problem, layout, today=today, confirmations=confirmations)


def finished(problem: Problem, layout: Layout, *, today: str, confirmations: Iterable[Confirmation] = ()) -> Proposal:
    """A layout as a whole design in its job, proved with its price.

    Parameters
    ----------
    problem : Problem
        What it was found for.
    layout : Layout
        The layout.
    today : str
        ISO date.
    confirmations : iterable of Confirmation
        The firm's.
    """
    design, names = complete(layout, problem.scheme, problem.tariff, frozenset(problem.job.retired_ids))
    job, proof = _proved(problem, design, today, confirmations)
    return Proposal(layout, problem.offered, job, proof, names)


def with_design(
    problem: Problem,
    proposal: Proposal,
    design: Design,
    *,
    today: str,
    confirmations: Iterable[Confirmation] = (),
) -> Proposal:
    """The proposal with a design in its job, proved.

    Parameters
    ----------
    problem : Problem
        What it was found for.
    proposal : Proposal
        The proposal.
    design : Design
        The design it is to have.
    today : str
        ISO date.
    confirmations : iterable of Confirmation
        The firm's.
    """
    job, proof = _proved(problem, design, today, confirmations)
    return replace(proposal, job=job, proof=proof)


def _proved(problem: Problem, design: Design, today: str, confirmations: Iterable[Confirmation]) -> tuple[Job, Proof]:
    job = replaced(problem.job, problem.job.model_copy(update={"design": design}))
    return job, prove(job, problem.catalogue, today=today, confirmations=confirmations, tariff=problem.tariff)
