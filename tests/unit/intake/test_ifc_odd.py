"""Odd but ordinary things in IFC files: glass walls, walls in parts, axes only, linings, roofs, flats, balconies."""

import math
from pathlib import Path
from typing import Any

import pytest
from shapely import Polygon

pytest.importorskip("ifcopenshell", reason="the optional IFC part is not installed")

from tests.ifc_houses import HOLES, WALLS, Box, Hole, House, Writer
from tests.unit.intake.test_ifc import by_name, check_house, joins, said, taken_in

from wardwright.intake.open_file import read_premises
from wardwright.premises.openings import OUTSIDE, LeafRole, Movement, OpeningKind


def box(writer: Writer, kind: str, name: str, at: Box, height: float, base: float = 0.0, **more: Any) -> Any:
    x0, y0, x1, y1 = at
    return writer.rooted(
        kind,
        name,
        ObjectPlacement=writer.placement((0.0, 0.0, base), within=writer.base),
        Representation=writer.prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], height),
        **more,
    )


def test_a_glass_wall_is_a_wall_with_fixed_panes_beside_its_door(tmp_path: Path) -> None:
    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        glass = writer.rooted("IfcCurtainWall", "front glass", ObjectPlacement=writer.placement(within=writer.base))
        panes = [box(writer, "IfcPlate", f"pane {n}", (7.52, 0.3 + n, 7.58, 1.3 + n), 2.6) for n in range(3)]
        writer.rooted("IfcRelAggregates", "", RelatingObject=glass, RelatedObjects=panes)
        return [glass]

    walls = {k: v for k, v in WALLS.items() if k != "east"}
    door = Hole("glass door", "IfcDoor", "", (7.55, 0.8), math.pi / 2, 0.9, 2.1)
    house = House(walls=walls, holes=HOLES[:2], extra=extra)
    house.holes = (*HOLES[:2], Hole("glass door", "IfcDoor", "none", (7.55, 0.8), math.pi / 2, 0.9, 2.1))
    house.hosts = False
    assert door.width == 0.9
    premises, _ = taken_in(house, tmp_path)
    assert joins(premises, "glass door") == {OUTSIDE, "Küche"}
    panes = [o for o in premises.openings if o.name == "front glass glazing"]
    assert sum(p.width_m for p in panes) == pytest.approx(3.0 - 0.9, abs=0.1)
    assert all(p.is_outside and p.leaves[0].role is LeafRole.FIXED and p.leaves[0].glazing for p in panes)


def test_a_wall_in_parts_is_one_wall(tmp_path: Path) -> None:
    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        whole = writer.rooted("IfcWall", "east", ObjectPlacement=writer.placement(within=writer.base))
        leaves = [
            box(writer, "IfcBuildingElementPart", "brick", (7.6, 0.3, 7.7, 3.3), 2.6),
            box(writer, "IfcBuildingElementPart", "block", (7.4, 0.3, 7.6, 3.3), 2.6),
        ]
        writer.rooted("IfcRelAggregates", "", RelatingObject=whole, RelatedObjects=leaves)
        return [whole]

    walls = {k: v for k, v in WALLS.items() if k != "east"}
    premises, _ = taken_in(House(walls=walls, hosts=False, extra=extra), tmp_path)
    check_house(premises)


def test_a_wall_of_which_only_the_axis_is_drawn(tmp_path: Path) -> None:
    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        f = writer.file
        points = [f.createIfcCartesianPoint([x * writer.per, y * writer.per]) for x, y in ((7.55, 0.3), (7.55, 3.3))]
        axis = f.createIfcShapeRepresentation(writer.context, "Axis", "Curve2D", [f.createIfcPolyline(points)])
        wall = writer.rooted(
            "IfcWall",
            "east",
            ObjectPlacement=writer.placement(within=writer.base),
            Representation=f.createIfcProductDefinitionShape(None, None, [axis]),
        )
        layers = f.createIfcMaterialLayerSet([f.createIfcMaterialLayer(f.createIfcMaterial("Brick"), 0.3 * writer.per)])
        writer.rooted("IfcRelAssociatesMaterial", "", RelatedObjects=[wall], RelatingMaterial=layers)
        return [wall]

    walls = {k: v for k, v in WALLS.items() if k != "east"}
    house = House(walls=walls, hosts=False, extra=extra, unit="millimetre")
    premises, assumptions = taken_in(house, tmp_path)
    check_house(premises)
    assert any("axis" in a.assumed for a in said(assumptions, "wall"))


