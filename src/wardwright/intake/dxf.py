"""A building from a DXF drawing: unit, walls, openings, rooms and their names, each decided from what is drawn."""

import math
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

from wardwright.errors import IntakeError
from wardwright.intake.draft import Draft, DraftStair, DraftStorey
from wardwright.intake.dxf_layers import Meaning
from wardwright.intake.dxf_levels import Level, levels_in, stair_outlines
from wardwright.intake.dxf_scale import drawing_scale, extent_of, like_walls
from wardwright.intake.dxf_storey import Drawn, drawn_storey
from wardwright.intake.dxf_strokes import Sheet, in_metres, read_sheet
from wardwright.intake.report import Report
from wardwright.intake.rooms_from_walls import rings_of
from wardwright.intake.unit_evidence import Scale, scale_given
from wardwright.intake.wall_axes import polygons_of

FAR_M = 500.0
"""A plan further from the origin than this is moved. [m]"""
MOST_WALL_LINES = 12_000
LARGEST_HOUSE_M = 1000.0
STOREY_HEIGHT_M = 2.8
"""Floor to floor where a drawing shows several storeys and no heights: common practice, no source. [m]"""


def read_dxf(path: Path, *, scale: float | None = None, unit: str | None = None) -> Draft:
    """Read a floor plan from a DXF file.

    Parameters
    ----------
    path : Path
        The drawing.
    scale : float, optional
        Metres per drawing unit. Overrides the header and the evidence.
    unit : str, optional
        Name of the drawing unit. Overrides the header and the evidence.

    Returns
    -------
    Draft
        In metres: walls with thickness, openings with leaves, rooms with names, and every guess. One storey, unless
        the drawing evidently shows several.

    Raises
    ------
    IntakeError
        If the file is no floor plan, or no unit can be found.
    """
    path = Path(path)
    given = scale_given(scale, unit, where=path.name)
    sheet = read_sheet(path)
    report = Report()
    walls = [s for s in sheet.strokes if s.meaning is Meaning.WALL]
    named = bool(walls)
    if not named:
        walls = [s for s in sheet.strokes if s.meaning is Meaning.UNKNOWN]
    outlines = [s for s in sheet.strokes if s.meaning is Meaning.ROOM and s.closed]
    if not walls and not outlines:
        raise IntakeError(f"no walls were found in it ({_layers(sheet)})", where=path.name)
    lines = sum(len(s.points) for s in walls if not s.filled)
    if lines > MOST_WALL_LINES:
        raise IntakeError(
            f"it holds {lines:,} lines that may be walls, more than {MOST_WALL_LINES:,}; save only the floor plan",
            where=path.name,
        )
    if not named and not outlines and not like_walls(walls):
        raise IntakeError(f"no walls were found in it ({_layers(sheet)})", where=path.name)
    found_scale = given or drawing_scale(sheet, walls or outlines, named)
    _note_scale(report, found_scale)
    x0, y0, x1, y1 = extent_of(walls or outlines)
    size = max(x1 - x0, y1 - y0) * found_scale.metres_per_unit
    if not 1.5 <= size <= LARGEST_HOUSE_M:
        raise IntakeError(
            f"what is drawn is {size:.3g} m across in {found_scale.name}, which is no building; "
            "give --scale (metres per drawing unit) or --unit",
            where=path.name,
        )
    far = max(abs(c) for c in (x0, y0, x1, y1)) * found_scale.metres_per_unit > FAR_M
    origin = (math.floor(x0), math.floor(y0)) if far else (0.0, 0.0)
    if far:
        report.add(
            "position", (), f"the plan lies far from the drawing's origin; {origin[0]:g}, {origin[1]:g} became 0, 0",
            "nothing to do, unless several files must fit together",
        )  # fmt: skip
    plan = in_metres(sheet, found_scale.metres_per_unit, origin)
    _note_sheet(report, sheet)
    wanted = Meaning.WALL if named else Meaning.UNKNOWN
    levels = levels_in(plan, [s for s in plan.strokes if s.meaning is wanted])
    return _drafted(report, levels, named, path)


