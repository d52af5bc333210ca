"""Routes over an invented house, with a plain stand-in for the infrared model."""

import math
from dataclasses import replace
from itertools import pairwise

import networkx as nx
import numpy as np
import pytest
from tests.house import design, house, scheme
from tests.timely_paths import weakest_path
from tests.unit.analyses.simple_field import simple_fields

from wardwright.analyses.detection_along import _chances, median_time
from wardwright.analyses.exposure import CENTRAL, HIGH, LOW, Exposure, walk_exponent
from wardwright.analyses.mode import Mode, open_inner_doors, watching_devices
from wardwright.analyses.route_search import build_costs, search
from wardwright.analyses.routes import Route, goals, routes
from wardwright.analyses.timely import at_least_two, exponent
from wardwright.analyses.walkable import BACK, door_delays, walk_graph
from wardwright.design.brief import Brief
from wardwright.design.system import Design, ProtectionScheme
from wardwright.premises.life import Bed, Response, Surroundings


def the(found, kind: str, opening: str) -> Route:
    return next(r for r in found.routes if (r.kind, r.opening_id) == (kind, opening))


def with_response(base: ProtectionScheme, **response: object) -> ProtectionScheme:
    around = Surroundings(response=Response(**response))
    return replace(base, premises=base.premises.model_copy(update={"surroundings": around}))


def test_three_routes_from_every_way_in() -> None:
    base = scheme()
    found = routes(base, Mode.AWAY, simple_fields(base))
    assert {(r.kind, r.opening_id) for r in found.routes} == {
        (kind, opening) for kind in ("quietest", "fastest", "best-timed") for opening in ("front", "window")
    }
    assert found.undecided == ()
    for route in found.routes:
        assert len(route.points) == len(route.times_s)
        assert all(a <= b for a, b in pairwise(route.times_s))
        assert route.times_s[-1] == pytest.approx(route.time_s)
        assert route.interval[0] <= route.probability <= route.interval[1]
        assert route.confirmed_interval[0] <= route.confirmed_probability <= route.confirmed_interval[1]
        assert route.confirmed_probability <= route.probability + 1e-12
        assert 0.0 <= route.first_s <= route.time_s
        assert route.left_to_run_s == pytest.approx(route.time_s - route.first_s)
        assert route.after_first_s > route.left_to_run_s + 60.0  # the target takes 60 s to take
        assert "errs low" in route.dependence
    # worst first
    assert [round(r.probability, 2) for r in found.routes] == sorted(round(r.probability, 2) for r in found.routes)


def test_quietest_is_least_detected_and_fastest_is_fastest() -> None:
    base = scheme()
    found = routes(base, Mode.AWAY, simple_fields(base))
    for opening in ("front", "window"):
        quiet, fast = the(found, "quietest", opening), the(found, "fastest", opening)
        assert quiet.probability <= fast.probability + 1e-9
        assert fast.time_s <= quiet.time_s + 1e-9
        assert fast.length_m <= quiet.length_m + 1e-9


def test_the_cost_of_the_quiet_tree_is_that_of_an_independent_search() -> None:
    base = scheme()
    fields = simple_fields(base, step=0.25)
    graph = walk_graph(base.premises, 0.25)
    exposure = Exposure(graph, fields, watching_devices(base, Mode.AWAY))
    costs = build_costs(graph, exposure, 2.5, door_delays(graph, open_inner_doors(base.premises, Mode.AWAY)), {})
    target, start = graph.nearest("u", (8.0, 6.0)), graph.nearest("g", (0.5, 2.0))
    assert target is not None
    assert start is not None
    trees = search(costs, target, [start], math.inf)
    # forward, with the exponent of each step taken anew from the margins in the direction it is walked
    there = nx.DiGraph()
    node, move = np.nonzero(graph.neighbour[:, :32] >= 0)
    to = graph.neighbour[node, move]
    rate = np.min([exposure.along(node, to, move, v)[CENTRAL].sum(axis=0) for v in range(3)], axis=0)
    for a, b, w in zip(node, to, (rate + 1e-6) * graph.lengths_m[node, move], strict=True):
        there.add_edge(int(a), int(b), w=float(w))
    link = graph.links[0]
    there.add_edge(link.lower, link.upper, w=0.0)  # the margins of the stair are added to both sides below
    chain = trees.quiet(start)
    own = sum(there.edges[a, b]["w"] for a, b in pairwise(chain))
    expected = nx.dijkstra_path_length(there, start, target, weight="w")
    assert own == pytest.approx(expected, rel=1e-4)


