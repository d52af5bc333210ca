"""The tape survey's form: lines of plain text turned into what was typed, with every slip collected.

Nothing is drawn here. A line is ``key: words, words``; what follows a hash is a note. Lines that describe a room stand
under its ``room:`` line, indented or not.
"""

import difflib
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from pydantic import ValidationError

from wardwright.errors import InputError
from wardwright.intake.lengths import parse_length
from wardwright.premises.fabric import RoomUse

SIDES = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
"""Walls are named by the side of the room they stand on, clockwise from the top of the page."""
MATERIALS = (
    "plaster and lath",
    "plasterboard",
    "insulation",
    "concrete",
    "timber",
    "brick",
    "block",
    "stone",
    "steel",
    "glass",
    "stud",
)
LONGEST_WALL_M = 100.0
MANY_SLIPS = 3
"""A text without a room and with more slips than this is no tape survey."""
_ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4}


@dataclass
class Slips:
    """Everything wrong with a form, each with its line and room."""

    found: list[tuple[int, str]] = field(default_factory=list)

    def add(self, line: int, room: str, text: str) -> None:
        """Remember a slip."""
        self.found.append((line, f"line {line}, room “{room}”: {text}" if room else f"line {line}: {text}"))

    @property
    def sentences(self) -> tuple[str, ...]:
        """The slips in the order of the lines."""
        return tuple(dict.fromkeys(text for _, text in sorted(self.found)))


@dataclass(frozen=True)
class WallRef:
    """A wall as a line names it: a side (and which, where there are several), or its number in the walk."""

    side: str | None
    number: int | None = None

    @property
    def words(self) -> str:
        """As one would say it."""
        if self.side is None:
            return f"wall {self.number}"
        return f"{self.side} wall" if self.number is None else f"{self.side} wall {self.number}"


@dataclass(frozen=True)
class TypedWall:
    """One leg of a walk round a room."""

    side: str | None
    turn: tuple[str, float] | None
    """Direction and angle from the wall before. [deg]"""
    length_m: float | None
    """None: not measured."""


@dataclass(frozen=True)
class Line:
    """A line about a room: its key, its fields, and the wall it is about, if it is about one."""

    number: int
    key: str
    fields: tuple[str, ...]
    wall: WallRef | None = None


@dataclass
class FormStorey:
    """A storey as typed."""

    name: str
    line: int
    level_m: float | None = None
    height_m: float | None = None


@dataclass
class FormRoom:
    """A room as typed."""

    name: str
    line: int
    storey: int
    size_m: tuple[float, float] | None = None
    """East-west and north-south. [m]"""
    walls: list[TypedWall] = field(default_factory=list)
    walls_line: int = 0
    use: RoomUse | None = None
    height_m: float | None = None
    over: str | None = None
    at_m: tuple[float, float] | None = None
    soft: bool | None = None
    indoors: bool = True
    dwelling: str = ""
    spoilt: bool = False
    """Something about it could not be read and has been told."""
    lines: list[Line] = field(default_factory=list)


@dataclass
class Form:
    """A whole survey as typed."""

    name: str = ""
    unit: str = "m"
    outer: tuple[float, str] | None = None
    """Thickness of outside walls and what they are made of. [m]"""
    inner: tuple[float, str] | None = None
    party: tuple[float, str] | None = None
    floor_m: float | None = None
    ground_m: float | None = None
    north: tuple[str, float] | None = None
    storeys: list[FormStorey] = field(default_factory=list)
    rooms: list[FormRoom] = field(default_factory=list)
    household: list[Line] = field(default_factory=list)

    def room(self, name: str) -> FormRoom | None:
        """The room a person means by a name, whatever its capitals."""
        wanted = plain(name)
        return next((r for r in self.rooms if plain(r.name) == wanted), None)

    def unknown_room(self, name: str) -> str:
        """What to say about a name no room has."""
        near = difflib.get_close_matches(plain(name), [plain(r.name) for r in self.rooms], 1)
        hint = next((r.name for r in self.rooms if near and plain(r.name) == near[0]), None)
        return f"no room is called “{name}”" + (f"; did you mean “{hint}”?" if hint else "")


