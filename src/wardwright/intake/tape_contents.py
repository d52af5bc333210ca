"""What stands in the rooms of a tape survey: stairs, beds, heat, goods, furniture, roofs outside; people and pets."""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, get_args

from pydantic import ValidationError
from shapely import Point, Polygon
from shapely.ops import nearest_points

from wardwright.errors import InputError
from wardwright.intake.draft import Assumption, DraftObstacle, DraftStair, DraftStanding
from wardwright.intake.tape_form import (
    SIDES,
    Form,
    FormRoom,
    Line,
    Slips,
    length_of,
    plain,
    sentence_of,
    size_of,
    wall_ref,
)
from wardwright.intake.tape_rooms import Edge, Outline
from wardwright.model import XY
from wardwright.premises.life import Bed, HeatSource, Person, Pet, Target

OUTER_M = 0.30
"""Thickness of outside walls where the form does not say. [m]"""
BESIDE_M = 0.30
"""How far from a wall something stands that is only said to stand by it. Assumption. [m]"""
PETS = {"dog": (20.0, 0.55, 0.85), "cat": (4.0, 0.25, 0.45), "other": (5.0, 0.30, 0.40)}
"""Mass, height of the back and length of a pet that was not measured. Common practice, no source. [kg], [m], [m]"""
_HEAT_WORDS = get_args(HeatSource.model_fields["kind"].annotation)
_ROLES = get_args(Person.model_fields["role"].annotation)


@dataclass(frozen=True)
class Placed:
    """A room where it lies on the plan."""

    room: FormRoom
    key: str
    storey_key: str
    outline: Outline
    corner: XY

    @property
    def ring(self) -> tuple[XY, ...]:
        """Corners, anticlockwise, on the plan. [m]"""
        return tuple((x + self.corner[0], y + self.corner[1]) for x, y in self.outline.ring)

    @property
    def edges(self) -> tuple[Edge, ...]:
        """Walls on the plan."""
        return tuple(e.moved(*self.corner) for e in self.outline.edges)

    @property
    def middle(self) -> XY:
        """A point well inside. [m]"""
        spot = Polygon(self.ring).representative_point()
        return (spot.x, spot.y)


@dataclass
class Contents:
    """Everything that is not a room, a wall or an opening."""

    stairs: list[DraftStair] = field(default_factory=list)
    obstacles: list[DraftObstacle] = field(default_factory=list)
    standings: list[DraftStanding] = field(default_factory=list)
    heat: list[tuple[str, str, str, XY, float]] = field(default_factory=list)
    beds: list[Bed] = field(default_factory=list)
    targets: list[Target] = field(default_factory=list)
    pets: list[Pet] = field(default_factory=list)
    people: list[Person] = field(default_factory=list)
    notes: list[Assumption] = field(default_factory=list)


@dataclass
class _Spot:
    """Where something is said to be."""

    wall: Edge | None = None
    beyond: bool = False
    offset: tuple[float, str] | None = None
    at_m: XY | None = None
    middle: bool = False
    rest: list[str] = field(default_factory=list)


def end_distance(edge: Edge, end: str) -> bool:
    """True when an end's name means where the wall starts (its left-hand end from inside).

    Parameters
    ----------
    edge : Edge
        The wall.
    end : str
        ``west``, ``left``, ``start``, ``far`` and so on.

    Raises
    ------
    InputError
        If the wall has no such end.
    """
    if end in ("left", "start"):
        return True
    if end in ("right", "far"):
        return False
    axis, sign = {"west": (0, -1), "east": (0, 1), "south": (1, -1), "north": (1, 1)}[end]
    ahead = (edge.end[axis] - edge.start[axis]) * sign
    if abs(ahead) < 0.05:
        raise InputError(f"the {edge.side} wall has no {end} end; say left or right as seen from inside")
    return ahead < 0.0


def key_of(name: str, taken: set[str]) -> str:
    """An id made from a name, not yet taken; it is taken thereby.

    Parameters
    ----------
    name : str
        In a person's words.
    taken : set of str
        Ids in use.
    """
    base = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "item"
    key, n = base, 1
    while key in taken:
        n += 1
        key = f"{base}-{n}"
    taken.add(key)
    return key


