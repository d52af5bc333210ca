"""People, devices and panel together in a small invented house."""

import math
from dataclasses import replace

import pytest
from tests.house import house, scheme

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import routes
from wardwright.analyses.scenario.playing import play
from wardwright.analyses.scenario.script import Act, Actor, Happening, Scenario
from wardwright.analyses.scenario.timeline import Moment, Timeline
from wardwright.analyses.timing import timing
from wardwright.design.programme import Right
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.premises.life import Pet

HOUSE = scheme()
WALKS = timing(HOUSE)
OWNER = {"id": "ines", "name": "Ines", "right": "owner", "pace_m_s": 1.0}


def acts(*rows: dict[str, object]) -> tuple[Act, ...]:
    return tuple(Act.model_validate(row) for row in rows)


def played(*actors: Actor, system: ProtectionScheme = HOUSE, **more: object) -> Timeline:
    script = Scenario.model_validate({"title": "Test", "begins": "08:00", "actor": actors, **more})
    return play(system, script, WALKS)


def burglar(**act: object) -> Actor:
    return Actor(id="burglar", kind="intruder", act=acts({"do": "break in", **act}))


def said(timeline: Timeline, words: str) -> list[Moment]:
    return [m for m in timeline.moments if any(words in k for k in m.keypads)]


def test_going_out_and_coming_home_is_no_alarm() -> None:
    owner = Actor(
        **OWNER,
        where="living",
        act=acts(
            {"do": "set away"},
            {"do": "leave", "by": "front"},
            {"do": "come in", "by": "front", "at": "09:00"},
            {"do": "unset"},
        ),
    )
    timeline = played(owner)
    assert not timeline.false_alarms
    assert [m.phases[0][1] for m in timeline.moments if m.phases[0][1] == "set"]
    assert timeline.moments[-1].phases[0][1] == "unset"
    codes = [(r.contact_id, r.sia) for m in timeline.moments for r in m.reports if r.state == "acknowledged"]
    assert codes == [("3401", "CL"), ("1401", "OP")]  # SIA DC-05 and DC-03, closing and opening, from memory


def test_an_open_window_keeps_it_from_being_set_and_is_named() -> None:
    owner = Actor(**OWNER, where="living", act=acts({"do": "open", "by": "window"}, {"do": "set away"}))
    timeline = played(owner)
    assert said(timeline, "not done (set away): Living window")
    assert timeline.moments[-1].phases[0][1] == "unset"


def test_who_forgets_to_unset_sets_it_off_when_entry_time_is_over() -> None:
    owner = Actor(**OWNER, act=acts({"do": "come in", "by": "front"}))
    timeline = played(owner, set_away=["house"])
    (alarm,) = timeline.false_alarms
    opened = next(m.at_ms for m in timeline.moments if "mc-front" in m.tripped)
    assert alarm.actor_id == "ines"
    assert alarm.at_ms == opened + 30_000  # the programme's entry time


def test_wrong_codes_lock_the_keypad() -> None:
    owner = Actor(**OWNER, where="hall", act=acts({"do": "wrong code", "times": 5}, {"do": "set away"}))
    timeline = played(owner)
    assert said(timeline, "too many wrong codes")
    assert said(timeline, "not done (set away)")


def test_a_right_ends_with_its_hours() -> None:
    right = Right(id="r", holder="cleaner", area_ids=("house",), may=("set", "unset"), until_time="18:00")
    programme = HOUSE.design.programme.model_copy(update={"rights": (right,)})
    system = replace(HOUSE, design=HOUSE.design.model_copy(update={"programme": programme}))
    cleaner = Actor(id="c", right="cleaner", where="hall", act=acts({"do": "set away"}))
    assert not said(played(cleaner, system=system, begins="17:00"), "no right")
    late = played(cleaner, system=system, begins="19:00")
    assert said(late, "no right to set away here and now: House")
    assert late.moments[-1].phases[0][1] == "unset"
    with pytest.raises(InputError, match=r"nobody holds a right as “owner”"):
        played(Actor(**OWNER, where="hall"), system=system)


def test_an_intruder_is_noticed_reported_and_told_with_zone_and_room() -> None:
    timeline = played(burglar(by="window", to="jewels"), set_away=["house"])
    (found,) = timeline.intrusions
    assert found.alarm_ms is not None
    assert found.reported_ms is not None
    assert found.in_time(timeline.monitored)
    assert said(timeline, "alarm: Living window")
    first = next(r for m in timeline.moments for r in m.reports)
    assert (first.contact_id, first.sia, first.point) == ("1131", "BA", 2)  # DC-05 perimeter, DC-03 burglary


def test_nothing_is_reported_while_every_path_is_down_and_the_report_goes_out_on_return() -> None:
    down = tuple(Happening(at="08:00", what="path lost", path=p) for p in ("p-ip", "p-cell"))
    back = Happening(at="08:05", what="path back", path="p-cell")
    timeline = played(burglar(by="window", to="jewels"), set_away=["house"], event=(*down, back))
    (found,) = timeline.intrusions
    assert found.reported_ms is not None
    assert found.reported_ms >= 300_000
    assert not played(burglar(by="window", to="jewels"), set_away=["house"], event=down).intrusions[0].in_time(True)


