"""Contacts where they sit."""

from dataclasses import replace

from tests.house import design, house, scheme

from wardwright.analyses.contact_field import ContactField, contact_fields, loop_sees
from wardwright.design.devices import Scheme
from wardwright.design.system import ProtectionScheme


def front(material: str = "timber", kind: str = "contact-surface", **settings: float) -> ContactField:
    premises = house()
    openings = tuple(
        o.model_copy(update={"leaves": tuple(x.model_copy(update={"material": material}) for x in o.leaves)})
        for o in premises.openings
    )
    base = design()
    devices = tuple(
        d.model_copy(update={"settings": settings, "kind": kind}) if d.id == "mc-front" else d for d in base.devices
    )
    given: ProtectionScheme = replace(
        scheme(),
        premises=premises.model_copy(update={"openings": openings}),
        design=base.model_copy(update={"devices": devices}),
    )
    return next(c for c in contact_fields(given) if c.device_id == "mc-front")


def test_in_the_open_it_operates_as_declared_and_releases_near_its_declared_gap() -> None:
    free = front()
    assert free.make_gap_m == 0.015
    assert free.break_gap_m is not None
    assert abs(free.break_gap_m - 0.023) < 0.001  # the release gap its kind gives, not used in the calculation


def test_steel_takes_most_of_the_gap_and_a_spacer_gives_it_back() -> None:
    steel, spaced, free = front("steel"), front("steel", spacer_m=0.008), front()
    assert steel.make_gap_m is not None and spaced.make_gap_m is not None and free.make_gap_m is not None
    assert 0.0032 <= steel.make_gap_m < spaced.make_gap_m < free.make_gap_m


def test_out_of_line_it_operates_nearer_and_at_the_null_never() -> None:
    gaps = [front(offset_m=mm / 1000).make_gap_m or 0.0 for mm in (0, 5, 10)]
    assert gaps == sorted(gaps, reverse=True)
    dead = front(offset_m=0.016)
    assert dead.make_gap_m is None
    assert "does not bring the reed to operate" in dead.undecided


def test_near_the_hinge_the_edge_opens_far_before_it_tells() -> None:
    edge, middle = front().edge_m, front(from_hinge_m=0.5).edge_m
    assert edge is not None and middle is not None
    assert abs(middle - 2.0 * edge) < 1e-9  # the leaf is 1 m wide


def test_a_balanced_contact_is_not_held_by_a_foreign_magnet() -> None:
    plain, balanced = front(), front(kind="contact-balanced")
    assert plain.foreign_m is not None and plain.foreign_m > 0.054
    assert balanced.foreign_m is None


def test_the_loop_goes_by_the_state_when_secure_not_by_the_reed() -> None:
    kinds = scheme().catalogue.kinds
    closed = kinds["contact-surface"]
    opened = closed.model_copy(update={"words": {**closed.words, "state_when_secure": "open"}})
    shut = dict(loop_sees(closed, Scheme.NC))
    assert shut["leaf shut"].startswith("closed")
    assert "alarm" in shut["wire cut"] and "not told" in shut["wires joined"]
    other = dict(loop_sees(opened, Scheme.NO))
    assert other["leaf shut"].startswith("open")
    assert "not told" in other["wire cut"] and "alarm" in other["wires joined"]
    assert dict(loop_sees(closed, Scheme.DOUBLE))["wire cut"] == "told apart by its resistors"
    assert "wire cut" not in dict(loop_sees(closed, None))
