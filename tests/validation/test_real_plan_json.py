"""Fifty public plans as polygons: areas, scales and connections against what stands beside them in their own file."""

import json
import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import ezdxf
import pytest
import shapely
from shapely import Polygon

from wardwright.errors import IntakeError
from wardwright.intake.draft import Draft
from wardwright.intake.dxf import read_dxf
from wardwright.intake.open_file import read_premises
from wardwright.intake.plan_json import read_plan_json
from wardwright.intake.rooms_from_walls import rooms_from_walls
from wardwright.premises.openings import OUTSIDE, OpeningKind
from wardwright.premises.plan import storey_plans

pytestmark = pytest.mark.real
FLOORS = ("floor-302", "floor-748", "floor-848", "floor-1058")


@pytest.fixture(scope="module")
def file(shared_premises: Path) -> Path:
    return shared_premises / "plans-50.json"


@pytest.fixture(scope="module")
def plans(file: Path) -> dict[str, Any]:
    return {p["id"]: p for p in json.loads(file.read_text(encoding="utf-8"))["plans"]}


def area(draft: Draft, key: str) -> float:
    room = next(r for r in draft.rooms if r.key == key)
    return float(Polygon(room.outline, room.holes).area)


def raw(plan: dict[str, Any], kind: str, number: int = 0) -> Polygon:
    element = plan["elements"][kind][number]
    return Polygon(element["ring"], element["holes"])


def test_scale_of_a_flat_from_its_net_area(file: Path, plans: dict[str, Any], check) -> None:
    draft = read_plan_json(file, plan="flat-r13")
    plan = plans["flat-r13"]
    scale = math.sqrt(area(draft, "bedroom_0") / raw(plan, "bedroom").area)
    check(
        source="RESPLAN-2025",
        status="seen",
        quantity="units per metre of flat r13",
        expected=18.79,
        actual=1 / scale,
        tolerance=0.005,
    )
    check(
        source="RESPLAN-2025", status="seen", quantity="net area of flat r13", expected=73.133,
        actual=raw(plan, "inner").area * scale**2, tolerance=0.001,
    )  # fmt: skip
    (note,) = [a for a in draft.assumptions if a.what == "length unit"]
    assert "net area" in note.assumed
    rooms = [k for k in plan["elements"] if k not in ("wall", "door", "front_door", "window", "inner", "land")]
    expected = {f"{k}_{n}": raw(plan, k, n).area * scale**2 for k in rooms for n in range(len(plan["elements"][k]))}
    assert {r.key: Polygon(r.outline, r.holes).area for r in draft.rooms} == pytest.approx(expected, rel=0.01)


def test_doors_of_the_flat_are_the_listed_connections(file: Path, plans: dict[str, Any]) -> None:
    draft = read_plan_json(file, plan="flat-r13")
    by_door = {frozenset(o.joins) for o in draft.openings if o.kind is OpeningKind.DOOR and not o.key.startswith("gap")}
    listed = plans["flat-r13"]["connections"]
    for entry in listed:
        pair = frozenset((entry["source"], entry["target"]))
        if entry["type"] == "via_door":
            assert pair in by_door
        elif entry["type"] == "adjacency":
            assert pair in {frozenset(o.joins) for o in draft.openings if o.kind is OpeningKind.PASSAGE}
    (front,) = [o for o in draft.openings if o.final_exit]
    assert set(front.joins) == {"living_0", OUTSIDE}
    # Three doors are drawn that the list leaves out; no door is drawn twice or between rooms that do not adjoin.
    unlisted = by_door - {frozenset((e["source"], e["target"])) for e in listed} - {frozenset(front.joins)}
    assert unlisted == {
        frozenset(("living_0", "bedroom_0")),
        frozenset(("living_0", "bedroom_1")),
        frozenset(("living_0", "storage_0")),
    }
    assert not [a for a in draft.assumptions if a.what.startswith("connection")]


