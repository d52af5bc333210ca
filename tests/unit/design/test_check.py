import pytest
from tests.house import design, house, scheme

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Reading
from wardwright.design.check import check_design
from wardwright.design.devices import Backup, Cable, Device, Feed, RadioLink
from wardwright.design.programme import ReportingPath, Right, Timers
from wardwright.design.system import ProtectionScheme
from wardwright.estimate.offers import offers
from wardwright.estimate.tariff import load_tariff
from wardwright.premises.check import check_premises

CLEANER = Right(id="r", holder="cleaner", area_ids=("house",), may=("set",))


def problems(premises=None, **changes):
    whole = scheme()
    changed = design().model_copy(update=changes)
    return check_design(ProtectionScheme(premises or house(), changed, whole.catalogue, whole.brief))


def programme(**changes):
    return {"programme": design().programme.model_copy(update=changes)}


def device(key, **changes):
    return {"devices": tuple(d.model_copy(update=changes) if d.id == key else d for d in design().devices)}


def zone(key, **changes):
    zones = design().programme.zones
    return programme(zones=tuple(z.model_copy(update=changes) if z.id == key else z for z in zones))


def loop(key, **changes):
    return {"loops": tuple(x.model_copy(update=changes) if x.id == key else x for x in design().loops)}


def test_sound_design_has_no_problem():
    assert check_design(scheme()) == ()


@pytest.mark.parametrize(
    ("changes", "where", "words"),
    [
        (device("keypad", kind="no-such"), "keypad", "catalogue does not have"),
        (device("keypad", kind="battery-7ah"), "keypad", "not placed on the plan"),
        (device("keypad", storey_id="attic"), "keypad", "on the storey “attic”"),
        (device("keypad", position=(40.15, 3.0)), "keypad", "30.0 m outside the building"),
        (device("keypad", height_m=9.0), "keypad", "above a ceiling of 2.60 m"),
        (device("keypad", room_id="cellar"), "keypad", "in the room “cellar”"),
        (device("mc-front", opening_id="back"), "mc-front", "sits on the opening “back”"),
        (device("mc-front", opening_id=None, leaf_id=None), "mc-front", "a contact and sits on no opening"),
        (device("mc-front", leaf_id="window-leaf"), "mc-front", "the leaf “window-leaf”, which “Front door” has not"),
        (zone("z1", loop_id=None, device_ids=()), "z1", "zone 1 “Front door” has no device"),
        (zone("z2", number=1), "z2", "zone number 1 stands twice"),
        (zone("z2", area_ids=("barn",)), "z2", "the area “barn”"),
        (zone("z2", loop_id="l-nowhere"), "z2", "the loop “l-nowhere”"),
        (zone("z2", loop_id="l-front"), "z2", "is zone 1 and zone 2"),
        (zone("z2", device_ids=("ghost",)), "z2", "hears “ghost”"),
        (zone("z2", cross_zone_id="z2"), "z2", "crossed with"),
        (loop("l-front", contacts=("ghost",)), "l-front", "runs through “ghost”"),
        (loop("l-front", contacts=("mc-window",)), "l-window", "on this loop and on “l-front”"),
        (loop("l-front", at="keypad"), "l-front", "is a keypad and has no inputs"),
        (loop("l-front", cable_ids=("c9",)), "l-front", "in the cable “c9”"),
        (
            {"backups": (Backup(at="panel", kind="battery-34ah"),)},
            "panel",
            "34 Ah of battery stand in an enclosure for 7",
        ),
        ({"backups": (Backup(at="keypad", kind="battery-7ah"),)}, "keypad", "which is a keypad"),
        ({"backups": (Backup(at="panel", kind="keypad"),)}, "panel", "its battery is “keypad”"),
        ({"cables": (Cable(id="c", from_id="panel", to_id="keypad", length_m=2.0),)}, "c", "2.0 m long between two"),
        ({"cables": (Cable(id="c", from_id="panel", to_id="ghost"),)}, "c", "ends at “ghost”"),
        ({"radio": (RadioLink(device_id="keypad", receiver_id="panel"),)}, "keypad", "is no radio device"),
        ({"radio": (RadioLink(device_id="keypad", receiver_id="panel"),)}, "keypad", "receives nothing"),
        (programme(timers=Timers(entry_s=3600)), "programme", "the entry time is 3600 s"),
        (programme(timers=Timers(entry_s=0)), "house", "an entry time of 0 s"),
        (programme(paths=(ReportingPath(id="p", kind="ip", device_id="ghost"),)), "p", "has no communicator"),
        (programme(paths=(ReportingPath(id="p", kind="ip", device_id="keypad"),)), "p", "which is a keypad"),
        (programme(entry_path_keypad_ids=("pir-hall",)), "pir-hall", "which is no keypad"),
        (
            programme(rights=(CLEANER.model_copy(update={"from_time": "25:00"}),)),
            "r",
            "“25:00”",
        ),
        (
            programme(rights=(CLEANER.model_copy(update={"expires": "soon"}),)),
            "r",
            "“soon”",
        ),
    ],
)
def test_each_fault_is_named_in_plain_words(changes, where, words):
    found = [p for p in problems(**changes) if p.where == where and words in p.what]
    assert len(found) == 1
    assert found[0].expected