def test_an_unset_house_notices_nobody() -> None:
    timeline = played(burglar(by="window", to="jewels"))
    assert timeline.intrusions[0].alarm_ms is None
    assert not timeline.intrusions[0].in_time(True)


def test_a_dog_is_noticed_by_the_body_it_has() -> None:
    """The same walk as a person's, twice: a mouse is not noticed by the detector in the living room, a big dog is."""
    for height, length, wanted in ((0.05, 0.08, False), (0.9, 1.4, True)):
        pets = (Pet(id="pet", kind="dog", mass_kg=20.0, height_m=height, length_m=length),)
        system = replace(HOUSE, premises=house().model_copy(update={"pets": pets}))
        dog = Actor(
            id="dog",
            kind="animal",
            pet="pet",
            where="living",
            act=acts({"do": "walk", "through": [["g", 5.0, 2.0], ["g", 5.0, 6.5]]}),
        )
        timeline = played(dog, system=system, set_away=["house"])
        assert bool(timeline.false_alarms) is wanted


@pytest.mark.parametrize(
    ("through", "says"),
    [
        (
            [["g", 1.0, 1.0], ["g", 6.0, 1.0]],
            r"Ines, act 1 \(walk\).*wall between \w+ and \w+ at \(2\.9",
        ),
        ([["g", 1.0, 5.0], ["g", -3.0, 5.0]], r"wall of Hall at \(0\.15, 5\.00\)"),
        ([["g", 1.0, 2.0], ["g", -3.0, 2.0]], r"“Front door” at \(0\.1"),
        ([["g", 1.0, 1.0], ["u", 1.0, 1.0]], "stays on one storey"),
        ([["x", 1.0, 1.0], ["x", 2.0, 1.0]], "no storey with a floor is called “x”"),
    ],
)
def test_a_walk_through_a_wall_is_refused_with_its_place(through: list[object], says: str) -> None:
    owner = Actor(**OWNER, where="hall", act=acts({"do": "walk", "through": through}))
    with pytest.raises(InputError, match=says):
        played(owner)


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (
            {"do": "go to", "to": "kitchen"},
            r"no room, .* is called “kitchen”; rooms are hall, living",
        ),
        ({"do": "leave", "by": "window"}, "nobody walks in or out by a window"),
        ({"do": "leave", "by": "inner"}, "is an inner door"),
        ({"do": "leave"}, "say by which door"),
        ({"do": "come in", "by": "front"}, "is inside already"),
        ({"do": "set away", "areas": ["shop"]}, "no area is called “shop”: there is house"),
        ({"do": "set away", "keypad": "panel"}, "no keypad is called “panel”"),
        ({"do": "leave out", "zone": "Attic"}, "no zone is called “Attic”"),
        ({"do": "press", "device": "keypad"}, "no hold-up button"),
        ({"do": "take", "to": "gold"}, "nothing worth stealing is called “gold”: there is jewels"),
    ],
)
def test_what_cannot_be_done_is_said_with_actor_and_act(act: dict[str, object], says: str) -> None:
    with pytest.raises(InputError, match=says):
        played(Actor(**OWNER, where="hall", act=acts(act)))


def test_the_same_seed_gives_the_same_timeline() -> None:
    script = {"set_away": ["house"], "seed": 11}
    one, again = (played(burglar(by="window", to="jewels", route="quietest"), **script) for _ in range(2))
    assert one == again
    others = [played(burglar(by="window", to="jewels", route="quietest"), **{**script, "seed": s}) for s in range(12)]
    assert any(other.moments != one.moments for other in others)


@pytest.mark.parametrize(
    ("heading", "opening", "route"),
    [
        (-2.4, "front", "quietest"),
        (-2.4, "window", "quietest"),
        (-3.1, "window", "fastest"),
        (-3.1, "front", "fastest"),
    ],
)
def test_over_many_seeds_an_intruder_is_noticed_as_often_as_the_routes_say(
    heading: float, opening: str, route: str
) -> None:
    """Share of runs in which anything trips against the route's probability: within 4 standard errors.

    One motion detector and the front door's contact are left, so that the chances lie between 0.2 and 1. A true
    probability is missed by chance once in some 16 000 such tests (normal approximation).
    """
    left = [d for d in HOUSE.design.devices if d.id not in ("mc-window", "gb-living", "pir-hall")]
    turned = [d.model_copy(update={"heading_rad": heading}) if d.id == "pir-living" else d for d in left]
    system = replace(HOUSE, design=HOUSE.design.model_copy(update={"devices": tuple(turned)}))
    found = routes(system, Mode.AWAY, hazard_fields(system, Mode.AWAY)).routes
    wanted = next(r for r in found if r.kind == route and r.opening_id == opening).probability
    runs, hits = 400, 0
    actor = burglar(by=opening, to="jewels", route=route)
    for seed in range(runs):
        timeline = played(actor, system=system, set_away=["house"], seed=seed, ends="08:03")
        hits += timeline.intrusions[0].tripped_ms is not None
    error = math.sqrt(max(wanted * (1.0 - wanted), 1.0 / runs) / runs)
    assert hits / runs == pytest.approx(wanted, abs=4.0 * error)
