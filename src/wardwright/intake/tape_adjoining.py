"""What lies beyond each wall of a tape survey: rooms, the outside, neighbours, and the openings between."""

import re
from dataclasses import dataclass, replace

from pydantic import ValidationError

from wardwright.errors import InputError
from wardwright.intake.draft import Assumption
from wardwright.intake.tape_contents import end_distance
from wardwright.intake.tape_form import SIDES, Form, FormRoom, Slips, length_of, plain, sentence_of
from wardwright.intake.tape_layout import Relation
from wardwright.intake.tape_openings import Words, is_opening, read_opening
from wardwright.intake.tape_rooms import Edge, Outline
from wardwright.premises.openings import NEIGHBOUR, OUTSIDE, OpeningKind

INNER_M = 0.10
"""Thickness of inside walls where the form does not say. [m]"""
_OUTSIDES = {"outside": OUTSIDE, "outdoors": OUTSIDE, "garden": OUTSIDE, "street": OUTSIDE, "yard": OUTSIDE}
_OUTSIDES |= {"neighbour": NEIGHBOUR, "neighbor": NEIGHBOUR, "next door": NEIGHBOUR}


@dataclass
class FoundOpening:
    """An opening in a wall, before rooms are laid out."""

    line: int
    room: FormRoom
    edge: Edge
    words: Words
    to: str | None
    """Name of the room beyond, ``outside``, ``neighbour`` or None."""
    twin: "FoundOpening | None" = None
    """The same door as it was measured from the other room."""
    merged: bool = False


@dataclass(frozen=True)
class SlabOpening:
    """An opening in a floor or ceiling."""

    line: int
    room: FormRoom
    words: Words
    overhead: bool


def walls_said(
    form: Form, outlines: dict[str, Outline], notes: list[Assumption], slips: Slips
) -> tuple[list[FoundOpening], list[SlabOpening], list[Relation], dict[tuple[str, int], str]]:
    """Openings, neighbours and outsides, as the lines under each room say.

    Parameters
    ----------
    form : Form
        The survey as typed.
    outlines : dict of str to Outline
        Closed rooms by name.
    notes : list of Assumption
        Guesses are added.
    slips : Slips
        What makes no sense is added.

    Returns
    -------
    tuple
        Openings in walls; openings in floors and ceilings; what adjoins what; and ``outside`` or ``neighbour`` by room
        and wall number.
    """
    found: list[FoundOpening] = []
    slabs: list[SlabOpening] = []
    relations: list[Relation] = []
    beyond: dict[tuple[str, int], str] = {}
    for room in form.rooms:
        outline = outlines.get(room.name)
        for line in room.lines if outline is not None else ():
            try:
                if line.key in ("ceiling", "floor"):
                    words = read_opening(line.fields or ("",), form.unit)
                    _unread(words, room, line.number, notes)
                    slabs.append(SlabOpening(line.number, room, words, line.key == "ceiling"))
                elif line.wall is not None and outline is not None:
                    edge = outline.wall(line.wall)
                    if is_opening(line.fields[0]) and form.room(_bare(line.fields[0])) is None:
                        words = read_opening(line.fields, form.unit)
                        _unread(words, room, line.number, notes)
                        found.append(FoundOpening(line.number, room, edge, words, destination(form, words.to)))
                    else:
                        _neighbours(form, room, edge, line.number, line.fields, outlines, relations, beyond)
            except (InputError, ValidationError) as error:
                slips.add(line.number, room.name, sentence_of(error))
    for item in found:
        _settle_destination(item, relations, beyond, slips)
        if item.to not in (None, OUTSIDE, NEIGHBOUR) and item.to in outlines:
            pair = {item.room.name, item.to}
            known = any({r.first, r.second} == pair and item.edge in (r.first_edge, r.second_edge) for r in relations)
            if not known:
                try:
                    relations.append(_relation(form, item.room, item.edge, item.to, item.line, outlines, None))
                except InputError as error:
                    slips.add(item.line, item.room.name, error.message)
    return found, slabs, relations, beyond


