"""Field of a magnet at a reed: rods and blocks, gap, offset, steel, and where the reed operates and releases."""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq

from wardwright.errors import OutOfRangeError

MU0 = 4e-7 * math.pi
"""Permeability of vacuum. [H/m]"""
CAPSULE_M = 0.014
"""Length of reed capsule over which the field is averaged. Assumption. [m]"""
SAMPLES = 15
"""Points along the capsule, 1 mm apart."""
NEAREST_M = 0.004
"""Centres are never nearer than this. [m]"""
FARTHEST_M = 0.4
"""Beyond this no reed is looked for. [m]"""


def coil_field(ampere_turns: float, length: float, diameter: float) -> float:
    r"""Field in the middle of the coil in which a reed's sensitivity is stated.

    Parameters
    ----------
    ampere_turns : float
        Sensitivity. [A]
    length, diameter : float
        Of the coil, over 0. [m]

    Returns
    -------
    float
        :math:`B = \mu_0 N I/\sqrt{L^2+D^2}`. [T]

    Raises
    ------
    OutOfRangeError
        If the coil has no size.

    Notes
    -----
    Sources: textbook. Checked by ``tests/validation/test_magnets.py``.
    """
    if not (length >= 0.0 and diameter >= 0.0 and length + diameter > 0.0):
        raise OutOfRangeError("coil", "length", length, "a coil with a size")
    return MU0 * ampere_turns / math.hypot(length, diameter)


def _bulirsch(kc: NDArray[np.float64], p: NDArray[np.float64], c: float, s: ArrayLike) -> NDArray[np.float64]:
    """Generalised complete elliptic integral by Bulirsch's algorithm."""
    k = np.maximum(np.abs(kc), 1e-12)
    pp = np.sqrt(np.maximum(p, 1e-24))
    cc = np.full_like(k, c)
    ss = np.array(np.broadcast_to(np.asarray(s, dtype=np.float64), k.shape)) / pp
    em, kk = np.ones_like(k), k.copy()
    for _ in range(12):
        f = cc
        cc = cc + ss / pp
        g = k / pp
        ss = 2.0 * (ss + f * g)
        pp = pp + g
        g = em
        em = em + kk
        if np.all(np.abs(g - kk) <= 1e-10 * g):
            break
        kk = 2.0 * np.sqrt(k)
        k = kk * em
    return np.asarray(math.pi / 2.0 * (ss + cc * em) / (em * (em + pp)))


def rod_field(
    along: ArrayLike, aside: ArrayLike, *, length: float, diameter: float, polarisation: float
) -> NDArray[np.float64]:
    r"""Field of a round rod, magnetised along its length, in the direction of its axis.

    Parameters
    ----------
    along : array_like
        From the middle of the rod, along its axis. [m]
    aside : array_like
        From its axis, outside the rod. [m]
    length, diameter : float
        Of the rod, over 0. [m]
    polarisation : float
        Of the magnet. [T]

    Returns
    -------
    ndarray
        Axial component, by complete elliptic integrals. [T]

    Raises
    ------
    OutOfRangeError
        If the rod has no size.

    Notes
    -----
    Sources: closed form for a finite solenoid [DERBY-OLBERT-2010]_, from memory. Checked against an independent
    library and the axial form by ``tests/validation/test_magnets.py``.
    """
    for name, value in (("length", length), ("diameter", diameter)):
        if not value > 0.0:
            raise OutOfRangeError("rod magnet", name, value, "more than 0 m")
    radius = diameter / 2.0
    z, rho = np.broadcast_arrays(np.asarray(along, dtype=np.float64), np.abs(np.asarray(aside, dtype=np.float64)))
    gamma = (radius - rho) / (radius + rho)
    total = np.zeros(z.shape)
    for end, sign in ((z + length / 2.0, 1.0), (z - length / 2.0, -1.0)):
        outer = np.sqrt(end**2 + (rho + radius) ** 2)
        modulus = np.sqrt((end**2 + (radius - rho) ** 2) / (end**2 + (radius + rho) ** 2))
        total = total + sign * end / outer * _bulirsch(modulus, gamma**2, 1.0, gamma)
    return np.asarray(polarisation / math.pi * radius / (radius + rho) * total)


def block_field(
    x: ArrayLike, y: ArrayLike, z: ArrayLike, *, size: tuple[float, float, float], polarisation: float
) -> NDArray[np.float64]:
    r"""Field of a block, magnetised along x, in the direction of x.

    Parameters
    ----------
    x, y, z : array_like
        From the middle of the block, outside it. [m]
    size : (float, float, float)
        Along x, y and z, over 0. [m]
    polarisation : float
        Of the magnet. [T]

    Returns
    -------
    ndarray
        :math:`B_x = \frac{J}{4\pi}\sum \pm \arctan\frac{y_j z_k}{x_i r}` over the eight corners. [T]

    Raises
    ------
    OutOfRangeError
        If the block has no size.

    Notes
    -----
    Sources: two charged faces, textbook. Checked against an independent library by
    ``tests/validation/test_magnets.py``.
    """
    if not min(size) > 0.0:
        raise OutOfRangeError("block magnet", "size", min(size), "more than 0 m")
    total: ArrayLike = 0.0
    for i in (1.0, -1.0):
        u = np.asarray(x, dtype=np.float64) - i * size[0] / 2.0
        for j in (1.0, -1.0):
            v = np.asarray(y, dtype=np.float64) - j * size[1] / 2.0
            for k in (1.0, -1.0):
                w = np.asarray(z, dtype=np.float64) - k * size[2] / 2.0
                r = np.sqrt(u**2 + v**2 + w**2)
                total = total + i * j * k * np.arctan2(v * w, u * r)  # type: ignore[operator]
    raw = np.asarray(total)
    turns = np.round(raw / (2.0 * math.pi)) * 2.0 * math.pi  # branches of the arc tangent
    return np.asarray(polarisation / (4.0 * math.pi) * (raw - turns))


