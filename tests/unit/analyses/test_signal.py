"""Signalling: what paths hang on and share, what ends, who comes, the chain to help."""

from dataclasses import replace

import pytest
from tests.house import scheme

from wardwright.analyses.signal import SignalAnalysis, signal
from wardwright.design.programme import Dependency, ReportingPath
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome
from wardwright.physics.availability import YEAR_H
from wardwright.premises.life import Response
from wardwright.rules.aims.signal import signal_findings

TODAY = "2026-01-02"
ROUTER = Dependency(name="Router", kind="router")
CELL = Dependency(name="Network", kind="cellular network", level_dbm=-80.0)


def built(*paths: tuple[str, tuple[Dependency, ...]], response: Response | None = None) -> ProtectionScheme:
    base = scheme()
    rows = tuple(
        ReportingPath(id=f"p{i}", kind=kind, device_id="communicator", priority=i + 1, hangs_on=hangs)
        for i, (kind, hangs) in enumerate(paths)
    )
    programme = base.design.programme.model_copy(update={"paths": rows})
    surroundings = base.premises.surroundings.model_copy(update={"response": response or Response()})
    return replace(
        base,
        design=base.design.model_copy(update={"programme": programme}),
        premises=base.premises.model_copy(update={"surroundings": surroundings}),
    )


def of(s: ProtectionScheme) -> SignalAnalysis:
    return signal(s, None, None, today=TODAY)


def the(rule: str, s: ProtectionScheme) -> Finding:
    return next(f for f in signal_findings(s, of(s)) if f.rule == f"signal.{rule}")


def test_a_router_without_backup_takes_the_only_path_along() -> None:
    alone = built(("ip", (ROUTER,)))
    assert the("without-mains", alone).refutes
    backed = built(("ip", (ROUTER.model_copy(update={"backup_h": 24.0}),)))
    assert the("without-mains", backed).outcome is Outcome.MET
    assert the("without-mains", built(("ip", (ROUTER,)), ("cellular", (CELL,)))).outcome is Outcome.MET


def test_what_all_paths_share_is_named() -> None:
    apart, together = built(("ip", (ROUTER,)), ("cellular", (CELL,))), built(("ip", (ROUTER,)), ("line", (ROUTER,)))
    assert the("no-single-part", apart).outcome is Outcome.MET
    assert "Router" in the("no-single-part", together).explanation
    assert the("no-single-part", built(("ip", (ROUTER,)))).outcome is Outcome.NOT_MET


def test_a_second_path_helps_and_a_shared_part_limits_it() -> None:
    one = of(built(("ip", (ROUTER,)))).down_h_year
    two = of(built(("ip", (ROUTER,)), ("cellular", (CELL,)))).down_h_year
    shared = of(built(("ip", (ROUTER,)), ("cellular", (ROUTER, CELL)))).down_h_year
    assert one == pytest.approx(8.0, rel=0.01)  # the assumption for a router, alone
    assert two is not None
    assert shared is not None
    assert two < one < shared * 1.2
    known = built(("ip", (ROUTER.model_copy(update={"down_h_year": 1.0}),)))
    assert of(known).down_h_year == pytest.approx(1.0)
    assert of(known).down_interval_h == (pytest.approx(1.0), pytest.approx(1.0))
    assert of(known).paths[0].down_share == pytest.approx(1.0 / YEAR_H)


def test_nothing_entered_is_not_decided() -> None:
    assert of(built(("ip", ()))).down_h_year is None
    assert the("availability", built(("ip", ()))).outcome is Outcome.NOT_DECIDED
    assert the("network-level", built(("cellular", (Dependency(name="N", kind="cellular network"),)))).outcome is (
        Outcome.NOT_DECIDED
    )


@pytest.mark.parametrize(
    ("ends", "outcome", "refutes"),
    [("2025-12-31", Outcome.NOT_MET, True), ("2026-06-30", Outcome.NOT_MET, False), ("2031-01-01", Outcome.MET, False)],
)
def test_what_ends_is_said_in_time(ends: str, outcome: Outcome, refutes: bool) -> None:
    found = the("lasts", built(("cellular", (CELL.model_copy(update={"ends": ends}),))))
    assert found.outcome is outcome
    assert found.refutes is refutes


@pytest.mark.parametrize(
    ("response", "outcome", "word"),
    [
        ({"policy": "none"}, Outcome.NOT_MET, "nobody comes"),
        ({"policy": "police on confirmed alarm"}, Outcome.NOT_MET, "the programme makes none"),
        ({"policy": "police on verified alarm"}, Outcome.NOT_MET, "nobody verifies"),
        ({"verification": "two calls", "call_list": ("owner",)}, Outcome.NOT_MET, "name two"),
        ({"call_list": ("owner",), "permit_expires": "2025-05-01"}, Outcome.NOT_MET, "ran out"),
        ({"call_list": ("owner",), "permit_expires": "2026-02-01"}, Outcome.NOT_DECIDED, "runs out"),
        ({}, Outcome.NOT_DECIDED, "who is called"),
        ({"call_list": ("owner", "neighbour")}, Outcome.MET, "keyholder"),
    ],
)
def test_who_comes_and_on_what_terms(response: dict[str, object], outcome: Outcome, word: str) -> None:
    found = the("response-policy", built(("ip", (ROUTER,)), response=Response.model_validate(response)))
    assert found.outcome is outcome
    assert word in found.explanation.lower()


def test_the_chain_adds_up_and_calls_take_time() -> None:
    plain = of(built(("ip", (ROUTER,)), response=Response(median_s=600.0, spread=0.5)))
    calls = of(built(("ip", (ROUTER,)), response=Response(median_s=600.0, spread=0.5, verification="two calls")))
    assert plain.usual_s == pytest.approx(0.4 + 90.0 + 600.0)
    assert calls.usual_s == pytest.approx(plain.usual_s + 120.0)
    assert calls.most_s > calls.usual_s


def test_a_wireless_network_is_called_out_and_no_monitoring_says_nothing() -> None:
    wireless = Dependency(name="House network", kind="wi-fi")
    assert the("wireless-network", built(("ip", (wireless,)))).outcome is Outcome.NOT_MET
    s = built(("ip", (ROUTER,)))
    quiet = replace(s, brief=s.brief.model_copy(update={"monitored": False}))
    assert signal_findings(quiet, of(quiet)) == ()
