"""A small invented house with a wired system, for tests: two rooms below, one above."""

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.devices import Backup, Device, Feed, Loop, Resistor, Scheme
from wardwright.design.programme import (
    Area,
    Dependency,
    Output,
    Programme,
    ReportingPath,
    Timers,
    Zone,
    ZoneResponse,
)
from wardwright.design.system import Design, ProtectionScheme
from wardwright.premises.fabric import Room, RoomUse, Stair, Storey, Wall
from wardwright.premises.life import Target
from wardwright.premises.model import Premises
from wardwright.premises.openings import OUTSIDE, Glazing, Leaf, Movement, OnWall, Opening, OpeningKind


def house() -> Premises:
    """Hall 3 m × 8 m, living room 7 m × 8 m, one bedroom above."""
    walls = {
        "west": ((0, 0), (0, 8)),
        "north": ((0, 8), (10, 8)),
        "east": ((10, 8), (10, 0)),
        "south": ((10, 0), (0, 0)),
    }
    return Premises(
        name="Invented house",
        storeys=(
            Storey(id="g", name="Ground floor", elevation_m=0.0, height_m=2.6),
            Storey(id="u", name="Upper floor", elevation_m=2.9, height_m=2.5),
        ),
        walls=(
            *(Wall(id=f"g-{n}", storey_id="g", axis=a, thickness_m=0.3, outside=True) for n, a in walls.items()),
            *(Wall(id=f"u-{n}", storey_id="u", axis=a, thickness_m=0.3, outside=True) for n, a in walls.items()),
            Wall(id="g-mid", storey_id="g", axis=((3, 0), (3, 8)), thickness_m=0.12, outside=False),
        ),
        rooms=(
            Room(id="hall", name="Hall", storey_id="g", outline=((0, 0), (3, 0), (3, 8), (0, 8)), use=RoomUse.HALL),
            Room(
                id="living",
                name="Living",
                storey_id="g",
                outline=((3, 0), (10, 0), (10, 8), (3, 8)),
                use=RoomUse.LIVING,
            ),
            Room(
                id="bed", name="Bedroom", storey_id="u", outline=((0, 0), (10, 0), (10, 8), (0, 8)), use=RoomUse.BEDROOM
            ),
        ),
        openings=(
            Opening(
                id="front",
                name="Front door",
                kind=OpeningKind.DOOR,
                place=OnWall(wall_id="g-west", offset_m=2.0),
                width_m=1.0,
                height_m=2.1,
                sill_m=0.0,
                sides=(OUTSIDE, "hall"),
                final_exit=True,
                leaves=(Leaf(id="front-leaf", movement=Movement.HINGED, width_m=1.0),),
            ),
            Opening(
                id="window",
                name="Living window",
                kind=OpeningKind.WINDOW,
                place=OnWall(wall_id="g-south", offset_m=3.0),
                width_m=1.6,
                height_m=1.3,
                sill_m=0.9,
                sides=(OUTSIDE, "living"),
                leaves=(Leaf(id="window-leaf", movement=Movement.HINGED, width_m=1.6, glazing=Glazing()),),
            ),
            Opening(
                id="inner",
                name="Inner door",
                kind=OpeningKind.DOOR,
                place=OnWall(wall_id="g-mid", offset_m=4.0),
                width_m=0.9,
                height_m=2.0,
                sill_m=0.0,
                sides=("hall", "living"),
                leaves=(Leaf(id="inner-leaf", movement=Movement.HINGED, width_m=0.9),),
            ),
        ),
        stairs=(
            Stair(id="stair", name="Stair", lower_storey_id="g", upper_storey_id="u", foot=(1.5, 5), head=(1.5, 7)),
        ),
        targets=(Target(id="jewels", name="Jewellery", room_id="bed", position=(8, 6), worth="high"),),
    )


def _loop(key: str, *contacts: str, scheme: Scheme = Scheme.DOUBLE) -> Loop:
    resistors = (
        Resistor(role="end of line", ohm=2200, at=contacts[-1]),
        *(Resistor(role="alarm", ohm=6800, at=c) for c in contacts),
    )
    return Loop(id=key, at="panel", scheme=scheme, contacts=contacts, resistors=resistors)