def sentence_of(error: InputError | ValidationError) -> str:
    """What to tell a person about something that cannot be.

    Parameters
    ----------
    error : InputError or ValidationError
        Raised while a line was read.
    """
    if isinstance(error, InputError):
        return error.message
    first = error.errors()[0]
    what = str(first["loc"][-1]).rsplit("_", 1)[0].replace("_", " ") if first["loc"] else "a figure"
    return f"{what}: {first['input']} is not possible"


def plain(text: str) -> str:
    """Lower case, single blanks, without ``the`` in front."""
    return re.sub(r"^the ", "", re.sub(r"\s+", " ", text.strip().lower()))


def fields_of(text: str) -> tuple[str, ...]:
    """Parts between commas; a comma between two digits is a decimal comma."""
    parts = re.split(r"(?<!\d),|,(?!\d)", text)
    return tuple(p.strip() for p in parts if p.strip())


def length_of(text: str, unit: str) -> float:
    """A length of a building part; more than a wall can be is a slip of the unit. [m]"""
    value = parse_length(text, unit)
    if value > LONGEST_WALL_M:
        raise InputError(f"“{text.strip()}” is {value:.0f} m, which no wall here can be; check the unit")
    return value


def size_of(text: str, unit: str) -> tuple[float, ...] | None:
    """``3.60 x 4.10`` and the like; None where it is no size. [m]"""
    if not re.search(r"\d.*[x×].*\d", text):
        return None
    return tuple(length_of(p, unit) for p in re.split(r"\s*[x×]\s*", text))


def read_form(text: str) -> tuple[Form, Slips]:
    """Read a form.

    Parameters
    ----------
    text : str
        The whole form.

    Returns
    -------
    tuple of Form and Slips
        What was typed, and everything that could not be read, with its line.
    """
    form, slips = Form(), Slips()
    room: FormRoom | None = None
    for number, key, value in _lines(text, slips):
        try:
            if key == "room":
                room = _room(form, number, value, slips)
            elif key in ("storey", "floor level", "story"):
                room = None
                form.storeys.append(_storey(form, number, value))
            elif key in _HOUSEHOLD:
                form.household.append(Line(number, key, fields_of(value)))
            elif room is not None and _about_room(form, room, number, key, value):
                continue
            elif not _header(form, key, value):
                known = [*_HEADER, "storey", "room", *_HOUSEHOLD, *_CONTENTS, "walls", *SIDES]
                near = difflib.get_close_matches(key, known, 1)
                hint = f"; did you mean “{near[0]}:”?" if near else ""
                under = (
                    "" if room or key not in (*SIDES, *_CONTENTS, "walls") else "; it must stand under a “room:” line"
                )
                slips.add(number, room.name if room else "", f"“{key}:” is not understood here{under or hint}")
        except InputError as error:
            told = room if key != "room" else None
            slips.add(number, told.name if told else "", error.message)
            if told and key == "walls":
                told.spoilt = True
    if not form.rooms and (not slips.found or len(slips.found) > MANY_SLIPS):
        slips.found.clear()  # it is another kind of text: one sentence says so
        slips.add(1, "", "the survey has no room; write at least one line like “room: Kitchen, 4.20 x 3.10”")
    return form, slips


def _lines(text: str, slips: Slips) -> Iterator[tuple[int, str, str]]:
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.split("#", 1)[0].strip()
        if not line:
            continue
        key, colon, value = line.partition(":")
        if not colon:
            slips.add(number, "", f"“{line[:40]}” has no colon; write it like “room: Kitchen, 4.20 x 3.10”")
            continue
        yield number, plain(key), value.strip()


_HOUSEHOLD = ("pet", "dog", "cat", "person")
_CONTENTS = ("ceiling", "floor", "stair", "bed", "heat", "target", "furniture", "climb")
_HEADER = (
    "survey",
    "units",
    "outside walls",
    "inside walls",
    "party walls",
    "floors",
    "ground",
    "north",
    "date",
    "by",
)


