"""Doors, windows, rooflights and unfilled holes of an IFC file, each where its shape shows it."""

import math
import re

import numpy as np
from numpy.typing import NDArray
from shapely import Point

from wardwright.intake.draft import DraftOpening
from wardwright.intake.ifc_file import IfcBuilding, heading
from wardwright.intake.ifc_leaves import leaves_of, names_of
from wardwright.intake.ifc_shapes import Element, Mesh, box_outline, tidy_ring
from wardwright.intake.names import GARAGE_DOOR, folded
from wardwright.model import XY
from wardwright.premises.openings import Glazing, Leaf, LeafRole, Movement, OpeningKind

_AGREE = 0.25
"""A stated size and a drawn one within this share of each other are the same size; a frame or a trim explains it."""
_HOLE_LEAST_M = 0.15
"""Unfilled holes narrower than this are for pipes."""


def key_of(element: Element) -> str:
    """Draft key of an element."""
    return f"e{element.id()}"


def label_of(element: Element) -> str:
    """What to call an element in a report."""
    name = str(element.Name or "").strip()
    tag = str(getattr(element, "Tag", None) or "").strip()
    return name or (f"{element.is_a()[3:]} {tag}" if tag else f"{element.is_a()[3:]} #{element.id()}")


def openings_of(building: IfcBuilding, elevation: dict[str, float]) -> list[DraftOpening]:
    """Every opening of the file.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    elevation : dict of str to float
        Elevation of each storey by key. [m]

    Returns
    -------
    list of DraftOpening
        Doors and windows, and holes of walls with nothing in them.
    """
    fillings = building.all_of("IfcDoor", "IfcWindow")
    voids = [v for v in building.all_of("IfcOpeningElement") if _host(v) is None or _host_is_wall(v) or _filled(v)]
    building.shape_all([*fillings, *voids])
    joins = _space_boundaries(building)
    drafts = building.each(fillings, lambda e: _filling(building, e, elevation, joins.get(e.id(), ())))
    drafts += building.each(
        [v for v in voids if not _filled(v) and _host_is_wall(v)], lambda v: _hole(building, v, elevation)
    )
    drafts += building.each(building.all_of("IfcCurtainWall"), lambda w: _panes(building, w, elevation, drafts))
    return drafts


def _panes(
    building: IfcBuilding, wall: Element, elevation: dict[str, float], doors: list[DraftOpening]
) -> list[DraftOpening]:
    """A glass wall as fixed windows, storey by storey, between whatever doors stand in it."""
    mesh = building.whole_mesh(wall)
    if mesh is None:
        return []
    shape = mesh.plan
    ring = box_outline(shape)
    if len(ring) != 4:
        return []
    (x0, y0), (x1, y1), (x2, y2) = ring[:3]
    if math.dist(ring[0], ring[1]) < math.dist(ring[1], ring[2]):
        (x0, y0), (x1, y1), (x2, y2) = ring[1], ring[2], ring[3]
    length, depth = math.hypot(x1 - x0, y1 - y0), math.hypot(x2 - x1, y2 - y1)
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    mx, my = (x0 + (x2 - x1) / 2.0, y0 + (y2 - y1) / 2.0)
    found: list[DraftOpening] = []
    floors = sorted(elevation.items(), key=lambda e: e[1])
    for n, (storey, level) in enumerate(floors):
        low = max(mesh.bottom, level)
        high = min(mesh.top, floors[n + 1][1] if n + 1 < len(floors) else math.inf)
        if high - low < 0.5 or level - mesh.top > -0.5:
            continue
        free = [(0.0, length)]
        for door in doors:
            if door.centre is None or door.storey_key != storey or door.width_m is None:
                continue
            dx, dy = door.centre[0] - mx, door.centre[1] - my
            s, off = dx * ux + dy * uy, abs(-dx * uy + dy * ux)
            if off < depth / 2.0 + 0.3 and -0.1 < s < length + 0.1:
                a, b = s - door.width_m / 2.0, s + door.width_m / 2.0
                free = [p for lo, hi in free for p in ((lo, min(hi, a)), (max(lo, b), hi)) if p[1] - p[0] > 0.3]
        for k, (a, b) in enumerate(free, start=1):
            s = (a + b) / 2.0
            found.append(
                DraftOpening(
                    key=f"{key_of(wall)}.pane{n}.{k}",
                    storey_key=storey,
                    name=f"{label_of(wall)} glazing",
                    kind=OpeningKind.WINDOW,
                    centre=(mx + s * ux, my + s * uy),
                    along_rad=math.atan2(uy, ux),
                    width_m=b - a,
                    height_m=high - low,
                    sill_m=low - level,
                    wall_key=key_of(wall),
                    leaves=(Leaf(id="1", role=LeafRole.FIXED, movement=Movement.FIXED, glazing=Glazing()),),
                    outside=external_flag(wall),
                )
            )
    return found


