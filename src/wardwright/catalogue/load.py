"""Reads the catalogue that is shipped, and a contractor's own rows over it."""

import csv
import difflib
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from pathlib import Path

from wardwright.catalogue.figures import FigureRule, figure_rules
from wardwright.catalogue.kinds import Catalogue, DeviceKind, Family, Figure
from wardwright.catalogue.published import stored_value
from wardwright.errors import InputError

EDITION = "Wardwright generic kinds, first edition"

COLUMNS = ("kind", "figure", "value", "unit", "source", "note")

HEADINGS = ("name", "family", "tag", "radio", "like")
"""What a contractor's row may say about a kind itself, in the column ``figure``."""


@dataclass
class _Draft:
    """A kind while its rows are being read."""

    id: str
    line: int = 0
    name: str = ""
    family: str = ""
    tag: str = ""
    radio: bool = False
    figures: dict[str, Figure] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class BadRow:
    """A row that cannot be used."""

    line: int
    column: str
    reason: str

    def __str__(self) -> str:
        return f"line {self.line}, column “{self.column}”: {self.reason}"


class BadCatalogueError(InputError):
    """One or more rows of a catalogue cannot be used; ``rows`` lists them all."""

    def __init__(self, rows: tuple[BadRow, ...], *, where: str) -> None:
        count = "1 row" if len(rows) == 1 else f"{len(rows)} rows"
        super().__init__(f"{count} cannot be used\n" + "\n".join(f"  {row}" for row in rows), where=where)
        self.rows = rows


class _Rows:
    """Reads long-format rows into drafts and keeps a list of what is wrong."""

    def __init__(self, drafts: dict[str, _Draft]) -> None:
        self.drafts = drafts
        self.bad: list[BadRow] = []
        self.touched: dict[str, int] = {}
        self.seen: dict[tuple[str, str], int] = {}

    def refuse(self, line: int, column: str, reason: str) -> None:
        self.bad.append(BadRow(line, column, reason))

    def take(self, line: int, row: dict[str, str]) -> None:
        key, name = row["kind"], row["figure"]
        if not key or not all(c.isascii() and (c.isalnum() or c in "_.:-") for c in key) or not key[0].isalnum():
            self.refuse(line, "kind", f"“{key}” is no usable id: letters, digits, and - _ . : were expected")
            return
        if (key, name) in self.seen:
            self.refuse(line, "figure", f"“{name}” of “{key}” stands already in line {self.seen[key, name]}")
            return
        self.seen[key, name] = line
        draft = self.drafts.setdefault(key, _Draft(key, line))
        self.touched.setdefault(key, line)
        if name in HEADINGS:
            self._heading(line, draft, name, row["value"])
            return
        rule = figure_rules().get(name)
        if rule is None:
            self.refuse(line, "figure", f"no figure is called “{name}”{_nearest(name)}")
        elif not row["source"]:
            self.refuse(line, "source", "empty; say where the figure comes from, or “assumption”")
        elif rule.is_number:
            self._number(line, draft, rule, row)
        elif rule.words and row["value"] not in rule.words:
            self.refuse(line, "value", f"“{row['value']}” was given, one of {', '.join(rule.words)} was expected")
        elif not row["value"]:
            self.refuse(line, "value", "empty")
        else:
            draft.words[name] = row["value"]

    def _heading(self, line: int, draft: _Draft, name: str, value: str) -> None:
        if name == "family" and value not in set(Family):
            self.refuse(line, "value", f"no family is called “{value}”; one of {', '.join(Family)} was expected")
        elif name == "radio" and value not in ("yes", "no"):
            self.refuse(line, "value", f"“{value}” was given, yes or no was expected")
        elif name == "tag" and not (value.isalnum() and 2 <= len(value) <= 3):
            self.refuse(line, "value", f"“{value}” was given, two or three letters were expected")
        elif name == "like":
            model = self.drafts.get(value)
            if model is None or value == draft.id:
                self.refuse(line, "value", f"no kind is called “{value}”")
            elif draft.name or draft.figures or draft.words:
                self.refuse(line, "figure", f"“like” must be the first row of “{draft.id}”")
            else:
                draft.name, draft.family, draft.tag, draft.radio = model.name, model.family, model.tag, model.radio
                draft.figures, draft.words = dict(model.figures), dict(model.words)
        elif not value:
            self.refuse(line, "value", "empty")
        elif name == "radio":
            draft.radio = value == "yes"
        else:
            setattr(draft, name, value)

    def _number(self, line: int, draft: _Draft, rule: FigureRule, row: dict[str, str]) -> None:
        try:
            published = float(row["value"])
        except ValueError:
            self.refuse(line, "value", f"“{row['value']}” was given, a number was expected")
            return
        if not math.isfinite(published):
            self.refuse(line, "value", f"“{row['value']}” was given, a finite number was expected")
            return
        try:
            value = stored_value(published, row["unit"], rule.unit)
        except InputError as error:
            self.refuse(line, "unit", error.message)
            return
        if not rule.low <= value <= rule.high:
            limits = f"{rule.low:g} to {rule.high:g} {rule.unit}"
            self.refuse(line, "value", f"{value:g} {rule.unit} is outside what {rule.name} can be ({limits})")
            return
        source = f"{row['source']}; {row['note']}" if row["note"] else row["source"]
        draft.figures[rule.name] = Figure(
            value=value, published=row["value"], unit=row["unit"] or rule.unit, source=source
        )


