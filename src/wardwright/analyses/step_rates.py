"""How well each detector notices each step of many walks, every step looked up once: walks to one target share most."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.detection_along import Walk
from wardwright.analyses.exposure import Exposure

_HEADINGS = 32


class StepRates:
    """Exponents per metre of the steps of some walks.

    Parameters
    ----------
    exposure : Exposure
        Motion detectors that watch.
    places : int
        Places of the walking graph.
    """

    def __init__(self, exposure: Exposure, places: int) -> None:
        self._exposure = exposure
        self._places = places
        self._steps = np.empty(0, dtype=np.int64)
        self._rates = np.empty((0, 3, 0, 0))

    def learn(self, walks: Iterable[Walk]) -> None:
        """Look up every step of some walks, in place of those looked up before.

        Parameters
        ----------
        walks : iterable of Walk
            The walks.
        """
        steps = [self._numbers(walk) for walk in walks]
        self._steps = np.unique(np.concatenate(steps)) if steps else np.empty(0, dtype=np.int64)
        rest, move = np.divmod(self._steps, _HEADINGS)
        start, end = np.divmod(rest, self._places)
        # with nobody watching there is one pace, and nothing to notice it
        paces = range(max(1, len(self._exposure.speeds_m_s)))
        self._rates = np.stack([self._exposure.along(start, end, move, v) for v in paces])

    def on(self, walk: Walk) -> NDArray[np.float64]:
        """Exponent per metre of every detector on each step of a walk that was looked up.

        Parameters
        ----------
        walk : Walk
            The walk.

        Returns
        -------
        ndarray
            Shape (paces, 3, detectors, steps), the fastest pace first: pessimistic, central and optimistic. [1/m]
        """
        at = np.searchsorted(self._steps, self._numbers(walk))
        return np.asarray(self._rates[:, :, :, at])

    def _numbers(self, walk: Walk) -> NDArray[np.int64]:
        return (walk.start.astype(np.int64) * self._places + walk.end) * _HEADINGS + walk.move
