"""The register of figures: what each is called, its unit, its sane range, its meaning, and which kinds must give it."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

from wardwright.catalogue.kinds import DeviceKind


@dataclass(frozen=True)
class FigureRule:
    """One entry of the register."""

    name: str
    unit: str
    """Unit it is stored in; ``word`` for one of a list of words, ``text`` for free text."""
    low: float
    high: float
    words: tuple[str, ...]
    families: tuple[str, ...]
    """Families that must give it; ``/wired`` or ``/radio`` narrows, ``*`` means every kind, ``*radio`` every radio
    kind."""
    meaning: str

    @property
    def is_number(self) -> bool:
        """True for a number, False for a word or text."""
        return self.unit not in ("word", "text")

    def wanted_of(self, kind: DeviceKind) -> bool:
        """True where this kind's row must give the figure."""
        link = "radio" if kind.radio else "wired"
        names = {"*", f"*{link}", kind.family.value, f"{kind.family.value}/{link}"}
        return not names.isdisjoint(self.families)


@cache
def figure_rules() -> dict[str, FigureRule]:
    """The register by name."""
    text = resources.files("wardwright.catalogue").joinpath("figures.csv").read_text(encoding="utf-8")
    found: dict[str, FigureRule] = {}
    for row in csv.DictReader(text.splitlines()):
        found[row["name"]] = FigureRule(
            name=row["name"],
            unit=row["unit"],
            low=float(row["low"] or "-inf"),
            high=float(row["high"] or "inf"),
            words=tuple(w for w in row["words"].split("/") if w),
            families=tuple(f for f in row["families"].split(";") if f),
            meaning=row["meaning"],
        )
    return found