def _host(void: Element) -> Element | None:
    for relation in getattr(void, "VoidsElements", None) or ():
        host: Element | None = relation.RelatingBuildingElement
        return host
    return None


def _host_is_wall(void: Element) -> bool:
    host = _host(void)
    return host is not None and (host.is_a("IfcWall") or host.is_a("IfcCurtainWall"))


def _filled(void: Element) -> bool:
    return bool(getattr(void, "HasFillings", None))


def _space_boundaries(building: IfcBuilding) -> dict[int, tuple[str, ...]]:
    found: dict[int, list[str]] = {}
    for relation in building.all_of("IfcRelSpaceBoundary"):
        element, space = relation.RelatedBuildingElement, relation.RelatingSpace
        if element is None or space is None or not space.is_a("IfcSpace"):
            continue
        found.setdefault(element.id(), []).append(key_of(space))
    return {k: tuple(dict.fromkeys(v)) for k, v in found.items()}


def external_flag(element: Element) -> bool | None:
    """The file's own word on whether an element stands out of doors; None where it has none."""
    for relation in getattr(element, "IsDefinedBy", None) or ():
        definition = getattr(relation, "RelatingPropertyDefinition", None)
        for single in getattr(definition, "HasProperties", None) or ():
            if single.Name == "IsExternal" and getattr(single, "NominalValue", None) is not None:
                return bool(single.NominalValue.wrappedValue)
    return None


def storey_key_of(building: IfcBuilding, element: Element, elevation: dict[str, float], z: float | None) -> str | None:
    """Key of the storey an element belongs to: as the file says, or the highest whose floor lies below it.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    element : Element
        The element.
    elevation : dict of str to float
        Elevation of each storey by key. [m]
    z : float or None
        A height of the element. [m]
    """
    key = building.storey_of(element)
    if key in elevation:
        return key
    if not elevation:
        return None
    if z is None:
        return min(elevation, key=lambda k: abs(elevation[k]))
    below = [k for k, e in elevation.items() if e <= z + 0.3]
    return max(below, key=lambda k: elevation[k]) if below else min(elevation, key=lambda k: elevation[k])


def _chosen(building: IfcBuilding, label: str, word: str, stated: float | None, drawn: float | None) -> float | None:
    """Stated and drawn size reconciled: the stated one where they agree, the hole that is really there where not."""
    if stated is None or drawn is None:
        return drawn if stated is None else stated
    if abs(stated - drawn) <= _AGREE * max(stated, drawn):
        return stated
    building.note(
        f"{word} of an opening",
        (label,),
        f"{drawn:.2f} m as drawn; the file also states {stated:.2f} m",
        f"measure it and set {word}_m",
    )
    return drawn


def _along(element_axis: XY | None, mesh: Mesh | None, stated: float | None) -> XY | None:
    """Direction of the opening's width on plan: its own x axis, unless its shape plainly runs the other way."""
    if mesh is None:
        return element_axis
    if element_axis is None:
        ring = box_outline(mesh.hull)
        if len(ring) != 4:
            return None
        sides = [(ring[i + 1][0] - ring[i][0], ring[i + 1][1] - ring[i][1]) for i in (0, 1)]
        dx, dy = max(sides, key=lambda s: math.hypot(*s))
        return dx / math.hypot(dx, dy), dy / math.hypot(dx, dy)
    across = (-element_axis[1], element_axis[0])
    wide = _span(mesh, element_axis)
    deep = _span(mesh, across)
    if stated is not None and abs(deep - stated) < 0.1 * stated and abs(wide - stated) > 0.3 * stated:
        return across
    return element_axis


def _span(mesh: Mesh, direction: XY) -> float:
    low, high = mesh.extent(direction)
    return high - low


