"""Writes the demonstration building as an IFC 4 file in millimetres: ``python -m demo.write_ifc out/orchard-lane.ifc``.

The file is the same every time it is written: identifiers are made from names, and the time stamp is fixed.
"""

import math
import sys
import uuid
from pathlib import Path
from typing import Any

import ifcopenshell
import ifcopenshell.guid
from demo import orchard_lane as house
from demo.orchard_lane import XY, Hole, Piece, Plate, WallLine

WRITTEN = "2026-01-01T00:00:00"
LEAF_M, FRAME_M, FRAME_DEPTH_M = 0.044, 0.05, 0.09
Entity = Any


class Writer:
    """An IFC file being written; lengths come in metres and go out in millimetres."""

    def __init__(self) -> None:
        self.file = ifcopenshell.file(schema="IFC4")
        self.axis_z = self.file.createIfcDirection((0.0, 0.0, 1.0))
        self.world = self.file.createIfcAxis2Placement3D(self.point(0.0, 0.0, 0.0))
        self.contained: dict[str, list[Entity]] = {name: [] for name in house.STOREYS}
        self.styles = {True: self.surface("Glass", 0.8), False: self.surface("Solid", 0.0)}
        self.materials: dict[str, Entity] = {}

    def id(self, name: str) -> str:
        """A global id that depends on the name alone."""
        return str(ifcopenshell.guid.compress(uuid.uuid5(uuid.NAMESPACE_OID, f"Orchard Lane/{name}").hex))

    def new(self, kind: str, name: str, **attributes: Any) -> Entity:
        """A rooted entity."""
        return self.file.create_entity(kind, GlobalId=self.id(f"{kind}/{name}"), Name=name, **attributes)

    def point(self, *metres: float) -> Entity:
        """A point. [m]"""
        return self.file.createIfcCartesianPoint([round(v * 1000.0, 3) for v in metres])

    def direction(self, *ratios: float) -> Entity:
        """A direction."""
        return self.file.createIfcDirection([float(v) for v in ratios])

    def placed(self, relative: Entity | None, at: tuple[float, float, float], angle: float = 0.0) -> Entity:
        """A placement turned about z. [m], [rad]"""
        along = self.direction(math.cos(angle), math.sin(angle), 0.0)
        return self.file.createIfcLocalPlacement(
            relative, self.file.createIfcAxis2Placement3D(self.point(*at), self.axis_z, along)
        )

    def surface(self, name: str, clear: float) -> Entity:
        """A surface style."""
        colour = self.file.createIfcColourRgb(None, 0.8, 0.85, 0.85)
        shade = self.file.createIfcSurfaceStyleShading(colour, clear)
        return self.file.createIfcSurfaceStyle(name, "BOTH", [shade])

    def profile(self, outline: tuple[XY, ...], hole: tuple[XY, ...] = ()) -> Entity:
        """A closed profile. [m]"""

        def curve(ring: tuple[XY, ...]) -> Entity:
            points = [self.point(*p) for p in ring]
            return self.file.createIfcPolyline([*points, points[0]])

        if hole:
            return self.file.createIfcArbitraryProfileDefWithVoids("AREA", None, curve(outline), [curve(hole)])
        return self.file.createIfcArbitraryClosedProfileDef("AREA", None, curve(outline))

    def extruded(self, profile: Entity, height: float, bottom: float = 0.0, *, glass: bool = False) -> Entity:
        """A profile pulled upwards. [m]"""
        position = self.file.createIfcAxis2Placement3D(self.point(0.0, 0.0, bottom))
        solid = self.file.createIfcExtrudedAreaSolid(profile, position, self.axis_z, round(height * 1000.0, 3))
        self.file.createIfcStyledItem(solid, [self.styles[glass]], None)
        return solid

    def box(self, low: tuple[float, float, float], high: tuple[float, float, float], *, glass: bool = False) -> Entity:
        """A box between two corners. [m]"""
        outline = house.rectangle(low[0], low[1], high[0], high[1])
        return self.extruded(self.profile(outline), high[2] - low[2], low[2], glass=glass)

    def shape(self, *items: Entity, kind: str = "SweptSolid", axis: Entity | None = None) -> Entity:
        """A body, with an axis where there is one."""
        parts = [self.file.createIfcShapeRepresentation(self.body, "Body", kind, list(items))]
        if axis is not None:
            parts.insert(0, self.file.createIfcShapeRepresentation(self.axes, "Axis", "Curve2D", [axis]))
        return self.file.createIfcProductDefinitionShape(None, None, parts)

    def project(self) -> None:
        """Units, contexts, site, building and storeys."""
        file = self.file
        units = file.createIfcUnitAssignment(
            [
                file.createIfcSIUnit(None, "LENGTHUNIT", "MILLI", "METRE"),
                file.createIfcSIUnit(None, "AREAUNIT", None, "SQUARE_METRE"),
                file.createIfcSIUnit(None, "VOLUMEUNIT", None, "CUBIC_METRE"),
                file.createIfcSIUnit(None, "PLANEANGLEUNIT", None, "RADIAN"),
            ]
        )
        north = self.direction(math.sin(math.radians(-12.0)), math.cos(math.radians(-12.0)))
        model = file.createIfcGeometricRepresentationContext(None, "Model", 3, 1e-5, self.world, north)
        views: dict[str, Any] = {"TargetView": "MODEL_VIEW"}
        make = file.createIfcGeometricRepresentationSubContext
        self.body = make("Body", "Model", None, None, None, None, model, None, **views)
        self.axes = make("Axis", "Model", None, None, None, None, model, None, TargetView="GRAPH_VIEW")
        project = self.new(
            "IfcProject",
            "Orchard Lane (invented)",
            Description="An invented building written by the demonstration",
            RepresentationContexts=[model],
            UnitsInContext=units,
        )
        site_place = self.placed(None, (0.0, 0.0, 0.0))
        site = self.new("IfcSite", "Orchard Lane", ObjectPlacement=site_place, CompositionType="ELEMENT")
        building_place = self.placed(site_place, (0.0, 0.0, 0.0))
        building = self.new(
            "IfcBuilding", "House, shop and workshop", ObjectPlacement=building_place, CompositionType="ELEMENT"
        )
        self.storeys = {}
        self.places = {}
        for name, (level, _) in house.STOREYS.items():
            self.places[name] = self.placed(building_place, (0.0, 0.0, level))
            self.storeys[name] = self.new(
                "IfcBuildingStorey",
                name,
                ObjectPlacement=self.places[name],
                CompositionType="ELEMENT",
                Elevation=round(level * 1000.0, 3),
            )
        self.aggregate(project, [site])
        self.aggregate(site, [building])
        self.aggregate(building, list(self.storeys.values()))

    def aggregate(self, whole: Entity, parts: list[Entity]) -> None:
        """Make parts of a whole."""
        self.new("IfcRelAggregates", f"parts of {whole.Name}", RelatingObject=whole, RelatedObjects=parts)

    def properties(self, owner: Entity, name: str, **values: bool) -> None:
        """A set of yes-or-no properties."""
        make = self.file.createIfcPropertySingleValue
        single = [make(k, None, self.file.createIfcBoolean(v), None) for k, v in values.items()]
        kept = self.new("IfcPropertySet", f"{name} of {owner.Name}", HasProperties=single)
        kept.Name = name
        self.new(
            "IfcRelDefinesByProperties",
            f"{name} for {owner.Name}",
            RelatedObjects=[owner],
            RelatingPropertyDefinition=kept,
        )


