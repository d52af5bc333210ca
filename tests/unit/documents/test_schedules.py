"""Schedules hold everything, and no text in them is ever a formula."""

import csv
import io
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.unit.documents import invented_house as house

from wardwright.documents.schedules import Schedule, csv_text, harmless, schedules


def read(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline="")))


def test_every_schedule_lists_its_elements() -> None:
    proof = house.proof()
    found = {s.name: s for s in schedules(proof)}
    assert list(found) == ["devices", "zones", "loops", "cables", "feeds", "programme", "findings", "estimate"]
    design = house.design()
    assert [r[0] for r in found["devices"].rows] == [d.id for d in design.devices]
    assert [r[0] for r in found["loops"].rows] == [x.id for x in design.loops]
    assert [r[0] for r in found["cables"].rows] == [c.id for c in design.cables]
    assert {r[0] for r in found["feeds"].rows} == {"S-1", "S-2", "battery at CP-1"}
    by_id = {r[0]: dict(zip(found["devices"].columns, r, strict=True)) for r in found["devices"].rows}
    assert by_id["PIR-2"]["place"] == "Workshop" and by_id["PIR-2"]["zone"] == "4"
    assert by_id["MC-3"]["place"] == "Garden doors"
    assert by_id["PIR-4"]["link"] == "radio"
    links = {r[0]: r[4] for r in found["zones"].rows}
    assert links == {1: "L-1", 2: "L-2", 3: "no loop", 4: "no loop", 5: "no loop", 6: "radio"}
    total = next(r for r in found["estimate"].rows if r[:2] == ("sum", "total"))
    assert proof.estimate is not None and total[5] == str(proof.estimate.total)
    assert len(found["findings"].rows) == len(proof.findings)


def test_schedules_without_rows_are_left_out() -> None:
    scheme = house.scheme()
    empty = type(scheme)(scheme.premises, type(scheme.design)(), scheme.catalogue, scheme.brief)
    proof = replace(house.proof(), scheme=empty, findings=(), estimate=None, attacks=None, cables=None)
    assert [s.name for s in schedules(proof)] == ["programme"]


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "  =cmd|' /C calc'!A0", "＝1", "\u200b=1", "|x", "\n=1", "-"],
)
def test_what_a_spreadsheet_would_run_is_made_text(text: str) -> None:
    assert harmless(text) == f"'{text}"
    assert read(csv_text(Schedule("x", "X", ("=head",), ((text,),)))) == [["'=head"], [f"'{text}"]]


@pytest.mark.parametrize("cell", ["Hall", "3-core", "", "-3.5", "+49", 5, -2.5, None])
def test_ordinary_cells_stay_as_they_are(cell: str | float | None) -> None:
    assert harmless(cell) == cell


@given(st.text(max_size=30))
def test_no_cell_starts_a_formula(text: str) -> None:
    cell = str(harmless(text)).lstrip(" \t\r\n\v\f\u00a0\u200b\ufeff")
    assert cell[:1] not in tuple("=@|＝") and (cell[:1] not in ("+", "-") or cell[1:].replace(".", "").isdigit())
