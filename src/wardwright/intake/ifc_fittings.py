"""Stairs, furniture, heat sources and beds of an IFC file."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wardwright.intake.draft import DraftObstacle, DraftStair, DraftStorey
from wardwright.intake.ifc_file import IfcBuilding
from wardwright.intake.ifc_leaves import names_of
from wardwright.intake.ifc_openings import key_of, label_of, storey_key_of
from wardwright.intake.ifc_shapes import Element, Mesh, box_outline, joined, unit_xy
from wardwright.intake.names import heat_kind, is_bed
from wardwright.model import XY

_TREAD_LEAST_M2 = 0.04
_RISER_M = (0.08, 0.40)
_STEP_OFF_M = 0.35
"""How far beyond the last tread the walking line is taken. [m]"""
_FITTINGS = (
    "IfcFurnishingElement",
    "IfcFlowTerminal",
    "IfcEnergyConversionDevice",
    "IfcColumn",
    "IfcTransportElement",
)
_HEAT_CLASSES = {
    "IfcSpaceHeater": "radiator",
    "IfcBoiler": "boiler",
    "IfcBurner": "boiler",
    "IfcAirTerminal": "air vent",
    "IfcUnitaryEquipment": "air vent",
}


def stairs_of(building: IfcBuilding, storeys: list[DraftStorey]) -> list[DraftStair]:
    """Stairs and ramps with the points where one steps on and off.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    storeys : list of DraftStorey
        Storeys by elevation.
    """
    whole = building.all_of("IfcStair", "IfcRamp")
    loose = [
        f
        for f in building.all_of("IfcStairFlight", "IfcRampFlight")
        if not any(r.RelatingObject.is_a() in ("IfcStair", "IfcRamp") for r in (f.Decomposes or ()))
    ]
    drafts = building.each(whole, lambda e: _stair(building, e, _stair_mesh(building, e), storeys))
    drafts += building.each(loose, lambda e: _stair(building, e, building.mesh(e), storeys))
    return drafts


def _stair_mesh(building: IfcBuilding, element: Element) -> Mesh | None:
    parts = [p for r in (element.IsDecomposedBy or ()) for p in r.RelatedObjects]
    flights = [p for p in parts if p.is_a() in ("IfcStairFlight", "IfcRampFlight", "IfcSlab")]
    building.shape_all([element, *flights])
    whole = joined(m for e in (flights or [element]) if (m := building.mesh(e)) is not None)
    return whole if whole is not None else building.whole_mesh(element)


def _stair(building: IfcBuilding, element: Element, mesh: Mesh | None, storeys: list[DraftStorey]) -> list[DraftStair]:
    label = label_of(element)
    if mesh is None:
        building.note(
            "stair", (label,), "left out: the file draws no shape for it", "add its foot and head", missing=True
        )
        return []
    walk = walking_line(mesh)
    bottom = mesh.bottom if walk is None else walk.bottom
    top = mesh.top if walk is None else walk.top
    lower = min(storeys, key=lambda s: abs(s.elevation_m - bottom))
    upper = min(storeys, key=lambda s: abs(s.elevation_m - top))
    if lower.key == upper.key:
        building.note("stair", (label,), "left out: it joins no two storeys (steps on one level)", "add it if it does")
        return []
    if walk is None:
        building.note(
            "stair", (label,), "foot and head taken from the rooms: its treads could not be told", "set foot and head"
        )
    return [
        DraftStair(
            key=key_of(element),
            name=label,
            lower_key=lower.key,
            upper_key=upper.key,
            outline=box_outline(mesh.hull),
            foot=None if walk is None else walk.foot,
            head=None if walk is None else walk.head,
        )
    ]


@dataclass(frozen=True)
class WalkingLine:
    """Where a stair begins and ends."""

    foot: XY
    head: XY
    bottom: float
    top: float


def walking_line(mesh: Mesh) -> WalkingLine | None:
    """Foot and head of a stair, from its treads, or from the slope of a ramp or a stair drawn as a slab.

    Parameters
    ----------
    mesh : Mesh
        The flights, with or without landings and railings.
    """
    level = _treads(mesh)
    if len(level) >= 3:
        first, second = level[0], level[1]
        last, before = level[-1], level[-2]
        # The lowest riser stands before the first tread, the floor's level is one riser below it.
        riser = float(np.median(np.diff([z for z, _, _ in level])))
        bottom = first[0] - riser if first[0] - mesh.bottom > 0.5 * riser else first[0]
        return WalkingLine(_beyond(first, second), _beyond(last, before), bottom, _landing(mesh, last[0], riser))
    up = (mesh.normals[:, 2] > 0.6) & (mesh.normals[:, 2] < 0.998)
    if mesh.areas[up].sum() < 0.5:
        return None
    points = mesh.points[mesh.faces[up]].reshape(-1, 3)
    low, high = points[:, 2].min(), points[:, 2].max()
    if high - low < 0.5:
        return None
    foot, head = (points[near].mean(axis=0) for near in (points[:, 2] < low + 0.05, points[:, 2] > high - 0.05))
    ahead = unit_xy(float(head[0] - foot[0]), float(head[1] - foot[1])) or (0.0, 0.0)
    return WalkingLine(
        (float(foot[0]) - _STEP_OFF_M * ahead[0], float(foot[1]) - _STEP_OFF_M * ahead[1]),
        (float(head[0]) + _STEP_OFF_M * ahead[0], float(head[1]) + _STEP_OFF_M * ahead[1]),
        float(low),
        float(high),
    )


_Tread = tuple[float, float, float]
"""Level, x, y of a tread's middle. [m]"""


