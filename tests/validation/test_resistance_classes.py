"""Delays that come from declared classes, and the gaps a body passes.

Sources: EN 1627 resistance times as two trade summaries list them (3, 5, 10, 15 and 20 min for RC 2 to RC 6); EN 356
strikes and impacts as two trade tables list them; ISO 13857 for whole-body access.
"""

from tests.unit.premises.box import window

from wardwright.premises.attacks import attacks
from wardwright.premises.openings import Glazing, Leaf, LeafRole, Lock, Movement, OpeningKind, Vent


def forced_s(declared: str) -> float:
    leaf = Leaf(id="d", movement=Movement.HINGED, lock=Lock(resistance_class=declared))
    door = window("o", "south", 2.0, 0.0, kind=OpeningKind.DOOR, height=2.0, leaves=(leaf,))
    return next(a.delay_s for a in attacks(door) if a.name == "forced")


def test_resistance_times(check) -> None:
    check(
        source="EN1627-2011",
        status="seen",
        quantity="least time to force a declared class",
        expected=[180.0, 300.0, 600.0, 900.0, 1200.0],
        actual=[forced_s(f"RC {n}") for n in range(2, 7)],
        tolerance=0.0,
    )


def glass_s(declared: str | None) -> tuple[float, float]:
    pane = Leaf(id="p", role=LeafRole.FIXED, movement=Movement.FIXED, glazing=Glazing(resistance_class=declared))
    found = attacks(window("o", "south", 2.0, 0.9, leaves=(pane,)))
    climbed = next(a for a in found if a.name == "glass broken and climbed through")
    return climbed.delay_interval_s


def test_least_blows_of_glass(check) -> None:
    """The shortest time grows by one second a blow over glass without a class: so the blows can be read back."""
    base = glass_s(None)[0]
    check(
        source="EN356-1999",
        status="seen",
        quantity="least blows to break through a declared class",
        expected=[3, 3, 3, 3, 9, 30, 51, 71],
        actual=[glass_s(c)[0] - base for c in ("P1A", "P2A", "P3A", "P4A", "P5A", "P6B", "P7B", "P8B")],
        tolerance=1e-9,
    )


def test_gap_a_body_passes(check) -> None:
    def already_open(gap: float) -> bool:
        leaf = Leaf(id="l", movement=Movement.HINGED, vent=Vent(gap_m=gap))
        return any(a.name == "already open" for a in attacks(window("o", "south", 2.0, 0.9, leaves=(leaf,))))

    passed = [gap / 1000 for gap in range(20, 400) if already_open(gap / 1000)]
    check(
        source="ISO13857-2019",
        status="seen",
        quantity="widest slot that keeps a whole body out",
        expected=0.180,
        actual=min(passed) - 0.001,
        tolerance=0.0011,
    )
