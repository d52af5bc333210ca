"""A changed copy of a record knows its own elements, not those of the record it came from."""

import pytest
from tests.house import house

from wardwright.errors import UnknownReferenceError
from wardwright.premises.life import Target


def test_a_copy_forgets_what_was_worked_out_before() -> None:
    first = house()
    assert first.room("hall").name == "Hall"
    target = Target(id="safe", name="Safe", room_id="living", position=(5.0, 4.0))
    changed = first.model_copy(update={"targets": (target,), "rooms": first.rooms[1:]})
    assert changed.target("safe") == target
    with pytest.raises(UnknownReferenceError, match="hall"):
        changed.room("hall")
    assert first.room("hall").name == "Hall"
    assert changed.model_copy() == changed
