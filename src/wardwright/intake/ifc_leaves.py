"""Leaves of doors and windows as an IFC file describes them: operation, panels, glass."""

import math
from collections.abc import Iterator
from typing import Any, Literal

from wardwright.intake.ifc_file import IfcBuilding, ifc_module
from wardwright.intake.ifc_shapes import Element, Mesh
from wardwright.intake.names import folded, material_key
from wardwright.premises.openings import GlassKind, Glazing, Leaf, LeafRole, Movement, OpeningKind

LeafMaterial = Literal["timber", "steel", "aluminium", "plastic", "glass", "unknown"]
_Panel = tuple[LeafRole, Movement]
_A, _I, _F = LeafRole.ACTIVE, LeafRole.INACTIVE, LeafRole.FIXED
_H, _S = Movement.HINGED, Movement.SLIDING

# IfcDoorTypeOperationEnum and its predecessor, IFC4 and IFC2x3 (buildingSMART, ISO 16739-1).
_DOOR_OPERATIONS: dict[str, tuple[_Panel, ...]] = {
    "SINGLE_SWING_LEFT": ((_A, _H),),
    "SINGLE_SWING_RIGHT": ((_A, _H),),
    "DOUBLE_SWING_LEFT": ((_A, _H),),
    "DOUBLE_SWING_RIGHT": ((_A, _H),),
    "DOUBLE_DOOR_SINGLE_SWING": ((_A, _H), (_I, _H)),
    "DOUBLE_DOOR_SINGLE_SWING_OPPOSITE_LEFT": ((_A, _H), (_I, _H)),
    "DOUBLE_DOOR_SINGLE_SWING_OPPOSITE_RIGHT": ((_A, _H), (_I, _H)),
    "DOUBLE_DOOR_DOUBLE_SWING": ((_A, _H), (_I, _H)),
    "DOUBLE_PANEL_SINGLE_SWING": ((_A, _H), (_I, _H)),
    "DOUBLE_PANEL_DOUBLE_SWING": ((_A, _H), (_I, _H)),
    "DOUBLE_PANEL_SINGLE_SWING_OPPOSITE_LEFT": ((_A, _H), (_I, _H)),
    "DOUBLE_PANEL_SINGLE_SWING_OPPOSITE_RIGHT": ((_A, _H), (_I, _H)),
    "SWING_FIXED_LEFT": ((_A, _H), (_F, Movement.FIXED)),
    "SWING_FIXED_RIGHT": ((_A, _H), (_F, Movement.FIXED)),
    "SLIDING_TO_LEFT": ((_A, _S),),
    "SLIDING_TO_RIGHT": ((_A, _S),),
    "DOUBLE_DOOR_SLIDING": ((_A, _S), (_I, _S)),
    "DOUBLE_PANEL_SLIDING": ((_A, _S), (_I, _S)),
    "FOLDING_TO_LEFT": ((_A, Movement.FOLDING),),
    "FOLDING_TO_RIGHT": ((_A, Movement.FOLDING),),
    "DOUBLE_DOOR_FOLDING": ((_A, Movement.FOLDING), (_I, Movement.FOLDING)),
    "DOUBLE_PANEL_FOLDING": ((_A, Movement.FOLDING), (_I, Movement.FOLDING)),
    "LIFTING_HORIZONTAL": ((_A, Movement.OVERHEAD),),
    "LIFTING_VERTICAL_LEFT": ((_A, Movement.OVERHEAD),),
    "LIFTING_VERTICAL_RIGHT": ((_A, Movement.OVERHEAD),),
    "DOUBLE_PANEL_LIFTING_VERTICAL": ((_A, Movement.OVERHEAD),),
    "ROLLINGUP": ((_A, Movement.ROLLER),),
    "REVOLVING": ((_A, Movement.HINGED),),
    "REVOLVING_HORIZONTAL": ((_A, Movement.HINGED),),
    "REVOLVING_VERTICAL": ((_A, Movement.HINGED),),
}
# Number of panels of IfcWindowTypePartitioningEnum.
_PANELS = {
    "SINGLE_PANEL": 1,
    "DOUBLE_PANEL_VERTICAL": 2,
    "DOUBLE_PANEL_HORIZONTAL": 2,
    "TRIPLE_PANEL_VERTICAL": 3,
    "TRIPLE_PANEL_HORIZONTAL": 3,
    "TRIPLE_PANEL_BOTTOM": 3,
    "TRIPLE_PANEL_TOP": 3,
    "TRIPLE_PANEL_LEFT": 3,
    "TRIPLE_PANEL_RIGHT": 3,
}
# IfcWindowPanelOperationEnum and IfcDoorPanelOperationEnum.
_PANEL_MOVES: dict[str, Movement] = {
    "SIDEHUNGRIGHTHAND": Movement.HINGED,
    "SIDEHUNGLEFTHAND": Movement.HINGED,
    "TILTANDTURNRIGHTHAND": Movement.TILT_AND_TURN,
    "TILTANDTURNLEFTHAND": Movement.TILT_AND_TURN,
    "TOPHUNG": Movement.HINGED,
    "BOTTOMHUNG": Movement.HINGED,
    "PIVOTHORIZONTAL": Movement.HINGED,
    "PIVOTVERTICAL": Movement.HINGED,
    "SLIDINGHORIZONTAL": Movement.SLIDING,
    "SLIDINGVERTICAL": Movement.SINGLE_HUNG,
    "REMOVABLECASEMENT": Movement.LIFT_OFF,
    "FIXEDCASEMENT": Movement.FIXED,
    "FIXEDPANEL": Movement.FIXED,
    "SWINGING": Movement.HINGED,
    "DOUBLE_ACTING": Movement.HINGED,
    "SLIDING": Movement.SLIDING,
    "FOLDING": Movement.FOLDING,
    "REVOLVING": Movement.HINGED,
    "ROLLINGUP": Movement.ROLLER,
}
# What a family or type name gives away where the file has no operation; from memory of drawing offices' habits.
_SAID: tuple[tuple[str, Movement], ...] = (
    ("double hung", Movement.DOUBLE_HUNG),
    ("single hung", Movement.SINGLE_HUNG),
    ("lift and slide", Movement.LIFT_AND_SLIDE),
    ("hebe", Movement.LIFT_AND_SLIDE),
    ("pocket", Movement.POCKET),
    ("sliding", Movement.SLIDING),
    ("slider", Movement.SLIDING),
    ("schiebe", Movement.SLIDING),
    ("coulissant", Movement.SLIDING),
    ("corredera", Movement.SLIDING),
    ("bifold", Movement.FOLDING),
    ("bi fold", Movement.FOLDING),
    ("folding", Movement.FOLDING),
    ("falt", Movement.FOLDING),
    ("overhead", Movement.OVERHEAD),
    ("sectional", Movement.OVERHEAD),
    ("sektional", Movement.OVERHEAD),
    ("roller", Movement.ROLLER),
    ("roll up", Movement.ROLLER),
    ("rolltor", Movement.ROLLER),
    ("louv", Movement.LOUVRE),
    ("jalousie", Movement.LOUVRE),
    ("tilt and turn", Movement.TILT_AND_TURN),
    ("dreh kipp", Movement.TILT_AND_TURN),
    ("drehkipp", Movement.TILT_AND_TURN),
    ("awning", Movement.HINGED),
    ("casement", Movement.HINGED),
    ("hinged", Movement.HINGED),
    ("drehflugel", Movement.HINGED),
    ("fixed", Movement.FIXED),
    ("festverglas", Movement.FIXED),
    ("fixe", Movement.FIXED),
)
_GLASS_DOOR_SHARE = 0.2
"""Share of a door's face that must be clear before it counts as glazed; a peep-hole is not a pane."""


