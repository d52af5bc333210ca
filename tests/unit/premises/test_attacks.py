"""Every anatomy gives the attacks that fit it, leaf by leaf."""

import pytest
from tests.unit.premises.box import box, window

from wardwright.premises.attacks import attacks, fabric_attacks
from wardwright.premises.fabric import Construction, Layer, Room, RoomUse
from wardwright.premises.openings import (
    Glazing,
    Leaf,
    LeafRole,
    Lock,
    Movement,
    Opening,
    OpeningKind,
    Vent,
)


def with_leaves(*leaves: Leaf, kind: OpeningKind = OpeningKind.DOOR, **more: object) -> Opening:
    return window("o", "south", 2.0, 0.0, kind=kind, height=2.0, leaves=leaves, **more)


def names(opening: Opening, leaf: str | None = None) -> set[str]:
    return {a.name for a in attacks(opening) if a.leaf_id == leaf}


def test_a_plain_window_nobody_looked_into() -> None:
    plain = window("w", "south", 2.0, 0.9)
    assert names(plain) == {
        "opened",
        "forced",
        "glass broken and reached through",
        "glass broken and climbed through",
    }
    assert all("not surveyed" in a.assumption for a in attacks(plain) if a.glass_breaks)


def test_a_solid_door() -> None:
    door = with_leaves(Leaf(id="d", movement=Movement.HINGED, material="timber", lock=Lock(kind="mortice")))
    assert names(door, "d") == {"opened", "forced", "cut or kicked in"}


def test_what_moves_and_what_breaks() -> None:
    by_name = {a.name: a for a in attacks(window("w", "south", 2.0, 0.9))}
    assert by_name["forced"].leaf_moves
    assert not by_name["forced"].glass_breaks
    climbed = by_name["glass broken and climbed through"]
    assert (climbed.leaf_moves, climbed.glass_breaks, climbed.needs_body_through) == (False, True, True)
    reached = by_name["glass broken and reached through"]
    assert (reached.leaf_moves, reached.glass_breaks, reached.needs_body_through) == (True, True, False)


def test_both_sashes_of_a_double_hung_window_are_proved_by_themselves() -> None:
    sashes = [Leaf(id=k, movement=Movement.DOUBLE_HUNG, glazing=Glazing()) for k in ("upper", "lower")]
    opening = with_leaves(*sashes, kind=OpeningKind.WINDOW)
    for leaf in ("upper", "lower"):
        assert {"forced", "glass broken and climbed through"} <= names(opening, leaf)


def test_a_low_sash_pane_is_too_small_to_climb_through() -> None:
    sash = Leaf(id="lower", movement=Movement.DOUBLE_HUNG, glazing=Glazing())
    low = window("w", "south", 2.0, 0.9, height=0.45, leaves=(sash,))
    assert "glass broken and climbed through" not in names(low, "lower")
    assert "glass broken and reached through" in names(low, "lower")


def test_a_patio_door_that_lifts_out() -> None:
    opening = with_leaves(
        Leaf(id="slide", movement=Movement.SLIDING, glazing=Glazing(), lifts_out=True),
        Leaf(id="still", role=LeafRole.FIXED, movement=Movement.FIXED, glazing=Glazing()),
    )
    assert "lifted out" in names(opening, "slide")
    assert names(opening, "still") == {"glass broken and reached through", "glass broken and climbed through"}


def test_glass_of_a_sidelight_undoes_the_door_beside_it() -> None:
    door = Leaf(id="door", movement=Movement.HINGED, lock=Lock(kind="cylinder", thumb_turn=True))
    side = Leaf(id="side", role=LeafRole.SIDELIGHT, movement=Movement.FIXED, width_m=0.2, glazing=Glazing())
    opening = with_leaves(door, side)
    (through,) = [a for a in attacks(opening) if a.leaf_id == "side"]
    assert through.name == "glass broken and reached through"
    assert through.moved_leaf_id == "door"
    keyed = door.model_copy(update={"lock": Lock(kind="mortice")})
    assert names(with_leaves(keyed, side), "side") == set()


@pytest.mark.parametrize(
    ("gap", "name", "moves"),
    [(0.03, None, None), (0.10, "opened", True), (0.25, "already open", False)],
)
def test_a_vent_open_leaf_is_neither_open_nor_closed(gap: float, name: str | None, moves: bool | None) -> None:
    leaf = Leaf(id="l", movement=Movement.HINGED, lock=Lock(kind="key-locked"), vent=Vent(gap_m=gap))
    vented = [a for a in attacks(with_leaves(leaf, kind=OpeningKind.WINDOW)) if "left open" in a.how]
    assert [(a.name, a.leaf_moves) for a in vented] == ([] if name is None else [(name, moves)])


def test_pet_flap() -> None:
    cat = with_leaves(Leaf(id="d", movement=Movement.HINGED, pet_flap_m=0.16))
    assert any("pet flap" in a.how and a.leaf_moves for a in attacks(cat))
    assert "already open" not in names(cat, "d")
    hound = with_leaves(Leaf(id="d", movement=Movement.HINGED, pet_flap_m=0.35))
    assert "already open" in names(hound, "d")


def test_window_unit_and_louvre_go_without_moving_the_leaf() -> None:
    cooler = with_leaves(Leaf(id="l", movement=Movement.SINGLE_HUNG, removable_unit=True), kind=OpeningKind.WINDOW)
    slats = with_leaves(Leaf(id="l", movement=Movement.LOUVRE), kind=OpeningKind.WINDOW)
    for opening in (cooler, slats):
        (lifted,) = [a for a in attacks(opening) if a.name == "lifted out"]
        assert not lifted.leaf_moves
        assert lifted.moved_leaf_id is None
        assert lifted.needs_body_through


