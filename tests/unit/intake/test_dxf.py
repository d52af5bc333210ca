"""DXF plans drawn by the test itself in many offices' ways, read back to the same three rooms and five openings."""

import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import ezdxf
import pytest
import shapely
from shapely import Point, Polygon
from tests.unit.intake.drawn_house import DOORS, ROOMS, WINDOWS, House, areas

from wardwright.errors import IntakeError
from wardwright.intake.draft import Draft
from wardwright.intake.dxf import read_dxf
from wardwright.premises.openings import LeafRole, Movement, OpeningKind

WHOLE = sorted(ROOMS.values(), reverse=True)


def read(house: House, tmp_path: Path, **how: Any) -> Draft:
    return read_dxf(house.save(tmp_path / "house.dxf"), **how)


def assert_house(draft: Draft, *, rel: float = 0.005, names: bool = True) -> None:
    assert areas(draft.rooms) == pytest.approx(WHOLE, rel=rel)
    if names:
        found = {r.name: Polygon(r.outline).area for r in draft.rooms}
        assert found == pytest.approx(ROOMS, rel=rel)
    doors = sorted(round(o.width_m or 0, 2) for o in draft.openings if o.kind is OpeningKind.DOOR)
    assert doors == pytest.approx([0.8, 0.8, 1.0], abs=0.021)
    windows = sorted(round(o.width_m or 0, 2) for o in draft.openings if o.kind is OpeningKind.WINDOW)
    assert windows == pytest.approx([1.2, 1.5], abs=0.021)
    assert len(draft.openings) == 5
    assert sum(bool(o.outside) for o in draft.openings) == 3


def said(draft: Draft, what: str) -> str:
    return "; ".join(a.assumed for a in draft.assumptions if a.what == what)


UNITS = [(1000.0, 4), (100.0, 5), (1.0, 6), (1 / 0.0254, 1), (1 / 0.3048, 2)]


@pytest.mark.parametrize(("per_metre", "header"), UNITS)
def test_every_unit_the_header_can_name(tmp_path: Path, per_metre: float, header: int) -> None:
    draft = read(House(per_metre, header), tmp_path)
    assert_house(draft)
    leaves = [leaf for o in draft.openings for leaf in o.leaves if leaf.movement is Movement.HINGED]
    assert sorted(round(leaf.width_m or 0, 3) for leaf in leaves) == [0.8, 0.8, 1.0]
    assert "header" in said(draft, "length unit")


@pytest.mark.parametrize(("per_metre", "header"), [(1000.0, 0), (100.0, 0), (1.0, 0), (1 / 0.0254, 0), (1 / 0.3048, 0)])
def test_no_unit_is_decided_from_the_doors(tmp_path: Path, per_metre: float, header: int) -> None:
    draft = read(House(per_metre, header), tmp_path)
    assert_house(draft)
    assert "door leaves" in said(draft, "length unit")


@pytest.mark.parametrize(("per_metre", "header"), [(1 / 0.0254, 4), (1000.0, 6), (1.0, 4), (1000.0, 1)])
def test_a_lying_header_is_overruled_and_reported(tmp_path: Path, per_metre: float, header: int) -> None:
    draft = read(House(per_metre, header), tmp_path)
    assert_house(draft)
    assert "not believed" in said(draft, "length unit")


def test_dimensions_in_words_decide_even_an_odd_scale(tmp_path: Path) -> None:
    draft = read(House(37.0, 0, dimensions=True, doors_as="none", windows_as="none"), tmp_path)
    assert "dimensions" in said(draft, "length unit")
    assert areas(draft.rooms) == pytest.approx(WHOLE, rel=0.02)  # dimensions are written to the inch


def test_no_unit_and_no_evidence_asks(tmp_path: Path) -> None:
    house = House(20.0, 0, doors_as="none", windows_as="none", names=False)
    with pytest.raises(IntakeError, match=r"names no length unit; give --scale .metres per drawing unit. or --unit"):
        read(house, tmp_path)
    assert areas(read(house, tmp_path, scale=0.05).rooms) == pytest.approx(WHOLE, rel=0.01)
    with pytest.raises(IntakeError, match="which is no building"):
        read(house, tmp_path, unit="mm")