def names_of(element: Element) -> str:
    """Everything an element and its type are called, for word searches.

    Parameters
    ----------
    element : Element
        A door, window or fitting.
    """
    kind = type_of(element)
    parts = [element.Name, getattr(element, "ObjectType", None), getattr(kind, "Name", None)]
    return " ".join(str(p) for p in parts if p)


def type_of(element: Element) -> Element | None:
    """The type or style that defines an element, or None."""
    try:
        return ifc_module().util.element.get_type(element)
    except (AttributeError, RuntimeError, TypeError):
        return None


def _attribute(element: Element, name: str) -> str:
    """An enumeration of the element itself or else of its type; empty where neither says anything."""
    for holder in (element, type_of(element)):
        value = getattr(holder, name, None)
        if value and str(value) not in ("NOTDEFINED", "USERDEFINED"):
            return str(value)
    return ""


def _property_sets(element: Element) -> Iterator[Element]:
    kind = type_of(element)
    yield from getattr(kind, "HasPropertySets", None) or ()
    for relation in getattr(element, "IsDefinedBy", None) or ():
        definition = getattr(relation, "RelatingPropertyDefinition", None)
        if definition is not None:
            yield definition


def _panel_moves(element: Element) -> list[Movement]:
    moves: dict[int, Movement] = {}
    for definition in _property_sets(element):
        operation = getattr(definition, "PanelOperation", None) or getattr(definition, "OperationType", None)
        if definition.is_a("IfcDoorPanelProperties") or definition.is_a("IfcWindowPanelProperties"):
            moves[definition.id()] = _PANEL_MOVES.get(str(operation), Movement.UNKNOWN)
    return list(moves.values())


def _role(movement: Movement, number: int) -> LeafRole:
    if movement is Movement.FIXED:
        return LeafRole.FIXED
    return LeafRole.ACTIVE if number == 0 else LeafRole.INACTIVE


