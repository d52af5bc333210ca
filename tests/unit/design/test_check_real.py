"""Real buildings as they are taken in have nothing broken in them, and the rules can be held against them."""

import pytest

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.check import check_design
from wardwright.design.devices import Device
from wardwright.design.system import Design, ProtectionScheme
from wardwright.intake.open_file import read_premises
from wardwright.rules.evidence import Evidence
from wardwright.rules.judge import rule_findings


@pytest.mark.real
@pytest.mark.parametrize("name", ["house-fzk.ifc", "duplex-architecture.ifc", "bungalow-floorplan.dxf"])
def test_real_building(shared_premises, name):
    premises = read_premises(shared_premises / name).premises
    room = next(r for r in premises.rooms if r.indoors)
    spot = room.outline[0]
    keypad = Device(id="test-keypad", kind="keypad", storey_id=room.storey_id, position=spot, height_m=1.3)
    far = keypad.model_copy(update={"id": "test-far", "position": (spot[0] + 500.0, spot[1])})
    for profile in Profile:
        scheme = ProtectionScheme(premises, Design(devices=(keypad,)), load_catalogue(), Brief(profile=profile))
        assert check_design(scheme) == ()
        assert rule_findings(Evidence(scheme))
    astray = ProtectionScheme(premises, Design(devices=(keypad, far)), load_catalogue(), Brief())
    assert [p.where for p in check_design(astray)] == ["test-far"]