def _filling(
    building: IfcBuilding, element: Element, elevation: dict[str, float], joins: tuple[str, ...]
) -> list[DraftOpening]:
    label = label_of(element)
    void = next((r.RelatingOpeningElement for r in (getattr(element, "FillsVoids", None) or ())), None)
    host = _host(void) if void is not None else None
    own = building.mesh(element)
    cut = building.mesh(void) if void is not None else None
    matrix = building.placement(element)
    width, height = building.length(element.OverallWidth), building.length(element.OverallHeight)
    if own is None and cut is None and (width is None or height is None):
        width, height = _named_size(building, element, label, (width, height))
    is_door = element.is_a("IfcDoor")
    tilted = matrix is not None and abs(float(matrix[2, 2])) < 0.8 and abs(float(matrix[2, 1])) > 0.5
    lying = own is not None and own.top - own.bottom < 0.4 * min(_span(own, (1.0, 0.0)), _span(own, (0.0, 1.0)))
    in_slab = host is not None and (host.is_a("IfcSlab") or host.is_a("IfcRoof"))
    name = folded(names_of(element))
    if (
        tilted
        or lying
        or (in_slab and not is_door)
        or str(getattr(element, "PredefinedType", "")) in ("SKYLIGHT", "TRAPDOOR")
    ):
        return _lying(building, element, elevation, own or cut, (width, height), is_door)
    kind = OpeningKind.WINDOW
    if is_door:
        wide = width or 0.0
        kind = OpeningKind.GARAGE_DOOR if GARAGE_DOOR.search(name) and wide > 1.5 else OpeningKind.DOOR
    shape = cut or own
    axis = heading(matrix) if matrix is not None else None
    along = _along(axis, shape, width)
    centre, sill, top = None, None, None
    if shape is not None and along is not None:
        across = (-along[1], along[0])
        a = sum(shape.extent(along)) / 2.0
        b = _depth_in_wall(building, host, own or shape, matrix, along, across)
        centre = (a * along[0] + b * across[0], a * along[1] + b * across[1])
        sill, top = shape.bottom, shape.top
        width = _chosen(building, label, "width", width, _span(shape, along))
        height = _chosen(building, label, "height", height, top - sill)
    elif matrix is not None:
        half = 0.0 if width is None or along is None else width / 2.0
        dx, dy = along or (0.0, 0.0)
        centre = (float(matrix[0, 3]) + dx * half, float(matrix[1, 3]) + dy * half)
        sill = float(matrix[2, 3])
        building.note(
            "place of an opening",
            (label,),
            "from its stated position and size: the file draws no shape for it",
            "check its place on the plan",
        )
    if width is None or height is None:
        # The opening is kept: what is missing is filled in, and listed, when the building is assembled.
        building.note("size of an opening", (label,), "not given in the file", "measure width and height", missing=True)
    storey = storey_key_of(building, element, elevation, None if sill is None else sill + (height or 1.0) / 2.0)
    if storey is None:
        return []
    return [
        DraftOpening(
            key=key_of(element),
            storey_key=storey,
            name=label,
            kind=kind,
            centre=centre,
            along_rad=None if along is None else math.atan2(along[1], along[0]),
            width_m=width,
            height_m=height,
            sill_m=None if sill is None else sill - elevation[storey],
            wall_key=key_of(host) if host is not None and not in_slab else None,
            joins=joins,
            leaves=leaves_of(building, element, kind, width),
            outside=external_flag(element),
        )
    ]


_SIZE = re.compile(r"(?<!\d)(\d{3,4}) ?(?:mm)? ?[x*] ?(\d{3,4}) ?(?:mm)?(?!\d)")


def _named_size(
    building: IfcBuilding, element: Element, label: str, stated: tuple[float | None, float | None]
) -> tuple[float | None, float | None]:
    """Width and height from the quantities, or from a name like ``Fixed 750mm x 2200mm``."""
    width, height = stated
    for relation in getattr(element, "IsDefinedBy", None) or ():
        for quantity in getattr(getattr(relation, "RelatingPropertyDefinition", None), "Quantities", None) or ():
            if quantity.is_a("IfcQuantityLength") and quantity.Name in ("Width", "Height"):
                value = building.length(quantity.LengthValue)
                width, height = (width or value, height) if quantity.Name == "Width" else (width, height or value)
    named = _SIZE.search(names_of(element).replace("×", "x"))
    if (width is None or height is None) and named is not None:
        first, second = float(named[1]) / 1000.0, float(named[2]) / 1000.0
        if 0.2 <= first <= 6.0 and 0.2 <= second <= 4.0:
            building.note("size of an opening", (label,), f"{first:.2f} by {second:.2f} m, from its name", "measure it")
            return width or first, height or second
    return width, height


_THICKEST_M = 0.8
_LEAF_SHUT_M = 0.5
"""A door drawn deeper than this stands open in the drawing. [m]"""


