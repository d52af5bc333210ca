"""How much of the time something works that is made of parts which fail and are mended."""

import math
from collections.abc import Iterable

from wardwright.errors import OutOfRangeError

YEAR_H = 8766.0
"""Hours in a mean year. [h]"""


def availability(between_failures: float, to_repair: float) -> float:
    r"""Share of the time a part works.

    Parameters
    ----------
    between_failures : float
        Mean time between failures, over 0. [h]
    to_repair : float
        Mean time to repair, 0 or more. [h]

    Returns
    -------
    float
        :math:`A = \dfrac{MTBF}{MTBF+MTTR}`. [-]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: textbook. Checked by ``tests/validation/test_availability.py``.
    """
    if not (between_failures > 0.0 and to_repair >= 0.0):
        raise OutOfRangeError("availability", "times", between_failures, "over 0 h, and 0 h or more to repair")
    return between_failures / (between_failures + to_repair)


def series_failures(between_failures: Iterable[float]) -> float:
    r"""Mean time between failures of parts all of which are needed.

    Parameters
    ----------
    between_failures : iterable of float
        Of each part, over 0. [h]

    Returns
    -------
    float
        :math:`1/\sum_i 1/MTBF_i`; infinite without parts. [h]

    Raises
    ------
    OutOfRangeError
        If one is not over 0.

    Notes
    -----
    Sources: textbook. Checked by ``tests/validation/test_availability.py``.
    """
    rate = 0.0
    for each in between_failures:
        if not each > 0.0:
            raise OutOfRangeError("series", "between_failures", each, "more than 0 h")
        rate += 1.0 / each
    return 1.0 / rate if rate else math.inf


def in_series(shares_down: Iterable[float]) -> float:
    r"""Share of the time at least one of several independent parts is down.

    Parameters
    ----------
    shares_down : iterable of float
        Share of the time each is down, 0 to 1. [-]

    Returns
    -------
    float
        :math:`1-\prod(1-U_i)`. [-]

    Notes
    -----
    Sources: textbook. Checked by ``tests/validation/test_availability.py``.
    """
    works = 1.0
    for each in shares_down:
        works *= 1.0 - _share("in series", each)
    return 1.0 - works


def in_parallel(first: float, second: float, common: float = 0.0) -> float:
    r"""Share of the time both of two ways are down, of which a part is down together.

    Parameters
    ----------
    first, second : float
        Share of the time each is down, 0 to 1. [-]
    common : float
        Share of the failures of the better one that take the other along: the beta factor, 0 to 1. [-]

    Returns
    -------
    float
        :math:`(1-\beta)^2U_1U_2+\beta\min(U_1,U_2)`, never less than :math:`U_1U_2`. [-]

    Notes
    -----
    Sources: the beta-factor model in the style of IEC 61508-6, from memory. Checked by
    ``tests/validation/test_availability.py``.
    """
    a, b, beta = (_share("in parallel", x) for x in (first, second, common))
    return max(a * b, (1.0 - beta) ** 2 * a * b + beta * min(a, b))


def undetected_share(rate: float, interval: float, common: float | None = None) -> float:
    r"""Share of the time something is down unnoticed, found out only at tests.

    Parameters
    ----------
    rate : float
        Failures, 0 or more. [1/h]
    interval : float
        Between tests, 0 or more. [h]
    common : float, optional
        Beta factor of two that would do for one another; None: there is one only. [-]

    Returns
    -------
    float
        One: :math:`\lambda\tau/2`. Two: :math:`((1-\beta)\lambda\tau)^2/3+\beta\lambda\tau/2`. [-]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: IEC 61508-6 style, from memory. Checked by ``tests/validation/test_availability.py``.
    """
    if not (rate >= 0.0 and interval >= 0.0):
        raise OutOfRangeError("undetected", "rate, interval", rate, "0 or more")
    x = rate * interval
    if common is None:
        return x / 2.0
    beta = _share("undetected", common)
    return ((1.0 - beta) * x) ** 2 / 3.0 + beta * x / 2.0


def _share(formula: str, value: float) -> float:
    if not 0.0 <= value <= 1.0:
        raise OutOfRangeError(formula, "share", value, "0 to 1")
    return value
