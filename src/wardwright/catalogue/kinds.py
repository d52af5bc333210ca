"""A kind of device and its figures."""

from collections.abc import Mapping
from enum import StrEnum

from wardwright.errors import InputError, UnknownReferenceError
from wardwright.model import Id, Record


class Family(StrEnum):
    """What a device does, in the trade's words."""

    CONTACT = "contact"
    MOTION = "motion detector"
    DUAL = "dual-technology detector"
    GLASS_BREAK = "glass-break detector"
    SHOCK = "shock detector"
    BEAM = "photo-beam"
    HOLD_UP = "hold-up button"
    KEYPAD = "keypad"
    PANEL = "control panel"
    ALL_IN_ONE = "all-in-one control"
    EXPANDER = "expander"
    SUPPLY = "power supply"
    BATTERY = "battery"
    INNER_SOUNDER = "inner sounder"
    OUTER_SOUNDER = "outer sounder"
    STROBE = "strobe"
    COMMUNICATOR = "communicator"
    SMOKE = "smoke alarm input"
    CO = "carbon monoxide alarm input"
    FLOOD = "flood detector"
    COLD = "low-temperature detector"
    RESISTOR = "end-of-line resistor"
    CABLE = "cable"
    LABOUR = "labour"


DETECTORS = frozenset({Family.CONTACT, Family.MOTION, Family.DUAL, Family.GLASS_BREAK, Family.SHOCK, Family.BEAM})


class Figure(Record):
    """One figure of a kind: SI value beside the figure and unit as published."""

    value: float
    published: str
    unit: str
    source: str
    """A key of the bibliography, or ``common practice``, or ``assumption``."""


class DeviceKind(Record):
    """A generic kind of device."""

    id: Id
    name: str
    family: Family
    tag: str
    """Two or three letters for the drawings, spelling the trade's abbreviation."""
    radio: bool = False
    figures: Mapping[str, Figure] = {}
    words: Mapping[str, str] = {}
    """Figures that are words: ``chemistry``, ``operation``, ``environment_class``."""

    def need(self, name: str) -> float:
        """A figure that a computation cannot do without.

        Raises
        ------
        InputError
            If the kind's row does not give it.
        """
        if name not in self.figures:
            raise InputError(f"the catalogue gives no {name} for “{self.name}”", where=self.id)
        return self.figures[name].value

    def get(self, name: str, default: float | None = None) -> float | None:
        """A figure, or ``default`` where the row does not give it."""
        figure = self.figures.get(name)
        return default if figure is None else figure.value


class Catalogue(Record):
    """The kinds a design may use."""

    kinds: Mapping[str, DeviceKind]
    edition: str
    """Name and date of the list, printed on papers."""

    def kind(self, key: str) -> DeviceKind:
        """The kind with this id."""
        if key not in self.kinds:
            raise UnknownReferenceError(f"no kind of device is called “{key}”", where="catalogue")
        return self.kinds[key]

    def family(self, family: Family) -> tuple[DeviceKind, ...]:
        """All kinds of one family."""
        return tuple(k for k in self.kinds.values() if k.family is family)