def test_walking_across_is_noticed_more_than_walking_along() -> None:
    base = scheme()
    graph = walk_graph(base.premises)
    exposure = Exposure(graph, simple_fields(base), watching_devices(base, Mode.AWAY))
    at = np.array([graph.nearest("g", (6.0, 7.5))])  # the detector sits in the same line, at x = 9.7
    along = exposure.along(at, at, np.array([0]), 1)[CENTRAL].sum()
    across = exposure.along(at, at, np.array([8]), 1)[CENTRAL].sum()
    assert across > 3.0 * along > 0.0
    back = exposure.along(at, at, np.array([BACK[0]]), 1)[CENTRAL].sum()
    assert back == pytest.approx(along, rel=1e-3)


def test_walk_exponent_against_the_normal_distribution() -> None:
    # scipy's normal distribution; margins in steps that miss the table's own points
    from scipy.stats import norm

    margins = np.arange(-15.0, 20.0, 0.37)
    p = norm.cdf((margins + 1.5) / 4.0)
    assert walk_exponent(margins, 1.5, 4.0) == pytest.approx(-np.log1p(-p), rel=0.03)
    assert walk_exponent(np.array([-np.inf, np.inf]), 6.0, 4.0) == pytest.approx([0.0, 20.7], abs=0.1)


def test_one_detector_crossed_twice_counts_by_its_best_stretch() -> None:
    rng = np.random.default_rng(3)
    for _ in range(50):
        lengths = rng.uniform(0.1, 0.4, 60)
        rates = rng.uniform(0.0, 0.8, (3, 2, 60))
        chances = _chances(rates * lengths, lengths, 3.0)
        summed = 1.0 - np.exp(-(rates * lengths).sum(axis=2))
        assert chances[HIGH, :, -1] == pytest.approx(summed[HIGH])
        assert (chances[[LOW, CENTRAL], :, -1] <= summed[[LOW, CENTRAL]] + 1e-12).all()
        assert (np.diff(chances, axis=2) >= -1e-12).all()
        # brute force over windows of 3 m laid every centimetre
        fine = np.repeat(rates[CENTRAL, 0], np.rint(lengths * 1000).astype(int))
        window = np.convolve(fine, np.ones(3000), "valid").max() / 1000.0
        assert chances[CENTRAL, 0, -1] == pytest.approx(1.0 - math.exp(-window), abs=0.01)


def test_chances_of_a_walk_shorter_than_a_stretch_add_up() -> None:
    lengths = np.full(10, 0.1)
    chances = _chances(np.full((3, 1, 10), 0.05), lengths, 3.0)
    assert chances[:, 0, -1] == pytest.approx(1.0 - math.exp(-0.5))


def test_median_time() -> None:
    times = np.array([0.0, 10.0, 20.0])
    assert median_time(times, np.array([0.0, 0.2, 0.4])) == pytest.approx(10.0)
    assert median_time(times, np.array([0.0, 0.0, 0.4])) == pytest.approx(15.0)
    assert median_time(times, np.array([0.3, 0.3, 0.4])) == 0.0
    assert median_time(times, np.array([0.0, 0.0, 0.0])) is None


def test_nothing_fitted_notices_nothing() -> None:
    base = replace(scheme(), design=Design())
    found = routes(base, Mode.AWAY, simple_fields(base))
    assert found.routes
    for route in found.routes:
        assert (route.probability, route.interval) == (0.0, (0.0, 0.0))
        assert route.first_s is None
        assert route.first_device_id is None
        assert route.confirmed_probability == 0.0


def test_devices_left_out_in_this_mode_do_not_count() -> None:
    base = scheme()
    fields = simple_fields(base)
    inside = routes(base, Mode.INSIDE, fields)
    assert the(inside, "quietest", "front").probability == 0.0  # kicked in below the contact, detectors left out
    assert {n.device_id for r in inside.routes for n in r.noticings} <= {"mc-front", "mc-window", "gb-living"}


def test_with_people_inside_every_bed_is_a_target() -> None:
    base = scheme()
    premises = base.premises.model_copy(update={"beds": (Bed(id="double", room_id="bed", position=(3.0, 3.0)),)})
    base = replace(base, premises=premises)
    assert [g.id for g in goals(base, Mode.AWAY)] == ["jewels"]
    assert [g.id for g in goals(base, Mode.INSIDE)] == ["jewels", "double"]
    found = routes(base, Mode.INSIDE, {})
    assert {r.target_id for r in found.routes} == {"jewels", "double"}


