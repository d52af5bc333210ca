"""The best detection a budget buys: the weakest way in or route made as strong as it can be."""

import time
from dataclasses import dataclass, replace

import numpy as np

from wardwright.placement.budget import BudgetResult, solve_weakest
from wardwright.placement.covering import cover_rows
from wardwright.placement.evading import Evasion, candidates_by_spot
from wardwright.placement.layout import Layout, Progress, Standing, Stop
from wardwright.placement.prices import Pricing
from wardwright.placement.wants import Want

LEAST_STRENGTH = 0.02
"""Below this share of what is asked a budget buys nothing worth proposing. Assumption. [-]"""
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


def best_for(
    start: Layout,
    pricing: Pricing,
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
    pricing : Pricing
        Prices for that place.
    budget : float
        What the detectors may cost, with margin and tax.
    time_limit_s : float
        Seconds for the search.
    progress, stop : callable, optional
        As for :func:`~wardwright.placement.layout.lay_out`.
    """
    begun = time.monotonic()
    chances, aims = start.chances, start.aims
    candidates = chances.candidates
    prices = pricing.all(candidates)
    groups = [g for g in candidates_by_spot(chances).values() if len(g) > 1]
    keep = [i for i, c in enumerate(candidates) if c.kept]
    forbid = [i for i, p in enumerate(prices) if p is None]
    wants = [w for w in start.wants if w.what != "second zone"]
    standings: list[Standing] = []
    chosen: tuple[int, ...] = tuple(keep)
    strength, looked_at = 0.0, 0
    while True:
        found = _weakest(wants, prices, budget, keep, forbid, groups, chosen, begun + time_limit_s, stop)
        chosen, strength = found.chosen, min(found.value, MOST_STRENGTH)
        evading: list[Want] = []
        if strength > LEAST_STRENGTH:
            evasion = Evasion(chances, aims.with_miss(strength), two_zones=False)
            evading = [replace(w, need=w.need / strength) for w in evasion.against(chosen)]
            looked_at += evasion.looked_at
        spent = time.monotonic() - begun
        told = Standing(len(standings) + 1, found.cost, found.cost, len(wants), len(evading), spent)
        standings.append(told)
        if progress is not None:
            progress(told)
        if not evading or spent > time_limit_s or (stop is not None and stop()):
            break
        wants += evading
    layout = replace(
        start,
        chosen=chosen,
        cost=found.cost,
        bound=found.cost,
        wants=tuple(wants),
        evading=tuple(evading),
        rounds=tuple(standings),
        proved=found.proved and not evading,
        routes=looked_at,
    )
    return Spent(layout, strength, max(found.bound, strength))


def _weakest(
    wants: list[Want],
    prices: list[float | None],
    budget: float,
    keep: list[int],
    forbid: list[int],
    groups: list[list[int]],
    chosen: tuple[int, ...],
    ends: float,
    stop: Stop | None,
) -> BudgetResult:
    rows = [(np.flatnonzero(w.given > 0.0).tolist(), w.given[w.given > 0.0].tolist()) for w in wants]
    return solve_weakest(
        [p or 0.0 for p in prices],
        cover_rows(rows, len(prices)),
        budget,
        demand=[w.need for w in wants],
        time_limit_s=max(0.5, ends - time.monotonic()),
        keep=keep,
        forbid=forbid,
        groups=groups,
        start=chosen,
        stop=stop,
    )