def read_contents(
    form: Form, placed: dict[str, Placed], levels: list[float], taken: set[str], slips: Slips
) -> Contents:
    """Everything that stands in the rooms, and who lives there.

    Parameters
    ----------
    form : Form
        The survey as typed.
    placed : dict of str to Placed
        Rooms on the plan by name.
    levels : list of float
        Floor levels by storey. [m]
    taken : set of str
        Ids in use; those given here are added.
    slips : Slips
        Where slips are added.
    """
    contents = Contents()
    readers: dict[str, Callable[..., None]] = {
        "stair": _stair,
        "bed": _bed,
        "heat": _heat,
        "target": _target,
        "furniture": _furniture,
        "climb": _climb,
    }
    for here in placed.values():
        for line in here.room.lines:
            if line.key not in readers:
                continue
            try:
                if not line.fields:
                    raise InputError(f"nothing is said after “{line.key}:”")
                readers[line.key](form, here, line, contents, placed=placed, levels=levels, taken=taken)
            except (InputError, ValidationError) as error:
                slips.add(line.number, here.room.name, sentence_of(error))
    for line in form.household:
        try:
            if not line.fields:
                raise InputError(f"nothing is said after “{line.key}:”")
            _household(form, line, contents, placed, taken)
        except (InputError, ValidationError) as error:
            slips.add(line.number, "", sentence_of(error))
    return contents


def _spot(fields: tuple[str, ...], here: Placed, unit: str) -> _Spot:
    spot = _Spot()
    for part in fields:
        words = plain(part)
        by = re.fullmatch(r"(by|along|against|beyond|outside) (?:the )?(.+)", words)
        ref = wall_ref(by[2]) if by else None
        if by and ref is not None:
            edge = here.outline.wall(ref)
            spot.wall, spot.beyond = edge.moved(*here.corner), by[1] in ("beyond", "outside")
        elif off := re.fullmatch(r"(.+) from (?:the )?(north|east|south|west|left|right)(?: end| corner)?", words):
            spot.offset = (length_of(off[1], unit), off[2])
        elif at := re.fullmatch(r"at (.+) east (.+) north", words):
            x, y = length_of(at[1], unit), length_of(at[2], unit)
            spot.at_m = (here.corner[0] + x, here.corner[1] + y)
        elif words in ("in the middle", "middle", "centred"):
            spot.middle = True
        else:
            spot.rest.append(part)
    return spot


def _along(edge: Edge, offset: tuple[float, str] | None, length: float) -> float:
    """Distance of something's middle along a wall. [m]"""
    if offset is None:
        return edge.length / 2
    distance, end = offset
    return distance + length / 2 if end_distance(edge, end) else edge.length - distance - length / 2


def _point(spot: _Spot, here: Placed, notes: list[Assumption], what: str, line: int) -> XY:
    """A point for something small; a guess is noted. [m]"""
    inside = Polygon(here.ring)
    if spot.at_m is not None:
        point = spot.at_m
    elif spot.wall is not None:
        point = spot.wall.at(_along(spot.wall, spot.offset, 0.0), -BESIDE_M)
    else:
        point = here.middle
    if not inside.buffer(0.05).covers(Point(point)):
        raise InputError(f"the {what} would lie outside the room")
    if spot.at_m is None and spot.offset is None and not spot.middle:
        where = "in the middle of the room" if spot.wall is None else f"in the middle of the {spot.wall.side} wall"
        notes.append(
            Assumption(
                f"place of the {what}",
                (here.room.name,),
                where,
                f"write “by the north wall, 0.50 from west end” or “at 1.00 east 2.00 north” in line {line}",
            )
        )
    return point


def _bed(form: Form, here: Placed, line: Line, out: Contents, *, taken: set[str], **_: Any) -> None:
    spot, sleepers = _spot(line.fields, here, form.unit), 1
    for part in spot.rest:
        number = re.fullmatch(r"(\d) (?:sleepers?|people|persons?)", plain(part))
        words = {"double": 2, "single": 1, "double bed": 2, "single bed": 1, "cot": 1}
        if number is None and plain(part) not in words:
            raise InputError(f"“{part}” is not understood; a bed takes “2 sleepers” and where it stands")
        sleepers = int(number[1]) if number else words[plain(part)]
    at = _point(spot, here, out.notes, "bed", line.number)
    key = key_of(f"bed {here.room.name}", taken)
    out.beds.append(Bed(id=key, room_id=here.key, position=at, sleepers=sleepers))