@pytest.mark.parametrize("turn", [37.0, 90.0, 123.4, 270.0])
def test_turned_plans(tmp_path: Path, turn: float) -> None:
    assert_house(read(House(turn_deg=turn), tmp_path))


def test_far_from_the_origin(tmp_path: Path) -> None:
    draft = read(House(shift=(4.5e8, 5.2e9), turn_deg=12.0), tmp_path)
    assert_house(draft)
    assert "became 0, 0" in said(draft, "position")
    assert max(abs(c) for r in draft.rooms for p in r.outline for c in p) < 20.0


@pytest.mark.parametrize(
    "layers",
    [
        {"wall": "house-08$0$A-WALL", "door": "house-08$0$A-OPENING", "window": "house-08$0$A-OPENING"},
        {"wall": "Wände", "door": "Türen", "window": "Fenster"},
        {"wall": "MURS", "door": "PORTES", "window": "MENUISERIES"},
        {"wall": "01_AUSSENWAND", "door": "02_INNENTUER", "window": "03_FENSTER"},
        {"wall": "plan|Paredes", "door": "plan|Puertas", "window": "plan|Ventanas"},
        {"wall": "0", "door": "0", "window": "0"},
    ],
)
def test_layers_by_meaning(tmp_path: Path, layers: dict[str, str]) -> None:
    draft = read(House(layers=layers), tmp_path)
    assert areas(draft.rooms) == pytest.approx(WHOLE, rel=0.005)
    assert {r.name for r in draft.rooms} == set(ROOMS)
    hinged = [leaf for o in draft.openings for leaf in o.leaves if leaf.movement is Movement.HINGED]
    assert len(hinged) == 3
    assert len(draft.openings) == 5


@pytest.mark.parametrize("walls_as", ["lines", "polylines", "hatch", "lines through"])
@pytest.mark.parametrize("symbols", ["loose", "blocks"])
def test_walls_and_symbols_in_every_way(tmp_path: Path, walls_as: str, symbols: str) -> None:
    draft = read(House(walls_as=walls_as, doors_as=symbols, windows_as=symbols), tmp_path)
    assert_house(draft)
    thicknesses = {round(w.thickness_m or 0, 2) for w in draft.walls}
    assert thicknesses <= {0.1, 0.3}


def test_blocks_turned_and_in_feet(tmp_path: Path) -> None:
    house = House(1 / 0.3048, 2, turn_deg=37.0, doors_as="blocks", windows_as="blocks", walls_as="lines through")
    assert_house(read(house, tmp_path))


def test_sloppy_corners(tmp_path: Path) -> None:
    assert_house(read(House(stop_short=0.008), tmp_path), rel=0.01)


def test_single_lines_get_an_assumed_thickness(tmp_path: Path) -> None:
    draft = read(House(walls_as="axes", doors_as="none", windows_as="none"), tmp_path)
    assert "single lines" in said(draft, "wall thickness")
    assert areas(draft.rooms) == pytest.approx([3.8 * 5.6, 3.7 * 2.8, 3.7 * 2.7], rel=0.02)


def test_empty_gaps_are_doorways_and_reported(tmp_path: Path) -> None:
    draft = read(House(doors_as="none"), tmp_path)
    assert sum(o.kind is OpeningKind.PASSAGE for o in draft.openings) == 2
    assert "doorways" in said(draft, "gap in an inside wall")
    assert "nothing is drawn" in said(draft, "gap in an outside wall")


def test_size_codes_give_heights(tmp_path: Path) -> None:
    draft = read(House(1 / 0.0254, 0, size_codes=True), tmp_path)
    doors = [o for o in draft.openings if o.kind is OpeningKind.DOOR]
    assert {round(o.height_m or 0, 4) for o in doors} == {2.032}  # 6′-8″


