"""The moving page is one closed file; a client's shows nothing a burglar could use."""

import base64
import hashlib
import json
import re
from dataclasses import replace

import pytest
from tests.house import scheme

from wardwright.analyses.scenario.playing import play
from wardwright.analyses.scenario.script import Act, Actor, Happening, Scenario
from wardwright.analyses.scenario.timeline import Timeline
from wardwright.design.devices import Device
from wardwright.design.programme import Zone, ZoneResponse
from wardwright.documents.client_story import ALL_IN_PERSON, client_story
from wardwright.documents.client_view import visible_devices
from wardwright.documents.playing_page import playing_page
from wardwright.errors import InputError

HOUSE = scheme()
OWNER = Actor(
    id="ines",
    name="Ines",
    right="owner",
    where="living",
    act=(Act(do="set away"), Act(do="leave", by="front"), Act(do="come in", by="front", at="09:00"), Act(do="unset")),
)


def burglar(**act: object) -> Actor:
    broke = Act.model_validate({"do": "break in", "by": "window", "to": "jewels", "at": "08:10", **act})
    return Actor(id="burglar", name="Intruder", kind="intruder", act=(broke, Act(do="leave")))


def script(*actors: Actor, **more: object) -> Scenario:
    return Scenario.model_validate({"title": "Test", "begins": "08:00", "actor": actors, **more})


def told(scenario: Scenario) -> tuple[Timeline, bool]:
    story = client_story(HOUSE, scenario, play(HOUSE, scenario))
    return story.timeline, story.left_out


def test_the_page_may_do_only_what_its_own_fingerprints_allow() -> None:
    page = playing_page(
        HOUSE, play(HOUSE, script(OWNER)), devices=HOUSE.fitted, firm=True, subtitle="<&>", invented=False
    )
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', page)
    assert policy is not None
    said = policy[1].replace("&#x27;", "'")
    assert "default-src 'none'" in said
    assert "unsafe" not in said
    for tag, directive in (("style", "style-src"), ("script", "script-src")):
        body = re.findall(rf"<{tag}>(.*?)</{tag}>", page, flags=re.DOTALL)[-1]
        print_ = base64.b64encode(hashlib.sha256(body.encode()).digest()).decode()
        assert f"{directive} 'sha256-{print_}'" in said
    assert not re.search(r"(?:src|href)=|(?<![-\w])style=|\bon\w+=|url\((?!data:)|https?://(?!www\.w3\.org)", page)


def test_an_intrusion_noticed_in_time_is_on_the_clients_page_up_to_where_it_was_noticed() -> None:
    scenario = script(OWNER, burglar())
    timeline, left_out = told(scenario)
    assert not left_out
    assert {m.who for m in timeline.moments} >= {"Ines", "Intruder"}
    whole = play(HOUSE, scenario)
    had = whole.intrusions[0].had_ms
    assert had is not None
    (track,) = [t for t in timeline.tracks if t.kind == "intruder"]
    assert max(f[0] for leg in track.legs for f in leg.frames) < had
    text = json.dumps([m.what for m in timeline.moments])
    assert "Jewellery" not in text  # neither what is worth stealing nor how the window was got open
    assert "opened" not in text


@pytest.mark.parametrize(
    "scenario",
    [
        script(burglar()),  # never set
        script(burglar(route="quietest"), set_away=["house"]),  # a way chosen to be missed
        script(
            burglar(),
            set_away=["house"],
            event=[Happening(at="08:00", what="path lost", path=p) for p in ("p-ip", "p-cell")],
        ),  # never told
    ],
)
def test_an_intrusion_that_is_missed_is_never_on_a_clients_page(scenario: Scenario) -> None:
    with pytest.raises(InputError, match=ALL_IN_PERSON):
        told(scenario)
    leaves = Actor(id="ines", name="Ines", where="living", act=(Act(do="leave", by="front"),))
    with_owner = scenario.model_copy(update={"actor": (leaves, *scenario.actor)})
    timeline, left_out = told(with_owner)
    assert left_out
    assert not timeline.intrusions
    assert {m.who for m in timeline.moments} <= {"", "Ines"}
    assert not any("path" in m.what for m in timeline.moments)


def test_a_clients_page_shows_nobody_on_the_way_to_control_equipment() -> None:
    fitter = Actor(
        id="fitter", name="Fitter", where="hall", act=(Act(do="go to", to="panel"), Act(do="go to", to="hall"))
    )
    timeline, _ = told(script(fitter))
    (track,) = timeline.tracks
    ids = {leg.device_id for leg in track.legs}
    assert ids == {None}
    assert all(spot[0] == "g" for leg in track.legs for _, spot in leg.frames)  # the panel is upstairs
    page = playing_page(HOUSE, timeline, devices=visible_devices(HOUSE), firm=False, subtitle="Test", invented=False)
    for device in HOUSE.fitted:
        shown = f'data-id="{device.id}"' in page
        assert shown is (device in visible_devices(HOUSE)), device.id


def test_a_clients_page_does_not_speak_of_a_quiet_call_for_help() -> None:
    button = Device(id="hu", kind="hold-up", storey_id="g", position=(2.0, 2.0), height_m=1.0)
    zone = Zone(
        id="z9",
        number=9,
        name="Button",
        area_ids=("house",),
        response=ZoneResponse.HOLD_UP,
        device_ids=("hu",),
        silent=True,
    )
    programme = HOUSE.design.programme.model_copy(update={"zones": (*HOUSE.design.programme.zones, zone)})
    design = HOUSE.design.model_copy(update={"devices": (*HOUSE.design.devices, button), "programme": programme})
    system = replace(HOUSE, design=design)
    caller = Actor(
        id="c", name="Caller", where="living", act=(Act(do="press", device="hu"), Act(do="go to", to="living"))
    )
    scenario = script(caller)
    whole = play(system, scenario)
    assert any(r.what == "hold-up silent" for m in whole.moments for r in m.reports)
    shown = client_story(system, scenario, whole).timeline
    assert "hold-up" not in json.dumps([[m.what, [r.what for r in m.reports], m.zones] for m in shown.moments])
    assert not any("hu" in m.tripped for m in shown.moments)
