"""Plans as JSON polygons: scale, shapes, and what bad input gets. Expected figures are worked out by hand."""

import json
from pathlib import Path
from typing import Any

import pytest
from shapely import Polygon

from wardwright.errors import IntakeError
from wardwright.intake.draft import Draft
from wardwright.intake.plan_json import read_plan_json
from wardwright.intake.rooms_from_walls import rooms_from_walls
from wardwright.premises.openings import OpeningKind


def rect(x0: float, y0: float, x1: float, y1: float) -> dict[str, Any]:
    return {"ring": [[x0, y0], [x1, y0], [x1, y1], [x0, y1]], "holes": []}


def flat(k: float = 1.0) -> dict[str, Any]:
    """Two rooms of 4 m × 3 m and a balcony, walls 0.2 m, in units of 1/k m."""

    def r(*c: float) -> dict[str, Any]:
        return rect(*(v * k for v in c))

    walls = [r(0, 0, 8.6, 0.2), r(0, 3.2, 8.6, 3.4), r(0, 0, 0.2, 1.1), r(0, 2.1, 0.2, 3.4), r(8.4, 0, 8.6, 3.4)]
    walls += [r(4.2, 0.2, 4.4, 1.0), r(4.2, 1.8, 4.4, 3.2)]
    return {
        "id": "flat-1",
        "units": "none",
        "elements": {
            "wall": walls,
            "door": [r(4.2, 1.0, 4.4, 1.8), r(6, 3.2, 6.8, 3.4)],
            "front_door": [r(0, 1.1, 0.2, 2.1)],
            "window": [r(5, 0, 7, 0.2)],
            "living": [r(0.2, 0.2, 4.2, 3.2)],
            "bedroom": [r(4.4, 0.2, 8.4, 3.2)],
            "balcony": [r(5, 3.4, 8, 4.8)],
        },
        "connections": [{"source": "living_0", "target": "bedroom_0", "type": "via_door"}],
    }


def read(tmp_path: Path, data: Any, **how: Any) -> Draft:
    file = tmp_path / "plan.json"
    file.write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
    return read_plan_json(file, **how)


def area(draft: Draft, key: str) -> float:
    room = next(r for r in draft.rooms if r.key == key)
    return Polygon(room.outline, room.holes).area


def test_elements_with_a_given_unit(tmp_path: Path) -> None:
    draft = read(tmp_path, flat(1000.0), unit="mm")
    assert area(draft, "living_0") == pytest.approx(12.0)
    assert {r.name for r in draft.rooms} == {"living", "bedroom", "balcony"}
    assert not next(r for r in draft.rooms if r.key == "balcony_0").indoors
    joins = {o.key: set(o.joins) for o in draft.openings}
    assert joins["door_0"] == {"living_0", "bedroom_0"}
    assert joins["door_1"] == {"balcony_0", "bedroom_0"}
    assert joins["front_door_0"] == {"living_0", "outside"}
    assert joins["window_0"] == {"bedroom_0", "outside"}
    widths = {o.key: o.width_m for o in draft.openings}
    assert widths["front_door_0"] == pytest.approx(1.0)
    assert not draft.assumptions
    back = sorted(Polygon(r.outline).area for r in rooms_from_walls(draft.walls, draft.openings))
    assert back == pytest.approx([12.0, 12.0])


def test_scale_from_the_stated_net_area(tmp_path: Path) -> None:
    plan = flat(37.0) | {"net_area_m2": 24.0}
    draft = read(tmp_path, plan)
    assert area(draft, "living_0") == pytest.approx(12.0)
    (note,) = [a for a in draft.assumptions if a.what == "length unit"]
    assert "net area" in note.assumed
    assert "37" in note.assumed


def test_scale_from_door_widths_is_an_estimate_with_its_spread(tmp_path: Path) -> None:
    draft = read(tmp_path, flat(50.0))
    (note,) = [a for a in draft.assumptions if a.what == "length unit"]
    assert "between" in note.assumed
    assert area(draft, "living_0") == pytest.approx(12.0, rel=0.05)  # doors of 0.80 and 1.00 m


def test_a_stated_unit_that_cannot_be_is_overruled(tmp_path: Path) -> None:
    draft = read(tmp_path, flat(1000.0) | {"units": "m"})
    assert area(draft, "living_0") == pytest.approx(12.0)
    assert any("the file says metres" in a.assumed for a in draft.assumptions)


def test_a_gap_with_nothing_drawn_in_it_is_reported(tmp_path: Path) -> None:
    plan = flat()
    del plan["elements"]["front_door"]
    draft = read(tmp_path, plan, unit="m")
    gap = next(o for o in draft.openings if o.key.startswith("gap"))
    assert gap.kind is OpeningKind.DOOR
    assert gap.width_m == pytest.approx(1.0)
    assert any(a.what == "gap in a wall" for a in draft.assumptions)


def test_rooms_that_touch_without_a_wall_are_open_to_each_other(tmp_path: Path) -> None:
    plan = {"elements": {"kitchen": [rect(0, 0, 3, 3)], "living": [rect(3, 0, 7, 3)], "door": []}}
    draft = read(tmp_path, plan, unit="m")
    (opening,) = draft.openings
    assert opening.kind is OpeningKind.PASSAGE
    assert opening.width_m == pytest.approx(3.0, abs=0.1)


