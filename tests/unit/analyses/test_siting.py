"""Siting rules on an invented house: each told by moving one thing."""

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.house import scheme

from wardwright.analyses.mode import Mode, open_inner_doors
from wardwright.analyses.sightlines import sightlines
from wardwright.analyses.siting import siting_checks
from wardwright.analyses.siting_records import SitingCheck
from wardwright.analyses.sunlight import floor_patches, into_lens, sun_shafts
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Outcome, Weight
from wardwright.model import Record
from wardwright.premises.fabric import Obstacle
from wardwright.premises.life import HeatSource, Pet, ServicePoint
from wardwright.rules.aims.nuisance import nuisance_findings

NORTH_UP = {"latitude_deg": 50.0, "north_rad": math.pi / 2.0}
HERE = Device(id="new", kind="pir-wide", storey_id="g", position=(9.7, 7.7), height_m=2.2, heading_rad=-2.4)


def built(*, site: dict[str, float] | None = None, **more: tuple[Record, ...]) -> ProtectionScheme:
    base = scheme()
    surroundings = base.premises.surroundings.model_copy(update=site or {})
    return replace(base, premises=base.premises.model_copy(update={"surroundings": surroundings, **more}))


def told(s: ProtectionScheme, rule: str, device: Device = HERE) -> SitingCheck:
    return next(c for c in siting_checks(s, device) if c.rule == rule)


def test_a_window_looked_at_squarely_and_one_looked_past() -> None:
    square = HERE.model_copy(update={"position": (7.0, 7.7), "heading_rad": -math.pi / 2.0})
    past = HERE.model_copy(update={"position": (3.3, 7.7), "heading_rad": 0.0})
    assert told(built(), "window-in-view", square).value == pytest.approx(0.0, abs=1e-6)
    assert told(built(), "window-in-view", square).objects
    assert told(built(), "window-in-view", past).value is None


def test_the_sun_of_a_south_window_at_noon() -> None:
    """At 50 degrees north on the shortest day the noon sun stands at 90 - 50 - 23.44 = 16.56 degrees."""
    s = built(site=NORTH_UP)
    (shaft,) = [x for x in sun_shafts(s.premises) if x.opening_id == "window"]
    lines = sightlines(s.premises, "g", open_inner_doors(s.premises, Mode.AWAY))
    assert lines is not None
    points, moments = floor_patches(shaft, lines)
    noon = (shaft.hour == 12.0) & (shaft.day == 0)
    y = points[noon[moments]][:, 1]
    slope = math.tan(math.radians(90.0 - 50.0 - 23.44))
    low, high = 0.15 + (0.9 + 0.1 * 1.3) / slope, 0.15 + (0.9 + 0.9 * 1.3) / slope
    assert len(y)
    assert np.all((y > low - 0.05) & (y < high + 0.05))
    assert y.min() == pytest.approx(low, abs=0.05)


def test_the_sun_shines_into_what_stands_on_its_ray_and_not_beside_it() -> None:
    s = built(site=NORTH_UP)
    (shaft,) = [x for x in sun_shafts(s.premises) if x.opening_id == "window"]
    noon = (shaft.hour == 12.0) & (shaft.day == 0)
    slope = math.tan(math.radians(16.56))
    lit = into_lens(shaft, (7.0, 0.15 + 2.0), 1.55 - 2.0 * slope)
    assert lit[noon].all()
    assert not into_lens(shaft, (9.5, 0.15 + 2.0), 1.55 - 2.0 * slope)[noon].any()
    assert not into_lens(shaft, (7.0, -2.0), 1.5).any()


def test_no_sun_through_a_window_that_looks_north() -> None:
    s = built(site={"latitude_deg": 50.0, "north_rad": -math.pi / 2.0})
    winter = [x for x in sun_shafts(s.premises) if x.opening_id == "window" and np.any(x.day == 0)]
    assert not winter


def test_sun_is_not_decided_without_north() -> None:
    assert told(built(), "sun-patch").undecided
    (finding,) = nuisance_findings([told(built(), "sun-patch")], ())
    assert finding.outcome is Outcome.NOT_DECIDED


def test_sun_in_the_beams_is_told_in_kelvins() -> None:
    check = told(built(site=NORTH_UP), "sun-patch")
    assert check.about == ("window",)
    assert check.interval is not None
    assert 0.2 < check.interval[0] < check.value < check.interval[1] < 3.3  # worked figures of tile and carpet


def heat(kind: str, x: float, y: float) -> HeatSource:
    return HeatSource(id="thing", kind=kind, storey_id="g", position=(x, y), height_m=0.5, size_m=0.6)


