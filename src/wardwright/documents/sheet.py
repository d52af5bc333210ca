"""What surrounds a plan on its sheet: title block, legend column, scale bar, north."""

from dataclasses import dataclass

from wardwright.documents.frame import Box, Frame, Paper, scale_words
from wardwright.documents.ink import INK, PAPER, QUIET, RULE
from wardwright.documents.lettering import letter, text_width, wrap
from wardwright.documents.svg import el, group, line, polyline
from wardwright.documents.tags import Placed, Tag, square_marks
from wardwright.units import FOOT_M

INVENTED = "Invented example: client, firm and design are made up. Not for use."
EDGE_MM = 9.0
BLOCK_MM = 19.0


@dataclass(frozen=True)
class TitleBlock:
    """What a drawing says about itself."""

    firm: str
    job: str
    address: str
    drawing: str
    storey: str
    date: str
    revision: str
    mark: str
    """Copy number and *confidential*, or whom it is for."""
    invented: bool = False
    notes: tuple[str, ...] = ()
    """Sentences under the legend."""


@dataclass(frozen=True)
class LegendRow:
    """A mark, drawn in a box of 7 by 5 mm round the origin given, and what it means."""

    mark: str
    words: str
    wide: bool = False
    """A heading: no mark, words across the column."""


@dataclass(frozen=True)
class Layout:
    """Where things lie on a sheet."""

    paper: Paper
    plan: Box
    legend: Box
    block: Box


def layout_of(paper: Paper) -> Layout:
    """The division of a sheet: the plan takes all it can."""
    column = 70.0 if paper.width_mm > 350 else 54.0
    inner = Box(EDGE_MM, EDGE_MM, paper.width_mm - 2 * EDGE_MM, paper.height_mm - 2 * EDGE_MM)
    block = Box(inner.x, inner.bottom - BLOCK_MM, inner.width, BLOCK_MM)
    legend = Box(inner.right - column, inner.y, column, inner.height - BLOCK_MM)
    plan = Box(inner.x, inner.y, inner.width - column, inner.height - BLOCK_MM)
    return Layout(paper, plan, legend, block)


def plan_space(layout: Layout) -> Box:
    """Where walls and tags may lie: the plan's field less the foot with scale bar and north."""
    return Box(layout.plan.x + 2, layout.plan.y + 2, layout.plan.width - 4, layout.plan.height - 17)


def surround(
    layout: Layout, frame: Frame, block: TitleBlock, rows: list[LegendRow], *, north_rad: float | None, american: bool
) -> str:
    """Everything on the sheet but the plan."""
    inner_w, inner_h = layout.block.width, layout.plan.height + layout.block.height
    return group(
        el("rect", x=EDGE_MM, y=EDGE_MM, width=inner_w, height=inner_h, fill="none", stroke=INK, stroke_width=0.35),
        line((layout.legend.x, EDGE_MM), (layout.legend.x, layout.block.y), stroke=RULE, stroke_width=0.2),
        _scale_bar(layout, frame, american=american),
        _north(layout, frame, north_rad),
        _legend(layout.legend, rows, block.notes),
        _title_block(layout, frame, block),
        class_="surround",
    )


def _scale_bar(layout: Layout, frame: Frame, *, american: bool) -> str:
    unit, per = ("ft", FOOT_M) if american else ("m", 1.0)
    wanted = 102.0 / frame.mm_per_m / per
    length = max((n for n in (1, 2, 4, 5, 10, 20, 40, 50, 100, 200) if n <= wanted), default=1)
    pieces = 5 if length % 5 == 0 else 4 if length % 4 == 0 else length
    step = length * per * frame.mm_per_m / pieces
    x0, y0 = layout.plan.x + 6, layout.plan.bottom - 7.5
    marks = []
    for i in range(pieces):
        marks.append(
            el(
                "rect",
                x=x0 + i * step,
                y=y0,
                width=step,
                height=1.5,
                fill=INK if i % 2 == 0 else PAPER,
                stroke=INK,
                stroke_width=0.15,
            )
        )
    for i in (0, pieces):
        text = f"{length * i / pieces:g}" + (f" {unit}" if i == pieces else "")
        marks.append(letter(text, x0 + i * step, y0 - 1.0, 2.2, text_anchor="middle"))
    marks.append(letter(f"Scale {scale_words(frame.scale)} on {layout.paper.name}", x0, y0 + 4.6, 2.2, fill=QUIET))
    return group(*marks, class_="scale-bar")


