"""Storeys and walls of an IFC file."""

import math
import statistics
from typing import Any

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.intake.draft import DraftStorey, DraftWall
from wardwright.intake.ifc_file import IfcBuilding, heading, ifc_module
from wardwright.intake.ifc_leaves import type_of
from wardwright.intake.ifc_openings import external_flag, key_of, label_of, storey_key_of
from wardwright.intake.ifc_shapes import (
    Element,
    Mesh,
    slice_at,
    tidy_ring,
)
from wardwright.intake.names import material_key
from wardwright.model import XY
from wardwright.premises.fabric import Layer

_WALLS = ("IfcWall", "IfcCurtainWall")


def storeys_of(building: IfcBuilding) -> list[DraftStorey]:
    """Storeys by elevation. A file without storeys gets one for each level its spaces or walls stand on.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    """
    found = building.all_of("IfcBuildingStorey")
    placed: list[float | None] = []
    stated: list[float | None] = []
    for storey in found:
        matrix = building.placement(storey)
        placed.append(None if matrix is None else float(matrix[2, 3]))
        value = getattr(storey, "Elevation", None)
        stated.append(
            float(value) * building.scale if isinstance(value, int | float) and math.isfinite(value) else None
        )
    # Some exporters place every storey at nought and tell the levels only by the attribute.
    use_stated = len({round(p, 2) for p in placed if p is not None}) < len(
        {round(s, 2) for s in stated if s is not None}
    )
    drafts = []
    for storey, p, s in zip(found, placed, stated, strict=True):
        elevation = s if p is None or (use_stated and s is not None) else p
        if elevation is None:
            building.note("storey elevation", (label_of(storey),), "0.0 m: the file gives none", "set elevation_m")
            elevation = 0.0
        name = str(getattr(storey, "LongName", None) or storey.Name or f"storey at {elevation:.2f} m")
        drafts.append(DraftStorey(str(storey.GlobalId), str(storey.Name or name), elevation))
    if drafts:
        return sorted(drafts, key=lambda d: d.elevation_m)
    levels: list[float] = []
    for element in building.all_of("IfcSpace") or building.all_of("IfcDoor", "IfcWall"):
        mesh = building.mesh(element)
        if mesh is not None:
            levels.append(mesh.bottom)
    groups: list[list[float]] = []
    for level in sorted(levels):
        if groups and level - groups[-1][0] < 1.5:
            groups[-1].append(level)
        else:
            groups.append([level])
    drafts = [DraftStorey(f"level-{n}", f"Level {n}", statistics.median(g)) for n, g in enumerate(groups, start=1)]
    if drafts:
        building.note("storeys", (), f"{len(drafts)} by the levels things stand on: the file has none", "name them")
    return drafts


def walls_of(building: IfcBuilding, elevation: dict[str, float]) -> list[DraftWall]:
    """Walls by the outline of their bodies.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    elevation : dict of str to float
        Elevation of each storey by key. [m]
    """
    elements = building.all_of(*_WALLS)
    building.shape_all(elements)
    return building.each(elements, lambda e: _wall(building, e, elevation))


def _wall(building: IfcBuilding, element: Element, elevation: dict[str, float]) -> list[DraftWall]:
    mesh = building.whole_mesh(element)
    if mesh is None:
        bare = _by_axis(building, element, elevation)
        if bare is not None:
            return [bare]
        building.note("wall", (label_of(element),), "left out: the file draws no shape for it", "draw it", missing=True)
        return []
    storey = storey_key_of(building, element, elevation, mesh.bottom)
    if storey is None:
        return []
    parts = _bodies(mesh)
    if not parts:
        building.note(
            "wall", (label_of(element),), "left out: it has no length or no thickness", "draw it", missing=True
        )
    layers, toward = layers_of(building, element, parts[0] if parts else Polygon())
    return [
        DraftWall(
            key=key_of(element) if n == 0 else f"{key_of(element)}.{n}",
            storey_key=storey,
            body=tidy_ring(part.exterior.coords),
            base_m=mesh.bottom - elevation[storey],
            height_m=mesh.top - mesh.bottom,
            layers=layers,
            layers_toward=toward,
            construction_name=_construction_name(element),
            outside=external_flag(element),
        )
        for n, part in enumerate(parts)
    ]


