"""A public drawing nobody here drew, under a header whose unit lies: what is read against what is printed on it.

The figures printed on the plan (dimensions, size codes, room sizes) were read in the file apart
from this program. Which rooms an opening joins was read off a picture of the plan by eye.
"""

import math
from collections import Counter
from itertools import product
from pathlib import Path

import ezdxf
import pytest
import shapely
from shapely import Point, Polygon

from wardwright.errors import IntakeError
from wardwright.intake.draft import Draft
from wardwright.intake.dxf import read_dxf
from wardwright.intake.open_file import Intake, read_premises
from wardwright.premises.fabric import RoomUse
from wardwright.premises.openings import Movement, OpeningKind
from wardwright.premises.plan import storey_plans

pytestmark = pytest.mark.real
PLAN = "FLOORPLAN-DXF-2015"
FOOT, INCH = 0.3048, 0.0254
OPEN = "KITCHEN / GREAT ROOM / DINING ROOM"
SIZES = {  # feet and inches, as printed under each name
    "2 CAR GARAGE": (21, 2, 20, 10),
    "MASTER BEDROOM": (13, 8, 14, 0),
    "BEDROOM 2": (13, 6, 11, 0),
    "BEDROOM 3": (11, 6, 13, 0),
    "HALL": (16, 3, 3, 4),
    "ENTRY": (7, 6, 7, 0),
    "BATH": (5, 0, 8, 1),
    "MSTR. BATH": (7, 0, 5, 7),
    "TOIL.": (5, 0, 5, 7),
    "UTIL.": (5, 3, 6, 8),
    "Pantry": (4, 4, 6, 8),
    "CLOSET": (8, 0, 2, 0),
    "CLO.": (2, 8, 2, 0),
}
WALK_IN = [(7, 0, 5, 11), (8, 1, 3, 4)]
JOINED = [  # kind, code, what lies on either side: by eye
    ("door", "2068", {"CLO.", "ENTRY"}),
    ("door", "2468", {"HALL", "unnamed"}),
    ("door", "2468", {"HALL", "BATH"}),
    ("door", "2668", {"W.I.C.", "BEDROOM 2"}),
    ("door", "2668", {"HALL", "BEDROOM 2"}),
    ("door", "2668", {"HALL", "BEDROOM 3"}),
    ("door", "2668", {"HALL", "MASTER BEDROOM"}),
    ("door", "2668", {"MSTR. BATH", "W.I.C."}),
    ("door", "2668", {"MSTR. BATH", "MASTER BEDROOM"}),
    ("door", "2668", {"MSTR. BATH", "TOIL."}),
    ("door", "2668", {"Pantry", "UTIL."}),
    ("door", "2668", {"UTIL.", OPEN}),
    ("door", "3068", {"ENTRY", "outside"}),
    ("door", "3068", {"2 CAR GARAGE", OPEN}),
    ("door", "6068", {"HALL", "unnamed"}),
    ("door", "7068", {"BEDROOM 3", "CLOSET"}),
    ("door", "6068 S.G.D.", {"MASTER BEDROOM", "outside"}),
    ("door", "6068 S.G.D.", {OPEN, "outside"}),
    ("garage door", "16070 O.H. DOOR", {"2 CAR GARAGE", "outside"}),
    ("window", "1660", {"ENTRY", "outside"}),
    ("window", "2050 SH", {OPEN, "outside"}),
    ("window", "2050 SH", {OPEN, "outside"}),
    ("window", "3036 XO", {OPEN, "outside"}),
    ("window", "6040 XO", {OPEN, "outside"}),
    ("window", "4010 XO", {"TOIL.", "outside"}),
    ("window", "5050 XO", {"BEDROOM 2", "outside"}),
    ("window", "5050 XO", {"BEDROOM 3", "outside"}),
]


@pytest.fixture(scope="module")
def file(shared_premises: Path) -> Path:
    return shared_premises / "bungalow-floorplan.dxf"


@pytest.fixture(scope="module")
def draft(file: Path) -> Draft:
    return read_dxf(file)


@pytest.fixture(scope="module")
def taken_in(file: Path) -> Intake:
    return read_premises(file)


def area(draft: Draft, name: str) -> float:
    room = next(r for r in draft.rooms if r.name == name)
    return float(Polygon(room.outline, room.holes).area)