def design() -> Design:
    """Contact on each way in, motion detector in hall and living room, keypad in the hall, panel upstairs."""
    areas = ("house",)
    return Design(
        devices=(
            Device(id="panel", kind="panel-8", storey_id="u", position=(9.7, 4), height_m=1.6),
            Device(id="keypad", kind="keypad", storey_id="g", position=(0.3, 3.5), height_m=1.3),
            Device(
                id="mc-front",
                kind="contact-surface",
                storey_id="g",
                position=(0.2, 2.4),
                height_m=2.1,
                opening_id="front",
                leaf_id="front-leaf",
            ),
            Device(
                id="mc-window",
                kind="contact-surface",
                storey_id="g",
                position=(7, 0.2),
                height_m=2.1,
                opening_id="window",
                leaf_id="window-leaf",
            ),
            Device(id="pir-hall", kind="pir-wide", storey_id="g", position=(0.3, 7.7), height_m=2.2, heading_rad=-0.8),
            Device(
                id="pir-living", kind="pir-wide", storey_id="g", position=(9.7, 7.7), height_m=2.2, heading_rad=-2.4
            ),
            Device(id="gb-living", kind="glass-break", storey_id="g", position=(6, 4), height_m=2.5),
            Device(id="inner-sounder", kind="sounder-inner", storey_id="u", position=(5, 4), height_m=2.3),
            Device(id="outer-sounder", kind="sounder-outer", storey_id="u", position=(0, 5), height_m=1.5),
            Device(id="communicator", kind="communicator-dual", storey_id="u", position=(9.6, 4), height_m=1.6),
        ),
        loops=(
            _loop("l-front", "mc-front"),
            _loop("l-window", "mc-window"),
            _loop("l-hall", "pir-hall"),
            _loop("l-living", "pir-living"),
            _loop("l-glass", "gb-living"),
        ),
        feeds=tuple(
            Feed(id=f"f-{d}", from_id="panel", to_id=d, length_m=12.0, conductor_area_m2=0.22e-6)
            for d in ("keypad", "pir-hall", "pir-living", "gb-living", "inner-sounder", "outer-sounder", "communicator")
        ),
        backups=(Backup(at="panel", kind="battery-7ah"),),
        programme=Programme(
            areas=(Area(id="house", name="House"),),
            zones=(
                Zone(
                    id="z1",
                    number=1,
                    name="Front door",
                    area_ids=areas,
                    response=ZoneResponse.ENTRY_EXIT,
                    loop_id="l-front",
                    device_ids=("mc-front",),
                ),
                Zone(
                    id="z2",
                    number=2,
                    name="Living window",
                    area_ids=areas,
                    response=ZoneResponse.PERIMETER,
                    loop_id="l-window",
                    device_ids=("mc-window",),
                ),
                Zone(
                    id="z3",
                    number=3,
                    name="Hall",
                    area_ids=areas,
                    response=ZoneResponse.INTERIOR_FOLLOWER,
                    loop_id="l-hall",
                    device_ids=("pir-hall",),
                    set_with_people_inside=False,
                ),
                Zone(
                    id="z4",
                    number=4,
                    name="Living",
                    area_ids=areas,
                    response=ZoneResponse.INTERIOR,
                    loop_id="l-living",
                    device_ids=("pir-living",),
                    set_with_people_inside=False,
                ),
                Zone(
                    id="z5",
                    number=5,
                    name="Living glass",
                    area_ids=areas,
                    response=ZoneResponse.PERIMETER,
                    loop_id="l-glass",
                    device_ids=("gb-living",),
                ),
            ),
            timers=Timers(entry_s=30, exit_s=60, bell_s=600),
            outputs=(Output(device_id="inner-sounder"), Output(device_id="outer-sounder")),
            paths=(
                ReportingPath(
                    id="p-ip",
                    kind="ip",
                    device_id="communicator",
                    category="DP3",
                    hangs_on=(Dependency(name="Router", kind="router"),),
                ),
                ReportingPath(id="p-cell", kind="cellular", device_id="communicator", category="DP3", priority=2),
            ),
            entry_path_keypad_ids=("keypad",),
        ),
    )


def scheme(profile: Profile = Profile.EU_GRADE_2, **brief: object) -> ProtectionScheme:
    """The whole of it."""
    return ProtectionScheme(
        premises=house(), design=design(), catalogue=load_catalogue(), brief=Brief(profile=profile, **brief)
    )
