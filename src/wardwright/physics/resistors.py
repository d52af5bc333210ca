"""Preferred resistor values, and those that keep a loop's states furthest apart."""

import itertools
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wardwright.errors import OutOfRangeError
from wardwright.physics.loops import LoopInput

Floats = NDArray[np.float64]

E24_EXCEPTIONS = {2.6: 2.7, 2.9: 3.0, 3.2: 3.3, 3.5: 3.6, 3.8: 3.9, 4.2: 4.3, 4.6: 4.7, 8.3: 8.2}
"""Values of the E24 series that depart from the formula, by what the formula gives. [IEC60063]"""

SERIES_TOLERANCE = {6: 0.20, 12: 0.10, 24: 0.05, 48: 0.02, 96: 0.01}
"""Tolerance each series was made for. [-] [IEC60063]"""


def preferred_values(series: int) -> tuple[float, ...]:
    """One decade of a preferred series.

    ``v = round(10^(n/E))``: one decimal up to E24, two from E48; the exceptions of the standard are kept.

    Parameters
    ----------
    series : int
        3, 6, 12, 24, 48, 96 or 192. [-]

    Returns
    -------
    tuple of float
        From 1 to below 10. [-]

    Raises
    ------
    OutOfRangeError
        If there is no such series.

    Valid range
    -----------
    The series named.

    References
    ----------
    [IEC60063]_
    """
    if series in (3, 6, 12, 24):
        fine = [round(10.0 ** (n / 24), 1) for n in range(24)]
        return tuple(E24_EXCEPTIONS.get(v, v) for v in fine)[:: 24 // series]
    if series in (48, 96, 192):
        fine = [round(10.0 ** (n / 192), 2) for n in range(192)]
        return tuple(9.20 if v == 9.19 else v for v in fine)[:: 192 // series]
    raise OutOfRangeError("preferred values", "series", series, "3, 6, 12, 24, 48, 96 or 192")


@dataclass(frozen=True)
class BestValues:
    """Resistors for one scheme on one input."""

    ohm: tuple[float, ...]
    """Series resistor, then across the alarm contact, then across the fault contact. [Ω]"""
    gap: float
    """Smallest gap between neighbouring states. [-]"""


def best_resistors(
    scheme: Literal["single", "double", "triple"],
    at: LoopInput,
    *,
    series: int = 24,
    tolerance: float = 0.01,
    cable: float = 100.0,
    contact: float = 1.0,
    equal: bool = False,
) -> BestValues:
    """Preferred values with the widest smallest gap, by trying them all.

    Parameters
    ----------
    scheme : {'single', 'double', 'triple'}
        Single, double or triple end of line, one contact (and one fault contact) on the loop.
    at : LoopInput
        The input.
    series : int
        12, 24 or 96. [-]
    tolerance : float
        Of the resistors. [-]
    cable : float
        Largest loop resistance. [Ω]
    contact : float
        Largest resistance of one closed contact. [Ω]
    equal : bool
        All resistors of one value.

    Returns
    -------
    BestValues
        The winner; values from a thirtieth to thirty times the pull-up are tried.

    Raises
    ------
    OutOfRangeError
        If there is no such series.

    Valid range
    -----------
    As `wardwright.physics.loops.level_interval`.

    References
    ----------
    Exhaustive trial.
    """
    decade = preferred_values(series)
    tried = np.array([v * 10.0**d for d in range(-1, 8) for v in decade])
    tried = tried[(tried >= at.pull_up / 30.0) & (tried <= at.pull_up * 30.0)]
    count = {"single": 1, "double": 2, "triple": 3}[scheme]
    if count == 3 and series > 24:
        raise OutOfRangeError("best resistors", "series", series, "12 or 24 for three resistors")
    grid = [tried] * count if equal else list(np.meshgrid(*[tried] * count, indexing="ij"))
    ohm = [np.ravel(g) for g in grid]
    bounds = _bounds(ohm, at, tolerance, cable, contact)
    pairs = itertools.permutations(range(len(bounds)), 2)
    smallest = np.full(ohm[0].shape, np.inf)
    for i, j in pairs:
        # The lower of two states is the one with the lower low end; the gap is counted once, from below.
        below = bounds[i][0] <= bounds[j][0]
        gap = bounds[j][0] - bounds[i][1] - 2.0 * at.error
        smallest = np.where(below, np.minimum(smallest, gap), smallest)
    winner = int(np.argmax(smallest))
    return BestValues(tuple(float(o[winner]) for o in ohm), float(smallest[winner]))


def _bounds(
    ohm: list[Floats], at: LoopInput, tolerance: float, cable: float, contact: float
) -> list[tuple[Floats, Floats]]:
    """Level bounds of each state for every trial."""
    size = ohm[0].shape
    r1 = ohm[0]
    closed = contact * (1 if len(ohm) < 3 else 2)
    # resistances of each state, and how many ohms of closed contacts it holds
    states: list[tuple[Floats, float]] = [(r1, closed)]
    if len(ohm) > 1:
        states.append((r1 + ohm[1], closed - contact))
    if len(ohm) > 2:
        states.append((r1 + ohm[2], closed - contact))
        states.append((r1 + ohm[1] + ohm[2], 0.0))
    up, down = at.pull_up * (1.0 + at.pull_up_tolerance), at.pull_up * (1.0 - at.pull_up_tolerance)
    short = (np.zeros(size), np.full(size, cable / (cable + down)))
    open_low = at.leakage / (at.leakage + up) if np.isfinite(at.leakage) else 1.0
    found = [short, (np.full(size, open_low), np.ones(size))]
    for nominal, contacts in states:
        low = nominal * (1.0 - tolerance)
        if np.isfinite(at.leakage):
            low = low * at.leakage / (low + at.leakage)
        high = nominal * (1.0 + tolerance) + cable + contacts
        found.append((low / (low + up), high / (high + down)))
    return found
