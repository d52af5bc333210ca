import math

import pytest

from wardwright.catalogue.figures import figure_rules
from wardwright.catalogue.kinds import Family
from wardwright.catalogue.load import BadCatalogueError, load_catalogue
from wardwright.errors import InputError
from wardwright.sources import bibliography

HEAD = "kind,figure,value,unit,source,note\n"


def test_every_family_has_a_kind():
    catalogue = load_catalogue()
    assert [f for f in Family if not catalogue.family(f)] == []


def test_every_figure_names_its_source():
    known = bibliography()
    for kind in load_catalogue().kinds.values():
        for name, figure in kind.figures.items():
            key = figure.source.partition(";")[0]
            assert key in ("common practice, no source", "assumption") or key in known, (kind.id, name)


def test_published_units_become_stored_units_and_are_kept():
    kind = load_catalogue().kind("pir-wide")
    assert kind.need("standby_current_a") == pytest.approx(0.012)
    assert kind.need("field_rad") == pytest.approx(math.pi / 2)
    figure = kind.figures["field_rad"]
    assert (figure.published, figure.unit) == ("90", "deg")


def test_sound_level_at_ten_feet_is_referred_to_one_metre():
    # 20 lg(10 ft / 1 m) = 20 lg 3.048 = 9.68 dB: inverse square law, computed
    level = load_catalogue().kind("all-in-one").need("level_db_1m")
    assert level == pytest.approx(85 + 9.680, abs=0.001)


def test_erp_becomes_eirp():
    # half-wave dipole 2.15 dBi: 10 mW e.r.p. = 10 + 2.15 dBm
    assert load_catalogue().kind("contact-surface-radio").need("radio_power_dbm") == pytest.approx(12.15)


def test_every_row_of_the_register_is_used_by_some_kind():
    kinds = load_catalogue().kinds.values()
    used = {n for k in kinds for n in (*k.figures, *k.words)}
    assert set(figure_rules()) - used == set()


def test_own_row_replaces_a_figure_and_leaves_the_rest():
    own = HEAD + "pir-wide,price,31.50,EUR,price list of March,\n"
    kind = load_catalogue(own).kind("pir-wide")
    assert kind.need("price") == 31.5
    assert kind.need("range_m") == load_catalogue().kind("pir-wide").need("range_m")


def test_new_kind_may_start_from_another():
    own = HEAD + "hall-pir,like,pir-pet,,,\nhall-pir,name,Hall detector,,,\nhall-pir,range_m,30,ft,data sheet,\n"
    kind = load_catalogue(own).kind("hall-pir")
    assert kind.name == "Hall detector"
    assert kind.need("range_m") == pytest.approx(9.144)
    assert kind.family is Family.MOTION


def test_all_bad_rows_are_listed_with_line_column_and_reason():
    own = (
        HEAD
        + "pir-wide,range_m,twelve,m,x,\n"
        + "pir-wide,rnge_m,12,m,x,\n"
        + "pir-wide,field_rad,90,mm,x,\n"
        + "pir-wide,pulse_count,99,,x,\n"
        + "pir-wide,optic,round,,x,\n"
        + "pir-wide,price,12,EUR,,\n"
        + "new one,price,12,EUR,x,\n"
        + "half,price,12,EUR,x,\n"
        + "pir-wide,voltage_min_v,nan,V,x,\n"
    )
    with pytest.raises(BadCatalogueError) as caught:
        load_catalogue(own)
    rows = [(row.line, row.column) for row in caught.value.rows]
    assert rows == [
        (2, "value"),
        (3, "figure"),
        (4, "unit"),
        (5, "value"),
        (6, "value"),
        (7, "source"),
        (8, "kind"),
        (9, "kind"),
        (10, "value"),
    ]
    assert "did you mean “range_m”" in str(caught.value)


def test_new_kind_must_give_what_its_family_needs():
    own = HEAD + "b,name,Bare,,,\nb,family,motion detector,,,\nb,tag,XX,,,\n"
    with pytest.raises(BadCatalogueError, match=r"gives no .*range_m"):
        load_catalogue(own)


def test_figure_given_twice_is_refused():
    with pytest.raises(BadCatalogueError, match="stands already in line 2"):
        load_catalogue(HEAD + "pir-wide,price,1,EUR,x,\npir-wide,price,2,EUR,x,\n")


def test_strange_heading_is_refused():
    with pytest.raises(BadCatalogueError, match="not expected: colour"):
        load_catalogue("kind,figure,value,colour\npir-wide,price,1,red\n")


def test_file_is_read(tmp_path):
    path = tmp_path / "own.csv"
    path.write_text("\ufeff" + HEAD + "keypad,price,70,EUR,list,\n", encoding="utf-8")
    assert load_catalogue(path).kind("keypad").need("price") == 70.0


def test_missing_file_is_one_sentence(tmp_path):
    with pytest.raises(InputError, match="cannot be read as a catalogue"):
        load_catalogue(tmp_path / "none.csv")
