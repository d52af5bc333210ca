"""An alarm in time for the response: what a route says of it, and layouts that give it."""

from dataclasses import replace

import pytest
from tests.unit.placement.test_inside_and_radio import plan_of, problem

from wardwright.analyses.mode import Mode
from wardwright.findings import Outcome
from wardwright.job.model import Job
from wardwright.placement.evading import Evasion
from wardwright.placement.layout import lay_out
from wardwright.placement.proposal import propose
from wardwright.placement.wants import Aims
from wardwright.premises.life import Response
from wardwright.rules.aims.route import in_time

TAKE_S = 40.0


def answered(median_s: float | None, policy: str = "guard", **brief: object) -> Job:
    """A generated plan with a response of known length."""
    job = plan_of(2, notice_way_in=0.3, detect_before_target=0.5, confirm_within_s=90.0, **brief)
    response = Response(policy=policy, median_s=median_s)  # type: ignore[arg-type]
    surroundings = job.premises.surroundings.model_copy(update={"response": response})
    goods = tuple(t.model_copy(update={"take_s": TAKE_S}) for t in job.premises.targets)
    return job.model_copy(
        update={"premises": job.premises.model_copy(update={"surroundings": surroundings, "targets": goods})}
    )


def test_the_last_moment_and_the_chance_by_then() -> None:
    reply = 45.0
    proposal = propose(problem(answered(reply)), today="2026-01-01")
    told = [r for a in proposal.proof.routes if a.mode == Mode.AWAY.value for r in a.routes]
    checked = 0
    for route in told:
        if route.after_first_s is None or route.left_to_run_s is None:
            continue
        # by hand: the job is over when the target is reached, taken and carried out; the response has to start before
        over = route.time_s + (route.after_first_s - route.left_to_run_s)
        assert route.last_moment_s == pytest.approx(over - reply)
        if route.in_time is None:
            assert route.last_moment_s < route.chance_by[0][0] + 1e-6
            continue
        checked += 1
        by = [p for t, p in route.chance_by if t <= route.last_moment_s + 0.01]
        # chances are told wherever they have grown by a fiftieth
        assert route.in_time[1] == pytest.approx(by[-1], abs=0.021)
        assert route.in_time[0] <= route.in_time[1] + 1e-9 <= route.in_time[2] + 2e-9
    assert checked


@pytest.mark.parametrize(("median_s", "policy"), [(None, "guard"), (45.0, "none"), (4000.0, "guard")])
def test_a_response_too_slow_or_not_known_asks_for_nothing(median_s: float | None, policy: str) -> None:
    asked = propose(problem(answered(median_s, policy, alarm_in_time=0.9)), today="2026-01-01")
    plain = propose(problem(answered(median_s, policy)), today="2026-01-01")
    assert asked.layout.chosen == plain.layout.chosen
    assert not [w for w in (*asked.layout.wants, *asked.layout.hopeless) if w.what == "in time"]
    told = [f for f in asked.proof.findings if f.rule == "route.alarm-in-time"]
    assert told
    assert all(f.outcome is Outcome.DOES_NOT_APPLY for f in told)


@pytest.mark.parametrize("policy", ["guard", "police on confirmed alarm"])
def test_a_quick_response_is_asked_for_and_given(policy: str) -> None:
    job = answered(45.0, policy, alarm_in_time=0.7)
    whole = problem(job)
    layout = lay_out(whole.chances, Aims.of(job.brief), whole.pricings)
    assert layout.proved
    plain = lay_out(whole.chances, replace(Aims.of(job.brief), in_time=None), whole.pricings)
    assert plain.cost < layout.cost, "at this pace of the response the cheapest detectors tell too late"
    missed = Evasion(whole.chances, Aims.of(job.brief)).against(plain.chosen)
    assert [w for w in missed if w.what == "in time"]
    proposal = propose(whole, today="2026-01-01")
    told = [f for f in proposal.proof.findings if f.rule == "route.alarm-in-time"]
    given_up = {w.target_id for w in layout.hopeless if w.what == "in time"}
    assert told
    for finding in told:
        if not set(finding.about) & given_up and all(w.end == 0 for w in layout.wants if w.what == "in time"):
            assert finding.outcome is Outcome.MET
    routes = [r for a in proposal.proof.routes if a.mode == Mode.AWAY.value for r in a.routes]
    assert all((in_time(r, 0.7) is Outcome.DOES_NOT_APPLY) is (r.in_time is None) for r in routes)
