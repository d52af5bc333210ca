"""The bibliography: every source a docstring, catalogue row, rule or test may cite, once.

The entries live in CSV files in this folder, one per subject: key, title, edition, how it was known (``seen``,
``seen in part``, ``from memory``, ``own``) and a note on what was seen.
"""

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True)
class Source:
    """One entry of the bibliography."""

    key: str
    title: str
    edition: str
    status: str
    """``seen``, ``seen in part``, ``from memory`` or ``own``."""
    note: str


@cache
def bibliography() -> dict[str, Source]:
    """Every source by key."""
    found: dict[str, Source] = {}
    folder = resources.files(__name__)
    for file in sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".csv")):
        for row in csv.DictReader(folder.joinpath(file).read_text(encoding="utf-8").splitlines()):
            if row["key"] in found:
                raise ValueError(f"sources/{file}: the key {row['key']} stands twice")
            found[row["key"]] = Source(**row)
    return found
