"""The demonstration building comes in through the intake, and its survey notes fit it."""

from pathlib import Path

import pytest
from demo import orchard_lane as house
from demo.write_ifc import write_ifc
from shapely import Point, Polygon

from wardwright.errors import InputError
from wardwright.intake.open_file import Intake, read_premises
from wardwright.premises.attacks import attacks
from wardwright.premises.model import Premises
from wardwright.premises.notes import with_notes
from wardwright.premises.openings import OUTSIDE
from wardwright.premises.reach import ENGLAND, EUROPE, RESIDENTIAL_US, reach

NOTES = (Path(__file__).resolve().parents[3] / "demo" / "orchard-lane.survey.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def taken(tmp_path_factory: pytest.TempPathFactory) -> Intake:
    return read_premises(write_ifc(tmp_path_factory.mktemp("demo") / "orchard-lane.ifc"))


@pytest.fixture(scope="module")
def lived_in(taken: Intake) -> Premises:
    return with_notes(taken.premises, NOTES)


def test_the_drawing_comes_in_cleanly(taken: Intake) -> None:
    premises = taken.premises
    assert {r.name for r in premises.rooms} == set(house.ROOMS)
    for room in premises.rooms:
        drawn = Polygon(house.ROOMS[room.name][1])
        assert Polygon(room.outline).symmetric_difference(drawn).area < 0.01
    assert {o.name for o in premises.openings} == {h.name for h in (*house.DOORS, *house.WINDOWS)}
    assert len(premises.walls) == len(house.WALLS)
    assert {a.what for a in taken.assumptions} <= {"door people leave by", "ground level"}


def test_openings_join_what_they_are_drawn_between(taken: Intake) -> None:
    names = {r.id: r.name for r in taken.premises.rooms} | {OUTSIDE: OUTSIDE}
    joined = {o.name: {names[s] for s in o.sides if s} for o in taken.premises.openings}
    assert joined["Door from hall to shop"] == {"Hall", "Shop"}
    assert joined["Workshop roller door"] == {"Workshop", OUTSIDE}
    assert joined["Bedroom 3 rear window"] == {"Bedroom 3", OUTSIDE}
    assert joined["Bathroom door"] == {"Bathroom", "Landing"}
    outside = {w.name for w in house.WALLS if w.outside}
    for hole in (*house.DOORS, *house.WINDOWS):
        assert (OUTSIDE in joined[hole.name]) == (hole.wall in outside), hole.name


def test_everything_stands_in_its_room(lived_in: Premises) -> None:
    for thing in (*lived_in.beds, *lived_in.targets):
        assert Polygon(lived_in.room(thing.room_id).outline).contains(Point(thing.position)), thing.id
    for target in lived_in.targets:
        storey = lived_in.room(target.room_id).storey_id
        for obstacle in lived_in.obstacles:
            if obstacle.storey_id == storey and obstacle.height_m > 1.2:
                assert not Polygon(obstacle.outline).contains(Point(target.position)), (target.id, obstacle.name)
    rooms = {r.id for r in lived_in.rooms}
    assert all(p.sleeps_in in rooms for p in lived_in.people if p.sleeps_in)
    assert all(set(p.room_ids) <= rooms for p in lived_in.pets)
    ids = [
        x.id for group in (lived_in.beds, lived_in.targets, lived_in.heat_sources, lived_in.standings) for x in group
    ]
    assert len(ids) == len(set(ids))


def test_it_is_stored_and_read_back(lived_in: Premises) -> None:
    assert Premises.model_validate_json(lived_in.model_dump_json()) == lived_in


def test_the_roofs_bring_bedrooms_within_reach(lived_in: Premises) -> None:
    for rules in (RESIDENTIAL_US, EUROPE, ENGLAND):
        found = {lived_in.opening(k).name: r for k, r in reach(lived_in, rules).items()}
        assert found["Bedroom 3 rear window"].surface_id == "roof-workshop-flat-roof"
        assert found["Bedroom 3 rear window"].reachable is True
        assert found["Landing window"].reachable is False
    over_porch = {lived_in.opening(k).name: r for k, r in reach(lived_in, EUROPE).items()}["Bedroom 2 sash window"]
    assert over_porch.surface_id == "roof-porch-roof"


def test_the_old_house_has_attacks_of_every_sort(lived_in: Premises) -> None:
    outside = [o for o in lived_in.openings if o.is_outside]
    assert all(attacks(o) for o in outside)
    assert {a.name for o in outside for a in attacks(o)} >= {
        "opened",
        "forced",
        "cut or kicked in",
        "glass broken and reached through",
        "glass broken and climbed through",
    }


def test_another_house_is_refused_plainly(taken: Intake) -> None:
    other = taken.premises.model_copy(update={"openings": taken.premises.openings[1:]})
    with pytest.raises(InputError, match="no leaf of an opening is called so"):
        with_notes(other, NOTES)
