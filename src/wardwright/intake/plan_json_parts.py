"""The parts of a JSON plan: the file, the plan chosen in it, rings checked point by point, the scale, the report."""

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.errors import InputError, IntakeError, SeveralPlansError
from wardwright.intake.draft import Assumption, DraftWall
from wardwright.intake.lengths import unit_named
from wardwright.intake.unit_evidence import Scale
from wardwright.intake.wall_axes import Axis, polygons_of
from wardwright.model import XY

LARGEST_FILE = 200_000_000
STOREY = "ground"
SMALLEST_M, LARGEST_M = 1.5, 1000.0
"""Nothing smaller or larger across is a building. [m]"""


@dataclass
class Reading:
    """One plan being read: its scale once known, and the report."""

    where: str
    scale: float = 1.0
    notes: list[Assumption] = field(default_factory=list)

    def note(self, what: str, where: Sequence[str], assumed: str, correct_by: str, *, missing: bool = False) -> None:
        """Remember one guess."""
        self.notes.append(Assumption(what, tuple(where), assumed, correct_by, missing))


def loaded(path: Path) -> Any:
    """The JSON in a file, or one sentence why there is none."""
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise IntakeError(f"the file is larger than {LARGEST_FILE // 1_000_000} MB", where=path.name)
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise IntakeError(f"the file cannot be opened ({error.strerror})", where=path.name) from None
    except UnicodeDecodeError:
        raise IntakeError("the file is not text, so it is not JSON", where=path.name) from None
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        raise IntakeError(
            f"the file is not whole JSON: {error.msg} at line {error.lineno}, column {error.colno}", where=path.name
        ) from None
    except (RecursionError, ValueError):
        raise IntakeError(
            "the file is nested too deeply or holds a number too long to be a plan", where=path.name
        ) from None


def chosen_plan(data: Any, plan: str | None, file: str) -> tuple[Mapping[str, Any], str]:
    """The plan asked for, and its id."""
    plans = data.get("plans") if isinstance(data, Mapping) else data
    if isinstance(data, Mapping) and not isinstance(plans, list):
        own = data.get("id")
        name = str(own) if isinstance(own, str | int) else ""
        if plan is not None and plan != name:
            raise IntakeError(
                f"there is no plan “{plan}” in it; it holds one plan, “{name or 'without an id'}”", where=file
            )
        return data, name
    if not isinstance(plans, list):
        raise IntakeError("no plan is in it; expected a JSON object or a list of plans", where=file)
    held = {str(p.get("id", k + 1)): p for k, p in enumerate(plans) if isinstance(p, Mapping)}
    if not held:
        raise IntakeError("the collection holds no plan", where=file)
    if plan is None and len(held) == 1:
        plan = next(iter(held))
    ids = ", ".join(list(held)[:60]) + (", …" if len(held) > 60 else "")
    if plan is None:
        raise SeveralPlansError(list(held), where=file)
    if plan not in held:
        raise IntakeError(f"there is no plan “{plan}” in it; it holds {ids}", where=file)
    return held[plan], plan


def _ring(reading: Reading, value: Any, element: str) -> list[XY]:
    """Points of a ring as they stand in the file, checked one by one. [file units]"""
    if not isinstance(value, Sequence) or isinstance(value, str):
        raise IntakeError(f"{element}: expected a list of points", where=reading.where)
    points: list[XY] = []
    for k, p in enumerate(value, start=1):
        ok = isinstance(p, Sequence) and not isinstance(p, str) and len(p) >= 2
        if not ok or not all(isinstance(c, int | float) and not isinstance(c, bool) for c in p[:2]):
            raise IntakeError(f"{element}: point {k} is {short(p)}; expected two numbers", where=reading.where)
        try:
            x, y = float(p[0]), float(p[1])
        except OverflowError:
            x = y = math.inf
        if not (math.isfinite(x) and math.isfinite(y)) or max(abs(x), abs(y)) > 1e9:
            raise IntakeError(
                f"{element}: point {k} is {short(p)}, which is no place on a plan; expected two finite numbers",
                where=reading.where,
            )
        if not points or math.dist((x, y), points[-1]) > 1e-9:
            points.append((x, y))
    if len(points) > 1 and math.dist(points[0], points[-1]) <= 1e-9:
        points.pop()
    return points


def list_in(reading: Reading, value: Any, element: str) -> Sequence[Any]:
    """A list as it stands in the file; empty where there is none."""
    if value is None:
        return ()
    if not isinstance(value, Sequence) or isinstance(value, str):
        raise IntakeError(f"{element}: expected a list of outlines", where=reading.where)
    return value


def check_size(reading: Reading, shapes: Iterable[BaseGeometry]) -> None:
    """Refuse what is no building at the scale taken. Shapes in file units."""
    x0, y0, x1, y1 = shapely.union_all([s.envelope for s in shapes if not s.is_empty]).bounds
    size = max(x1 - x0, y1 - y0) * reading.scale
    if not SMALLEST_M <= size <= LARGEST_M:
        raise IntakeError(
            f"what is drawn would be {size:.3g} m across, which is no building; give --scale or --unit",
            where=reading.where,
        )


