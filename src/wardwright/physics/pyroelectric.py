"""What a pyroelectric element and its amplifier make of a changing heat signal."""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import fft, signal


@dataclass(frozen=True)
class Response:
    """Time constants and corner frequencies of element and amplifier. The defaults are an assumption: they put the
    band where the published interior-sensor practice has it, about 0.1 to 10 Hz.
    """

    thermal: float = 0.16
    """Thermal time constant. [s]"""
    electrical: float = 0.70
    """Electrical time constant. [s]"""
    high_pass: float = 0.10
    """Corner of the double high-pass. [Hz]"""
    low_pass: float = 8.0
    """Corner of the double low-pass. [Hz]"""

    @property
    def gain(self) -> float:
        """Factor that makes the largest response one. [-]"""
        return _gain(self)


REFERENCE = Response()


def response(frequency: ArrayLike, element: Response = REFERENCE) -> NDArray[np.complex128]:
    r"""Complex response at a frequency, largest magnitude one.

    Parameters
    ----------
    frequency : array_like
        Frequency, >= 0. [Hz]
    element : Response
        Time constants and corners. [-]

    Returns
    -------
    ndarray
        :math:`H = K\frac{j\omega\tau_E}{(1+j\omega\tau_T)(1+j\omega\tau_E)}\left[\frac{jf/f_1}{1+jf/f_1}\right]^2
        \left[\frac{1}{1+jf/f_2}\right]^2`. [-]

    Notes
    -----
    Sources: textbook form of the pyroelectric voltage response, from memory; that the two time constants govern is
    seen in [ODON-2015]; corners assumed, agreeing with the band of [PIMS-1977].
    """
    return element.gain * _shape(np.asarray(frequency, dtype=np.float64), element)


def filtered(power: NDArray[np.float64], step: float, element: Response = REFERENCE) -> NDArray[np.float64]:
    """Output for a record of received power, by Fourier transform.

    Parameters
    ----------
    power : ndarray
        Received power, zero before the record; last axis is time. [W]
    step : float
        Sampling interval. [s]
    element : Response
        Time constants and corners. [-]

    Returns
    -------
    ndarray
        Output over the record, as equivalent power. [W]

    Notes
    -----
    The record is padded with zeros to a power of two of at least four times its length, so that the end does not wrap
    round into the beginning.
    """
    count = power.shape[-1]
    length = 1 << max(4, math.ceil(math.log2(4 * count)))
    spectrum = fft.rfft(power, length)
    spectrum *= response(fft.rfftfreq(length, step), element)
    return np.asarray(fft.irfft(spectrum, length)[..., :count])


@cache
def recursion(step: float, element: Response = REFERENCE) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The same response as a recursion, for many records at once.

    Parameters
    ----------
    step : float
        Sampling interval. [s]
    element : Response
        Time constants and corners. [-]

    Returns
    -------
    tuple of ndarray
        Numerator and denominator of the recursion: exact for power that runs straight between samples. [-]
    """
    w1, w2 = 2.0 * math.pi * element.high_pass, 2.0 * math.pi * element.low_pass
    zeros = [0.0, 0.0, 0.0]
    poles = [-1.0 / element.thermal, -1.0 / element.electrical, -w1, -w1, -w2, -w2]
    # j w te/((1+j w tt)(1+j w te)) -> s/tt / ((s+1/tt)(s+1/te)); the others are s^2/(s+w1)^2 and w2^2/(s+w2)^2
    gain = element.gain / element.thermal * w2 * w2
    a, b, c, d, _ = signal.cont2discrete(signal.zpk2ss(zeros, poles, gain), step, method="foh")
    numerator, denominator = signal.ss2tf(a, b, c, d)
    return np.asarray(numerator[0]), np.asarray(denominator)


def _shape(f: NDArray[np.float64], e: Response) -> NDArray[np.complex128]:
    jw = 2j * math.pi * f
    high = (1j * f / e.high_pass) / (1.0 + 1j * f / e.high_pass)
    low = 1.0 / (1.0 + 1j * f / e.low_pass)
    return np.asarray(jw * e.electrical / ((1.0 + jw * e.thermal) * (1.0 + jw * e.electrical)) * high**2 * low**2)


@cache
def _gain(e: Response) -> float:
    f = np.geomspace(1e-3, 1e3, 200_001)
    return float(1.0 / np.abs(_shape(f, e)).max())
