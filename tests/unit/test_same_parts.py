"""A record read anew is what it says, and shares with the one before what they have in common."""

from hypothesis import given
from hypothesis import strategies as st
from tests.house import scheme

from wardwright.design.system import Design
from wardwright.model import Record
from wardwright.same_parts import with_parts_of


class Leaf(Record):
    id: str
    width_m: float


class Opening(Record):
    id: str
    leaves: tuple[Leaf, ...] = ()
    spot: tuple[float, float] = (0.0, 0.0)
    words: tuple[str, ...] = ()


class Building(Record):
    name: str
    openings: tuple[Opening, ...] = ()
    main: Opening | None = None


NAME = st.sampled_from("abc")
LEAF = st.builds(Leaf, id=NAME, width_m=st.sampled_from([1.0, 2.0]))
OPENING = st.builds(
    Opening, id=NAME, leaves=st.lists(LEAF, max_size=3).map(tuple), words=st.lists(NAME, max_size=2).map(tuple),
    spot=st.tuples(st.sampled_from([0.0, 1.0]), st.just(0.0)),
)  # fmt: skip
BUILDING = st.builds(
    Building, name=NAME, openings=st.lists(OPENING, max_size=4).map(tuple), main=st.none() | OPENING
)  # fmt: skip


@given(BUILDING, BUILDING)
def test_never_says_anything_else(new: Building, before: Building) -> None:
    found = with_parts_of(new, before)
    assert found == new
    assert found is not before or new == before


def test_one_device_moved_leaves_every_other_record_as_it_was() -> None:
    before = scheme().design
    moved = before.devices[0].model_copy(update={"position": (0.4, 0.4)})
    text = before.model_copy(update={"devices": (moved, *before.devices[1:])}).model_dump_json()
    read = Design.model_validate_json(text)
    found = with_parts_of(read, before)
    assert found == read
    assert found.programme is before.programme
    assert found.loops is before.loops
    assert found.devices[0] == moved
    assert all(a is b for a, b in zip(found.devices[1:], before.devices[1:], strict=True))


def test_nothing_is_shared_with_nothing_or_with_another_kind_of_record() -> None:
    leaf = Leaf(id="a", width_m=1.0)
    assert with_parts_of(leaf, None) is leaf
    assert with_parts_of(leaf, Opening(id="a")) is leaf  # type: ignore[type-var]
