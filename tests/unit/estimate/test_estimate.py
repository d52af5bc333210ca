from decimal import Decimal

import pytest
from tests.house import design, house

from wardwright.catalogue.load import load_catalogue
from wardwright.design.devices import Keep
from wardwright.errors import InputError
from wardwright.estimate.offers import offers
from wardwright.estimate.quote import estimate
from wardwright.estimate.tariff import load_tariff
from wardwright.estimate.variants import without_devices

TARIFF = load_tariff()
CATALOGUE = load_catalogue()
HEAD = "kind,figure,value,unit,source,note\n"


def quote(**changes):
    tariff = TARIFF.model_copy(update=changes.pop("tariff", {}))
    catalogue = changes.pop("catalogue", CATALOGUE)
    return estimate(design().model_copy(update=changes), catalogue, tariff=tariff, premises=house())


def test_a_sum_anybody_can_follow():
    # one keypad, worked by hand: 62.00 part + 4 % sundries 2.48; fitting 35 min at 48/h = 27.84 (0.58 h);
    # proving 6 min at 58/h = 5.80 (0.10 h); survey 2 h 116.00; handover 48.00; two days' travel at 38 = 76.00
    alone = design().model_copy(
        update={
            "devices": (design().device("keypad"),),
            "loops": (),
            "feeds": (),
            "backups": (),
            "programme": design().programme.model_copy(update={"zones": (), "paths": (), "outputs": ()}),
        }
    )
    result = estimate(alone, CATALOGUE, tariff=TARIFF, premises=house())
    assert result.cost == Decimal("62.00") + Decimal("2.48") + Decimal("27.84") + Decimal("5.80") + 116 + 48 + 76
    assert result.overhead == Decimal("60.86")  # 18 % of 338.12
    assert result.net == Decimal("469.39")  # (338.12 + 60.86) / 0.85
    assert result.tax == Decimal("93.88")
    assert result.total == Decimal("563.27")


def test_printed_lines_add_up():
    result = quote()
    assert sum(line.amount for line in result.lines) + result.sundries == result.cost
    assert result.cost + result.overhead + result.margin == result.net
    assert all(line.amount == line.amount.quantize(Decimal("0.01")) for line in result.lines)


def test_kept_devices_cost_no_part_and_replaced_ones_are_taken_away():
    kept = tuple(d.model_copy(update={"status": Keep.KEPT}) for d in design().devices)
    gone = tuple(d.model_copy(update={"status": Keep.REPLACED}) for d in design().devices)
    names = {line.item for line in quote(devices=kept).lines if line.section == "parts"}
    assert names == {"battery-7ah", "resistor-2200", "resistor-6800"}
    assert not [line for line in quote(devices=gone, backups=(), loops=()).lines if line.section == "cable"]


def test_resistors_are_counted():
    lines = {line.item: line.quantity for line in quote().lines}
    assert lines["resistor-2200"] == 5 and lines["resistor-6800"] == 5


def test_invented_prices_in_another_currency_are_called_out():
    result = quote(tariff={"currency": "USD"})
    assert any("one for one in USD" in text for text in result.assumptions)


def test_firm_price_in_another_currency_needs_an_exchange():
    catalogue = load_catalogue(HEAD + "keypad,price,70,GBP,price list,\n")
    with pytest.raises(InputError, match="exchange of GBP"):
        quote(catalogue=catalogue)
    worth = quote(catalogue=catalogue, tariff={"exchange": {"GBP": Decimal("1.20")}})
    assert next(line.amount for line in worth.lines if line.item == "keypad") == Decimal("84.00")


def test_recurring_charges_follow_the_paths():
    monitored = {charge.name for charge in quote().recurring}
    assert any(name.startswith("Monitoring") for name in monitored)
    silent = estimate(design(), CATALOGUE, tariff=TARIFF, premises=house(), monitored=False)
    assert not any(charge.name == "Monitoring" for charge in silent.recurring)


def test_tariff_of_the_firm_overlays_and_bad_ones_are_one_sentence(tmp_path):
    own = tmp_path / "tariff.toml"
    own.write_text('currency = "GBP"\nmargin_share = 0.25\n', encoding="utf-8")
    assert load_tariff(own).margin_share == Decimal("0.25")
    own.write_text('margin_share = "1.5"\n', encoding="utf-8")
    with pytest.raises(InputError, match="“margin_share” cannot be used"):
        load_tariff(own)
    own.write_text("margin_share = = 1", encoding="utf-8")
    with pytest.raises(InputError, match="no readable tariff"):
        load_tariff(own)


def test_three_offers_are_three_designs():
    essential, specified, extended = offers(design(), CATALOGUE, tariff=TARIFF, premises=house())
    assert [o.name for o in (essential, specified, extended)] == ["Essential", "As specified", "Extended"]
    assert essential.estimate.total < specified.estimate.total
    assert specified.design == design() and specified.changes == ()
    assert {c.key for c in essential.changes} == {"acoustic", "path"}
    assert not any(d.kind == "glass-break" for d in essential.design.devices)
    assert [p.kind for p in essential.design.programme.paths] == ["ip"]


def test_extended_offer_adds_what_is_missing():
    lean = without_devices(design(), frozenset({"gb-living"}))
    _, specified, extended = offers(lean, CATALOGUE, tariff=TARIFF, premises=house())
    added = {d.id for d in extended.design.devices} - {d.id for d in lean.devices}
    assert added == {"gb-living"}
    assert {z.number for z in extended.design.programme.zones} == {1, 2, 3, 4, 5}
    assert extended.estimate.total > specified.estimate.total
    assert extended.estimate.recurring_year > specified.estimate.recurring_year


def test_removing_a_device_removes_it_everywhere():
    left = without_devices(design(), frozenset({"pir-living", "outer-sounder"}))
    text = left.model_dump_json()
    assert "pir-living" not in text and "outer-sounder" not in text and "z4" not in text


def test_last_contact_of_a_loop_takes_the_resistor_over():
    two = design().loops[0].model_copy(update={"contacts": ("mc-front", "mc-window")})
    end = two.resistors[0].model_copy(update={"at": "mc-window"})
    two = two.model_copy(update={"resistors": (end,)})
    left = without_devices(design().model_copy(update={"loops": (two,)}), frozenset({"mc-window"}))
    assert left.loops[0].resistors[0].at == "mc-front"
