"""Lengths over the walking graph against exact shortest paths inside public plans.

Source: plans-50-checks.json (extremitypathfinder 2.7.2; two of its lengths lead outside their plan, see
test_shortest_paths.py: there the exact path of this project takes its place).
"""

import json
from pathlib import Path

import pytest
from shapely import Polygon
from tests.exact_paths import shortest_path

from wardwright.analyses.walkable import walk_graph
from wardwright.geometry.shortest import shortest_tree
from wardwright.premises.fabric import Room, Storey
from wardwright.premises.model import Premises


def one_room(outline: list, holes: list) -> Premises:
    """A plan as one room without walls."""
    room = Room(id="r", name="plan", storey_id="s", outline=outline, holes=holes)
    return Premises(name="plan", storeys=(Storey(id="s", name="s", elevation_m=0, height_m=3),), rooms=(room,))


@pytest.mark.real
def test_lengths_over_the_grid_within_one_per_cent(shared_premises: Path, check) -> None:
    plans = {p["id"]: p for p in json.loads((shared_premises / "plans-50.json").read_text())["plans"]}
    rows = json.loads((shared_premises / "plans-50-checks.json").read_text())["checks"]
    expected, actual = [], []
    for row in rows:
        plan = plans[row["id"]]
        start, end = tuple(row["point"]), tuple(row["target"])
        exact = row["shortest_path"]
        if row["id"] in ("office-s-120-3", "office-s-160-4"):
            exact, _ = shortest_path(Polygon(plan["outline"], plan["holes"]), start, end)
        # plan units are no metres here: cells as fine as needed for the size of the plan
        step = next(s for s, area in ((0.1, 1_500), (0.2, 8_000), (0.25, 15_000), (0.5, 1e9)) if plan["area"] < area)
        graph = walk_graph(one_room(plan["outline"], plan["holes"]), step, 0.0)
        begin, stop = graph.nearest("s", start), graph.nearest("s", end)
        assert begin is not None
        assert stop is not None
        costs, _ = shortest_tree(graph.matrix(graph.lengths_m), begin)
        expected.append(exact)
        actual.append(float(costs[stop]))
    assert len(expected) == 44
    check(
        source="extremitypathfinder 2.7.2 (independent library)",
        status="computed",
        quantity="length of the shortest walk",
        expected=expected,
        actual=actual,
        tolerance=0.01,
        relative=True,
    )