def _said(element: Element) -> Movement:
    text = folded(names_of(element))
    return next((move for word, move in _SAID if word in text), Movement.UNKNOWN)


def _door_panels(element: Element) -> list[_Panel]:
    operation = _attribute(element, "OperationType")
    if operation in _DOOR_OPERATIONS:
        return list(_DOOR_OPERATIONS[operation])
    moves = _panel_moves(element)
    if moves:
        return [(_role(m, i), m) for i, m in enumerate(moves)]
    return [(LeafRole.ACTIVE, _said(element))]


def _window_panels(element: Element) -> list[_Panel]:
    moves = _panel_moves(element)
    said = _said(element)
    if not moves:
        partition = _attribute(element, "PartitioningType") or _attribute(element, "OperationType")
        moves = [said] * _PANELS.get(partition, 1)
    elif all(m is Movement.UNKNOWN for m in moves):
        moves = [said] * len(moves)
    if said is Movement.DOUBLE_HUNG:
        return [(LeafRole.ACTIVE, said), (LeafRole.ACTIVE, said)]
    first = next((i for i, m in enumerate(moves) if m is not Movement.FIXED), 0)
    return [(_role(m, i - first), m) for i, m in enumerate(moves)]


def _glass_share(mesh: Mesh | None) -> float:
    """Share of the larger face of a leaf that is clear."""
    if mesh is None or not mesh.glassy.any():
        return 0.0
    upright = abs(mesh.normals[:, 2]) < 0.3
    face = float(mesh.areas[upright & mesh.glassy].sum()) / 2.0  # a pane has two faces
    width = max(mesh.high[0] - mesh.low[0], mesh.high[1] - mesh.low[1], math.hypot(*(mesh.high - mesh.low)[:2]) * 0.7)
    height = mesh.top - mesh.bottom
    return face / (width * height) if width * height > 0.0 else 0.0


def _glazing(element: Element, whole: bool) -> Glazing:
    facts: dict[str, Any] = {}
    try:
        sets = ifc_module().util.element.get_psets(element)
    except (AttributeError, RuntimeError, TypeError, ValueError):
        sets = {}
    facts = sets.get("Pset_DoorWindowGlazingType") or {}
    kind = GlassKind.UNKNOWN
    for key, value in (
        ("IsLaminated", GlassKind.LAMINATED),
        ("IsTempered", GlassKind.TOUGHENED),
        ("IsWired", GlassKind.WIRED),
    ):
        if facts.get(key) is True and kind is GlassKind.UNKNOWN:
            kind = value
    panes = facts.get("GlassLayers")
    text = folded(names_of(element))
    if not isinstance(panes, int) or isinstance(panes, bool) or not 1 <= panes <= 4:
        panes = 3 if "triple" in text or "dreifach" in text else 2 if "double glaz" in text or "2 fach" in text else 1
    return Glazing(kind=kind, panes=panes, part="whole" if whole else "panel")


def _material(element: Element) -> LeafMaterial:
    try:
        names = [str(m.Name) for m in ifc_module().util.element.get_materials(element)]
    except (AttributeError, RuntimeError, TypeError):
        names = []
    for name in [*names, names_of(element)]:
        text = folded(name)
        if "alumin" in text:
            return "aluminium"
        if any(word in text for word in ("kunststoff", "plastic", "pvc", "upvc", "vinyl")):
            return "plastic"
        key = material_key(name)
        if key in ("timber", "steel"):
            return key  # type: ignore[return-value]
    return "unknown"


def leaves_of(building: IfcBuilding, element: Element, kind: OpeningKind, width: float | None) -> tuple[Leaf, ...]:
    """Leaves of a door or window.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    element : Element
        An IfcDoor or IfcWindow.
    kind : OpeningKind
        What it was taken for.
    width : float or None
        Width of the whole opening. [m]

    Returns
    -------
    tuple of Leaf
        At least one. A movement that nothing speaks of is ``unknown``.
    """
    is_door = kind in (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR, OpeningKind.HATCH, OpeningKind.BULKHEAD)
    panels = _door_panels(element) if is_door else _window_panels(element)
    share = _glass_share(building.mesh(element))
    text = folded(names_of(element))
    glazed = (
        not is_door or share >= _GLASS_DOOR_SHARE or any(w in text for w in ("glass", "glas ", "glazed", "verglas"))
    )
    glass = _glazing(element, whole=not is_door or share > 0.5 or share == 0.0) if glazed else None
    material = _material(element)
    each = None if width is None else width / len(panels)
    return tuple(
        Leaf(id=f"{n}", role=role, movement=movement, material=material, width_m=each, glazing=glass)
        for n, (role, movement) in enumerate(panels, start=1)
    )
