"""Building services of an IFC file: where mains, telephone, smoke detectors and warm things are."""

import re
from pathlib import Path

from wardwright.errors import IntakeError
from wardwright.intake.draft import DraftService
from wardwright.intake.ifc_fabric import storeys_of
from wardwright.intake.ifc_file import IfcBuilding, open_ifc
from wardwright.intake.ifc_leaves import names_of, type_of
from wardwright.intake.ifc_openings import key_of, label_of
from wardwright.intake.ifc_shapes import Element, box_outline
from wardwright.intake.names import folded, heat_kind
from wardwright.intake.services import Services
from wardwright.model import Ring

# By the type's own enumeration first (ISO 16739-1), then by class, then by the words of its name.
_TYPES = {
    "POWEROUTLET": "socket outlet",
    "DATAOUTLET": "data point",
    "TELEPHONEOUTLET": "telephone point",
    "COMMUNICATIONSOUTLET": "data point",
    "AUDIOVISUALOUTLET": "data point",
    "SMOKESENSOR": "smoke detector",
    "FIRESENSOR": "smoke detector",
    "HEATSENSOR": "smoke detector",
    "THERMOSTAT": "thermostat",
    "DISTRIBUTIONBOARD": "distribution board",
    "CONSUMERUNIT": "distribution board",
    "DIMMERSWITCH": "light switch",
    "TOGGLESWITCH": "light switch",
    "MOMENTARYSWITCH": "light switch",
}
_WORDS: tuple[tuple[str, str], ...] = tuple(
    (kind, rf"(?<![a-z])(?:{words})(?![a-z])")
    for kind, words in (
        ("smoke detector", r"smoke (detector|alarm|sensor)|rauch\w*|detecteur de fumee|detector de humo"),
        ("fire panel", r"fire alarm (control )?panel|fire panel|brandmelde\w*"),
        ("telephone board", r"telephone (terminal )?board|ttb|telefonverteiler|hausanschluss telefon"),
        ("telephone point", r"telephone (outlet|point|socket|jack)|phone (outlet|jack|socket)|telefon\w*|tae"),
        ("data point", r"data (outlet|point|socket)|network (outlet|socket)|rj ?45|datendose|netzwerk\w*"),
        (
            "distribution board",
            r"panel ?board|distribution board|consumer unit|fuse ?box|load cent(er|re)|verteiler\w*|tableau electrique|"
            r"cuadro electrico",
        ),
        ("thermostat", r"thermostat\w*|raumthermostat|termostato"),
        ("light switch", r"(light(ing)? )?switch(es)?|lichtschalter|schalter|interrupteur|interruptor"),
        ("socket outlet", r"receptacle|socket( outlet)?|power outlet|steckdose\w*|prise( de courant)?|enchufe"),
        ("luminaire", r"light( fixture)?|luminaire|lamp|sconce|pendant|downlight|leuchte\w*|luminaria|lampe"),
        ("boiler", r"boilers?|water heater|therme|heizkessel|chaudiere|caldera|furnace"),
        ("pump", r"pump\w*|pumpe|pompe|bomba"),
        ("fan", r"fans?|ventilator\w*|ventilateur|ventilador"),
        (
            "appliance",
            r"range|cooker|oven|hob|refrigerator|fridge|freezer|dishwasher|washing machine|washer|dryer|microwave",
        ),
    )
)
_CLASSES: tuple[tuple[str, str], ...] = (
    ("IfcElectricDistributionBoard", "distribution board"),
    ("IfcElectricDistributionPoint", "distribution board"),
    ("IfcLightFixture", "luminaire"),
    ("IfcLamp", "luminaire"),
    ("IfcSwitchingDevice", "light switch"),
    ("IfcBoiler", "boiler"),
    ("IfcPump", "pump"),
    ("IfcFan", "fan"),
    ("IfcElectricAppliance", "appliance"),
    ("IfcOutlet", "socket outlet"),
)
_SMALL_M2 = 0.04


def read_ifc_services(path: Path, *, scale: float | None = None) -> Services:
    """Read the building services in an IFC file, with or without a building round them.

    Parameters
    ----------
    path : Path
        The file.
    scale : float, optional
        Metres in one length unit of the file, where its header lies. [m]

    Returns
    -------
    Services
        Every point recognised, in metres, on the file's own origin.

    Raises
    ------
    IntakeError
        If the file is empty, cut short or foreign, or has no services in it.
    """
    building = open_ifc(Path(path), scale=scale)
    try:
        points = services_of(building)
        storeys = storeys_of(building)
    except Exception as error:  # a file damaged inside an entity fails wherever that entity is first touched
        raise IntakeError(
            "the file is damaged inside; save it again from its own program", where=building.path.name
        ) from error
    if not points:
        raise IntakeError("the file holds no building services", where=building.path.name)
    return Services(
        source=f"{building.path.name} ({building.file.schema})",
        points=points,
        storey_levels=tuple(s.elevation_m for s in storeys),
        assumptions=tuple(building.assumptions),
    )


def services_of(building: IfcBuilding) -> tuple[DraftService, ...]:
    """Points of the building's services that can be told by type, class or name.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    """
    elements = building.all_of("IfcDistributionElement", "IfcElectricalElement", "IfcBuildingElementProxy")
    return tuple(building.each(elements, lambda e: _service(building, e)))


def _service(building: IfcBuilding, element: Element) -> list[DraftService]:
    kind = _kind(element)
    matrix = building.placement(element)
    if kind is None or matrix is None:
        return []
    sized = kind in ("boiler", "appliance", "fan", "pump")
    mesh = building.mesh(element) if sized else None
    outline: Ring = ()
    if mesh is not None:
        shape = mesh.hull
        outline = box_outline(shape) if shape.area > _SMALL_M2 else ()
    return [
        DraftService(
            key=key_of(element),
            name=label_of(element),
            kind=kind,
            position=(float(matrix[0, 3]), float(matrix[1, 3])),
            level_m=float(matrix[2, 3]),
            heat_kind="air vent" if kind == "fan" else heat_kind(names_of(element)) if sized else None,
            outline=outline,
            bottom_m=0.0 if mesh is None else mesh.bottom,
            top_m=0.0 if mesh is None else mesh.top,
        )
    ]


def _kind(element: Element) -> str | None:
    stated = {
        str(getattr(holder, "PredefinedType", "") or "") for holder in (element, type_of(element)) if holder is not None
    }
    for word in stated:
        if word in _TYPES:
            return _TYPES[word]
    text = folded(names_of(element))
    for kind, pattern in _WORDS:
        if re.search(pattern, text):
            return kind
    if element.is_a("IfcBuildingElementProxy"):
        return None
    classes = [element, type_of(element)]
    for name, kind in _CLASSES:
        if any(c is not None and (c.is_a() == name or c.is_a() == f"{name}Type") for c in classes):
            return kind
    return None