def _header(form: Form, key: str, value: str) -> bool:
    if key not in _HEADER:
        return False
    if key == "survey":
        form.name = value
    elif key == "units":
        form.unit = _unit(value)
    elif key == "north":
        form.north = _north(value)
    elif key == "floors":
        form.floor_m = length_of(value, form.unit)
    elif key == "ground":
        below = re.match(r"^[-−–]\s*(.+)$|^(.+) below$", value)
        size = length_of((below[1] or below[2]) if below else value.removesuffix(" above"), form.unit)
        form.ground_m = -size if below else size
    elif key.endswith("walls"):
        parts = fields_of(value)
        if not parts:
            raise InputError(f"“{key}:” wants a thickness, for example “{key}: 0.30, brick”")
        words = " ".join(parts[1:]).lower()
        made_of = next((m for m in MATERIALS if m in words), "unknown")
        thick = length_of(parts[0], form.unit)
        if not 0.02 <= thick <= 1.5:
            raise InputError(f"a wall {thick:.2f} m thick is not likely; check the unit")
        setattr(
            form, {"outside walls": "outer", "inside walls": "inner", "party walls": "party"}[key], (thick, made_of)
        )
    return True


def _unit(value: str) -> str:
    words = plain(value)
    for unit, names in (("mm", "mm millimetre"), ("cm", "cm centimetre"), ("m", "metre meter")):
        if any(words.startswith(n) for n in names.split()) or words == unit:
            return unit
    if words.startswith(("feet", "foot", "ft")):
        return "ft"
    if words.startswith("inch") or words == "in":
        return "in"
    raise InputError(
        f"the unit “{value}” is not known; write metres, centimetres, millimetres, feet and inches, or inches"
    )


def _north(value: str) -> tuple[str, float]:
    words = plain(value)
    if words in ("up", "right", "down", "left"):
        return words, 0.0
    turned = re.fullmatch(r"(\d+(?:\.\d+)?) ?(?:deg|degrees|°) (?:to the )?(left|right)(?: of up)?", words)
    if turned is None or float(turned[1]) > 180.0:
        raise InputError("north is up, right, down or left on the page, or “30 degrees right of up”")
    return turned[2], float(turned[1])


def _storey(form: Form, number: int, value: str) -> FormStorey:
    name, *rest = fields_of(value) or ("",)
    if not name:
        raise InputError("the storey has no name; write “storey: Ground floor, height 2.40”")
    if any(plain(s.name) == plain(name) for s in form.storeys):
        raise InputError(f"there is already a storey called “{name}”")
    storey = FormStorey(name, number)
    for part in rest:
        words = plain(part)
        if words.startswith("height "):
            storey.height_m = _height(words[7:], form.unit)
        elif words.startswith("level "):
            figure = words[6:].strip()
            sign = -1.0 if figure[:1] in ("-", "−", "–") else 1.0
            storey.level_m = sign * length_of(figure.lstrip("-−–+ "), form.unit)
        else:
            raise InputError(f"“{part}” is not understood; a storey takes “height 2.40” and “level 0”")
    return storey


def _height(text: str, unit: str) -> float:
    value = length_of(text, unit)
    if not 1.0 <= value <= 15.0:
        raise InputError(f"a height of {value:.2f} m is not likely for a room; check the unit")
    return value


def _room(form: Form, number: int, value: str, slips: Slips) -> FormRoom:
    name, *rest = fields_of(value) or ("",)
    if not name:
        raise InputError("the room has no name; write “room: Kitchen, 4.20 x 3.10”")
    before = form.room(name)
    if before is not None:
        raise InputError(f"there is already a room called “{name}” (line {before.line}); give this one another name")
    if plain(name) in ("outside", "neighbour", "neighbor"):
        raise InputError(f"a room cannot be called “{name}”: that word means what lies beyond a wall")
    if not form.storeys:
        form.storeys.append(FormStorey("Ground floor", number, 0.0))
    room = FormRoom(name, number, len(form.storeys) - 1)
    form.rooms.append(room)
    for part in rest:
        try:
            _room_field(form, room, part)
        except InputError as error:
            slips.add(number, name, error.message)
            room.spoilt = True
    return room