def _unread(words: Words, room: FormRoom, line: int, notes: list[Assumption]) -> None:
    where = (words.called or f"{room.name}, line {line}",)
    for part in words.unread:
        notes.append(
            Assumption("words not understood", where, f"“{part}” was left out", f"say it otherwise in line {line}")
        )
    for guess in words.guesses:
        notes.append(Assumption("anatomy of an opening", where, guess, f"measure it and write it in line {line}"))


def _bare(text: str) -> str:
    return re.sub(r"^(next to|adjoins|adjoining|beyond is) (the )?", "", plain(text))


def destination(form: Form, name: str | None) -> str | None:
    """Where an opening leads, as its line says: a room's name, ``outside``, ``neighbour``, or None.

    Parameters
    ----------
    form : Form
        The survey as typed.
    name : str or None
        What the line says after ``to``.

    Raises
    ------
    InputError
        If no room has that name.
    """
    if name is None:
        return None
    word = plain(name)
    if word in _OUTSIDES:
        return _OUTSIDES[word]
    room = form.room(name)
    if room is None:
        raise InputError(form.unknown_room(name))
    return room.name


def _neighbours(
    form: Form,
    room: FormRoom,
    edge: Edge,
    line: int,
    fields: tuple[str, ...],
    outlines: dict[str, Outline],
    relations: list[Relation],
    beyond: dict[tuple[str, int], str],
) -> None:
    """``Hall, level at west end``; ``Hall, WC``; ``outside``."""
    last: int | None = None
    for part in fields:
        word = _bare(part)
        if word in _OUTSIDES:
            beyond[room.name, edge.number] = _OUTSIDES[word]
            continue
        where = re.fullmatch(
            r"(?:level at|flush at|flush with|(?:starts |begins )?(?P<by>\S.*?) (?P<way>from|beyond)) (?:the )?"
            r"(?P<end>north|east|south|west|left|right)(?: end| corner)?",
            plain(part),
        )
        if where and last is not None:
            size = length_of(where["by"], form.unit) if where["by"] else 0.0
            size = -size if where["way"] == "beyond" else size
            relation = relations[last]
            room_left = edge.length - relation.second_edge.length
            shift = size if end_distance(edge, where["end"]) else room_left - size
            relations[last] = replace(relation, shift_m=shift, how="the corner measured")
            continue
        other = form.room(word)
        if other is None:
            raise InputError(
                f"{form.unknown_room(part)}; write a room's name, outside, neighbour, an opening, or "
                "“level at west end” after a room's name"
            )
        if other.name not in outlines:
            continue  # that room has a slip of its own
        relations.append(_relation(form, room, edge, other.name, line, outlines, None))
        last = len(relations) - 1


def _relation(
    form: Form, room: FormRoom, edge: Edge, other: str, line: int, outlines: dict[str, Outline], shift: float | None
) -> Relation:
    there = form.room(other)
    if there is None or there.name == room.name:
        raise InputError("a room cannot adjoin itself")
    if there.storey != room.storey:
        raise InputError(f"“{other}” is on another storey; a stair, or a hatch in floor or ceiling, leads there")
    facing = SIDES[(SIDES.index(edge.side) + 4) % 8]
    said = {line.wall.side for line in there.lines if line.wall and _bare(line.fields[0]) == plain(room.name)}
    candidates = [e for e in outlines[other].edges if e.side == facing]
    if not candidates:
        raise InputError(f"“{other}” has no {facing} wall to stand against the {edge.side} wall here")
    if said and facing not in said:
        named = ", ".join(sorted(s for s in said if s))
        raise InputError(
            f"“{other}” cannot lie beyond the {edge.side} wall here: under “{other}” this room lies beyond its {named} "
            f"wall, not its {facing} wall"
        )
    thick = form.inner[0] if form.inner else INNER_M
    return Relation(line, room.name, other, edge, max(candidates, key=lambda e: e.length), thick, shift)


