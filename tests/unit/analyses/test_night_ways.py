"""Where people are at night, and which motion detectors they would set off: plain cases by hand."""

from dataclasses import replace

import pytest
from bench.invented_buildings import STOREY, rooms_in_rows

from wardwright.analyses.night_ways import night_ways
from wardwright.analyses.timing import TimingAnalysis
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.placement.candidates import offered
from wardwright.premises.fabric import RoomUse
from wardwright.premises.life import Bed
from wardwright.premises.model import Premises
from wardwright.rules.aims.living import living_findings


def row_of(*uses: RoomUse, bed_in: int) -> Premises:
    """Rooms of 4 m by 4 m in a row, with a bed in the middle of one."""
    plain = rooms_in_rows(len(uses), 1, 4.0, 4.0, targets=1)
    rooms = tuple(r.model_copy(update={"use": use}) for r, use in zip(plain.rooms, uses, strict=True))
    bed = Bed(id="bed", room_id=rooms[bed_in].id, position=(4.0 * bed_in + 2.0, 2.0))
    return plain.model_copy(update={"rooms": rooms, "beds": (bed,)})


HOUSE = row_of(RoomUse.OFFICE, RoomUse.BEDROOM, RoomUse.HALL, RoomUse.BATHROOM, RoomUse.LIVING, bed_in=1)


def scheme(premises: Premises, *devices: Device, inside: bool = True) -> ProtectionScheme:
    zone = Zone(
        id="z",
        number=1,
        name="Zone",
        area_ids=("all",),
        response=ZoneResponse.INTERIOR_FOLLOWER,
        device_ids=tuple(d.id for d in devices),
        set_with_people_inside=inside,
    )
    programme = Programme(areas=(Area(id="all", name="All"),), zones=(zone,))
    return ProtectionScheme(premises, Design(devices=devices, programme=programme), load_catalogue(), Brief())


def motion(x: float, y: float, heading: float) -> Device:
    return Device(id="m", kind="pir-wide", storey_id=STOREY, position=(x, y), heading_rad=heading)


def test_the_way_from_bed_to_bathroom() -> None:
    ways = night_ways(HOUSE)
    assert ways is not None
    assert ways.room_ids == {"r01", "r02", "r03"}, "the hall between is walked at night, the rooms at both ends are not"
    places = ways.places[STOREY]
    assert places[:, 0].min() >= 5.5
    assert places[:, 0].max() <= 12.5 + 0.5, "the bathroom counts as reached once somebody stands in it"


def test_nobody_knows_where_people_sleep() -> None:
    assert night_ways(rooms_in_rows(3, 1, 4.0, 4.0)) is None
    assert not any(c.inside for c in offered(scheme(rooms_in_rows(2, 1, 4.0, 4.0))).candidates if c.spot[:2] == "m:")


@pytest.mark.parametrize(
    ("device", "disturbed"),
    [
        (motion(6.0, 0.1, 1.57), True),  # in the bedroom
        (motion(10.0, 0.1, 1.57), True),  # in the hall between
        (motion(0.1, 2.0, 0.0), True),  # in the office, straight at the open bedroom door
        (motion(3.8, 3.9, -2.36), False),  # in the office, with its back to that door
        (motion(19.9, 3.9, -2.36), False),  # in the living room: what it sees of the bathroom is not on the way
    ],
)
def test_what_looks_at_people_at_night(device: Device, disturbed: bool) -> None:
    ways = night_ways(HOUSE)
    assert ways is not None
    assert ways.disturb(scheme(HOUSE, device), device) is disturbed
    for inside in (True, False):
        found = living_findings(scheme(HOUSE, device, inside=inside), TimingAnalysis(()))
        told = next(f for f in found if f.rule == "living.sleep-with-it-set")
        assert told.refutes is (disturbed and inside)


def test_motion_detectors_are_offered_where_nobody_walks_at_night() -> None:
    building = replace(scheme(HOUSE), design=Design())
    watching = [c for c in offered(building).candidates if c.spot.startswith("m:")]
    ways = night_ways(HOUSE)
    assert ways is not None
    assert {c.devices[0].room_id for c in watching if c.inside} <= {"r00", "r04"}
    assert any(c.inside for c in watching)
    for candidate in watching:
        assert candidate.inside is not ways.disturb(building, candidate.devices[0])
