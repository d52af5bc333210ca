"""Where detectors that look along a wall are offered: long glazed fronts and corridors, and nowhere else."""

import math

import pytest
from bench.invented_buildings import STOREY, open_hall, rooms_in_rows

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.system import Design, ProtectionScheme
from wardwright.placement.grades import wired_kinds
from wardwright.placement.watching import Watcher, watchers
from wardwright.premises.life import Pet
from wardwright.premises.model import Premises
from wardwright.premises.plan import storey_plans


def offered_in(premises: Premises, **brief: object) -> list[Watcher]:
    scheme = ProtectionScheme(premises, Design(), load_catalogue(), Brief(**brief))  # type: ignore[arg-type]
    return list(watchers(scheme, wired_kinds, []))


def test_small_rooms_with_small_windows_are_looked_into_only() -> None:
    assert not [w for w in offered_in(rooms_in_rows(3, 2, 4.0, 4.0)) if w.aim]


def test_long_walls_and_glazed_fronts() -> None:
    hall = open_hall()
    found = [w for w in offered_in(hall) if w.aim]
    optics = {load_catalogue().kind(w.device.kind).words["optic"] for w in found}
    assert optics == {"curtain", "long range"}
    shape = storey_plans(hall)[STOREY].room_shapes["r00"]
    left, low, right, high = shape.bounds
    for watcher in found:
        x, y = watcher.device.position
        heading = watcher.device.heading_rad
        # from a corner of the hall, along one of its walls, away from that corner
        assert min(x - left, right - x) < 0.3
        assert min(y - low, high - y) < 0.3
        assert math.sin(2.0 * heading) == pytest.approx(0.0, abs=1e-6)
        assert shape.covers(type(shape.centroid)(x + 5.0 * math.cos(heading), y + 5.0 * math.sin(heading)))
        if "curtain" in watcher.aim:
            # the windows are in the long walls, which run along x
            assert math.cos(heading) ** 2 == pytest.approx(1.0)
    assert len({w.device.id for w in found}) == len(found)


def test_what_is_not_made_for_pets_is_left_out_where_they_roam() -> None:
    dog = Pet(id="dog", kind="dog", mass_kg=10.0, height_m=0.45, length_m=0.7)
    assert not [w for w in offered_in(open_hall().model_copy(update={"pets": (dog,)})) if w.aim]


def test_a_kind_that_is_ruled_out_is_not_offered() -> None:
    found = offered_in(open_hall(), ruled_out=("pir-long-range",))
    assert found
    assert not [w for w in found if w.device.kind == "pir-long-range"]
