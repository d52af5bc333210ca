"""A tape survey: a short plain-text form, written walking round, read as premises.

The form is described in ``docs/guide/tape-survey.md``. Everything wrong with it is reported at once, by line and room;
everything that had to be guessed comes back as an assumption that says what to measure.
"""

import math
from dataclasses import replace
from pathlib import Path

from wardwright.errors import InputError, IntakeError
from wardwright.intake.draft import Assumption, Draft, DraftOpening, DraftRoom, DraftStorey, DraftWall
from wardwright.intake.tape_adjoining import INNER_M, pair_doors, walls_said
from wardwright.intake.tape_contents import OUTER_M, Placed, key_of, read_contents
from wardwright.intake.tape_form import Form, Slips, read_form
from wardwright.intake.tape_layout import Layout, lay_out
from wardwright.intake.tape_placed import slab_openings, wall_openings
from wardwright.intake.tape_rooms import Edge, Outline, outline_of
from wardwright.intake.walls_from_rooms import walls_from_rooms
from wardwright.model import XY
from wardwright.premises.fabric import Layer
from wardwright.premises.openings import NEIGHBOUR, OUTSIDE

FLOOR_M, STOREY_M = 0.25, 2.40
"""Thickness of floors, and clear height, where the form does not say. [m]"""
MOST_TOLD = 30
"""Slips listed at once."""
_LARGEST_BYTES = 1_000_000


def read_tape(path: Path) -> Draft:
    """Read a tape survey from a file.

    Parameters
    ----------
    path : Path
        A plain-text file.

    Returns
    -------
    Draft
        Rooms, walls, openings and contents in metres, with every guess.

    Raises
    ------
    IntakeError
        If it cannot be read; the message lists every line that needs mending.
    """
    where = path.name
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise IntakeError("the file is far too long for a tape survey", where=where)
        raw = path.read_bytes()
    except OSError as error:
        raise IntakeError(f"the file cannot be read ({error.strerror or 'no such file'})", where=where) from error
    if b"\0" in raw:
        raise IntakeError("this is not plain text; save the survey as a text file", where=where)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("cp1252", errors="replace")
    return read_tape_text(text, where)


def read_tape_text(text: str, source: str = "tape survey") -> Draft:
    """Read a tape survey from its text.

    Parameters
    ----------
    text : str
        The form.
    source : str
        What to call it in messages.

    Returns
    -------
    Draft
        As :func:`read_tape`.

    Raises
    ------
    IntakeError
        As :func:`read_tape`.
    """
    form, slips = read_form(text)
    notes: list[Assumption] = []
    outlines = _outlines(form, notes, slips)
    found, slabs, relations, beyond = walls_said(form, outlines, notes, slips)
    relations += pair_doors(found, form.inner[0] if form.inner else INNER_M, notes)
    layout = lay_out(form, outlines, relations, slips)
    _stop_if_any(slips, source)
    levels, heights = _levels(form, notes)
    taken: set[str] = {OUTSIDE, NEIGHBOUR}
    storeys = [
        DraftStorey(key_of(f"storey {s.name}", taken), s.name, level, height)
        for s, level, height in zip(form.storeys, levels, heights, strict=True)
    ]
    placed = {
        r.name: Placed(r, key_of(r.name, taken), storeys[r.storey].key, outlines[r.name], layout.corner[r.name])
        for r in form.rooms
    }
    rooms = tuple(_draft_room(p, layout) for p in placed.values())
    openings = wall_openings(form, found, placed, taken, notes, slips)
    openings += slab_openings(slabs, placed, heights, form, taken, notes, slips)
    contents = read_contents(form, placed, levels, taken, slips)
    _stop_if_any(slips, source)
    return Draft(
        name=form.name or Path(source).stem,
        source=f"{source} (tape survey)",
        storeys=tuple(storeys),
        walls=_walls(form, rooms, openings, beyond, placed, notes),
        rooms=rooms,
        openings=tuple(openings),
        stairs=tuple(contents.stairs),
        obstacles=tuple(contents.obstacles),
        standings=tuple(contents.standings),
        heat=tuple(contents.heat),
        assumptions=(*notes, *layout.notes, *contents.notes),
        north_rad=_north_rad(form),
        survey="approximate",
        beds=tuple(contents.beds),
        pets=tuple(contents.pets),
        people=tuple(contents.people),
        targets=tuple(contents.targets),
        ground_m=form.ground_m,
    )


def _stop_if_any(slips: Slips, source: str) -> None:
    told = slips.sentences
    if len(told) == 1:
        raise IntakeError(told[0], where=source)
    if told:
        more = f"\n  and {len(told) - MOST_TOLD} more" if len(told) > MOST_TOLD else ""
        listed = "\n  ".join(told[:MOST_TOLD])
        raise IntakeError(f"{len(told)} lines need mending:\n  {listed}{more}", where=source)