def printed(feet: int, inches: int, more_feet: int, more_inches: int) -> tuple[float, float]:
    """Area of a printed size, and what rounding each side to the inch can make of it."""
    a, b = feet * FOOT + inches * INCH, more_feet * FOOT + more_inches * INCH
    return a * b, (a + b) * INCH / 2 + 1e-3


def test_the_unit_is_the_inch_and_the_header_is_overruled(draft: Draft, check) -> None:
    (note,) = [a for a in draft.assumptions if a.what == "length unit"]
    assert note.assumed.startswith("inches")
    assert "the header says millimetres, which was not believed" in note.assumed
    solid = shapely.union_all(
        [shapely.LineString(w.axis).buffer((w.thickness_m or 0) / 2, cap_style="flat") for w in draft.walls]
    )
    house = max(solid.geoms, key=lambda p: p.area)
    x0, y0, x1, y1 = house.bounds
    check(
        source=PLAN, status="seen", quantity="overall size 58 ft × 47 ft", expected=[58 * FOOT, 47 * FOOT],
        actual=[x1 - x0, y1 - y0], tolerance=0.01,
    )  # fmt: skip


def test_leaf_widths_are_the_radii_of_the_eleven_arcs(draft: Draft, check) -> None:
    hinged = sorted(leaf.width_m or 0 for o in draft.openings for leaf in o.leaves if leaf.movement is Movement.HINGED)
    expected = [24, 28, 28, 30, 30, 30, 30, 30, 30, 36, 36]
    check(
        source=PLAN, status="seen", quantity="width of eleven hinged leaves", expected=[w * INCH for w in expected],
        actual=hinged, tolerance=0.001,
    )  # fmt: skip


def test_overhead_and_sliding_doors(draft: Draft, check) -> None:
    (overhead,) = [o for o in draft.openings if o.kind is OpeningKind.GARAGE_DOOR]
    assert [leaf.movement for leaf in overhead.leaves] == [Movement.OVERHEAD]
    check(
        source=PLAN, status="seen", quantity="overhead door 192 × 84 in", expected=[192 * INCH, 84 * INCH],
        actual=[overhead.width_m, overhead.height_m], tolerance=0.001,
    )  # fmt: skip
    sliding = [o for o in draft.openings if "S.G.D." in o.name]
    assert len(sliding) == 2
    for one in sliding:
        assert [leaf.movement for leaf in one.leaves] == [Movement.SLIDING, Movement.FIXED]
        assert {leaf.material for leaf in one.leaves} == {"glass"}
        check(
            source=PLAN, status="seen", quantity="sliding glass doors 6′-0″ × 6′-8″", expected=[72 * INCH, 80 * INCH],
            actual=[one.width_m, one.height_m], tolerance=0.001,
        )  # fmt: skip


def test_rooms_have_the_printed_sizes(draft: Draft, check) -> None:
    rows = {name: printed(*size) for name, size in SIZES.items()}
    check(
        source=PLAN, status="seen", quantity="floor area by the printed room sizes",
        expected=[r[0] for r in rows.values()], actual=[area(draft, n) for n in rows],
        tolerance=[r[1] for r in rows.values()],
    )  # fmt: skip
    closets = sorted(Polygon(r.outline).area for r in draft.rooms if r.name == "W.I.C.")
    sizes = sorted(printed(*s) for s in WALK_IN)
    check(
        source=PLAN, status="seen", quantity="floor area of the two walk-in closets", expected=[s[0] for s in sizes],
        actual=closets, tolerance=[s[1] for s in sizes],
    )  # fmt: skip
    assert all(r.stated_area_m2 for r in draft.rooms if not r.name.startswith("room "))


def test_the_open_group_is_one_room_and_said_to_be(draft: Draft) -> None:
    # 17′ × 17′-8″, 13′-4″ × 12′-8″ and 10′-11″ × 12′, with the ways between them and less the cut corner.
    parts = sum(printed(*s)[0] for s in ((17, 0, 17, 8), (13, 4, 12, 8), (10, 11, 12, 0)))
    assert area(draft, OPEN) == pytest.approx(parts, rel=0.03)
    assert any(OPEN in a.where for a in draft.assumptions)


