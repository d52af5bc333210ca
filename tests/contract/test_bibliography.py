"""Every entry of the bibliography says how it was known."""

from wardwright.sources import bibliography

STATES = {"seen", "seen in part", "from memory", "own"}


def test_every_source_says_how_it_was_known() -> None:
    unclear = [s.key for s in bibliography().values() if s.status not in STATES]
    assert not unclear, f"status of {unclear} is none of {sorted(STATES)}"


def test_every_source_has_title_and_note() -> None:
    bare = [s.key for s in bibliography().values() if not s.title.strip() or not s.note.strip()]
    assert not bare, f"no title or no note: {bare}"
