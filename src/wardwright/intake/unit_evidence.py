"""What length a drawing's unit is, decided from what is drawn rather than from what the header says.

A door leaf is some 0.6 to 1.1 m wide whatever the drawing, walls are 5 to 65 cm thick, and a dimension says in words
what it measures. One strong clue that fits one unit only decides; a header that no clue contradicts is believed.
The limits are common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from wardwright.errors import IntakeError
from wardwright.intake.lengths import UNITS_M

NO_UNIT = "this file names no length unit; give --scale (metres per drawing unit) or --unit"
CANDIDATES = ("mm", "cm", "m", "in", "ft")
_NAMES = {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet", "yd": "yards"}
_SNAP = 0.02
_AGREE = 0.015


@dataclass(frozen=True)
class Ratio:
    """A length that the drawing states in words or figures, over the same length as drawn."""

    what: str
    values: tuple[float, ...]
    """[m per drawing unit]"""


@dataclass(frozen=True)
class Clue:
    """Lengths as drawn whose true size is known roughly."""

    what: str
    drawn: tuple[float, ...]
    """[drawing units]"""
    low: float
    """Smallest plausible median. [m]"""
    high: float
    """[m]"""
    strong: bool = False

    def fits(self, metres_per_unit: float) -> bool:
        """Whether the median is plausible at a scale."""
        return self.low <= median(self.drawn) * metres_per_unit <= self.high


@dataclass(frozen=True)
class Scale:
    """What one drawing unit is, and how that is known."""

    metres_per_unit: float
    name: str
    """In words: ``inches``, ``1 unit = 0.0532 m``."""
    reasons: tuple[str, ...]
    overruled: str = ""
    """What the header said instead, where it was not believed."""
    low: float | None = None
    """Plausible spread, where the scale is an estimate. [m per drawing unit]"""
    high: float | None = None


def scale_given(scale: float | None, unit: str | None, *, where: str) -> Scale | None:
    """The scale a person asked for, or None where they asked for none.

    Parameters
    ----------
    scale : float, optional
        Metres per drawing unit.
    unit : str, optional
        Name of the unit.
    where : str
        The file, for messages.

    Returns
    -------
    Scale or None

    Raises
    ------
    IntakeError
        If both are given, or the scale is not a positive number.
    """
    if scale is not None and unit is not None:
        raise IntakeError("give either a scale or a unit, not both", where=where)
    if scale is not None:
        if not 0.0 < scale < 1e6:
            raise IntakeError(
                f"a scale of {scale:g} m per drawing unit cannot be; expected a positive number", where=where
            )
        return Scale(scale, f"1 unit = {scale:g} m", ("given",))
    if unit is not None:
        from wardwright.intake.lengths import unit_named

        key = unit_named(unit)
        return Scale(UNITS_M[key], _NAMES.get(key, key), ("given",))
    return None


def infer_scale(ratios: Sequence[Ratio], clues: Sequence[Clue], header: str | None, *, where: str) -> Scale:
    """Decide what one drawing unit is.

    Parameters
    ----------
    ratios : sequence of Ratio
        Stated lengths over drawn ones: they decide wherever they agree.
    clues : sequence of Clue
        Lengths of roughly known size.
    header : str, optional
        Key of ``UNITS_M`` the file claims, None where it claims none.
    where : str
        The file, for messages.

    Returns
    -------
    Scale

    Raises
    ------
    IntakeError
        If nothing decides.
    """
    stated = _agreed(ratios)
    if stated is not None:
        value, reason = stated
        unit = next((u for u in UNITS_M if abs(value / UNITS_M[u] - 1) <= _SNAP), None)
        if unit is not None:
            value = UNITS_M[unit]
        name = _NAMES.get(unit or "", f"1 unit = {value:.4g} m")
        lied = header is not None and abs(UNITS_M[header] / value - 1) > _SNAP
        return Scale(value, name, (reason,), _NAMES.get(header or "", header or "") if lied else "")
    clues = [c for c in clues if c.drawn]
    strong = [c for c in clues if c.strong]
    fitting = [u for u in CANDIDATES if all(c.fits(UNITS_M[u]) for c in clues)]
    if not fitting and strong:
        fitting = [u for u in CANDIDATES if all(c.fits(UNITS_M[u]) for c in strong)]
    if header is not None:
        against = [c for c in clues if not c.fits(UNITS_M[header])]
        if not against:
            reasons = ("the file's header", *(f"{c.what} fit it" for c in clues))
            return Scale(UNITS_M[header], _NAMES.get(header, header), reasons)
        if len(fitting) == 1 and (strong or len(clues) >= 2):
            reasons = tuple(_reason(c, UNITS_M[fitting[0]]) for c in clues if c.fits(UNITS_M[fitting[0]]))
            return Scale(UNITS_M[fitting[0]], _NAMES[fitting[0]], reasons, _NAMES.get(header, header))
        sizes = "; ".join(_reason(c, UNITS_M[header]) for c in against)
        raise IntakeError(
            f"the header says {_NAMES.get(header, header)}, which cannot be ({sizes}); "
            "give --scale (metres per drawing unit) or --unit",
            where=where,
        )
    if len(fitting) == 1 and strong:
        reasons = tuple(_reason(c, UNITS_M[fitting[0]]) for c in clues if c.fits(UNITS_M[fitting[0]]))
        return Scale(UNITS_M[fitting[0]], _NAMES[fitting[0]], reasons)
    raise IntakeError(NO_UNIT, where=where)


def _agreed(ratios: Sequence[Ratio]) -> tuple[float, str] | None:
    values = [v for r in ratios for v in r.values if 1e-7 < v < 1e4]
    if len(values) < 2:
        return None
    best = max(values, key=lambda v: sum(abs(w / v - 1) <= _AGREE for w in values))
    agreeing = [v for v in values if abs(v / best - 1) <= _AGREE]
    if len(agreeing) < 2 or len(agreeing) < 0.5 * len(values):
        return None
    middle = median(agreeing)
    what = [f"{sum(abs(v / middle - 1) <= _AGREE for v in r.values)} of {len(r.values)} {r.what}" for r in ratios]
    return middle, "stated against drawn: " + ", ".join(w for w in what if not w.startswith("0 "))


def _reason(clue: Clue, metres_per_unit: float) -> str:
    return f"{clue.what} would be {median(clue.drawn) * metres_per_unit:.3g} m"


def scale_from_doors(inner: Sequence[float], front: Sequence[float], *, where: str) -> Scale:
    """A scale from drawn door widths alone, where the unit is nobody's: an estimate with its spread.

    Parameters
    ----------
    inner, front : sequence of float
        Widths of inside doors and of front doors as drawn. [drawing units]
    where : str
        The file, for messages.

    Returns
    -------
    Scale
        From inside doors of 0.80 m (0.70 to 0.90) and front doors of 0.95 m (0.85 to 1.05): common practice, no source.

    Raises
    ------
    IntakeError
        If there is no door, or the widths differ too much to be doors.
    """
    rows: list[tuple[float, float, float, float]] = []
    if inner:
        rows.append((median(inner), 0.70, 0.80, 0.90))
    if front:
        rows.append((median(front), 0.85, 0.95, 1.05))
    if not rows or min(r[0] for r in rows) <= 0:
        raise IntakeError(NO_UNIT, where=where)
    widths = [*inner, *front]
    if max(widths) > 3.0 * min(widths) and len([w for w in widths if w > 2 * median(widths)]) > len(widths) / 3:
        raise IntakeError(f"{NO_UNIT} (its doors differ too much in width to tell)", where=where)
    weight = {0: max(len(inner), 1) if inner else max(len(front), 1), 1: max(len(front), 1)}
    total = sum(weight[k] for k in range(len(rows)))
    middle = sum(weight[k] * r[2] / r[0] for k, r in enumerate(rows)) / total
    low = max(r[1] / r[0] for r in rows)
    high = min(r[3] / r[0] for r in rows)
    if low > high:
        low, high = high, low
    low, high = min(low, middle), max(high, middle)
    what = f"{len(inner)} inside and {len(front)} front doors taken as 0.80 m and 0.95 m wide"
    return Scale(middle, f"1 unit = {middle:.3g} m", (what,), low=low, high=high)
