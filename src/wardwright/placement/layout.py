"""The cheapest layout that catches every route: cover, look for what slips by, add it, cover again, till nothing does.

Every row is something each layout that meets the aims has to do, so the cost of the cheapest cover of the rows found so
far is a lower bound at every moment; when no route slips by the cover, it is the optimum: among these candidates, on
this grid, for the panel places tried.
"""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy import sparse

from wardwright.design.devices import Device
from wardwright.placement.chances import Chances
from wardwright.placement.covering import CoverResult, cover_rows, solve_cover
from wardwright.placement.evading import Evasion, candidates_by_spot
from wardwright.placement.prices import Pricing
from wardwright.placement.wants import Aims, Want, opening_wants

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
    panel: Device
    cost: float
    """Of what is chosen anew, with margin and tax."""
    bound: float
    """No layout that meets the same rows costs less, at any of the panel places."""
    panels: tuple[tuple[Device, float], ...]
    """Every panel place with the least its layouts cost."""
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
        return time.monotonic() >= self.ends or (self.stop is not None and self.stop())

    def cover(self, panel: int, start: Sequence[int]) -> CoverResult:
        prices = self.prices[panel]
        forbid = [i for i, p in enumerate(prices) if p is None]
        rows = [(np.flatnonzero(w.given > 0.0).tolist(), w.given[w.given > 0.0].tolist()) for w in self.wants]
        matrix = cover_rows(rows, len(prices)) if rows else sparse.csr_array((0, len(prices)))
        return solve_cover(
            [p or 0.0 for p in prices],
            matrix,
            [w.need for w in self.wants],
            time_limit_s=max(0.5, self.ends - time.monotonic()),
            keep=self.keep,
            forbid=forbid,
            groups=self.groups,
            start=start,
            stop=self.stop,
        )


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
    answers: dict[int, CoverResult] = {}
    shut: set[int] = set()
    evading: list[Want] = []
    panel, number = 0, 0
    while True:
        number += 1
        for k in range(len(pricings)):
            if k not in answers or k not in shut:
                answers[k] = search.cover(k, answers[k].chosen if k in answers else ())
        panel = min(answers, key=lambda k: (len(answers[k].unmet_rows), answers[k].cost))
        evading = evasion.against(answers[panel].chosen)
        told = Standing(
            number,
            answers[panel].cost,
            min(a.bound for a in answers.values()),
            len(search.wants),
            len(evading),
            time.monotonic() - search.begun,
        )
        search.standings.append(told)
        if progress is not None:
            progress(told)
        if not evading or search.stopped():
            break
        search.wants += evading
    best = answers[panel]
    given_up = [search.wants[r] for r in best.infeasible_rows]
    return Layout(
        chances,
        aims,
        best.chosen,
        pricings[panel].panel,
        best.cost,
        min(a.bound for a in answers.values()),
        tuple((pricings[k].panel, a.cost) for k, a in sorted(answers.items())),
        tuple(search.wants),
        (*evasion.hopeless, *given_up),
        tuple(evading),
        tuple(search.standings),
        not evading and all(a.proved for a in answers.values()),
        evasion.looked_at,
        evasion.undecided,
    )
