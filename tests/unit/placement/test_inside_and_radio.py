"""Layouts of generated plans of two to four rooms, people asleep in one, wires and radio: every choice tried."""

import itertools
from dataclasses import dataclass, replace

import numpy as np
import pytest
from bench.invented_buildings import rooms_in_rows

from wardwright.analyses.mode import Mode
from wardwright.analyses.radio import radio
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.devices import Device
from wardwright.estimate.tariff import load_tariff
from wardwright.job.model import Job
from wardwright.placement.candidates import Candidate
from wardwright.placement.chances import Chances
from wardwright.placement.evading import Evasion
from wardwright.placement.layout import lay_out
from wardwright.placement.prices import Pricing
from wardwright.placement.proposal import Problem, problem_of, propose
from wardwright.placement.spending import best_for
from wardwright.placement.wants import Aims, opening_wants
from wardwright.premises.fabric import RoomUse
from wardwright.premises.life import Bed
from wardwright.rules.aims.radio import RESERVE_DB

RADIO = ":r"


def plan_of(seed: int, **brief: object) -> Job:
    """Two to four rooms of drawn size and use, a bed in one, something worth stealing in another (invented)."""
    rng = np.random.default_rng(seed)
    columns, rows = [(2, 1), (3, 1), (2, 2)][seed % 3]
    wide, deep = rng.uniform(3.2, 5.0, 2)
    plain = rooms_in_rows(columns, rows, round(float(wide), 2), round(float(deep), 2), targets=1)
    uses = [RoomUse.HALL, *rng.permutation([RoomUse.LIVING, RoomUse.KITCHEN, RoomUse.STUDY])][: len(plain.rooms) - 1]
    rooms = tuple(
        r.model_copy(update={"use": RoomUse(u)}) for r, u in zip(plain.rooms, [*uses, RoomUse.BEDROOM], strict=True)
    )
    x0, y0 = rooms[-1].outline[0]
    bed = Bed(id="bed", room_id=rooms[-1].id, position=(x0 + 0.3 * float(wide), y0 + 0.4 * float(deep)))
    goods = plain.targets[0].model_copy(
        update={"room_id": rooms[0].id, "position": (0.7 * float(wide), 0.6 * float(deep))}
    )
    premises = plain.model_copy(update={"rooms": rooms, "beds": (bed,), "targets": (goods,)})
    return Job(id=f"plan-{seed}", title="Generated (invented)", premises=premises, brief=Brief(**brief))  # type: ignore[arg-type]


def problem(job: Job) -> Problem:
    return problem_of(job, load_catalogue(), load_tariff())


@dataclass(frozen=True, eq=False)
class Drawn(Pricing):
    """Prices drawn at random instead of worked out."""

    price: tuple[float | None, ...] = ()

    def all(self, candidates: object) -> list[float | None]:
        return list(self.price)


def few(whole: Problem, rng: np.random.Generator) -> Chances:
    """Everything on the openings but two of them is there already; two packages each for those, and a few detectors."""
    candidates = whole.chances.candidates
    free = rng.choice(sorted({c.spot for c in candidates if c.spot.startswith("opening:")}), 2, replace=False)
    inside = sorted({c.spot for c in candidates if c.spot.startswith("m:") and c.inside})
    other = sorted({c.spot for c in candidates if c.spot.startswith("m:") and not c.inside})
    spots = {*rng.choice(inside, min(2, len(inside)), replace=False), *rng.choice(other, 1)}
    held: list[Candidate] = []
    for candidate in candidates:
        if candidate.spot in spots or (candidate.spot in free and candidate.id.endswith((":c1", ":c:r"))):
            held.append(candidate)
        elif candidate.id.endswith(":c2") and candidate.spot not in free:
            held.append(replace(candidate, kept=True))
    return replace(whole.chances, candidates=tuple(held))


def choices(candidates: tuple[Candidate, ...]) -> list[tuple[int, ...]]:
    spots: dict[str, list[int]] = {}
    for i, candidate in enumerate(candidates):
        if not candidate.kept:
            spots.setdefault(candidate.spot, []).append(i)
    kept = [i for i, c in enumerate(candidates) if c.kept]
    every = itertools.product(*([-1, *s] for s in spots.values()))
    return [tuple(sorted([*kept, *(i for i in picked if i >= 0)])) for picked in every]