def codes(house: House, doc: Any, space: Any) -> None:
    for text, at in (("5050 XO", (5.75, 6.4)), ("4030 SH", (8.4, 1.6)), ("6068 S.G.D.", (20.0, 20.0))):
        label = space.add_text(text, height=0.12 * house.per_metre, dxfattribs={"layer": "A-ANNO"})
        label.set_placement(house.put(at), align=ezdxf.enums.TextEntityAlignment.MIDDLE_CENTER)


def test_window_codes_give_sashes_sills_and_what_is_left_over(tmp_path: Path) -> None:
    draft = read(House(extra=codes), tmp_path)
    windows = {round(o.width_m or 0, 1): o for o in draft.openings if o.kind is OpeningKind.WINDOW}
    assert [leaf.movement for leaf in windows[1.5].leaves] == [Movement.SLIDING, Movement.FIXED]
    assert [leaf.role for leaf in windows[1.5].leaves] == [LeafRole.ACTIVE, LeafRole.FIXED]
    assert windows[1.2].leaves[0].movement is Movement.SINGLE_HUNG
    assert windows[1.5].height_m == pytest.approx(5 * 0.3048)
    assert "6068 S.G.D." in next(a.where for a in draft.assumptions if a.what == "size codes")


def cavity(house: House, doc: Any, space: Any) -> None:
    """The outside walls as two leaves of 0.1 m with a cavity of 0.1 m between."""
    holes = shapely.union_all([d[0] for d in DOORS.values()] + list(WINDOWS.values()))
    for off in (0.1, 0.2):
        corners = [(off, off), (8 - off, off), (8 - off, 6 - off), (off, 6 - off), (off, off)]
        for pair in pairwise(corners):
            line = shapely.LineString(pair).difference(holes)
            for piece in getattr(line, "geoms", [line]):
                a, b = piece.coords[0], piece.coords[-1]
                space.add_line(house.put(a), house.put(b), dxfattribs={"layer": "A-WALL"})


def test_leaves_with_a_cavity_are_one_wall(tmp_path: Path) -> None:
    draft = read(House(extra=cavity), tmp_path)
    assert_house(draft)
    assert sorted(round(w.thickness_m or 0, 2) for w in draft.walls) == [0.1, 0.1, 0.3, 0.3, 0.3, 0.3]


def apse(house: House, doc: Any, space: Any) -> None:
    """A half-round bay against the left wall, its faces arcs, entered from the living room by a door's gap."""
    for radius in (1.5, 1.8):
        space.add_arc(
            house.put((0.15, 3.0)),
            radius * house.per_metre,
            90 + house.turn_deg,
            270 + house.turn_deg,
            dxfattribs={"layer": "A-WALL"},
        )


@pytest.mark.parametrize("turn", [0.0, 37.0])
def test_curved_walls(tmp_path: Path, turn: float) -> None:
    draft = read(House(extra=apse, turn_deg=turn), tmp_path)
    bay = math.pi * 1.5**2 / 2 - 2 * 1.5 * 0.15  # half a disc, less the wall's half thickness (nearly)
    assert areas(draft.rooms)[:3] == pytest.approx(sorted([*WHOLE, bay], reverse=True)[:3], rel=0.03)
    assert max(len(w.axis) for w in draft.walls) > 8


def double_door(house: House, doc: Any, space: Any) -> None:
    for hinge, a, b in (((2.5, 0.3), 0, 90), ((3.7, 0.3), 90, 180)):
        space.add_arc(house.put(hinge), 0.6 * house.per_metre, a, b, dxfattribs={"layer": "A-DOOR"})


def test_two_leaves_that_meet_are_one_door(tmp_path: Path) -> None:
    draft = read(House(extra=double_door, walls_as="lines through"), tmp_path)
    pair = next(o for o in draft.openings if len(o.leaves) == 2)
    assert pair.width_m == pytest.approx(1.2)
    assert [leaf.role for leaf in pair.leaves] == [LeafRole.ACTIVE, LeafRole.INACTIVE]


