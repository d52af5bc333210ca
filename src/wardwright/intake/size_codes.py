"""Sizes written beside openings and in rooms: ``2668``, ``5050 XO``, ``16070 O.H. DOOR``, ``90/210``, ``13'6 x 11'``.

Four digits are width then height in feet and inches: 2668 is 2′-6″ × 6′-8″. Letters after a window's code say how its
parts move: X slides, O is fixed, SH is single hung. Trade habit in North America: common practice, no source.
"""

import re
from dataclasses import dataclass

from wardwright.errors import InputError
from wardwright.intake.lengths import UNITS_M, parse_length
from wardwright.premises.openings import Leaf, LeafRole, Movement, OpeningKind

_FT, _IN = UNITS_M["ft"], UNITS_M["in"]
_CODE = re.compile(r"^\s*(\d{4,6})\s*(?:[-/]?\s*(?P<rest>[A-Z][A-Z .&/'\-]*))?\s*$", re.IGNORECASE)
_PAIR = re.compile(
    r"^\s*(?P<w>\d[\d'\"′″.,/ \-]*?(?:mm|cm|m|ft|in)?)\s*(?:[x×X*]|\bby\b)"
    r"\s*(?P<h>\d[\d'\"′″.,/ \-]*?(?:mm|cm|m|ft|in)?)"
    r"\s*(?P<rest>[A-Za-z][A-Za-z .&/\-]*)?\s*$"
)
_CM_PAIR = re.compile(r"^\s*(\d{2,3}(?:[.,]\d)?)\s*/\s*(\d{2,3}(?:[.,]\d)?)\s*$")


@dataclass(frozen=True)
class SizeCode:
    """What a size code beside an opening says."""

    text: str
    widths: tuple[float, ...]
    """More than one where the code could mean two things. [m]"""
    height: float
    """[m]"""
    kind: OpeningKind | None = None
    pair: bool = False
    """Written as two lengths, which a room's size also is."""
    movements: tuple[Movement, ...] = ()
    """One for each part, from left to right; empty where the code does not say."""

    def width_near(self, drawn: float) -> float:
        """The reading nearest to a drawn width. [m]"""
        return min(self.widths, key=lambda w: abs(w - drawn))


def plain_text(text: str) -> str:
    """Text without a drawing program's control codes (``%%u`` underlines, ``%%d`` is a degree sign)."""
    text = re.sub(r"%%[uokUOK]", "", text)
    text = re.sub(r"%%[dD]", "°", text)
    text = re.sub(r"%%[pP]", "±", text)
    text = re.sub(r"%%[cC]", "⌀", text)
    return re.sub(r"\s+", " ", text).strip()


def size_code(text: str) -> SizeCode | None:
    """Read a size code.

    Parameters
    ----------
    text : str
        One text of the drawing.

    Returns
    -------
    SizeCode or None
        None where the text is no size of an opening.
    """
    text = plain_text(text)
    found = _CODE.match(text)
    if found:
        digits, rest = found[1], found["rest"] or ""
        kind, movements = _said(rest)
        if rest and kind is None and not movements:
            return None
        sizes = _readings(digits)
        if sizes:
            if kind is OpeningKind.GARAGE_DOOR:
                sizes = [s for s in sizes if s[0] >= 2.0] or sizes
            else:
                sizes.sort(key=lambda s: s[0])
            return SizeCode(text, tuple(s[0] for s in sizes), sizes[0][1], kind, False, movements)
        return None
    pair = _CM_PAIR.match(text)
    if pair:
        width, height = (float(g.replace(",", ".")) / 100 for g in pair.groups())
        return _plausible(SizeCode(text, (width,), height, pair=True))
    both = _PAIR.match(text)
    if both:
        kind, movements = _said(both["rest"] or "")
        size = _two_lengths(both["w"], both["h"])
        if size is not None and (kind or movements or not both["rest"]):
            return _plausible(SizeCode(text, (size[0],), size[1], kind, True, movements))
    return None


def _plausible(code: SizeCode) -> SizeCode | None:
    return code if 0.3 <= code.widths[0] <= 8.0 and 0.25 <= code.height <= 3.6 else None


def _readings(digits: str) -> list[tuple[float, float]]:
    """Widths and heights in feet and inches that the digits can mean. [m]"""
    splits = {4: ((1, 1, 1, 1),), 5: ((1, 2, 1, 1), (2, 1, 1, 1), (1, 1, 1, 2)), 6: ((2, 2, 1, 1), (1, 2, 1, 2))}
    found: list[tuple[float, float]] = []
    for split in splits[len(digits)]:
        at, figures = 0, []
        for n in split:
            figures.append(digits[at : at + n])
            at += n
        if any(len(f) > 1 and f[0] == "0" for f in figures) or int(figures[1]) > 11 or int(figures[3]) > 11:
            continue
        width = int(figures[0]) * _FT + int(figures[1]) * _IN
        height = int(figures[2]) * _FT + int(figures[3]) * _IN
        if 0.3 <= width <= 6.2 and 0.28 <= height <= 3.1:
            found.append((width, height))
    return found


_MOVES = {"X": Movement.SLIDING, "O": Movement.FIXED}