def test_names_stand_in_the_rooms_they_are_written_in(file: Path, draft: Draft) -> None:
    space = ezdxf.readfile(file).modelspace()
    texts = {t.plain_text().strip(): t.dxf.align_point for t in space.query("TEXT") if t.dxf.halign}
    for name in (*SIZES, "KITCHEN", "GREAT ROOM", "DINING ROOM"):
        spot = texts["BEDROOM" if name == "MASTER BEDROOM" else name]
        (room,) = [r for r in draft.rooms if Polygon(r.outline, r.holes).contains(Point(spot.x * INCH, spot.y * INCH))]
        assert name in room.name.split(" / ")


def test_every_opening_joins_the_right_rooms(taken_in: Intake) -> None:
    premises = taken_in.premises
    names = {r.id: "unnamed" if r.name.startswith(("room ", "unnamed")) else r.name for r in premises.rooms}
    found = Counter(
        (o.kind.value, o.name.partition("(")[2].rstrip(")"), frozenset(names.get(s or "", s) for s in o.sides))
        for o in premises.openings
        if o.kind is not OpeningKind.PASSAGE
    )
    assert found == Counter((kind, code, frozenset(sides)) for kind, code, sides in JOINED)
    passages = {
        frozenset(names.get(s or "", s) for s in o.sides) for o in premises.openings if o.kind is OpeningKind.PASSAGE
    }
    assert passages == {frozenset(("HALL", OPEN)), frozenset(("ENTRY", OPEN))}


def test_what_is_said_of_the_rest(draft: Draft, taken_in: Intake) -> None:
    uses = {r.name: r.use for r in taken_in.premises.rooms}
    assert uses["2 CAR GARAGE"] is RoomUse.GARAGE
    assert uses["UTIL."] is RoomUse.UTILITY
    assert uses["TOIL."] is RoomUse.BATHROOM
    assert uses["W.I.C."] is RoomUse.STORE
    assert uses["BEDROOM 3"] is RoomUse.BEDROOM
    outside = next(a.where for a in draft.assumptions if a.what == "names outside")
    assert set(outside) == {"COVERED DECK", "COVERED PORCH"}
    assert any(a.what == "sill height" for a in draft.assumptions)
    storey_plans(taken_in.premises)


@pytest.mark.parametrize(("unit", "header"), [*product(("mm", "ft"), (0, 4, 6))])
def test_the_same_plan_in_other_units_turned_and_moved(
    file: Path, draft: Draft, tmp_path: Path, unit: str, header: int
) -> None:
    """Rewritten in another unit, turned by 37° and moved far away, the plan gives the same rooms and openings."""
    doc = ezdxf.readfile(file)
    doc.header["$INSUNITS"] = header
    space = doc.modelspace()
    factor = {"mm": 25.4, "ft": 1 / 12}[unit]
    turn = ezdxf.math.Matrix44.scale(factor) @ ezdxf.math.Matrix44.z_rotate(math.radians(37))
    turn @= ezdxf.math.Matrix44.translate(4e5, 5e6, 0)
    wanted = [
        e
        for e in space
        if e.dxf.layer.split("$0$")[-1] in ("A-WALL", "A-OPENING", "A-HEADER", "A-GARAGE-DOOR", "A-TEXT", "A-NOTE")
    ]
    for entity in list(space):
        if entity in wanted and entity.dxftype() != "MTEXT":
            entity.transform(turn)
        else:
            space.delete_entity(entity)
    doc.saveas(tmp_path / "turned.dxf")
    again = read_dxf(tmp_path / "turned.dxf")
    assert sorted(r.name for r in again.rooms) == sorted(r.name for r in draft.rooms)
    for name in SIZES:
        assert area(again, name) == pytest.approx(area(draft, name), rel=0.002)
    widths = sorted(round(o.width_m or 0, 2) for o in again.openings)
    assert widths == pytest.approx(sorted(round(o.width_m or 0, 2) for o in draft.openings), abs=0.02)


@pytest.mark.parametrize("share", [0.001, 0.1, 0.3, 0.6, 0.9, 0.9999])
def test_the_file_cut_short(file: Path, tmp_path: Path, share: float) -> None:
    whole = file.read_bytes()
    (tmp_path / "cut.dxf").write_bytes(whole[: int(share * len(whole))])
    with pytest.raises(IntakeError) as refused:
        read_dxf(tmp_path / "cut.dxf")
    assert "\n" not in str(refused.value)
