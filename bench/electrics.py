"""Loops, circuits and batteries of a large building: 500 wired devices on one panel, twelve expanders and supplies."""

from bench.table import Row, best_of

from wardwright.analyses.loops import loops
from wardwright.analyses.power import power
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.devices import Backup, Device, Feed, Loop, Resistor, Scheme
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.premises.fabric import Room, Storey
from wardwright.premises.model import Premises

DEVICES = 500
ON_ONE = 40
"""Devices on each expander with its supply."""


def large_building() -> ProtectionScheme:
    """A hall of 100 m by 50 m with a detector every few metres, chained in tens along its supplies."""
    hall = Room(id="hall", name="Hall", storey_id="g", outline=((0, 0), (100, 0), (100, 50), (0, 50)))
    premises = Premises(
        name="Large building", storeys=(Storey(id="g", name="Ground floor", elevation_m=0, height_m=4),), rooms=(hall,)
    )
    devices = [Device(id="panel", kind="panel-16-grade-3", storey_id="g", position=(1, 1), height_m=1.6)]
    made: list[Loop] = []
    feeds: list[Feed] = []
    zones: list[Zone] = []
    backups = [Backup(at="panel", kind="battery-17ah")]
    for n in range(DEVICES):
        bank, place = divmod(n, ON_ONE)
        expander, supply = f"ex-{bank}", f"psu-{bank}"
        x, y = 2.0 + (n % 50) * 1.9, 3.0 + (n // 50) * 4.0
        if place == 0:
            devices.append(Device(id=expander, kind="expander-8", storey_id="g", position=(x, y), height_m=1.8))
            devices.append(Device(id=supply, kind="supply-2a", storey_id="g", position=(x + 0.3, y), height_m=1.8))
            backups.append(Backup(at=supply, kind="battery-17ah"))
            feeds.append(Feed(id=f"f-{expander}", from_id=supply, to_id=expander, length_m=1.0))
        key = f"pir-{n}"
        devices.append(Device(id=key, kind="pir-wide", storey_id="g", position=(x, y), height_m=2.4))
        before = supply if place % 10 == 0 else f"pir-{n - 1}"
        feeds.append(Feed(id=f"f-{key}", from_id=before, to_id=key, length_m=8.0, conductor_area_m2=0.5e-6))
        made.append(
            Loop(
                id=f"l-{n}",
                at=expander,
                scheme=Scheme.DOUBLE,
                contacts=(key,),
                resistors=(
                    Resistor(role="end of line", ohm=2200, at=key),
                    Resistor(role="alarm", ohm=6800, at=key),
                ),
            )
        )
        zones.append(
            Zone(
                id=f"z-{n}",
                number=n + 1,
                name=key,
                area_ids=("all",),
                response=ZoneResponse.INTERIOR,
                loop_id=f"l-{n}",
                device_ids=(key,),
            )
        )
    programme = Programme(areas=(Area(id="all", name="All"),), zones=tuple(zones))
    design = Design(
        devices=tuple(devices), loops=tuple(made), feeds=tuple(feeds), backups=tuple(backups), programme=programme
    )
    return ProtectionScheme(premises, design, load_catalogue(), Brief(profile=Profile.EU_GRADE_3))


def rows() -> list[Row]:
    """Measure."""
    building = large_building()
    supply, inputs = best_of(3, lambda: power(building)), best_of(3, lambda: loops(building))
    count = len(building.design.devices)
    return [
        Row(f"supply of {count} devices", f"{supply:.2f} s"),
        Row(f"{len(building.design.loops)} loops", f"{inputs:.2f} s"),
        Row("supply and loops together", f"{supply + inputs:.2f} s", aim="under 1 s"),
    ]
