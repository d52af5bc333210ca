"""Absorption coefficients of surfaces, from the table ``absorption.csv`` beside this module."""

import csv
import math
from functools import cache
from importlib.resources import files

from wardwright.errors import OutOfRangeError, UnknownReferenceError

BANDS = (125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0)
"""Octave bands of the table. [Hz]"""


@cache
def surfaces() -> dict[str, tuple[float, ...]]:
    """The table: coefficients in the bands of :data:`BANDS` by name of surface.

    Returns
    -------
    dict of str to tuple of float
        A missing coefficient at 8 kHz is that at 4 kHz (assumption). [-]
    """
    text = files("wardwright.physics").joinpath("absorption.csv").read_text(encoding="utf-8")
    found = {}
    for row in csv.DictReader(text.splitlines()):
        given = [float(row[f"{band:g}"]) for band in BANDS if row[f"{band:g}"]]
        found[row["surface"]] = tuple(given + given[-1:] * (len(BANDS) - len(given)))
    return found


def absorption(surface: str, frequency: float) -> float:
    r"""Share of the sound that a surface swallows.

    Parameters
    ----------
    surface : str
        Name in the table.
    frequency : float
        125 to 8000; between bands by the logarithm of frequency. [Hz]

    Returns
    -------
    float
        Absorption coefficient, random incidence. [-]

    Raises
    ------
    UnknownReferenceError
        If the table has no such surface.
    OutOfRangeError
        If the frequency is outside the table.

    Notes
    -----
    Sources: [PYROOM-MATERIALS].
    """
    row = surfaces().get(surface)
    if row is None:
        raise UnknownReferenceError(f"no surface is called “{surface}”", where="absorption.csv")
    if not BANDS[0] <= frequency <= BANDS[-1]:
        raise OutOfRangeError("absorption", "frequency", frequency, "125 to 8000 Hz")
    octave = math.log2(frequency / BANDS[0])
    below = min(int(octave), len(BANDS) - 2)
    return row[below] + (octave - below) * (row[below + 1] - row[below])