def outlines(house: House, doc: Any, space: Any) -> None:
    for name, (x0, y0, x1, y1) in {"Küche": (0, 0, 3, 4), "Bad": (3.1, 0, 5, 4), "Flur": (0, 4.1, 5, 5.5)}.items():
        ring = [house.put(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))]
        space.add_lwpolyline(ring, close=True, dxfattribs={"layer": "RAUM"})
        text = space.add_text(name, height=0.2 * house.per_metre, dxfattribs={"layer": "RAUM"})
        text.set_placement(house.put(((x0 + x1) / 2, (y0 + y1) / 2)))


def test_room_outlines_without_walls(tmp_path: Path) -> None:
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = 4
    outlines(House(), doc, doc.modelspace())
    doc.saveas(tmp_path / "rooms.dxf")
    draft = read_dxf(tmp_path / "rooms.dxf")
    assert {r.name: Polygon(r.outline).area for r in draft.rooms} == pytest.approx(
        {"Küche": 12.0, "Bad": 7.6, "Flur": 7.0}
    )
    assert "outlines" in said(draft, "walls")


def test_a_name_stands_in_its_room(tmp_path: Path) -> None:
    draft = read(House(turn_deg=123.4), tmp_path)
    kitchen = next(r for r in draft.rooms if r.name == "KITCHEN")
    house = House(1.0, turn_deg=123.4)
    assert Polygon(kitchen.outline).contains(Point(house.put((5.8, 1.6))))


# --- what bad input gets ----------------------------------------------------------------------------------------------


def bracket(path: Path) -> Path:
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = 4
    space = doc.modelspace()
    space.add_lwpolyline([(0, 0), (120, 0), (120, 10), (10, 10), (10, 80), (0, 80)], close=True)
    for at in ((30, 5), (90, 5), (5, 40)):
        space.add_circle(at, 3.2)
    doc.saveas(path)
    return path


def road_map(path: Path) -> Path:
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = 6
    space = doc.modelspace()
    for k in range(20):
        points = [(x * 100.0, 50.0 * k + 30.0 * math.sin(x / 3 + k)) for x in range(40)]
        space.add_lwpolyline(points, dxfattribs={"layer": "ROADS" if k % 2 else "CONTOURS"})
    doc.saveas(path)
    return path


def test_drawings_of_something_else(tmp_path: Path) -> None:
    with pytest.raises(IntakeError, match=r"no building|no walls"):
        read_dxf(bracket(tmp_path / "bracket.dxf"))
    with pytest.raises(IntakeError, match=r"no building|no walls"):
        read_dxf(bracket(tmp_path / "bracket.dxf"), unit="m")
    with pytest.raises(IntakeError, match="no walls"):
        read_dxf(road_map(tmp_path / "map.dxf"))


def test_an_empty_drawing(tmp_path: Path) -> None:
    ezdxf.new().saveas(tmp_path / "empty.dxf")
    with pytest.raises(IntakeError, match="model space is empty"):
        read_dxf(tmp_path / "empty.dxf")


def test_walls_that_close_nothing_off(tmp_path: Path) -> None:
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = 4
    for y in (0, 200, 5000, 5200):
        doc.modelspace().add_line((0, y), (8000, y), dxfattribs={"layer": "WALL"})
    doc.saveas(tmp_path / "open.dxf")
    with pytest.raises(IntakeError, match="close off no room"):
        read_dxf(tmp_path / "open.dxf")


@pytest.mark.parametrize("share", [0.02, 0.2, 0.5, 0.8, 0.99])
def test_a_file_cut_short(tmp_path: Path, share: float) -> None:
    whole = House().save(tmp_path / "house.dxf").read_bytes()
    (tmp_path / "cut.dxf").write_bytes(whole[: int(share * len(whole))])
    with pytest.raises(IntakeError, match=r"cut short|no DXF"):
        read_dxf(tmp_path / "cut.dxf")


