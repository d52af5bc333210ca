"""What is not wired yet is wired by the usual rules; what is settled stays."""

from tests.house import design, house

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.check import check_design
from wardwright.design.system import Design, ProtectionScheme
from wardwright.design.wiring_up import wired_up


def test_devices_alone_become_a_design_without_a_broken_reference() -> None:
    bare = Design(devices=design().devices)
    whole = wired_up(bare, house(), load_catalogue(), Profile.EU_GRADE_2)
    scheme = ProtectionScheme(house(), whole, load_catalogue(), Brief())
    assert not [p for p in check_design(scheme) if p.severity == "error"]
    zoned = {d for z in whole.programme.zones for d in z.device_ids}
    assert zoned == {"mc-front", "mc-window", "pir-hall", "pir-living", "gb-living"}
    assert {f.to_id for f in whole.feeds} >= {"keypad", "pir-hall", "inner-sounder", "communicator"}
    assert [b.at for b in whole.backups] == ["panel"]
    assert {p.kind for p in whole.programme.paths} == {"ip", "cellular"}
    assert next(z for z in whole.programme.zones if "mc-front" in z.device_ids).response == "entry/exit"


def test_what_is_settled_stays_and_doing_it_twice_changes_nothing() -> None:
    was = design()
    once = wired_up(was, house(), load_catalogue(), Profile.EU_GRADE_2)
    assert once.loops == was.loops
    assert once.programme.zones == was.programme.zones
    assert wired_up(once, house(), load_catalogue(), Profile.EU_GRADE_2) == once


def test_one_more_device_gets_its_own_loop_and_zone() -> None:
    was = design()
    more = was.devices[4].model_copy(update={"id": "pir-new", "name": "Landing"})
    after = wired_up(
        was.model_copy(update={"devices": (*was.devices, more)}), house(), load_catalogue(), Profile.EU_GRADE_2
    )
    assert len(after.loops) == len(was.loops) + 1
    zone = after.programme.zones[-1]
    assert (zone.name, zone.number, zone.device_ids) == ("Landing", 6, ("pir-new",))
