"""The panel's tables drawn for the manual: phases as a picture, trips and codes as tables.

``python -m wardwright.panel.diagram`` writes them under ``docs/theory``; a contract test holds them against the tables.
"""

import sys
from pathlib import Path

from wardwright.panel.tables import CODES, PHASES, TAKES, Phase, Stage

_WIDTH, _HEIGHT = 1240, 760
_PLACES = {Phase.UNSET: (150, 380), Phase.EXIT: (620, 80), Phase.SET: (1090, 380), Phase.ENTRY: (620, 680)}
_HALF = (85, 30)
_MADE = "<!-- written by wardwright.panel.diagram; do not edit -->"


def phases_svg() -> str:
    """The phases of an area and what moves it between them, from the table itself.

    Returns
    -------
    str
        A picture that takes the page's own colours.
    """
    moves: dict[tuple[Phase, Phase], list[str]] = {}
    for (before, move), after in PHASES.items():
        moves.setdefault((before, after), []).append(str(move))
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {_HEIGHT}" role="img" '
        'font-family="sans-serif" font-size="15" fill="none" stroke="#3a4a5a">',
        "<title>Phases of an area</title>",
        '<defs><marker id="to" viewBox="0 0 8 8" refX="7" refY="4" markerWidth="8" markerHeight="8" '
        'orient="auto"><path d="M0 0L8 4L0 8z" fill="#3a4a5a" stroke="none"/></marker></defs>',
        f'<rect width="{_WIDTH}" height="{_HEIGHT}" fill="#ffffff" stroke="none"/>',
    ]
    for (before, after), words in moves.items():
        parts.append(_stays(before, words) if before is after else _goes(before, after, words))
    for phase, (x, y) in _PLACES.items():
        parts.append(
            f'<rect x="{x - _HALF[0]}" y="{y - _HALF[1]}" width="{2 * _HALF[0]}" height="{2 * _HALF[1]}" rx="8" '
            f'fill="#eef3f7" stroke-width="2"/>{_text(x, y + 5, [str(phase)], "middle", bold=True)}'
        )
    return "\n".join([*parts, "</svg>", ""])


def _goes(before: Phase, after: Phase, words: list[str]) -> str:
    (x1, y1), (x2, y2) = _PLACES[before], _PLACES[after]
    dx, dy = x2 - x1, y2 - y1
    length = (dx * dx + dy * dy) ** 0.5
    sideways = (-dy / length, dx / length)
    bend = 60 if dx and dy else 0
    start = _edge(before, x1 + sideways[0] * 18, y1 + sideways[1] * 18, dx, dy)
    end = _edge(after, x2 + sideways[0] * 18, y2 + sideways[1] * 18, -dx, -dy)
    middle = ((start[0] + end[0]) / 2 + sideways[0] * bend, (start[1] + end[1]) / 2 + sideways[1] * bend)
    share = 0.5 if dx and dy else 0.7 if dy else 0.28  # the two straight across keep clear of their crossing
    label = tuple(
        (1 - share) ** 2 * a + 2 * share * (1 - share) * b + share**2 * c
        for a, b, c in zip(start, middle, end, strict=True)
    )
    return (
        f'<path d="M{start[0]:.0f} {start[1]:.0f}Q{middle[0]:.0f} {middle[1]:.0f} {end[0]:.0f} {end[1]:.0f}" '
        f'stroke-width="1.6" marker-end="url(#to)"/>{_text(label[0], label[1] + 5, words, "middle")}'
    )


def _edge(phase: Phase, x: float, y: float, dx: float, dy: float) -> tuple[float, float]:
    """Where a line from the box's inside leaves it."""
    cx, cy = _PLACES[phase]
    across = ((cx + (_HALF[0] if dx > 0 else -_HALF[0])) - x) / dx if dx else float("inf")
    along = ((cy + (_HALF[1] if dy > 0 else -_HALF[1])) - y) / dy if dy else float("inf")
    share = min(across, along)
    return x + dx * share, y + dy * share


def _stays(phase: Phase, words: list[str]) -> str:
    x, y = _PLACES[phase]
    low = y + _HALF[1]
    return (
        f'<path d="M{x - 40} {low}C{x - 60} {low + 60} {x + 60} {low + 60} {x + 40} {low}" stroke-width="1.6" '
        f'marker-end="url(#to)"/>{_text(x, low + 66, words, "middle")}'
    )


def _text(x: float, y: float, lines: list[str], anchor: str, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    rows = "".join(
        f'<tspan x="{x:.0f}" dy="{0 if number == 0 else 19}">{line}</tspan>' for number, line in enumerate(lines)
    )
    top = y - 19 * (len(lines) - 1) / 2
    halo = ' stroke="none"' if bold else ' stroke="#ffffff" stroke-width="6" paint-order="stroke"'
    place = f'x="{x:.0f}" y="{top:.0f}" text-anchor="{anchor}"'
    return f'<text {place} fill="#1d2730"{halo}{weight}>{rows}</text>'


def tables_page() -> str:
    """How a trip is taken, and what it is reported as: the tables as a page.

    Returns
    -------
    str
        Markdown.
    """
    head = "| response | " + " | ".join(str(s) for s in Stage) + " |"
    rule = "|---" * (len(Stage) + 1) + "|"
    takes = [f"| {response} | " + " | ".join(str(row[s]) for s in Stage) + " |" for response, row in TAKES.items()]
    codes = [f"| {what} | {contact_id} | {sia} |" for what, (contact_id, sia) in CODES.items()]
    return "\n".join(
        [
            _MADE,
            "",
            "# The panel's tables",
            "",
            "Drawn from the tables the panel runs on. Zones that are left out are not listened to at all.",
            "",
            "## Phases of an area",
            "",
            "![Phases of an area and what moves it between them](panel-phases.svg)",
            "",
            "## How a trip is taken",
            "",
            head,
            rule,
            *takes,
            "",
            "## What is reported",
            "",
            "Qualifier and code of ANSI/SIA DC-05, event code of ANSI/SIA DC-03. Qualifier 1: new, or unset;"
            " 3: restored, or set.",
            "",
            "| event | DC-05 | DC-03 |",
            "|---|---|---|",
            *codes,
            "",
        ]
    )


def pages() -> dict[str, str]:
    """Every written file by name."""
    return {"panel-phases.svg": phases_svg(), "panel-tables.md": tables_page()}


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "docs/theory")
    for name, text in pages().items():
        (folder / name).write_text(text, encoding="utf-8")
