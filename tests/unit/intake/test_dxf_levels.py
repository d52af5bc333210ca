"""Several storeys in one drawing, told apart only where it is evident."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from tests.unit.intake.drawn_house import House, areas

from wardwright.intake.assemble import assemble
from wardwright.intake.draft import Draft
from wardwright.intake.dxf import read_dxf
from wardwright.intake.dxf_levels import level_number


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("GROUND FLOOR PLAN", 0),
        ("First Floor Plan", 1),
        ("2ND FLOOR", 2),
        ("SECOND STOREY", 2),
        ("Erdgeschoss", 0),
        ("Grundriss 1. OG", 1),
        ("Obergeschoß", 1),
        ("KG", -1),
        ("REZ-DE-CHAUSSÉE", 0),
        ("1er étage", 1),
        ("Planta baja", 0),
        ("Level 2", 2),
        ("A-WALL-L02", 2),
        ("Dachgeschoss", 9),
        ("BASEMENT PLAN", -1),
        ("KITCHEN", None),
        ("FLOOR PLAN", None),
        ("A-WALL", None),
        ("SCALE 1:50", None),
    ],
)
def test_titles_and_layer_tokens(text: str, number: int | None) -> None:
    assert level_number(text) == number


def title(text: str) -> Any:
    def add(house: House, doc: Any, space: Any) -> None:
        label = space.add_text(text, height=0.5 * house.per_metre, dxfattribs={"layer": "A-ANNO-TITL"})
        label.set_placement(house.put((4.0, -1.2)), align=ezdxf.enums.TextEntityAlignment.MIDDLE_CENTER)

    return add


def stair(house: House, space: Any, x: float, y: float) -> None:
    for k in range(12):
        a, b = house.put((x, y + 0.25 * k)), house.put((x + 0.9, y + 0.25 * k))
        space.add_line(a, b, dxfattribs={"layer": "A-FLOR-STRS"})


def two_plans(path: Path, titles: tuple[str, str], *, with_stairs: bool = True) -> Path:
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = 4
    for k, words in enumerate(titles):
        house = House(shift=(12_000.0 * k, 0.0), extra=title(words) if words else None, names=True)
        part = path.with_name(f"part{k}.dxf")
        house.save(part)
        ezdxf.addons.importer.Importer(ezdxf.readfile(part), doc).import_modelspace()
        if with_stairs:
            stair(house, doc.modelspace(), 2.6, 1.6)
    doc.saveas(path)
    return path


@pytest.fixture(autouse=True)
def importer() -> None:
    import ezdxf.addons.importer  # noqa: F401


def rooms_by_storey(draft: Draft) -> dict[str, list[float]]:
    return {s.name: areas(r for r in draft.rooms if r.storey_key == s.key) for s in draft.storeys}


@pytest.mark.parametrize(
    ("titles", "order"),
    [
        (("GROUND FLOOR PLAN", "FIRST FLOOR PLAN"), ("ground floor plan", "first floor plan")),
        (("FIRST FLOOR PLAN", "SECOND FLOOR PLAN"), ("first floor plan", "second floor plan")),
        (("OBERGESCHOSS", "ERDGESCHOSS"), ("erdgeschoss", "obergeschoss")),
        (("Basement", "Main level"), ("basement", "main level")),
    ],
)
def test_plans_side_by_side_under_their_titles(tmp_path: Path, titles: tuple[str, str], order: tuple[str, str]) -> None:
    draft = read_dxf(two_plans(tmp_path / "two.dxf", titles))
    assert tuple(s.name for s in draft.storeys) == order
    assert draft.storeys[1].elevation_m - draft.storeys[0].elevation_m == pytest.approx(2.8)
    lower, upper = rooms_by_storey(draft).values()
    assert lower == pytest.approx(upper)
    assert len({e.key for e in (*draft.walls, *draft.rooms, *draft.openings)}) == len(
        [*draft.walls, *draft.rooms, *draft.openings]
    )
    corners = [min(p for w in draft.walls if w.storey_key == s.key for p in w.axis) for s in draft.storeys]
    assert corners[0] == pytest.approx(corners[1], abs=0.02)
    assert len(draft.stairs) == 1
    premises, _ = assemble(draft)
    assert len(premises.storeys) == 2
    assert len(premises.stairs) == 1


def test_without_titles_it_stays_one_storey_and_says_so(tmp_path: Path) -> None:
    draft = read_dxf(two_plans(tmp_path / "two.dxf", ("", ""), with_stairs=False))
    assert len(draft.storeys) == 1
    assert len(draft.rooms) == 6
    assert any(a.what == "storeys" and "one storey" in a.assumed for a in draft.assumptions)


def test_storeys_over_each_other_on_their_own_layers(tmp_path: Path) -> None:
    doc = ezdxf.new()
    doc.header["$INSUNITS"] = 4
    for token in ("EG", "OG"):
        layers = {"wall": f"{token}_WAND", "door": f"{token}_TUER", "window": f"{token}_FENSTER"}
        part = tmp_path / f"{token}.dxf"
        House(layers=layers, names=token == "EG").save(part)
        ezdxf.addons.importer.Importer(ezdxf.readfile(part), doc).import_modelspace()
    doc.saveas(tmp_path / "both.dxf")
    draft = read_dxf(tmp_path / "both.dxf")
    assert len(draft.storeys) == 2
    lower, upper = rooms_by_storey(draft).values()
    assert lower == pytest.approx(upper)
    assert len(draft.openings) == 10
    assert any(a.what == "stairs" and a.missing for a in draft.assumptions)


def test_one_house_on_layers_without_levels_is_one_storey(tmp_path: Path) -> None:
    house = replace(House(), layers={"wall": "A-WALL", "door": "A-DOOR-1", "window": "A-GLAZ-2"})
    assert len(read_dxf(house.save(tmp_path / "one.dxf")).storeys) == 1
