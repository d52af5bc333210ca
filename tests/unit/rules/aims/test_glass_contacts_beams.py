"""Findings on glass-break detectors, contacts and beams."""

from dataclasses import replace

from tests.house import design, house, scheme

from wardwright.analyses.beam_reserve import beam_reserves
from wardwright.analyses.contact_field import contact_fields
from wardwright.analyses.glass_hearing import glass_hearings
from wardwright.analyses.mode import Mode
from wardwright.design.brief import Brief
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome
from wardwright.premises.fabric import Obstacle, RoomUse
from wardwright.rules.aims.beams import beam_findings
from wardwright.rules.aims.contacts import contact_findings
from wardwright.rules.aims.hearing import hearing_findings


def glass(given: ProtectionScheme) -> dict[str, Finding]:
    return {f.rule: f for f in hearing_findings(given, glass_hearings(given, Mode.AWAY))}


def moved(key: str, **changes: object) -> ProtectionScheme:
    base = design()
    devices = tuple(d.model_copy(update=changes) if d.id == key else d for d in base.devices)
    return replace(scheme(), design=base.model_copy(update={"devices": devices}))


def test_both_views_on_the_order_are_told() -> None:
    found = glass(scheme())["entry.glass-order"]
    assert "Common practice" in found.explanation and "crash test" in found.explanation
    assert found.outcome is Outcome.MET


def test_a_detector_behind_a_wall_hears_nothing() -> None:
    found = glass(moved("gb-living", position=(1.5, 7.0)))["entry.glass-heard"]
    assert found.outcome is Outcome.NOT_MET


def test_noise_near_a_detector_is_told() -> None:
    assert glass(scheme())["nuisance.glass-noise"].outcome is Outcome.MET
    base = house()
    rooms = tuple(r.model_copy(update={"use": RoomUse.KITCHEN}) if r.id == "living" else r for r in base.rooms)
    ringing = replace(scheme(), premises=base.model_copy(update={"rooms": rooms}))
    assert glass(ringing)["nuisance.glass-noise"].outcome is Outcome.NOT_MET
    loud = moved("inner-sounder", storey_id="g", position=(6.5, 4.5))
    assert "inner-sounder" in glass(loud)["nuisance.glass-noise"].about


def test_a_contact_on_steel_is_measured_and_judged_by_what_is_left() -> None:
    def judged(**settings: float) -> dict[str, Finding]:
        base = house()
        openings = tuple(
            o.model_copy(update={"leaves": tuple(x.model_copy(update={"material": "steel"}) for x in o.leaves)})
            for o in base.openings
        )
        given = replace(moved("mc-front", settings=settings), premises=base.model_copy(update={"openings": openings}))
        return {f.rule: f for f in contact_findings(given, contact_fields(given)) if "mc-front" in f.about}

    assert judged()["entry.contact-on-steel"].outcome is Outcome.NOT_DECIDED
    assert judged(gap_m=0.001)["entry.contact-gap"].outcome is Outcome.MET
    assert judged(gap_m=0.006)["entry.contact-gap"].outcome is Outcome.NOT_MET
    assert judged(gap_m=0.004, spacer_m=0.01)["entry.contact-gap"].outcome is Outcome.MET


def test_a_contact_in_the_field_reversal_never_operates() -> None:
    given = moved("mc-front", settings={"offset_m": 0.016})
    found = [f for f in contact_findings(given, contact_fields(given)) if f.rule == "entry.contact-gap"]
    assert [f.outcome for f in found] == [Outcome.NOT_MET]


def test_the_client_is_told_nothing_of_magnets() -> None:
    found = contact_findings(scheme(), contact_fields(scheme()))
    magnet = next(f for f in found if f.rule == "attack.foreign-magnet")
    assert magnet.outcome is Outcome.NOT_MET
    assert not [f.plain for f in found if "magnet" in f.plain.lower()]


def beams(run: float = 2.5, response: float | None = None, **premises: object) -> dict[str, Finding]:
    base = design()
    beam = Device(id="pb", kind="photo-beam", storey_id="g", position=(3.2, 6.0), height_m=0.8, heading_rad=0.0)
    catalogue = scheme().catalogue
    if response is not None:
        kind = catalogue.kinds["photo-beam"]
        figure = kind.figures["response_s"].model_copy(update={"value": response})
        kind = kind.model_copy(update={"figures": {**kind.figures, "response_s": figure}})
        catalogue = catalogue.model_copy(update={"kinds": {**catalogue.kinds, "photo-beam": kind}})
    given = replace(
        scheme(),
        design=base.model_copy(update={"devices": (*base.devices, beam)}),
        premises=house().model_copy(update=premises),
        brief=Brief(intruder_run_m_s=run),
        catalogue=catalogue,
    )
    return {f.rule: f for f in beam_findings(beam_reserves(given))}


def test_a_beam_across_the_room_has_light_to_spare_and_catches_a_runner() -> None:
    found = beams()
    assert {f.outcome for f in found.values()} == {Outcome.MET}
    assert "7 m" in found["nuisance.beam-gain"].explanation
    assert beams(run=6.0, response=0.2)["route.beam-catches-runner"].outcome is Outcome.NOT_MET


def test_what_stands_in_a_beam_is_told() -> None:
    plant = Obstacle(id="plant", name="Plant", storey_id="g", outline=((6, 5.9), (6.4, 5.9), (6.4, 6.2)), height_m=1.2)
    found = beams(obstacles=(plant,))["nuisance.beam-clear"]
    assert found.outcome is Outcome.NOT_MET
    assert "plant" in found.about