def _drafted(report: Report, levels: Sequence[Level], named: bool, path: Path) -> Draft:
    several = len(levels) > 1
    storeys: list[DraftStorey] = []
    drawn: list[Drawn] = []
    for level in levels:
        key = f"level_{level.number}".replace("-", "b") if several else "ground"
        storeys.append(DraftStorey(key, level.name, level.number * STOREY_HEIGHT_M))
        drawn.append(drawn_storey(report, level.sheet, key, f"{key}_" if several else "", named))
    if not any(d.rooms for d in drawn):
        if named:
            raise IntakeError(
                "its walls close off no room: they are too far apart where they should meet, or stand alone",
                where=path.name,
            )
        raise IntakeError(
            f"no walls that enclose a room were found in it ({_layers(levels[0].sheet)})", where=path.name
        )
    if several:
        _note_levels(report, levels)
    else:
        report.add("storeys", (), "the drawing was read as one storey", "give each storey a file of its own")
    return Draft(
        name=path.stem,
        source=f"{path.name} (DXF)",
        storeys=tuple(storeys),
        walls=tuple(w for d in drawn for w in d.walls),
        rooms=tuple(r for d in drawn for r in d.rooms),
        openings=tuple(o for d in drawn for o in d.openings),
        stairs=_stairs(report, levels, storeys),
        assumptions=report.renamed({}),
    )


def _note_levels(report: Report, levels: Sequence[Level]) -> None:
    names = tuple(v.name for v in levels)
    report.add(
        "storeys", names, f"{len(levels)} told apart by title or layer, {STOREY_HEIGHT_M:g} m from floor to floor",
        "measure the storey heights",
    )  # fmt: skip
    if any(v.moved != (0.0, 0.0) for v in levels):
        report.add(
            "storeys over each other", names, "plans drawn side by side were stacked by their lower left corners",
            "check one wall that runs through all storeys",
        )  # fmt: skip


def _stairs(report: Report, levels: Sequence[Level], storeys: Sequence[DraftStorey]) -> tuple[DraftStair, ...]:
    found: list[DraftStair] = []
    for k, (lower, upper) in enumerate(pairwise(levels)):
        above = stair_outlines(upper.sheet)
        for n, shape in enumerate(stair_outlines(lower.sheet), start=1):
            if above and not any(shape.intersects(other) for other in above):
                continue
            outline, _ = rings_of(max(polygons_of(shape), key=lambda p: p.area))
            name = f"stair {len(found) + 1}"
            found.append(DraftStair(f"stair_{k}_{n}", name, storeys[k].key, storeys[k + 1].key, outline))
    if len(levels) > 1 and not found:
        report.add(
            "stairs", (), "none could be found in the drawing", "draw the stair, with its foot and its head",
            missing=True,
        )  # fmt: skip
    return tuple(found)


def _note_scale(report: Report, scale: Scale) -> None:
    if scale.reasons == ("given",):
        return
    assumed = f"{scale.name} ({'; '.join(scale.reasons)})"
    if scale.overruled:
        assumed += f"; the header says {scale.overruled}, which was not believed"
    report.add("length unit", (), assumed, "give --unit or --scale; check with one measured wall")


def _note_sheet(report: Report, sheet: Sheet) -> None:
    if sheet.mended:
        report.add(
            "damaged file", (), f"{sheet.mended} faults in the file were mended while reading",
            "save the drawing again as DXF and compare",
        )  # fmt: skip
    if sheet.unread:
        report.add(
            "unreadable parts", (), f"{sheet.unread} drawn things could not be read and were left out",
            "look whether something is missing", missing=True,
        )  # fmt: skip
    if sheet.missing_references:
        names = ", ".join(sheet.missing_references[:5])
        report.add(
            "attached drawings", sheet.missing_references[:5], f"the drawing refers to other files ({names}), not read",
            "bind them into the drawing and save it again", missing=True,
        )  # fmt: skip
    if sheet.hidden_layers:
        report.add(
            "hidden layers", sheet.hidden_layers[:8], "layers switched off or frozen were left out",
            "switch them on and save again, if they belong to the building", missing=True,
        )  # fmt: skip


def _layers(sheet: Sheet) -> str:
    names = sheet.layers[:12]
    if not names:
        return "nothing but texts is drawn"
    listed = ", ".join(names)
    return f"layers: {listed}; expected walls on a layer whose name says so, or pairs of lines that enclose rooms"
