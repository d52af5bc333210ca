"""The running list of guesses, and the ids given out, while a building is put together."""

import re
from collections.abc import Iterable

from wardwright.intake.draft import Assumption
from wardwright.intake.names import folded


class Report:
    """What was assumed, in the order it came up; guesses of one kind about many things become one line."""

    def __init__(self, earlier: Iterable[Assumption] = ()) -> None:
        self._notes: dict[tuple[str, str, str, bool], list[str]] = {}
        for note in earlier:
            self.add(note.what, note.where, note.assumed, note.correct_by, missing=note.missing)

    def add(self, what: str, where: Iterable[str], assumed: str, correct_by: str, *, missing: bool = False) -> None:
        """Remember one guess."""
        places = self._notes.setdefault((what, assumed, correct_by, missing), [])
        places += [w for w in where if w not in places]

    def renamed(self, names: dict[str, str]) -> tuple[Assumption, ...]:
        """Every guess, with the source's keys replaced by the ids given.

        Parameters
        ----------
        names : dict of str to str
            Id by key.
        """
        return tuple(
            Assumption(what, tuple(dict.fromkeys(names.get(w, w) for w in where)), assumed, fix, missing)
            for (what, assumed, fix, missing), where in self._notes.items()
        )


_GERMAN = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue"})
_LONGEST = 40


class Ids:
    """Readable ids, unique over all kinds of element."""

    def __init__(self) -> None:
        self.given: set[str] = set()
        """Every id in use."""
        self._counts: dict[str, int] = {}

    def name(self, kind: str, name: str) -> str:
        """Id made of the kind and the source's name; a number where the name is no help or taken.

        Parameters
        ----------
        kind : str
            First part of the id: ``room``, ``door``.
        name : str
            Name in the source.
        """
        slug = re.sub(r"[^a-z0-9]+", "-", folded(name.translate(_GERMAN))).strip("-")
        if slug == kind or slug.startswith(f"{kind}-"):
            slug = slug[len(kind) + 1 :]
        wordy = ":" in name or len(slug) > _LONGEST
        return self.number(kind) if not slug or wordy else self._fresh(f"{kind}-{slug}")

    def number(self, kind: str) -> str:
        """The next numbered id of a kind.

        Parameters
        ----------
        kind : str
            First part of the id.
        """
        while True:
            self._counts[kind] = self._counts.get(kind, 0) + 1
            key = f"{kind}-{self._counts[kind]}"
            if key not in self.given:
                self.given.add(key)
                return key

    def _fresh(self, wanted: str) -> str:
        key, n = wanted, 1
        while key in self.given:
            n += 1
            key = f"{wanted}-{n}"
        self.given.add(key)
        return key