def _layer_sets(w: Writer) -> dict[str, Entity]:
    sets = {}
    for name, layers in house.BUILD_UPS.items():
        made = []
        for material, thickness in layers:
            if material not in w.materials:
                w.materials[material] = w.file.createIfcMaterial(material)
            made.append(w.file.createIfcMaterialLayer(w.materials[material], round(thickness * 1000.0, 3)))
        sets[name] = w.file.createIfcMaterialLayerSet(made, name)
    return sets


def _thickness(wall: WallLine) -> float:
    return sum(thickness for _, thickness in house.BUILD_UPS[wall.build_up])


def _walls(w: Writer) -> dict[str, tuple[WallLine, Entity]]:
    sets, by_set = _layer_sets(w), {name: [] for name in house.BUILD_UPS}
    made = {}
    for wall in house.WALLS:
        (x0, y0), (x1, y1) = wall.start, wall.end
        length, half = math.hypot(x1 - x0, y1 - y0), _thickness(wall) / 2
        top = house.STOREYS[wall.storey][1] + (0.25 if wall.storey == house.GROUND else 0.20)
        height = top if wall.outside else house.STOREYS[wall.storey][1]
        outline = ((0.0, -half), (length, -half), (length, half), (0.0, half))
        axis = w.file.createIfcPolyline([w.point(0.0, 0.0), w.point(length, 0.0)])
        entity = w.new(
            "IfcWall",
            wall.name,
            ObjectPlacement=w.placed(w.places[wall.storey], (x0, y0, 0.0), math.atan2(y1 - y0, x1 - x0)),
            Representation=w.shape(w.extruded(w.profile(outline), height), axis=axis),
            PredefinedType="SOLIDWALL",
        )
        w.properties(entity, "Pset_WallCommon", IsExternal=wall.outside, LoadBearing="Stud" not in wall.build_up)
        by_set[wall.build_up].append(entity)
        w.contained[wall.storey].append(entity)
        made[wall.name] = (wall, entity)
    for name, entities in by_set.items():
        offset = -round(sum(t for _, t in house.BUILD_UPS[name]) * 500.0, 3)
        usage = w.file.createIfcMaterialLayerSetUsage(sets[name], "AXIS2", "POSITIVE", offset)
        w.new("IfcRelAssociatesMaterial", f"layers {name}", RelatedObjects=entities, RelatingMaterial=usage)
    return made


