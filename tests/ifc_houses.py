"""A small invented house written as IFC in many ways: unit, turned, far away, without hosts, flags or shapes."""

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import ifcopenshell
import ifcopenshell.guid

XY = tuple[float, float]
Box = tuple[float, float, float, float]
"""x0, y0, x1, y1. [m]"""

WALLS: dict[str, Box] = {
    "south": (0.0, 0.0, 7.7, 0.3),
    "north": (0.0, 3.3, 7.7, 3.6),
    "west": (0.0, 0.3, 0.3, 3.3),
    "east": (7.4, 0.3, 7.7, 3.3),
    "partition": (4.3, 0.3, 4.4, 3.3),
}
ROOMS: dict[str, Box] = {"Wohnzimmer": (0.3, 0.3, 4.3, 3.3), "Küche": (4.4, 0.3, 7.4, 3.3)}
HEIGHT = 2.6


@dataclass(frozen=True)
class Hole:
    """A door or window: wall, middle on plan, direction of its width, width, height, sill."""

    name: str
    kind: str
    wall: str
    middle: XY
    along: float
    width: float
    height: float
    sill: float = 0.0
    operation: str = "SINGLE_SWING_LEFT"


HOLES = (
    Hole("front", "IfcDoor", "south", (2.0, 0.15), 0.0, 0.9, 2.1),
    Hole("between", "IfcDoor", "partition", (4.35, 1.8), math.pi / 2, 0.8, 2.0),
    Hole("view", "IfcWindow", "east", (7.55, 1.8), math.pi / 2, 1.2, 1.0, 0.9),
)


@dataclass
class House:
    """What to write, and how."""

    schema: str = "IFC4"
    unit: str = "metre"
    """Unit the coordinates are written in."""
    said: str | None = None
    """Unit the header names; None: the true one; ``none``: no unit at all."""
    turned: float = 0.0
    moved: tuple[float, float, float] = (0.0, 0.0, 0.0)
    hosts: bool = True
    opening_shapes: bool = True
    """Doors, windows and holes have geometry."""
    flags: bool | None = None
    """External flag on every door and window; None: no flag."""
    spaces: tuple[tuple[str, Box, float, float], ...] = tuple((n, b, 0.0, 2.5) for n, b in ROOMS.items())
    """Name, box, base, height."""
    walls: dict[str, Box] = field(default_factory=lambda: dict(WALLS))
    holes: tuple[Hole, ...] = HOLES
    arc: tuple[float, float, float] | None = None
    """Radius, thickness and height of a half-round wall on the north side, about the middle of the house."""
    storeys: tuple[tuple[str, float], ...] = (("Ground", 0.0),)
    wall_base: float = 0.0
    north: tuple[float, ...] | None = None
    extra: Callable[["Writer", dict[str, Any]], list[Any]] | None = None
    """Adds elements of its own; gets the writer and the walls, returns what the first storey contains."""

    def write(self, path: Path) -> Path:
        """Write the house."""
        Writer(self).write(path)
        return path


_METRES = {"metre": 1.0, "millimetre": 0.001, "foot": 0.3048, "inch": 0.0254}


