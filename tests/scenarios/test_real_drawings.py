"""Plans of buildings nobody here drew: everything named, in scale, tags apart."""

from pathlib import Path
from xml.etree import ElementTree

import pytest

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.devices import Device
from wardwright.design.system import Design, ProtectionScheme
from wardwright.documents.drawing import plan_drawing
from wardwright.documents.frame import A3, TABLOID, Box, Paper
from wardwright.documents.sheet import TitleBlock
from wardwright.intake.open_file import read_premises
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import storey_plans

SVG = "{http://www.w3.org/2000/svg}"


def densely_fitted(path: Path, profile: Profile) -> ProtectionScheme:
    """A contact on every way in and a motion detector in every room: more than anybody would fit."""
    premises = read_premises(path).premises
    devices = []
    for storey_id, plan in storey_plans(premises).items():
        for shape in plan.openings:
            if shape.opening.is_outside and shape.opening.kind in (OpeningKind.DOOR, OpeningKind.WINDOW):
                key, at = f"MC-{len(devices)}", shape.centre
                devices.append(
                    Device(
                        id=key, kind="contact-surface", storey_id=storey_id, position=at, opening_id=shape.opening.id
                    )
                )
        for room in plan.rooms:
            spot = plan.room_shapes[room.id].representative_point()
            devices.append(
                Device(id=f"PIR-{len(devices)}", kind="pir-wide", storey_id=storey_id, position=(spot.x, spot.y))
            )
    return ProtectionScheme(premises, Design(devices=tuple(devices)), load_catalogue(), Brief(profile=profile))


@pytest.mark.real
@pytest.mark.parametrize(
    ("file", "profile", "paper", "scale"),
    [
        ("house-fzk.ifc", Profile.EU_GRADE_2, A3, 50),
        ("duplex-architecture.ifc", Profile.EU_GRADE_2, A3, 100),
        ("bungalow-floorplan.dxf", Profile.US_HOME, TABLOID, 96),
    ],
)
def test_a_real_plan_fits_its_sheet(
    shared_premises: Path, file: str, profile: Profile, paper: Paper, scale: int
) -> None:
    scheme = densely_fitted(shared_premises / file, profile)
    sheet = Box(0, 0, paper.width_mm, paper.height_mm)
    for storey in scheme.premises.storeys:
        rooms = [r for r in scheme.premises.rooms if r.storey_id == storey.id]
        if not rooms:
            continue
        block = TitleBlock("Firm", file, "", "Devices", storey.name, "2026-01-02", "draft", "x")
        drawing = plan_drawing(scheme, storey.id, paper=paper, block=block)
        assert drawing.scale == scale
        boxes = drawing.tag_boxes
        assert len(boxes) == sum(d.storey_id == storey.id for d in scheme.fitted)
        assert all(b.inside(sheet) for b in boxes)
        assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])
        words = " ".join("".join(t.itertext()) for t in ElementTree.fromstring(drawing.svg).iter(f"{SVG}text"))
        for room in rooms:
            assert all(part in words for part in room.name.split()), room.name