def _heat(form: Form, here: Placed, line: Line, out: Contents, *, taken: set[str], **_: Any) -> None:
    kind = plain(line.fields[0])
    if kind not in _HEAT_WORDS:
        raise InputError(f"“{line.fields[0]}” is no source of heat known here; write one of {', '.join(_HEAT_WORDS)}")
    spot, height = _spot(line.fields[1:], here, form.unit), 0.5
    for part in spot.rest:
        up = re.fullmatch(r"(.+) (?:up|high|above the floor)", plain(part))
        if up is None:
            raise InputError(f"“{part}” is not understood; say where it stands, and “1.20 up” for its height")
        height = length_of(up[1], form.unit)
    at = _point(spot, here, out.notes, kind, line.number)
    out.heat.append((key_of(f"{kind} {here.room.name}", taken), kind, here.storey_key, at, height))


def _target(form: Form, here: Placed, line: Line, out: Contents, *, taken: set[str], **_: Any) -> None:
    spot = _spot(line.fields[1:], here, form.unit)
    more: dict[str, Any] = {}
    for part in spot.rest:
        words = plain(part)
        if words in ("low", "medium", "high"):
            more["worth"] = words
        elif seconds := re.fullmatch(r"(\d+) ?(?:s|sec|seconds)", words):
            more["take_s"] = float(seconds[1])
        elif minutes := re.fullmatch(r"(\d+) ?(?:min|minutes?)", words):
            more["take_s"] = 60.0 * float(minutes[1])
        else:
            raise InputError(f"“{part}” is not understood; a target takes “60 s”, low, medium or high, and its place")
    name = line.fields[0]
    at = _point(spot, here, out.notes, f"target “{name}”", line.number)
    target = {"id": key_of(name, taken), "name": name, "room_id": here.key, "position": at, **more}
    out.targets.append(Target.model_validate(target))


def _box(spot: _Spot, here: Placed, length: float, depth: float) -> tuple[XY, ...]:
    """Outline of a box against a wall, or standing free with its length east-west. [m]"""
    if spot.wall is not None:
        middle = _along(spot.wall, spot.offset, length)
        near, far = (0.0, depth) if spot.beyond else (0.0, -depth)
        low, high = middle - length / 2, middle + length / 2
        return tuple(spot.wall.at(s, o) for s, o in ((low, near), (high, near), (high, far), (low, far)))
    x, y = spot.at_m or (here.middle[0] - length / 2, here.middle[1] - depth / 2)
    return ((x, y), (x + length, y), (x + length, y + depth), (x, y + depth))


def _furniture(form: Form, here: Placed, line: Line, out: Contents, *, taken: set[str], **_: Any) -> None:
    spot, size = _spot(line.fields[1:], here, form.unit), None
    for part in spot.rest:
        size = size_of(part, form.unit)
        if size is None or len(size) != 3 or min(size) <= 0.0:
            raise InputError(f"“{part}” is not understood; furniture takes length x depth x height and where it stands")
    if size is None:
        raise InputError(f"“{line.fields[0]}” has no size; write its length x depth x height")
    outline = _box(spot, here, size[0], size[1])
    if Polygon(outline).difference(Polygon(here.ring)).area > 0.1 * size[0] * size[1]:
        raise InputError(f"“{line.fields[0]}” does not fit into the room there")
    key = key_of(line.fields[0], taken)
    out.obstacles.append(DraftObstacle(key, line.fields[0], here.storey_key, outline, height_m=size[2]))


