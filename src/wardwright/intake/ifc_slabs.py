"""Slabs and roofs of an IFC file: what a person might stand on."""

import math

import shapely

from wardwright.intake.draft import DraftStanding
from wardwright.intake.ifc_file import IfcBuilding
from wardwright.intake.ifc_openings import key_of, label_of
from wardwright.intake.ifc_shapes import (
    Element,
    biggest,
    tidy_ring,
)

_FLAT_COSINE = math.cos(math.radians(10.0))
_STEEPEST_ROOF = math.cos(math.radians(45.0))
"""Cosine of the steepest slope a person keeps a footing on. Assumption."""
_EAVES_STRIP_M = 1.0


def slabs_of(building: IfcBuilding) -> list[DraftStanding]:
    """Tops of slabs and roofs: what a person might stand on. Floors are kind ``slab``: only what sticks out counts.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    """
    elements = building.all_of("IfcSlab", "IfcRoof")
    building.shape_all(elements)
    return building.each(elements, lambda e: _slab(building, e))


def _slab(building: IfcBuilding, element: Element) -> list[DraftStanding]:
    mesh = building.mesh(element)
    if mesh is None:
        return []
    is_roof = element.is_a("IfcRoof") or str(getattr(element, "PredefinedType", "")) == "ROOF" or _part_of_roof(element)
    up = mesh.normals[:, 2] > 0.2
    if not up.any():
        return []
    flat = mesh.normals[:, 2] > _FLAT_COSINE
    slope = float((mesh.normals[up, 2] * mesh.areas[up]).sum() / mesh.areas[up].sum())
    outline = biggest(mesh.plan)
    level = mesh.top
    if is_roof and mesh.areas[flat].sum() < 0.5 * mesh.areas[up].sum():
        if slope < _STEEPEST_ROOF:
            return []
        low = mesh.points[mesh.faces[up]].reshape(-1, 3)
        level = float(low[:, 2].min())
        rise = _EAVES_STRIP_M * math.tan(math.acos(min(1.0, slope)))
        strip = low[low[:, 2] <= level + 0.05]
        edge = shapely.MultiPoint(strip[:, :2]).convex_hull
        if rise <= 0.0 or edge.is_empty:
            return []
        outline = biggest(
            outline.intersection(
                edge.buffer(_EAVES_STRIP_M, cap_style="flat" if edge.geom_type == "LineString" else "round")
            )
        )
    if outline.area < 0.3:
        return []
    return [
        DraftStanding(
            key=key_of(element),
            name=label_of(element),
            kind="roof" if is_roof else "slab",
            outline=tidy_ring(outline.exterior.coords, tolerance=0.01),
            level_m=level,
        )
    ]


def _part_of_roof(element: Element) -> bool:
    return any(
        r.RelatingObject.is_a("IfcRoof") for r in (getattr(element, "Decomposes", None) or ()) if r.RelatingObject
    )
