"""Radio links in the small invented house."""

from dataclasses import replace

import pytest
from tests.house import design, house, scheme

from wardwright.analyses.radio import Link, radio
from wardwright.analyses.radio_line import crossings
from wardwright.design.brief import Reading
from wardwright.design.devices import Device, RadioLink
from wardwright.design.system import ProtectionScheme
from wardwright.premises.fabric import Construction, Layer
from wardwright.premises.model import Premises
from wardwright.rules.aims.radio import radio_findings

RECEIVER = Device(id="rx", kind="receiver", storey_id="g", position=(0.5, 6.0), height_m=1.6)


def linked(
    *,
    at: tuple[float, float] = (9.5, 6.0),
    storey: str = "g",
    kind: str = "pir-wide-radio",
    premises: Premises | None = None,
    readings: tuple[Reading, ...] = (),
    link: bool = True,
    receiver: Device = RECEIVER,
) -> ProtectionScheme:
    sender = Device(id="tx", kind=kind, storey_id=storey, position=at, height_m=2.2)
    base = design()
    return replace(
        scheme(),
        premises=premises or house(),
        design=base.model_copy(
            update={
                "devices": (*base.devices, receiver, sender),
                "radio": (RadioLink(device_id="tx", receiver_id="rx"),) if link else (),
            }
        ),
        readings=readings,
    )


def only(given: ProtectionScheme) -> Link:
    (told,) = radio(given).links
    return told


def built(*layers: tuple[str, float]) -> Premises:
    base = house()
    made = Construction(id="c", name="Wall", layers=tuple(Layer(material=m, thickness_m=t) for m, t in layers))
    walls = tuple(w.model_copy(update={"construction_id": "c"}) if w.id == "g-mid" else w for w in base.walls)
    return base.model_copy(update={"constructions": (made,), "walls": walls})


def test_the_line_goes_through_the_wall_it_meets_and_no_other() -> None:
    told = only(linked())
    assert told.through == ("wall g-mid",)
    assert told.distance_m == pytest.approx((9.0**2 + 0.6**2) ** 0.5)
    assert told.reserve_db is not None and told.reserve_db > 30.0
    assert "not surveyed" in told.assumption
    same_room = only(linked(at=(2.5, 7.5)))
    assert same_room.through == ()


def test_through_the_door_it_is_the_door() -> None:
    receiver = RECEIVER.model_copy(update={"position": (0.5, 4.0), "height_m": 1.2})
    base = linked(at=(9.5, 4.0), receiver=receiver)
    devices = tuple(d.model_copy(update={"height_m": 1.2}) if d.id == "tx" else d for d in base.design.devices)
    low = replace(base, design=base.design.model_copy(update={"devices": devices}))
    assert only(low).through == ("Inner door",)
    assert only(linked(at=(9.5, 4.0), receiver=receiver.model_copy(update={"height_m": 2.5}))).through == (
        "wall g-mid",
    )


def test_known_layers_are_used_and_heavier_ones_cost_more() -> None:
    board = only(linked(premises=built(("plasterboard", 0.0125), ("stud", 0.075), ("plasterboard", 0.0125))))
    concrete = only(linked(premises=built(("concrete", 0.2))))
    steel = only(linked(premises=built(("steel", 0.002))))
    assert board.reserve_db is not None and concrete.reserve_db is not None and steel.reserve_db is not None
    assert board.reserve_db > concrete.reserve_db > steel.reserve_db
    assert "not surveyed" not in board.assumption


def test_a_floor_between_storeys_is_met_once() -> None:
    met = crossings(house(), ("u", (8.0, 6.0), 1.0), ("g", (6.0, 6.0), 1.0))
    assert [m.what for m in met] == ["floor of Upper floor"]
    told = only(linked(at=(8.0, 6.0), storey="u"))
    assert set(told.through) == {"floor of Upper floor", "wall g-mid"}


def test_a_measured_level_replaces_the_prediction() -> None:
    reading = Reading(id="r1", quantity="radio level", at="tx", value=-95.0, unit="dBm", date="2026-01-02",
                      instrument="link test", uncertainty=2.0)  # fmt: skip
    analysis = radio(linked(readings=(reading,)))
    (told,) = analysis.links
    assert told.measured
    assert told.level_dbm == -95.0
    assert told.interval_db == pytest.approx((8.0, 12.0))
    (compared,) = analysis.compared
    assert compared.predicted is not None and compared.predicted > -95.0
    assert not compared.explained  # 40 dB under anything the model can explain
    refuted = [f for f in radio_findings(analysis) if f.rule == "power.radio-reserve"]
    assert refuted[0].outcome.value == "not met"


def test_a_low_power_sender_has_less_in_reserve() -> None:
    weak = linked(kind="pir-wide-radio-433", receiver=RECEIVER.model_copy(update={"kind": "receiver-433"}))
    strong, low = only(linked()), only(weak)
    assert strong.reserve_db is not None and low.reserve_db is not None
    assert low.reserve_db < strong.reserve_db - 10.0
    crossed = only(linked(kind="pir-wide-radio-433"))
    assert crossed.reserve_db is None and "listens at" in crossed.undecided


def test_a_radio_device_nobody_listens_to_is_told() -> None:
    analysis = radio(linked(link=False))
    assert analysis.unlinked == ("tx",)
    assert [f.rule for f in radio_findings(analysis)] == ["power.radio-heard"]
