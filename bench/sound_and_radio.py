"""Sound, breaking glass, contacts and radio of the invented house, warm."""

import os
import tempfile
from pathlib import Path

from bench.table import Row, best_of

from wardwright.analyses.audibility import audibility
from wardwright.analyses.contact_field import contact_fields
from wardwright.analyses.glass_hearing import glass_hearings
from wardwright.analyses.mode import Mode
from wardwright.analyses.radio import radio
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.devices import Device, RadioLink
from wardwright.design.sheet import design_from_sheet
from wardwright.design.system import ProtectionScheme
from wardwright.job.from_file import job_from_file
from wardwright.premises.notes import with_notes

DEMO = Path(__file__).resolve().parent.parent / "demo"
RADIOS = 32


def orchard_lane() -> ProtectionScheme:
    """The invented house with its design."""
    from demo.write_ifc import write_ifc

    os.environ.setdefault("WARDWRIGHT_CACHE", "off")
    with tempfile.TemporaryDirectory() as folder:
        drawing = Path(folder) / "orchard-lane.ifc"
        write_ifc(drawing)
        job = job_from_file(drawing, key="bench", title="Orchard Lane (invented)")
    premises = with_notes(job.premises, (DEMO / "orchard-lane.survey.toml").read_text(encoding="utf-8"))
    catalogue = load_catalogue()
    design = design_from_sheet((DEMO / "orchard-lane.design.toml").read_text(encoding="utf-8"), premises, catalogue)
    return ProtectionScheme(premises, design, catalogue, Brief(profile=Profile.EU_GRADE_2))


def with_radio(scheme: ProtectionScheme) -> ProtectionScheme:
    """The same with a receiver and radio devices spread over the house."""
    storey = scheme.premises.rooms[0].storey_id
    receiver = Device(id="rx", kind="receiver", storey_id=storey, position=(1.0, 1.0), height_m=1.6)
    senders = tuple(
        Device(
            id=f"tx-{n}",
            kind="pir-wide-radio",
            storey_id=scheme.premises.rooms[n % len(scheme.premises.rooms)].storey_id,
            position=(1.0 + 1.2 * (n % 8), 1.0 + 1.6 * (n // 8)),
            height_m=2.2,
        )
        for n in range(RADIOS)
    )
    links = tuple(RadioLink(device_id=s.id, receiver_id="rx") for s in senders)
    design = scheme.design.model_copy(update={"devices": (*scheme.design.devices, receiver, *senders), "radio": links})
    return ProtectionScheme(scheme.premises, design, scheme.catalogue, scheme.brief)


def rows() -> list[Row]:
    """Measure."""
    house = orchard_lane()
    air = with_radio(house)
    works = {
        "sound at beds, rooms, street": lambda: audibility(house),
        "breaking glass, both modes": lambda: [glass_hearings(house, mode) for mode in Mode],
        "contacts": lambda: contact_fields(house),
        f"{RADIOS} radio links": lambda: radio(air),
    }
    took = {name: best_of(3, work) for name, work in works.items()}
    return [
        *(Row(name, f"{1000 * seconds:.0f} ms") for name, seconds in took.items()),
        Row("sound, glass, contacts and radio together", f"{sum(took.values()):.2f} s", aim="part of 0.3 s"),
    ]