def _said(rest: str) -> tuple[OpeningKind | None, tuple[Movement, ...]]:
    """Kind and movements a suffix speaks of."""
    plain = re.sub(r"[^A-Z]", "", rest.upper())
    words = re.sub(r"[.]", "", rest.upper()).split()
    if not plain:
        return None, ()
    if re.fullmatch(r"[XO]{1,4}", plain):
        return OpeningKind.WINDOW, tuple(_MOVES[c] for c in plain)
    window = {
        "SH": Movement.SINGLE_HUNG,
        "DH": Movement.DOUBLE_HUNG,
        "FX": Movement.FIXED,
        "FIXED": Movement.FIXED,
        "PIC": Movement.FIXED,
        "PICTURE": Movement.FIXED,
        "PW": Movement.FIXED,
        "CS": Movement.HINGED,
        "CSMT": Movement.HINGED,
        "CASEMENT": Movement.HINGED,
        "AWN": Movement.HINGED,
        "AWNING": Movement.HINGED,
        "HOPPER": Movement.HINGED,
        "SL": Movement.SLIDING,
        "SLDR": Movement.SLIDING,
        "SLIDER": Movement.SLIDING,
        "JAL": Movement.LOUVRE,
        "JALOUSIE": Movement.LOUVRE,
    }
    if "SGD" in plain or plain in ("SLGLDR", "SLIDINGGLASSDOOR", "SLIDINGDOOR", "PATIODOOR"):
        return OpeningKind.DOOR, (Movement.SLIDING, Movement.FIXED)
    if "OHD" in plain or "OVERHEAD" in plain or "GARAGE" in plain or plain in ("OH", "GD", "SECTIONAL"):
        return OpeningKind.GARAGE_DOOR, (Movement.OVERHEAD,)
    if "ROLLUP" in plain or "ROLLER" in plain:
        return OpeningKind.GARAGE_DOOR, (Movement.ROLLER,)
    door = {
        "BF": (Movement.FOLDING, Movement.FOLDING),
        "BIFOLD": (Movement.FOLDING, Movement.FOLDING),
        "BP": (Movement.SLIDING, Movement.SLIDING),
        "BYPASS": (Movement.SLIDING, Movement.SLIDING),
        "PKT": (Movement.POCKET,),
        "POCKET": (Movement.POCKET,),
        "PD": (Movement.POCKET,),
        "FD": (Movement.HINGED, Movement.HINGED),
        "FRENCH": (Movement.HINGED, Movement.HINGED),
        "FR": (Movement.HINGED, Movement.HINGED),
        "DOUBLE": (Movement.HINGED, Movement.HINGED),
    }
    for word in (plain, *words):
        if word in window:
            return OpeningKind.WINDOW, (window[word],)
        stem = word.removesuffix("DOORS").removesuffix("DOOR").removesuffix("DR")
        if stem in door:
            return OpeningKind.DOOR, door[stem]
    if "DOOR" in plain:
        return OpeningKind.DOOR, ()
    if "WINDOW" in plain or "WDW" in plain:
        return OpeningKind.WINDOW, ()
    return None, ()


def _two_lengths(first: str, second: str) -> tuple[float, float] | None:
    marked = any(c in first + second for c in "'\"′″") or re.search(r"[a-z]", first + second)
    try:
        if marked:
            unit = next((u for u in ("mm", "cm", "ft", "in", "m") if second.strip().endswith(u)), "ft")
            return parse_length(first, unit), parse_length(second, unit)
        one, two = float(first.strip().replace(",", ".")), float(second.strip().replace(",", "."))
    except (InputError, ValueError):
        return None
    for unit, low in (("mm", 400.0), ("cm", 40.0), ("m", 0.0)):
        if min(one, two) >= low and (unit != "m" or max(one, two) <= 60.0):
            return one * UNITS_M[unit], two * UNITS_M[unit]
    return None


def room_size(text: str) -> tuple[float, float] | None:
    """Two sides of a room as printed in it.

    Parameters
    ----------
    text : str
        For example ``13'6 x 11'`` or ``4.10 x 3.25 m``.

    Returns
    -------
    tuple of float, or None
        The two sides, in the order printed. [m]
    """
    text = plain_text(text)
    both = _PAIR.match(text)
    if not both or (both["rest"] and both["rest"].strip().lower() not in ("m", "mm", "cm")):
        return None
    unit = (both["rest"] or "").strip().lower()
    size = _two_lengths(both["w"] + unit, both["h"] + unit) if unit else _two_lengths(both["w"], both["h"])
    if size is None or not all(0.4 <= side <= 60.0 for side in size):
        return None
    return size


def stated_area(text: str) -> float | None:
    """Floor area as printed in a room, ``12.34 m²`` or ``133 sq ft``. [m²]"""
    found = re.fullmatch(
        r"\s*(?:[A-Za-z]{0,6}\s*[:=]?\s*)?(\d{1,4}(?:[.,]\d{1,3})?)\s*"
        r"(m2|m²|qm|sqm|sq\.? ?m|sf|sq\.? ?ft\.?|ft²|ft2)\s*",
        plain_text(text),
        re.IGNORECASE,
    )
    if not found:
        return None
    value = float(found[1].replace(",", "."))
    return value if found[2].lower() in ("m2", "m²", "qm", "sqm", "sq m", "sq. m", "sq.m") else value * _FT**2


def leaves_of(key: str, code: SizeCode, width: float, glazed: bool) -> tuple[Leaf, ...]:
    """Leaves as a size code describes them, of equal width.

    Parameters
    ----------
    key : str
        Key of the opening; leaf ids start with it.
    code : SizeCode
        The code.
    width : float
        Clear width of the opening. [m]
    glazed : bool
        Its leaves are glass.
    """
    parts = code.movements
    if parts == (Movement.SINGLE_HUNG,):
        parts = (Movement.SINGLE_HUNG, Movement.FIXED)
        each = width
    else:
        each = width / max(len(parts), 1)
    return tuple(
        Leaf(
            id=f"{key}-{n}",
            role=LeafRole.FIXED if move is Movement.FIXED else LeafRole.ACTIVE,
            movement=move,
            material="glass" if glazed else "unknown",
            width_m=each,
        )
        for n, move in enumerate(parts, start=1)
    )
