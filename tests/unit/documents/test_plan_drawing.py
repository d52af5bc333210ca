"""Plan drawings: well-formed, everything on them, and true to scale."""

import math
from xml.etree import ElementTree

import pytest
from shapely import Polygon
from tests.unit.documents import invented_house as house

from wardwright.design.brief import Profile
from wardwright.documents.drawing import Drawing, building_frame, plan_drawing
from wardwright.documents.frame import A3, A4, LETTER, TABLOID, Box, askew, drawing_paper, fitting_frame, scale_words
from wardwright.documents.lettering import text_width, wrap
from wardwright.documents.route_layer import noticed_by, route_set
from wardwright.documents.sheet import INVENTED, TitleBlock
from wardwright.documents.svg import el, number

SVG = "{http://www.w3.org/2000/svg}"


def block(**more: object) -> TitleBlock:
    given = {
        "firm": "Example Alarms",
        "job": "Hopgarth Lane 3",
        "address": "",
        "drawing": "Devices",
        "storey": "Ground floor",
        "date": "2026-11-25",
        "revision": "sold",
        "mark": "copy 3 · confidential",
    }
    return TitleBlock(**(given | more))  # type: ignore[arg-type]


def texts(drawing: Drawing) -> list[str]:
    return ["".join(t.itertext()) for t in ElementTree.fromstring(drawing.svg).iter(f"{SVG}text")]


def test_a_sheet_is_well_formed_and_spells_everything_out() -> None:
    drawing = plan_drawing(house.scheme(), "GF", paper=A3, block=block(invented=True))
    root = ElementTree.fromstring(drawing.svg)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("420mm", "297mm", "0 0 420 297")
    shown = texts(drawing)
    for room in house.premises().rooms:
        assert (room.name in shown) == (room.storey_id == "GF"), room.name
    for device in house.design().devices:
        assert (device.id in shown) == (device.storey_id == "GF"), device.id
    assert INVENTED in shown
    assert "1:50" in shown and "Scale 1:50 on A3" in shown
    assert "Passive infrared detector, wide (2)" in shown
    assert "N" in shown
    assert drawing.described == "Devices, Ground floor: plan at 1:50 with 6 rooms and 14 devices."


def test_a_bare_drawing_has_no_surround() -> None:
    shown = texts(plan_drawing(house.scheme(), "GF", paper=A3, block=block(), bare=True))
    assert "Kitchen" in shown
    assert "Devices" not in shown


def test_only_devices_handed_over_are_drawn() -> None:
    keypads = tuple(d for d in house.design().devices if d.kind == "keypad")
    shown = texts(plan_drawing(house.scheme(), "GF", paper=A4, block=block(), devices=keypads))
    assert "KP-1" in shown
    assert not {"CP-1", "PIR-1", "CP"} & set(shown)


def test_tags_lie_on_the_sheet_and_apart() -> None:
    for paper in (A3, A4):
        boxes = plan_drawing(house.scheme(), "GF", paper=paper, block=block()).tag_boxes
        assert len(boxes) == 14
        for i, one in enumerate(boxes):
            assert one.inside(Box(0, 0, paper.width_mm, paper.height_mm))
            assert not any(one.overlaps(other) for other in boxes[:i])


def test_the_frame_is_true_to_scale_and_turned_square() -> None:
    frame = building_frame(house.scheme(), A3)
    a, b = frame.at((0.0, 0.0)), frame.at((10.0, 0.0))
    assert math.dist(a, b) == pytest.approx(10_000 / frame.scale)
    assert frame.at((0.0, 1.0))[1] < a[1], "y runs up on the plan, down on paper"
    square = Polygon([(0, 0), (1, 0), (1, 2)])
    moved = frame.shape(square)
    assert list(moved.exterior.coords)[2] == pytest.approx(frame.at((1.0, 2.0)))
    turned = askew([((0.0, 0.0), (10.0, 5.0)), ((0.0, 0.0), (-2.0, 4.0))])
    assert turned == pytest.approx(math.atan2(5.0, 10.0))
    assert askew([((0.0, 0.0), (10.0, 0.1))]) == 0.0, "a degree or two is left as surveyed"


