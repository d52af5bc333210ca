"""Distances of the rules on accessible openings, probed from outside: where reach() changes its answer.

Each published distance is found by moving a window up a plain wall until the answer turns, never by reading the
constant. Sources: UL 1641:2015 clause 18 (published extract, 12 ft = 3.7 m, 4 ft = 1.2 m); an insurer's leaflet on the
Canadian standards for 18, 14 and 3 ft; Approved Document Q for 2 m and 3.5 m. Probed to 1 mm.
"""

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.unit.premises.box import box, roof, window

from wardwright.intake.open_file import read_premises
from wardwright.premises.fabric import Room, Storey, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import OUTSIDE, Opening, OpeningKind
from wardwright.premises.reach import COMMERCIAL_US, ENGLAND, EUROPE, RESIDENTIAL_US, ReachRules, reach

FOOT = 0.3048


def turning_point(answer: Callable[[float], bool | None], low: float, high: float) -> float:
    """Largest value for which the answer is still yes, to a millimetre."""
    assert answer(low) is True
    assert answer(high) is not True
    while high - low > 1e-4:
        middle = (low + high) / 2
        low, high = (middle, high) if answer(middle) is True else (low, middle)
    return low


def highest_sill(rules: ReachRules, **more: object) -> float:
    return turning_point(
        lambda sill: reach(box(window("w", "south", 2.3, sill), **more), rules)["w"].reachable, 0.1, 7.5
    )


def test_height_above_the_ground(check) -> None:
    for rules, source, status, expected in (
        (RESIDENTIAL_US, "UL1641-2015", "seen", 12 * FOOT),
        (COMMERCIAL_US, "ULC-EXTENTS-2006", "seen", 18 * FOOT),
        (ENGLAND, "ADQ-2015", "seen", 2.0),
    ):
        check(
            source=source,
            status=status,
            quantity="highest sill above the ground that counts as accessible",
            expected=expected,
            actual=highest_sill(rules),
            tolerance=0.001,
        )


def test_height_above_a_roof(check) -> None:
    wide = roof("roof", 1.0, -2.5, 2.0, 2.2, 2.5)
    for rules, source, expected in (
        (RESIDENTIAL_US, "UL1641-2015", 2.5 + 12 * FOOT),
        (ENGLAND, "ADQ-2015", 2.5 + 2.0),
    ):
        check(
            source=source,
            status="seen",
            quantity="highest sill above a low roof that counts as accessible",
            expected=expected,
            actual=highest_sill(rules, standings=(wide,)),
            tolerance=0.001,
        )


def test_height_of_a_roof_that_counts_in_england(check) -> None:
    def answer(level: float) -> bool | None:
        high = window("w", "south", 2.3, level + 1.5)
        return reach(box(high, standings=(roof("roof", 1.0, -2.5, 2.0, 2.2, level),)), ENGLAND)["w"].reachable

    check(
        source="ADQ-2015",
        status="seen",
        quantity="highest roof that counts as a way up",
        expected=3.5,
        actual=turning_point(answer, 1.0, 5.0),
        tolerance=0.001,
    )


def test_width_of_a_surface(check) -> None:
    def answer(depth: float) -> bool | None:
        surface = roof("roof", 1.0, -0.3 - depth, 2.0, depth, 2.5)
        result = reach(box(window("w", "south", 2.3, 5.0), standings=(surface,)), RESIDENTIAL_US)["w"]
        return result.reachable is not True

    check(
        source="UL1641-2015",
        status="seen",
        quantity="least width of a supporting surface",
        expected=4 * FOOT,
        actual=turning_point(answer, 0.5, 1.9),
        tolerance=0.001,
    )


def test_distance_to_other_premises(check) -> None:
    def opposite(gap: float) -> bool | None:
        stair = roof("stair", 1.0, -0.3 - gap - 1.0, 2.0, 1.0, 7.0, kind="fire stair")
        return reach(box(window("w", "south", 2.3, 6.5), standings=(stair,)), COMMERCIAL_US)["w"].reachable

    check(
        source="ULC-EXTENTS-2006",
        status="seen",
        quantity="distance to a fire stair opposite",
        expected=14 * FOOT,
        actual=turning_point(opposite, 1.5, 8.0),
        tolerance=0.001,
    )

    def beside(gap: float) -> bool | None:
        own = window("w", "south", 0.8, 6.0)
        other = window("o", "south", 0.8 + 1.0 + gap, 6.0, sides=("neighbour", "outside"), kind=OpeningKind.WINDOW)
        return reach(box(own, other), COMMERCIAL_US)["w"].reachable

    check(
        source="ULC-EXTENTS-2006",
        status="seen",
        quantity="distance to an opening of other premises in the same wall",
        expected=3 * FOOT,
        actual=turning_point(beside, 0.1, 2.0),
        tolerance=0.001,
    )


