"""Every question has its words, and no file is a drawer for odds and ends."""

import re
from pathlib import Path

from wardwright.findings import QUESTION_WORDS, Question

ROOT = Path(__file__).resolve().parents[2]


def test_every_question_has_its_words() -> None:
    assert set(QUESTION_WORDS) == set(Question)


def test_no_drawers() -> None:
    drawers = re.compile(r"(^|/)(utils?|helpers?|common|misc|manager|core)(\.py|\.ts|/)")
    names = [str(p.relative_to(ROOT)) for p in (ROOT / "src").rglob("*") if "__pycache__" not in p.parts]
    assert not [n for n in names if drawers.search(n)]