def averaged(field: Callable[[NDArray[np.float64]], NDArray[np.float64]], offset: float = 0.0) -> float:
    r"""Field that a reed takes notice of: the mean along its capsule, sign ignored.

    Parameters
    ----------
    field : callable
        Axial field [T] at distances along the magnet's axis [m].
    offset : float
        Of the capsule's middle along that axis. [m]

    Returns
    -------
    float
        Mean of 15 samples from -7 mm to 7 mm about the middle. [T]

    Notes
    -----
    Length of the capsule assumed.
    """
    return float(abs(np.mean(field(offset + np.linspace(-CAPSULE_M / 2.0, CAPSULE_M / 2.0, SAMPLES)))))


def reed_field(
    distance: float,
    *,
    length: float,
    diameter: float,
    polarisation: float,
    offset: float = 0.0,
    above_steel: float | None = None,
) -> float:
    r"""Field that a reed takes notice of beside a rod magnet parallel to it.

    Parameters
    ----------
    distance : float
        Between the centres, across. [m]
    length, diameter : float
        Of the magnet. [m]
    polarisation : float
        Of the magnet. [T]
    offset : float
        Between the centres, along. [m]
    above_steel : float, optional
        Of both axes over a steel plate; None: no steel near. [m]

    Returns
    -------
    float
        Averaged field; over steel less that of the image, :math:`B(x) - B(\sqrt{x^2+4h^2})`. [T]

    Notes
    -----
    Sources: image in an infinite plate of high permeability, textbook. Surface parts only. Checked by
    ``tests/validation/test_magnets.py``.
    """

    def axial(z: NDArray[np.float64]) -> NDArray[np.float64]:
        free = rod_field(z, distance, length=length, diameter=diameter, polarisation=polarisation)
        if above_steel is None:
            return free
        image = math.hypot(distance, 2.0 * above_steel)
        return free - rod_field(z, image, length=length, diameter=diameter, polarisation=polarisation)

    return averaged(axial, offset)


def reach(field: Callable[[float], float], level: float, *, nearest: float = NEAREST_M) -> float | None:
    r"""Largest distance at which a field still has a level.

    Parameters
    ----------
    field : callable
        Field [T] by distance [m].
    level : float
        Over 0. [T]
    nearest : float
        No nearer than this. [m]

    Returns
    -------
    float or None
        The distance, found from outside in; None where the level is nowhere reached. [m]

    Raises
    ------
    OutOfRangeError
        If the level is not over 0.
    """
    if not level > 0.0:
        raise OutOfRangeError("reach of a magnet", "level", level, "more than 0 T")
    places = np.arange(FARTHEST_M, nearest, -0.0005)
    last = FARTHEST_M
    for place in places:
        if field(float(place)) >= level:
            if place == places[0]:
                return None
            return float(brentq(lambda d: field(d) - level, float(place), last, xtol=1e-6))
        last = float(place)
    return None


def leaf_opening(travel: float, width: float, from_hinge: float) -> float:
    r"""How far the edge of a hinged leaf has opened when the contact has moved.

    Parameters
    ----------
    travel : float
        Of the contact. [m]
    width : float
        Of the leaf. [m]
    from_hinge : float
        Of the contact along the leaf, over 0. [m]

    Returns
    -------
    float
        :math:`s W/x`. [m]

    Raises
    ------
    OutOfRangeError
        If the contact sits on the hinge.

    Notes
    -----
    Sources: geometry. Checked by ``tests/validation/test_magnets.py``.
    """
    if not from_hinge > 0.0:
        raise OutOfRangeError("leaf", "from_hinge", from_hinge, "more than 0 m")
    return travel * width / from_hinge


def warmed(polarisation: float, temperature: float, *, coefficient: float) -> float:
    r"""Polarisation of a magnet at another temperature than 20 °C.

    Parameters
    ----------
    polarisation : float
        At 20 °C. [T]
    temperature : float
        Of the magnet, -40 to 80. [°C]
    coefficient : float
        Alnico -0.0002, ferrite -0.0019, neodymium-iron-boron -0.0011, from memory. [1/K]

    Returns
    -------
    float
        :math:`J(1+c(t-20))`. [T]

    Raises
    ------
    OutOfRangeError
        If the temperature is outside its range.
    """
    if not -40.0 <= temperature <= 80.0:
        raise OutOfRangeError("magnet", "temperature", temperature, "-40 to 80 °C")
    return polarisation * (1.0 + coefficient * (temperature - 20.0))
