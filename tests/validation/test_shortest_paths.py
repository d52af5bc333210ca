"""Shortest interior paths against the lengths beside the office-like plans.

Source of the expected values: plans-50-checks.json, made with extremitypathfinder 2.7.2 and, up to 120 vertices, again
with a plain visibility graph; none of it this project's code (plans-50.md). In two of the plans above 120 vertices
(office-s-120-3 and office-s-160-4) the corners given beside the length lead straight across a part that lies outside
the outline, so those two lengths are no paths inside the plan and are not used; that they leave it is checked here.
"""

import json
from pathlib import Path

import pytest
from shapely import LineString, Polygon
from tests.exact_paths import shortest_path

from wardwright.errors import GeometryError


def _plans(folder: Path) -> dict[str, Polygon]:
    plans = json.loads((folder / "plans-50.json").read_text(encoding="utf-8"))["plans"]
    return {p["id"]: Polygon(p["outline"], p["holes"]) for p in plans if p["source"] == "office-like"}


OUTSIDE_THE_PLAN = {"office-s-120-3", "office-s-160-4"}


@pytest.mark.real
def test_all_lengths_agree_to_a_millionth(shared_premises: Path) -> None:
    plans = _plans(shared_premises)
    checks = json.loads((shared_premises / "plans-50-checks.json").read_text(encoding="utf-8"))["checks"]
    assert len(checks) == 44
    for check in checks:
        plan = plans[check["id"]]
        length, points = shortest_path(plan, tuple(check["point"]), tuple(check["target"]))
        strays = LineString(check["path"]).difference(plan).length
        assert (strays > 0.5) == (check["id"] in OUTSIDE_THE_PLAN)
        assert strays < 1e-6 or strays > 0.5
        assert LineString(points).difference(plan).length < 1e-6
        if check["id"] in OUTSIDE_THE_PLAN:
            assert length > check["shortest_path"]
        else:
            assert length == pytest.approx(check["shortest_path"], rel=1e-6), check["id"]


def test_round_a_corner_and_round_a_hole() -> None:
    # an L of 4 x 4 less its upper right quarter: round the corner (2, 2); lengths by Pythagoras
    ell = Polygon([(0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (0, 4)])
    length, points = shortest_path(ell, (4.0, 1.0), (1.0, 4.0))
    assert length == pytest.approx(5**0.5 + 5**0.5)
    assert points == ((4.0, 1.0), (2.0, 2.0), (1.0, 4.0))
    ring = Polygon([(0, 0), (6, 0), (6, 6), (0, 6)], [[(2, 2), (4, 2), (4, 4), (2, 4)]])
    length, _ = shortest_path(ring, (1.0, 3.0), (5.0, 3.0))
    assert length == pytest.approx(2 * 2**0.5 + 2.0)


def test_an_end_outside_is_refused() -> None:
    with pytest.raises(GeometryError, match="end of the path"):
        shortest_path(Polygon([(0, 0), (1, 0), (1, 1), (0, 1)]), (0.5, 0.5), (2.0, 0.5))
