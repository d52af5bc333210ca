"""How much more (or less) a person radiates than what is behind them, in the band a detector looks at."""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wardwright.errors import OutOfRangeError
from wardwright.units import ZERO_C_K

PLANCK = 6.62607015e-34
"""Planck constant. [J s]"""
LIGHT_SPEED = 299_792_458.0
"""Speed of light. [m/s]"""
BOLTZMANN = 1.380649e-23
"""Boltzmann constant. [J/K]"""
STEFAN_BOLTZMANN = 5.670374419e-8
"""Stefan-Boltzmann constant. [W/(m² K⁴)]"""

BAND = (8e-6, 14e-6)
"""Wavelengths an indoor detector's window passes. [m]"""
PERSON_EMISSIVITY = 0.90
"""Clothes and skin mixed, 8-14 µm (assumption between cloth 0.82-0.88 and skin 0.97). [-]"""
STANDARD_CONTRAST = 3.5
"""Contrast of the standard walk test (EN 50131-2-2, from memory). [K]"""
STANDARD_BACKGROUND = 20.0
"""Background of the standard target. [degC]"""
BARE_SHARE = 0.12
"""Share of a clothed walker that is bare skin: head and hands (assumption). [-]"""
CLO = 0.155
"""One clo. [m² K/W]"""
MET = 58.15
"""One met. [W/m²]"""


def band_exitance(temperature: ArrayLike, band: tuple[float, float] = BAND) -> NDArray[np.float64]:
    r"""Radiation a black surface sends out within a band.

    Parameters
    ----------
    temperature : array_like
        Of the surface, 150 to 1500. [K]
    band : tuple of float
        Shortest and longest wavelength. [m]

    Returns
    -------
    ndarray
        Band exitance. [W/m²]

    Notes
    -----
    :math:`M_b = \sigma T^4\,[F(\lambda_2 T)-F(\lambda_1 T)]`, with :math:`x = hc/(\lambda k T)` and
    :math:`F = \frac{15}{\pi^4}\sum_{n\ge1} e^{-nx}\left(\frac{x^3}{n}+\frac{3x^2}{n^2}+\frac{6x}{n^3}
    +\frac{6}{n^4}\right)`, the integral of Planck's law from zero to :math:`\lambda`.

    Sources: [PLANCK-SERIES].
    """
    t = np.asarray(temperature, dtype=np.float64)
    if np.any((t < 150.0) | (t > 1500.0)):
        raise OutOfRangeError("band exitance", "temperature", float(np.ravel(t)[0]), "150 to 1500 K")
    n = np.arange(1.0, 61.0)

    def below(wavelength: float) -> NDArray[np.float64]:
        x = (PLANCK * LIGHT_SPEED / (wavelength * BOLTZMANN) / t)[..., None]
        terms = np.exp(-n * x) * (x**3 / n + 3.0 * x**2 / n**2 + 6.0 * x / n**3 + 6.0 / n**4)
        return np.asarray(15.0 / math.pi**4 * terms.sum(axis=-1))

    return np.asarray(STEFAN_BOLTZMANN * t**4 * (below(band[1]) - below(band[0])))


def radiance_difference(
    background: float, contrast: ArrayLike, emissivity: float = PERSON_EMISSIVITY, band: tuple[float, float] = BAND
) -> NDArray[np.float64]:
    r"""Difference in radiance between a person and what is behind them.

    Parameters
    ----------
    background : float
        Temperature of background and surroundings, -40 to 60. [degC]
    contrast : array_like
        How much warmer the person's surface is. [K]
    emissivity : float
        Of the person. [-]
    band : tuple of float
        Wavelengths. [m]

    Returns
    -------
    ndarray
        Difference, negative for a person colder than the background. [W/(m² sr)]

    Notes
    -----
    :math:`\Delta L = \varepsilon\,[M_b(T_b+\Delta T)-M_b(T_b)]/\pi`.

    Sources: Planck's law; emissivities [TOGAWA-1989], [NIJ-FABRICS].
    """
    if not -40.0 <= background <= 60.0:
        raise OutOfRangeError("radiance difference", "background", background, "-40 to 60 °C")
    base = background + ZERO_C_K
    return np.asarray(
        emissivity * (band_exitance(base + np.asarray(contrast, dtype=np.float64), band) - band_exitance(base, band))
        / math.pi
    )  # fmt: skip


STANDARD_RADIANCE = float(radiance_difference(STANDARD_BACKGROUND, STANDARD_CONTRAST))
"""Radiance difference of the standard target. [W/(m² sr)]"""


