"""Cables of a design: sections, currents, runs that cannot be made."""

from dataclasses import replace

import pytest
from tests.house import scheme

from wardwright.analyses.cables import cable_plan
from wardwright.design.devices import Feed
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Outcome
from wardwright.premises.fabric import NoDrilling
from wardwright.rules.aims.cables import cable_findings


def unmeasured() -> ProtectionScheme:
    base = scheme()
    feeds = tuple(f.model_copy(update={"length_m": None}) for f in base.design.feeds)
    return replace(base, design=base.design.model_copy(update={"feeds": feeds}))


def test_a_run_carries_what_is_fed_through_it() -> None:
    base = unmeasured()
    chain = (
        Feed(id="a", from_id="panel", to_id="pir-living"),
        Feed(id="b", from_id="pir-living", to_id="pir-hall"),
    )
    plan = cable_plan(replace(base, design=base.design.model_copy(update={"feeds": chain, "loops": ()})))
    by = {r.run.from_id: r for r in plan.runs}
    assert by["pir-living"].current_a == pytest.approx(2.0 * by["pir-hall"].current_a)
    assert by["pir-hall"].run.to_id == "pir-living"
    assert by["mc-front"].current_a == 0.0


def test_the_section_is_the_smallest_that_keeps_the_drop() -> None:
    """Ohm's law with IEC 60228 resistances: the next thinner section drops more than 0.6 V."""
    plan = cable_plan(unmeasured())
    loaded = [r for r in plan.runs if r.current_a > 0.0]
    assert loaded
    for r in loaded:
        assert r.area_m2 is not None
        assert r.drop_v is not None
        assert r.drop_v <= 0.6


def test_a_run_that_cannot_be_made_refutes_and_offers_radio() -> None:
    base = unmeasured()
    marks = (NoDrilling(id="n", reason="landlord", room_ids=("living",), wall_ids=("g-mid",)),)
    shut = replace(base, premises=base.premises.model_copy(update={"no_drilling": marks}))
    blocked = [f for f in cable_findings(cable_plan(shut)) if f.outcome is Outcome.NOT_MET]
    assert {"pir-living", "gb-living"} <= {f.about[0] for f in blocked}
    assert all(f.refutes and "radio" in f.fix.lower() for f in blocked)
    assert not [f for f in cable_findings(cable_plan(base)) if f.outcome is Outcome.NOT_MET]


def test_storeys_without_rooms_are_not_decided() -> None:
    base = unmeasured()
    bare = replace(base, premises=base.premises.model_copy(update={"rooms": ()}))
    assert {f.outcome for f in cable_findings(cable_plan(bare))} == {Outcome.NOT_DECIDED}