def test_scale_of_a_flat_from_its_doors_alone(file: Path, plans: dict[str, Any]) -> None:
    draft = read_plan_json(file, plan="flat-10")
    scale = math.sqrt(area(draft, "bedroom_0") / raw(plans["flat-10"], "bedroom").area)
    (note,) = [a for a in draft.assumptions if a.what == "length unit"]
    assert "between" in note.assumed
    assert "5 inside and 1 front doors" in note.assumed
    # Inside doors of 59 to 75 units and a front door of 91: at the scale found they are doors people can use.
    widths = {o.key: (o.width_m or 0) / scale for o in draft.openings if "door" in o.key}
    assert sorted(round(w) for w in widths.values()) == [59, 72, 73, 73, 75, 91]
    assert 0.70 <= 73 * scale <= 0.90
    assert 0.85 <= 91 * scale <= 1.05
    # A strip in a wall, drawn as a second living room, is no room; what was left out is reported.
    assert {r.key for r in draft.rooms} == {
        "living_0",
        "bedroom_0",
        "bedroom_1",
        "bathroom_0",
        "bathroom_1",
        "kitchen_0",
    }
    assert any(a.where == ("living_1",) and a.missing for a in draft.assumptions)


def drawn_as_lines(plan: dict[str, Any], per_unit: float, path: Path) -> Path:
    """The flat as a draughtsman draws it: faces of walls, swings of doors, panes, names; millimetres, unsaid."""
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = 0
    space = doc.modelspace()
    walls = shapely.union_all([shapely.make_valid(raw(plan, "wall", n)) for n in range(len(plan["elements"]["wall"]))])
    for part in [g for g in walls.geoms if isinstance(g, Polygon)]:
        for ring in (part.exterior, *part.interiors):
            for a, b in pairwise((x * per_unit, y * per_unit) for x, y in ring.coords):
                space.add_line(a, b, dxfattribs={"layer": "WALLS"})
    for kind, layer in (("door", "DOORS"), ("front_door", "DOORS"), ("window", "WINDOWS")):
        for n in range(len(plan["elements"][kind])):
            a, b, c = list(raw(plan, kind, n).minimum_rotated_rectangle.exterior.coords)[:3]
            if math.dist(a, b) < math.dist(b, c):
                a, b = b, c
            one, two = [(x * per_unit, y * per_unit) for x, y in (a, b)]
            angle = math.degrees(math.atan2(two[1] - one[1], two[0] - one[0]))
            if layer == "DOORS":
                space.add_arc(one, math.dist(one, two), angle, angle + 90, dxfattribs={"layer": layer})
            else:
                space.add_line(one, two, dxfattribs={"layer": layer})
    for kind in plan["elements"]:
        if kind in ("wall", "door", "front_door", "window", "inner", "land"):
            continue
        for n in range(len(plan["elements"][kind])):
            spot = raw(plan, kind, n).representative_point()
            text = space.add_text(kind.upper(), height=150)
            text.set_placement(
                (spot.x * per_unit, spot.y * per_unit), align=ezdxf.enums.TextEntityAlignment.MIDDLE_CENTER
            )
    doc.saveas(path)
    return path


@pytest.mark.parametrize("name", ["flat-r13", "flat-10"])
def test_the_same_flat_drawn_as_lines_reads_the_same(
    file: Path, plans: dict[str, Any], tmp_path: Path, name: str
) -> None:
    polygons = read_plan_json(file, plan=name)
    scale = math.sqrt(area(polygons, "bedroom_0") / raw(plans[name], "bedroom").area)
    lines = read_dxf(drawn_as_lines(plans[name], 1000 * scale, tmp_path / "flat.dxf"))
    indoor = {r.key: r for r in polygons.rooms if r.indoors}
    assert sorted(r.name.lower() for r in lines.rooms) == sorted(k.rsplit("_", 1)[0] for k in indoor)
    # The polygons reach a few centimetres into the walls; the lines stop at their faces.
    own = sorted(Polygon(r.outline, r.holes).buffer(-0.03).area for r in indoor.values())
    assert sorted(Polygon(r.outline, r.holes).area for r in lines.rooms) == pytest.approx(own, rel=0.12)
    for kind in (OpeningKind.DOOR, OpeningKind.WINDOW):
        assert sorted(o.width_m or 0 for o in lines.openings if o.kind is kind) == pytest.approx(
            sorted(o.width_m or 0 for o in polygons.openings if o.kind is kind), abs=0.02
        )


