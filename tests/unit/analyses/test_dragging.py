"""While a detector is moved the map is the one worked out from nothing, at the same pace and directions."""

import math

import numpy as np
import pytest
from tests.house import scheme

from wardwright.analyses.coverage import coverage_map
from wardwright.analyses.dragging import HEADINGS, SPEED_M_S, STEP_M, Dragging
from wardwright.analyses.mode import Mode
from wardwright.analyses.walk_lines import WIDE
from wardwright.catalogue.kinds import Family


@pytest.mark.parametrize("turn", [0.0, 0.7, math.pi])
def test_the_map_that_follows_is_the_map_from_nothing(turn: float) -> None:
    held = scheme()
    device = held.of_family(Family.MOTION, Family.DUAL)[0]
    drag = Dragging(held, Mode.AWAY, device.id)
    x, y = device.position
    moved = device.model_copy(update={"position": (x + 0.05, y + 0.03), "heading_rad": device.heading_rad + turn})
    found = drag.at(moved)
    assert found is not None
    devices = tuple(moved if d.id == moved.id else d for d in held.design.devices)
    there = scheme()
    there = type(there)(
        there.premises, there.design.model_copy(update={"devices": devices}), there.catalogue, there.brief
    )
    whole = coverage_map(there, Mode.AWAY, step_m=STEP_M, headings=HEADINGS, speeds=(SPEED_M_S,), lay=WIDE)[
        moved.storey_id
    ]
    assert found.grid == whole.grid
    np.testing.assert_allclose(found.worst_db, whole.worst_db, atol=1e-4)
    seen = np.isfinite(found.worst_db)
    assert seen.any()
    np.testing.assert_allclose(found.worst_heading_rad[seen], whole.worst_heading_rad[seen])


def test_a_contact_in_hand_leaves_the_map_as_it_is() -> None:
    held = scheme()
    contact = held.of_family(Family.CONTACT)[0]
    drag = Dragging(held, Mode.AWAY, contact.id)
    a, b = drag.at(contact), drag.at(contact.model_copy(update={"position": (1.0, 1.0)}))
    assert a is not None
    assert b is not None
    np.testing.assert_array_equal(a.worst_db, b.worst_db)
