"""Lengths as people type them: ``4.1 m``, ``410 cm``, ``13'6"``, ``2′-6 1/2″``, ``13 ft 6``."""

import math
import re

from wardwright.errors import InputError

UNITS_M = {"m": 1.0, "dm": 0.1, "cm": 0.01, "mm": 0.001, "km": 1000.0, "ft": 0.3048, "in": 0.0254, "yd": 0.9144}
"""Metres in one of each unit; foot, inch and yard are the international ones, exact. [m]"""

_NAMES = {
    "m": ("m", "metre", "metres", "meter", "meters"),
    "dm": ("dm", "decimetre", "decimetres", "decimeter", "decimeters"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "km": ("km", "kilometre", "kilometres", "kilometer", "kilometers"),
    "ft": ("ft", "foot", "feet", "'"),
    "in": ("in", "inch", "inches", "ins", '"'),
    "yd": ("yd", "yard", "yards", "yds"),
}
_UNIT_OF = {name: unit for unit, names in _NAMES.items() for name in names}
_IMPERIAL = ("yd", "ft", "in")
_MARKS = str.maketrans({"′": "'", "’": "'", "‘": "'", "´": "'", "`": "'", "″": '"', "”": '"', "“": '"', "⁄": "/"})
_FRACTIONS = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅓": "1/3",
    "⅔": "2/3",
}
_PART = re.compile(
    r"\s*(?P<number>\d+\s*/\s*\d+|(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[\s-]+\d+\s*/\s*\d+(?![\d.,]))?)"
    r"\s*-?\s*(?P<unit>[a-z]+\.?|'|\")?\s*-?"
)
EXPECTED = "expected something like 4.1 m, 410 cm, 4100 mm, 13'6\" or 13 ft 6 in"
LONGEST_M = 10_000.0
"""Nothing in a building is longer: a longer figure is a slip of the pen or of the unit. [m]"""


def unit_named(text: str) -> str:
    """The unit a person means, as one of the keys of ``UNITS_M``.

    Parameters
    ----------
    text : str
        ``m``, ``Metres``, ``feet``, ``in.`` and so on.

    Returns
    -------
    str
        A key of ``UNITS_M``.

    Raises
    ------
    InputError
        If it is no unit of length known here.
    """
    name = text.translate(_MARKS).replace("''", '"').strip().rstrip(".").lower()
    if name not in _UNIT_OF:
        raise InputError(f"“{text}” is no unit of length; expected m, cm, mm, ft or in")
    return _UNIT_OF[name]


def parse_length(text: str, default_unit: str = "m") -> float:
    """A length typed by a person.

    Parameters
    ----------
    text : str
        Number and unit, or several of them from large to small (``13 ft 6 1/2 in``, ``4 m 10 cm``). A number without
        a unit after feet is inches; one that stands alone is in ``default_unit``. A decimal comma is understood.
    default_unit : str
        Unit of a bare number: a key of ``UNITS_M`` or a name of one.

    Returns
    -------
    float
        The length. [m]

    Raises
    ------
    InputError
        If it cannot be read, is negative, or could mean two things.
    """
    default = unit_named(default_unit)
    plain = text.translate(_MARKS).replace("''", '"').strip().lower()
    for mark, fraction in _FRACTIONS.items():
        plain = plain.replace(mark, f" {fraction}")
    plain = plain.strip()
    if not plain:
        raise InputError(f"no length is given; {EXPECTED}")
    if plain[0] in "-−–":
        raise InputError(f"the length “{text.strip()}” is negative; a length is zero or more")
    plain = re.sub(r"[–—−‐‑]", "-", plain)
    total, at, last_unit = 0.0, 0, ""
    while at < len(plain):
        part = _PART.match(plain, at)
        if part is None or part.end() == at:
            raise InputError(f"cannot read the length “{text.strip()}”; {EXPECTED}")
        value = _number(part["number"], text)
        unit = _unit(part["unit"], last_unit, default, text)
        if last_unit:
            if (unit in _IMPERIAL) != (last_unit in _IMPERIAL) or UNITS_M[unit] >= UNITS_M[last_unit]:
                raise InputError(f"the length “{text.strip()}” runs from {last_unit} to {unit}; {EXPECTED}")
            if value * UNITS_M[unit] >= UNITS_M[last_unit] - 1e-9:
                raise InputError(
                    f"the length “{text.strip()}” has {value:g} {unit} after the {last_unit}, "
                    f"which is a whole {last_unit} or more; {EXPECTED}"
                )
        total += value * UNITS_M[unit]
        last_unit, at = unit, part.end()
    if not math.isfinite(total) or total > LONGEST_M:
        raise InputError(f"the length “{text.strip()}” is more than {LONGEST_M:g} m; check its unit")
    return total


def _unit(written: str | None, last_unit: str, default: str, text: str) -> str:
    if written:
        name = written.rstrip(".")
        if name not in _UNIT_OF:
            raise InputError(f"“{written}” in the length “{text.strip()}” is no unit known here; {EXPECTED}")
        return _UNIT_OF[name]
    if last_unit == "ft":
        return "in"
    if last_unit:
        raise InputError(f"the length “{text.strip()}” ends in a number without a unit; {EXPECTED}")
    return default


def _number(written: str, text: str) -> float:
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", written):
        whole = written.replace(",", "")
        raise InputError(
            f"the comma in “{text.strip()}” could be a decimal or a thousands mark; "
            f"write {written.replace(',', '.')} or {whole}"
        )
    total = 0.0
    for piece in re.split(r"[\s-]+(?!/)(?=\d)", re.sub(r"\s*/\s*", "/", written)):
        over, _, under = piece.partition("/")
        if under and float(under) == 0.0:
            raise InputError(f"the length “{text.strip()}” has a fraction with nothing below the line; {EXPECTED}")
        total += float(over.replace(",", ".")) / (float(under) if under else 1.0)
    return total


def format_length(length: float, unit: str = "m") -> str:
    """A length as people in the trade write it.

    Parameters
    ----------
    length : float
        The length. [m]
    unit : str
        ``m`` (to 1 cm), ``cm`` and ``mm`` (whole), ``ft`` (feet and inches to 1/2 inch), ``in`` (to 1/2 inch).

    Returns
    -------
    str
        For example ``4.11 m`` or ``13′-6″``.
    """
    unit = unit_named(unit)
    if unit in ("ft", "in"):
        sign = "−" if length < 0 else ""
        halves = round(abs(length) / UNITS_M["in"] * 2)
        feet, rest = divmod(halves, 24) if unit == "ft" else (0, halves)
        inches, half = divmod(rest, 2)
        figure = f"{inches} 1/2" if half and inches else "1/2" if half else f"{inches}"
        return f"{sign}{feet}′-{figure}″" if unit == "ft" else f"{sign}{figure}″"
    places = {"m": 2, "km": 3, "yd": 2, "dm": 1}.get(unit, 0)
    return f"{length / UNITS_M[unit]:.{places}f} {unit}"