def _opening(w: Writer, hole: Hole, wall: WallLine, host: Entity, *, door: bool) -> None:
    """The void, and the door or window that fills it; both run along the wall from the near jamb."""
    (x0, y0), (_, y1) = wall.start, wall.end
    east_west = y0 == y1
    from_start = abs(hole.at - (x0 if east_west else y0)) - hole.width / 2
    half = _thickness(wall) / 2
    place = w.placed(host.ObjectPlacement, (from_start, 0.0, hole.sill))
    void = w.new(
        "IfcOpeningElement",
        f"Void of {hole.name}",
        ObjectPlacement=place,
        Representation=w.shape(w.box((0.0, -half - 0.01, 0.0), (hole.width, half + 0.01, hole.height))),
        PredefinedType="OPENING",
    )
    w.new("IfcRelVoidsElement", f"void {hole.name}", RelatingBuildingElement=host, RelatedOpeningElement=void)
    filling = w.new(
        "IfcDoor" if door else "IfcWindow",
        hole.name,
        ObjectPlacement=w.placed(place, (0.0, 0.0, 0.0)),
        Representation=w.shape(*_frame(w, hole, door=door)),
        OverallHeight=round(hole.height * 1000.0, 3),
        OverallWidth=round(hole.width * 1000.0, 3),
        PredefinedType="DOOR" if door else "WINDOW",
    )
    w.new("IfcRelFillsElement", f"fill {hole.name}", RelatingOpeningElement=void, RelatedBuildingElement=filling)
    w.properties(filling, "Pset_DoorCommon" if door else "Pset_WindowCommon", IsExternal=wall.outside)
    kind = w.new(
        "IfcDoorType" if door else "IfcWindowType",
        f"Type of {hole.name}",
        PredefinedType="DOOR" if door else "WINDOW",
        HasPropertySets=None if door else _panels(w, hole),
        **{"OperationType" if door else "PartitioningType": hole.works},
    )
    w.new("IfcRelDefinesByType", f"type {hole.name}", RelatedObjects=[filling], RelatingType=kind)
    w.contained[wall.storey].append(filling)


def _frame(w: Writer, hole: Hole, *, door: bool) -> list[Entity]:
    """Two jambs, a head, a sill where there is one, and the leaves."""
    deep, wide, high, f = FRAME_DEPTH_M / 2, hole.width, hole.height, FRAME_M
    foot = 0.0 if door else f
    parts = [
        w.box((0.0, -deep, 0.0), (f, deep, high)),
        w.box((wide - f, -deep, 0.0), (wide, deep, high)),
        w.box((f, -deep, high - f), (wide - f, deep, high)),
    ]
    if not door:
        parts.append(w.box((f, -deep, 0.0), (wide - f, deep, f)))
    across = 2 if hole.works in ("DOUBLE_DOOR_SINGLE_SWING", "DOUBLE_PANEL_VERTICAL") else 1
    up = 2 if hole.works == "DOUBLE_PANEL_HORIZONTAL" else 1
    step_x, step_z = (wide - 2 * f) / across, (high - f - foot) / up
    half = LEAF_M / 2
    for i in range(across):
        for k in range(up):
            shift = (k - (up - 1) / 2) * LEAF_M  # the sashes of a sash window run in two tracks
            low = (f + i * step_x, shift - half, foot + k * step_z)
            parts.append(
                w.box(low, (low[0] + step_x, shift + half, low[2] + step_z), glass=hole.glass),
            )
    return parts


