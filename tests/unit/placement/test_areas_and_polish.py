"""New zones go to the area of their room; the polish moves what is new, along its wall, only for the better."""

import math
from dataclasses import replace

import pytest
from bench.invented_buildings import STOREY, rooms_in_rows
from shapely import Point

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import routes
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.estimate.tariff import load_tariff
from wardwright.job.model import Job
from wardwright.placement.areas import area_of
from wardwright.placement.finer import polish
from wardwright.placement.proposal import problem_of, propose
from wardwright.placement.wall_spots import OFF_M, slid, wall_spots
from wardwright.premises.plan import storey_plans
from wardwright.rules.aims.route import bounds

ROW = rooms_in_rows(4, 1, 4.0, 4.0, targets=2)


def zone(key: str, number: int, device: str, *areas: str) -> Zone:
    return Zone(
        id=key,
        number=number,
        name=key,
        area_ids=areas,
        response=ZoneResponse.INTERIOR_FOLLOWER,
        device_ids=(device,),
        set_with_people_inside=False,
    )


def motion(key: str, x: float, y: float, heading: float = math.pi / 2.0) -> Device:
    return Device(id=key, kind="pir-wide", storey_id=STOREY, position=(x, y), heading_rad=heading)


def two_areas() -> Design:
    """A home in the first room, a shop in the last; what belongs to both stands in the first room too."""
    return Design(
        devices=(motion("home-m", 2.0, 0.1), motion("shop-m", 14.0, 0.1), motion("both-m", 0.1, 0.1)),
        programme=Programme(
            areas=(Area(id="home", name="Home"), Area(id="shop", name="Shop")),
            zones=(
                zone("z1", 1, "home-m", "home"),
                zone("z2", 2, "shop-m", "shop"),
                zone("z3", 3, "both-m", "home", "shop"),
            ),
        ),
    )


@pytest.mark.parametrize(
    ("at", "area"),
    [((2.0, 3.9), "home"), ((6.0, 3.9), "home"), ((10.0, 3.9), "shop"), ((14.0, 3.9), "shop")],
)
def test_the_area_of_the_room_or_of_the_nearest_by_doors(at: tuple[float, float], area: str) -> None:
    scheme = ProtectionScheme(ROW, two_areas(), load_catalogue(), Brief())
    assert area_of(scheme, [motion("new", *at)]) == (area,)


def test_one_area_is_not_asked() -> None:
    scheme = ProtectionScheme(ROW, Design(), load_catalogue(), Brief())
    assert area_of(scheme, [motion("new", 2.0, 3.9)]) == ()


def test_areas_are_kept_and_new_zones_join_them() -> None:
    brief = Brief(asleep_upstairs=False, detect_before_target=0.7)
    job = Job(id="two", title="Home and shop (invented)", premises=ROW, brief=brief, design=two_areas())
    proposal = propose(problem_of(job, load_catalogue(), load_tariff()), today="2026-01-01")
    programme = proposal.job.design.programme
    assert programme.areas == job.design.programme.areas
    assert programme.zones[:3] == job.design.programme.zones
    made = {d: z.area_ids for z in programme.zones[3:] for d in z.device_ids}
    rooms = {d.id: d for d in proposal.job.design.devices}
    assert made
    for key, areas in made.items():
        assert areas == (("home",) if rooms[key].position[0] < 8.0 else ("shop",))


@pytest.mark.parametrize("by", [-0.6, -0.3, 0.3, 0.6])
def test_slid_places_are_on_the_wall_and_clear_of_openings(by: float) -> None:
    plan = storey_plans(ROW)[STOREY]
    found = 0
    for spot in wall_spots(ROW):
        place = slid(ROW, spot.room_id, spot.position, by)
        if place is None:
            continue
        found += 1
        shape = plan.room_shapes[spot.room_id]
        assert shape.contains(Point(place))
        assert shape.exterior.distance(Point(place)) == pytest.approx(OFF_M, abs=2e-3)
        assert math.dist(place, spot.position) <= abs(by) + 2.0 * OFF_M
        assert all(s.outline.distance(Point(place)) > OFF_M - 2e-3 for s in plan.openings)
    assert found


def test_the_polish_may_only_improve() -> None:
    house = rooms_in_rows(2, 1, 5.0, 4.5, targets=1)
    devices = (motion("kept", 0.1, 0.1, 0.8), motion("m", 5.2, 0.15, 2.6), motion("n", 9.8, 2.6, math.pi))
    programme = Programme(
        areas=(Area(id="all", name="All"),),
        zones=tuple(zone(f"z{i}", i, d.id, "all") for i, d in enumerate(devices, 1)),
    )
    brief = Brief(asleep_upstairs=False)
    scheme = ProtectionScheme(house, Design(devices=devices, programme=programme), load_catalogue(), brief)
    x_of = {d.id: d.position for d in devices}

    def price(design: Design) -> float:
        return sum(math.dist(d.position, (0.0, 0.0)) for d in design.devices)

    design, before, after = polish(scheme, ["kept"], price=price)
    assert after >= before
    assert price(design) <= price(scheme.design) + 1e-9
    assert design.device("kept") == devices[0]
    assert all(math.dist(d.position, x_of[d.id]) <= 0.6 + 2.0 * OFF_M for d in design.devices)

    def weakest(of: Design) -> float:
        told = routes(replace(scheme, design=of), Mode.AWAY, hazard_fields(replace(scheme, design=of), Mode.AWAY))
        return min(bounds(r)[0] for r in told.routes)

    assert after > before, "one of the two looks past the door: turning it helps"
    assert weakest(design) >= weakest(scheme.design)
    still, _, _ = polish(scheme, ["kept"])
    assert all(d.position == x_of[d.id] for d in still.devices), "without a price nothing is slid"
