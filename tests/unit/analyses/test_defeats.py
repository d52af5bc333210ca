"""The system attacked: minimal sets against a fault tree solved another way, timing against the programme itself."""

import itertools
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.house import scheme

from wardwright.analyses.attack_choices import attack_choices
from wardwright.analyses.contact_field import contact_fields
from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.defeats import AttackAnalysis, attack_analysis
from wardwright.analyses.intrusions import MORE_LIKELY, Trip, played
from wardwright.analyses.loops import loops
from wardwright.analyses.mode import Mode
from wardwright.analyses.panel_programme import panel_programme
from wardwright.analyses.power import power
from wardwright.analyses.route_records import Route, RouteAnalysis
from wardwright.analyses.routes import routes
from wardwright.analyses.sabotage import faults
from wardwright.design.system import ProtectionScheme
from wardwright.documents.schedules import defeat_schedule
from wardwright.findings import Outcome
from wardwright.panel.events import Condition, PathEvent, SupplyEvent, ZoneEvent
from wardwright.premises.life import Target
from wardwright.rules.aims.attack import attack_findings


@cache
def whole(abort: float = 0.0) -> tuple[ProtectionScheme, tuple]:
    base = scheme()
    target = Target(id="jewels", name="Jewellery", room_id="bed", position=(8, 6), worth="high", take_s=300.0)
    timers = base.design.programme.timers.model_copy(update={"abort_s": abort})
    programme = base.design.programme.model_copy(update={"timers": timers})
    base = replace(
        base,
        premises=base.premises.model_copy(update={"targets": (target,)}),
        design=base.design.model_copy(update={"programme": programme}),
    )
    fields = hazard_fields(base, Mode.AWAY)
    return base, (routes(base, Mode.AWAY, fields), fields, contact_fields(base), loops(base), power(base))


def analysis(size: int = 3, **more: object) -> AttackAnalysis:
    base, given = whole()
    return attack_analysis(base, *given, size=size, **more)


def cut_sets(gates: list[list[set[str]]], size: int) -> set[frozenset[str]]:
    """Minimal cut sets of an OR of gates, each an AND of ORs of basic events, by going through every set."""
    events = sorted({e for gate in gates for leg in gate for e in leg})
    found: set[frozenset[str]] = set()
    for n in range(size + 1):
        for chosen in map(frozenset, itertools.combinations(events, n)):
            if not any(m <= chosen for m in found) and any(all(leg & chosen for leg in gate) for gate in gates):
                found.add(chosen)
    return found


def tree(route: Route, attacked: AttackAnalysis, base: ProtectionScheme) -> list[list[set[str]]]:
    """The word stays in if every path is down, if nobody notices, or if all power is gone."""
    instant = [f for f in attacked.faults if not f.smashes and (not f.opening_id or f.opening_id == route.opening_id)]
    paths = range(len(base.design.programme.paths))
    down = [{f.key for f in instant if (-60.0, PathEvent(p, False)) in f.events} for p in paths]
    # a longer mains failure takes the same paths down, and everything else
    dead = {f.key for f in instant if any(event == SupplyEvent("power", False) for _, event in f.events)}
    down = [d | {f.key for f in instant if any(e == PathEvent(p, False) for _, e in f.events)} | dead
            for p, d in enumerate(down)]  # fmt: skip
    seen = [n.device_id for n in route.noticings if n.probability >= MORE_LIKELY]
    deaf = [{f.key for f in instant if device in f.deaf} for device in seen]
    return [down, [dead], *([deaf] if deaf else [])]


def test_minimal_sets_agree_with_a_fault_tree_solved_another_way() -> None:
    base, given = whole()
    attacked = analysis()
    away: RouteAnalysis = given[0]
    assert {i.opening_id for i in attacked.intrusions} == {r.opening_id for r in away.routes}
    for opening in {i.opening_id for i in attacked.intrusions if i.reported_s is not None}:
        got = {
            frozenset(f.key for f in d.faults)
            for d in attacked.defeats
            if d.opening_id == opening and not any(f.smashes for f in d.faults)
        }
        mine = [r for r in away.routes if r.opening_id == opening]
        wanted = [cut_sets(tree(r, attacked, base), 3) for r in mine]
        assert got in wanted


def test_no_set_contains_another_and_each_size_only_adds() -> None:
    before: set[tuple[str, frozenset[str]]] = set()
    for size in (1, 2, 3):
        sets = {(d.opening_id, frozenset(f.key for f in d.faults)) for d in analysis(size).defeats}
        assert before <= sets
        assert not [(a, b) for a in sets for b in sets if a[0] == b[0] and a[1] < b[1]]
        before = sets


