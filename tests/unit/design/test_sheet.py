"""A design sheet becomes devices, loops, feeds and zones; what it gets wrong is named by row."""

import pytest

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Profile
from wardwright.design.devices import Scheme
from wardwright.design.programme import Timers, ZoneResponse
from wardwright.design.sheet import design_from_sheet
from wardwright.design.timer_limits import timer_limits
from wardwright.errors import InputError
from wardwright.premises.fabric import Room, Storey, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import OnWall, Opening, OpeningKind

PREMISES = Premises(
    name="One room",
    storeys=(Storey(id="ground", name="Ground floor", elevation_m=0.0, height_m=2.4),),
    walls=(Wall(id="south", storey_id="ground", axis=((0.0, 0.0), (5.0, 0.0)), thickness_m=0.3),),
    rooms=(
        Room(id="hall", name="Hall", storey_id="ground", outline=((0.15, 0.15), (4.8, 0.15), (4.8, 4.0), (0.15, 4.0))),
    ),
    openings=(
        Opening(
            id="door",
            name="Front door",
            kind=OpeningKind.DOOR,
            place=OnWall(wall_id="south", offset_m=1.0),
            width_m=0.9,
            height_m=2.0,
            sill_m=0.0,
            sides=("hall", "outside"),
            final_exit=True,
        ),
    ),
)

SHEET = """
[wiring]
scheme = "double end of line"
end_ohm = 2200
alarm_ohm = 6800
cable = "cable-6x022"

[[device]]
id = "CP"
kind = "panel-8"
room = "hall"
battery = "battery-7ah"

[[device]]
id = "MC-1"
kind = "contact-surface"
opening = "door"
name = "Front door"

[[device]]
id = "PIR-1"
kind = "pir-wide"
room = "hall"
at = [4.6, 3.8]
facing = 225
name = "Hall"

[[device]]
id = "KP-1"
kind = "keypad"
room = "hall"
at = [2.0, 0.3]

[[device]]
id = "OS-1"
kind = "sounder-outer"
storey = "ground"
at = [3.0, -0.2]
"""


def test_a_sheet_becomes_a_whole_design() -> None:
    design = design_from_sheet(SHEET, PREMISES, load_catalogue())
    assert [d.id for d in design.devices] == ["CP", "MC-1", "PIR-1", "KP-1", "OS-1"]
    assert design.device("MC-1").position == (1.0, 0.0)
    by_zone = {z.name: z for z in design.programme.zones}
    assert by_zone["Front door"].response is ZoneResponse.ENTRY_EXIT
    assert by_zone["Hall"].response is ZoneResponse.INTERIOR_FOLLOWER
    assert not by_zone["Hall"].set_with_people_inside
    assert len(design.loops) == 2
    loop = design.loops[0]
    assert loop.scheme is Scheme.DOUBLE
    assert {(r.role, r.ohm, r.at) for r in loop.resistors} == {
        ("end of line", 2200.0, "MC-1"),
        ("alarm", 6800.0, "MC-1"),
    }
    fed = {f.to_id for f in design.feeds}
    assert {"PIR-1", "KP-1", "OS-1"} <= fed
    assert "CP" not in fed
    assert [b.at for b in design.backups] == ["CP"]
    assert [o.device_id for o in design.programme.outputs] == ["OS-1"]


def test_a_resistor_that_stays_in_the_panel_is_put_there() -> None:
    sheet = SHEET.replace("[wiring]", '[wiring]\nresistors = "in the panel"')
    design = design_from_sheet(sheet, PREMISES, load_catalogue())
    assert {r.at for loop in design.loops for r in loop.resistors} == {"CP"}


@pytest.mark.parametrize("profile", list(Profile))
def test_timers_the_sheet_leaves_out_are_the_profiles(profile: Profile) -> None:
    sheet = "[timers]\nabort_s = 17\n" + SHEET
    timers = design_from_sheet(sheet, PREMISES, load_catalogue(), profile=profile).programme.timers
    assert timers.abort_s == 17.0
    for name, limit in timer_limits(profile).items():
        if name != "abort_s":
            assert getattr(timers, name) == limit.default_s
    assert timers.mains_fail_delay_s == Timers().mains_fail_delay_s  # no profile speaks of it


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ('kind = "pir-wide"', 'kind = "pir-wiide"', r"PIR-1.*pir-wiide"),
        ('opening = "door"', 'opening = "dor"', r"MC-1.*no opening is called “dor”"),
        ('room = "hall"\nat = [4.6', 'room = "hal"\nat = [4.6', r"PIR-1.*no room is called “hal”"),
        ("facing = 225", 'facing = "left"', r"PIR-1.*facing"),
        ("[wiring]", "[wirring]", r"wirring"),
        ("end_ohm = 2200", "end_ohm = -1", r"end_ohm"),
        ('storey = "ground"\nat = [3.0, -0.2]', "", r"OS-1.*give the opening"),
        ("[[device]]", "[device", r"not a design sheet"),
    ],
)
def test_what_cannot_be_used_is_named_by_row(before: str, after: str, says: str) -> None:
    assert before in SHEET
    with pytest.raises(InputError, match=says):
        design_from_sheet(SHEET.replace(before, after), PREMISES, load_catalogue(), where="x.toml")
