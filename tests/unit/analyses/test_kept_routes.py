"""Kept routes are those that would be worked out, and are not mistaken for those of another design."""

import os

import pytest
from bench.invented_buildings import rooms_in_rows

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.kept_routes import forget_routes, kept_routes
from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import routes
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.placement import two_hands
from wardwright.placement.two_hands import share_fields

PREMISES = rooms_in_rows(2, 1, 4.0, 4.0, targets=1)
CATALOGUE = load_catalogue()


def scheme(x: float, *, inside: bool = False) -> ProtectionScheme:
    device = Device(id="PIR-1", kind="pir-wide", storey_id="floor", position=(x, 0.1), heading_rad=1.2)
    zone = Zone(
        id="z", number=1, name="z", area_ids=("a",), response=ZoneResponse.INTERIOR, device_ids=("PIR-1",),
        set_with_people_inside=inside,
    )  # fmt: skip
    programme = Programme(areas=(Area(id="a", name="a"),), zones=(zone,))
    return ProtectionScheme(PREMISES, Design(devices=(device,), programme=programme), CATALOGUE, Brief())


@pytest.mark.parametrize("inside", [False, True])
def test_same_as_worked_out_after_every_move(inside: bool) -> None:
    forget_routes()
    for x in (0.1, 0.5, 0.1, 3.0):
        for mode in Mode:
            moved = scheme(x, inside=inside)
            fields = hazard_fields(moved, mode)
            assert kept_routes(moved, mode, fields) == routes(moved, mode, fields)


def test_unheard_moves_are_not_worked_out_again() -> None:
    forget_routes()
    first, second = scheme(0.1), scheme(0.7)
    held = kept_routes(first, Mode.INSIDE, hazard_fields(first, Mode.INSIDE))
    assert kept_routes(second, Mode.INSIDE, hazard_fields(second, Mode.INSIDE)) is held
    away = kept_routes(first, Mode.AWAY, hazard_fields(first, Mode.AWAY))
    assert kept_routes(second, Mode.AWAY, hazard_fields(second, Mode.AWAY)) is not away


def test_a_second_process_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    from wardwright.analyses import field_store

    monkeypatch.setattr(two_hands, "WORTH_IT", 2)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    places = (0.2, 0.9, 1.6, 2.3)

    def work(some: object) -> None:
        for x in some:  # type: ignore[attr-defined]
            hazard_fields(scheme(x), Mode.AWAY)

    field_store.forget()
    work(places)
    alone = field_store.held()
    field_store.forget()
    share_fields(work, places)
    shared = field_store.held()
    if shared:  # nothing where other threads are at work
        assert shared.keys() == alone.keys()
        assert all((a == b).all() for key in alone for a, b in zip(alone[key], shared[key], strict=True))