def _by_axis(building: IfcBuilding, element: Element, elevation: dict[str, float]) -> DraftWall | None:
    """A wall of which the file draws only the axis: as thick as its layers, as high as its storey."""
    axis = building.curve(element, "Axis")
    matrix = building.placement(element)
    layers, toward = layers_of(building, element, Polygon())
    thickness = sum(layer.thickness_m for layer in layers) or None
    if len(axis) < 2 or matrix is None:
        return None
    storey = storey_key_of(building, element, elevation, float(matrix[2, 3]))
    if storey is None:
        return None
    label = label_of(element)
    building.note("wall", (label,), "by its axis and layers: the file draws no body for it", "check its thickness")
    return DraftWall(
        key=key_of(element),
        storey_key=storey,
        axis=axis,
        thickness_m=thickness,
        base_m=float(matrix[2, 3]) - elevation[storey],
        layers=layers,
        layers_toward=toward,
        construction_name=_construction_name(element),
        outside=external_flag(element),
    )


def _construction_name(element: Element) -> str:
    """Name of the wall's type; empty where it has none. ``Family:Type`` is cut down to the type."""
    kind = type_of(element)
    name = str(getattr(element, "ObjectType", None) or getattr(kind, "Name", None) or "").strip()
    parts = [p.strip() for p in name.split(":") if p.strip()]
    return parts[1] if len(parts) > 1 else name


def _bodies(mesh: Mesh) -> list[Polygon]:
    """Outlines of a wall on plan. From above, so that doors cut into the body itself leave no gap."""
    shape: BaseGeometry = mesh.plan
    height = mesh.top - mesh.bottom
    cut = shapely.union_all([slice_at(mesh, mesh.bottom + height * share) for share in (0.1, 0.5, 0.9)])
    if cut.area > 0.0 and shape.area > 1.3 * cut.area:  # it leans, or carries a cornice
        shape = cut
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    return [p for p in parts if isinstance(p, Polygon) and p.area > 1e-3]


def layers_of(building: IfcBuilding, element: Element, body: Polygon) -> tuple[tuple[Layer, ...], XY | None]:
    """Layers of a wall, and the direction on plan from the first to the last where the file says it.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    element : Element
        The wall.
    body : Polygon
        Its outline; gives the thickness of a wall of one material.
    """
    try:
        material: Any = ifc_module().util.element.get_material(element, should_inherit=True)
    except (AttributeError, RuntimeError, TypeError):
        material = None
    if element.is_a("IfcCurtainWall"):
        return (Layer(material="glass", thickness_m=0.02),), None
    if material is None:
        return (), None
    usage = material if material.is_a("IfcMaterialLayerSetUsage") else None
    layer_set = usage.ForLayerSet if usage is not None else material
    layers: list[Layer] = []
    if layer_set.is_a("IfcMaterialLayerSet"):
        for item in layer_set.MaterialLayers or ():
            thickness = building.length(item.LayerThickness)
            if thickness is not None and thickness < 5.0:
                name = str(getattr(item.Material, "Name", None) or getattr(item, "Name", None) or "")
                ventilated = getattr(item, "IsVentilated", None) is True
                layers.append(
                    Layer(material="air" if ventilated else material_key(name), thickness_m=round(thickness, 6))
                )
        toward = None
        matrix = building.placement(element) if usage is not None else None
        if matrix is not None and usage is not None and usage.LayerSetDirection == "AXIS2":
            across = heading(matrix, 1)
            sign = -1.0 if usage.DirectionSense == "NEGATIVE" else 1.0
            toward = None if across is None else (sign * across[0], sign * across[1])
        return tuple(layers), toward
    name = str(getattr(material, "Name", None) or "")
    names = [
        str(getattr(getattr(c, "Material", c), "Name", ""))
        for c in (getattr(material, "MaterialConstituents", None) or getattr(material, "Materials", None) or ())
    ]
    known = [k for k in map(material_key, [name, *names]) if k != "unknown"]
    thickness = _thickness(body)
    if known and thickness is not None:
        return (Layer(material=known[0], thickness_m=round(thickness, 4)),), None
    return (), None


def _thickness(body: Polygon) -> float | None:
    """Thickness of a ribbon of this area and perimeter."""
    half, area = body.length / 2.0, body.area
    inner = half * half / 4.0 - area
    thickness = half / 2.0 - math.sqrt(max(0.0, inner))
    return thickness if 0.01 < thickness < 3.0 else None