def test_circle_in_the_supply():
    feeds = (
        Feed(id="f1", from_id="panel", to_id="keypad"),
        Feed(id="f2", from_id="keypad", to_id="pir-hall"),
        Feed(id="f3", from_id="pir-hall", to_id="keypad"),
    )
    assert [p.what for p in problems(feeds=feeds)] == ["the supply runs in a circle: keypad → pir-hall → keypad"]


def test_ring_closed_at_the_panel_is_no_circle():
    feeds = (
        Feed(id="f1", from_id="panel", to_id="keypad"),
        Feed(id="f2", from_id="keypad", to_id="pir-hall"),
        Feed(id="f3", from_id="pir-hall", to_id="panel"),
    )
    assert problems(feeds=feeds) == ()


def test_empty_battery_is_refused_by_the_catalogue_already():
    rows = "kind,figure,value,unit,source,note\nbattery-7ah,capacity_ah,0,Ah,x,\n"
    with pytest.raises(ValueError, match="outside what capacity_ah can be"):
        load_catalogue(rows)


def test_id_that_stands_twice():
    twice = (*design().devices, Device(id="l-front", kind="keypad", storey_id="g", position=(1, 1), height_m=1.3))
    assert [p.where for p in problems(devices=twice)] == ["l-front"]


def test_too_many_loops_for_the_panel():
    extra = tuple(design().loops[0].model_copy(update={"id": f"x{n}", "contacts": ()}) for n in range(5))
    found = problems(loops=(*design().loops, *extra))
    assert [p.what for p in found] == ["10 loops end on “panel”, which has 8 inputs"]


def test_sender_and_receiver_on_different_bands():
    devices = (
        *design().devices,
        Device(id="rx", kind="receiver", storey_id="g", position=(5, 5), height_m=2.0),
        Device(id="pir-433", kind="pir-wide-radio-433", storey_id="g", position=(5, 7), height_m=2.2),
    )
    found = problems(devices=devices, radio=(RadioLink(device_id="pir-433", receiver_id="rx"),))
    assert ["433.92 MHz" in p.what and "868.65 MHz" in p.what for p in found] == [True]


def test_reading_taken_nowhere():
    whole = scheme()
    reading = Reading(
        id="r1", quantity="voltage", at="ghost", value=12.0, unit="V", date="2024-05-01", instrument="meter"
    )
    found = check_design(ProtectionScheme(whole.premises, whole.design, whole.catalogue, whole.brief, (reading,)))
    assert [(p.where, p.severity) for p in found] == [("r1", "impossible")]


def change(group, key, **changes):
    items = getattr(house(), group)
    return house().model_copy(update={group: tuple(i.model_copy(update=changes) if i.id == key else i for i in items)})


@pytest.mark.parametrize(
    ("premises", "where", "words"),
    [
        (change("rooms", "hall", outline=((0, 0), (3, 8), (3, 0), (0, 8))), "hall", "crosses itself"),
        (change("rooms", "hall", outline=((0, 0), (300, 0), (300, 8), (0, 8))), "hall", "300 m by 8 m"),
        (change("rooms", "hall", temperature_min_c=25.0, temperature_max_c=10.0), "hall", "never colder than 25"),
        (change("walls", "g-west", axis=((0, 0), (0, 0))), "g-west", "has no length"),
        (change("walls", "g-west", storey_id="cellar"), "g-west", "on the storey “cellar”"),
        (change("walls", "g-west", construction_id="straw"), "g-west", "built as “straw”"),
        (change("openings", "front", width_m=9.0), "front", "9.00 m wide in a wall 8.00 m long"),
        (change("openings", "front", sides=("outside", "attic")), "front", "leads to the room “attic”"),
        (change("openings", "front", id="window"), "window", "two openings carry the id"),
        (change("targets", "jewels", room_id="vault"), "jewels", "in the room “vault”"),
        (change("targets", "jewels", position=(50.0, 6.0)), "jewels", "40.0 m outside its room"),
        (change("stairs", "stair", upper_storey_id="g"), "stair", "starts and ends on one storey"),
    ],
)
def test_each_fault_of_the_building_is_named(premises, where, words):
    found = [p for p in check_premises(premises) if p.where == where and words in p.what]
    assert len(found) == 1


def test_offers_are_sound_designs():
    whole = scheme()
    for offer in offers(whole.design, whole.catalogue, tariff=load_tariff(), premises=whole.premises):
        varied = ProtectionScheme(whole.premises, offer.design, whole.catalogue, whole.brief)
        assert check_design(varied) == ()
