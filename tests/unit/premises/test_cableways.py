"""Ways of cables: along ceilings, through what may be drilled, through chases."""

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.house import house

from wardwright.premises.cableways import CableWay, Cableways, Place, cableways
from wardwright.premises.drilling import HOLE_MIN
from wardwright.premises.fabric import Chase, NoDrilling, Room, Storey
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind

HALL: Place = ("g", (0.3, 7.7), 2.2)
LIVING: Place = ("g", (9.7, 7.7), 2.2)
BED: Place = ("u", (9.7, 4.0), 1.6)
OUT: Place = ("g", (10.3, 4.0), 2.0)
ATTIC = Chase(id="roof", kind="attic", storey_id="u", outline=((0, 0), (10, 0), (10, 8), (0, 8)))
RISER = Chase(id="shaft", kind="riser", storey_id="g", outline=((8, 7), (9, 7), (9, 8), (8, 8)), joins_storey_id="u")


def built(**more: object) -> Premises:
    return house().model_copy(update={"stairs": (), **more})


def found(premises: Premises, first: Place, second: Place) -> CableWay:
    way = cableways(premises).way(first, second)
    assert way is not None
    return way


def test_from_room_to_room_one_hole_and_the_length_of_the_ceiling() -> None:
    """Out of the corner by 0.42 m and up by 0.4, along the north wall, down again: the wall is 0.12 m of studs."""
    way = found(built(), HALL, LIVING)
    assert [h.kind for h in way.holes] == ["stud"]
    assert 9.4 <= way.length_m <= 9.4 + 2 * (0.5 + 0.4) + 0.6
    assert way.points[0] == ("g", *HALL[1], 2.2)
    assert way.points[-1] == ("g", *LIVING[1], 2.2)


def test_a_wall_that_may_not_be_drilled_is_not() -> None:
    shut = NoDrilling(id="n", reason="plaster and lath", wall_ids=("g-mid",))
    floors = {h.kind for h in found(built(no_drilling=(shut,)), HALL, LIVING).holes}
    assert floors == {"floor"}  # over the storey above
    ceiling = NoDrilling(id="c", reason="finished ceiling", room_ids=("hall", "living"))
    assert cableways(built(no_drilling=(shut, ceiling))).way(HALL, LIVING) is None
    round_above = found(built(no_drilling=(shut,), chases=(RISER, ATTIC)), LIVING, BED)
    assert any("riser" in words for words in round_above.through)


def test_floors_slabs_and_ceilings() -> None:
    assert "floor" in {h.kind for h in found(built(), LIVING, BED).holes}
    slab = NoDrilling(id="n", reason="slab", room_ids=("bed",))
    ceiling = NoDrilling(id="n", reason="finished ceiling", room_ids=("living", "hall"))
    for mark in (slab, ceiling):
        assert cableways(built(no_drilling=(mark,))).way(LIVING, BED) is None
        assert cableways(house().model_copy(update={"no_drilling": (mark,)})).way(LIVING, BED) is not None  # the stair


def test_out_of_doors_goes_through_the_outside_wall() -> None:
    assert [h.kind for h in found(built(), OUT, LIVING).holes] == ["masonry"]


def test_two_devices_side_by_side_are_joined_directly() -> None:
    assert found(built(), LIVING, ("g", (9.7, 7.0), 2.2)).length_m == pytest.approx(0.7)


def test_in_a_hall_a_cable_crosses_the_ceiling_and_walls_far_away_block_nothing() -> None:
    """100 m by 50 m: nothing between two places in its middle; to a corner by the nearest wall, 25 m away."""
    hall = Room(id="hall", name="Hall", storey_id="g", outline=((0, 0), (100, 0), (100, 50), (0, 50)))
    storey = Storey(id="g", name="Ground floor", elevation_m=0, height_m=4)
    premises = Premises(name="Hall", storeys=(storey,), rooms=(hall,))
    middle: Place = ("g", (50.0, 25.0), 3.0)
    assert found(premises, middle, ("g", (58.0, 25.0), 3.0)).length_m == pytest.approx(8.0)
    corner = found(premises, middle, ("g", (0.1, 0.1), 1.5))
    assert 25.0 + 50.0 <= corner.length_m <= 25.0 + 50.0 + 1.0 + 2.5 + 2.0