def _nearest(name: str) -> str:
    close = difflib.get_close_matches(name, [*figure_rules(), *HEADINGS], n=1)
    return f"; did you mean “{close[0]}”?" if close else ""


def _read_rows(text: str, rows: _Rows) -> Iterator[tuple[int, dict[str, str]]]:
    reader = csv.reader(text.lstrip("\ufeff").splitlines())
    header: list[str] | None = None
    for cells in reader:
        line = reader.line_num
        trimmed = [cell.strip() for cell in cells]
        if not any(trimmed) or trimmed[0].startswith("#"):
            continue
        if header is None:
            header = [cell.lower() for cell in trimmed]
            missing = [c for c in ("kind", "figure", "value") if c not in header]
            strange = [c for c in header if c not in COLUMNS]
            if missing or strange:
                wrong = f"missing {', '.join(missing)}" if missing else f"not expected: {', '.join(strange)}"
                rows.refuse(line, "heading", f"{wrong}; the columns are {', '.join(COLUMNS)}")
                return
            continue
        if len(trimmed) > len(header):
            rows.refuse(line, header[-1], f"{len(trimmed)} cells where {len(header)} were expected (quote commas)")
            continue
        yield line, dict.fromkeys(COLUMNS, "") | dict(zip(header, trimmed, strict=False))


def _missing(kind: DeviceKind) -> list[str]:
    return [
        rule.name
        for rule in figure_rules().values()
        if rule.wanted_of(kind) and rule.name not in kind.figures and rule.name not in kind.words
    ]


def _finish(draft: _Draft) -> DeviceKind:
    return DeviceKind(
        id=draft.id,
        name=draft.name,
        family=Family(draft.family),
        tag=draft.tag,
        radio=draft.radio,
        figures=draft.figures,
        words=draft.words,
    )


@cache
def _shipped() -> Catalogue:
    folder = resources.files("wardwright.catalogue")
    drafts: dict[str, _Draft] = {}
    for row in csv.DictReader(folder.joinpath("kinds.csv").read_text(encoding="utf-8").splitlines()):
        drafts[row["id"]] = _Draft(row["id"], 0, row["name"], row["family"], row["tag"], row["radio"] == "yes")
    rows = _Rows(drafts)
    for line, figure in _read_rows(folder.joinpath("kind_figures.csv").read_text(encoding="utf-8"), rows):
        rows.take(line, figure)
    return _checked(rows, "kind_figures.csv", EDITION, frozenset(drafts))


def _checked(rows: _Rows, where: str, edition: str, wanted: frozenset[str]) -> Catalogue:
    kinds: dict[str, DeviceKind] = {}
    refused = {row.line for row in rows.bad}
    for draft in rows.drafts.values():
        line = rows.touched.get(draft.id, draft.line)
        if not (draft.name and draft.family and draft.tag):
            if line not in refused:
                lacking = [n for n in ("name", "family", "tag") if not getattr(draft, n)]
                said = f"the new kind “{draft.id}” has no {', '.join(lacking)} (or start it with “like”)"
                rows.refuse(line, "kind", said)
            continue
        kind = _finish(draft)
        if draft.id in wanted and not rows.bad and (lacking := _missing(kind)):
            rows.refuse(line, "figure", f"“{draft.id}” gives no {', '.join(lacking)}")
        kinds[draft.id] = kind
    if rows.bad:
        raise BadCatalogueError(tuple(sorted(rows.bad, key=lambda row: row.line)), where=where)
    return Catalogue(kinds=kinds, edition=edition)


def load_catalogue(own_csv: str | Path | None = None) -> Catalogue:
    """The kinds a design may use: those shipped, with a contractor's own rows over them.

    Parameters
    ----------
    own_csv : str or Path, optional
        The contractor's rows: the path of a CSV file, or its text (anything with a line break in it). Columns
        ``kind, figure, value, unit, source, note``; a row replaces the same figure of a kind that is there already,
        and a new kind says ``name``, ``family`` and ``tag`` in the column ``figure``, or starts with ``like`` and
        the id of a kind to copy.

    Returns
    -------
    Catalogue
        All kinds by id.

    Raises
    ------
    BadCatalogueError
        If any row cannot be used; all such rows are listed with line, column and reason.
    InputError
        If the file cannot be read.
    """
    shipped = _shipped()
    if own_csv is None or (isinstance(own_csv, str) and not own_csv.strip()):
        return shipped
    if isinstance(own_csv, str) and "\n" in own_csv:
        text, where = own_csv, "own catalogue rows"
    else:
        where = str(own_csv)
        try:
            text = Path(own_csv).read_text(encoding="utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            raise InputError(
                "this file cannot be read as a catalogue; CSV text in UTF-8 was expected", where=where
            ) from error
    drafts = {
        k.id: _Draft(k.id, 0, k.name, k.family.value, k.tag, k.radio, dict(k.figures), dict(k.words))
        for k in shipped.kinds.values()
    }
    rows = _Rows(drafts)
    for line, row in _read_rows(text, rows):
        rows.take(line, row)
    touched = frozenset(rows.touched)
    return _checked(rows, where, f"{EDITION}, with {len(touched)} kinds of the firm's own", touched)