def test_doors_cut_into_the_body_itself_leave_the_wall_whole(tmp_path: Path) -> None:
    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        f = writer.file
        parts = [
            writer.prism([(0.0, 0.0), (1.55, 0.0), (1.55, 0.3), (0.0, 0.3)], 2.6),
            writer.prism([(2.45, 0.0), (7.7, 0.0), (7.7, 0.3), (2.45, 0.3)], 2.6),
        ]
        solids = [p.Representations[0].Items[0] for p in parts]
        lintel = writer.prism([(1.55, 0.0), (2.45, 0.0), (2.45, 0.3), (1.55, 0.3)], 0.5).Representations[0].Items[0]
        lintel.Position = f.createIfcAxis2Placement3D(writer.point(0.0, 0.0, 2.1), None, None)
        shape = f.createIfcShapeRepresentation(writer.context, "Body", "SweptSolid", [*solids, lintel])
        return [
            writer.rooted(
                "IfcWall",
                "south",
                ObjectPlacement=writer.placement(within=writer.base),
                Representation=f.createIfcProductDefinitionShape(None, None, [shape]),
            )
        ]

    walls = {k: v for k, v in WALLS.items() if k != "south"}
    premises, _ = taken_in(House(walls=walls, hosts=False, extra=extra), tmp_path)
    check_house(premises)


def test_a_lining_is_cut_where_the_wall_behind_it_has_a_door(tmp_path: Path) -> None:
    walls = {**WALLS, "lining": (0.3, 0.3, 4.3, 0.36)}
    spaces = (("Wohnzimmer", (0.3, 0.36, 4.3, 3.3), 0.0, 2.5), House().spaces[1])
    premises, _ = taken_in(House(walls=walls, spaces=spaces), tmp_path)
    assert joins(premises, "front") == {OUTSIDE, "Wohnzimmer"}
    front = by_name(premises, "front")
    assert premises.wall(front.place.wall_id).thickness_m == pytest.approx(0.3)
    pieces = [w for w in premises.walls if w.thickness_m < 0.08]
    assert sorted(math.dist(*w.axis) for w in pieces) == pytest.approx([1.25, 1.85], abs=0.02)


def test_an_unfilled_hole_is_a_passage_and_a_pipe_hole_is_not(tmp_path: Path) -> None:
    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        for name, y0, y1, height in (("arch", 0.8, 1.8, 2.1), ("pipe", 2.5, 2.6, 0.1)):
            void = box(writer, "IfcOpeningElement", name, (4.1, y0, 4.6, y1), height)
            writer.rooted(
                "IfcRelVoidsElement", "", RelatingBuildingElement=walls["partition"], RelatedOpeningElement=void
            )
        return []

    premises, _ = taken_in(House(holes=(HOLES[0], HOLES[2]), extra=extra), tmp_path)
    (arch,) = [o for o in premises.openings if o.kind is OpeningKind.PASSAGE]
    assert (arch.name, arch.width_m, arch.leaves) == ("arch", pytest.approx(1.0), ())
    assert joins(premises, "arch") == {"Wohnzimmer", "Küche"}


def test_a_tilted_window_without_a_host_is_a_rooflight_over_its_room(tmp_path: Path) -> None:
    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        f = writer.file
        tilt = math.radians(35.0)
        normal = f.createIfcDirection((0.0, math.sin(tilt), -math.cos(tilt)))  # the window's own y: through the pane
        upward = f.createIfcDirection((0.0, math.cos(tilt), math.sin(tilt)))
        assert normal is not None
        axes = f.createIfcAxis2Placement3D(writer.point(1.5, 1.5, 3.2), upward, f.createIfcDirection((1.0, 0.0, 0.0)))
        window = writer.rooted(
            "IfcWindow",
            "attic light",
            ObjectPlacement=f.createIfcLocalPlacement(writer.base, axes),
            Representation=writer.prism([(0.0, -0.05), (0.8, -0.05), (0.8, 0.05), (0.0, 0.05)], 1.2),
            OverallWidth=0.8 * writer.per,
            OverallHeight=1.2 * writer.per,
        )
        return [window]

    premises, _ = taken_in(House(extra=extra), tmp_path)
    light = by_name(premises, "attic light")
    assert light.kind is OpeningKind.ROOFLIGHT
    assert light.place.kind == "slab"
    assert joins(premises, "attic light") == {OUTSIDE, "Wohnzimmer"}


