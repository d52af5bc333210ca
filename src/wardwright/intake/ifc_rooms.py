"""Spaces of an IFC file, by the floor of their solids, and the dwellings the file groups them into."""

import re

from shapely import Polygon

from wardwright.intake.draft import DraftRoom
from wardwright.intake.ifc_file import IfcBuilding
from wardwright.intake.ifc_openings import key_of, label_of, storey_key_of
from wardwright.intake.ifc_shapes import (
    Element,
    biggest,
    floor_outline,
    rings,
)
from wardwright.intake.names import folded, is_outdoors

_DWELLING_WORDS = re.compile(
    r"apartment|flat|dwelling|tenant|wohnung|mieteinheit|nutzungseinheit|appartement|logement|vivienda|piso|unit"
)


def rooms_of(building: IfcBuilding, elevation: dict[str, float]) -> list[DraftRoom]:
    """Spaces, by the floor of their solids.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    elevation : dict of str to float
        Elevation of each storey by key. [m]
    """
    spaces = building.all_of("IfcSpace")
    building.shape_all(spaces)
    long_names = [str(s.LongName or "").strip() for s in spaces]
    shared = len({n for n in long_names if n}) < len([n for n in long_names if n])
    dwellings = _zones(building)
    return building.each(spaces, lambda e: _room(building, e, elevation, shared, dwellings))


def _room(
    building: IfcBuilding, space: Element, elevation: dict[str, float], shared: bool, dwellings: dict[int, str]
) -> list[DraftRoom]:
    long_name, number = str(space.LongName or "").strip(), str(space.Name or "").strip()
    name = " ".join(dict.fromkeys(p for p in ((long_name, number) if shared or not long_name else (long_name,)) if p))
    name = name or label_of(space)
    indoors = not (_said_external(space) or is_outdoors(name))
    mesh = building.mesh(space)
    shape = biggest(floor_outline(mesh)) if mesh is not None else Polygon()
    if mesh is None and len(ring := building.curve(space, "FootPrint")) >= 3:
        matrix = building.placement(space)
        storey = storey_key_of(building, space, elevation, None if matrix is None else float(matrix[2, 3]))
        if storey is not None and matrix is not None:
            building.note("room height", (name,), "its storey's: the file draws only its floor", "measure it")
            base = float(matrix[2, 3]) - elevation[storey]
            return [
                DraftRoom(
                    key_of(space),
                    storey,
                    name,
                    ring,
                    base_m=base,
                    dwelling=dwellings.get(space.id(), ""),
                    indoors=indoors,
                )
            ]
    if mesh is None or shape.area < 0.05:
        building.note("room", (name,), "left out: the file draws no shape for this space", "draw it", missing=True)
        return []
    storey = storey_key_of(building, space, elevation, mesh.bottom)
    if storey is None:
        return []
    outline, holes = rings(shape)
    return [
        DraftRoom(
            key=key_of(space),
            storey_key=storey,
            name=name,
            outline=outline,
            holes=holes,
            base_m=mesh.bottom - elevation[storey],
            height_m=mesh.top - mesh.bottom,
            dwelling=dwellings.get(space.id(), ""),
            indoors=indoors,
        )
    ]


def _said_external(space: Element) -> bool:
    return "EXTERNAL" in (
        str(getattr(space, "InteriorOrExteriorSpace", "") or ""),
        str(getattr(space, "PredefinedType", "") or ""),
    )


def _zones(building: IfcBuilding) -> dict[int, str]:
    """Dwelling by space, where the file groups spaces into at least two that are named as dwellings."""
    groups: dict[str, list[int]] = {}
    for zone in building.all_of("IfcZone"):
        words = folded(" ".join(str(v) for v in (zone.Name, zone.ObjectType, getattr(zone, "LongName", None)) if v))
        members = [o.id() for r in (zone.IsGroupedBy or ()) for o in (r.RelatedObjects or ()) if o.is_a("IfcSpace")]
        if _DWELLING_WORDS.search(words) and members:
            groups[str(zone.Name)] = members
    flat = [m for members in groups.values() for m in members]
    if len(groups) < 2 or len(flat) != len(set(flat)):
        return {}
    return {m: name for name, members in groups.items() for m in members}