def _room_field(form: Form, room: FormRoom, part: str) -> None:
    words = plain(part)
    size = size_of(part, form.unit)
    if size is not None:
        if len(size) != 2 or min(size) <= 0.0:
            raise InputError(f"“{part}” is no size of a room; write its east-west length x its north-south length")
        room.size_m, room.walls_line = (size[0], size[1]), room.line
    elif words in {u.value for u in RoomUse}:
        room.use = RoomUse(words)
    elif words.startswith("height "):
        room.height_m = _height(words[7:], form.unit)
    elif words.startswith("over "):
        room.over = part[5:].strip()
    elif words.startswith("part of "):
        room.dwelling = part[8:].strip()
    elif words in ("carpet", "soft furnished", "carpet and curtains"):
        room.soft = True
    elif words in ("bare", "hard floor", "bare floor"):
        room.soft = False
    elif words in ("out of doors", "outdoors", "open air"):
        room.indoors = False
    elif at := re.fullmatch(r"at (.+) east (.+) north", words):
        room.at_m = (length_of(at[1], form.unit), length_of(at[2], form.unit))
    else:
        raise InputError(
            f"“{part}” is not understood; a room takes a size such as 4.20 x 3.10, what it is for (kitchen, bedroom, "
            "hall …), “height 2.40”, “over” another room, “carpet”, “at 2.00 east 3.00 north”"
        )


def _about_room(form: Form, room: FormRoom, number: int, key: str, value: str) -> bool:
    if key == "walls":
        room.walls, room.walls_line = _walk(value, form.unit), number
        return True
    if key in _CONTENTS:
        room.lines.append(Line(number, key, fields_of(value)))
        return True
    wall = wall_ref(key)
    if wall is None:
        return False
    parts = fields_of(value)
    if not parts:
        raise InputError(f"nothing is said about the {wall.words}; write a room's name, outside, or an opening")
    room.lines.append(Line(number, "wall", parts, wall))
    return True


def wall_ref(text: str) -> WallRef | None:
    """The wall a phrase names: ``north``, ``the second north wall``, ``wall 3``.

    Parameters
    ----------
    text : str
        The phrase.

    Returns
    -------
    WallRef or None
        None where it names no wall.
    """
    sides = "|".join(sorted(SIDES, key=len, reverse=True))
    found = re.fullmatch(rf"(?:(first|second|third|fourth) )?({sides})(?: wall)?(?: (\d+))?|wall (\d+)", plain(text))
    if found is None:
        return None
    if found[4]:
        return WallRef(None, int(found[4]))
    number = _ORDINALS.get(found[1] or "") or (int(found[3]) if found[3] else None)
    return WallRef(found[2], number)


def _walk(value: str, unit: str) -> list[TypedWall]:
    walls: list[TypedWall] = []
    for part in fields_of(value):
        words = plain(part)
        side = next((s for s in sorted(SIDES, key=len, reverse=True) if words.startswith(s + " ")), None)
        turn: tuple[str, float] | None = None
        rest = words.removeprefix(side).strip() if side else words
        bend = re.match(r"(left|right)(?: (\d+(?:\.\d+)?) ?(?:deg|degrees|°))? ", words)
        if bend and side is None:
            turn, rest = (bend[1], float(bend[2] or 90.0)), words[bend.end() :].strip()
        if walls and side is None and turn is None:
            raise InputError(
                f"“{part}” does not say which wall it is: write “north {part}”, or “right {part}” for a turn"
            )
        if rest in ("?", "not measured"):
            length = None
        else:
            length = length_of(rest, unit)
            if length < 0.01:
                raise InputError(f"the wall “{part}” has no length")
        walls.append(TypedWall(side, turn, length))
    if len(walls) < 3:
        raise InputError(
            "a room has at least three walls; go round it and name each, for example “west 3.10, north 4.20, …”"
        )
    if any(w.side for w in walls) and not all(w.side for w in walls):
        raise InputError("name every wall by its side, or every one after the first by a turn; not a mixture")
    return walls
