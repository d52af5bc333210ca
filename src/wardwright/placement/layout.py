"""The cheapest layout that catches every route: cover, look for what slips by, add it, cover again, till nothing does.

Every row is something each layout that meets the aims has to do, so the cost of the cheapest cover of the rows found so
far is a lower bound at every moment; when no route slips by the cover, it is the optimum: among these candidates, on
this grid, for the panel places tried.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from scipy import sparse

from wardwright.design.devices import Device
from wardwright.placement.chances import Chances
from wardwright.placement.covering import CoverResult, cover_rows, solve_cover
from wardwright.placement.evading import Evasion, candidates_by_spot
from wardwright.placement.prices import Pricing
from wardwright.placement.wants import Aims, Want, opening_wants

SEARCHING = 0.6
"""Share of the time that is spent looking for the cheapest; the rest makes sure every route is caught. [-]"""

ROUGHLY = 0.02
"""While routes still slip by, a choice this much dearer than its bound will do to look for them. [-]"""

Progress = Callable[["Standing"], None]
Stop = Callable[[], bool]


@dataclass(frozen=True)
class Standing:
    """Where the search stands after a round."""

    round: int
    cost: float
    bound: float
    rows: int
    evading: int
    """Routes that still slip by."""
    elapsed_s: float


@dataclass(frozen=True, eq=False)
class Layout:
    """A choice of candidates, what it costs, and how good it is known to be."""

    chances: Chances
    aims: Aims
    chosen: tuple[int, ...]
    pricing: Pricing
    """Where the panel hangs, and what a candidate costs from there."""
    cost: float
    """Of what is chosen anew, with margin and tax; the receiver included where anything talks to it."""
    bound: float
    """No layout that meets the same rows costs less, at any of the panel places."""
    panels: tuple[tuple[Device, float], ...]
    """Every panel place with a lower bound of what its layouts cost."""
    wants: tuple[Want, ...]
    hopeless: tuple[Want, ...]
    """What no choice of candidates can do: ways in, routes, second zones."""
    evading: tuple[Want, ...]
    """Routes that still slip by where the search was stopped early."""
    rounds: tuple[Standing, ...]
    proved: bool
    routes: int
    """Routes looked at. [-]"""
    undecided: tuple[str, ...] = ()

    @property
    def panel(self) -> Device:
        """The place of the panel."""
        return self.pricing.panel

    @property
    def by_radio(self) -> int:
        """New radio devices. [-]"""
        kind = self.pricing.catalogue.kind
        candidates = (self.chances.candidates[i] for i in self.chosen)
        return sum(1 for c in candidates if not c.kept for d in c.devices if kind(d.kind).radio)

    @property
    def gap(self) -> float:
        """How much cheaper a layout could still be, as a share. [-]"""
        return 0.0 if self.proved or self.cost <= 0.0 else max(0.0, (self.cost - self.bound) / self.cost)


@dataclass(eq=False)
class _Search:
    chances: Chances
    aims: Aims
    pricings: Sequence[Pricing]
    ends: float
    stop: Stop | None
    progress: Progress | None
    wants: list[Want] = field(default_factory=list)
    standings: list[Standing] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.begun = time.monotonic()
        candidates = self.chances.candidates
        self.prices = [p.all(candidates) for p in self.pricings]
        self.groups = [g for g in candidates_by_spot(self.chances).values() if len(g) > 1]
        self.keep = [i for i, c in enumerate(candidates) if c.kept]

    def stopped(self) -> bool:
        """Out of time, or told to end."""
        return time.monotonic() >= self.ends or (self.stop is not None and self.stop())

    def late(self) -> bool:
        """Time to make what there is catch every route, rather than to look for something cheaper."""
        return time.monotonic() >= self.begun + SEARCHING * (self.ends - self.begun)

    def nearest(self) -> int:
        """The panel place from which most can be had, and that for the least."""
        worth = [(sum(p is None for p in prices), sum(p or 0.0 for p in prices)) for prices in self.prices]
        return min(range(len(worth)), key=lambda k: worth[k])

    def bound(self, bounds: list[float], panel: int, least: float) -> None:
        """Note a lower bound at one panel place, and what follows from it for the others.

        Where every candidate costs at least a share of what it costs here, so does every layout; one that is to be had
        there and not here says nothing.
        """
        fixed = self.pricings[panel].fixed
        for k, prices in enumerate(self.prices):
            pairs = [(p, q) for p, q in zip(prices, self.prices[panel], strict=True) if p is not None and q != 0.0]
            share = min((p / q if q is not None else 0.0 for p, q in pairs), default=0.0)
            held = least if k == panel else self.pricings[k].fixed + (least - fixed) * min(share, 1.0)
            bounds[k] = max(bounds[k], held)

    def other_places(self, bounds: list[float], answers: dict[int, CoverResult], panel: int) -> int:
        """Ask the other panel places that may be cheaper; the cheapest."""
        for k in (k for k in range(len(self.pricings)) if k != panel):
            if bounds[k] < answers[panel].cost and not self.stopped():
                answers[k] = self.cover(k, answers[panel].chosen)
                bounds[k] = max(bounds[k], answers[k].bound)
        return min(answers, key=lambda k: (len(answers[k].unmet_rows), answers[k].cost, k != panel))

    def rough_bounds(self, bounds: list[float], answers: dict[int, CoverResult], panel: int) -> None:
        """A lower bound for every other panel place, in little time."""
        others = [k for k in range(len(self.pricings)) if k != panel]
        for k in others:
            if not self.stopped():
                left = 0.25 * (self.ends - time.monotonic()) / len(others)
                answers[k] = self.cover(k, answers[panel].chosen, time_limit_s=max(0.2, left))
                bounds[k] = max(bounds[k], answers[k].bound)

    def tell(self, cost: float, bound: float, evading: int) -> None:
        """Note where the search stands, and say so."""
        spent = time.monotonic() - self.begun
        self.standings.append(Standing(len(self.standings) + 1, cost, bound, len(self.wants), evading, spent))
        if self.progress is not None:
            self.progress(self.standings[-1])

    def cover(
        self,
        panel: int,
        start: Sequence[int],
        *,
        fixed: bool = False,
        gap: float = 0.0,
        time_limit_s: float | None = None,
    ) -> CoverResult:
        """The cheapest cover of the rows found so far; with what watches and listens in ``start`` kept where fixed."""
        prices = self.prices[panel]
        held = [i for i in start if self.chances.candidates[i].spot[:2] in ("m:", "g:")] if fixed else []
        forbid = [i for i, p in enumerate(prices) if p is None]
        rows = [(np.flatnonzero(w.given > 0.0).tolist(), w.given[w.given > 0.0].tolist()) for w in self.wants]
        matrix = cover_rows(rows, len(prices)) if rows else sparse.csr_array((0, len(prices)))
        once = self.pricings[panel].fixed
        found = solve_cover(
            [p or 0.0 for p in prices],
            matrix,
            [w.need for w in self.wants],
            time_limit_s=time_limit_s or max(1.0, (self.ends - time.monotonic()) * SEARCHING),
            gap=gap,
            keep=sorted({*self.keep, *held}),
            forbid=forbid,
            groups=self.groups,
            start=start,
            stop=self.stop,
        )
        return replace(found, cost=found.cost + once, bound=found.bound + once)


def _panels(pricings: Sequence[Pricing], bounds: Sequence[float]) -> tuple[tuple[Device, float], ...]:
    """Every panel place once, with the lower of its bounds by wire alone and with radio."""
    lowest: dict[str, tuple[Device, float]] = {}
    for pricing, bound in zip(pricings, bounds, strict=True):
        key = f"{pricing.panel.storey_id} {pricing.panel.position}"
        if key not in lowest or bound < lowest[key][1]:
            lowest[key] = (pricing.panel, bound)
    return tuple(lowest.values())


def lay_out(
    chances: Chances,
    aims: Aims,
    pricings: Sequence[Pricing],
    *,
    time_limit_s: float = 60.0,
    known: Sequence[Want] = (),
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> Layout:
    """Find the cheapest layout.

    Parameters
    ----------
    chances : Chances
        Candidates and what they give.
    aims : Aims
        What is asked.
    pricings : sequence of Pricing
        Prices, one for each place the panel may hang.
    time_limit_s : float
        After this the best found so far is returned with its bound.
    known : sequence of Want
        Rows found before for the same aims.
    progress : callable, optional
        Told where the search stands after each round.
    stop : callable, optional
        Asked now and then; True ends the search.
    """
    search = _Search(chances, aims, pricings, time.monotonic() + time_limit_s, stop, progress)
    watched, unwatched = opening_wants(chances, aims)
    search.wants = [*watched, *known]
    evasion = Evasion(chances, aims, hopeless=list(unwatched))
    bounds = [0.0] * len(pricings)
    answers: dict[int, CoverResult] = {}
    evading: list[Want] = []
    caught: list[tuple[float, tuple[int, ...], int]] = []  # layouts no route slips by: price, candidates, panel place
    panel = search.nearest()
    while True:
        answers[panel] = search.cover(panel, answers[panel].chosen if panel in answers else (), gap=ROUGHLY)
        search.bound(bounds, panel, answers[panel].bound)
        evading = evasion.against(answers[panel].chosen)
        if not evading and not answers[panel].proved:
            caught.append((answers[panel].cost, answers[panel].chosen, panel))
            answers[panel] = search.cover(panel, answers[panel].chosen)
            search.bound(bounds, panel, answers[panel].bound)
            evading = evasion.against(answers[panel].chosen)
        if not evading:
            caught.append((answers[panel].cost, answers[panel].chosen, panel))
            panel = search.other_places(bounds, answers, panel)
            evading = evasion.against(answers[panel].chosen)
        search.tell(answers[panel].cost, min(bounds), len(evading))
        if not evading or search.late() or search.stopped():
            break
        search.wants += evading
    best = answers[panel]
    if not evading:
        caught.append((best.cost, best.chosen, panel))
    else:
        search.rough_bounds(bounds, answers, panel)
    chosen, cost = best.chosen, best.cost
    while not caught and not search.stopped():
        # short of time: keep what is chosen, add what catches the routes that slip by, until none does
        search.wants += evading
        added = search.cover(panel, chosen, fixed=True)
        chosen, cost = added.chosen, added.cost
        evading = evasion.against(chosen)
        search.tell(cost, min(bounds), len(evading))
        if not evading:
            caught.append((cost, chosen, panel))
    if caught:
        cost, chosen, panel = min(caught)
        evading = []
    given_up = [search.wants[r] for r in best.infeasible_rows]
    layout = Layout(
        chances,
        aims,
        chosen,
        pricings[panel],
        cost,
        min([*bounds, cost]),
        _panels(pricings, bounds),
        tuple(search.wants),
        (*evasion.hopeless, *given_up),
        tuple(evading),
        tuple(search.standings),
        bool(caught) and cost <= min(bounds) * (1.0 + 1e-9),
        evasion.looked_at,
        evasion.undecided,
    )
    return _without_idle_receiver(layout, pricings)


def _without_idle_receiver(layout: Layout, pricings: Sequence[Pricing]) -> Layout:
    """The layout without the receiver it counts where nothing talks to it: a search that was stopped may leave one."""
    if layout.by_radio or not layout.pricing.fixed:
        return layout
    wired = next((p for p in pricings if p.panel == layout.panel and p.receiver is None), None)
    if wired is None:
        return layout
    cost = layout.cost - layout.pricing.fixed
    return replace(layout, pricing=wired, cost=cost, bound=min(layout.bound, cost))