@pytest.mark.parametrize(
    ("content", "said_of_it"),
    [
        (b"", "no DXF"),
        (b"\x00" * 200, "no DXF"),
        (b"hello\nworld\n", "no DXF"),
        (b"AC1027" + b"\x00" * 100, "DWG"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nxyz\n0\nENDSEC\n0\nEOF\n", "no DXF|cannot be read|empty|no walls"),
        (b"0\nSECTION\nEOF\n", "cannot be read|empty|no walls"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00" + b"\x01" * 50, "cannot be read"),
    ],
)
def test_rubbish_gets_one_sentence(tmp_path: Path, content: bytes, said_of_it: str) -> None:
    (tmp_path / "x.dxf").write_bytes(content)
    with pytest.raises(IntakeError, match=said_of_it):
        read_dxf(tmp_path / "x.dxf")
    with pytest.raises(IntakeError, match="cannot be opened"):
        read_dxf(tmp_path / "not there.dxf")


def test_blocks_that_hold_themselves_and_endless_arrays(tmp_path: Path) -> None:
    def hostile(house: House, doc: Any, space: Any) -> None:
        block = doc.blocks.new("LOOP")
        block.add_line((0, 0), (1, 1))
        block.add_blockref("LOOP", (0, 0))
        space.add_blockref("LOOP", (0, 0))
        many = doc.blocks.new("MANY")
        many.add_line((0, 0), (1, 0))
        ref = space.add_blockref("MANY", (0, 0))
        ref.dxf.row_count, ref.dxf.column_count = 30000, 30000
        ref.dxf.row_spacing = ref.dxf.column_spacing = 1.0

    draft = read(House(extra=hostile), tmp_path)
    assert_house(draft)
    assert "could not be read" in said(draft, "unreadable parts")


def test_absurd_coordinates(tmp_path: Path) -> None:
    def absurd(house: House, doc: Any, space: Any) -> None:
        space.add_line((float("inf"), 0), (0, 0), dxfattribs={"layer": "A-WALL"})
        space.add_line((1e300, 0), (0, float("nan")), dxfattribs={"layer": "A-WALL"})

    draft = read(House(extra=absurd), tmp_path)
    assert_house(draft)


def test_a_drawing_too_dense_to_be_a_plan_is_refused_quickly(tmp_path: Path) -> None:
    def dense(house: House, doc: Any, space: Any) -> None:
        for k in range(12_100):
            space.add_line((k * 10.0, 0), (k * 10.0, 5000), dxfattribs={"layer": "A-WALL"})

    with pytest.raises(IntakeError, match="lines that may be walls"):
        read(House(extra=dense), tmp_path)


def test_houses_on_one_site_stay_apart(tmp_path: Path) -> None:
    """Four houses two metres apart, their walls in line: no wall is imagined between them."""

    def more(house: House, doc: Any, space: Any) -> None:
        for shift in ((10_000.0, 0.0), (0.0, 8_000.0), (10_000.0, 8_000.0)):
            other = House(shift=shift)
            other._walls(space)
            other._doors(doc, space)
            other._windows(doc, space)

    draft = read(House(extra=more), tmp_path)
    assert areas(draft.rooms) == pytest.approx(sorted(WHOLE * 4, reverse=True), rel=0.005)
    assert len(draft.openings) == 20


def test_hidden_layers_are_left_out_and_named(tmp_path: Path) -> None:
    def hide(house: House, doc: Any, space: Any) -> None:
        doc.layers.add("A-WALL-OLD").off()
        space.add_line((1000, 1000), (3000, 1000), dxfattribs={"layer": "A-WALL-OLD"})

    draft = read(House(extra=hide), tmp_path)
    assert_house(draft)
    assert next(a.where for a in draft.assumptions if a.what == "hidden layers") == ("A-WALL-OLD",)
