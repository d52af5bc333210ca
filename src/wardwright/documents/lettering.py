"""The shipped typeface: where its files lie, and how wide a line of it runs."""

from functools import cache
from importlib import resources
from pathlib import Path
from typing import Literal

from fontTools.ttLib import TTFont

from wardwright.documents.ink import INK
from wardwright.documents.svg import Value, el, words

FAMILY = "Source Sans 3"
"""Openly licensed (SIL Open Font License 1.1); licence beside the files. Its figures are tabular by default."""

Face = Literal["regular", "italic", "semibold"]
_FILES: dict[Face, str] = {
    "regular": "SourceSans3-Regular.otf",
    "italic": "SourceSans3-It.otf",
    "semibold": "SourceSans3-Semibold.otf",
}
CAP = 0.66
"""Height of capitals as a share of the type size."""


def font_folder() -> Path:
    """Folder of the font files."""
    return Path(str(resources.files("wardwright.documents").joinpath("fonts")))


@cache
def _advances(face: Face) -> tuple[dict[int, int], int, int]:
    with TTFont(font_folder() / _FILES[face], lazy=True) as font:
        metrics = dict(font["hmtx"].metrics)
        names = font.getBestCmap()
        em = int(font["head"].unitsPerEm)
    widths = {code: metrics[name][0] for code, name in names.items() if code < 0x2600}
    return widths, em, widths[ord("n")]


def text_width(text: str, size: float, face: Face = "regular") -> float:
    """Width of a line of text, kerning left out (which makes it a little too wide, never too narrow by much).

    Parameters
    ----------
    text : str
        One line.
    size : float
        Type size. [mm]
    face : {"regular", "italic", "semibold"}
        Which face.

    Returns
    -------
    float
        Width. [mm]
    """
    widths, em, usual = _advances(face)
    return sum(widths.get(ord(c), usual) for c in text) * size / em


def wrap(text: str, width: float, size: float, face: Face = "regular") -> list[str]:
    """Lines of text none of which is wider than ``width``, broken between words, and inside a word only if it must.

    Parameters
    ----------
    text : str
        The text.
    width : float
        Room for a line. [mm]
    size : float
        Type size. [mm]
    face : {"regular", "italic", "semibold"}
        Which face.

    Returns
    -------
    list of str
        The lines; empty for empty text.
    """
    lines: list[str] = []
    current = ""
    for word in text.split():
        trial = f"{current} {word}" if current else word
        if text_width(trial, size, face) <= width:
            current = trial
            continue
        if current:
            lines.append(current)
        current = word
        while text_width(current, size, face) > width and len(current) > 1:
            fits = max(
                1, next(n for n in range(len(current), 0, -1) if n == 1 or text_width(current[:n], size, face) <= width)
            )
            lines.append(current[:fits])
            current = current[fits:]
    if current:
        lines.append(current)
    return lines


def letter(
    text: str,
    x: float,
    y: float,
    size: float,
    *,
    face: Face = "regular",
    halo: str | None = None,
    **attributes: Value | None,
) -> str:
    """A line of text with its baseline at (x, y); with a halo it stays readable over lines and tints."""
    style: dict[str, Value | None] = {"font_family": f"'{FAMILY}'", "font_size": size, "x": x, "y": y}
    if face == "semibold":
        style["font_weight"] = "600"
    if face == "italic":
        style["font_style"] = "italic"
    if halo is not None:
        style |= {"paint_order": "stroke", "stroke": halo, "stroke_width": size * 0.28, "stroke_linejoin": "round"}
    return el("text", words(text), **{"fill": INK, **style, **attributes})
