"""The layout found is the cheapest there is: every choice of a few candidates tried, with prices drawn at random."""

import itertools
from dataclasses import dataclass, replace

import numpy as np
import pytest
from bench.invented_buildings import rooms_in_rows

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.estimate.tariff import load_tariff
from wardwright.job.model import Job
from wardwright.placement.candidates import Candidate
from wardwright.placement.chances import Chances
from wardwright.placement.evading import Evasion
from wardwright.placement.layout import lay_out
from wardwright.placement.prices import Pricing
from wardwright.placement.proposal import Problem, finished, problem_of, propose
from wardwright.placement.spending import best_for
from wardwright.placement.wants import Aims, Want, at_least_two, need_beside, opening_wants


@dataclass(frozen=True, eq=False)
class Asked(Pricing):
    """Prices drawn at random instead of worked out."""

    price: tuple[float, ...] = ()

    def all(self, candidates: object) -> list[float | None]:
        return list(self.price)


def small_job(**brief: object) -> Job:
    """Two rooms, one thing worth stealing."""
    told = Brief(asleep_upstairs=False, **brief)  # type: ignore[arg-type]
    return Job(id="small", title="Two rooms (invented)", premises=rooms_in_rows(2, 1, 4.0, 4.0, targets=1), brief=told)


@pytest.fixture(scope="module")
def problem() -> Problem:
    return problem_of(small_job(confirm_within_s=30.0), load_catalogue(), load_tariff())


def few(problem: Problem, *, motion: int = 2) -> Chances:
    """The plain packages of two openings in full and the least of the others, and some motion detectors."""
    plain, watching = (":c", ":c1"), 0
    held: list[Candidate] = []
    for candidate in problem.chances.candidates:
        if candidate.spot.startswith("m:"):
            watching += 1
            if watching % 2 and watching < 2 * motion:
                held.append(candidate)
        elif candidate.id.endswith(plain if candidate.spot in ("opening:front", "opening:north-0") else ":c1"):
            held.append(candidate)
    return replace(problem.chances, candidates=tuple(held))


def choices(candidates: tuple[Candidate, ...]) -> list[tuple[int, ...]]:
    """Every choice with no spot taken twice."""
    spots: dict[str, list[int]] = {}
    for i, candidate in enumerate(candidates):
        spots.setdefault(candidate.spot, []).append(i)
    return [
        tuple(sorted(i for i in picked if i >= 0)) for picked in itertools.product(*([-1, *s] for s in spots.values()))
    ]


def meets(choice: tuple[int, ...], wanted: list[Want], evasion: Evasion) -> bool:
    return all(w.short(choice) <= 1e-9 for w in wanted) and not evasion.against(choice)


def test_cheapest_of_all_choices(problem: Problem) -> None:
    chances, aims = few(problem), Aims.of(problem.job.brief)
    wanted, hopeless = opening_wants(chances, aims)
    evasion = Evasion(chances, aims, hopeless=hopeless)
    everything = choices(chances.candidates)
    assert len(everything) >= 200
    good = [c for c in everything if meets(c, wanted, evasion)]
    assert 0 < len(good) < len(everything)
    rng = np.random.default_rng(20260101)
    for _ in range(25):
        price = tuple(float(p) for p in rng.integers(20, 400, len(chances.candidates)))
        base = problem.pricings[0]
        layout = lay_out(chances, aims, [Asked(base.premises, base.catalogue, base.tariff, base.panel, price=price)])
        least = min(sum(price[i] for i in c) for c in good)
        assert layout.proved
        assert layout.cost == pytest.approx(least)
        assert layout.bound == pytest.approx(least)


def test_every_row_is_needed_by_every_good_choice(problem: Problem) -> None:
    """Rows cut off no layout that meets the aims: that is what makes the bound a bound."""
    chances, aims = few(problem), Aims.of(problem.job.brief)
    wanted, hopeless = opening_wants(chances, aims)
    evasion = Evasion(chances, aims, hopeless=hopeless)
    layout = lay_out(chances, aims, problem.pricings)
    rows = [w for w in layout.wants if w.what != "way in"]
    assert rows
    checked = 0
    for choice in sorted(choices(chances.candidates), key=len)[-60:]:
        if meets(choice, wanted, evasion):
            checked += 1
            assert all(w.short(choice) <= 1e-6 for w in rows if w.what == "route")
    assert checked