def _outlines(form: Form, notes: list[Assumption], slips: Slips) -> dict[str, Outline]:
    outlines = {}
    for room in form.rooms:
        try:
            outline = outline_of(room)
        except InputError as error:
            if not room.spoilt:
                slips.add(room.walls_line or room.line, room.name, error.message)
            continue
        outlines[room.name] = outline
        if outline.short:
            gaps = " and ".join(f"{size:.2f} m short along the {side} wall" for size, side in outline.short)
            opposite = {"north": "south", "west": "east", "south": "north", "east": "west"}
            again = ", ".join(f"{side} and {opposite[side]}" for _, side in outline.short)
            usual = "as a tape will be" if outline.within_tape else "more than a tape is off by"
            notes.append(
                Assumption(
                    f"Room “{room.name}” does not close: {gaps}",
                    (room.name,),
                    f"closed by spreading it over the walls in proportion to their lengths ({usual})",
                    f"measure the {again} walls again (line {room.walls_line})",
                )
            )
        if outline.worked_out:
            told = ", ".join(outline.worked_out)
            notes.append(
                Assumption(
                    "walls not measured",
                    (room.name,),
                    f"worked out from the others: {told}; nothing checks them",
                    f"measure them (line {room.walls_line})",
                )
            )
    return outlines


def _levels(form: Form, notes: list[Assumption]) -> tuple[list[float], list[float]]:
    levels: list[float] = []
    heights: list[float] = []
    floor = FLOOR_M if form.floor_m is None else form.floor_m
    for i, storey in enumerate(form.storeys):
        own = [r.height_m for r in form.rooms if r.storey == i and r.height_m is not None]
        height = storey.height_m or (max(own) if own else STOREY_M)
        if storey.height_m is None and not own:
            text = f"{STOREY_M:.2f} m"
            notes.append(
                Assumption("storey height", (storey.name,), text, f"write “height 2.40” in line {storey.line}")
            )
        level = storey.level_m
        if level is None:
            level = levels[-1] + heights[-1] + floor if levels else 0.0
            if levels and form.floor_m is None:
                text = f"{level:.2f} m: the storey below, its height, and a floor of {FLOOR_M:.2f} m"
                fix = f"write “level 2.70” in line {storey.line}, or “floors: 0.25” at the top"
                notes.append(Assumption("storey level", (storey.name,), text, fix))
        levels.append(level)
        heights.append(height)
    return levels, heights


def _draft_room(p: Placed, layout: Layout) -> DraftRoom:
    room = p.room
    return DraftRoom(
        key=p.key,
        storey_key=p.storey_key,
        name=room.name,
        outline=tuple((round(x, 4), round(y, 4)) for x, y in p.ring),
        height_m=room.height_m,
        use=room.use,
        dwelling=room.dwelling,
        indoors=room.indoors,
        position_assumed=room.name in layout.assumed or not p.outline.within_tape,
        soft_furnished=room.soft,
    )


def _walls(
    form: Form,
    rooms: tuple[DraftRoom, ...],
    openings: list[DraftOpening],
    beyond: dict[tuple[str, int], str],
    placed: dict[str, Placed],
    notes: list[Assumption],
) -> tuple[DraftWall, ...]:
    """Walls round the rooms, as thick as the form says, made of what it says."""
    outer = form.outer or (OUTER_M, "unknown")
    inner = form.inner or (INNER_M, "unknown")
    for said, what, thick in ((form.outer, "outside", OUTER_M), (form.inner, "inside", INNER_M)):
        if said is None:
            fix = f"write “{what} walls: 0.30, brick” at the top"
            notes.append(Assumption(f"thickness of {what} walls", (), f"{thick:.2f} m, material not known", fix))
    walls = walls_from_rooms(rooms, openings, outer_thickness_m=outer[0])
    shared = [
        p.edges[[e.number for e in p.outline.edges].index(number)]
        for (name, number), what in beyond.items()
        if what == NEIGHBOUR
        for p in (placed[name],)
    ]
    made = []
    for wall in walls:
        edge = next((e for e in shared if wall.outside and _runs_along(wall, e)), None)
        thick, material = outer if wall.outside else inner
        if edge is not None:
            wall, material = _as_party(wall, edge, form.party or outer, outer[0])
            thick = (form.party or outer)[0]
        thick = wall.thickness_m or thick
        layers = () if material == "unknown" else (Layer(material=material, thickness_m=thick),)
        made.append(
            replace(wall, layers=layers, construction_name=f"{material} {thick * 1000:.0f} mm" if layers else "")
        )
    return tuple(made)


def _runs_along(wall: DraftWall, edge: Edge) -> bool:
    (x0, y0), (x1, y1) = wall.axis[0], wall.axis[-1]
    x, y = (x0 + x1) / 2 - edge.start[0], (y0 + y1) / 2 - edge.start[1]
    on, out = x * edge.along[0] + y * edge.along[1], x * edge.outward[0] + y * edge.outward[1]
    slant = abs((x1 - x0) * edge.along[1] - (y1 - y0) * edge.along[0])
    return slant < 0.05 and 0.0 <= on <= edge.length and abs(out - (wall.thickness_m or 0.0) / 2) < 0.05


def _as_party(wall: DraftWall, edge: Edge, party: tuple[float, str], outer_m: float) -> tuple[DraftWall, str]:
    """The wall shared with the neighbour: not outside, and as thick as party walls are."""
    shift = (party[0] - outer_m) / 2
    nx, ny = edge.outward
    axis: tuple[XY, ...] = tuple((x + nx * shift, y + ny * shift) for x, y in wall.axis)
    return replace(wall, axis=axis, thickness_m=party[0], party=True, outside=False), party[1]


def _north_rad(form: Form) -> float | None:
    if form.north is None:
        return None
    way, angle = form.north
    if angle:
        return math.pi / 2 + math.radians(angle if way == "left" else -angle)
    return {"up": math.pi / 2, "right": 0.0, "down": -math.pi / 2, "left": math.pi}[way]
