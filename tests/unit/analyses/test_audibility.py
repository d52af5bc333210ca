"""The alarm at beds and rooms of the small invented house."""

from dataclasses import replace

import pytest
from tests.house import design, house, scheme

from wardwright.analyses.audibility import SoundAt, audibility
from wardwright.design.brief import Brief, Profile, Reading
from wardwright.design.system import ProtectionScheme
from wardwright.premises.life import Bed
from wardwright.rules.aims.audible import audible_findings


def slept(at: tuple[float, float] = (9.0, 7.0), **changes: object) -> ProtectionScheme:
    beds = (Bed(id="bed-1", room_id="bed", position=at, sleepers=2),)
    return replace(scheme(), premises=house().model_copy(update={"beds": beds}), **changes)


def at_bed(given: ProtectionScheme) -> SoundAt:
    (told,) = audibility(given).of("bed")
    return told


def test_a_sounder_in_the_room_wakes_and_one_below_is_fainter() -> None:
    here = at_bed(slept())
    base = design()
    devices = tuple(
        d.model_copy(update={"storey_id": "g", "position": (9.0, 7.0)}) if d.id == "inner-sounder" else d
        for d in base.devices
    )
    below = at_bed(slept(design=base.model_copy(update={"devices": devices})))
    assert here.interval_db[0] > 75.0
    assert below.level_db < here.level_db - 5.0


def test_nearer_is_never_fainter() -> None:
    levels = [at_bed(slept(at=(x, 4.0))).level_db for x in (5.5, 6.5, 8.0, 9.5)]
    assert levels == sorted(levels, reverse=True)


def test_a_shut_door_makes_the_living_room_fainter() -> None:
    base = house()
    shut = base.model_copy(
        update={
            "openings": tuple(o.model_copy(update={"usually": "shut"}) if o.id == "inner" else o for o in base.openings)
        }
    )
    found = []
    for premises in (base, shut):
        rooms = {p.id: p for p in audibility(replace(scheme(), premises=premises)).of("room")}
        found.append(rooms["living"])
    assert found[1].level_db < found[0].level_db
    assert found[1].open_db == pytest.approx(found[0].open_db)


def test_only_sounders_that_sound_for_intruders_count() -> None:
    base = design()
    programme = base.programme.model_copy(update={"outputs": ()})
    silent = replace(scheme(), design=base.model_copy(update={"programme": programme}))
    assert audibility(silent).places == ()
    assert audible_findings(silent, audibility(silent)) == ()


def test_a_measured_level_replaces_the_prediction_and_one_that_cannot_be_is_told() -> None:
    def reading(level: float) -> tuple[Reading, ...]:
        return (Reading(id="r", quantity="sound level", at="bed-1", value=level, unit="dB", date="2026-02-03",
                        instrument="sound level meter", uncertainty=1.5),)  # fmt: skip

    predicted = at_bed(slept()).level_db
    near = audibility(slept(readings=reading(predicted - 3.0)))
    assert near.of("bed")[0].measured
    assert near.of("bed")[0].level_db == pytest.approx(predicted - 3.0)
    assert near.compared[0].explained
    far = slept(readings=reading(50.0))
    rules = {f.rule: f for f in audible_findings(far, audibility(far))}
    assert rules["living.alarm-wakes"].outcome.value == "not met"
    assert rules["site.reading-explained"].outcome.value == "not decided"


def test_the_target_is_the_briefs_or_the_profiles() -> None:
    given = slept()
    usual = next(f for f in audible_findings(given, audibility(given)) if f.rule == "living.alarm-wakes")
    assert usual.limit == 75.0 and "BS5839" in usual.citation
    american = replace(given, brief=Brief(profile=Profile.US_HOME, pillow_level_db=85.0))
    asked = next(f for f in audible_findings(american, audibility(american)) if f.rule == "living.alarm-wakes")
    assert asked.limit == 85.0 and asked.citation == "the brief"


def test_a_party_wall_has_a_neighbour_behind_it() -> None:
    base = house()
    walls = tuple(w.model_copy(update={"party": True}) if w.id == "u-east" else w for w in base.walls)
    given = replace(scheme(), premises=base.model_copy(update={"walls": walls}))
    (next_door,) = audibility(given).of("next door")
    bedroom = next(p for p in audibility(given).of("room") if p.id == "bed")
    assert next_door.level_db < bedroom.level_db - 40.0
    finding = next(f for f in audible_findings(given, audibility(given)) if f.rule == "nuisance.next-door")
    assert finding.outcome.value == "not decided"