def _settle_destination(
    item: FoundOpening, relations: list[Relation], beyond: dict[tuple[str, int], str], slips: Slips
) -> None:
    """What lies beyond an opening whose line does not say: the one thing its wall is said to adjoin."""
    marked = beyond.get((item.room.name, item.edge.number))
    across = {
        r.second if r.first == item.room.name else r.first
        for r in relations
        if (r.first == item.room.name and r.first_edge == item.edge)
        or (r.second == item.room.name and r.second_edge == item.edge)
    }
    if item.to is None:
        if marked and not across:
            item.to = marked
        elif len(across) == 1 and not marked:
            item.to = next(iter(across))
        elif (
            item.words.final_exit
            or item.words.kind in (OpeningKind.BULKHEAD, OpeningKind.GARAGE_DOOR)
            or (item.words.kind is OpeningKind.WINDOW and not across)
        ):
            item.to = OUTSIDE
        return
    if marked and item.to != marked and not across:
        what = f"the opening in the {item.edge.side} wall is said to lead to “{item.to}”"
        slips.add(item.line, item.room.name, f"{what}, but that wall is said to have {marked} beyond it")


def centre_from_start(item: FoundOpening) -> float | None:
    """Distance of an opening's centre from the start of its wall; None where it was not measured. [m]

    Parameters
    ----------
    item : FoundOpening
        The opening as its line describes it.
    """
    width = item.words.width_m or 0.0
    if item.words.centred:
        return item.edge.length / 2
    if item.words.offset is None:
        return None
    distance, end = item.words.offset
    near = end_distance(item.edge, end)
    return distance + width / 2 if near else item.edge.length - distance - width / 2


def pair_doors(found: list[FoundOpening], thick_m: float, notes: list[Assumption]) -> list[Relation]:
    """Doors that were listed in both rooms become one; measured from both sides they fix how the rooms lie.

    Parameters
    ----------
    found : list of FoundOpening
        All openings in walls; twins are marked.
    thick_m : float
        Thickness of inside walls. [m]
    notes : list of Assumption
        Widths that disagree are added.
    """
    fixed: list[Relation] = []
    for first in found:
        if first.merged or first.to in (None, OUTSIDE, NEIGHBOUR) or first.twin:
            continue
        facing = SIDES[(SIDES.index(first.edge.side) + 4) % 8]
        twins = [
            f
            for f in found
            if f is not first
            and not f.merged
            and f.twin is None
            and f.room.name == first.to
            and f.to == first.room.name
            and f.words.kind is first.words.kind
            and f.edge.side == facing
        ]
        if not twins:
            continue
        width = first.words.width_m
        second = min(twins, key=lambda f: abs((f.words.width_m or 0.0) - (width or 0.0)))
        first.twin, second.merged = second, True
        mine, theirs = first.words, second.words
        if mine.width_m and theirs.width_m and abs(mine.width_m - theirs.width_m) > 0.05:
            notes.append(
                Assumption(
                    "one door measured twice",
                    (first.room.name, second.room.name),
                    f"{mine.width_m:.2f} m wide (line {first.line}); line {second.line} says {theirs.width_m:.2f} m",
                    "measure it again",
                )
            )
        mine.width_m, mine.height_m = mine.width_m or theirs.width_m, mine.height_m or theirs.height_m
        theirs.width_m = mine.width_m
        mine.called, mine.usually = mine.called or theirs.called, mine.usually or theirs.usually
        try:
            a, b = centre_from_start(first), centre_from_start(second)
        except InputError:
            continue  # told again, with its line, where the opening is put in its wall
        if a is not None and b is not None:
            # Walked against each other: b from the second's start is b back from where the second ends.
            shift = a + b - second.edge.length
            how = f"the door measured in lines {first.line} and {second.line}"
            fixed.append(
                Relation(first.line, first.room.name, second.room.name, first.edge, second.edge, thick_m, shift, how)
            )
    return fixed
