"""Shock detectors: how far over one continuous surface a blow is felt."""

import math

from wardwright.errors import OutOfRangeError

LARGEST_SQUARE_M = 1.83
"""A single detector is not relied on for more glass than a square of 6 ft. [m] NAVFAC-DM13."""


def detectors_for_pane(width: float, height: float, side: float = LARGEST_SQUARE_M) -> int:
    r"""Shock detectors that a pane wants.

    Parameters
    ----------
    width, height : float
        Of the pane, over 0. [m]
    side : float
        Largest square that one covers, over 0. [m]

    Returns
    -------
    int
        :math:`\lceil w/s\rceil\lceil h/s\rceil`. [-]

    Raises
    ------
    OutOfRangeError
        If a size is not over 0.

    Notes
    -----
    Sources: [NAVFAC-DM13]: not singly over more than 6 ft square. Checked by
    ``tests/validation/test_beams_and_shock.py``.
    """
    for name, value in (("width", width), ("height", height), ("side", side)):
        if not value > 0.0:
            raise OutOfRangeError("shock detector", name, value, "more than 0 m")
    return math.ceil(width / side - 1e-9) * math.ceil(height / side - 1e-9)