def _panels(w: Writer, hole: Hole) -> list[Entity] | None:
    """How the panels of a window work: sashes slide up, casements hang at the side, the shop front is fixed."""
    places = {
        "DOUBLE_PANEL_HORIZONTAL": ("TOP", "BOTTOM"),
        "DOUBLE_PANEL_VERTICAL": ("LEFT", "RIGHT"),
        "SINGLE_PANEL": ("MIDDLE",),
    }[hole.works]
    if "sash" in hole.name:
        works = "SLIDINGVERTICAL"
    elif hole.name in ("Shop front", "Workshop window"):
        works = "FIXEDCASEMENT"
    else:
        works = "SIDEHUNGLEFTHAND"
    return [
        w.new(
            "IfcWindowPanelProperties",
            f"{place.lower()} panel of {hole.name}",
            OperationType=works,
            PanelPosition=place,
        )
        for place in places
    ]


def _plate(w: Writer, plate: Plate) -> None:
    level = house.STOREYS[plate.storey][0]
    entity = w.new(
        "IfcSlab",
        plate.name,
        ObjectPlacement=w.placed(w.places[plate.storey], (0.0, 0.0, plate.bottom - level)),
        Representation=w.shape(w.extruded(w.profile(plate.outline, plate.hole), plate.top - plate.bottom)),
        PredefinedType=plate.kind,
    )
    w.contained[plate.storey].append(entity)


def _hip(w: Writer, name: str, eaves: tuple[float, float, float, float], ridge: tuple[XY, XY]) -> None:
    """A hipped roof as a closed solid from the eaves up; a ridge that starts at the eaves has a gable there."""
    west, south, east, north = eaves
    rise = min(ridge[0][1] - south, north - ridge[0][1], ridge[0][0] - west or math.inf, east - ridge[1][0])
    rise *= house.PITCH_RISE
    low = [(x, y, house.EAVES) for x, y in house.rectangle(*eaves)]
    high = [(x, y, house.EAVES + rise) for x, y in ridge]
    a, b, c, d = low
    e, f = high
    if ridge[0][0] == ridge[1][0]:
        faces = [(d, c, b, a), (a, b, e), (b, c, f, e), (c, d, f), (d, a, e, f)]
    else:
        faces = [(d, c, b, a), (a, b, f, e), (b, c, f), (c, d, e, f), (d, a, e)]
    made = []
    for corners in faces:
        loop = w.file.createIfcPolyLoop([w.point(*p) for p in corners])
        made.append(w.file.createIfcFace([w.file.createIfcFaceOuterBound(loop, True)]))
    solid = w.file.createIfcFacetedBrep(w.file.createIfcClosedShell(made))
    entity = w.new(
        "IfcRoof",
        name,
        ObjectPlacement=w.placed(w.places[house.UPPER], (0.0, 0.0, -house.STOREYS[house.UPPER][0])),
        Representation=w.shape(solid, kind="Brep"),
        PredefinedType="HIP_ROOF",
    )
    w.contained[house.UPPER].append(entity)


