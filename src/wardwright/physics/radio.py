"""Radio: free space, site-general and multi-wall losses, through the envelope, field limits, margins."""

import math

from scipy.special import ndtri

from wardwright.errors import OutOfRangeError
from wardwright.physics.microwave import LIGHT_SPEED

FLOOR_EXPONENT_B = 0.46
"""Exponent b of the COST 231 multi-wall model. [-]"""
ERP_TO_EIRP_DB = 2.15
"""Gain of a half-wave dipole. [dB]"""
OFFICE_NLOS = (2.46, 29.53, 2.38, 5.04)
"""P.1238-11, office without line of sight, 0.3 to 82 GHz, 4 to 30 m: alpha, beta, gamma, sigma [dB]."""
OFFICE_LOS = (1.46, 34.62, 2.03, 3.76)
"""The same with line of sight, 2 to 27 m."""
ENVELOPES = {
    "traditional": (12.64, 3.72, 0.96, 9.6, 2.0, 9.1, -3.0, 4.5, -2.0),
    "thermally efficient": (28.19, -3.0, 8.48, 13.5, 3.8, 27.8, -2.9, 9.4, -2.1),
}
"""Coefficients r s t u v w x y z of P.2109-1 by kind of building."""


def _frequency(formula: str, frequency: float, low: float = 2e7, high: float = 1e11) -> float:
    if not low <= frequency <= high:
        raise OutOfRangeError(formula, "frequency", frequency, f"{low:g} to {high:g} Hz")
    return frequency


def _distance(formula: str, distance: float) -> float:
    if not distance > 0.0:
        raise OutOfRangeError(formula, "distance", distance, "more than 0 m")
    return distance


def free_space_loss(frequency: float, distance: float) -> float:
    r"""Loss between isotropic antennas in the open.

    Parameters
    ----------
    frequency : float
        2e7 to 1e11. [Hz]
    distance : float
        Over 0; nearer than a wavelength over 2π the loss is held. [m]

    Returns
    -------
    float
        :math:`20\log_{10}(4\pi d/\lambda)`. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: [ITU-P525]. Checked by ``tests/validation/test_radio.py``.
    """
    wavelength = LIGHT_SPEED / _frequency("free space", frequency)
    return 20.0 * math.log10(4.0 * math.pi * max(_distance("free space", distance), wavelength / 6.0) / wavelength)


def radiated_power(field: float, distance: float = 3.0) -> float:
    r"""Isotropic radiated power from a field strength.

    Parameters
    ----------
    field : float
        Over 0. [V/m]
    distance : float
        Over 0. [m]

    Returns
    -------
    float
        :math:`10\log_{10}(E^2d^2/30)+30`. [dBm]

    Raises
    ------
    OutOfRangeError
        If an argument is not over 0.

    Notes
    -----
    Sources: far field in the open, [ITU-P525]. Checked by ``tests/validation/test_radio.py``.
    """
    if not field > 0.0:
        raise OutOfRangeError("radiated power", "field", field, "more than 0 V/m")
    return 10.0 * math.log10(field**2 * _distance("radiated power", distance) ** 2 / 30.0) + 30.0


def us_periodic_limit(frequency: float) -> float:
    r"""Field strength that 47 CFR 15.231 allows an alarm transmitter at 3 m.

    Parameters
    ----------
    frequency : float
        260e6 to 1e9. [Hz]

    Returns
    -------
    float
        From 260 to 470 MHz :math:`41.6667F-7083.3333` µV/m, F in MHz; above 12500 µV/m. [V/m]

    Raises
    ------
    OutOfRangeError
        If the frequency is outside its range.

    Notes
    -----
    Sources: [CFR47-15.231], the figures from memory, confirmed at one point. Checked by
    ``tests/validation/test_radio.py``.
    """
    mhz = _frequency("47 CFR 15.231", frequency, 2.6e8, 1e9) / 1e6
    return 1e-6 * (12_500.0 if mhz >= 470.0 else 41.6667 * mhz - 7083.3333)


