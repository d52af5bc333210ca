"""Wherever people go in a scenario, nobody walks through a wall, and time never runs backwards."""

import itertools

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString
from tests.house import scheme

from wardwright.analyses.free_floor import is_inner_way
from wardwright.analyses.scenario.playing import play
from wardwright.analyses.scenario.script import Act, Actor, Scenario
from wardwright.analyses.timing import timing
from wardwright.premises.plan import storey_plans

HOUSE = scheme()
WALKS = timing(HOUSE)
SOLID = {
    key: plan.solid(
        open_ids=frozenset(
            s.opening.id for s in plan.openings if is_inner_way(HOUSE.premises, s.opening) or s.opening.is_outside
        )
    )
    for key, plan in storey_plans(HOUSE.premises).items()
}
INSIDE = st.one_of(
    st.sampled_from(["hall", "living", "bed", "jewels", "keypad"]).map(lambda to: Act(do="go to", to=to)),
    st.sampled_from(["set away", "set inside", "unset", "clear"]).map(lambda do: Act.model_validate({"do": do})),
    st.integers(1, 3).map(lambda times: Act(do="wrong code", times=times)),
    st.floats(0.5, 90.0).map(lambda seconds: Act(do="wait", seconds=seconds)),
    st.sampled_from(["open", "shut"]).map(lambda do: Act.model_validate({"do": do, "by": "window"})),
    st.just(Act(do="take", to="jewels")),
)


@settings(max_examples=40, deadline=None)
@given(acts=st.lists(INSIDE, max_size=6), seed=st.one_of(st.none(), st.integers(0, 1000)), leaves=st.booleans())
def test_nobody_walks_through_a_wall(acts: list[Act], seed: int | None, leaves: bool) -> None:
    whole = [Act(do="come in", by="front"), *acts, *([Act(do="leave")] if leaves else [])]
    actor = Actor(id="a", right="owner", act=tuple(whole))
    timeline = play(HOUSE, Scenario(title="x", begins="08:00", seed=seed, actor=(actor,)), WALKS)
    moments = [m.at_ms for m in timeline.moments]
    assert moments == sorted(moments)
    frames = [f for leg in timeline.tracks[0].legs for f in leg.frames]
    for (t0, a), (t1, b) in itertools.pairwise(frames):
        assert t1 >= t0
        if a[0] == b[0] and a != b:
            assert not shapely.intersects(SOLID[a[0]], LineString([a[1:], b[1:]])), (a, b)
