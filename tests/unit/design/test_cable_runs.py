"""Which runs of cable a design needs, and how long they are."""

import pytest
from tests.house import design, house

from wardwright.catalogue.load import load_catalogue
from wardwright.design.cable_runs import cable_runs
from wardwright.design.devices import Cable, Keep
from wardwright.design.lengths import ALLOWED, ROUTED, SLACK_M, unmeasured_length

CATALOGUE = load_catalogue()


def test_every_wired_device_but_the_first_panel_has_a_run() -> None:
    runs = {run.from_id: run for run in cable_runs(design().model_copy(update={"feeds": ()}), CATALOGUE, house())}
    assert set(runs) == {d.id for d in design().devices} - {"panel"}
    assert all(run.length.how == ROUTED for run in runs.values())


def test_a_length_given_for_a_feed_is_taken_and_a_drawn_cable_as_drawn() -> None:
    drawn = Cable(id="c1", kind="cable-6x022", from_id="panel", to_id="keypad", length_m=31.0)
    there = Cable(id="c2", from_id="panel", to_id="pir-hall", status=Keep.KEPT)
    runs = cable_runs(design().model_copy(update={"cables": (drawn, there)}), CATALOGUE, house())
    assert [(r.length.metres, r.length.how) for r in runs if r.to_id == "keypad"] == [(31.0, "measured")]
    assert "pir-hall" not in {r.from_id for r in runs}
    assert next(r for r in runs if r.from_id == "pir-living").length.metres == pytest.approx(12.0)  # its feed says so


def test_without_rooms_a_length_is_allowed_by_the_rule() -> None:
    """Keypad (0.3, 3.5) at 1.3 m, panel (9.7, 4.0) at 2.9 + 1.6 m: 9.4 + 0.5 + 3.2 = 13.1 m; × 1.35 + 2."""
    devices = {d.id: d for d in design().devices}
    bare = house().model_copy(update={"rooms": ()})
    length = unmeasured_length(devices["keypad"], devices["panel"], bare)
    assert length.how == ALLOWED
    assert length.metres == pytest.approx(19.685)
    routed = unmeasured_length(devices["keypad"], devices["panel"], house())
    assert routed.way is not None
    assert routed.metres == pytest.approx(routed.way.length_m + SLACK_M)
