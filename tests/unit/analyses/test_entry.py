"""Who notices an attack on a way in."""

from dataclasses import replace

import pytest
from tests.house import design, house, scheme
from tests.unit.analyses.simple_field import simple_fields

from wardwright.analyses.entry import WayIn, entry
from wardwright.analyses.mode import Mode
from wardwright.design.brief import Brief
from wardwright.design.devices import Device, Keep, Scheme
from wardwright.design.system import Design, ProtectionScheme
from wardwright.premises.model import Premises
from wardwright.premises.openings import Glazing, Leaf, LeafRole, Movement, Vent


def find(base: ProtectionScheme, opening: str, attack: str, mode: str = "away", leaf: str | None = None) -> WayIn:
    fields = simple_fields(base)
    analysis = entry(base, {Mode.AWAY: fields, Mode.INSIDE: fields})
    return next(
        w
        for w in analysis.ways
        if (w.opening_id, w.attack, w.mode) == (opening, attack, mode) and leaf in (None, w.leaf_id)
    )


def by(way: WayIn) -> set[str]:
    return {n.device_id for n in way.notices}


def with_leaves(key: str, *leaves: Leaf) -> Premises:
    premises = house()
    openings = tuple(o.model_copy(update={"leaves": leaves}) if o.id == key else o for o in premises.openings)
    return premises.model_copy(update={"openings": openings})


def with_device(device_id: str, **changes: object) -> Design:
    base = design()
    devices = tuple(d.model_copy(update=changes) if d.id == device_id else d for d in base.devices)
    return base.model_copy(update={"devices": devices})


def test_a_contact_tells_what_moves_its_leaf_and_nothing_else() -> None:
    base = scheme()
    assert "mc-window" in by(find(base, "window", "opened"))
    assert "mc-window" in by(find(base, "window", "forced"))
    climbed = find(base, "window", "glass broken and climbed through")
    assert "mc-window" not in by(climbed)
    assert "gb-living" in by(climbed)
    assert "pir-living" in by(climbed)
    assert "pir-hall" not in by(climbed)


def test_with_people_inside_the_detectors_left_out_do_not_count() -> None:
    climbed = find(scheme(), "window", "glass broken and climbed through", "people inside")
    assert by(climbed) == {"gb-living"}
    only = climbed.notices[0]
    assert climbed.probability == pytest.approx(only.probability)
    assert only.interval[0] < only.probability < only.interval[1] <= 0.97
    assert find(scheme(), "front", "cut or kicked in", "people inside").notices == ()


def test_only_away_is_judged_where_nobody_sleeps() -> None:
    base = replace(scheme(), brief=Brief(asleep_upstairs=False))
    assert {w.mode for w in entry(base, {}).ways} == {"away"}


def test_a_contact_on_another_leaf_does_not_notice() -> None:
    pair = (
        Leaf(id="left", movement=Movement.HINGED, width_m=0.8, glazing=Glazing()),
        Leaf(id="right", movement=Movement.HINGED, width_m=0.8, glazing=Glazing(), role=LeafRole.INACTIVE),
    )
    base = replace(scheme(), premises=with_leaves("window", *pair), design=with_device("mc-window", leaf_id="left"))
    assert "mc-window" in by(find(base, "window", "forced", leaf="left"))
    assert "mc-window" not in by(find(base, "window", "forced", leaf="right"))


@pytest.mark.parametrize(
    ("kind", "settings", "notices"),
    [
        ("contact-surface", {}, False),  # operates within 15 mm, the leaf stands 30 mm open
        ("contact-wide-gap", {}, True),  # operates within 31.75 mm
        ("contact-surface", {"vent_gap_m": 0.03}, True),  # its magnet sits where the vented leaf is
    ],
)
def test_a_leaf_wanted_open_while_set(kind: str, settings: dict[str, float], notices: bool) -> None:
    leaf = Leaf(
        id="window-leaf", movement=Movement.HINGED, width_m=1.6, vent=Vent(gap_m=0.03, wanted_when_set=True),
        glazing=Glazing(),
    )  # fmt: skip
    base = replace(
        scheme(),
        premises=with_leaves("window", leaf),
        design=with_device("mc-window", kind=kind, settings=settings),
    )
    way = find(base, "window", "forced")
    assert ("mc-window" in by(way)) == notices
    assert any(device == "mc-window" and "open already" in why for device, why in way.deaf) != notices


