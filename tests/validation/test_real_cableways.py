"""Ways of cables through the real buildings: all rooms joined, none shorter than geometry allows, networkx agrees."""

import itertools
import math
from pathlib import Path

import networkx as nx
import pytest
from shapely import Polygon

from wardwright.intake.open_file import read_premises
from wardwright.premises.cableways import Cableways, Place
from wardwright.premises.model import Premises

pytestmark = pytest.mark.real
BUILDINGS = (
    ("house-fzk.ifc", None),
    ("duplex-architecture.ifc", None),
    ("bungalow-floorplan.dxf", None),
    ("plans-50.json", "flat-r13"),
    ("plans-50.json", "flat-10"),
    ("plans-50.json", "floor-302"),
    ("plans-50.json", "floor-848"),
)
EVERY = 7
"""One pair of rooms in so many is followed."""


def _places(premises: Premises) -> list[Place]:
    """A place well inside each room, at the height of a detector."""
    spots = ((r, Polygon(r.outline, r.holes).representative_point()) for r in premises.rooms if r.indoors)
    return [(r.storey_id, (spot.x, spot.y), 2.2) for r, spot in spots]


@pytest.mark.parametrize(("name", "plan"), BUILDINGS)
def test_every_room_is_reached_in_the_least_time(shared_premises: Path, name: str, plan: str | None) -> None:
    premises = read_premises(shared_premises / name, plan=plan).premises
    ways = Cableways(premises)
    graph = nx.Graph()
    for a, b, minutes in ways.edges:
        if not graph.has_edge(a, b) or graph[a][b]["weight"] > minutes:
            graph.add_edge(a, b, weight=minutes)
    levels = {s.id: s.elevation_m for s in premises.storeys}
    for first, second in list(itertools.combinations(_places(premises), 2))[::EVERY]:
        way = ways.way(first, second)
        assert way is not None, f"{first} to {second}"
        straight = math.dist((*first[1], levels[first[0]]), (*second[1], levels[second[0]]))
        assert way.length_m >= straight - 1e-6
        starts, ends = dict(ways.ends(first)), dict(ways.ends(second))
        for b in ends:
            graph.add_edge("goal", b, weight=ends[b][0])
        least = nx.single_source_dijkstra_path_length(graph, "goal")
        graph.remove_node("goal")
        assert way.minutes == pytest.approx(min(on[0] + least[a] for a, on in starts.items()), rel=1e-9)
