"""Plain words for an opening become its anatomy."""

import pytest

from wardwright.errors import InputError
from wardwright.intake.tape_openings import Words, is_opening, read_opening
from wardwright.premises.openings import GlassKind, LeafRole, Movement, OpeningKind


def said(text: str) -> Words:
    return read_opening(tuple(p.strip() for p in text.split(",")), "m")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("door", OpeningKind.DOOR),
        ("front door", OpeningKind.DOOR),
        ("French doors", OpeningKind.DOOR),
        ("sliding patio door", OpeningKind.DOOR),
        ("overhead garage door", OpeningKind.GARAGE_DOOR),
        ("sash window", OpeningKind.WINDOW),
        ("jalousie window", OpeningKind.WINDOW),
        ("skylight", OpeningKind.ROOFLIGHT),
        ("attic hatch", OpeningKind.HATCH),
        ("crawl hatch", OpeningKind.HATCH),
        ("bulkhead", OpeningKind.BULKHEAD),
        ("archway", OpeningKind.PASSAGE),
        ("duct", OpeningKind.DUCT),
    ],
)
def test_kinds(text: str, kind: OpeningKind) -> None:
    assert said(text).kind is kind


def test_what_is_no_opening() -> None:
    assert not is_opening("Hall")
    assert not is_opening("outside")
    with pytest.raises(InputError, match="no kind of opening"):
        said("portcullis, 1 x 2")


def test_names_and_destinations() -> None:
    words = said("back door called Scullery door to Yard, 0.80 x 2.00")
    assert (words.called, words.to) == ("Scullery door", "Yard")
    assert said("door to the Hall, 0.8 x 2").to == "Hall"


def test_places() -> None:
    words = said("window, 1.20 x 1.05, sill 0.90, 0.45 from the east end")
    assert (words.width_m, words.height_m, words.sill_m) == (1.20, 1.05, 0.90)
    assert words.offset == (0.45, "east")
    assert said("window, 1 x 1, in the middle").centred
    assert said("window, 1 x 0.5, sill -0.40").sill_m == -0.40


def test_double_hung_has_two_sashes_and_the_upper_one_is_let_down() -> None:
    leaves = said("sash window, 1 x 1.5, vented at night 0.10 in summer while set, sash lock").leaves
    assert [x.id for x in leaves] == ["upper-sash", "lower-sash"]
    assert all(x.movement is Movement.DOUBLE_HUNG for x in leaves)
    vent = leaves[0].vent
    assert vent is not None
    assert (vent.gap_m, vent.when, vent.season, vent.wanted_when_set) == (0.10, "night", "summer", True)
    assert leaves[1].vent is None
    lower = said("sash window, 1 x 1.5, lower sash vented by day 0.10").leaves
    assert lower[0].vent is None
    assert lower[1].vent is not None


def test_single_hung_has_a_fixed_upper_sash() -> None:
    upper, lower = said("single hung window, 1 x 1.5, window unit in it").leaves
    assert upper.role is LeafRole.FIXED
    assert lower.removable_unit


def test_patio_door_that_lifts_out() -> None:
    moving, still = said("sliding patio door, 1.80 x 2.10, lifts out, double glazed").leaves
    assert moving.movement is Movement.SLIDING
    assert moving.lifts_out
    assert not still.lifts_out
    assert moving.width_m == still.width_m == 0.90
    assert moving.glazing is not None
    assert moving.glazing.panes == 2


def test_french_pair_has_an_inactive_leaf() -> None:
    active, inactive = said("French doors, 1.50 x 2.10, multi-point, thumb turn").leaves
    assert (active.role, inactive.role) == (LeafRole.ACTIVE, LeafRole.INACTIVE)
    assert active.lock.thumb_turn
    assert inactive.lock.kind == "bolt"


def test_sidelights_transom_and_flap() -> None:
    words = said("door, 1.60 x 2.05, two sidelights 0.30, transom light, cat flap, timber, half glazed, laminated")
    roles = [x.role for x in words.leaves]
    assert roles == [LeafRole.ACTIVE, LeafRole.SIDELIGHT, LeafRole.SIDELIGHT, LeafRole.TRANSOM]
    door = words.leaves[0]
    assert door.width_m == pytest.approx(1.0)
    assert door.glazing is not None
    assert (door.glazing.part, door.glazing.kind) == ("upper half", GlassKind.LAMINATED)
    assert door.pet_flap_m == 0.16
    assert words.guesses == ["the cat flap is 0.16 m wide"]


@pytest.mark.parametrize(
    ("text", "movement"),
    [
        ("window, 1 x 1, casement", Movement.HINGED),
        ("window, 1 x 1, tilt and turn", Movement.TILT_AND_TURN),
        ("jalousie window, 1 x 1", Movement.LOUVRE),
        ("window, 1 x 1, painted shut", Movement.FIXED),
        ("garage door, 2.4 x 2.1, overhead", Movement.OVERHEAD),
        ("roller door, 2.4 x 2.1", Movement.ROLLER),
        ("door, 1 x 2, pocket", Movement.POCKET),
        ("door, 3 x 2, bifold, three leaves", Movement.FOLDING),
        ("hatch, 0.6 x 0.6, lift off", Movement.LIFT_OFF),
    ],
)
def test_movements(text: str, movement: Movement) -> None:
    assert said(text).leaves[0].movement is movement


@pytest.mark.parametrize(
    ("words", "kind", "declared"),
    [
        ("mortice", "mortice", None),
        ("no lock", "none", None),
        ("night latch", "cylinder", None),
        ("catch", "latch", None),
        ("key-locked", "key-locked", None),
        ("multi-point RC2", "multi-point", "RC 2"),
        ("RC 3", "unknown", "RC 3"),
        ("bolts", "bolt", None),
    ],
)
def test_locks(words: str, kind: str, declared: str | None) -> None:
    lock = said(f"door, 0.8 x 2, {words}").leaves[0].lock
    assert (lock.kind, lock.resistance_class) == (kind, declared)


def test_glass_class() -> None:
    glazing = said("window, 1 x 1, laminated P4A, triple glazed").leaves[0].glazing
    assert glazing is not None
    assert (glazing.resistance_class, glazing.panes, glazing.kind) == ("P4A", 3, GlassKind.LAMINATED)


def test_a_solid_door_has_no_glass_and_a_passage_no_leaf() -> None:
    assert said("door, 0.8 x 2, solid").leaves[0].glazing is None
    assert said("archway, 1.2 x 2.1").leaves == ()


def test_what_is_not_understood_is_kept_apart() -> None:
    assert said("door, 0.8 x 2, haunted").unread == ["haunted"]
