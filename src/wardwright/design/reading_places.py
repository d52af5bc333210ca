"""Where each quantity can be read: the elements a reading may name."""

from wardwright.design.system import Design
from wardwright.premises.model import Premises

PLACES: dict[str, tuple[str, ...]] = {
    "loop resistance": ("loop",),
    "insulation": ("loop", "cable"),
    "voltage": ("device",),
    "current": ("device",),
    "battery voltage": ("device",),
    "sound level": ("room", "bed", "device", "wall"),
    "radio level": ("device", "reporting path"),
    "walk test range": ("device",),
    "cable length": ("cable",),
}
"""Elements at which each quantity is read; an outer sounder stands for the street, a party wall for next door."""

UNITS_READ: dict[str, tuple[str, ...]] = {
    "loop resistance": ("ohm", "kohm"),
    "insulation": ("Mohm", "kohm"),
    "voltage": ("V", "mV"),
    "current": ("mA", "A"),
    "battery voltage": ("V",),
    "sound level": ("dB",),
    "radio level": ("dBm",),
    "walk test range": ("m", "ft"),
    "cable length": ("m", "ft"),
}
"""Units each quantity is usually read in; others that can be turned into them are taken too."""


def reading_places(quantity: str, design: Design, premises: Premises) -> frozenset[str]:
    """Ids of every element a quantity can be read at.

    Parameters
    ----------
    quantity : str
        What is measured.
    design : Design
        The system.
    premises : Premises
        The building.

    Returns
    -------
    frozenset of str
        Their ids; empty for a quantity nobody reads.
    """
    groups = {
        "loop": {x.id for x in design.loops},
        "cable": {x.id for x in design.cables},
        "device": {x.id for x in design.devices},
        "reporting path": {x.id for x in design.programme.paths},
        "room": {x.id for x in premises.rooms},
        "bed": {x.id for x in premises.beds},
        "wall": {x.id for x in premises.walls},
    }
    return frozenset().union(*(groups[kind] for kind in PLACES.get(quantity, ())))


def place_wanted(quantity: str) -> str:
    """What a reading of a quantity has to name, in words: ``a device or reporting path``."""
    *rest, last = PLACES[quantity]
    return f"the id of a {', '.join(rest)} or {last}" if rest else f"the id of a {last}"
