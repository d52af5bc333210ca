"""Readings taken on site: they overrule predictions, and one that cannot be true is told."""

from dataclasses import dataclass
from typing import Literal

from wardwright.catalogue.published import stored_value
from wardwright.design.brief import Reading
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError

UNITS = {
    "loop resistance": "ohm",
    "insulation": "ohm",
    "voltage": "V",
    "battery voltage": "V",
    "current": "A",
    "cable length": "m",
    "sound level": "dB",
    "radio level": "dBm",
    "walk test range": "m",
}
"""Unit each quantity is computed in."""


@dataclass(frozen=True)
class Compared:
    """One reading beside what was predicted."""

    reading_id: str
    quantity: str
    at: str
    measured: float
    predicted: float | None
    low: float | None
    """Least value the model can explain, its stated error and the instrument's included."""
    high: float | None
    unit: str
    note: str = ""

    @property
    def explained(self) -> bool:
        """False when the reading lies outside everything the model can explain."""
        return (self.low is None or self.measured >= self.low) and (self.high is None or self.measured <= self.high)

    @property
    def difference(self) -> float | None:
        """Measured less predicted, in ``unit``."""
        return None if self.predicted is None else self.measured - self.predicted


def cable_length_read(scheme: ProtectionScheme, cable_id: str | None) -> float | None:
    """Length of a cable as last read on site; None where nobody did. [m]"""
    reading = None if cable_id is None else latest(scheme, "cable length", cable_id)
    return None if reading is None else measured_value(reading)


def measured_value(reading: Reading) -> float:
    """A reading in the unit it is computed in.

    Parameters
    ----------
    reading : Reading
        As taken.

    Returns
    -------
    float
        Its value.

    Raises
    ------
    InputError
        If its unit does not fit its quantity.
    """
    try:
        return stored_value(reading.value, reading.unit, UNITS[reading.quantity])
    except InputError as error:
        raise InputError(error.message, where=f"reading {reading.id}") from None


def measured_spread(reading: Reading) -> float:
    """The instrument's uncertainty in the unit of `measured_value`; 0 where it was not noted."""
    if reading.uncertainty is None:
        return 0.0
    return stored_value(reading.uncertainty, reading.unit, UNITS[reading.quantity])


def latest(
    scheme: ProtectionScheme,
    quantity: Literal[
        "loop resistance",
        "insulation",
        "voltage",
        "current",
        "battery voltage",
        "cable length",
        "sound level",
        "radio level",
        "walk test range",
    ],
    at: str,
) -> Reading | None:
    """The newest reading of a quantity at a place; the last one recorded where dates are equal.

    Parameters
    ----------
    scheme : ProtectionScheme
        Holds the readings.
    quantity : str
        What was measured.
    at : str
        Id of the element.

    Returns
    -------
    Reading or None
        None where nothing was measured.
    """
    found = [r for r in scheme.readings if r.quantity == quantity and r.at == at]
    return max(enumerate(found), key=lambda pair: (pair[1].date, pair[0]))[1] if found else None