def test_the_word_is_out_after_abort_and_sending_time() -> None:
    """A perimeter zone while set alarms at once; its report is held for the abort time and takes 4 s to send."""
    base, _ = whole(30.0)
    programme = panel_programme(base)
    zone = next(i for i, z in enumerate(programme.zones) if z.name == "Living window")
    got = played(programme, [Trip(5.0, ZoneEvent(zone, Condition.ACTIVE))], 600.0)
    assert got.reported_s == pytest.approx(5.0 + programme.abort_ms / 1000.0 + programme.paths[0].send_ms / 1000.0)
    assert got.what == "perimeter"


def test_an_entry_door_is_told_after_entry_time() -> None:
    base, _ = whole()
    programme = panel_programme(base)
    zone = next(i for i, z in enumerate(programme.zones) if z.name == "Front door")
    got = played(programme, [Trip(0.0, ZoneEvent(zone, Condition.ACTIVE))], 600.0)
    assert got.reported_s is not None
    assert got.reported_s >= base.design.programme.timers.entry_s
    early = played(replace(programme, report_entry_delay=True), [Trip(0.0, ZoneEvent(zone, Condition.ACTIVE))], 600.0)
    assert early.reported_s == pytest.approx(programme.paths[0].send_ms / 1000.0)
    assert early.what == "entry started"


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 120), st.integers(0, 4)), min_size=1, max_size=5), st.floats(1, 900))
def test_more_time_never_loses_a_report_and_a_dead_path_never_helps(
    course: list[tuple[float, int]], until: float
) -> None:
    programme = panel_programme(whole()[0])
    trips = [Trip(at, ZoneEvent(zone, Condition.ACTIVE)) for at, zone in course]
    short, longer = played(programme, trips, until), played(programme, trips, until + 300.0)
    if short.reported_s is not None:
        assert longer.reported_s == short.reported_s
    cut = played(programme, [Trip(-60.0, PathEvent(0, False)), *trips], until)
    if cut.reported_s is not None:
        assert short.reported_s is not None
    none_left = [Trip(-60.0, PathEvent(p, False)) for p in range(len(programme.paths))]
    assert played(programme, [*none_left, *trips], until).reported_s is None


def test_a_single_path_yields_to_one_cut_and_a_second_one_buys_that() -> None:
    base, given = whole()
    choices = {c.name: c for c in attack_choices(base, *given)}
    assert choices["one path only: ip"].yields_to_one == choices["one path only: ip"].ways > 0
    assert choices["as designed"].yields_to_one < choices["one path only: ip"].yields_to_one
    door = choices["panel and keypad in one, inside the final door"]
    assert door.ahead_of_smash_s is not None
    assert choices["as designed"].ahead_of_smash_s is not None
    assert door.ahead_of_smash_s < choices["as designed"].ahead_of_smash_s


def test_without_a_path_it_is_not_decided() -> None:
    base, given = whole()
    programme = base.design.programme.model_copy(update={"paths": ()})
    bare = replace(base, design=base.design.model_copy(update={"programme": programme}))
    (finding,) = attack_findings(attack_analysis(bare, *given))
    assert finding.outcome is Outcome.NOT_DECIDED


def test_a_target_gone_at_once_is_said_and_the_client_learns_no_way() -> None:
    base, given = whole(90.0)
    quick = base.premises.targets[0].model_copy(update={"take_s": 1.0})
    hasty = replace(base, premises=base.premises.model_copy(update={"targets": (quick,)}))
    found = attack_findings(attack_analysis(hasty, *given))
    reported = next(f for f in found if f.rule == "attack.reported")
    assert reported.outcome is Outcome.NOT_MET
    secrets = [o.name.lower() for o in base.premises.openings] + ["panel", "jam", "magnet", "battery", "cut", "covered"]
    for finding in [*found, *attack_findings(analysis())]:
        assert not [word for word in secrets if word in finding.plain.lower()], finding.plain


def test_every_fault_says_where_and_how_long() -> None:
    base, given = whole()
    for fault in faults(base, *given[2:]):
        assert fault.takes_s > 0.0
        assert fault.where in {"outside", "on the way in", "inside before", "inside during"}
        assert fault.events or fault.deaf or fault.smashes


def test_a_schedule_names_the_ways_unless_it_is_every_one() -> None:
    attacked = analysis()
    which = {row[0]: (row[3], row[-1]) for row in defeat_schedule(attacked).rows}
    assert attacked.ways
    for defeats in attacked.by_set().values():
        count, told = which[" and ".join(f.name for f in defeats[0].faults)]
        assert count == len(defeats)
        every = {d.opening_id for d in defeats} == attacked.ways
        assert told == ("every one" if every else ", ".join(d.opening_id for d in defeats))