def test_a_room_within_a_room_is_reached_under_the_ceiling() -> None:
    """A booth of 2 m by 2 m in the middle of a hall of 10 m by 10 m, its walls 0.2 m thick."""
    ring = ((3.8, 3.8), (6.2, 3.8), (6.2, 6.2), (3.8, 6.2))
    hall = Room(id="hall", name="Hall", storey_id="g", outline=((0, 0), (10, 0), (10, 10), (0, 10)), holes=(ring,))
    booth = Room(id="booth", name="Booth", storey_id="g", outline=((4, 4), (6, 4), (6, 6), (4, 6)))
    storey = Storey(id="g", name="Ground floor", elevation_m=0, height_m=3)
    premises = Premises(name="Hall", storeys=(storey,), rooms=(hall, booth))
    way = found(premises, ("g", (0.1, 5.0), 2.5), ("g", (4.1, 5.0), 2.5))
    assert 4.0 <= way.length_m <= 4.0 + 2 * 0.5 + 3.0


def test_an_open_way_needs_no_hole() -> None:
    base = built()
    passage = [
        o.model_copy(update={"kind": OpeningKind.PASSAGE, "leaves": ()}) if o.id == "inner" else o
        for o in base.openings
    ]
    shut = NoDrilling(id="n", reason="landlord", wall_ids=("g-mid",))
    premises = base.model_copy(update={"openings": tuple(passage), "no_drilling": (shut,)})
    assert not found(premises, HALL, LIVING).holes


def test_a_storey_nobody_drew_has_no_ways() -> None:
    assert cableways(built(rooms=())).way(HALL, LIVING) is None


def test_the_least_time_agrees_with_an_independent_graph_library() -> None:
    ways = Cableways(built(chases=(ATTIC, RISER)))
    graph = nx.Graph()
    for a, b, minutes in ways.edges:
        if not graph.has_edge(a, b) or graph[a][b]["weight"] > minutes:
            graph.add_edge(a, b, weight=minutes)
    for first, second in ((HALL, LIVING), (HALL, BED), (LIVING, BED), (OUT, HALL)):
        way = ways.way(first, second)
        assert way is not None
        starts, ends = dict(ways.ends(first)), dict(ways.ends(second))
        best = min(
            on[0] + nx.dijkstra_path_length(graph, a, b) + off[0] for a, on in starts.items() for b, off in ends.items()
        )
        assert way.minutes == pytest.approx(best, rel=1e-9)


places = st.tuples(
    st.sampled_from(["g", "u"]),
    st.tuples(st.floats(0.2, 9.8), st.floats(0.2, 7.8)),
    st.floats(0.3, 2.4),
)
marks = st.lists(
    st.builds(
        NoDrilling,
        id=st.uuids().map(str),
        reason=st.sampled_from(["brick", "slab", "finished ceiling", "landlord"]),
        wall_ids=st.sampled_from([(), ("g-mid",), ("g-east",)]),
        room_ids=st.sampled_from([(), ("hall",), ("living",), ("bed",)]),
    ),
    max_size=2,
)


def minutes(premises: Premises, first: Place, second: Place) -> float:
    way = Cableways(premises).way(first, second)
    return float("inf") if way is None else way.minutes


@settings(max_examples=40, deadline=None)
@given(places, places, marks)
def test_a_chase_never_makes_a_run_slower_and_a_mark_never_quicker(
    first: Place, second: Place, marked: list[NoDrilling]
) -> None:
    plain = minutes(built(), first, second)
    assert minutes(built(no_drilling=tuple(marked)), first, second) >= plain - 1e-9
    assert minutes(built(chases=(ATTIC, RISER)), first, second) <= plain + 1e-9
    assert plain == pytest.approx(minutes(built(), second, first))


def test_masonry_takes_longer_than_studs() -> None:
    assert HOLE_MIN["masonry"] > HOLE_MIN["stud"] > HOLE_MIN["none"]
