"""The manual's picture of the panel is drawn from the tables the panel runs on."""

from pathlib import Path

from wardwright.panel.diagram import pages

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "theory"


def test_the_pages_are_those_of_the_tables() -> None:
    stale = [name for name, text in pages().items() if (FOLDER / name).read_text(encoding="utf-8") != text]
    assert not stale, "run: python -m wardwright.panel.diagram"
