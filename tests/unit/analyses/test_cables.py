"""Cables of a design: sections, currents, runs that cannot be made."""

from dataclasses import replace

import pytest
from tests.house import scheme

from wardwright.analyses.cables import cable_plan
from wardwright.design.devices import Cable, Feed
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


def test_a_cable_carries_what_is_fed_in_it_and_a_loop_s_cable_nothing() -> None:
    base = unmeasured()
    drawn = (
        Cable(id="c1", from_id="panel", to_id="pir-living"),
        Cable(id="c2", from_id="pir-living", to_id="mc-front"),
    )
    feeds = (Feed(id="a", from_id="panel", to_id="pir-living", cable_id="c1"),)
    plan = cable_plan(replace(base, design=base.design.model_copy(update={"cables": drawn, "feeds": feeds})))
    by = {r.run.cable_id: r for r in plan.runs}
    assert by["c1"].current_a > 0.0
    assert by["c2"].current_a == 0.0


def test_the_section_is_the_smallest_that_keeps_the_drop() -> None:
    """Ohm's law, out and back at 50 °C: 39.0 Ω/km (0.5 mm², IEC 60228 class 5) × 1.118 = 43.6 Ω/km.

    0.5 mm² carries 0.6 V / (2 × 30 m × 43.6 Ω/km) = 0.229 A. 0.22 mm² at 95 Ω/km carries 94 mA.
    """
    base = unmeasured()
    load = {"pir-hall": 0.05, "pir-living": 0.15}
    for key, current in load.items():
        kind = base.kind_of(base.design.device(key))
        figure = kind.figures["alarm_current_a"]
        figures = {**kind.figures, "alarm_current_a": figure.model_copy(update={"value": current})}
        kinds = {**base.catalogue.kinds, f"like-{key}": kind.model_copy(update={"figures": figures})}
        devices = tuple(d.model_copy(update={"kind": f"like-{key}"}) if d.id == key else d for d in base.design.devices)
        base = replace(
            base,
            catalogue=base.catalogue.model_copy(update={"kinds": kinds}),
            design=base.design.model_copy(update={"devices": devices}),
        )
    drawn = tuple(Cable(id=f"c-{key}", kind="cable-4x022", from_id="panel", to_id=key, length_m=30.0) for key in load)
    feeds = tuple(Feed(id=f"f-{key}", from_id="panel", to_id=key, cable_id=f"c-{key}") for key in load)
    plan = cable_plan(replace(base, design=base.design.model_copy(update={"cables": drawn, "feeds": feeds})))
    by = {r.run.to_id: r for r in plan.runs if r.run.cable_id is not None}
    assert by["pir-hall"].area_m2 == pytest.approx(0.22e-6)
    assert by["pir-living"].area_m2 == pytest.approx(0.5e-6)
    assert by["pir-living"].drop_v == pytest.approx(2 * 30 * 0.0390 * 1.118 * 0.15, rel=0.01)


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
