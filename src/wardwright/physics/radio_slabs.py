"""Radio through walls: slabs and stacks of layers by ITU-R P.2040, straight or slanting."""

import cmath
import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files

from wardwright.errors import OutOfRangeError, UnknownReferenceError
from wardwright.physics.microwave import LIGHT_SPEED, VACUUM_PERMITTIVITY

STEEPEST = math.radians(80.0)
"""Slanting lines are reckoned no flatter than this: beyond, the slab model loses its sense. Assumption. [rad]"""
MOST_DB = 60.0
"""A layer of metal, or of endless loss, is held at this: radio then goes another way. Assumption. [dB]"""


@dataclass(frozen=True)
class RadioMaterial:
    """One row of the table of materials."""

    permittivity: float
    permittivity_exponent: float
    conductivity_s_m: float
    conductivity_exponent: float
    from_hz: float
    to_hz: float

    def holds_at(self, frequency: float) -> bool:
        """The table's range covers this frequency."""
        return self.from_hz <= frequency <= self.to_hz


@cache
def radio_materials() -> dict[str, RadioMaterial]:
    """The table of materials.

    Returns
    -------
    dict of str to RadioMaterial
        By name. [ITU-P2040-4].
    """
    text = files("wardwright.physics").joinpath("radio_materials.csv").read_text(encoding="utf-8")
    return {
        row["material"]: RadioMaterial(
            float(row["permittivity"]),
            float(row["permittivity_exponent"]),
            float(row["conductivity_s_m"]),
            float(row["conductivity_exponent"]),
            1e9 * float(row["from_ghz"]),
            1e9 * float(row["to_ghz"]),
        )
        for row in csv.DictReader(text.splitlines())
    }


def conductivity(material: str, frequency: float) -> float:
    r"""Conductivity of a material.

    Parameters
    ----------
    material : str
        A row of the table.
    frequency : float
        Over 0. [Hz]

    Returns
    -------
    float
        :math:`c f^d`, f in GHz. [S/m]

    Raises
    ------
    UnknownReferenceError
        If the table has no such material.

    Notes
    -----
    Sources: [ITU-P2040-4]. Checked by ``tests/validation/test_radio.py``.
    """
    row = _row(material)
    return row.conductivity_s_m * math.pow(frequency / 1e9, row.conductivity_exponent)


def relative_permittivity(material: str, frequency: float) -> complex:
    r"""Complex permittivity of a material, relative to vacuum.

    Parameters
    ----------
    material : str
        A row of the table.
    frequency : float
        Over 0; outside the table's range it is an extrapolation. [Hz]

    Returns
    -------
    complex
        :math:`a f^b - j\sigma/2\pi f\varepsilon_0`. [-]

    Notes
    -----
    Sources: [ITU-P2040-4]. Checked by ``tests/validation/test_radio.py``.
    """
    row = _row(material)
    real = row.permittivity * math.pow(frequency / 1e9, row.permittivity_exponent)
    return complex(real, -conductivity(material, frequency) / (2.0 * math.pi * frequency * VACUUM_PERMITTIVITY))


def _row(material: str) -> RadioMaterial:
    row = radio_materials().get(material)
    if row is None:
        raise UnknownReferenceError(f"no material is called “{material}”", where="radio_materials.csv")
    return row