def indoor_loss(frequency: float, distance: float, coefficients: tuple[float, float, float, float]) -> float:
    r"""Median loss indoors by the site-general model.

    Parameters
    ----------
    frequency : float
        3e8 to 8e10. [Hz]
    distance : float
        Over 0. [m]
    coefficients : (float, float, float, float)
        alpha [-], beta [dB], gamma [-], sigma [dB]; :data:`OFFICE_NLOS`, :data:`OFFICE_LOS`.

    Returns
    -------
    float
        :math:`10\alpha\log_{10}d + \beta + 10\gamma\log_{10}f`, f in GHz. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: [ITU-P1238] edition 11, table 2. There is no row for homes. Checked by ``tests/validation/test_radio.py``.
    """
    alpha, beta, gamma, _ = coefficients
    ghz = _frequency("indoor loss", frequency, 3e8, 8e10) / 1e9
    return 10.0 * alpha * math.log10(_distance("indoor loss", distance)) + beta + 10.0 * gamma * math.log10(ghz)


def indoor_loss_by_floors(
    frequency: float, distance: float, *, coefficient: float = 28.0, floor_loss: float = 0.0
) -> float:
    r"""Loss indoors by the older site-general model.

    Parameters
    ----------
    frequency : float
        3e8 to 1e11. [Hz]
    distance : float
        1 or more. [m]
    coefficient : float
        28 for homes at 1.8 to 2 GHz, used below as an extrapolation; 33 for offices at 900 MHz. [-]
    floor_loss : float
        Of all floors between; 4 dB a floor for homes. [dB]

    Returns
    -------
    float
        :math:`20\log_{10}f + N\log_{10}d + L_f - 28`, f in MHz. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: [ITU-P1238] older editions. Checked by ``tests/validation/test_radio.py``.
    """
    mhz = _frequency("indoor loss by floors", frequency, 3e8, 1e11) / 1e6
    if not distance >= 1.0:
        raise OutOfRangeError("indoor loss by floors", "distance", distance, "1 m or more")
    return 20.0 * math.log10(mhz) + coefficient * math.log10(distance) + floor_loss - 28.0


def multi_wall_loss(frequency: float, distance: float, *, light: int = 0, heavy: int = 0, floors: int = 0) -> float:
    r"""Loss indoors by counting walls and floors.

    Parameters
    ----------
    frequency : float
        3e8 to 2.4e9; constants of 900 MHz below 1.3 GHz, of 1800 MHz above. [Hz]
    distance : float
        Over 0. [m]
    light, heavy : int
        Walls of each kind on the line. [-]
    floors : int
        Floors on the line. [-]

    Returns
    -------
    float
        :math:`L_{FS} + \sum k_iL_i + k_f^{(k_f+2)/(k_f+1)-0.46}L_f`. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: [COST231]; no heavy wall is given at 900 MHz, that of 1800 MHz is taken. Pessimistic for many walls.
    Checked by ``tests/validation/test_radio.py``.
    """
    low = _frequency("multi-wall", frequency, 3e8, 2.5e9) < 1.3e9
    if min(light, heavy, floors) < 0:
        raise OutOfRangeError("multi-wall", "walls", min(light, heavy, floors), "0 or more")
    loss = free_space_loss(frequency, distance) + light * (1.9 if low else 3.4) + heavy * 6.9
    if floors:
        loss += floors ** ((floors + 2) / (floors + 1) - FLOOR_EXPONENT_B) * (14.8 if low else 18.3)
    return loss