def _climb(
    form: Form, here: Placed, line: Line, out: Contents, *, taken: set[str], levels: list[float], **_: Any
) -> None:
    kinds = ("neighbouring roof", "fire stair", "balcony", "terrace", "roof")
    first = plain(line.fields[0])
    kind = next((k for k in kinds if k in first), "climbable")
    spot, size, level = _spot(line.fields[1:], here, form.unit), None, None
    climbable: bool | None = None
    over = False
    for part in spot.rest:
        words = plain(part)
        up = re.fullmatch(r"(.+) above (?:the )?(ground|floor)", words)
        if up:
            base = (form.ground_m or 0.0) if up[2] == "ground" else levels[here.room.storey]
            level = base + length_of(up[1], form.unit)
        elif words in ("cannot be climbed", "needs a ladder"):
            climbable = False
        elif words in ("can be climbed", "easily climbed"):
            climbable = True
        elif words == "over this room":
            over = True
        elif (size := size_of(part, form.unit)) is None or len(size) != 2:
            raise InputError(
                f"“{part}” is not understood; write “2.60 above ground”, length x depth, and “beyond the north wall”"
            )
    beside = size is not None and spot.wall is not None and spot.beyond
    if level is None or not (over or beside):
        raise InputError(
            "something to climb on needs its height (“2.60 above ground”) and its place: its length x depth and the "
            "wall it lies beyond (“beyond the north wall”), or “over this room”"
        )
    if over or size is None:
        grown = Polygon(here.ring).buffer((form.outer or (OUTER_M, ""))[0], join_style="mitre")
        outline = tuple((float(x), float(y)) for x, y in list(grown.exterior.coords)[:-1])
    else:
        outline = _beyond(form, spot, here, size)
    if spot.wall is not None and spot.offset is None and not spot.middle:
        note = Assumption(
            f"place of “{line.fields[0]}”",
            (here.room.name,),
            f"in the middle of the {spot.wall.side} wall",
            f"write “0.50 from west end” in line {line.number}",
        )
        out.notes.append(note)
    key = key_of(line.fields[0], taken)
    out.standings.append(DraftStanding(key, line.fields[0], kind, outline, level, climbable))


def _beyond(form: Form, spot: _Spot, here: Placed, size: tuple[float, ...]) -> tuple[XY, ...]:
    """Outline of something outside a wall, from the wall's outer face. [m]"""
    ring = _box(spot, here, size[0], size[1])
    assert spot.wall is not None
    out, thick = spot.wall.outward, (form.outer or (OUTER_M, ""))[0]
    return tuple((x + out[0] * thick, y + out[1] * thick) for x, y in ring)


def _stair(
    form: Form, here: Placed, line: Line, out: Contents, *, taken: set[str], placed: dict[str, Placed], **_: Any
) -> None:
    to = re.fullmatch(r"(?:(ladder|spiral|ramp) )?(?:up|down)? ?to (?:the )?(.+)", line.fields[0], flags=re.IGNORECASE)
    if to is None:
        raise InputError("say where the stair leads: “stair: up to Landing”")
    other = form.room(to[2])
    if other is None:
        raise InputError(form.unknown_room(to[2]))
    if other.storey == here.room.storey:
        raise InputError(f"“{other.name}” is on the same storey; a stair leads to another")
    there = placed.get(other.name)
    if there is None:
        return  # that room has a slip of its own
    lower, upper = (here, there) if other.storey > here.room.storey else (there, here)
    spot, size, climbs = _spot(line.fields[1:], here, form.unit), None, None
    for part in spot.rest:
        words = plain(part)
        if way := re.fullmatch(r"climbing (north|east|south|west)", words):
            climbs = way[1]
        elif (size := size_of(part, form.unit)) is None or len(size) != 2:
            raise InputError(
                f"“{part}” is not understood; a stair takes its width x length, a wall, and “climbing north”"
            )
    width, length = (min(size), max(size)) if size else (0.9, 3.0)
    foot, head = lower.middle, upper.middle
    outline: tuple[XY, ...] = ()
    if spot.wall is not None:
        (ux, uy) = spot.wall.along
        way_x, way_y = _compass(climbs) if climbs else (ux, uy)
        if abs(way_x * ux + way_y * uy) < 0.7:
            raise InputError(f"a stair along the {spot.wall.side} wall cannot climb {climbs}")
        outline = _box(spot, here, length, width)
        middle = _along(spot.wall, spot.offset, length)
        sign = 1.0 if way_x * ux + way_y * uy > 0.0 else -1.0
        reach = length / 2 + 0.3
        foot = spot.wall.at(middle - sign * reach, -width / 2)
        head = spot.wall.at(middle + sign * reach, -width / 2)
    if spot.wall is None or climbs is None or size is None:
        assumed = "its foot and head are in the middle of the rooms" if spot.wall is None else "its way or its size"
        out.notes.append(
            Assumption(
                "place of the stair",
                (here.room.name, other.name),
                assumed,
                f"write “by the east wall, 0.30 from south end, 0.85 x 3.20, climbing north” in line {line.number}",
            )
        )
    name = f"Stair from {lower.room.name} to {upper.room.name}"
    kind: Any = (to[1] or "stair").lower()
    out.stairs.append(
        DraftStair(
            key_of(name, taken),
            name,
            lower.storey_key,
            upper.storey_key,
            outline,
            _into(foot, lower),
            _into(head, upper),
            width,
            kind,
        )
    )


