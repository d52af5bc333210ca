"""How numbers, chances, money and dates are worded on paper: with unit and doubt, and no more digits than are known."""

import math
from datetime import date
from decimal import Decimal

from wardwright.findings import Finding

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_SIGNS = {"EUR": "€", "GBP": "£", "USD": "$"}
_COMPARISONS = {"<=": "≤", ">=": "≥", "<": "<", ">": ">", "=": "="}


def rounded(value: float, digits: int = 2) -> str:
    """A number to so many significant digits, never in powers of ten, whole digits before the point kept.

    Parameters
    ----------
    value : float
        The number.
    digits : int, optional
        Significant digits.

    Returns
    -------
    str
        For example ``0.043``, ``7.4``, ``120``; a true minus sign; ``∞`` for infinity.
    """
    if math.isnan(value):
        return "?"
    if math.isinf(value):
        return "∞" if value > 0 else "−∞"
    if value == 0.0:
        return "0"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.{places}f}"
    if float(text) == 0.0:
        return "0"
    return text.replace("-", "−")


def with_unit(number: str, unit: str) -> str:
    """Number and unit together; percent and nothing stand close."""
    if not unit or unit == "-":
        return number
    return f"{number} {unit}"


def _decimals(finding: Finding) -> int:
    """Digits after the point that value, spread and margin share; a chance has two at most."""
    if finding.value is None:
        return 0
    places = len(rounded(finding.value, finding.digits).partition(".")[2])
    return min(places, 2) if not finding.unit and 0.0 <= finding.value <= 1.0 else places


def found_words(finding: Finding) -> str:
    """What a finding found: ``7.4 V (6.9–7.8)``; a dash where there is no number."""
    if finding.value is None:
        return "–"
    if math.isinf(finding.value):
        return with_unit(rounded(finding.value), finding.unit)
    places = _decimals(finding)
    value = f"{finding.value:.{places}f}"
    if finding.interval is None:
        return with_unit(value.replace("-", "−"), finding.unit)
    low, high = (f"{v:.{places}f}" if math.isfinite(v) else rounded(v) for v in finding.interval)
    return f"{with_unit(value, finding.unit)} ({low}–{high})".replace("-", "−")


def limit_words(finding: Finding) -> str:
    """What was wanted: ``≥ 10.5 V``."""
    if finding.limit is None:
        return "–"
    sign = _COMPARISONS.get(finding.operator, "")
    return f"{sign} {with_unit(f'{finding.limit:.4g}'.replace('-', '−'), finding.unit)}".strip()


def margin_words(finding: Finding) -> str:
    """Room to the limit, with its sign, to the last digit printed of what was found and wanted."""
    margin = finding.margin
    if margin is None or finding.value is None:
        return "–"
    if math.isinf(margin):
        return rounded(margin)
    places = max(_decimals(finding), len(f"{finding.limit:.4g}".partition(".")[2]))
    text = f"{margin:+.{places}f}".replace("-", "−")
    return "0" if float(text.replace("−", "-")) == 0.0 else text


def likelihood(chance: float, interval: tuple[float, float] | None = None) -> str:
    """A chance in words; doubtful where the plausible spread straddles the half.

    Parameters
    ----------
    chance : float
        Central value. [-]
    interval : tuple of float, optional
        Its plausible spread. [-]

    Returns
    -------
    str
        ``likely``, ``doubtful`` or ``unlikely``.
    """
    low, high = interval if interval is not None else (chance, chance)
    if low >= 0.5 and chance >= 0.7:
        return "likely"
    if high < 0.5 and chance <= 0.3:
        return "unlikely"
    return "doubtful"


def chance_words(chance: float, interval: tuple[float, float] | None = None) -> str:
    """A chance in tens of percent with its spread and its word: ``likely, about 80 % (50–90 %)``."""
    word = likelihood(chance, interval)
    shown = _tens(chance)
    if interval is None:
        return f"{word}, {shown}"
    low, high = _tens(interval[0]), _tens(interval[1])
    return f"{word}, {shown}" if low == high == shown else f"{word}, {shown} ({low} to {high})"


def _tens(chance: float) -> str:
    if chance < 0.05:
        return "under 5 %"
    if chance > 0.95:
        return "over 95 %"
    return f"{10 * round(chance * 10)} %" if 0.1 <= chance <= 0.9 else f"{5 * round(chance * 20)} %"


def money(amount: Decimal, currency: str) -> str:
    """An amount with its sign and thousands apart."""
    sign = _SIGNS.get(currency)
    text = f"{abs(amount):,.2f}".replace(",", "\u202f")
    minus = "−" if amount < 0 else ""
    return f"{minus}{sign}{text}" if sign else f"{minus}{text} {currency}"


def date_words(iso: str) -> str:
    """``2026-11-25`` as ``25 November 2026``."""
    day = date.fromisoformat(iso)
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_time(seconds: float) -> str:
    """A computed time of seconds, to two digits; nobody knows tenths of a second."""
    return "under 1 s" if seconds < 1.0 else f"{rounded(seconds) if seconds >= 10.0 else f'{seconds:.0f}'} s"


def seconds_words(seconds: float) -> str:
    """A time as people say it: ``45 s``, ``10 min``, ``1 h 30 min``."""
    whole = round(seconds)
    if whole < 120:
        return f"{whole} s"
    minutes, rest = divmod(whole, 60)
    if minutes < 120:
        return f"{minutes} min" + (f" {rest} s" if rest else "")
    hours, minutes = divmod(minutes, 60)
    return f"{hours} h" + (f" {minutes} min" if minutes else "")


def counted(count: int, one: str, many: str = "") -> str:
    """``1 keypad``, ``2 keypads``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(items: list[str]) -> str:
    """``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"
