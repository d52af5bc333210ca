"""A surveyor's notes: records added, fields changed, mistakes named by row."""

import pytest

from wardwright.errors import InputError
from wardwright.premises.fabric import Room, Storey, Wall
from wardwright.premises.model import Premises
from wardwright.premises.notes import with_notes
from wardwright.premises.openings import GlassKind, Leaf, OnWall, Opening, OpeningKind

PREMISES = Premises(
    name="One room",
    storeys=(Storey(id="ground", name="Ground floor", elevation_m=0.0, height_m=2.4),),
    walls=(Wall(id="south", storey_id="ground", axis=((0.0, 0.0), (5.0, 0.0)), thickness_m=0.3),),
    rooms=(Room(id="hall", name="Hall", storey_id="ground", outline=((0.0, 0.0), (4.0, 0.0), (4.0, 4.0))),),
    openings=(
        Opening(
            id="window",
            name="Window",
            kind=OpeningKind.WINDOW,
            place=OnWall(wall_id="south", offset_m=1.0),
            width_m=0.9,
            height_m=1.0,
            sill_m=0.9,
            leaves=(Leaf(id="window.1"),),
        ),
    ),
)

NOTES = """
[surroundings]
country = "GB"

[[target]]
id = "till"
name = "Till"
room_id = "hall"
position = [1.0, 1.0]

[[room]]
id = "hall"
temperature_max_c = 26.0

[[leaf]]
id = "window.1"
glazing = { kind = "laminated", thickness_m = 0.0064 }
"""


def test_notes_add_records_and_change_fields() -> None:
    premises = with_notes(PREMISES, NOTES)
    assert premises.target("till").take_s == 60.0
    assert premises.room("hall").temperature_max_c == 26.0
    assert premises.room("hall").outline == PREMISES.rooms[0].outline
    glazing = premises.opening("window").leaves[0].glazing
    assert glazing is not None
    assert glazing.kind is GlassKind.LAMINATED
    assert premises.surroundings.country == "GB"
    assert with_notes(premises, NOTES) == premises


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ('id = "window.1"', 'id = "window.2"', r"window\.2.*no leaf"),
        ('id = "hall"\ntemp', 'id = "hal"\ntemp', r"hal”: nothing of that kind"),
        ("26.0", "260.0", r"hall.*temperature_max_c.*60"),
        ("[[target]]", "[[targett]]", r"targett"),
        ('kind = "laminated"', 'kind = "lamminated"', r"window\.1.*glazing\.kind"),
        ("[[room]]", "[[room", r"not a file of survey notes"),
    ],
)
def test_mistakes_are_named_by_row(before: str, after: str, says: str) -> None:
    assert before in NOTES
    with pytest.raises(InputError, match=says):
        with_notes(PREMISES, NOTES.replace(before, after), where="x.toml")
