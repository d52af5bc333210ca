"""An IFC file opened safely: whole, of a known schema, with a length unit that can be believed."""

import math
import statistics
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from wardwright.errors import InputError, IntakeError
from wardwright.intake.draft import Assumption
from wardwright.intake.ifc_shapes import Element, Mesh, joined
from wardwright.intake.ifc_text import DAMAGED, lost_lines
from wardwright.model import XY

T = TypeVar("T")
# Clear height of a door leaf or opening, and height of a wall, that people build. From memory.
_DOOR_HEIGHT_M = (1.6, 3.2)
_WALL_HEIGHT_M = (1.7, 8.0)
_DOOR_WIDTH_M = (0.5, 3.0)
_UNITS: tuple[tuple[str, float], ...] = (
    ("metre", 1.0),
    ("millimetre", 0.001),
    ("foot", 0.3048),
    ("inch", 0.0254),
    ("centimetre", 0.01),
)
_MAX_BYTES = 400_000_000


def ifc_module() -> Any:
    """The IFC library, loaded only when a file asks for it: it is large, and an optional part."""
    try:
        import ifcopenshell
        import ifcopenshell.geom
        import ifcopenshell.util.element
        import ifcopenshell.util.placement
        import ifcopenshell.util.unit
    except ImportError as error:
        raise InputError(
            "reading IFC needs the optional part of this program: install “wardwright[ifc]”", where="ifcopenshell"
        ) from error
    return ifcopenshell