def test_scale_is_the_largest_that_fits() -> None:
    space = Box(0, 0, 300, 200)
    corners = [(0.0, 0.0), (14.0, 9.0)]
    assert fitting_frame(corners, space, scales=(20, 50, 100)).scale == 50
    assert fitting_frame([(0.0, 0.0), (9.0, 14.0)], space, scales=(20, 50, 100)).scale == 50, "a quarter turn fits it"
    assert fitting_frame([(0.0, 0.0), (1000.0, 900.0)], space, scales=(20, 50, 100)).scale == 100


def test_american_jobs_get_american_paper_and_scales() -> None:
    assert drawing_paper(Profile.US_HOME, large=True) is TABLOID
    assert drawing_paper(Profile.US_BUSINESS, large=False) is LETTER
    drawing = plan_drawing(house.scheme(Profile.US_HOME), "GF", paper=TABLOID, block=block())
    assert drawing.scale == 48
    shown = texts(drawing)
    assert scale_words(48) == "1/4 in = 1 ft (1:48)" in shown
    assert any(text.endswith("sq ft") for text in shown)
    assert not any("m²" in text for text in shown)


def test_the_margin_map_has_five_tints_and_its_legend() -> None:
    drawing = plan_drawing(house.scheme(), "GF", paper=A3, block=block(), margin=house.margin_map())
    shown = texts(drawing)
    assert {"unlikely: under −6 dB", "as good as certain: over 12 dB"} <= set(shown)
    root = ElementTree.fromstring(drawing.svg)
    layer = next(g for g in root.iter(f"{SVG}g") if g.get("class") == "margin-map")
    tints = [p for p in layer.iter(f"{SVG}path") if p.get("fill") != "none"]
    assert len(tints) == 5
    strokes = next(g for g in root.iter(f"{SVG}g") if g.get("class") == "least-noticed")
    assert len(list(strokes)) > 100


def test_routes_thin_as_they_are_noticed() -> None:
    scheme = house.scheme()
    routes = route_set(scheme, house.route_analysis().routes)
    assert routes is not None
    assert [r.kind for r in routes.routes] == ["quietest", "fastest", "best-timed"]
    assert [(d.number, d.device_id) for d in routes.dots] == [(1, "SHK-1"), (2, "PIR-2"), (3, "PIR-2"), (4, "PIR-2")]
    quiet = routes.routes[0]
    assert noticed_by(quiet, 0.0) == 0.0
    assert noticed_by(quiet, 10.0) == pytest.approx(0.5)
    assert noticed_by(quiet, 99.0) == pytest.approx(0.72), "never more than the route's own"
    drawing = plan_drawing(scheme, "GF", paper=A3, block=block(), routes=routes)
    root = ElementTree.fromstring(drawing.svg)
    line = next(g for g in root.iter(f"{SVG}g") if g.get("data-id") == "quietest")
    widths = [float(p.get("stroke-width", "0")) for p in line.iter(f"{SVG}path")]
    assert widths == sorted(widths, reverse=True) and len(set(widths)) == 3
    assert route_set(scheme, ()) is None


def test_letters_measure_as_the_font_says() -> None:
    assert text_width("0000", 10.0) == pytest.approx(text_width("1234", 10.0)), "figures are tabular"
    assert text_width("MMMM", 10.0, "semibold") > text_width("MMMM", 10.0)
    lines = wrap("Donaudampfschifffahrtsgesellschaft office", 20.0, 3.0)
    assert len(lines) > 2
    assert all(text_width(text, 3.0) <= 20.0 for text in lines)
    assert wrap("", 20.0, 3.0) == []


def test_text_is_escaped() -> None:
    assert el("text", x=1.0, data_note='"<&') == '<text x="1" data-note="&quot;&lt;&amp;"/>'
    assert [number(v) for v in (1.0, -0.00001, 2.5004, 12.3456)] == ["1", "0", "2.5", "12.346"]
    premises = house.premises()
    rooms = (premises.rooms[0].model_copy(update={"name": "A <b>&\x00 room"}), *premises.rooms[1:])
    scheme = house.scheme()
    changed = type(scheme)(premises.model_copy(update={"rooms": rooms}), scheme.design, scheme.catalogue, scheme.brief)
    assert "A <b>& room" in texts(plan_drawing(changed, "GF", paper=A3, block=block()))