class Writer:
    def __init__(self, house: House) -> None:
        self.house = house
        self.per = 1.0 / _METRES[house.unit]
        self.file = ifcopenshell.file(schema=house.schema)
        f = self.file
        self.up = f.createIfcDirection((0.0, 0.0, 1.0))
        person = f.createIfcPersonAndOrganization(f.createIfcPerson(), f.createIfcOrganization(None, "test"))
        app = f.createIfcApplication(person.TheOrganization, "1", "test", "test")
        self.owner = f.createIfcOwnerHistory(person, app, None, "ADDED", None, person, app, 0)

    def point(self, *metres: float) -> Any:
        return self.file.createIfcCartesianPoint([v * self.per for v in metres])

    def placement(
        self, at: tuple[float, float, float] = (0.0, 0.0, 0.0), angle: float = 0.0, within: Any = None
    ) -> Any:
        along = self.file.createIfcDirection((math.cos(angle), math.sin(angle), 0.0))
        axes = self.file.createIfcAxis2Placement3D(self.point(*at), self.up, along)
        return self.file.createIfcLocalPlacement(within, axes)

    def rooted(self, kind: str, name: str, **more: Any) -> Any:
        return self.file.create_entity(
            kind, GlobalId=ifcopenshell.guid.new(), OwnerHistory=self.owner, Name=name, **more
        )

    def unit(self, name: str) -> Any:
        f = self.file
        if name in ("metre", "millimetre"):
            prefix = "MILLI" if name == "millimetre" else None
            return f.createIfcSIUnit(None, "LENGTHUNIT", prefix, "METRE")
        si = f.createIfcSIUnit(None, "LENGTHUNIT", None, "METRE")
        factor = f.createIfcMeasureWithUnit(f.createIfcLengthMeasure(_METRES[name]), si)
        dims = f.createIfcDimensionalExponents(1, 0, 0, 0, 0, 0, 0)
        return f.createIfcConversionBasedUnit(dims, "LENGTHUNIT", name.upper(), factor)

    def prism(self, outline: list[XY], height: float) -> Any:
        f = self.file
        points = [f.createIfcCartesianPoint([x * self.per, y * self.per]) for x, y in [*outline, outline[0]]]
        profile = f.createIfcArbitraryClosedProfileDef("AREA", None, f.createIfcPolyline(points))
        axes = f.createIfcAxis2Placement3D(self.point(0.0, 0.0, 0.0), None, None)
        solid = f.createIfcExtrudedAreaSolid(profile, axes, self.up, height * self.per)
        shape = f.createIfcShapeRepresentation(self.context, "Body", "SweptSolid", [solid])
        return f.createIfcProductDefinitionShape(None, None, [shape])

    def write(self, path: Path) -> None:
        h, f = self.house, self.file
        world = f.createIfcAxis2Placement3D(self.point(0.0, 0.0, 0.0), None, None)
        north = None if h.north is None else f.createIfcDirection(h.north)
        self.context = f.createIfcGeometricRepresentationContext(None, "Model", 3, 1e-5, world, north)
        said = h.said or h.unit
        units = [f.createIfcSIUnit(None, "PLANEANGLEUNIT", None, "RADIAN")]
        if said != "none":
            units.append(self.unit(said))
        project = self.rooted(
            "IfcProject",
            "test house",
            RepresentationContexts=[self.context],
            UnitsInContext=f.createIfcUnitAssignment(units),
        )
        root = self.placement(h.moved, h.turned)
        site = self.rooted("IfcSite", "site", ObjectPlacement=root, CompositionType="ELEMENT")
        site.RefLatitude, site.RefLongitude = (48, 8, 14, 0), (-11, -34, -31, 0)
        building = self.rooted("IfcBuilding", "house", ObjectPlacement=root, CompositionType="ELEMENT")
        self.rooted("IfcRelAggregates", "", RelatingObject=project, RelatedObjects=[site])
        self.rooted("IfcRelAggregates", "", RelatingObject=site, RelatedObjects=[building])
        storeys = [
            self.rooted(
                "IfcBuildingStorey",
                name,
                ObjectPlacement=self.placement((0.0, 0.0, z), within=root),
                CompositionType="ELEMENT",
                Elevation=z * self.per,
            )
            for name, z in h.storeys
        ]
        if storeys:
            self.rooted("IfcRelAggregates", "", RelatingObject=building, RelatedObjects=storeys)
        self.base = storeys[0].ObjectPlacement if storeys else root
        contained: list[Any] = []
        walls: dict[str, Any] = {}
        for name, (x0, y0, x1, y1) in h.walls.items():
            shape = self.prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], HEIGHT)
            walls[name] = self.rooted(
                "IfcWall",
                name,
                ObjectPlacement=self.placement((0.0, 0.0, h.wall_base), within=self.base),
                Representation=shape,
            )
        if h.arc is not None:
            walls["arc"] = self.arc(*h.arc)
        contained += walls.values()
        spaces = []
        for name, (x0, y0, x1, y1), base, height in h.spaces:
            space = self.rooted(
                "IfcSpace",
                name,
                LongName=name,
                CompositionType="ELEMENT",
                ObjectPlacement=self.placement((0.0, 0.0, base), within=self.base),
                Representation=self.prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], height),
            )
            spaces.append(space)
        if spaces and storeys:
            self.rooted("IfcRelAggregates", "", RelatingObject=storeys[0], RelatedObjects=spaces)
        for hole in h.holes:
            contained.append(self.hole(hole, walls))
        if h.extra is not None:
            contained += h.extra(self, walls)
        if contained:
            self.rooted(
                "IfcRelContainedInSpatialStructure",
                "",
                RelatedElements=contained,
                RelatingStructure=storeys[0] if storeys else building,
            )
        f.write(str(path))

    def arc(self, radius: float, thickness: float, height: float) -> Any:
        steps = 24
        angles = [math.pi * n / steps for n in range(steps + 1)]
        outer = [
            (3.85 + (radius + thickness / 2) * math.cos(a), 3.6 + (radius + thickness / 2) * math.sin(a))
            for a in angles
        ]
        inner = [
            (3.85 + (radius - thickness / 2) * math.cos(a), 3.6 + (radius - thickness / 2) * math.sin(a))
            for a in angles
        ]
        return self.rooted(
            "IfcWall",
            "arc",
            ObjectPlacement=self.placement(within=self.base),
            Representation=self.prism(outer + inner[::-1], height),
        )

    def hole(self, hole: Hole, walls: dict[str, Any]) -> Any:
        h, f = self.house, self.file
        x, y = hole.middle
        ux, uy = math.cos(hole.along), math.sin(hole.along)
        corner = (x - ux * hole.width / 2, y - uy * hole.width / 2, hole.sill)
        half = hole.width / 2
        sizes: dict[str, Any] = {"OverallWidth": hole.width * self.per, "OverallHeight": hole.height * self.per}
        element = self.rooted(
            hole.kind, hole.name, ObjectPlacement=self.placement(corner, hole.along, self.base), **sizes
        )
        if hole.kind == "IfcDoor" and h.schema == "IFC4":
            element.OperationType = hole.operation
        if h.opening_shapes:
            element.Representation = self.prism(
                [(0.0, -0.04), (2 * half, -0.04), (2 * half, 0.04), (0.0, 0.04)], hole.height
            )
        if h.hosts:
            void = self.rooted(
                "IfcOpeningElement", hole.name, ObjectPlacement=self.placement(corner, hole.along, self.base)
            )
            if h.opening_shapes:
                void.Representation = self.prism(
                    [(0.0, -0.4), (2 * half, -0.4), (2 * half, 0.4), (0.0, 0.4)], hole.height
                )
            self.rooted("IfcRelVoidsElement", "", RelatingBuildingElement=walls[hole.wall], RelatedOpeningElement=void)
            self.rooted("IfcRelFillsElement", "", RelatingOpeningElement=void, RelatedBuildingElement=element)
        if h.flags is not None:
            single = f.createIfcPropertySingleValue("IsExternal", None, f.createIfcBoolean(h.flags), None)
            pset = self.rooted("IfcPropertySet", "Pset_DoorCommon", HasProperties=[single])
            self.rooted("IfcRelDefinesByProperties", "", RelatedObjects=[element], RelatingPropertyDefinition=pset)
        return element