def stack_loss(
    layers: Sequence[tuple[str, float]], frequency: float, *, angle: float = 0.0, across: bool = True
) -> float:
    r"""Loss of a wall of several layers with air on both sides.

    Parameters
    ----------
    layers : sequence of (str, float)
        Material and thickness [m] of each layer.
    frequency : float
        1e8 to 1e11. [Hz]
    angle : float
        From the normal, 0 to π/2; held at 80°. [rad]
    across : bool
        Electric field across the plane of incidence (TE), otherwise in it (TM).

    Returns
    -------
    float
        :math:`-20\log_{10}|T|`, :math:`T = 2/(A+B+C+D)` of the product of
        :math:`[[\cos\phi, jz\sin\phi],[j\sin\phi/z, \cos\phi]]`,
        :math:`\phi = (2\pi d/\lambda)\sqrt{\eta-\sin^2\theta}`, z the layer's wave impedance over that of air. [dB]

    Raises
    ------
    OutOfRangeError
        If an argument is outside its range.

    Notes
    -----
    Sources: [ITU-P2040-4], equivalent to its single slab. Checked by ``tests/validation/test_radio.py``.
    """
    if not 1e8 <= frequency <= 1e11:
        raise OutOfRangeError("layers", "frequency", frequency, "1e8 to 1e11 Hz")
    if not 0.0 <= angle <= math.pi / 2.0 + 1e-9:
        raise OutOfRangeError("layers", "angle", angle, "0 to π/2")
    slant = min(angle, STEEPEST)
    sine, cosine = math.sin(slant) ** 2, math.cos(slant)
    a, b, c, d = 1.0 + 0j, 0j, 0j, 1.0 + 0j
    lost = 0.0
    for material, thickness in layers:
        if not thickness > 0.0:
            raise OutOfRangeError("layers", "thickness", thickness, "more than 0 m")
        eta = relative_permittivity(material, frequency)
        root = cmath.sqrt(eta - sine)
        phase = 2.0 * math.pi * frequency * thickness / LIGHT_SPEED * root
        if abs(phase.imag) * 20.0 / math.log(10.0) > MOST_DB:
            lost += MOST_DB
            continue
        z = cosine / root if across else root / (eta * cosine)
        p, q, r = cmath.cos(phase), 1j * z * cmath.sin(phase), 1j * cmath.sin(phase) / z
        a, b, c, d = a * p + b * r, a * q + b * p, c * p + d * r, c * q + d * p
    return min(MOST_DB, max(0.0, -20.0 * math.log10(abs(2.0 / (a + b + c + d)))) + lost)


@lru_cache(maxsize=4096)
def _averaged(layers: tuple[tuple[str, float], ...], frequency: float, angle: float) -> float:
    """Mean power of both polarisations over a band of thickness. [dB]"""
    solid = [i for i, (m, _) in enumerate(layers) if m != "air"]
    if not solid:
        return 0.0
    main = max(solid, key=lambda i: layers[i][1])
    material, thickness = layers[main]
    index = abs(cmath.sqrt(relative_permittivity(material, frequency)))
    quarter = min(LIGHT_SPEED / frequency / index / 4.0, thickness / 2.0)
    through = []
    for step in range(41):
        varied = list(layers)
        varied[main] = (material, thickness + quarter * (step - 20) / 20.0)
        for across in (True, False):
            through.append(math.pow(10.0, -stack_loss(varied, frequency, angle=angle, across=across) / 10.0))
    return max(0.0, -10.0 * math.log10(sum(through) / len(through)))


def wall_loss(layers: Sequence[tuple[str, float]], frequency: float, *, angle: float = 0.0) -> float:
    r"""Loss of a wall whose thickness is only nominal, whatever the polarisation.

    Parameters
    ----------
    layers : sequence of (str, float)
        Material and thickness [m] of each layer.
    frequency : float
        1e8 to 1e11. [Hz]
    angle : float
        From the normal. [rad]

    Returns
    -------
    float
        Mean power of both polarisations over the thickness of the thickest solid layer give and take a quarter
        wavelength in it (no more than half of it). [dB]

    Notes
    -----
    Resonances of exact thickness mean nothing where the thickness is nominal. The mean is an assumption.
    Checked by ``tests/validation/test_radio.py``.
    """
    return _averaged(tuple(layers), frequency, angle)


def bulk_attenuation(material: str, frequency: float) -> float:
    r"""What a metre of a material takes, its faces left out.

    Parameters
    ----------
    material : str
        A row of the table.
    frequency : float
        Over 0. [Hz]

    Returns
    -------
    float
        :math:`-8.686\,(2\pi f/c)\,\mathrm{Im}\sqrt\eta`. [dB/m]

    Notes
    -----
    Sources: [ITU-P2040-4]. Checked by ``tests/validation/test_radio.py``.
    """
    root = cmath.sqrt(relative_permittivity(material, frequency))
    return -20.0 / math.log(10.0) * 2.0 * math.pi * frequency / LIGHT_SPEED * root.imag
