"""Walls and roof spaces as ways in."""

from dataclasses import replace

from tests.house import house, scheme

from wardwright.design.system import Design
from wardwright.findings import Outcome, Weight
from wardwright.premises.fabric import Construction, Layer
from wardwright.premises.model import Premises
from wardwright.rules.aims.fabric import fabric_findings


def with_party(wall_id: str, *materials: str) -> Premises:
    premises = house()
    layers = tuple(Layer(material=m, thickness_m=0.1) for m in materials)
    built = (Construction(id="built", name="party wall", layers=layers),) if layers else ()
    walls = tuple(
        w.model_copy(update={"party": True, "construction_id": "built" if layers else None}) if w.id == wall_id else w
        for w in premises.walls
    )
    return premises.model_copy(update={"walls": walls, "constructions": (*premises.constructions, *built)})


def test_a_house_with_brick_all_round_has_nothing_to_say() -> None:
    assert fabric_findings(scheme()) == ()
    assert fabric_findings(replace(scheme(), premises=with_party("g-west", "brick"))) == ()


def test_a_light_party_wall_of_a_watched_room() -> None:
    (found,) = fabric_findings(replace(scheme(), premises=with_party("g-west", "plasterboard", "stud")))
    assert found.about == ("hall", "g-west")
    assert found.outcome is Outcome.MET
    assert found.weight is Weight.RECOMMENDED
    assert "pir-hall" in found.explanation


def test_without_a_detector_it_is_not_met_and_unsurveyed_it_is_not_decided() -> None:
    bare = replace(scheme(), design=Design())
    (light,) = fabric_findings(replace(bare, premises=with_party("g-west", "plasterboard", "stud")))
    assert light.outcome is Outcome.NOT_MET
    assert "motion detector" in light.fix
    (unknown,) = fabric_findings(replace(bare, premises=with_party("g-west")))
    assert unknown.outcome is Outcome.NOT_DECIDED
    assert "made of" in unknown.fix
    for finding in (light, unknown):
        assert not finding.refutes
        assert "hole" not in finding.plain
