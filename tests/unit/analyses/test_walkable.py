"""Places, steps, doors, stairs."""

import math
from itertools import pairwise

import networkx as nx
import numpy as np
import pytest
from shapely import Point
from tests.house import house

from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.walkable import (
    BACK,
    MOVES,
    OPEN_DOOR_S,
    STAIR_PACE,
    entry_place,
    step_times,
    walk_graph,
)
from wardwright.geometry.shortest import chain_to_root, shortest_tree
from wardwright.premises.fabric import Obstacle
from wardwright.premises.model import Premises
from wardwright.premises.plan import storey_plans


def _with_inner(premises: Premises, **changes: object) -> Premises:
    openings = tuple(o.model_copy(update=changes) if o.id == "inner" else o for o in premises.openings)
    return premises.model_copy(update={"openings": openings})


def _time(premises: Premises, start: tuple, end: tuple, step: float = 0.1) -> float:
    graph = walk_graph(premises, step)
    a, b = graph.nearest("g", start), graph.nearest(*end) if len(end) == 2 else graph.nearest("g", end)
    assert a is not None
    assert b is not None
    open_ids = open_inner_doors(premises, Mode.AWAY)
    costs, _ = shortest_tree(graph.matrix(step_times(graph, 1.0, open_ids)), a)
    return float(costs[b])


def test_steps_come_in_pairs_and_headings_turn_once_round() -> None:
    assert len(set(MOVES)) == 32
    for k, (dx, dy) in enumerate(MOVES):
        assert MOVES[BACK[k]] == (-dx, -dy)
    angles = [math.atan2(dy, dx) % (2 * math.pi) for dx, dy in MOVES]
    assert angles == sorted(angles)
    graph = walk_graph(house())
    node, k = np.nonzero(graph.neighbour[:, :32] >= 0)
    assert (graph.neighbour[graph.neighbour[node, k], BACK[k]] == node).all()


def test_a_body_needs_room_but_goes_through_a_narrow_door() -> None:
    premises = house()
    graph = walk_graph(premises)
    plan = storey_plans(premises)["g"]
    for x, y in zip(graph.x[graph.storey == 0], graph.y[graph.storey == 0], strict=True):
        in_doorway = abs(x - 3.0) < 0.5 and abs(y - 4.0) < 0.45
        walls = min(body.distance(Point(x, y)) for body in plan.bodies.values())
        assert in_doorway or walls > 0.25 - 1e-6
    inside = ("g", (8.0, 4.0))
    through = _time(_with_inner(premises, width_m=0.5), (1.0, 4.0), inside)
    assert through == pytest.approx(7.0, rel=0.01)  # straight through the middle of the door
    assert math.isinf(_time(_with_inner(premises, width_m=0.35), (1.0, 4.0), inside))


def test_a_shut_door_costs_its_opening_once() -> None:
    premises = house()
    inside = ("g", (8.0, 4.0))
    open_time = _time(premises, (1.0, 4.0), inside)
    shut_time = _time(_with_inner(premises, usually="shut"), (1.0, 4.0), inside)
    assert shut_time - open_time == pytest.approx(OPEN_DOOR_S)
    # at another cell size and with the door off the grid's lines the door is still paid once
    coarse = _with_inner(premises, place=premises.opening("inner").place.model_copy(update={"offset_m": 3.93}))
    open_time = _time(coarse, (1.0, 4.0), inside, 0.15)
    shut_time = _time(_with_inner(coarse, usually="shut"), (1.0, 4.0), inside, 0.15)
    assert shut_time - open_time == pytest.approx(OPEN_DOOR_S)


def test_furniture_stands_in_the_way_and_a_rug_does_not() -> None:
    premises = house()
    wall_of_shelves = Obstacle(
        id="shelves", name="Shelves", storey_id="g", outline=((5, -1), (5.4, -1), (5.4, 9), (5, 9)), height_m=1.8
    )
    blocked = premises.model_copy(update={"obstacles": (wall_of_shelves,)})
    assert math.isinf(_time(blocked, (1.0, 4.0), ("g", (8.0, 4.0))))
    rug = wall_of_shelves.model_copy(update={"height_m": 0.02})
    assert math.isfinite(_time(premises.model_copy(update={"obstacles": (rug,)}), (1.0, 4.0), ("g", (8.0, 4.0))))


def test_the_stair_takes_its_slope_at_its_pace() -> None:
    premises = house()  # foot (1.5, 5), head (1.5, 7), rise 2.9 m: no steeper than 45 degrees, so 2.9 m on plan
    up = _time(premises, (1.5, 5.0), ("u", (1.5, 7.0)))
    assert up == pytest.approx(math.hypot(2.9, 2.9) / STAIR_PACE)


def test_shortest_walks_agree_with_an_independent_library() -> None:
    graph = walk_graph(house(), 0.25)
    there = nx.DiGraph()
    for node, column in zip(*np.nonzero(graph.neighbour >= 0), strict=True):
        there.add_edge(int(node), int(graph.neighbour[node, column]), w=float(graph.lengths_m[node, column]))
    start = graph.nearest("g", (1.0, 1.0))
    assert start is not None
    costs, before = shortest_tree(graph.matrix(graph.lengths_m), start)
    expected = nx.single_source_dijkstra_path_length(there, start, weight="w")
    assert {i for i in range(graph.size) if math.isfinite(costs[i])} == set(expected)
    for node, cost in expected.items():
        assert costs[node] == pytest.approx(cost)
    end = graph.nearest("u", (8.0, 6.0))
    assert end is not None
    chain = chain_to_root(before, end)
    assert chain[-1] == start
    assert sum(there.edges[b, a]["w"] for a, b in pairwise(chain)) == pytest.approx(costs[end])


def test_ways_in_lead_indoors() -> None:
    premises = house()
    graph = walk_graph(premises)
    shapes = {s.opening.id: s for s in storey_plans(premises)["g"].openings}
    for key, room in (("front", "hall"), ("window", "living")):
        place = entry_place(graph, shapes[key])
        assert place is not None
        assert graph.room_ids[graph.room[place]] == room
        away = math.dist((graph.x[place], graph.y[place]), shapes[key].centre)
        assert away < 0.6


def test_a_building_without_rooms_has_no_places() -> None:
    bare = house().model_copy(update={"rooms": (), "openings": (), "stairs": (), "targets": ()})
    assert walk_graph(bare).size == 0
