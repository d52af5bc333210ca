"""Sound in rooms that leak into one another: a balance of power over all of them at once."""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from wardwright.errors import OutOfRangeError

REFERENCE_W_M2 = 1e-12
"""Intensity at 0 dB. [W/m²]"""


def coupled_levels(
    absorbed: Sequence[float],
    partitions: Iterable[tuple[int, int, float, float]],
    power: NDArray[np.float64],
) -> NDArray[np.float64]:
    r"""Reverberant level in each of several rooms.

    Parameters
    ----------
    absorbed : sequence of float
        Equivalent absorption area of each room, over 0. [m²]
    partitions : iterable of (int, int, float, float)
        Room, room, area [m²] and loss [dB] of each thing between two rooms; an open door loses nothing.
    power : ndarray
        Reverberant power that enters each room: of a sounder in it, or through its front from outside. [W]

    Returns
    -------
    ndarray
        :math:`10\log_{10}(4I_i/10^{-12})` with :math:`A_iI_i + \sum_j S_{ij}10^{-R_{ij}/10}(I_i-I_j) = W_i`; minus
        infinity where no sound comes. [dB]

    Raises
    ------
    OutOfRangeError
        If a room absorbs nothing, or an area or loss is negative.

    Valid range
    -----------
    Diffuse fields: rooms of some size, well mixed. Long passages fall off faster.

    Notes
    -----
    Sources: statistical room acoustics, textbook; with one partition and a large receiving room it is
    :math:`L_1 - R + 10\log_{10}(S/A_2)`. Checked by ``tests/validation/test_coupled_rooms.py``.
    """
    count = len(absorbed)
    if not (count and min(absorbed) > 0.0):
        raise OutOfRangeError("coupled rooms", "absorbed", min(absorbed, default=0.0), "more than 0 m² in each room")
    matrix = np.diag(np.asarray(absorbed, dtype=np.float64))
    for a, b, area, loss in partitions:
        if not (area >= 0.0 and loss >= 0.0):
            raise OutOfRangeError("coupled rooms", "loss", loss, "0 dB or more over 0 m² or more")
        through = area * 10.0 ** (-loss / 10.0)
        matrix[a, a] += through
        matrix[b, b] += through
        matrix[a, b] -= through
        matrix[b, a] -= through
    intensity = np.maximum(np.linalg.solve(matrix, np.asarray(power, dtype=np.float64)), 0.0)
    with np.errstate(divide="ignore"):
        return np.asarray(10.0 * np.log10(4.0 * intensity / REFERENCE_W_M2))
