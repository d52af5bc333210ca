"""Ways through the real houses: what hangs together, and how far it is.

Sources: the notes beside each file (house-fzk.md: three inner doors off the hall, hall, living and kitchen one open
group, the stair leads to the gallery; duplex-architecture.md: two mirrored dwellings of ten spaces each).
"""

import math
from pathlib import Path

import numpy as np
import pytest
from tests.exact_paths import shortest_path

from wardwright.analyses.free_floor import free_floor
from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import routes
from wardwright.analyses.walkable import walk_graph
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.system import Design, ProtectionScheme
from wardwright.geometry.shortest import shortest_tree
from wardwright.intake.open_file import read_premises
from wardwright.premises.life import Target
from wardwright.premises.model import Premises
from wardwright.premises.plan import storey_plans

pytest.importorskip("ifcopenshell")


@pytest.fixture(scope="module")
def fzk(shared_premises: Path) -> Premises:
    return read_premises(shared_premises / "house-fzk.ifc").premises


def _part_of_rooms(premises: Premises) -> dict[str, set[int]]:
    graph = walk_graph(premises)
    return {key: set(graph.part[graph.room == i].tolist()) for i, key in enumerate(graph.room_ids)}


@pytest.mark.real
def test_the_detached_house_hangs_together_up_to_the_gallery(fzk: Premises) -> None:
    parts = _part_of_rooms(fzk)
    assert len(parts) == 7
    assert set.union(*parts.values()) == {0}


@pytest.mark.real
def test_the_duplex_is_two_dwellings(shared_premises: Path) -> None:
    premises = read_premises(shared_premises / "duplex-architecture.ifc").premises
    indoors = [r.id for r in premises.rooms if r.indoors]
    parts = {key: where for key, where in _part_of_rooms(premises).items() if key in indoors}
    assert all(len(where) == 1 for where in parts.values())
    by_part: dict[int, list[str]] = {}
    for key, where in parts.items():
        by_part.setdefault(where.pop(), []).append(key)
    assert sorted(len(rooms) for rooms in by_part.values()) == [10, 10]


@pytest.mark.real
def test_walks_through_the_detached_house_agree_with_the_exact_shortest_path(fzk: Premises) -> None:
    graph = walk_graph(fzk)
    plan = next(p for p in storey_plans(fzk).values() if len(p.rooms) == 6)
    storey = plan.storey.id
    floor = free_floor(fzk, plan, 0.25, 0.1)
    # the grid keeps to whole cells, which cannot cut a corner finer than half a cell
    rng = np.random.default_rng(11)
    places = rng.choice(np.flatnonzero(graph.storey == graph.storey_ids.index(storey)), 12, replace=False)
    costs, _ = shortest_tree(graph.matrix(graph.lengths_m), int(places[0]))
    start = (float(graph.x[places[0]]), float(graph.y[places[0]]))
    for place in places[1:]:
        exact, corners = shortest_path(floor, start, (float(graph.x[place]), float(graph.y[place])))
        assert costs[place] >= exact - 1e-6
        assert costs[place] <= 1.01 * exact + 0.1 * (len(corners) - 2)


@pytest.mark.real
def test_every_opening_within_reach_has_its_three_routes(fzk: Premises) -> None:
    gallery = next(r for r in fzk.rooms if "aler" in r.name)
    target = Target(id="safe", name="Safe", room_id=gallery.id, position=(3.0, 5.0))
    scheme = ProtectionScheme(fzk.model_copy(update={"targets": (target,)}), Design(), load_catalogue(), Brief())
    found = routes(scheme, Mode.AWAY, {})
    # two outside doors and nine windows can be reached from the ground (house-fzk.md), the two gable windows cannot
    assert len(found.routes) == 11 * 3
    assert found.undecided == ()
    for route in found.routes:
        assert route.probability == 0.0
        assert math.isfinite(route.time_s)
        assert {p[0] for p in route.points} == {s.id for s in fzk.storeys}
