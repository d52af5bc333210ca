"""Resistance of the runs of a design: which cable, how long, how warm."""

from dataclasses import dataclass

from wardwright.analyses.readings import cable_length_read
from wardwright.catalogue.kinds import DeviceKind
from wardwright.design.devices import Cable, Device, Keep
from wardwright.design.lengths import MEASURED, Length, drawn_length, unmeasured_length
from wardwright.design.system import ProtectionScheme
from wardwright.physics.conductors import (
    IEC_60228_OHM_PER_KM,
    LAY_STRANDED,
    loop_resistance,
    maximum_resistance_iec60228,
    resistance_per_metre,
    temperature_correction,
)

HOTTEST_C = 50.0
"""A loft in summer. [°C] Common practice, no source."""

ASSUMED_OHM_M = 0.095
"""One core of 0.22 mm² alarm cable, worst case. [Ω/m] Assumption."""

SCREW_OHM = 0.02
"""One screw terminal or splice. [Ω] Common practice: 10 to 50 mΩ."""


@dataclass(frozen=True)
class RunResistance:
    """Loop resistance of one run, out and back, at its warmest."""

    ohm: float | None
    """None where the cable is not known. [Ω]"""
    length: Length
    steps: tuple[tuple[str, str], ...]
    unknown: str = ""
    """What has to be measured, where the cable is not known."""


def run_resistance(
    scheme: ProtectionScheme,
    first: Device,
    second: Device,
    *,
    cable: Cable | None,
    length_m: float | None = None,
    area_m2: float | None = None,
) -> RunResistance:
    """Loop resistance of a run between two devices.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, catalogue and readings.
    first, second : Device
        Its ends.
    cable : Cable, optional
        The cable, where one is drawn.
    length_m : float, optional
        A length given for this run; it goes before the cable's. [m]
    area_m2 : float, optional
        A section given for this run; it goes before the cable's kind. [m²]

    Returns
    -------
    RunResistance
        With the steps that led to it.
    """
    length = _length(scheme, first, second, cable, length_m)
    name = f"run {first.id} to {second.id}"
    where = f"{length.metres:.1f} m, {length.how}"
    per_metre, source = ASSUMED_OHM_M, "0.22 mm² alarm cable, worst case (assumption)"
    if area_m2 is not None:
        per_metre, source = _of_section(area_m2)
    elif cable is not None and cable.kind is not None:
        kind = scheme.catalogue.kind(cable.kind)
        per_metre, source = kind.need("resistance_ohm_m"), f"{kind.name} ({_source(kind)})"
    elif cable is not None and cable.status in (Keep.KEPT, Keep.UNKNOWN):
        return RunResistance(
            None,
            length,
            ((name, f"cable not known; {where}"),),
            f"the cable from {first.id} to {second.id} is not known",
        )
    splices = 0 if cable is None else cable.splices
    joints = 4 + 2 * splices
    ohm = loop_resistance(length.metres, per_metre * temperature_correction(HOTTEST_C), joints=joints, joint=SCREW_OHM)
    worked = (
        f"2 × {where} × {per_metre * 1e3:.3g} Ω/km × {temperature_correction(HOTTEST_C):.3f} "
        f"+ {joints} × {SCREW_OHM * 1e3:.0f} mΩ = {ohm:.3g} Ω; {source}, at {HOTTEST_C:.0f} °C"
    )
    return RunResistance(ohm, length, ((name, worked),))


def _of_section(area: float) -> tuple[float, str]:
    """Resistance of one core of stranded copper by its section, and where it comes from. [Ω/m]"""
    size = round(area * 1e6, 3)
    if size in IEC_60228_OHM_PER_KM:
        return maximum_resistance_iec60228(size, "stranded"), f"{size:g} mm² stranded, the most IEC60228-2004 allows"
    return resistance_per_metre(area, lay=LAY_STRANDED), f"{size:g} mm² of copper (IEC 60028, from memory)"


def _length(
    scheme: ProtectionScheme, first: Device, second: Device, cable: Cable | None, given: float | None
) -> Length:
    read = None if cable is None else cable_length_read(scheme, cable.id)
    known = given if read is None else read
    if known is not None:
        return Length(known, MEASURED)
    drawn = None if cable is None else drawn_length(cable, scheme.premises)
    return drawn or unmeasured_length(first, second, scheme.premises)


def _source(kind: DeviceKind) -> str:
    return kind.figures["resistance_ohm_m"].source