def test_what_stands_beside_the_strongest_is_necessary() -> None:
    """Whatever zones notice twice surely enough, those beside any one of them give at least the need."""
    rng = np.random.default_rng(7)
    tried = 0
    for _ in range(3000):
        given = rng.exponential(0.6, rng.integers(2, 7))
        if at_least_two(given, range(len(given))) >= 0.5:
            tried += 1
            for one in range(len(given)):
                assert given.sum() - given[one] >= need_beside(0.5, float(given[one])) - 1e-9
            # beside a spot that holds none of them too
            assert given.sum() >= need_beside(0.5, float(rng.exponential(0.6))) - 1e-9
    assert tried > 500


def test_two_zones_by_hand() -> None:
    given = -np.log1p(-np.array([0.5, 0.5, 0.2]))
    # 1 - 0.5*0.5*0.8 - (0.5*0.5*0.8 + 0.5*0.5*0.8 + 0.5*0.5*0.2), by hand
    assert at_least_two(given, (0, 1, 2)) == pytest.approx(0.35)
    assert at_least_two(given, (0,)) == pytest.approx(0.0)


def test_kept_and_ruled_out_are_respected(problem: Problem) -> None:
    first = propose(problem, today="2026-01-01")
    design = first.job.design
    motion = next(d for d in design.devices if d.id.startswith("PIR"))
    again = problem_of(
        first.job.model_copy(update={"brief": first.job.brief.model_copy(update={"ruled_out": ("north-1",)})}),
        load_catalogue(),
        load_tariff(),
    )
    taken_over = propose(again, today="2026-01-01")
    assert all(d in taken_over.job.design.devices for d in design.devices)
    assert motion in taken_over.job.design.devices
    assert taken_over.layout.cost == 0.0, "what is there already meets the brief, so nothing is added"
    fresh = problem_of(small_job(ruled_out=("north-1", "r01")), load_catalogue(), load_tariff())
    assert not any(d.opening_id == "north-1" or d.room_id == "r01" for c in fresh.chances.candidates for d in c.devices)


def test_what_stands_in_the_way_is_named(problem: Problem) -> None:
    catalogue = load_catalogue()
    none = tuple(k.id for k in catalogue.kinds.values() if k.family.value not in ("contact",))
    keep = ("panel-8", "panel-16-grade-3", "keypad", "sounder-inner", "sounder-outer", "communicator-dual")
    job = small_job(ruled_out=tuple(k for k in none if k not in keep and "cable" not in k and "labour" not in k))
    proposal = propose(problem_of(job, catalogue, load_tariff()), today="2026-01-01")
    way = proposal.in_the_way
    assert any(w.what == "way in" and w.attack == "glass broken and climbed through" for w in way)
    assert any(w.what == "second zone" and w.target_id == "goods-0" for w in way)
    assert proposal.layout.proved, "what can be met is met at least cost all the same"


def test_more_money_never_buys_less(problem: Problem) -> None:
    aims = Aims.of(problem.job.brief)
    start = lay_out(problem.chances, aims, problem.pricings)
    spent = [best_for(start, problem.pricings, start.cost * share) for share in (0.5, 0.8, 1.0, 1.3)]
    for less, more in itertools.pairwise(spent):
        assert more.strength >= less.strength - 1e-6
    for each, share in zip(spent, (0.5, 0.8, 1.0, 1.3), strict=True):
        assert each.layout.cost <= start.cost * share + 1e-6
        assert each.strength <= each.bound + 1e-6


def test_stopped_early_it_still_catches_every_route_it_can(problem: Problem) -> None:
    calls = itertools.count()
    layout = lay_out(
        problem.chances, Aims.of(problem.job.brief), problem.pricings, time_limit_s=30.0, stop=lambda: next(calls) > 3
    )
    assert layout.bound <= layout.cost + 1e-6
    assert layout.rounds
    whole = finished(problem, layout, today="2026-01-01")
    assert whole.proof.problems == ()