def _depth_in_wall(
    building: IfcBuilding,
    host: Element | None,
    shape: Mesh,
    matrix: NDArray[np.float64] | None,
    along: XY,
    across: XY,
) -> float:
    """Where across the wall an opening lies: the middle of its wall, else of its shape, else its stated position."""
    wall = building.whole_mesh(host) if host is not None else None
    runs = _length_direction(wall)
    aligned = runs is not None and abs(runs[0] * along[0] + runs[1] * along[1]) > 0.99
    if wall is not None and aligned and _span(wall, across) < _THICKEST_M:
        low, high = wall.extent(across)
        near = sum(shape.extent(across)) / 2.0
        if low - 1.0 < near < high + 1.0:  # the relation may name a wall the opening is nowhere near
            return (low + high) / 2.0
    if matrix is not None and _span(shape, across) > _LEAF_SHUT_M:
        return float(matrix[0, 3]) * across[0] + float(matrix[1, 3]) * across[1]
    return sum(shape.extent(across)) / 2.0


def _lying(
    building: IfcBuilding,
    element: Element,
    elevation: dict[str, float],
    mesh: Mesh | None,
    size: tuple[float | None, float | None],
    is_door: bool,
) -> list[DraftOpening]:
    """A rooflight or a hatch: an opening seen from above."""
    label = label_of(element)
    kind = OpeningKind.HATCH if is_door else OpeningKind.ROOFLIGHT
    if mesh is None:
        building.note(kind.value, (label,), "left out: the file draws no shape for it", "add it by hand", missing=True)
        return []
    outline = box_outline(mesh.hull)
    if len(outline) < 3:
        return []
    storey = storey_key_of(building, element, elevation, mesh.bottom)
    if storey is None:
        return []
    sides = sorted(math.dist(outline[i], outline[i + 1]) for i in (0, 1))
    width, height = size
    if width is not None and height is not None and abs(width * height - sides[0] * sides[1]) > 0.5 * width * height:
        building.note(
            f"size of a {kind.value}",
            (label,),
            f"{width:.2f} by {height:.2f} m as stated; it is drawn {sides[1]:.2f} by {sides[0]:.2f} m from above",
            "measure what really opens",
        )
    centre = Point(sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline))
    return [
        DraftOpening(
            key=key_of(element),
            storey_key=storey,
            name=label,
            kind=kind,
            centre=(centre.x, centre.y),
            width_m=width or sides[1],
            height_m=height or sides[0],
            sill_m=mesh.bottom - elevation[storey],
            outline=tidy_ring(outline),
            leaves=leaves_of(building, element, kind, width or sides[1]),
            outside=external_flag(element),
        )
    ]


def _length_direction(wall: Mesh | None) -> XY | None:
    """Direction a straight wall runs in; None for a bent one or a stub."""
    if wall is None:
        return None
    shape = wall.plan
    ring = box_outline(shape)
    if len(ring) != 4:
        return None
    sides = [(ring[i + 1][0] - ring[i][0], ring[i + 1][1] - ring[i][1]) for i in (0, 1)]
    short, long = sorted(sides, key=lambda s: math.hypot(*s))
    length = math.hypot(*long)
    if shape.area < 0.8 * length * math.hypot(*short) or length < 1.5 * math.hypot(*short):
        return None
    return long[0] / length, long[1] / length


def _hole(building: IfcBuilding, void: Element, elevation: dict[str, float]) -> list[DraftOpening]:
    """An opening of a wall with nothing in it."""
    mesh = building.mesh(void)
    host = _host(void)
    if mesh is None or host is None or str(getattr(void, "PredefinedType", "")) == "RECESS":
        return []
    wall = building.whole_mesh(host)
    matrix = building.placement(void)
    along = _length_direction(wall) or _along(heading(matrix) if matrix is not None else None, mesh, None)
    if along is None:
        return []
    across = (-along[1], along[0])
    width, height = _span(mesh, along), mesh.top - mesh.bottom
    if min(width, height) < _HOLE_LEAST_M:
        return []
    if wall is not None and _span(mesh, across) < 0.5 * _span(wall, across) and _span(wall, across) < 0.8:
        return []  # a niche or a chase for pipes: it does not go through
    a = sum(mesh.extent(along)) / 2.0
    in_wall = wall if wall is not None and _span(wall, across) < 0.8 else mesh
    b = sum(in_wall.extent(across)) / 2.0
    storey = storey_key_of(building, host, elevation, mesh.bottom)
    if storey is None:
        return []
    return [
        DraftOpening(
            key=key_of(void),
            storey_key=storey,
            name=label_of(void),
            kind=OpeningKind.PASSAGE if min(width, height) >= 0.3 else OpeningKind.DUCT,
            centre=(a * along[0] + b * across[0], a * along[1] + b * across[1]),
            along_rad=math.atan2(along[1], along[0]),
            width_m=width,
            height_m=height,
            sill_m=mesh.bottom - elevation[storey],
            wall_key=key_of(host),
        )
    ]