def short(value: Any) -> str:
    """A value for a message, not too long."""
    text = str(value)
    return text if len(text) <= 40 else text[:39] + "…"


def shape_of(reading: Reading, value: Any, element: str) -> BaseGeometry:
    """A polygon with holes, mended where its ring crosses itself. [file units]"""
    holes: list[list[XY]] = []
    if isinstance(value, Mapping):
        ring = next((value[k] for k in ("ring", "outline", "polygon", "points", "exterior") if k in value), None)
        listed = list_in(reading, value.get("holes"), f"{element}, holes")
        holes = [_ring(reading, h, f"{element}, hole {k}") for k, h in enumerate(listed, start=1)]
    else:
        ring = value
    points = _ring(reading, ring, element)
    if len(points) < 3:
        raise IntakeError(f"{element}: {len(points)} different points do not make an outline", where=reading.where)
    shape: BaseGeometry = Polygon(points, [h for h in holes if len(h) >= 3])
    if not shape.is_valid:
        mended = polygons_of(shapely.make_valid(shape))
        shape = shapely.union_all(mended) if mended else Polygon()
        reading.note(
            "outline crosses or touches itself",
            (element,),
            "the areas it encloses were kept (of a room: the largest)",
            "redraw the outline of this element",
        )
    if shape.area <= 0.0:
        reading.note("outline without area", (element,), "left out", "redraw the outline of this element", missing=True)
        return Polygon()
    return shape


def shapes_of(reading: Reading, elements: Mapping[str, Any], kind: str) -> dict[str, BaseGeometry]:
    """Polygons of one kind of element, by key. [file units]"""
    value = elements.get(kind)
    if value is None:
        return {}
    if not isinstance(value, Sequence) or isinstance(value, str):
        raise IntakeError(f"elements.{kind}: expected a list of polygons", where=reading.where)
    found = {f"{kind}_{k}": shape_of(reading, v, f"{kind}_{k}") for k, v in enumerate(value)}
    return {k: s for k, s in found.items() if not s.is_empty}


def scaled(shape: BaseGeometry, factor: float) -> BaseGeometry:
    """A shape in metres. ``factor`` is metres per unit of the file."""
    return shapely.transform(shape, lambda xy: xy * factor)


def box_of(shape: BaseGeometry) -> tuple[XY, float, float, float]:
    """Centre, direction of the long side, long and short side of the smallest turned rectangle round a shape."""
    box = shape.minimum_rotated_rectangle
    if not isinstance(box, Polygon):
        return (shape.centroid.x, shape.centroid.y), 0.0, 0.0, 0.0
    a, b, c, _ = [(float(p[0]), float(p[1])) for p in box.exterior.coords[:4]]
    if math.dist(a, b) < math.dist(b, c):
        a, b = b, c
    along = math.atan2(b[1] - a[1], b[0] - a[0]) % math.pi
    return (box.centroid.x, box.centroid.y), along, math.dist(a, b), short_side(box)


def short_side(box: BaseGeometry) -> float:
    """The shorter side of a rectangle; 0 for what is none."""
    if not isinstance(box, Polygon):
        return 0.0
    a, b, c, _ = [(float(p[0]), float(p[1])) for p in box.exterior.coords[:4]]
    return min(math.dist(a, b), math.dist(b, c))


def settle_scale(reading: Reading, found: Scale, stated: bool) -> None:
    """Take a scale, and report it unless the file states it."""
    reading.scale = found.metres_per_unit
    if stated and not found.overruled:
        return
    spread = f", between {found.low:.3g} and {found.high:.3g}" if found.low is not None else ""
    assumed = f"{found.name}{spread}: {'; '.join(found.reasons)}"
    if found.overruled:
        assumed += f"; the file says {found.overruled}"
    reading.note("length unit", (), assumed, "give --scale (metres per unit) or --unit; check with one measured wall")


def stated_unit(plan: Mapping[str, Any]) -> str | None:
    """The unit a plan names, as a key of ``UNITS_M``; None where it names none."""
    for key in ("units", "unit"):
        value = plan.get(key)
        if isinstance(value, str) and value.strip().lower() not in ("", "none", "unknown", "px", "pixel", "pixels"):
            try:
                return unit_named(value)
            except InputError:
                return None
    return None


def positive(value: Any) -> float | None:
    """A value where it is a positive number, else None."""
    if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value) and value > 0:
        return float(value)
    return None


def drafted_walls(axes: Sequence[Axis], real: BaseGeometry | None = None) -> list[DraftWall]:
    """Walls along axes; those that stand on nothing real are marked as assumed."""
    walls: list[DraftWall] = []
    for number, axis in enumerate(axes, start=1):
        middle = axis.line.interpolate(0.5, normalized=True)
        assumed = real is not None and axis.body().intersection(real).area < 0.5 * axis.body().area
        assumed = assumed and not (real is not None and real.buffer(0.01).contains(middle))
        walls.append(DraftWall(f"wall_{number}", STOREY, axis.points, axis.thickness, assumed=assumed))
    return walls