def envelope_loss(frequency: float, share: float, building: str = "traditional", *, elevation: float = 0.0) -> float:
    r"""Loss from outside to somewhere inside a building.

    Parameters
    ----------
    frequency : float
        8e7 to 1e11. [Hz]
    share : float
        Share of places with no greater loss, over 0 to below 1. [-]
    building : str
        A key of :data:`ENVELOPES`.
    elevation : float
        Of the path at the wall. [°]

    Returns
    -------
    float
        :math:`10\log_{10}(10^{A/10}+10^{B/10}+10^{-0.3})`, with the medians and spreads of P.2109. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: [ITU-P2109]. Checked by ``tests/validation/test_radio.py``.
    """
    lg = math.log10(_frequency("envelope", frequency, 8e7, 1e11) / 1e9)
    if not 0.0 < share < 1.0:
        raise OutOfRangeError("envelope", "share", share, "over 0 to below 1")
    r, s, t, u, v, w, x, y, z = ENVELOPES[building]
    quantile = float(ndtri(share))
    a = quantile * (u + v * lg) + r + s * lg + t * lg**2 + 0.212 * abs(elevation)
    b = quantile * (y + z * lg) + w + x * lg
    return 10.0 * math.log10(math.pow(10.0, a / 10.0) + math.pow(10.0, b / 10.0) + math.pow(10.0, -0.3))


def fading_margin(share: float) -> float:
    r"""Reserve that holds at a share of spots in a room full of reflections, over the mean power.

    Parameters
    ----------
    share : float
        Over 0 to below 1. [-]

    Returns
    -------
    float
        :math:`-10\log_{10}(-\ln A)`. [dB]

    Raises
    ------
    OutOfRangeError
        If the share is outside its range.

    Notes
    -----
    Sources: Rayleigh fading, textbook. Checked by ``tests/validation/test_radio.py``.
    """
    if not 0.0 < share < 1.0:
        raise OutOfRangeError("fading", "share", share, "over 0 to below 1")
    return -10.0 * math.log10(-math.log(share))


def collision_share(devices: int, message: float, period: float) -> float:
    r"""Share of messages that meet another one.

    Parameters
    ----------
    devices : int
        All that share the channel, 1 or more. [-]
    message : float
        Length of one message. [s]
    period : float
        Between messages of one device, over 0. [s]

    Returns
    -------
    float
        :math:`1-e^{-2(n-1)\tau/T}`. [-]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: unslotted channel, textbook. Checked by ``tests/validation/test_radio.py``.
    """
    if devices < 1 or not (message >= 0.0 and period > 0.0):
        raise OutOfRangeError("collisions", "period", period, "more than 0 s, with 1 or more devices")
    return -math.expm1(-2.0 * (devices - 1) * message / period)


def noise_floor(bandwidth: float, noise_figure: float) -> float:
    r"""Noise that a receiver hears with nothing sent.

    Parameters
    ----------
    bandwidth : float
        Over 0. [Hz]
    noise_figure : float
        Of the receiver. [dB]

    Returns
    -------
    float
        :math:`10\log_{10}(kT_0B/1\,\mathrm{mW}) + NF`, at 290 K. [dBm]

    Raises
    ------
    OutOfRangeError
        If the bandwidth is not over 0.

    Notes
    -----
    Sources: thermal noise, textbook. Checked by ``tests/validation/test_radio.py``.
    """
    if not bandwidth > 0.0:
        raise OutOfRangeError("noise floor", "bandwidth", bandwidth, "more than 0 Hz")
    return 10.0 * math.log10(1.380649e-23 * 290.0 * bandwidth / 1e-3) + noise_figure


def burn_through(sender: float, sender_loss: float, jammer: float, *, capture: float, frequency: float) -> float:
    r"""Distance inside which a jammer in the open drowns a device.

    Parameters
    ----------
    sender : float
        Radiated by the device. [dBm]
    sender_loss : float
        From device to receiver. [dB]
    jammer : float
        Radiated by the jammer. [dBm]
    capture : float
        By how much the device must be stronger. [dB]
    frequency : float
        2e7 to 1e11. [Hz]

    Returns
    -------
    float
        Distance at which :math:`(P_s-L_s)-(P_j-L_j)` is the capture ratio in free space. [m]

    Notes
    -----
    Sources: [ITU-P525]; capture ratios from memory. Checked by ``tests/validation/test_radio.py``.
    """
    needed = capture - (sender - sender_loss) + jammer
    wavelength = LIGHT_SPEED / _frequency("burn-through", frequency)
    return wavelength / (4.0 * math.pi) * math.pow(10.0, needed / 20.0)