@pytest.mark.parametrize("seed", range(6))
def test_cheapest_of_all_choices(seed: int) -> None:
    """Wired and radio prices drawn at random, a receiver paid once: no choice that meets the aims is cheaper."""
    whole = problem(plan_of(seed, notice_way_in=0.5, detect_before_target=0.7, confirm_within_s=90.0))
    rng = np.random.default_rng(seed)
    chances, aims = few(whole, rng), Aims.of(whole.job.brief)
    assert Mode.INSIDE in chances.modes
    assert any(c.id.endswith(RADIO) for c in chances.candidates)
    wanted, hopeless = opening_wants(chances, aims)
    evasion = Evasion(chances, aims, hopeless=hopeless)
    good = [c for c in choices(chances.candidates) if all(w.short(c) <= 1e-9 for w in wanted)]
    good = [c for c in good if not evasion.against(c)]
    assert good
    by_radio = np.array([c.id.endswith(RADIO) for c in chances.candidates])
    base = whole.pricings[0]
    for _ in range(12):
        price = [
            0.0 if c.kept else float(p) for c, p in zip(chances.candidates, rng.integers(20, 400, 99), strict=False)
        ]
        fixed = float(rng.integers(10, 300))
        wire = tuple(None if r else p for p, r in zip(price, by_radio, strict=True))
        both = Drawn(
            base.premises, base.catalogue, base.tariff, base.panel, receiver=base.panel, fixed=fixed, price=tuple(price)
        )
        alone = Drawn(base.premises, base.catalogue, base.tariff, base.panel, price=wire)
        layout = lay_out(chances, aims, [alone, both])
        least = min(sum(price[i] for i in c) + (fixed if by_radio[list(c)].any() else 0.0) for c in good)
        assert layout.proved
        assert layout.cost == pytest.approx(least)
        assert layout.bound == pytest.approx(least)


@pytest.mark.parametrize("seed", [0, 3, 4])
def test_the_same_job_gets_the_same_layout(seed: int) -> None:
    job = plan_of(seed, detect_before_target=0.7)
    first, again = (propose(problem(job), today="2026-01-01") for _ in range(2))
    assert first.job == again.job
    assert first.layout.chosen == again.layout.chosen


def test_where_no_cable_may_be_run_everything_that_detects_is_heard_by_radio() -> None:
    tariff = load_tariff()
    job = plan_of(1, detect_before_target=0.5, notice_way_in=0.3, ruled_out=(tariff.cable_kind,))
    proposal = propose(problem(job), today="2026-01-01")
    scheme = proposal.proof.scheme
    detecting = [d for d in scheme.fitted if d.id.rstrip("0123456789-") in ("MCR", "RCR", "PIW", "PEW", "GBR")]
    assert detecting
    assert len(detecting) == proposal.layout.by_radio
    assert all(scheme.kind_of(d).radio for d in detecting)
    assert not [x for x in scheme.design.loops if set(x.contacts) & {d.id for d in detecting}]
    told = radio(scheme)
    assert told.unlinked == ()
    assert {x.device_id for x in told.links} == {d.id for d in detecting}
    receivers = {x.receiver_id for x in told.links}
    assert all(scheme.kind_of(scheme.design.device(r)).get("radio_sensitivity_dbm") is not None for r in receivers)
    assert all(x.interval_db is not None and x.interval_db[0] >= RESERVE_DB for x in told.links)
    assert not [f for f in proposal.proof.findings if f.rule.startswith("power.radio") and f.refutes]


def test_no_radio_above_its_grade() -> None:
    catalogue = load_catalogue()
    whole = problem(plan_of(1, profile=Profile.EU_GRADE_3))
    assert not any(catalogue.kind(d.kind).radio for c in whole.chances.candidates for d in c.devices)
    assert all(p.receiver is None for p in whole.pricings)