def _treads(mesh: Mesh) -> list[_Tread]:
    """Longest run of level faces that rise one riser at a time."""
    up = mesh.normals[:, 2] > 0.98
    if not up.any():
        return []
    triangles = mesh.points[mesh.faces[up]]
    areas = mesh.areas[up]
    z = triangles[:, :, 2].mean(axis=1)
    order = np.argsort(z)
    groups: list[list[int]] = []
    for i in order:
        if groups and z[i] - z[groups[-1][0]] < 0.03:
            groups[-1].append(int(i))
        else:
            groups.append([int(i)])
    treads: list[tuple[float, float, float, float]] = []
    for group in groups:
        weight: NDArray[np.float64] = areas[group]
        if weight.sum() < _TREAD_LEAST_M2:
            continue
        centre = (triangles[group].mean(axis=1) * weight[:, None]).sum(axis=0) / weight.sum()
        treads.append((float(centre[2]), float(centre[0]), float(centre[1]), float(weight.sum())))
    best: list[_Tread] = []
    run: list[_Tread] = []
    for tread in treads:
        if run and not _RISER_M[0] <= tread[0] - run[-1][0] <= _RISER_M[1]:
            run = []
        run = [*run, tread[:3]]
        if len(run) > len(best):
            best = run
    return best


def _landing(mesh: Mesh, last: float, riser: float) -> float:
    """Level one steps off at: the last tread, or one riser above it where the floor itself is the last step."""
    return last + riser if mesh.top - last > 0.5 * riser and mesh.top - last < 1.5 * riser else last


def _beyond(end: _Tread, neighbour: _Tread) -> XY:
    dx, dy = end[1] - neighbour[1], end[2] - neighbour[2]
    length = math.hypot(dx, dy)
    if length < 0.02:
        return end[1], end[2]
    reach = (length / 2.0 + _STEP_OFF_M) / length
    return end[1] + dx * reach, end[2] + dy * reach


@dataclass(frozen=True)
class Fittings:
    """What stands in the rooms."""

    obstacles: tuple[DraftObstacle, ...]
    heat: tuple[tuple[str, str, str, XY, float], ...]
    beds: tuple[tuple[str, str, XY, float, int], ...]
    """Key, storey key, middle, level and sleepers; the room is found when the building is put together."""


def fittings_of(building: IfcBuilding, elevation: dict[str, float]) -> Fittings:
    """Furniture and equipment as obstacles; what is warm or blows; beds.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    elevation : dict of str to float
        Elevation of each storey by key. [m]
    """
    elements = building.all_of(*_FITTINGS)
    building.shape_all(elements)
    heat: list[tuple[str, str, str, XY, float]] = []
    beds: list[tuple[str, str, XY, float, int]] = []

    def read(element: Element) -> list[DraftObstacle]:
        mesh = building.mesh(element)
        if mesh is None:
            return []
        storey = storey_key_of(building, element, elevation, mesh.bottom)
        if storey is None:
            return []
        outline = box_outline(mesh.hull)
        if len(outline) < 3:
            return []
        words = names_of(element)
        base = mesh.bottom - elevation[storey]
        centre = (float(mesh.low[0] + mesh.high[0]) / 2.0, float(mesh.low[1] + mesh.high[1]) / 2.0)
        kind = _HEAT_CLASSES.get(element.is_a()) or heat_kind(words)
        if kind is not None:
            heat.append((key_of(element), kind, storey, centre, max(0.0, base + (mesh.top - mesh.bottom) / 2.0)))
        sides = sorted(math.dist(outline[i], outline[i + 1]) for i in (0, 1))
        if is_bed(words) and element.is_a("IfcFurnishingElement") and sides[1] > 1.0:
            beds.append((key_of(element), storey, centre, base, 2 if sides[0] > 1.3 else 1))
        if sides[0] * sides[1] < 0.04 or mesh.top - mesh.bottom < 0.05:
            return []
        return [
            DraftObstacle(
                key_of(element), label_of(element), storey, outline, max(0.0, base), base + mesh.top - mesh.bottom
            )
        ]

    obstacles = building.each(elements, read)
    return Fittings(tuple(obstacles), tuple(heat), tuple(beds))