def _compass(way: str) -> XY:
    angle = math.radians(90.0 - 45.0 * SIDES.index(way))
    return (math.cos(angle), math.sin(angle))


def _into(point: XY, room: Placed) -> XY:
    """The point itself where it lies in the room, else the nearest place a person can stand in it. [m]"""
    floor = Polygon(room.ring)
    inner = floor.buffer(-0.25)
    floor = floor if inner.is_empty else inner
    if floor.covers(Point(point)):
        return point
    near = nearest_points(floor, Point(point))[0]
    return (near.x, near.y)


def _household(form: Form, line: Line, out: Contents, placed: dict[str, Placed], taken: set[str]) -> None:
    if line.key == "person":
        _person(form, line, out, placed, taken)
        return
    words = line.fields[0].split()
    kind = line.key if line.key != "pet" else (words[0].lower() if words[0].lower() in PETS else "other")
    name = " ".join(words[1:] if line.key == "pet" and words[0].lower() in PETS else words)
    mass, high, long = PETS[kind]
    rooms: list[str] = []
    climbs, measured = False, False
    for part in line.fields[1:]:
        said = plain(part)
        if weight := re.fullmatch(r"([\d.]+) ?(kg|lb|lbs|pounds)", said):
            mass, measured = float(weight[1]) * (1.0 if weight[2] == "kg" else 0.45359237), True
        elif size := re.fullmatch(r"(.+) (high|long)", said):
            value = length_of(size[1], form.unit)
            high, long = (value, long) if size[2] == "high" else (high, value)
        elif said.startswith("in "):
            for name_of in re.split(r" and |/|\+", part.strip()[3:]):
                room = form.room(name_of)
                if room is None:
                    raise InputError(form.unknown_room(name_of.strip()))
                if room.name in placed:
                    rooms.append(placed[room.name].key)
        elif said in ("climbs", "climbs furniture", "jumps on furniture"):
            climbs = True
        else:
            raise InputError(f"“{part}” is not understood; a pet takes “20 kg”, “0.55 high”, “in Kitchen and Hall”")
    if not measured:
        text = f"{mass:g} kg, {high:.2f} m high, {long:.2f} m long"
        out.notes.append(Assumption("size of a pet", (name or kind,), text, f"write its weight in line {line.number}"))
    pet = {"id": key_of(f"{kind} {name}", taken), "kind": kind, "name": name, "mass_kg": mass, "height_m": high}
    pet |= {"length_m": long, "room_ids": tuple(rooms), "climbs_furniture": climbs}
    out.pets.append(Pet.model_validate(pet))


def _person(form: Form, line: Line, out: Contents, placed: dict[str, Placed], taken: set[str]) -> None:
    role, _, name = line.fields[0].partition(" ")
    if role.lower() not in _ROLES:
        raise InputError(f"“{role}” is no role known here; write one of {', '.join(_ROLES)}")
    more: dict[str, Any] = {}
    for part in line.fields[1:]:
        words = plain(part)
        if sleeps := re.fullmatch(r"sleeps in (?:the )?(.+)", part.strip(), flags=re.IGNORECASE):
            room = form.room(sleeps[1])
            if room is None:
                raise InputError(form.unknown_room(sleeps[1]))
            if room.name in placed:
                more["sleeps_in"] = placed[room.name].key
        elif pace := re.fullmatch(r"([\d.]+) ?m/s", words):
            more["walking_speed_m_s"] = float(pace[1])
            if not 0.1 <= more["walking_speed_m_s"] <= 3.0:
                raise InputError(f"a walking pace of {pace[1]} m/s is not likely; most people walk 0.5 to 1.5 m/s")
        else:
            raise InputError(f"“{part}” is not understood; a person takes “sleeps in Bedroom 1” and “0.8 m/s”")
    person = {"id": key_of(f"{role} {name}", taken), "role": role.lower(), "name": name, **more}
    out.people.append(Person.model_validate(person))
