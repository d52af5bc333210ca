"""Three proposals side by side: the least cost that meets the brief, the same with a margin, the best for a budget."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import Route
from wardwright.design.system import Design
from wardwright.errors import InputError
from wardwright.estimate.quote import estimate
from wardwright.placement.finer import FinerLook, look_finer, polish
from wardwright.placement.layout import Layout, Standing, Stop, lay_out
from wardwright.placement.proposal import Problem, Proposal, finished, with_design
from wardwright.placement.spending import IN_FULL, best_for
from wardwright.placement.wants import Aims, Want, restated
from wardwright.prove import Verdict
from wardwright.rules.aims.route import bounds
from wardwright.rules.confirmations import Confirmation

Kind = Literal["least", "margin", "budget"]
KINDS: tuple[Kind, ...] = ("least", "margin", "budget")
TITLES = {
    "least": "Least cost that meets the brief",
    "margin": "With a margin: half the chance of slipping by",
    "budget": "Best detection for the budget",
}
WEAK = 3
"""Weak routes named for each offer. [-]"""
TRIES = 4
"""Times a budget is corrected by what the whole job then costs. [-]"""

Told = Callable[[Kind, Standing], None]


@dataclass(frozen=True, eq=False)
class PlacedOffer:
    """One proposal with what a client and the firm compare."""

    kind: Kind
    proposal: Proposal
    total: Decimal
    """Price of the job, with tax."""
    currency: str
    detectors: int
    worst: Route | None
    """The route noticed least, set with nobody in."""
    latest_first_s: float | None
    """Longest time to first detection over all routes, set with nobody in. [s]"""
    in_time: Route | None
    """The route whose alarm is least likely in time for the response; None where none is quick enough to matter."""
    weak: tuple[Route, ...]
    """The routes noticed least, one for each way in and target."""
    strength: float | None = None
    """For a budget: the power to which the allowed chance of slipping by is raised. [-]"""
    strength_bound: float | None = None
    confirmed: bool | None = None
    """For a budget: it reaches a second zone wherever one is asked for and can be had."""
    finer: FinerLook | None = None
    """What a grid half as coarse says."""


def offer_of(kind: Kind, proposal: Proposal, strength: float | None = None, bound: float | None = None) -> PlacedOffer:
    """The figures of one proposal.

    Parameters
    ----------
    kind : {"least", "margin", "budget"}
        Which of the three it is.
    proposal : Proposal
        The proposal.
    strength, bound : float, optional
        Of a budget.
    """
    assert proposal.proof.estimate is not None  # proposals are proved with a tariff
    away = [r for a in proposal.proof.routes if a.mode == Mode.AWAY.value for r in a.routes]
    by_way: dict[tuple[str, str], Route] = {}
    for route in sorted(away, key=bounds):
        by_way.setdefault((route.opening_id, route.target_id), route)
    weak = tuple(by_way.values())[:WEAK]
    firsts = [r.first_s for r in away if r.first_s is not None]
    return PlacedOffer(
        kind,
        proposal,
        proposal.proof.estimate.total,
        proposal.proof.estimate.currency,
        sum(len(proposal.layout.chances.candidates[i].devices) for i in proposal.layout.chosen),
        weak[0] if weak else None,
        max(firsts, default=None),
        min((r for r in away if r.in_time is not None), key=lambda r: r.in_time or (), default=None),
        weak,
        strength,
        bound,
    )


def three_offers(
    problem: Problem,
    *,
    today: str,
    wanted: Sequence[Kind] = KINDS,
    budget: Decimal | None = None,
    time_limit_s: float = 60.0,
    check: bool = True,
    confirmations: Iterable[Confirmation] = (),
    progress: Told | None = None,
    stop: Stop | None = None,
) -> tuple[PlacedOffer, ...]:
    """Work out the offers.

    Parameters
    ----------
    problem : Problem
        What has to be decided.
    today : str
        ISO date, for the proofs.
    wanted : sequence of {"least", "margin", "budget"}
        Which of them. The least is always worked out, because the others build on it.
    budget : Decimal, optional
        Price of the whole job with tax; None: what the least costs.
    time_limit_s : float
        Seconds for each search.
    check : bool
        Polish each design and look at it again on a grid half as coarse; left out once it was stopped.
    confirmations : iterable of Confirmation
        The firm's.
    progress : callable, optional
        Told the offer and where its search stands.
    stop : callable, optional
        True ends the searches with the best so far.

    Raises
    ------
    InputError
        If a budget does not even pay for panel, keypad and sounders.
    """
    held = tuple(confirmations)

    def telling(kind: Kind) -> Callable[[Standing], None] | None:
        return None if progress is None else lambda standing: progress(kind, standing)

    aims = Aims.of(problem.job.brief)
    first = lay_out(
        problem.chances, aims, problem.pricings, time_limit_s=time_limit_s, progress=telling("least"), stop=stop
    )
    least = offer_of("least", finished(problem, first, today=today, confirmations=held))
    found = [least] if "least" in wanted else []
    if "margin" in wanted:
        stricter = aims.with_margin()
        layout = lay_out(
            problem.chances,
            stricter,
            problem.pricings,
            time_limit_s=time_limit_s,
            known=_known(first, stricter),
            progress=telling("margin"),
            stop=stop,
        )
        found.append(offer_of("margin", finished(problem, layout, today=today, confirmations=held)))
    if "budget" in wanted:
        found.append(_for_budget(problem, first, least, budget, today, held, time_limit_s, telling("budget"), stop))
    # who stops a search waits for what is found, not for a closer look at it
    return tuple(o if not check or (stop is not None and stop()) else _checked(problem, o, today, held) for o in found)


def _checked(problem: Problem, offer: PlacedOffer, today: str, confirmations: tuple[Confirmation, ...]) -> PlacedOffer:
    """The offer polished, where that makes it surer, and looked at again on the finer grid."""
    scheme = offer.proposal.proof.scheme
    kept = [d.id for d in problem.job.design.devices]
    job = offer.proposal.job

    def price(design: Design) -> float:
        priced = estimate(
            design, problem.catalogue, tariff=problem.tariff, premises=job.premises, monitored=job.brief.monitored
        )
        return float(priced.total)

    design, before, after = polish(scheme, kept, price=price)
    if after > before:
        surer = with_design(problem, offer.proposal, design, today=today, confirmations=confirmations)
        if surer.proof.verdict is Verdict.HOLDS or surer.proof.verdict is offer.proposal.proof.verdict:
            again = offer_of(offer.kind, surer, offer.strength, offer.strength_bound)
            offer = replace(again, confirmed=offer.confirmed)
    return replace(offer, finer=look_finer(offer.proposal.proof.scheme))


def _known(layout: Layout, aims: Aims) -> list[Want]:
    """Rows found for looser aims, asked for stricter ones."""
    candidates = layout.chances.candidates
    routes = [restated(w, aims, candidates) for w in layout.wants]
    # what a second zone, or an alarm in time, needs at looser odds it needs at stricter ones
    second = [w for w in layout.wants if w.what in IN_FULL]
    return [*(w for w in routes if w is not None), *second]


def _for_budget(
    problem: Problem,
    first: Layout,
    least: PlacedOffer,
    budget: Decimal | None,
    today: str,
    confirmations: tuple[Confirmation, ...],
    time_limit_s: float,
    progress: Callable[[Standing], None] | None,
    stop: Stop | None,
) -> PlacedOffer:
    """Spend what is left of the budget beside panel and boxes; corrected by what the whole job then costs."""
    limit = budget if budget is not None else least.total
    rest = float(limit) - (float(least.total) - first.cost)
    for _ in range(TRIES):
        if rest <= 0.0:
            break
        spent = best_for(first, problem.pricings, rest, time_limit_s=time_limit_s, progress=progress, stop=stop)
        proposal = finished(problem, spent.layout, today=today, confirmations=confirmations)
        offer = replace(offer_of("budget", proposal, spent.strength, spent.bound), confirmed=spent.confirmed)
        over = float(offer.total) - float(limit)
        if over <= 0.0:
            return offer
        rest -= over + 1.0
    raise InputError(
        f"a budget of {limit:.0f} {least.currency} does not pay for panel, keypad and sounders; the least that "
        f"meets the brief costs {least.total:.0f} {least.currency}",
        where=problem.job.title,
    )
