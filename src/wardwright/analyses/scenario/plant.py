"""What happens to mains, battery, paths, lids and parts, as the panel is told of it."""

from wardwright.analyses.panel_programme import Numbering
from wardwright.analyses.scenario.script import Happening
from wardwright.errors import InputError
from wardwright.panel.events import Event, FaultEvent, PathEvent, SupplyEvent, TamperEvent

SUPPLY: dict[str, SupplyEvent] = {
    "mains lost": SupplyEvent("mains", False),
    "mains back": SupplyEvent("mains", True),
    "battery low": SupplyEvent("battery", False),
    "battery good": SupplyEvent("battery", True),
    "all power lost": SupplyEvent("power", False),
    "all power back": SupplyEvent("power", True),
}


def plant_events(happening: Happening, names: Numbering, where: str) -> tuple[Event, ...]:
    """Events for the panel.

    Parameters
    ----------
    happening : Happening
        What happens, not to a detector.
    names : Numbering
        Which path has which index.
    where : str
        For messages.

    Returns
    -------
    tuple of Event
        In order.

    Raises
    ------
    InputError
        If there is no such path.
    """
    if happening.what in SUPPLY:
        return (SUPPLY[happening.what],)
    if happening.path is not None:
        if happening.path not in names.path_ids:
            known = ", ".join(names.path_ids) or "none"
            raise InputError(f"no reporting path is called “{happening.path}”: there is {known}", where=where)
        return (PathEvent(names.path_ids.index(happening.path), happening.what == "path back"),)
    good = happening.what.endswith(" over")
    part = happening.part or ""
    return (TamperEvent(part, good),) if happening.what.startswith("tamper") else (FaultEvent(part, good),)