@dataclass
class IfcBuilding:
    """An open IFC file with what has been worked out about it so far."""

    path: Path
    file: Any
    scale: float
    """Metres in one of the file's length units, as believed. [m]"""
    assumptions: list[Assumption] = field(default_factory=list)
    _meshes: dict[int, Mesh] = field(default_factory=dict)

    def all_of(self, *classes: str) -> list[Element]:
        """Every entity of the classes named, subclasses included, each once; a class the schema lacks gives none."""
        found: dict[int, Element] = {}
        for name in classes:
            try:
                entities = self.file.by_type(name)
            except RuntimeError:
                continue
            found.update((e.id(), e) for e in entities)
        return list(found.values())

    def length(self, value: Any) -> float | None:
        """A length attribute in metres; None where it is missing or no positive finite number."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            return None
        metres = float(value) * self.scale
        return metres if math.isfinite(metres) and metres > 0.0 else None

    def shape_all(self, elements: Iterable[Element]) -> None:
        """Work out the meshes of many elements at once; one that fails simply has none."""
        wanted = [e for e in elements if e.id() not in self._meshes and getattr(e, "Representation", None)]
        # The fast kernel leaves half-space clippings out; the thorough one also tries what the fast one failed at.
        plain = [e for e in wanted if not _is_clipped(e)]
        for library, group in (("manifold", plain), ("opencascade", wanted)):
            missing = [e for e in group if e.id() not in self._meshes]
            if missing:
                self._meshes.update(_meshes(self.file, missing, library))

    def mesh(self, element: Element) -> Mesh | None:
        """Mesh of one element, openings not cut out; None where the file gives no shape that can be built."""
        key = element.id()
        if key not in self._meshes:
            self.shape_all([element])
        return self._meshes.get(key)

    def whole_mesh(self, element: Element) -> Mesh | None:
        """Mesh of an element, or of its parts where it has none of its own."""
        own = self.mesh(element)
        if own is not None:
            return own
        parts = [p for r in (getattr(element, "IsDecomposedBy", None) or ()) for p in r.RelatedObjects]
        self.shape_all(parts)
        return joined(m for p in parts if (m := self.mesh(p)) is not None)

    def curve(self, element: Element, identifier: str) -> tuple[XY, ...]:
        """Points on plan of a curve representation such as ``Axis`` or ``FootPrint``; empty where there is none. [m]"""
        matrix = self.placement(element)
        for representation in getattr(getattr(element, "Representation", None), "Representations", None) or ():
            if str(representation.RepresentationIdentifier) != identifier or matrix is None:
                continue
            ifc = ifc_module()
            settings = ifc.geom.settings()
            settings.set("dimensionality", ifc.ifcopenshell_wrapper.CURVES)
            try:
                shape = ifc.geom.create_shape(settings, representation)
                flat = np.array(getattr(shape, "geometry", shape).verts, dtype=float).reshape(-1, 3)
            except Exception:  # the kernel raises bare RuntimeErrors for curves it cannot build
                continue
            world = flat @ matrix[:3, :3].T + matrix[:3, 3]
            points = [(float(x), float(y)) for x, y in world[:, :2]]
            return tuple(p for k, p in enumerate(points) if k == 0 or math.dist(p, points[k - 1]) > 1e-4)
        return ()

    def placement(self, element: Element) -> NDArray[np.float64] | None:
        """Local placement of an element as a 4 by 4 matrix in metres, or None."""
        try:
            matrix = ifc_module().util.placement.get_local_placement(element.ObjectPlacement)
        except Exception:  # a damaged placement fails wherever the library first touches it
            return None
        matrix = np.array(matrix, dtype=float)
        matrix[:3, 3] *= self.scale
        return matrix if element.ObjectPlacement is not None and np.isfinite(matrix).all() else None

    def storey_of(self, element: Element) -> str | None:
        """Key of the storey an element is contained in or part of; None where the file does not say."""
        seen = 0
        current: Any = element
        while current is not None and seen < 20:
            seen += 1
            if current.is_a("IfcBuildingStorey"):
                return str(current.GlobalId)
            current = _parent(current)
        return None

    def each(self, elements: Iterable[Element], read: Callable[[Element], Iterable[T]]) -> list[T]:
        """What a reader makes of each element; one that is damaged inside is left out and reported."""
        found: list[T] = []
        for element in elements:
            try:
                found += list(read(element))
            except (IntakeError, MemoryError):
                raise
            except Exception:  # a damaged entity fails wherever it is first touched
                self.note(
                    "damage to the file",
                    (f"{element.is_a()} #{element.id()}",),
                    "left out: what the file says of it cannot be read",
                    "save the file again, or draw these by hand",
                    missing=True,
                )
        return found

    def note(self, what: str, where: Iterable[str], assumed: str, correct_by: str, *, missing: bool = False) -> None:
        """Remember a guess."""
        self.assumptions.append(Assumption(what, tuple(where), assumed, correct_by, missing))


def _parent(element: Element) -> Element | None:
    for inverse, attribute in (
        ("ContainedInStructure", "RelatingStructure"),
        ("Decomposes", "RelatingObject"),
        ("FillsVoids", "RelatingOpeningElement"),
        ("VoidsElements", "RelatingBuildingElement"),
    ):
        for relation in getattr(element, inverse, None) or ():
            parent = getattr(relation, attribute, None)
            if parent is not None:
                return parent
    return None


def _is_clipped(element: Element) -> bool:
    """True for a solid made by cutting another, directly or in a shared representation."""
    for representation in getattr(element.Representation, "Representations", None) or ():
        for item in representation.Items or ():
            if item.is_a("IfcMappedItem"):
                mapped = getattr(item.MappingSource, "MappedRepresentation", None)
                items = getattr(mapped, "Items", None) or ()
            else:
                items = (item,)
            if any(i.is_a("IfcBooleanResult") for i in items):
                return True
    return False


def _meshes(file: Any, elements: list[Element], library: str) -> Iterator[tuple[int, Mesh]]:
    ifc = ifc_module()
    settings = ifc.geom.settings()
    settings.set("use-world-coords", True)
    settings.set("disable-opening-subtractions", True)
    try:
        iterator = ifc.geom.iterator(settings, file, 1, include=elements, geometry_library=library)
        alive = iterator.initialize()
    except Exception:  # the geometry kernel raises bare RuntimeErrors and worse for shapes it cannot build
        return
    while alive:
        try:
            shape = iterator.get()
            mesh = _mesh(shape.geometry)
            if mesh is not None:
                yield shape.id, mesh
            alive = bool(iterator.next())
        except Exception:
            return


def _mesh(geometry: Any) -> Mesh | None:
    points = np.array(geometry.verts, dtype=float).reshape(-1, 3)
    faces = np.array(geometry.faces, dtype=np.int64).reshape(-1, 3)
    if len(faces) == 0 or not np.isfinite(points).all():
        return None
    clear = np.array([_is_clear(m) for m in geometry.materials], dtype=bool)
    ids = np.array(geometry.material_ids, dtype=np.int64)
    glassy = np.zeros(len(faces), dtype=bool)
    if len(clear) and len(ids) == len(faces):
        glassy = np.where(ids >= 0, clear[np.clip(ids, 0, len(clear) - 1)], False)
    return Mesh(points, faces, glassy)


def _is_clear(material: Any) -> bool:
    try:
        return bool(material.has_transparency()) and float(material.transparency) > 0.3
    except (AttributeError, TypeError):
        return False


def open_ifc(path: Path, *, scale: float | None = None) -> IfcBuilding:
    """Open an IFC file and settle its length unit.

    Parameters
    ----------
    path : Path
        The file.
    scale : float, optional
        Metres in one unit of the file, said by a person; overrides the header. [m]

    Returns
    -------
    IfcBuilding
        The open file.

    Raises
    ------
    IntakeError
        If the file is empty, cut short, or not IFC.
    """
    where = path.name
    if scale is not None and not (math.isfinite(scale) and 1e-6 < scale < 1e4):
        raise InputError(f"the scale must be a positive number of metres in one unit, not {scale:g}", where=where)
    try:
        size = path.stat().st_size
        if size > _MAX_BYTES:
            raise IntakeError(
                f"the file is larger than {_MAX_BYTES // 1_000_000} MB; save only the building", where=where
            )
        text = path.read_bytes()
    except OSError as error:
        raise IntakeError(f"the file cannot be read ({error.strerror or 'no such file'})", where=where) from error
    if not text.strip():
        raise IntakeError("the file is empty; an IFC file was expected", where=where)
    if b"ISO-10303-21" not in text[:4096]:
        raise IntakeError("this is not an IFC file: it does not begin as one", where=where)
    if b"END-ISO-10303-21" not in text[-4096:]:
        raise IntakeError("the file is cut short: its closing line is missing; fetch or save it again", where=where)
    ifc = ifc_module()
    lost = lost_lines(text, ifc, where)
    del text
    try:
        file = ifc.open(str(path))
        products = file.by_type("IfcProduct")
    except Exception as error:  # the parser has no error class of its own
        raise IntakeError(DAMAGED, where=where) from error
    if not products:
        raise IntakeError("the file holds no building: no element in it", where=where)
    building = IfcBuilding(path, file, 1.0)
    if lost:
        building.note(
            "damage to the file",
            (),
            f"read without them: it speaks of {lost} lines that are not in it, so elements may be missing",
            "fetch or save the file again",
            missing=True,
        )
    _settle_unit(building, scale)
    return building


def _header_scale(building: IfcBuilding) -> float | None:
    try:
        value = float(ifc_module().util.unit.calculate_unit_scale(building.file))
    except Exception:  # a damaged unit assignment fails in as many ways as there are attributes
        return None
    named = any(
        getattr(u, "UnitType", None) == "LENGTHUNIT"
        for a in building.all_of("IfcUnitAssignment")
        for u in (getattr(a, "Units", None) or ())
    )
    return value if named and math.isfinite(value) and value > 0.0 else None


def _raw(values: Iterable[Any]) -> list[float]:
    return [float(v) for v in values if isinstance(v, int | float) and math.isfinite(v) and v > 0.0]


def _plausible(building: IfcBuilding, scale: float) -> bool | None:
    """Whether doors and walls have the size of doors and walls at a scale; None where the file has neither."""
    for values, (low, high) in _yardsticks(building):
        if values:
            return low <= statistics.median(values) * scale <= high
    return None


def _yardsticks(building: IfcBuilding) -> Iterator[tuple[list[float], tuple[float, float]]]:
    doors = building.all_of("IfcDoor")
    yield _raw(d.OverallHeight for d in doors), _DOOR_HEIGHT_M
    yield _raw(d.OverallWidth for d in doors), _DOOR_WIDTH_M
    depths: list[float] = []
    for wall in building.all_of("IfcWall")[:60]:
        for representation in getattr(wall.Representation, "Representations", None) or ():
            for item in representation.Items or ():
                while item.is_a("IfcBooleanResult"):
                    item = item.FirstOperand
                if (
                    item.is_a("IfcExtrudedAreaSolid")
                    and abs((item.ExtrudedDirection.DirectionRatios or (0, 0, 1))[-1]) > 0.9
                ):
                    depths.append(item.Depth)
    yield _raw(depths), _WALL_HEIGHT_M


def _settle_unit(building: IfcBuilding, given: float | None) -> None:
    header = _header_scale(building)
    if given is not None:
        believed = given
    elif header is not None and _plausible(building, header) is not False:
        believed = header
    else:
        fits = [(name, s) for name, s in _UNITS if _plausible(building, s)]
        if fits:
            name, believed = fits[0]
            said = "names no length unit" if header is None else f"says one unit is {header:g} m"
            building.note(
                "length unit",
                (),
                f"{name} ({believed:g} m): the header {said}, but doors and walls would not have their size by it",
                "give --scale with the metres in one unit of the file",
            )
        elif header is not None:
            believed = header
        else:
            believed = 1.0
            building.note(
                "length unit", (), "metre: the file names none", "give --scale with the metres in one unit of the file"
            )
    if header is None or abs(believed / header - 1.0) > 1e-9:
        _rewrite_unit(building, believed)
    building.scale = believed


def _rewrite_unit(building: IfcBuilding, metres: float) -> None:
    """Put the believed unit into the open file (never on disk), so that the geometry kernel works at true size."""
    file = building.file
    metre = file.create_entity("IfcSIUnit", UnitType="LENGTHUNIT", Name="METRE")
    zeros = (1, 0, 0, 0, 0, 0, 0)
    unit = file.create_entity(
        "IfcConversionBasedUnit",
        Dimensions=file.create_entity("IfcDimensionalExponents", *zeros),
        UnitType="LENGTHUNIT",
        Name="as believed",
        ConversionFactor=file.create_entity(
            "IfcMeasureWithUnit",
            ValueComponent=file.create_entity("IfcLengthMeasure", metres),
            UnitComponent=metre,
        ),
    )
    assignments = building.all_of("IfcUnitAssignment")
    if not assignments:
        assignments = [file.create_entity("IfcUnitAssignment", Units=[unit])]
        for project in building.all_of("IfcProject"):
            project.UnitsInContext = assignments[0]
    for assignment in assignments:
        others = [u for u in (assignment.Units or ()) if getattr(u, "UnitType", None) != "LENGTHUNIT"]
        assignment.Units = [*others, unit]


def site_north(building: IfcBuilding) -> float | None:
    """Direction of true north on plan, anticlockwise from +x, or None. A malformed one is mended or reported. [rad]

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    """
    for context in building.all_of("IfcGeometricRepresentationContext"):
        if context.is_a("IfcGeometricRepresentationSubContext") or context.TrueNorth is None:
            continue
        ratios = [float(v) for v in (context.TrueNorth.DirectionRatios or ())]
        fix = "set the direction of north in the job"
        if len(ratios) == 3 and ratios[0] == 2.0 and math.hypot(*ratios[1:]) > 0.99:
            # A known slip of exporters: the count of the list was written as its first member.
            building.note("north", (), "the file gives three numbers, the first a count; the other two were taken", fix)
            ratios = ratios[1:]
        elif len(ratios) == 3 and abs(ratios[2]) > 1e-6:
            building.note("north", (), "not known: the file's direction of north leaves the plan", fix, missing=True)
            return None
        if len(ratios) < 2 or not all(map(math.isfinite, ratios)) or math.hypot(*ratios[:2]) < 1e-6:
            building.note("north", (), "not known: the file's direction of north has no length", fix, missing=True)
            return None
        return math.atan2(ratios[1], ratios[0])
    return None


def site_position(building: IfcBuilding) -> tuple[float | None, float | None]:
    """Latitude and longitude of the site in degrees; None where the file does not say or says nonsense.

    Parameters
    ----------
    building : IfcBuilding
        The open file.
    """
    for site in building.all_of("IfcSite"):
        latitude, longitude = _degrees(site.RefLatitude), _degrees(site.RefLongitude)
        if latitude is None and longitude is None:
            continue
        if latitude is None or longitude is None or abs(latitude) > 90.0 or abs(longitude) > 180.0:
            building.note(
                "place on earth", (), "not known: latitude or longitude is impossible", "type them in", missing=True
            )
            return None, None
        return latitude, longitude
    return None, None


def _degrees(parts: Any) -> float | None:
    """Compound plane angle: degrees, minutes, seconds and millionths of a second, all of one sign."""
    if not parts or len(parts) < 3:
        return None
    sizes = (1.0, 60.0, 3600.0, 3.6e9)
    return sum(float(p) / s for p, s in zip(parts, sizes, strict=False))


def heading(matrix: NDArray[np.float64], axis: int = 0) -> XY | None:
    """Unit vector on plan of one axis of a placement; None where the axis stands upright.

    Parameters
    ----------
    matrix : ndarray
        Placement, 4 by 4.
    axis : int
        0, 1 or 2 for x, y or z.
    """
    x, y = float(matrix[0, axis]), float(matrix[1, axis])
    length = math.hypot(x, y)
    return None if length < 0.2 else (x / length, y / length)