def skin_temperature(metabolic: float) -> float:
    """Mean skin temperature of somebody at rest or at work.

    Parameters
    ----------
    metabolic : float
        Metabolic rate less external work, 0.8 to 4. [met]

    Returns
    -------
    float
        35.7 - 0.028 (M - W), M in W/m². [degC]

    Notes
    -----
    Sources: [ISO-7730].
    """
    if not 0.8 <= metabolic <= 4.0:
        raise OutOfRangeError("skin temperature", "metabolic", metabolic, "0.8 to 4 met")
    return 35.7 - 0.028 * metabolic * MET


def clothing_area_factor(insulation: float) -> float:
    r"""Outer surface of clothes against the skin beneath.

    Parameters
    ----------
    insulation : float
        Of the clothes, 0 to 0.31. [m² K/W]

    Returns
    -------
    float
        :math:`f_{cl} = 1.00+1.29 I_{cl}` up to 0.078 m²K/W, :math:`1.05+0.645 I_{cl}` above. [-]

    Notes
    -----
    Sources: [ISO-7730], seen quoted.
    """
    if not 0.0 <= insulation <= 0.31:
        raise OutOfRangeError("clothing area factor", "insulation", insulation, "0 to 0.31 m²K/W")
    return 1.00 + 1.29 * insulation if insulation <= 0.078 else 1.05 + 0.645 * insulation


def clothing_temperature(room: float, clothing: float = 1.0, metabolic: float = 2.0, air_speed: float = 1.0) -> float:
    r"""Surface temperature of clothes worn, walls as warm as the air.

    Parameters
    ----------
    room : float
        Air and wall temperature, -10 to 45. [degC]
    clothing : float
        Insulation, 0 to 2. [clo]
    metabolic : float
        Metabolic rate, 0.8 to 4: 2.0 walking, 1.2 standing. [met]
    air_speed : float
        Air speed past the body, 0 to 3: 1.0 walking, 0.1 standing. [m/s]

    Returns
    -------
    float
        Surface temperature. [degC]

    Notes
    -----
    The heat balance :math:`t_{cl} = t_{sk} - I_{cl}\{3.96\times10^{-8} f_{cl}[(t_{cl}+273)^4-(t_r+273)^4]
    + f_{cl} h_c (t_{cl}-t_a)\}` with :math:`h_c = \max(2.38|t_{cl}-t_a|^{0.25}, 12.1\sqrt{v})` and
    :math:`f_{cl}` as `clothing_area_factor`. Solved by bisection.

    Sources: [ISO-7730] (balance from memory; clothing-area factor seen quoted).
    """
    if not -10.0 <= room <= 45.0:
        raise OutOfRangeError("clothing temperature", "room", room, "-10 to 45 °C")
    if not 0.0 <= clothing <= 2.0:
        raise OutOfRangeError("clothing temperature", "clothing", clothing, "0 to 2 clo")
    if not 0.0 <= air_speed <= 3.0:
        raise OutOfRangeError("clothing temperature", "air_speed", air_speed, "0 to 3 m/s")
    skin = skin_temperature(metabolic)
    insulation = clothing * CLO
    area = clothing_area_factor(insulation)

    def excess(surface: float) -> float:
        convection = max(2.38 * abs(surface - room) ** 0.25, 12.1 * math.sqrt(air_speed))
        radiation = 3.96e-8 * area * ((surface + 273.0) ** 4 - (room + 273.0) ** 4)
        return float(surface - skin + insulation * (radiation + area * convection * (surface - room)))

    low, high = min(room, skin) - 1.0, max(room, skin) + 1.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        if excess(middle) > 0.0:
            high = middle
        else:
            low = middle
    return 0.5 * (low + high)


def walker_contrast(room: float, clothing: float = 1.0, metabolic: float = 2.0, air_speed: float = 1.0) -> float:
    r"""How much warmer than the room a clothed walker looks, head and hands included.

    Parameters
    ----------
    room : float
        Air and wall temperature, -10 to 45. [degC]
    clothing : float
        Insulation. [clo]
    metabolic : float
        Metabolic rate. [met]
    air_speed : float
        Air speed past the body. [m/s]

    Returns
    -------
    float
        :math:`0.88\,(t_{cl}-t_a) + 0.12\,(t_{sk}-t_a)`; negative in a room warmer than the skin. [K]

    Notes
    -----
    The 12 % of bare skin is an assumption. The balance is steady: somebody who has just come in from the cold can be
    colder than the room.

    Sources: [ISO-7730].
    """
    cloth = clothing_temperature(room, clothing, metabolic, air_speed) - room
    return (1.0 - BARE_SHARE) * cloth + BARE_SHARE * (skin_temperature(metabolic) - room)
