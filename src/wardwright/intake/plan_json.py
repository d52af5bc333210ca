"""Floor plans as JSON polygons: elements by kind, walls with slabs, or an outline with holes."""

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.errors import IntakeError
from wardwright.intake.draft import Draft, DraftOpening, DraftRoom, DraftStorey, DraftWall
from wardwright.intake.lengths import UNITS_M
from wardwright.intake.plan_json_elements import from_elements
from wardwright.intake.plan_json_parts import (
    STOREY,
    Reading,
    check_size,
    chosen_plan,
    drafted_walls,
    list_in,
    loaded,
    positive,
    scaled,
    settle_scale,
    shape_of,
    short,
    short_side,
    stated_unit,
)
from wardwright.intake.rooms_from_walls import rings_of
from wardwright.intake.unit_evidence import NO_UNIT, Clue, Scale, infer_scale, scale_given
from wardwright.intake.wall_axes import closed_up, grown, polygons_of, wall_axes, without_slivers
from wardwright.intake.wall_gaps import wall_gaps
from wardwright.premises.openings import OpeningKind

_FACADE_M = 0.20


def read_plan_json(
    path: Path, *, plan: str | None = None, scale: float | None = None, unit: str | None = None
) -> Draft:
    """Read one floor plan from a JSON file of polygons.

    Parameters
    ----------
    path : Path
        A file that holds one plan, or a collection of them.
    plan : str, optional
        Id of the plan wanted, for a collection.
    scale : float, optional
        Metres per unit of the file. Overrides whatever the file says.
    unit : str, optional
        Name of the file's unit. Overrides whatever the file says.

    Returns
    -------
    Draft
        Walls, rooms and openings in metres, with every adaptation listed.

    Raises
    ------
    IntakeError
        If the file is no such plan, an element cannot be used, or no unit can be found.
    """
    path = Path(path)
    chosen, name = chosen_plan(loaded(path), plan, path.name)
    where = f"{path.name}, plan {name}" if name else path.name
    given = scale_given(scale, unit, where=where)
    reading = Reading(where)
    elements = chosen.get("elements")
    if isinstance(elements, Mapping):
        draft = from_elements(reading, chosen, elements, given)
    elif "walls" in chosen:
        draft = _from_walls(reading, chosen, given)
    elif "outline" in chosen:
        draft = _from_outline(reading, chosen, given, name)
    else:
        raise IntakeError("no plan is in it; expected an object with “elements”, “walls” or “outline”", where=where)
    walls, rooms, openings = draft
    return Draft(
        name=name or path.stem,
        source=f"{path.name} (JSON polygons)",
        storeys=(DraftStorey(STOREY, "ground floor", 0.0),),
        walls=tuple(walls),
        rooms=tuple(rooms),
        openings=tuple(openings),
        assumptions=tuple(reading.notes),
    )