def _stair(w: Writer) -> None:
    """One straight flight: its side view, pulled across its width."""
    west, south, east, north = house.STAIR_WELL
    rise = house.STOREYS[house.UPPER][0] / house.RISES
    steps: list[XY] = [(0.0, 0.0)]
    for i in range(house.RISES):
        steps.append((i * house.GOING, (i + 1) * rise))
        steps.append((min(i + 1, house.RISES - 1) * house.GOING, (i + 1) * rise))
    steps = [p for n, p in enumerate(steps) if n == 0 or p != steps[n - 1]]
    steps += [(north - south, (house.RISES - 1) * rise - 0.25), (0.30, 0.0)]
    # Profile axes: along the flight and up; the pull goes west to east.
    position = w.file.createIfcAxis2Placement3D(
        w.point(0.0, 0.0, 0.0), w.direction(1.0, 0.0, 0.0), w.direction(0.0, 1.0, 0.0)
    )
    solid = w.file.createIfcExtrudedAreaSolid(
        w.profile(tuple(steps)), position, w.axis_z, round((east - west) * 1000.0, 3)
    )
    place = w.placed(w.places[house.GROUND], (west, south, 0.0))
    stair = w.new("IfcStair", "Stair", ObjectPlacement=place, PredefinedType="STRAIGHT_RUN_STAIR")
    flight = w.new(
        "IfcStairFlight",
        "Flight",
        ObjectPlacement=w.placed(place, (0.0, 0.0, 0.0)),
        Representation=w.shape(solid),
        NumberOfRisers=house.RISES,
        NumberOfTreads=house.RISES - 1,
        RiserHeight=round(rise * 1000.0, 3),
        TreadLength=round(house.GOING * 1000.0, 3),
        PredefinedType="STRAIGHT",
    )
    w.aggregate(stair, [flight])
    w.contained[house.GROUND].append(stair)


def _rooms(w: Writer) -> None:
    for number, (name, (storey, outline)) in enumerate(house.ROOMS.items(), 1):
        level, height = house.STOREYS[storey]
        space = w.new(
            "IfcSpace",
            name,
            ObjectPlacement=w.placed(w.places[storey], (0.0, 0.0, 0.0)),
            Representation=w.shape(w.extruded(w.profile(outline), height)),
            CompositionType="ELEMENT",
            PredefinedType="INTERNAL",
            ElevationWithFlooring=round(level * 1000.0, 3),
        )
        space.Name, space.LongName = str(number), name
        w.new("IfcRelAggregates", f"space {name}", RelatingObject=w.storeys[storey], RelatedObjects=[space])


def _fitting(w: Writer, piece: Piece) -> None:
    west, south, east, north = piece.box
    entity = w.new(
        piece.ifc_class,
        piece.name,
        ObjectType="Fitted" if piece.kind == "USERDEFINED" else None,
        ObjectPlacement=w.placed(w.places[piece.storey], (west, south, piece.base)),
        Representation=w.shape(w.box((0.0, 0.0, 0.0), (east - west, north - south, piece.height))),
        PredefinedType=piece.kind,
    )
    w.contained[piece.storey].append(entity)


def write_ifc(path: Path) -> Path:
    """Write the building.

    Parameters
    ----------
    path : Path
        Where to; folders are made as needed.

    Returns
    -------
    Path
        The same path.
    """
    w = Writer()
    w.project()
    walls = _walls(w)
    for holes, door in ((house.DOORS, True), (house.WINDOWS, False)):
        for hole in holes:
            _opening(w, hole, *walls[hole.wall], door=door)
    for plate in house.PLATES:
        _plate(w, plate)
    for name, (eaves, ridge) in house.ROOFS.items():
        _hip(w, name, eaves, ridge)
    _stair(w)
    for n, (x, y) in enumerate(house.PORCH_POSTS, 1):
        post = w.new(
            "IfcColumn",
            f"Porch post {n}",
            ObjectPlacement=w.placed(w.places[house.GROUND], (x, y, 0.0)),
            Representation=w.shape(w.box((-0.05, -0.05, 0.0), (0.05, 0.05, 2.30))),
            PredefinedType="COLUMN",
        )
        w.contained[house.GROUND].append(post)
    _rooms(w)
    for piece in house.FITTINGS:
        _fitting(w, piece)
    for name, elements in w.contained.items():
        w.new(
            "IfcRelContainedInSpatialStructure",
            f"contents of {name}",
            RelatingStructure=w.storeys[name],
            RelatedElements=elements,
        )
    header = w.file.header
    header.file_name.name = path.name
    header.file_name.time_stamp = WRITTEN
    header.file_name.author = ("The demonstration",)
    header.file_name.organization = ("Invented",)
    path.parent.mkdir(parents=True, exist_ok=True)
    w.file.write(str(path))
    return path


if __name__ == "__main__":
    print(write_ifc(Path(sys.argv[1] if len(sys.argv) > 1 else "out/orchard-lane.ifc")))