def test_the_band_is_the_one_lawful_there() -> None:
    catalogue = load_catalogue()

    def bands(profile: Profile) -> set[float]:
        whole = problem(plan_of(1, profile=profile))
        kinds = {d.kind for c in whole.offered.candidates for d in c.devices}
        return {catalogue.kind(k).need("radio_frequency_hz") / 1e6 for k in kinds if catalogue.kind(k).radio}

    # 47 CFR 15.231: periodic transmitters from 40.66 MHz up, 70 MHz the practical floor, 433.92 MHz usual.
    # ERC Recommendation 70-03, annex 7: alarms at 868.6 to 868.7 MHz.
    assert bands(Profile.EU_GRADE_2) <= {868.65}
    assert bands(Profile.US_HOME) <= {433.92}


def test_a_receiver_that_is_there_is_used() -> None:
    first = propose(problem(plan_of(1, ruled_out=(load_tariff().cable_kind,))), today="2026-01-01")
    ears: list[Device] = [d for d in first.job.design.devices if d.kind == "receiver"]
    assert len(ears) == 1
    devices = first.job.design.devices
    gone = next(d for d in devices if d.kind == "pir-wide-radio")
    design = first.job.design.model_copy(
        update={
            "devices": tuple(d for d in devices if d != gone),
            "radio": tuple(r for r in first.job.design.radio if r.device_id != gone.id),
            "programme": first.job.design.programme.model_copy(
                update={"zones": tuple(z for z in first.job.design.programme.zones if gone.id not in z.device_ids)}
            ),
        }
    )
    again = propose(problem(first.job.model_copy(update={"design": design})), today="2026-01-01")
    assert [d for d in again.job.design.devices if d.kind == "receiver"] == ears
    new = [d for d in again.job.design.devices if d.id not in {x.id for x in design.devices}]
    links = {r.device_id: r.receiver_id for r in again.job.design.radio}
    assert all(links[d.id] == ears[0].id for d in new if load_catalogue().kind(d.kind).radio)


@pytest.mark.parametrize("share", [0.4, 1.0, 1.4])
def test_a_budget_keeps_second_zones_where_it_reaches_them(share: float) -> None:
    whole = problem(plan_of(1, detect_before_target=0.7, confirm_within_s=90.0))
    aims = Aims.of(whole.job.brief)
    least = lay_out(whole.chances, aims, whole.pricings)
    assert any(w.what == "second zone" for w in least.wants)
    spent = best_for(least, whole.pricings, least.cost * share)
    assert spent.layout.cost <= least.cost * share + 1e-6
    missed = [
        w
        for w in Evasion(whole.chances, aims, hopeless=list(least.hopeless)).against(spent.layout.chosen)
        if w.what == "second zone"
    ]
    assert spent.confirmed is (not missed and spent.strength > 0.0)
    if share >= 1.0:
        assert spent.confirmed, "the least that meets the brief confirms, so this money reaches it"
        assert spent.strength >= 1.0 - 1e-6


def test_money_that_does_not_watch_everything_is_spent_where_it_watches_most() -> None:
    whole = problem(plan_of(0, detect_before_target=0.7, confirm_within_s=90.0))
    aims = Aims.of(whole.job.brief)
    least = lay_out(whole.chances, aims, whole.pricings)
    cheapest = min(p for p in whole.pricings[0].all(whole.chances.candidates) if p)
    one, more = (best_for(least, whole.pricings, sum_) for sum_ in (1.2 * cheapest, 3.0 * cheapest))
    assert one.strength == 0.0
    assert len(one.layout.chosen) == 1
    assert 0 < len(more.layout.evading) <= len(one.layout.evading)
    rows = [w for w in one.layout.wants if w.what != "second zone"]
    # by hand: no single candidate within this money notices more of them, halves counted
    prices = whole.pricings[0].all(whole.chances.candidates)
    worth = [sum(min(1.0, float(w.given[i]) / w.need) for w in rows) for i in range(len(prices))]
    within = [x for x, p in zip(worth, prices, strict=True) if p is not None and p <= 1.2 * cheapest]
    assert worth[one.layout.chosen[0]] == pytest.approx(max(within))