def alley(low: Opening, high: Opening) -> Premises:
    """Two rooms that face each other across an alley 1.20 m wide, storeys at 0 and 6 m."""
    storeys = (Storey(id="g", name="g", elevation_m=0, height_m=5), Storey(id="u", name="u", elevation_m=6, height_m=3))
    walls, rooms = [], []
    for s in ("g", "u"):
        walls.append(Wall(id=f"{s}-south", storey_id=s, axis=((0, -0.15), (10, -0.15)), thickness_m=0.3))
        walls.append(Wall(id=f"{s}-north", storey_id=s, axis=((0, 1.35), (10, 1.35)), thickness_m=0.3))
        rooms.append(Room(id=f"{s}-a", name="a", storey_id=s, outline=((0, -3), (10, -3), (10, -0.3), (0, -0.3))))
        rooms.append(Room(id=f"{s}-b", name="b", storey_id=s, outline=((0, 1.5), (10, 1.5), (10, 4), (0, 4))))
    return Premises(name="alley", storeys=storeys, walls=walls, rooms=rooms, openings=(low, high))


def facing(key: str, wall: str, offset: float, sill: float, room: str) -> Opening:
    small = window(key, wall, offset, sill, width=0.2, height=0.2)
    return small.model_copy(update={"sides": (room, OUTSIDE)})


def test_angles_across_an_alley(check) -> None:
    def aside(shift: float) -> bool | None:
        low, other = facing("low", "g-south", 2.0, 3.0, "g-a"), facing("o", "g-north", 2.0 + shift, 4.0, "g-b")
        return reach(alley(low, other), RESIDENTIAL_US)["o"].reachable

    check(
        source="UL1641-2015",
        status="seen",
        quantity="half of the fan between opposite walls on one floor, degrees",
        expected=45.0,
        actual=math.degrees(math.atan2(turning_point(aside, 0.0, 3.0), 1.2)),
        tolerance=0.05,
    )

    def above(climb: float) -> bool | None:
        low = facing("low", "g-south", 2.0, 3.6, "g-a")
        other = facing("o", "u-north", 2.0, 3.6 + climb - 6.0, "u-b")
        return reach(alley(low, other), RESIDENTIAL_US)["o"].reachable

    # Edges within 12 ft of each other at 1.20 m across end at 3.457 m up; the fan would end at 4.478 m: distance rules.
    check(
        source="UL1641-2015",
        status="seen",
        quantity="reach to the storey above in the opposite wall, straight distance",
        expected=12 * FOOT,
        actual=math.hypot(1.2, turning_point(above, 2.5, 5.0) - 0.2),
        tolerance=0.001,
    )


@pytest.mark.real
def test_the_real_house(shared_premises: Path) -> None:
    """Published with the house: two outside doors and nine ground-floor windows; two gable windows, sills at 3.50 m."""
    premises = read_premises(shared_premises / "house-fzk.ifc").premises
    low = {o.id for o in premises.openings if OUTSIDE in o.sides and "og-fenster" not in o.id}
    gables = {o.id for o in premises.openings if "og-fenster" in o.id}
    assert len(low) == 11
    assert len(gables) == 2
    limits = {RESIDENTIAL_US.name: True, COMMERCIAL_US.name: True, EUROPE.name: False, ENGLAND.name: False}
    for rules in (RESIDENTIAL_US, COMMERCIAL_US, EUROPE, ENGLAND):
        found = reach(premises, rules)
        assert set(found) == low | gables
        assert all(found[key].reachable is True and found[key].surface_id == "ground" for key in low)
        for key in gables:
            assert found[key].reachable is limits[rules.name]
            assert found[key].rise_m == pytest.approx(3.50, abs=0.005)
            assert found[key].limit_m is not None
            assert f"{found[key].limit_m:.2f} m" in found[key].explanation