@pytest.mark.parametrize("name", FLOORS)
def test_floors_of_walls_alone_give_rooms(file: Path, plans: dict[str, Any], name: str, check) -> None:
    draft = read_plan_json(file, plan=name)
    plan = plans[name]
    solid = shapely.union_all([Polygon(w["ring"]) for w in plan["walls"]])
    bodies = shapely.union_all(
        [shapely.LineString(w.axis).buffer((w.thickness_m or 0) / 2, cap_style="flat") for w in draft.walls]
    )
    check(
        source="MLSTRUCT-FP-2023", status="seen", quantity=f"wall area of {name} kept",
        expected=solid.area, actual=solid.intersection(bodies).area, tolerance=0.001, relative=True,
    )  # fmt: skip
    rooms = rooms_from_walls(draft.walls, draft.openings)
    assert rooms
    floor = shapely.union_all([Polygon(s) for s in plan["slabs"]]).difference(solid)
    together = shapely.union_all([Polygon(r.outline, r.holes) for r in rooms])
    # All of the slab between the walls is some room, but for the light outside wall and the doorways closed.
    assert together.difference(floor.buffer(0.02)).area < 0.01 * floor.area
    assert together.area > 0.93 * floor.area


def test_flats_along_the_corridor_are_apart(file: Path) -> None:
    draft = read_plan_json(file, plan="floor-302")
    rooms = rooms_from_walls(draft.walls, draft.openings)
    # By eye: seven flats above the corridor, five below it, the corridor with the stair, three rooms at the end.
    assert len(rooms) == 16
    widths = [o.width_m or 0 for o in draft.openings]
    assert all(0.6 < w < 1.3 for w in widths)


def test_a_list_where_a_number_belongs_is_named(file: Path) -> None:
    draft = read_plan_json(file, plan="floor-848")
    assert any(a.where == ("wall 63517",) and "[0.0, 90.0]" in a.assumed for a in draft.assumptions)


def test_office_outlines_keep_their_areas(file: Path, plans: dict[str, Any], check) -> None:
    offices = [p for p in plans.values() if p["source"] == "office-like"]
    assert len(offices) == 44
    drafts = [read_plan_json(file, plan=p["id"], scale=0.5) for p in offices]
    check(
        source="AGP-OFFICE-2023", status="seen", quantity="area of 44 outlines at half a metre a unit",
        expected=[p["area"] * 0.25 for p in offices], actual=[area(d, "room_1") for d in drafts],
        tolerance=1e-9, relative=True,
    )  # fmt: skip
    assert [len(d.rooms[0].outline) + sum(map(len, d.rooms[0].holes)) for d in drafts] == [
        p["vertices"] for p in offices
    ]


def test_without_a_scale_an_outline_asks(file: Path) -> None:
    with pytest.raises(IntakeError, match="names no length unit; give --scale"):
        read_plan_json(file, plan="office-h-40-1")
    with pytest.raises(IntakeError, match="50 plans; say which one"):
        read_plan_json(file)


def test_all_fifty_become_premises(file: Path, plans: dict[str, Any]) -> None:
    for name, plan in plans.items():
        taken = read_premises(file, plan=name, scale=0.5 if plan["source"] == "office-like" else None)
        assert taken.premises.rooms, name
        assert taken.premises.walls, name
        assert taken.assumptions, name
        storey_plans(taken.premises)
        assert all(s is not None for o in taken.premises.openings for s in o.sides), name
        if plan["source"] == "office-like":
            (room,) = taken.premises.rooms
            assert Polygon(room.outline, room.holes).area == pytest.approx(plan["area"] * 0.25, rel=1e-6), name


@pytest.mark.parametrize("share", [0.01, 0.5, 0.999])
def test_the_file_cut_short(file: Path, tmp_path: Path, share: float) -> None:
    whole = file.read_bytes()
    (tmp_path / "cut.json").write_bytes(whole[: int(share * len(whole))])
    with pytest.raises(IntakeError, match="not whole JSON"):
        read_plan_json(tmp_path / "cut.json", plan="flat-10")
