"""Coverage pages: every row, whether it is checked, judged by a person, does not apply, or not yet.

``python -m wardwright.rules.coverage`` writes them to ``docs/coverage``; a contract test holds them against the code.
"""

import sys
from collections import Counter
from pathlib import Path

from wardwright.design.brief import Profile
from wardwright.rules.editions import MODULES
from wardwright.rules.profiles import applies
from wardwright.rules.register import CLAUSES, Row, State, rows
from wardwright.sources import bibliography

_STATES: tuple[State, ...] = ("checked", "judged by a person", "not yet", "does not apply")
_PAGES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("europe", "Europe: EN 50131, EN 50136, CLC/TS 50131-7", ("EU-",)),
    ("united-kingdom", "United Kingdom: BS 8243, police and noise", ("UK-",)),
    ("united-states", "United States: UL, ANSI/SIA CP-01, NFPA, NEC", ("US-",)),
    (
        "practice-and-law",
        "Mounting practice, local law, cautions, symbols, editions",
        ("MNT-", "LAW-", "SAF-", "SYM-", "ED-"),
    ),
)
_MADE = "<!-- written by wardwright.rules.coverage; do not edit -->"


def pages() -> dict[str, str]:
    """Every coverage page by file name.

    Returns
    -------
    dict of str to str
        Markdown.
    """
    made = {f"{name}.md": _page(title, prefixes) for name, title, prefixes in _PAGES}
    made["index.md"] = _index()
    return made


def _counts(chosen: list[Row]) -> str:
    counted = Counter(r.state for r in chosen)
    return " | ".join(str(counted[state]) for state in _STATES)


def _index() -> str:
    every = list(rows().values())
    lines = [
        _MADE,
        "# What is checked, and what is not",
        "",
        "Each row is one fact of a standard, a law or the trade, restated in our own words. It is *checked* by a",
        "function of this program, *judged by a person*, *does not apply* (it defines, lists, or is no matter of this",
        "program), or *not yet* checked, with what it waits for.",
        "",
        "A row whose own words were **seen** can refute a design. A row known **from memory**, from a summary or in",
        "part refutes nothing until a firm that holds the text confirms it:",
        "`wardwright confirm ROW --edition … --by …`. A recommendation never refutes.",
        "",
        "| page | rows | " + " | ".join(_STATES) + " |",
        "|---|---" + "|---" * len(_STATES) + "|",
    ]
    for name, title, prefixes in _PAGES:
        chosen = [r for r in every if r.id.startswith(prefixes)]
        lines.append(f"| [{title}]({name}.md) | {len(chosen)} | {_counts(chosen)} |")
    lines.append(f"| all | {len(every)} | {_counts(every)} |")
    lines += ["", "| profile | checked rows that apply |", "|---|---|"]
    for profile in Profile:
        lines.append(f"| {profile.value} | {sum(applies(r, profile) for r in CLAUSES)} |")
    lines += ["", f"The functions are in {len(MODULES)} modules of `wardwright.rules`.", ""]
    return "\n".join(lines)


def _page(title: str, prefixes: tuple[str, ...]) -> str:
    chosen = [r for r in rows().values() if r.id.startswith(prefixes)]
    lines = [_MADE, f"# {title}", ""]
    for state in _STATES:
        some = [r for r in chosen if r.state == state]
        if not some:
            continue
        lines += [f"## {state.capitalize()} ({len(some)})", ""]
        last = "checked by" if state == "checked" else "why"
        lines += [f"| row | fact | source | known | {last} |", "|---|---|---|---|---|"]
        lines += [_line(r) for r in some]
        lines.append("")
    return "\n".join(lines)


def _line(row: Row) -> str:
    entry = bibliography().get(row.source)
    title = f"{entry.title.split(',')[0]}, {entry.edition}" if entry else row.source
    source = f"{title}, {row.clause}" if row.clause else title
    known = row.known if not row.confidence else f"{row.known} ({row.confidence})"
    known += "; recommendation" if row.nature == "recommendation" else ""
    judge = CLAUSES.get(row.id)
    last = row.reason
    if judge is not None:
        module = judge.__module__.removeprefix("wardwright.rules.")
        last = f"`{module}.{judge.__name__}`"
    cells = (row.id, row.fact, source, known, last)
    return (
        "| " + " | ".join(cell.replace("|", "\\|").replace("<", "&lt;").replace(">", "&gt;") for cell in cells) + " |"
    )


def write(folder: Path) -> None:
    """Write every page.

    Parameters
    ----------
    folder : Path
        Where to; pages there that are not made any more are left alone.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in pages().items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write(Path(sys.argv[1] if len(sys.argv) > 1 else "docs/coverage"))
