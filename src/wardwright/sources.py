"""The bibliography: every source a docstring, catalogue row, rule or test may cite, once.

The entries live in ``sources.csv``: key, title, edition, how it was known (``seen``, ``from memory``, ``computed``)
and a note on what was seen.
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
    text = resources.files("wardwright").joinpath("sources.csv").read_text(encoding="utf-8")
    return {row["key"]: Source(**row) for row in csv.DictReader(text.splitlines())}