def test_confirmation_takes_two_zones() -> None:
    base = scheme()
    fast = the(routes(base, Mode.AWAY, simple_fields(base)), "fastest", "front")
    chances = [n.probability for n in fast.noticings]
    assert len(chances) == 2
    assert fast.confirmed_probability == pytest.approx(at_least_two(chances))
    assert fast.confirm_gap_s >= 0.0
    # the same devices on one zone confirm nothing
    zones = base.design.programme.zones
    one = zones[0].model_copy(update={"loop_id": None, "device_ids": ("mc-front", "pir-hall")})
    programme = base.design.programme.model_copy(update={"zones": (one,)})
    single = replace(base, design=design().model_copy(update={"programme": programme}))
    fast = the(routes(single, Mode.AWAY, simple_fields(single)), "fastest", "front")
    assert len(fast.noticings) == 2
    assert fast.confirmed_probability == 0.0
    assert fast.confirm_gap_s is None


def test_interruption_only_where_a_response_is_known() -> None:
    base = scheme()
    fields = simple_fields(base)
    assert all(r.interruption is None for r in routes(base, Mode.AWAY, fields).routes)
    quick = routes(with_response(base, policy="guard", median_s=40.0), Mode.AWAY, fields)
    slow = routes(with_response(base, policy="guard", median_s=600.0), Mode.AWAY, fields)
    for a, b in zip(sorted(quick.routes, key=str), sorted(slow.routes, key=str), strict=False):
        assert 0.0 <= a.interruption <= 0.95
        assert b.interruption < 0.05
    assert max(r.interruption for r in quick.routes) > 0.6
    nobody = with_response(replace(base, brief=Brief(monitored=False)), policy="guard", median_s=40.0)
    assert all(r.interruption is None for r in routes(nobody, Mode.AWAY, fields).routes)


def test_best_timed_is_the_least_interrupted() -> None:
    base = scheme()
    fields = simple_fields(base)
    slow = routes(with_response(base, policy="guard", median_s=600.0), Mode.AWAY, fields)
    assert the(slow, "best-timed", "window").points == the(slow, "fastest", "window").points
    for median in (20.0, 40.0, 66.0, 80.0, 120.0):
        found = routes(with_response(base, policy="guard", median_s=median), Mode.AWAY, fields)
        for opening in ("front", "window"):
            timed, fast, quiet = (the(found, k, opening) for k in ("best-timed", "fastest", "quietest"))
            assert timed.interruption <= min(fast.interruption, quiet.interruption) + 1e-12
            assert fast.time_s <= timed.time_s <= quiet.time_s + 1e-6


def test_hiding_and_then_running_is_the_weakest_path_of_the_two_searches() -> None:
    base = scheme()
    graph = walk_graph(base.premises, 0.25)
    exposure = Exposure(graph, simple_fields(base, step=0.25), watching_devices(base, Mode.AWAY))
    costs = build_costs(graph, exposure, 2.5, (), {})
    target, start = graph.nearest("u", (8.0, 6.0)), graph.nearest("g", (0.5, 2.0))
    assert target is not None
    assert start is not None
    forward_time, forward_exponent = costs.time.T.tocsr(), costs.exponent.T.tocsr()
    for reply in (2.0, 4.0):
        trees = search(costs, target, [start], reply)
        hidden = trees.hide(start)
        spent = sum(forward_exponent[a, b] for a, b in pairwise(hidden))
        weakest = weakest_path(forward_time, forward_exponent, start, target, reply)
        assert weakest is not None
        assert spent == pytest.approx(exponent(weakest.probability), rel=1e-6)
        assert trees.time_s[hidden[-1]] <= reply


def test_places_nobody_measured_are_named() -> None:
    base = scheme()
    rough = replace(base, premises=house().model_copy(update={"survey": "approximate"}))
    found = routes(rough, Mode.AWAY, simple_fields(rough))
    assert all({"hall", "bed"} <= set(r.assumed) for r in found.routes)
    fast = the(found, "fastest", "front")
    assert fast.sure_probability == pytest.approx(0.95)  # the contact alone, at its pessimistic end
    assert the(found, "quietest", "front").sure_probability == 0.0


def test_what_cannot_be_reached_is_said() -> None:
    base = scheme()
    cut_off = replace(base, premises=house().model_copy(update={"stairs": ()}))
    found = routes(cut_off, Mode.AWAY, simple_fields(cut_off))
    assert found.routes == ()
    assert any("no way leads" in said for said in found.undecided)
    nothing = replace(base, premises=house().model_copy(update={"targets": ()}))
    assert any("no target" in said for said in routes(nothing, Mode.AWAY, {}).undecided)


def test_a_part_with_windows_only_must_have_a_door_somebody_forgot() -> None:
    base = scheme()
    openings = tuple(o for o in house().openings if o.id != "inner")
    doorless = replace(base, premises=house().model_copy(update={"openings": openings}))
    found = routes(doorless, Mode.AWAY, simple_fields(doorless))
    assert {r.opening_id for r in found.routes} == {"front"}
    assert any("Living window" in said and "check doors" in said for said in found.undecided)
