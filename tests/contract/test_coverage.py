"""Every row of every standard has a state, every checked row a judge, and the coverage pages are those of the code."""

import re
from pathlib import Path

from wardwright.rules.coverage import pages
from wardwright.rules.editions import MODULES
from wardwright.rules.register import CLAUSES, rows
from wardwright.sources import bibliography

ROOT = Path(__file__).resolve().parents[2]
NO_SOURCE = {"common practice, no source", "derived", "assumption"}
ROW = re.compile(r"\"((?:EU|UK|US)-[A-Z0-9]{1,3}-[A-Z]?\d{1,2}|(?:MNT|LAW|SAF)-\d{2})\"")


def test_a_row_is_checked_exactly_where_a_function_judges_it() -> None:
    assert MODULES
    checked = {key for key, row in rows().items() if row.state == "checked"}
    assert checked == set(CLAUSES)


def test_every_row_that_is_not_checked_says_why() -> None:
    assert not [r.id for r in rows().values() if r.state != "checked" and not r.reason]


def test_every_row_names_a_known_source() -> None:
    known = bibliography()
    assert not [r.id for r in rows().values() if r.source not in known and r.source not in NO_SOURCE]


def test_a_row_seen_in_its_own_words_has_a_source_that_was_seen() -> None:
    known = bibliography()
    wrong = [r.id for r in rows().values() if r.known == "seen" and not known[r.source].status.startswith("seen")]
    assert not wrong


def test_every_row_cited_in_the_code_is_on_the_list() -> None:
    cited: dict[str, str] = {}
    for path in (ROOT / "src").rglob("*.py"):
        for key in ROW.findall(path.read_text(encoding="utf-8")):
            cited[key] = path.name
    assert cited
    assert not {key: where for key, where in cited.items() if key not in rows()}


def test_the_pages_are_those_of_the_code() -> None:
    folder = ROOT / "docs" / "coverage"
    stale = [name for name, text in pages().items() if (folder / name).read_text(encoding="utf-8") != text]
    assert not stale, "run: python -m wardwright.rules.coverage"
    assert {p.name for p in folder.glob("*.md")} == set(pages())
