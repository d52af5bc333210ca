"""What a glass-break detector hears in the small invented house."""

from dataclasses import replace

from tests.house import house, scheme

from wardwright.analyses.glass_hearing import Hearing, glass_hearings
from wardwright.analyses.mode import Mode
from wardwright.design.system import ProtectionScheme
from wardwright.premises.openings import Glazing, Leaf, Movement


def glazed(glass: str = "float", covering: str | None = "none", **room: object) -> ProtectionScheme:
    base = house()
    leaf = Leaf(id="window-leaf", movement=Movement.HINGED, width_m=1.6, glazing=Glazing(kind=glass))
    openings = tuple(
        o.model_copy(update={"leaves": (leaf,), "covering": covering}) if o.id == "window" else o for o in base.openings
    )
    rooms = tuple(r.model_copy(update=room) if r.id == "living" else r for r in base.rooms)
    return replace(scheme(), premises=base.model_copy(update={"openings": openings, "rooms": rooms}))


def only(given: ProtectionScheme, mode: Mode = Mode.AWAY) -> Hearing:
    (told,) = glass_hearings(given, mode)
    return told


def test_a_drawn_curtain_costs_shatter_and_not_thump() -> None:
    bare, lined, heavy = (only(glazed(covering=c, soft_furnished=True)) for c in ("none", "lined curtain", "velvet"))
    assert bare.margin_db is not None and lined.margin_db is not None and heavy.margin_db is not None
    assert bare.margin_db > lined.margin_db > heavy.margin_db
    assert bare.probability > lined.probability > heavy.probability
    assert heavy.weakest == "shatter"


def test_a_bare_room_carries_farther_than_a_furnished_one() -> None:
    bare, soft = (only(glazed(soft_furnished=s)) for s in (False, True))
    assert bare.probability > soft.probability
    unknown = only(glazed(soft_furnished=None))
    assert unknown.interval[0] <= soft.interval[0]
    assert unknown.interval[1] >= bare.interval[1]
    assert "softly furnished" in unknown.assumption


def test_what_was_not_surveyed_is_said_and_widens() -> None:
    told = only(glazed(glass="unknown", covering=None, soft_furnished=True))
    assert told.interval[0] == 0.0
    assert "kind of glass" in told.assumption
    assert "hangs over the pane" in told.assumption


def test_glass_it_is_not_declared_for_is_not_heard() -> None:
    told = only(glazed(glass="laminated"))
    assert not told.counts
    assert "laminated" in told.deaf
    assert told.probability == 0.0


def test_a_shut_door_shrinks_the_room_the_thump_fills() -> None:
    open_door = glazed(soft_furnished=True)
    shut = open_door.premises.model_copy(
        update={
            "openings": tuple(
                o.model_copy(update={"usually": "shut"}) if o.id == "inner" else o for o in open_door.premises.openings
            )
        }
    )
    steps = [dict(only(given).steps) for given in (open_door, replace(open_door, premises=shut))]
    volumes = [step["room and what opens into it"] for step in steps]
    assert "over 3 rooms" in volumes[0]
    assert "over 1 rooms" in volumes[1]


def test_a_detector_that_insists_on_the_thump_first_is_doubted() -> None:
    given = glazed(soft_furnished=False)
    kinds = dict(given.catalogue.kinds)
    kind = kinds["glass-break"]
    kinds["glass-break"] = kind.model_copy(update={"words": {**kind.words, "order": "thump first"}})
    told = only(replace(given, catalogue=given.catalogue.model_copy(update={"kinds": kinds})))
    assert told.interval[0] == 0.0
    assert "disputes" in told.assumption