def test_a_listed_connection_that_is_not_drawn_is_reported(tmp_path: Path) -> None:
    plan = flat() | {"connections": [{"source": "living_0", "target": "balcony_0", "type": "via_door"}]}
    draft = read(tmp_path, plan, unit="m")
    assert [a.where for a in draft.assumptions if a.missing] == [("living_0", "balcony_0")]


def test_walls_and_slabs_with_a_list_where_a_number_belongs(tmp_path: Path) -> None:
    walls = [rect(0, 0, 8, 0.2), rect(0, 0, 0.2, 6), rect(0, 5.8, 8, 6), rect(4, 0, 4.2, 2.5), rect(4, 3.4, 4.2, 6)]
    listed = [w | {"id": f"w{k}", "thickness": 0.2} for k, w in enumerate(walls)]
    listed[2]["thickness"] = [0.2, 0.3]
    plan = {"units": "m", "walls": listed, "slabs": [[[0, 0], [8, 0], [8, 6], [0, 6]]]}
    draft = read(tmp_path, plan)
    assert any(a.where == ("wall w2",) and "[0.2, 0.3]" in a.assumed for a in draft.assumptions)
    assert any(w.assumed for w in draft.walls)  # the slab's edge on the right has no wall
    rooms = sorted(Polygon(r.outline).area for r in rooms_from_walls(draft.walls, draft.openings))
    assert rooms == pytest.approx([3.6 * 5.6, 3.8 * 5.6], rel=0.01)
    (gap,) = draft.openings
    assert gap.width_m == pytest.approx(0.9, abs=0.01)


def test_an_outline_needs_a_scale(tmp_path: Path) -> None:
    plan = {
        "id": "o",
        "units": "none",
        "outline": [[0, 0], [10, 0], [10, 10], [0, 10]],
        "holes": [[[4, 4], [6, 4], [6, 6], [4, 6]]],
    }
    with pytest.raises(IntakeError, match="names no length unit; give --scale"):
        read(tmp_path, plan)
    draft = read(tmp_path, plan, scale=0.5)
    assert area(draft, "room_1") == pytest.approx(96 / 4)
    assert draft.survey == "drawn"


def test_a_collection_asks_which_plan(tmp_path: Path) -> None:
    plans = {"plans": [flat() | {"id": "a"}, flat() | {"id": "b"}]}
    with pytest.raises(IntakeError, match="2 plans; say which one with --plan: a, b"):
        read(tmp_path, plans)
    with pytest.raises(IntakeError, match="no plan “c” in it; it holds a, b"):
        read(tmp_path, plans, plan="c")
    assert read(tmp_path, plans, plan="b", unit="m").name == "b"


def broken(change: Any) -> dict[str, Any]:
    plan = flat()
    plan["elements"]["living"][0]["ring"][1] = change
    return plan


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ("", "not whole JSON"),
        ('{"elements": {"wall": [', "not whole JSON"),
        ("[" * 100_000, "not whole JSON|nested too deeply"),
        ("[]", "holds no plan"),
        ("3", "no plan is in it"),
        ('{"a": 1}', "expected an object with"),
        ({"elements": {"wall": []}}, "neither rooms nor walls"),
        ({"elements": {"living": 5}}, "elements.living: expected a list"),
        (broken([float("nan"), 0]), "living_0: point 2 is .nan, 0., which is no place"),
        (broken([float("inf"), 0]), "living_0: point 2"),
        (broken(["a", 0]), "living_0: point 2 .*expected two numbers"),
        (broken([True, 0]), "living_0: point 2"),
        (broken([10**400, 0]), "living_0: point 2"),
        (broken(None), "living_0: point 2"),
        ({"elements": {"living": [{"ring": [[0, 0], [1, 1], [0, 0]]}]}}, "living_0: 2 different points"),
        ({"walls": []}, "holds no wall"),
        ({"units": "m", "walls": ["x"]}, "wall 1: expected a list of points"),
        ({"outline": [[0, 0], [1, 0], [2, 0]]}, "no area"),
    ],
)
def test_bad_input_gets_one_sentence(tmp_path: Path, data: Any, said: str) -> None:
    with pytest.raises(IntakeError, match=said):
        read(tmp_path, data)


def test_a_ring_that_crosses_itself_is_mended_and_named(tmp_path: Path) -> None:
    plan = flat()
    plan["elements"]["bedroom"] = [
        {"ring": [[4.4, 0.2], [8.4, 0.2], [8.4, 3.2], [4.4, 3.2], [4.3, 3.3], [4.5, 3.3]], "holes": []}
    ]
    draft = read(tmp_path, plan, unit="m")
    assert any(a.where == ("bedroom_0",) and "crosses" in a.what for a in draft.assumptions)
    # The last edge cuts a triangle off: 3.0 m long, 0.1 m × 3.0 / 3.1 wide.
    assert area(draft, "bedroom_0") == pytest.approx(12.0 - 0.5 * 3.0 * 0.1 * 3.0 / 3.1)


def test_scale_and_unit_together_are_refused(tmp_path: Path) -> None:
    with pytest.raises(IntakeError, match="not both"):
        read(tmp_path, flat(), scale=1.0, unit="m")
    with pytest.raises(IntakeError, match="cannot be"):
        read(tmp_path, flat(), scale=-1.0)
    with pytest.raises(IntakeError, match="cannot be opened"):
        read_plan_json(tmp_path / "nothing.json")