def _from_walls(
    reading: Reading, plan: Mapping[str, Any], given: Scale | None
) -> tuple[list[DraftWall], list[DraftRoom], list[DraftOpening]]:
    listed = plan["walls"]
    if not isinstance(listed, list) or not listed:
        raise IntakeError("“walls” holds no wall; expected a list of wall outlines", where=reading.where)
    bodies: list[BaseGeometry] = []
    for k, entry in enumerate(listed):
        name = f"wall {entry.get('id', k + 1)}" if isinstance(entry, Mapping) else f"wall {k + 1}"
        if isinstance(entry, Mapping):
            _check_figures(reading, entry, name)
        shape = shape_of(reading, entry, name)
        if not shape.is_empty:
            bodies.append(shape)
    if not bodies:
        raise IntakeError("none of the walls has an outline that can be used", where=reading.where)
    slabs = [
        shape_of(reading, s, f"slab {k}") for k, s in enumerate(list_in(reading, plan.get("slabs"), "slabs"), start=1)
    ]
    if given is None:
        x0, y0, x1, y1 = shapely.union_all(bodies).bounds
        clues = [
            Clue("the walls' thicknesses", tuple(short_side(b.minimum_rotated_rectangle) for b in bodies), 0.04, 0.8),
            Clue("the plan's overall size", (max(x1 - x0, y1 - y0),), 2.0, 500.0),
        ]
        stated = stated_unit(plan)
        settle_scale(reading, infer_scale([], clues, stated, where=reading.where), stated is not None)
    else:
        settle_scale(reading, given, True)
    check_size(reading, bodies)
    solid = scaled(shapely.union_all(bodies), reading.scale)
    solid = closed_up(solid, 0.01)
    floor = scaled(shapely.union_all([s for s in slabs if not s.is_empty]), reading.scale) if slabs else Polygon()
    facade = _facade(floor, solid)
    if facade.area > 0.0:
        reading.note(
            "outside wall", ("the slab's edge",),
            f"where the slab's edge has no wall a light outside wall of {_FACADE_M:g} m was set; "
            "what is in it (windows, doors) is not known",
            "survey the outside walls and their openings",
        )  # fmt: skip
    whole = closed_up(shapely.union_all([solid, facade]), 0.01)
    axes = wall_axes(whole)
    gaps = wall_gaps(axes, whole)
    if gaps:
        widths = f"{gaps[0].width:.2f} to {gaps[-1].width:.2f} m"
        reading.note(
            "doorways", tuple(f"gap_{k}" for k in range(1, len(gaps) + 1)),
            f"{len(gaps)} gaps in walls, {widths} wide, were taken for doorways without a leaf",
            "say which of them have a door",
        )  # fmt: skip
    openings = [
        DraftOpening(f"gap_{k}", STOREY, f"gap {k}", OpeningKind.PASSAGE, g.centre, g.along, g.width, sill_m=0.0)
        for k, g in enumerate(gaps, start=1)
    ]
    closed = shapely.union_all([whole, *(g.strip() for g in gaps)])
    return drafted_walls(wall_axes(closed), solid if facade.area else None), [], openings


def _check_figures(reading: Reading, entry: Mapping[str, Any], name: str) -> None:
    for key in ("thickness", "angle", "length"):
        value = entry.get(key)
        if value is not None and (
            isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value)
        ):
            reading.note(
                key, (name,), f"the file says {short(value)}, not a number: taken from the outline instead",
                f"correct the {key} of this wall",
            )  # fmt: skip


def _facade(floor: BaseGeometry, solid: BaseGeometry) -> BaseGeometry:
    """A band along the slab's edge wherever no wall stands there."""
    if floor.is_empty:
        return Polygon()
    inner = grown(floor, -_FACADE_M)
    band = floor.difference(inner).difference(solid)
    band = without_slivers(band, 0.05)
    return shapely.union_all([p for p in polygons_of(band) if p.area > 0.5 * _FACADE_M * 0.3])


def _from_outline(
    reading: Reading, plan: Mapping[str, Any], given: Scale | None, name: str
) -> tuple[list[DraftWall], list[DraftRoom], list[DraftOpening]]:
    shape = shape_of(reading, {"ring": plan["outline"], "holes": plan.get("holes")}, "outline")
    if shape.is_empty:
        raise IntakeError("the outline has no area", where=reading.where)
    if given is None:
        stated = stated_unit(plan)
        area = positive(plan.get("net_area_m2"))
        if stated is None and area is None:
            raise IntakeError(NO_UNIT, where=reading.where)
        if stated is None and area is not None:
            factor = math.sqrt(area / shape.area)
            given = Scale(factor, f"1 unit = {factor:.4g} m", (f"the stated net area of {area:g} m²",))
            settle_scale(reading, given, False)
        elif stated is not None:
            settle_scale(reading, Scale(UNITS_M[stated], stated, ("stated",)), True)
    else:
        settle_scale(reading, given, True)
    check_size(reading, [shape])
    plain = scaled(shape, reading.scale)
    outer, holes = rings_of(max(polygons_of(plain), key=lambda p: p.area), tolerance=0.0)
    reading.note(
        "walls", (), "the file gives outlines only; walls are put up round them, openings are not known",
        "survey the openings", missing=True,
    )  # fmt: skip
    return [], [DraftRoom("room_1", STOREY, name or "room", outer, holes)], []
