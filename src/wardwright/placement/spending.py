"""The best detection a budget buys: the weakest way in or route made as strong as it can be."""

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from wardwright.placement.budget import BudgetResult, solve_budget, solve_weakest
from wardwright.placement.covering import cover_rows, solve_cover
from wardwright.placement.evading import Evasion, candidates_by_spot
from wardwright.placement.integer_program import Matrix
from wardwright.placement.layout import Layout, Progress, Standing, Stop
from wardwright.placement.prices import Pricing
from wardwright.placement.wants import Want

LEAST_STRENGTH = 0.02
"""Below this share of what is asked a budget buys nothing worth proposing. Assumption. [-]"""
IN_FULL = ("second zone", "in time")
"""Rows that are met as the brief asks or given up, not made stronger."""
MOST_STRENGTH = 6.0
"""Beyond this nothing is gained: the chance of slipping by to the sixth power. Assumption. [-]"""


@dataclass(frozen=True, eq=False)
class Spent:
    """A layout for a budget."""

    layout: Layout
    strength: float
    """Everywhere, the chance of slipping by is at most what the brief allows, raised to this power. [-]"""
    bound: float
    """No layout within the budget does better. [-]"""
    confirmed: bool
    """Second zones are kept wherever the aims ask for one and one can be had; False where the money does not reach."""


def best_for(
    start: Layout,
    pricings: Sequence[Pricing],
    budget: float,
    *,
    time_limit_s: float = 30.0,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> Spent:
    """Spend a budget on the weakest way in or route, again and again.

    Parameters
    ----------
    start : Layout
        The cheapest layout that meets the aims: its rows and its panel place are taken over.
    pricings : sequence of Pricing
        Those for that place are tried: by wire alone, and with radio.
    budget : float
        What the detectors may cost, a receiver for radio included, with margin and tax.
    time_limit_s : float
        Seconds for the search.
    progress, stop : callable, optional
        As for :func:`~wardwright.placement.layout.lay_out`.

    Returns
    -------
    Spent
        Where the money reaches them, second zones are kept wherever the aims ask for one; then the rest of it makes the
        weakest way in or route surer. Money that does not even watch them all is spent where it watches most: strength
        0, and those that are left are what evades.
    """
    here = [p for p in pricings if p.panel == start.panel and p.fixed <= budget] or [start.pricing]
    tried = [_Spending(start, p, budget, time_limit_s / len(here), progress, stop).spend() for p in here]
    best = max(tried, key=lambda s: (s.confirmed, s.strength, -len(s.layout.evading), -s.layout.cost))
    return replace(best, bound=max(s.bound for s in tried))


@dataclass(eq=False)
class _Spending:
    """One search, from one panel place."""

    start: Layout
    pricing: Pricing
    budget: float
    time_limit_s: float
    progress: Progress | None
    stop: Stop | None

    def __post_init__(self) -> None:
        self.begun = time.monotonic()
        candidates = self.start.chances.candidates
        prices = self.pricing.all(candidates)
        self.costs = [p or 0.0 for p in prices]
        self.forbid = [i for i, p in enumerate(prices) if p is None]
        self.keep = [i for i, c in enumerate(candidates) if c.kept]
        self.groups = [g for g in candidates_by_spot(self.start.chances).values() if len(g) > 1]
        self.wants = [w for w in self.start.wants if w.what not in IN_FULL]
        self.seconds = [w for w in self.start.wants if w.what in IN_FULL and w not in self.start.hopeless]
        self.confirmed = True
        """The money reaches a second zone wherever one is asked for, as far as is known."""

    def spend(self) -> Spent:
        """Make the weakest stronger until no route is weaker than what is counted."""
        start, chances, aims = self.start, self.start.chances, self.start.aims
        standings: list[Standing] = []
        chosen: tuple[int, ...] = tuple(self.keep)
        looked_at = 0
        while True:
            found = self._weakest(chosen)
            chosen, strength = found.chosen, min(found.value, MOST_STRENGTH)
            if strength <= LEAST_STRENGTH and self.confirmed and self.seconds:
                # a second zone here is no use while another way in is not watched at all
                self.confirmed = False
                continue
            evading: list[Want] = []
            if strength <= LEAST_STRENGTH:
                found = self._most(chosen)
                chosen, strength = found.chosen, 0.0
                evading = [w for w in self.wants if w.short(chosen) > 1e-6]
            if strength > LEAST_STRENGTH:
                surer = replace(aims.with_miss(strength), confirm=aims.confirm)
                evasion = Evasion(chances, surer, two_zones=self.confirmed)
                evading = evasion.against(chosen)
                looked_at += evasion.looked_at
            spent = time.monotonic() - self.begun
            rows = len(self.wants) + len(self.seconds)
            standings.append(Standing(len(standings) + 1, found.cost, found.cost, rows, len(evading), spent))
            if self.progress is not None:
                self.progress(standings[-1])
            if (
                not evading
                or strength <= LEAST_STRENGTH
                or spent > self.time_limit_s
                or (self.stop is not None and self.stop())
            ):
                break
            self.wants += [replace(w, need=w.need / strength) for w in evading if w.what not in IN_FULL]
            self.seconds += [w for w in evading if w.what in IN_FULL]
        cost = found.cost + self.pricing.fixed
        layout = replace(
            start,
            chosen=chosen,
            pricing=self.pricing,
            cost=cost,
            bound=cost,
            wants=(*self.wants, *self.seconds),
            evading=tuple(evading),
            rounds=tuple(standings),
            proved=found.proved and not evading,
            routes=looked_at,
        )
        confirmed = self.confirmed and strength > LEAST_STRENGTH and not any(w.what in IN_FULL for w in evading)
        return Spent(layout, strength, max(found.bound, strength), confirmed)

    def _weakest(self, chosen: tuple[int, ...]) -> BudgetResult:
        budget = self.budget - self.pricing.fixed
        left = max(0.5, self.begun + self.time_limit_s - time.monotonic())
        also = None
        if self.confirmed and self.seconds:
            also = (self._rows(self.seconds), [w.need for w in self.seconds])
            least = solve_cover(
                self.costs,
                *also,
                time_limit_s=left,
                keep=self.keep,
                forbid=self.forbid,
                groups=self.groups,
                stop=self.stop,
            )
            chosen = least.chosen
            if least.unmet_rows or least.cost > budget:
                self.confirmed, also = False, None
        return solve_weakest(
            self.costs,
            self._rows(self.wants),
            budget,
            demand=[w.need for w in self.wants],
            also=also,
            time_limit_s=left,
            keep=self.keep,
            forbid=self.forbid,
            groups=self.groups,
            start=chosen,
            stop=self.stop,
        )

    def _most(self, chosen: tuple[int, ...]) -> BudgetResult:
        """As many ways in and routes as the money watches, where it does not reach them all."""
        return solve_budget(
            self.costs,
            self._rows(self.wants),
            self.budget - self.pricing.fixed,
            demand=[w.need for w in self.wants],
            time_limit_s=max(0.5, self.begun + self.time_limit_s - time.monotonic()),
            keep=self.keep,
            forbid=self.forbid,
            groups=self.groups,
            start=chosen,
            stop=self.stop,
        )

    def _rows(self, wants: Sequence[Want]) -> Matrix:
        entries = [(np.flatnonzero(w.given > 0.0).tolist(), w.given[w.given > 0.0].tolist()) for w in wants]
        return cover_rows(entries, len(self.costs))