def test_a_garage_door_is_told_by_its_name_and_operation(tmp_path: Path) -> None:
    up = Hole("Garagentor", "IfcDoor", "south", (2.0, 0.15), 0.0, 2.4, 2.1, operation="ROLLINGUP")
    premises, _ = taken_in(House(holes=(up, *HOLES[1:])), tmp_path)
    gate = by_name(premises, "Garagentor")
    assert gate.kind is OpeningKind.GARAGE_DOOR
    assert gate.leaves[0].movement is Movement.ROLLER


def test_a_balcony_is_out_of_doors_and_one_can_stand_on_it(tmp_path: Path) -> None:
    balcony = ("Balkon", (7.7, 0.3, 9.2, 3.3), 2.8, 2.5)
    rooms = tuple((n + " oben", b, 2.8, 2.5) for n, b, _, _ in House().spaces)
    upper = Hole("balcony door", "IfcDoor", "none", (7.55, 1.8), math.pi / 2, 0.9, 2.1, 2.8)

    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        return [box(writer, "IfcWall", f"{n} above", b, 2.6, 2.8) for n, b in WALLS.items()]

    house = House(
        spaces=(*House().spaces, *rooms, balcony),
        storeys=(("Ground", 0.0), ("Upper", 2.8)),
        holes=(*HOLES, upper),
        hosts=False,
        extra=extra,
    )
    premises, _ = taken_in(house, tmp_path)
    assert joins(premises, "balcony door") == {OUTSIDE, "Küche oben"}
    assert [r.indoors for r in premises.rooms if r.name == "Balkon"] == [False]
    (surface,) = [s for s in premises.standings if s.kind == "balcony"]
    assert surface.level_m == pytest.approx(2.8)
    assert Polygon(surface.outline).area == pytest.approx(4.5, rel=0.02)


def test_newer_schema(tmp_path: Path) -> None:
    premises, _ = taken_in(House(schema="IFC4X3"), tmp_path)
    check_house(premises)


def test_a_packed_file(tmp_path: Path) -> None:
    import zipfile

    plain = House().write(tmp_path / "house.ifc")
    packed = tmp_path / "house.ifczip"
    with zipfile.ZipFile(packed, "w") as archive:
        archive.write(plain, "house.ifc")
    assert read_premises(packed).premises == read_premises(plain).premises


def test_openings_stored_twice_count_once(tmp_path: Path) -> None:
    premises, assumptions = taken_in(House(holes=(*HOLES, HOLES[0]), hosts=False), tmp_path)
    assert len(premises.openings) == 3
    assert said(assumptions, "the same opening stored several times")


def test_flats_on_a_common_stair_are_told_apart_by_the_files_zones(tmp_path: Path) -> None:
    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        spaces = writer.file.by_type("IfcSpace")
        for n, space in enumerate(spaces, start=1):
            zone = writer.rooted("IfcZone", f"Wohnung {n}")
            writer.rooted("IfcRelAssignsToGroup", "", RelatedObjects=[space], RelatingGroup=zone)
        return []

    premises, _ = taken_in(House(holes=(HOLES[0], HOLES[2]), extra=extra), tmp_path)
    assert {r.dwelling for r in premises.rooms} == {"Wohnung 1", "Wohnung 2"}
    (partition,) = [w for w in premises.walls if w.thickness_m < 0.2]
    assert partition.party


@pytest.mark.parametrize("hosts", [True, False])
def test_a_door_drawn_standing_open_is_still_in_its_wall(hosts: bool, tmp_path: Path) -> None:
    def extra(writer: Writer, walls: dict[str, Any]) -> list[Any]:
        for door in writer.file.by_type("IfcDoor"):
            width = door.OverallWidth / writer.per
            leaf = [(0.0, -0.04), (width, -0.04), (width, 0.04), (0.06, 0.04), (0.06, width), (0.0, width)]
            door.Representation = writer.prism(leaf, 2.0)
        return []

    premises, _ = taken_in(House(hosts=hosts, extra=extra), tmp_path)
    check_house(premises)