def _north(layout: Layout, frame: Frame, north_rad: float | None) -> str:
    x, y = layout.plan.right - 13.0, layout.plan.bottom - 9.0
    if north_rad is None:
        return letter("North not known", layout.plan.right - 4, y + 5.6, 2.2, text_anchor="end", fill=QUIET)
    dx, dy = frame.direction(north_rad)
    tip, foot = (x + 5 * dx, y + 5 * dy), (x - 4 * dx, y - 4 * dy)
    left = (x - 4.2 * dx - 1.7 * dy, y - 4.2 * dy + 1.7 * dx)
    right = (x - 4.2 * dx + 1.7 * dy, y - 4.2 * dy - 1.7 * dx)
    return group(
        polyline([tip, left, (x - 2.6 * dx, y - 2.6 * dy)], closed=True, fill=INK, stroke=INK, stroke_width=0.15),
        polyline([tip, right, (x - 2.6 * dx, y - 2.6 * dy)], closed=True, fill=PAPER, stroke=INK, stroke_width=0.15),
        letter("N", foot[0] - 3.4 * dx, foot[1] - 3.4 * dy + 0.9, 2.6, face="semibold", text_anchor="middle"),
        class_="north",
    )


def _legend(space: Box, rows: list[LegendRow], notes: tuple[str, ...]) -> str:
    marks: list[str] = []
    x, y = space.x + 3.5, space.y + 3.0
    for row in rows:
        if row.wide:
            y += 3.2
            for text in wrap(row.words, space.width - 7, 2.6, "semibold"):
                y += 3.3
                marks.append(letter(text, x, y, 2.6, face="semibold"))
            y += 1.6
            continue
        lines = wrap(row.words, space.width - 18, 2.25)
        height = max(5.4, 2.9 * len(lines) + 1.6)
        marks.append(group(row.mark, transform=f"translate({x + 4.0:.3f} {y + height / 2:.3f})"))
        top = y + height / 2 - 1.45 * len(lines) + 2.15
        marks += [letter(text, x + 10.5, top + 2.9 * i, 2.25) for i, text in enumerate(lines)]
        y += height
    foot = space.bottom - 3.0
    for note in reversed(notes):
        lines = wrap(note, space.width - 7, 2.05, "italic")
        for text in reversed(lines):
            marks.append(letter(text, x, foot, 2.05, face="italic", fill=QUIET))
            foot -= 2.7
        foot -= 1.2
    return group(*marks, class_="legend")


def _title_block(layout: Layout, frame: Frame, block: TitleBlock) -> str:
    space = layout.block
    shares = (0.19, 0.27, 0.24, 0.14, 0.16)
    cells = (
        ("Firm", block.firm or "(firm not named)", ""),
        ("Job", block.job, block.address),
        ("Drawing", block.drawing, block.storey),
        ("Scale", scale_words(frame.scale), f"on {layout.paper.name}, when printed at full size"),
        ("Issue", f"{block.date} · {block.revision}", block.mark),
    )
    marks = [line((space.x, space.y), (space.right, space.y), stroke=INK, stroke_width=0.35)]
    x = space.x
    for share, (label, first, second) in zip(shares, cells, strict=True):
        width = share * space.width
        if x > space.x:
            marks.append(line((x, space.y), (x, space.bottom), stroke=RULE, stroke_width=0.2))
        marks.append(letter(label, x + 2.2, space.y + 3.4, 1.9, fill=QUIET))
        size = _size_that_fits(first, width - 4, 3.1)
        lines = wrap(first, width - 4, size, "semibold")[:2]
        y = space.y + 7.4
        for text in lines:
            marks.append(letter(text, x + 2.2, y, size, face="semibold"))
            y += size * 1.2
        for text in wrap(second, width - 4, 2.1)[: 3 if len(lines) == 1 else 2]:
            marks.append(letter(text, x + 2.2, y, 2.1))
            y += 2.6
        x += width
    if block.invented:
        text_w = text_width(INVENTED, 2.6, "semibold")
        top = layout.plan.y + 1.5
        marks.append(
            el(
                "rect",
                x=layout.plan.x + 3,
                y=top,
                width=text_w + 5,
                height=4.8,
                fill=PAPER,
                stroke=INK,
                stroke_width=0.25,
            )
        )
        marks.append(letter(INVENTED, layout.plan.x + 5.5, top + 3.3, 2.6, face="semibold"))
    return group(*marks, class_="title-block")


def _size_that_fits(text: str, width: float, wanted: float) -> float:
    """Type size at which a text takes no more than two lines. [mm]"""
    size = wanted
    while len(wrap(text, width, size, "semibold")) > 2 and size > 1.8:
        size *= 0.94
    return size


def tag_row(letters: str, words_: str, *, radio: bool = False, kept: bool = False, notch: bool = False) -> LegendRow:
    """A legend row that spells a tag out."""
    tag = Tag("", letters, (0.0, 0.0), notch=(1.0, 0.0) if notch else None, radio=radio, kept=kept)
    return LegendRow("".join(square_marks(Placed(tag, Box(-2.0, -2.0, 4.0, 4.0)))), words_)


def heading_row(words_: str) -> LegendRow:
    """A heading in the legend."""
    return LegendRow("", words_, wide=True)
