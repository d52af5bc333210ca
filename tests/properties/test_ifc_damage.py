"""A damaged IFC file gives a building or one plain sentence, never a traceback, whatever was lost or changed in it."""

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

pytest.importorskip("ifcopenshell", reason="the optional IFC part is not installed")

from tests.ifc_houses import House

from wardwright.errors import WardwrightError
from wardwright.intake.open_file import read_premises
from wardwright.premises.plan import storey_plans

DAMAGE = {
    "line lost": lambda line, n: "",
    "reference astray": lambda line, n: re.sub(r"#\d+(?=[,)])", f"#{(1, 5, 50, 999_999)[n % 4]}", line, count=1),
    "number absurd": lambda line, n: re.sub(
        r"-?\d+\.\d*(E[-+]?\d+)?", ("1.E308", "-5.", "0.", "1.E-300", "987654321.")[n % 5], line, count=1
    ),
    "text lost": lambda line, n: re.sub(r"'[^']*'", "$", line, count=1),
    "line cut": lambda line, n: line[: n % (len(line) or 1)],
    "word unknown": lambda line, n: re.sub(r"\.[A-Z_]+\.", ".NONSENSE.", line, count=1),
    "reference lost": lambda line, n: re.sub(r"#\d+(?=[,)])", "$", line, count=1),
}


@pytest.fixture(scope="module")
def lines(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    return House().write(tmp_path_factory.mktemp("ifc") / "house.ifc").read_text().splitlines()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    hits=st.lists(
        st.tuples(st.integers(0, 10_000), st.sampled_from(sorted(DAMAGE)), st.integers(0, 60)), min_size=1, max_size=20
    )
)
def test_damage_gives_a_building_or_a_sentence(
    hits: list[tuple[int, str, int]], lines: list[str], tmp_path: Path
) -> None:
    damaged = list(lines)
    data = [i for i, line in enumerate(damaged) if line.startswith("#")]
    for place, kind, n in hits:
        at = data[place % len(data)]
        damaged[at] = DAMAGE[kind](damaged[at], n)
    path = tmp_path / "house.ifc"
    path.write_text("\n".join(damaged))
    try:
        premises = read_premises(path).premises
    except WardwrightError as error:
        assert "\n" not in str(error)
        return
    assert premises.rooms and premises.walls
    storey_plans(premises)
