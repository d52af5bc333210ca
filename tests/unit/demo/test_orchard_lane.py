"""The demonstration building is drawn correctly and written as valid IFC."""

import itertools
from pathlib import Path

import ifcopenshell
import ifcopenshell.util.element
import ifcopenshell.validate
import pytest
from demo import orchard_lane as house
from demo.write_ifc import write_ifc
from shapely import LineString, Polygon, box


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_ifc(tmp_path_factory.mktemp("demo") / "orchard-lane.ifc")


def bodies(storey: str) -> dict[str, Polygon]:
    thick = {name: sum(t for _, t in layers) for name, layers in house.BUILD_UPS.items()}
    return {
        w.name: LineString([w.start, w.end]).buffer(thick[w.build_up] / 2, cap_style="flat")
        for w in house.WALLS
        if w.storey == storey
    }


@pytest.mark.parametrize("storey", house.STOREYS)
def test_walls_meet_without_running_into_each_other_and_rooms_fill_what_they_enclose(storey: str) -> None:
    walls = bodies(storey)
    for (name, a), (other, b) in itertools.combinations(walls.items(), 2):
        assert a.intersection(b).area < 1e-9, f"{name} runs into {other}"
    rooms = {name: Polygon(ring) for name, (level, ring) in house.ROOMS.items() if level == storey}
    for (name, a), (other, b) in itertools.combinations(rooms.items(), 2):
        assert a.intersection(b).area < 1e-9, f"{name} overlaps {other}"
    for name, room in rooms.items():
        assert all(room.intersection(body).area < 1e-9 for body in walls.values()), f"{name} runs into a wall"
    outside = house.rectangle(0, 0, 11, 9) if storey == house.GROUND else house.L_SHAPE
    well = box(*house.STAIR_WELL).area if storey == house.UPPER else 0.0
    built = sum(r.area for r in rooms.values()) + sum(b.area for b in walls.values()) + well
    assert built == pytest.approx(Polygon(outside).area)


def test_every_opening_lies_within_its_wall_and_clear_of_the_next() -> None:
    walls = {w.name: w for w in house.WALLS}
    spans: dict[str, list[tuple[float, float]]] = {}
    for hole in (*house.DOORS, *house.WINDOWS):
        wall = walls[hole.wall]
        axis = 0 if wall.start[1] == wall.end[1] else 1
        low, high = sorted((wall.start[axis], wall.end[axis]))
        span = (hole.at - hole.width / 2, hole.at + hole.width / 2)
        assert low + 0.05 < span[0], f"{hole.name} leaves its wall"
        assert span[1] < high - 0.05, f"{hole.name} leaves its wall"
        assert hole.sill + hole.height <= house.STOREYS[wall.storey][1] - 0.1
        spans.setdefault(hole.wall, []).append(span)
    for wall_spans in spans.values():
        wall_spans.sort()
        assert all(a[1] + 0.1 <= b[0] for a, b in itertools.pairwise(wall_spans))


def test_furniture_stands_in_one_room_clear_of_doors() -> None:
    for piece in house.FITTINGS:
        shape = box(*piece.box)
        homes = [n for n, (s, ring) in house.ROOMS.items() if s == piece.storey and Polygon(ring).contains(shape)]
        assert len(homes) == 1, piece.name
    for a, b in itertools.combinations(house.FITTINGS, 2):
        if a.storey == b.storey:
            assert box(*a.box).intersection(box(*b.box)).area == 0.0, f"{a.name} stands in {b.name}"
    walls = {w.name: w for w in house.WALLS}
    for door in house.DOORS:
        wall = walls[door.wall]
        if wall.start[1] == wall.end[1]:
            y = wall.start[1]
            clear = box(door.at - door.width / 2, y - 0.75, door.at + door.width / 2, y + 0.75)
        else:
            x = wall.start[0]
            clear = box(x - 0.75, door.at - door.width / 2, x + 0.75, door.at + door.width / 2)
        for piece in house.FITTINGS:
            if piece.storey == wall.storey and piece.base < 1.0:
                assert clear.intersection(box(*piece.box)).area == 0.0, f"{piece.name} stands behind {door.name}"


def test_the_stair_can_be_climbed() -> None:
    rise = house.STOREYS[house.UPPER][0] / house.RISES
    # England, Approved Document K (2013), private stair: rise 150 to 220 mm, going 220 to 300 mm, 2R + G 550 to 700 mm
    # (from memory).
    assert 0.150 <= rise <= 0.220
    assert 0.220 <= house.GOING <= 0.300
    assert 0.550 <= 2 * rise + house.GOING <= 0.700
    west, south, east, north = house.STAIR_WELL
    assert pytest.approx(north - south) == (house.RISES - 1) * house.GOING
    assert east - west >= 0.8


# The validator leaves its own rules file open.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning")
def test_the_file_is_valid_ifc_by_the_schema_and_its_rules(written: Path) -> None:
    log = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(str(written), log, express_rules=True)
    assert log.statements == []


def test_the_file_holds_what_the_house_has(written: Path) -> None:
    file = ifcopenshell.open(str(written))
    assert len(file.by_type("IfcSpace")) == len(house.ROOMS)
    assert len(file.by_type("IfcDoor")) == len(house.DOORS)
    assert len(file.by_type("IfcWindow")) == len(house.WINDOWS)
    assert len(file.by_type("IfcRelVoidsElement")) == len(file.by_type("IfcRelFillsElement"))
    for wall in file.by_type("IfcWall"):
        usage = ifcopenshell.util.element.get_material(wall)
        layers = usage.ForLayerSet.MaterialLayers
        assert sum(x.LayerThickness for x in layers) in (pytest.approx(300.0), pytest.approx(100.0))


def test_the_file_is_the_same_every_time(written: Path, tmp_path: Path) -> None:
    assert write_ifc(tmp_path / "orchard-lane.ifc").read_bytes() == written.read_bytes()
