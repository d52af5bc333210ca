"""Typed rooms close; a misclosure is reported exactly; lengths go out and come back."""

import itertools
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from wardwright.errors import IntakeError
from wardwright.intake.lengths import format_length
from wardwright.intake.tape import read_tape_text
from wardwright.intake.tape_form import read_form
from wardwright.intake.tape_rooms import close_by_transit_rule, outline_of

walls = st.floats(min_value=1.0, max_value=20.0).map(lambda v: round(v, 2))
slips = st.floats(min_value=-0.20, max_value=0.20).map(lambda v: round(v, 2))


def outline(text: str):
    form, found = read_form(text)
    assert not found.sentences
    return outline_of(form.rooms[0])


@given(wide=walls, deep=walls)
def test_any_rectangle_closes(wide: float, deep: float) -> None:
    typed = outline(f"room: R\n walls: west {deep}, north {wide}, east {deep}, south {wide}")
    sized = outline(f"room: R, {wide} x {deep}")
    turned = outline(f"room: R\n walls: {deep}, right {wide}, right {deep}, right {wide}")
    for room in (typed, sized, turned):
        assert room.short == ()
        assert Polygon(room.ring).area == pytest.approx(wide * deep)


@given(wide=walls, deep=walls, slip=slips)
def test_a_misclosure_is_reported_exactly_and_the_room_stays_square(wide: float, deep: float, slip: float) -> None:
    south = round(wide + slip, 2)
    room = outline(f"room: R\n walls: west {deep}, north {wide}, east {deep}, south {south}")
    if slip == 0.0:
        assert room.short == ()
    else:
        ((size, side),) = room.short
        assert size == pytest.approx(abs(south - wide), abs=1e-9)
        assert side == ("north" if south > wide else "south")
    for edge in room.edges:
        dx, dy = edge.along
        assert min(abs(dx), abs(dy)) < 1e-9
    low, high = sorted((wide, south))
    x0, _, x1, _ = Polygon(room.ring).bounds
    assert low - 1e-9 <= x1 - x0 <= high + 1e-9


@given(legs=st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=3, max_size=12))
def test_the_transit_rule_closes_any_traverse(legs: list[tuple[float, float]]) -> None:
    closed, gap = close_by_transit_rule(legs)
    for i in (0, 1):
        if any(abs(leg[i]) > 1e-6 for leg in legs):
            assert math.fsum(leg[i] for leg in closed) == pytest.approx(0.0, abs=1e-9)
        assert gap[i] == pytest.approx(sum(leg[i] for leg in legs))


@given(
    sides=st.lists(st.tuples(walls, walls), min_size=1, max_size=4),
    doors=st.lists(st.floats(min_value=0.0, max_value=1.0), min_size=4, max_size=4),
)
def test_a_row_of_rooms_with_doors_measured_from_both_sides_lies_as_measured(
    sides: list[tuple[float, float]], doors: list[float]
) -> None:
    lines = ["inside walls: 0.10"]
    expected = [0.0]
    theirs = 0.0
    for i, (wide, deep) in enumerate(sides):
        lines.append(f"room: R{i}, {wide} x {deep}")
        if i:
            mine = round(doors[i - 1] * (wide - 0.6), 2)
            lines.append(f" south: door to R{i - 1}, 0.60 x 2.00, {mine} from west end")
            expected.append(expected[-1] + theirs - mine)
        if i + 1 < len(sides):
            theirs = round(doors[i] * (wide - 0.6), 2)
            lines.append(f" north: door to R{i + 1}, 0.60 x 2.00, {theirs} from west end")
    draft = read_tape_text("\n".join(lines))
    west = [min(x for x, _ in r.outline) for r in draft.rooms]
    assert west == pytest.approx(expected, abs=2e-4)
    assert len(draft.openings) == len(sides) - 1
    shapes = [Polygon(r.outline) for r in draft.rooms]
    for below, above in itertools.pairwise(shapes):
        assert below.distance(above) == pytest.approx(0.10, abs=2e-4)


@given(wide=walls, unit=st.sampled_from(["m", "cm", "mm"]))
def test_lengths_go_out_and_come_back(wide: float, unit: str) -> None:
    written = format_length(wide, unit)
    room = outline(f"room: R, {written} x 2 m")
    assert Polygon(room.ring).bounds[2] == pytest.approx(wide, abs=0.006)


@given(halves=st.integers(min_value=80, max_value=1400))
def test_feet_and_inches_go_out_and_come_back(halves: int) -> None:
    length = halves * 0.0254 / 2
    form, found = read_form(f"units: feet and inches\nroom: R, {format_length(length, 'ft')} x 10 ft")
    assert not found.sentences
    assert outline_of(form.rooms[0]).edges[1].length == pytest.approx(length, abs=1e-9)


EXAMPLE = (Path(__file__).resolve().parents[2] / "demo" / "terrace.tape.txt").read_text(encoding="utf-8").splitlines()


@settings(max_examples=80)
@given(data=st.data())
def test_a_damaged_survey_is_read_or_refused_in_words(data: st.DataObject) -> None:
    lines = list(EXAMPLE)
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(lines) - 1))
        what = data.draw(st.sampled_from(["drop", "copy", "cut", "letter"]))
        if what == "drop":
            lines.pop(at)
        elif what == "copy":
            lines.insert(at, data.draw(st.sampled_from(EXAMPLE)))
        elif what == "cut":
            lines[at] = lines[at][: data.draw(st.integers(0, len(lines[at])))]
        elif lines[at]:
            k = data.draw(st.integers(0, len(lines[at]) - 1))
            lines[at] = lines[at][:k] + data.draw(st.sampled_from("0159.,:x-?#' \"ab½")) + lines[at][k + 1 :]
    try:
        read_tape_text("\n".join(lines))
    except IntakeError as error:
        assert "line" in str(error)
