"""The walk from the final exit to the keypad."""

import dataclasses

import pytest
from tests.house import house, scheme

from wardwright.analyses.timing import must_wait, timing
from wardwright.design.system import ProtectionScheme
from wardwright.premises.life import Person


def moved(position: tuple[float, float], storey: str = "g", **brief) -> ProtectionScheme:
    whole = scheme(**brief)
    devices = tuple(
        d.model_copy(update={"position": position, "storey_id": storey}) if d.id == "keypad" else d
        for d in whole.design.devices
    )
    return dataclasses.replace(whole, design=whole.design.model_copy(update={"devices": devices}))


def test_length_lies_between_crow_and_corners() -> None:
    # Front door at (0, 2), keypad across the hall at (2.7, 7): no wall between.
    walk = timing(moved((2.7, 7.0))).walks[0]
    straight = ((2.7 - 0.0) ** 2 + 5.0**2) ** 0.5
    assert straight - 0.7 <= walk.length_m <= 1.03 * straight + 0.3
    assert walk.walk_s == pytest.approx(walk.length_m / 0.8, rel=0.02)


def test_through_the_inner_door_is_longer_than_the_crow_flies() -> None:
    walk = timing(moved((9.5, 0.5))).walks[0]
    by_the_door = ((3 - 0) ** 2 + (4 - 2) ** 2) ** 0.5 + ((9.5 - 3) ** 2 + (4 - 0.5) ** 2) ** 0.5
    assert walk.length_m == pytest.approx(by_the_door, abs=0.9)


def test_stairs_are_walked() -> None:
    walk = timing(moved((5.0, 5.0), "u")).walks[0]
    assert {key for key, _, _ in walk.points} == {"g", "u"}
    assert walk.length_m > 8.0


def test_a_slower_walker_takes_longer() -> None:
    quick, slow = (timing(moved((2.7, 7.0), slow_walk_m_s=v)).walks[0] for v in (1.0, 0.5))
    assert slow.walk_s == pytest.approx(2 * quick.walk_s, rel=0.01)
    assert slow.interval_s[0] < slow.walk_s < slow.interval_s[1]


def test_the_slowest_person_sets_the_pace() -> None:
    whole = moved((2.7, 7.0))
    slow = Person(id="p", role="elder", walking_speed_m_s=0.4)
    premises = house().model_copy(update={"people": (slow,)})
    walk = timing(dataclasses.replace(whole, premises=premises)).walks[0]
    assert walk.pace_m_s == 0.4 and "elder" in walk.assumption


def test_the_way_passes_the_contact_and_the_detector_that_looks_at_it() -> None:
    walk = timing(moved((0.3, 5.5))).walks[0]
    assert {"mc-front", "pir-hall"} <= set(walk.crossed_device_ids)
    assert "mc-window" not in walk.crossed_device_ids
    assert "mc-front" not in must_wait(moved((0.3, 5.5)), walk)


def test_no_keypad_and_no_exit_are_told() -> None:
    whole = scheme()
    bare = tuple(d for d in whole.design.devices if d.id != "keypad")
    walk = timing(dataclasses.replace(whole, design=whole.design.model_copy(update={"devices": bare}))).walks[0]
    assert "no keypad" in walk.undecided
    doors = tuple(o.model_copy(update={"final_exit": False}) for o in house().openings)
    closed = house().model_copy(update={"openings": doors})
    assert timing(dataclasses.replace(whole, premises=closed)).undecided
