"""Small edits, by the cases that the browser's half is checked with too; and undone, whatever they were."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from wardwright.errors import InputError
from wardwright.job.model import Job
from wardwright.job.moves import Move, moved
from wardwright.premises.fabric import Storey, Wall
from wardwright.premises.model import Premises
from wardwright.storage.store import ConflictError, Store

CASES = json.loads((Path(__file__).resolve().parents[2] / "samples" / "moves.json").read_text(encoding="utf-8"))
MOVES: TypeAdapter[tuple[Any, ...]] = TypeAdapter(tuple[Move, ...])


def job() -> Job:
    """One storey, two walls: the job all cases begin with."""
    walls = (
        Wall(id="w1", storey_id="s1", axis=((0.0, 0.0), (4.0, 0.0)), thickness_m=0.3),
        Wall(id="w2", storey_id="s1", axis=((4.0, 0.0), (4.0, 3.0)), thickness_m=0.3),
    )
    storey = Storey(id="s1", name="Ground floor", elevation_m=0.0, height_m=2.5)
    return Job(id="j", title="J", premises=Premises(name="J", storeys=(storey,), walls=walls))


def looked_up(tree: Any, path: str) -> Any:
    for i, step in enumerate(path.split(".")):
        if step.endswith("[]"):
            rest = path.split(".")[i + 1]
            return [element[rest] for element in tree[step[:-2]]]
        tree = tree[step]
    return tree


@pytest.mark.parametrize("case", CASES, ids=[c["case"] for c in CASES])
def test_case(case: dict[str, Any]) -> None:
    before = job()
    moves = MOVES.validate_python(case["moves"])
    if "refused" in case:
        with pytest.raises(InputError) as told:
            moved(before, moves)
        assert case["refused"] in told.value.message
        assert before == job()
        return
    tree = moved(before, moves).model_dump(mode="json")
    for path, wanted in case["expect"].items():
        assert looked_up(tree, path) == wanted, path


numbers = st.integers(1, 6)


@st.composite
def a_move(draw: st.DrawFn) -> dict[str, Any]:
    key = f"x{draw(numbers)}"
    width = draw(st.sampled_from([0.1, 0.2, 0.3]))
    wall = {"id": key, "storey_id": "s1", "axis": [[0, 0], [draw(numbers), 0]], "thickness_m": width}
    return draw(
        st.sampled_from(
            [
                {"do": "add", "place": "premises.walls", "value": wall},
                {"do": "set", "place": "premises.walls", "id": key, "values": {"thickness_m": width}},
                {"do": "remove", "place": "premises.walls", "id": key},
            ]
        )
    )


@settings(max_examples=40, deadline=None)
@given(st.lists(a_move(), max_size=12))
def test_undo_goes_all_the_way_back_and_redo_all_the_way_forth(tmp_path_factory: Any, asked: list[Any]) -> None:
    store = Store.at(tmp_path_factory.mktemp("undo") / "jobs.sqlite")
    kept = store.add(job())
    key, states = kept.key, [kept.job]
    for one in asked:
        before = kept
        try:
            kept = store.edit(key, kept.revision, lambda j, one=one: moved(j, MOVES.validate_python([one])), "edit")
        except InputError:
            assert store.get(key) == before
            continue
        if kept.revision != before.revision:
            states.append(kept.job)

    def same(a: Job, b: Job) -> bool:
        """But for the ids that may not be used again, of which there are only ever more."""
        return a.model_copy(update={"retired_ids": ()}) == b.model_copy(update={"retired_ids": ()})

    for state in reversed(states[:-1]):
        kept = store.undo(key, kept.revision)
        assert same(kept.job, state)
    with pytest.raises(InputError, match="nothing to undo"):
        store.undo(key, kept.revision)
    for state in states[1:]:
        kept = store.redo(key, kept.revision)
        assert same(kept.job, state)
        assert not set(kept.job.retired_ids) & {w.id for w in kept.job.premises.walls}
    with pytest.raises(ConflictError):
        store.undo(key, kept.revision + 1)
    store.close()
