"""The formula command: what it finds, works out and refuses."""

import json
import math

import pytest
from typer.testing import CliRunner

from wardwright.cli import app
from wardwright.cli.formulas import by_hand, unit_returned
from wardwright.errors import WardwrightError


def run(*words: str) -> str:
    result = CliRunner().invoke(app, ["formula", *words])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.output


def test_it_works_out_a_formula_with_its_unit() -> None:
    """ITU-R P.525: 20 log10(4 pi d / lambda)."""
    value, unit = run("free-space-loss", "frequency=299792458", "distance=100").split()
    assert float(value) == pytest.approx(20 * math.log10(4 * math.pi * 100), abs=1e-3)
    assert unit == "dB"


def test_machines_get_json() -> None:
    told = json.loads(run("indoor-loss", "frequency=1e9", "distance=10", "coefficients=2.46,29.53,2.38,5.04", "--json"))
    assert told["result"] == pytest.approx(24.6 + 29.53)
    assert told["unit"] == "dB"


def test_a_subject_and_the_whole_list_name_their_formulas() -> None:
    assert "burn-through" in run("radio")
    assert "conductors" in run()
    assert {item["formula"] for item in json.loads(run("--json"))} == set(by_hand())


def test_a_formula_alone_says_what_it_wants() -> None:
    assert "distance : float" in run("free-space-loss")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("fre-space-los",), "near: free-space-loss"),
        (("free-space-loss", "frequency=1e9"), "distance as well"),
        (("free-space-loss", "1e9"), "it takes frequency=, distance="),
        (("free-space-loss", "frequency=wide", "distance=1"), "“wide” is not a number"),
        (("free-space-loss", "frequency=1e9", "distance=-1"), "outside the valid range"),
        (("indoor-loss", "frequency=1e9", "distance=1", "coefficients=1,2"), "4 numbers"),
    ],
)
def test_wrong_use_is_one_plain_sentence(words: tuple[str, ...], said: str) -> None:
    with pytest.raises(WardwrightError, match=said):
        run(*words)


def test_nearly_every_formula_names_the_unit_it_returns() -> None:
    named = [key for key, (_, function) in by_hand().items() if unit_returned(function)]
    assert len(named) > len(by_hand()) / 2