@pytest.mark.parametrize(
    ("kind", "movement"),
    [
        (OpeningKind.GARAGE_DOOR, Movement.OVERHEAD),
        (OpeningKind.GARAGE_DOOR, Movement.ROLLER),
        (OpeningKind.BULKHEAD, Movement.HINGED),
        (OpeningKind.HATCH, Movement.LIFT_OFF),
    ],
)
def test_kinds_without_glass(kind: OpeningKind, movement: Movement) -> None:
    found = names(with_leaves(Leaf(id="l", movement=movement, material="timber"), kind=kind), "l")
    assert {"opened", "forced", "cut or kicked in"} <= found
    assert not any("glass" in name for name in found)


def test_a_rooflight_has_glass() -> None:
    light = with_leaves(Leaf(id="l", movement=Movement.HINGED), kind=OpeningKind.ROOFLIGHT)
    assert "glass broken and climbed through" in names(light, "l")


def test_a_declared_class_is_a_lower_bound_for_its_tools() -> None:
    for declared, seconds in (("RC 2", 180.0), ("rc2n", 180.0), ("RC 3", 300.0), ("RC4", 600.0)):
        door = with_leaves(Leaf(id="d", movement=Movement.HINGED, lock=Lock(resistance_class=declared)))
        (forced,) = [a for a in attacks(door) if a.name == "forced"]
        assert forced.delay_s == forced.delay_interval_s[0] == seconds
        assert "EN1627" in forced.source


def test_class_one_promises_no_time() -> None:
    door = with_leaves(Leaf(id="d", movement=Movement.HINGED, lock=Lock(resistance_class="RC 1 N")))
    (forced,) = [a for a in attacks(door) if a.name == "forced"]
    assert forced.delay_interval_s == (10.0, 60.0)
    assert "promises no time" in forced.assumption


def test_glass_with_a_class_takes_longer() -> None:
    def climbing(glass: Glazing) -> float:
        leaf = Leaf(id="l", movement=Movement.FIXED, role=LeafRole.FIXED, glazing=glass)
        return next(a.delay_s for a in attacks(with_leaves(leaf, kind=OpeningKind.WINDOW)) if "climbed" in a.name)

    plain, classed, axe = (climbing(Glazing(resistance_class=c)) for c in (None, "P4A", "P6B"))
    assert plain < classed < axe


def test_an_unlocked_leaf_says_so() -> None:
    leaf = Leaf(id="l", movement=Movement.HINGED, lock=Lock(kind="none"))
    (opened,) = [a for a in attacks(with_leaves(leaf)) if a.name == "opened"]
    assert "nothing holds it" in opened.how


def test_ducts_and_slits() -> None:
    assert attacks(window("d", "south", 2.0, 2.0, kind=OpeningKind.DUCT, width=0.2, height=0.2)) == ()
    assert len(attacks(window("d", "south", 2.0, 2.0, kind=OpeningKind.DUCT, width=0.4, height=0.4))) == 1
    assert attacks(window("w", "south", 2.0, 1.5, width=0.15)) == ()


def test_a_passage_is_already_open() -> None:
    assert names(window("p", "south", 2.0, 0.0, kind=OpeningKind.PASSAGE, height=2.0)) == {"already open"}


def test_every_attack_says_where_its_delay_comes_from_and_spreads_it() -> None:
    leaf = Leaf(id="l", movement=Movement.SLIDING, lifts_out=True, glazing=Glazing(), vent=Vent(gap_m=0.1))
    for attack in attacks(with_leaves(leaf)):
        low, high = attack.delay_interval_s
        assert low <= attack.delay_s <= high
        assert low < high
        assert attack.source
        assert attack.assumption


def party(layers: tuple[Layer, ...], attic: bool = False):
    premises = box()
    built = Construction(id="c", name="party wall", layers=layers)
    walls = tuple(
        w.model_copy(update={"party": True, "construction_id": "c"}) if w.id == "east" else w for w in premises.walls
    )
    rooms = premises.rooms
    if attic:
        top = premises.storeys[0].model_copy(update={"id": "top", "elevation_m": 3.0})
        roof_room = Room(id="attic", name="Attic", storey_id="top", outline=rooms[0].outline, use=RoomUse.ATTIC)
        return premises.model_copy(
            update={
                "walls": walls,
                "constructions": (built,),
                "rooms": (*rooms, roof_room),
                "storeys": (*premises.storeys, top),
            }
        )
    return premises.model_copy(update={"walls": walls, "constructions": (built,)})


def test_a_light_party_wall_is_a_way_in_and_a_brick_one_is_not() -> None:
    light = (Layer(material="plasterboard", thickness_m=0.013), Layer(material="stud", thickness_m=0.09))
    (found,) = fabric_attacks(party(light))
    assert found.wall_id == "east"
    assert found.name == "wall or roof penetrated"
    assert fabric_attacks(party((Layer(material="brick", thickness_m=0.215),))) == ()
    (unknown,) = fabric_attacks(party((Layer(material="unknown", thickness_m=0.2),)))
    assert "not surveyed" in unknown.assumption


def test_a_roof_space_over_a_party_wall_may_be_shared() -> None:
    brick = (Layer(material="brick", thickness_m=0.215),)
    (found,) = fabric_attacks(party(brick, attic=True))
    assert found.room_id == "attic"