def test_a_leaf_left_open_against_the_wish_keeps_the_system_from_being_set() -> None:
    leaf = Leaf(id="window-leaf", movement=Movement.HINGED, width_m=1.6, vent=Vent(gap_m=0.3), glazing=Glazing())
    way = find(replace(scheme(), premises=with_leaves("window", leaf)), "window", "already open")
    assert any(n.device_id == "mc-window" and "setting is refused" in n.how for n in way.notices)
    wanted = leaf.model_copy(update={"vent": Vent(gap_m=0.3, wanted_when_set=True)})
    way = find(replace(scheme(), premises=with_leaves("window", wanted)), "window", "already open")
    assert "mc-window" not in by(way)


def test_a_contact_on_the_wrong_loop_and_one_mounted_too_far_cannot_notice() -> None:
    base = design()
    loops = tuple(x.model_copy(update={"scheme": Scheme.NO}) if x.id == "l-front" else x for x in base.loops)
    wrong = replace(scheme(), design=base.model_copy(update={"loops": loops}))
    way = find(wrong, "front", "forced")
    assert "mc-front" not in by(way)
    assert "normally open loop" in dict(way.deaf)["mc-front"]
    far = replace(scheme(), design=with_device("mc-front", settings={"gap_m": 0.02}))
    assert "20 mm" in dict(find(far, "front", "forced").deaf)["mc-front"]


def test_an_existing_contact_nobody_tried_proves_nothing() -> None:
    base = replace(scheme(), design=with_device("mc-front", status=Keep.UNKNOWN))
    notice = next(n for n in find(base, "front", "forced", "people inside").notices if n.device_id == "mc-front")
    assert notice.interval[0] == 0.0
    assert "test it" in notice.assumption


def test_glass_break_needs_its_kind_of_glass_its_range_and_a_line_of_sound() -> None:
    attack = "glass broken and climbed through"

    def heard(**changes: object) -> bool:
        glass = Glazing(kind=changes.pop("glass", "float"), width_m=changes.pop("width", 1.5), height_m=1.2)
        leaf = Leaf(id="window-leaf", movement=Movement.HINGED, width_m=1.6, glazing=glass)
        base = replace(scheme(), premises=with_leaves("window", leaf), design=with_device("gb-living", **changes))
        return "gb-living" in by(find(base, "window", attack))

    assert heard()
    assert not heard(glass="laminated")
    assert not heard(glass="plastic")
    assert not heard(width=0.25)
    assert not heard(position=(9.5, 7.5))  # 7.6 m away, range 6 m
    assert not heard(position=(2.5, 1.0))  # in the hall, behind the wall
    assert not heard(storey_id="u")


def test_a_shock_detector_on_the_frame_hears_force_but_not_a_key() -> None:
    shock = Device(id="shk", kind="shock", storey_id="g", position=(0.2, 2.0), opening_id="front")
    base = design()
    zone = base.programme.zones[0].model_copy(update={"device_ids": ("mc-front", "shk")})
    programme = base.programme.model_copy(update={"zones": (zone, *base.programme.zones[1:])})
    fitted = base.model_copy(update={"devices": (*base.devices, shock), "programme": programme})
    with_shock = replace(scheme(), design=fitted)
    assert "shk" in by(find(with_shock, "front", "forced"))
    assert "shk" in by(find(with_shock, "front", "cut or kicked in"))
    assert "shk" not in by(find(with_shock, "front", "opened"))


def test_a_device_on_no_zone_is_heard_by_nobody() -> None:
    base = design()
    silent = base.model_copy(update={"programme": base.programme.model_copy(update={"zones": ()})})
    analysis = entry(replace(scheme(), design=silent), {})
    assert all(w.probability == 0.0 for w in analysis.ways)
    assert any(dict(w.deaf).get("mc-front") == "not watched in this mode" for w in analysis.ways)


def test_where_the_place_is_not_known_contacts_still_count_by_themselves() -> None:
    rough = replace(scheme(), premises=house().model_copy(update={"survey": "approximate"}))
    forced = find(rough, "front", "forced")
    assert "measure where" in forced.undecided
    assert forced.sure == pytest.approx(0.95)
    assert find(rough, "front", "cut or kicked in").sure == 0.0
