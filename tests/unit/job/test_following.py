"""Nothing is left that names what was removed."""

from tests.house import design, house

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.check import check_design
from wardwright.design.system import ProtectionScheme
from wardwright.job.following import followed
from wardwright.job.model import Job
from wardwright.job.moves import Remove, moved

JOB = Job(id="job", title="Invented", premises=house(), design=design())


def removed(place: str, key: str) -> Job:
    return followed(JOB, moved(JOB, [Remove(do="remove", place=place, id=key)]))


def problems(job: Job) -> list[str]:
    found = check_design(ProtectionScheme(job.premises, job.design, load_catalogue(), Brief()))
    return [f"{p.where}: {p.what}" for p in found if p.severity == "error"]


def test_a_device_takes_its_loop_feed_and_zone_with_it() -> None:
    after = removed("design.devices", "pir-living")
    assert "l-living" not in {loop.id for loop in after.design.loops}
    assert "pir-living" not in {f.to_id for f in after.design.feeds}
    assert "z4" not in {z.id for z in after.design.programme.zones}
    assert problems(after) == []


def test_a_wall_takes_its_openings_and_their_contacts_with_it() -> None:
    after = removed("premises.walls", "g-west")
    assert "front" not in {o.id for o in after.premises.openings}
    assert "mc-front" not in {d.id for d in after.design.devices}
    assert "z1" not in {z.id for z in after.design.programme.zones}


def test_a_storey_takes_all_that_stands_on_it_with_it() -> None:
    after = removed("premises.storeys", "u")
    assert {r.id for r in after.premises.rooms} == {"hall", "living"}
    assert after.premises.targets == ()
    assert after.premises.stairs == ()
    assert "panel" not in {d.id for d in after.design.devices}
    assert after.design.loops == ()


def test_an_edit_that_removes_nothing_changes_nothing_else() -> None:
    assert followed(JOB, JOB) == JOB