def test_heat_near_and_far_and_behind_a_wall() -> None:
    assert told(built(heat_sources=(heat("stove", 8.0, 6.0),)), "heat-in-view").objects
    far = told(built(heat_sources=(heat("stove", 4.0, 1.5),)), "heat-in-view")
    assert far.value == pytest.approx(math.hypot(5.7, 6.2, 1.7), abs=0.05)
    assert not far.objects
    assert told(built(heat_sources=(heat("stove", 1.5, 1.0),)), "heat-in-view").value is None


def test_an_outlet_has_a_limit_of_its_own() -> None:
    high = heat("air vent", 8.6, 6.6).model_copy(update={"height_m": 1.5})
    assert told(built(heat_sources=(high,)), "outlet-in-view").objects
    assert told(built(heat_sources=(heat("air vent", 9.0, 7.0),)), "draught-at-detector").value == pytest.approx(
        math.dist((9.7, 7.7, 2.2), (9.0, 7.0, 0.5))
    )


def test_a_door_behind_a_wall_is_not_beside_the_detector() -> None:
    beyond = HERE.model_copy(update={"position": (3.2, 2.0), "heading_rad": 0.5})
    assert not [c for c in siting_checks(built(), beyond) if c.rule == "draught-at-detector"]
    beside = HERE.model_copy(update={"position": (0.3, 3.2), "heading_rad": 0.0})
    assert told(built(), "draught-at-detector", beside).objects


def test_moving_things_in_view() -> None:
    banner = Obstacle(
        id="banner", name="Banner", storey_id="g", outline=((6, 4), (7, 4), (7, 4.1), (6, 4.1)), base_m=1.0,
        height_m=1.8, moves=True,
    )  # fmt: skip
    assert told(built(obstacles=(banner,)), "moving-in-view").objects
    assert not told(built(obstacles=(banner.model_copy(update={"outline": ((1, 1), (2, 1), (2, 1.1))}),)),
                    "moving-in-view").objects  # fmt: skip
    fan = ServicePoint(id="fan", kind="fan", storey_id="g", position=(6.0, 4.0), height_m=1.5)
    assert told(built(services=(fan,)), "moving-in-view").objects


def dog(**more: object) -> Pet:
    return Pet.model_validate({"id": "dog", "kind": "dog", "mass_kg": 20.0, "height_m": 0.45, "length_m": 0.8, **more})


def test_a_dog_on_the_floor_and_one_that_climbs() -> None:
    plain = told(built(pets=(dog(),)), "pet-in-view")
    assert plain.objects
    tolerant = HERE.model_copy(update={"kind": "pir-pet"})
    assert told(built(pets=(dog(),)), "pet-in-view", tolerant).value is None
    sofa = Obstacle(
        id="sofa", name="Sofa", storey_id="g", outline=((6, 3), (8, 3), (8, 4), (6, 4)), height_m=0.5
    )  # fmt: skip
    climbs = told(built(pets=(dog(climbs_furniture=True),), obstacles=(sofa,)), "pet-in-view", tolerant)
    assert climbs.value is not None
    assert "Sofa" in climbs.said
    assert told(built(pets=(dog(mass_kg=40.0),)), "pet-heavier", tolerant).objects
    assert told(built(pets=(dog(room_ids=("bed",)),)), "pet-in-view").value is None


def test_a_pet_that_sets_it_off_refutes_and_a_window_does_not() -> None:
    found = nuisance_findings(siting_checks(built(pets=(dog(),)), HERE), ())
    pet = next(f for f in found if f.rule == "nuisance.pet-in-view")
    window = next(f for f in found if f.rule == "nuisance.window-in-view")
    assert pet.refutes
    assert window.weight is Weight.RECOMMENDED


def test_a_microwave_part_sees_through_light_walls() -> None:
    dual = HERE.model_copy(update={"kind": "dual", "position": (9.7, 4.0), "heading_rad": math.pi})
    check = told(built(), "sees-through-wall", dual)
    assert check.value is not None
    assert check.interval is not None
    assert check.interval[0] <= check.value <= check.interval[1]
    assert "g-mid" in check.said or "Inner door" in check.said


def test_other_families_and_empty_storeys_say_nothing() -> None:
    assert siting_checks(built(), scheme().design.device("mc-front")) == ()
    assert siting_checks(built(rooms=()), HERE) == ()


def test_a_warm_room_is_said() -> None:
    base = built()
    rooms = tuple(r.model_copy(update={"temperature_max_c": 33.0}) for r in base.premises.rooms)
    assert told(built(rooms=rooms), "warm-room").objects
