"""What a scenario says, and what it may not say."""

import pytest

from wardwright.analyses.scenario.script import scenario_from_text
from wardwright.errors import InputError

SCRIPT = """
title = "A day"
begins = "07:50"
seed = 3

[[actor]]
id = "ines"
right = "owner"
where = "hall"

[[actor.act]]
do = "set away"

[[actor.act]]
do = "leave"
by = "front"

[[event]]
at = "08:00"
what = "path lost"
path = "p-ip"
"""


def test_a_script_is_read() -> None:
    scenario = scenario_from_text(SCRIPT)
    assert [a.do for a in scenario.actor[0].act] == ["set away", "leave"]
    assert scenario.ms("07:50:30") == 30_000
    assert scenario.ms("07:49") == (24 * 60 - 1) * 60_000  # on the next day


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ('begins = "07:50"', 'begins = "7.50"', "time of day"),
        ('do = "leave"', 'do = "leaf"', "ines.*do"),
        ('do = "leave"\nby = "front"', 'do = "come in"', "needs by"),
        ('do = "leave"\nby = "front"', 'do = "wait"\nseconds = 3\nby = "front"', "no use for by"),
        ('do = "leave"\nby = "front"', 'do = "break in"\nby = "front"', "only an intruder breaks in"),
        ('do = "leave"\nby = "front"', 'do = "roam"\nseconds = 3', "only an animal"),
        ('do = "leave"\nby = "front"', 'do = "walk"\nthrough = [["g", 1.0, 1.0]]', "at least two places"),
        ('path = "p-ip"', "", "must name its path"),
        ('path = "p-ip"', 'path = "p-ip"\ndevice = "x"', "no use for device"),
        ('what = "path lost"', 'what = "path broken"', "event"),
        ("seed = 3", "seed = -3", "seed"),
        ("seed = 3", 'date = "2. March"', "ISO date"),
        ("seed = 3", 'set_away = ["house"]\nset_inside = ["house"]', "away and inside at once"),
        ("[[event]]", '[[actor]]\nid = "ines"\n[[event]]', "two actors are called “ines”"),
        ("[[event]]", "[event", "not a scenario"),
        ("[[event]]", "[[even]]", "even"),
    ],
)
def test_what_cannot_be_used_is_named(before: str, after: str, says: str) -> None:
    assert before in SCRIPT
    with pytest.raises(InputError, match=says):
        scenario_from_text(SCRIPT.replace(before, after), where="day.toml")
