"""What a layout needs besides detectors, as rows of a design sheet: panel, expanders, keypads, sounders, reporting."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import Point, Polygon

from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.design.sheet import DeviceRow, PathRow
from wardwright.design.system import ProtectionScheme
from wardwright.model import XY
from wardwright.placement.grades import suitable
from wardwright.placement.names import Names
from wardwright.placement.panel_places import PANEL_M
from wardwright.placement.wall_spots import OFF_M, wall_spots
from wardwright.premises.fabric import Room, RoomUse
from wardwright.premises.openings import Opening
from wardwright.premises.plan import StoreyPlan, storey_plans

KEYPAD_M = 1.35
"""Middle of a keypad. Common practice, no source. [m]"""
KEYPAD_AWAY_M = 0.8
"""From the middle of the door, so that the leaf does not cover it. Assumption. [m]"""
BESIDE_M = 0.4
"""Between boxes that hang side by side. [m]"""
OUT_OF_REACH_M = 3.0
"""Height of a sounder outside. Common practice, no source. [m]"""
INNER_M = 2.3
"""Height of a sounder inside. Common practice, no source. [m]"""


@dataclass(frozen=True)
class Control:
    """A panel with as many expanders as its zones want."""

    panel: DeviceKind
    expander: DeviceKind | None
    expanders: int
    price: float


def controls(scheme: ProtectionScheme, zones: int, by_radio: int = 0) -> list[Control]:
    """Panels that hold a number of wired zones, cheapest first with the expanders they want.

    Parameters
    ----------
    scheme : ProtectionScheme
        Brief and catalogue.
    zones : int
        Wired zones. [-]
    by_radio : int
        Zones of radio devices, which take no input. [-]
    """
    boxes = [k for k in suitable(scheme, Family.EXPANDER) if (k.get("inputs") or 0.0) > 0.0]
    found = []
    for panel in suitable(scheme, Family.PANEL):
        missing = zones - int(panel.get("inputs") or 0.0)
        box = boxes[0] if boxes else None
        count = 0 if missing <= 0 or box is None else math.ceil(missing / box.need("inputs"))
        if (missing > 0 and box is None) or (panel.get("zones_max") or math.inf) < zones + by_radio:
            continue
        price = panel.need("price") + count * (box.need("price") if box is not None else 0.0)
        found.append(Control(panel, box, count, price))
    return sorted(found, key=lambda c: c.price)


def beside(scheme: ProtectionScheme, panel: Device, count: int) -> list[XY]:
    """Places on the same wall beside a panel, one after the other.

    Parameters
    ----------
    scheme : ProtectionScheme
        The building.
    panel : Device
        The panel.
    count : int
        How many. [-]
    """
    plan = storey_plans(scheme.premises)[panel.storey_id]
    room = plan.room_at(panel.position)
    if room is None:
        return [panel.position] * count
    ring = plan.room_shapes[room.id].exterior
    at = ring.project(Point(panel.position))
    steps = [BESIDE_M * (k // 2 + 1) * (1 if k % 2 == 0 else -1) for k in range(count)]
    return [_inward(plan.room_shapes[room.id], (at + step) % ring.length) for step in steps]


def _inward(shape: Polygon, along: float) -> XY:
    """A point just inside a room's outline."""
    ring = shape.exterior
    here, ahead = ring.interpolate(along), ring.interpolate((along + 0.05) % ring.length)
    look = math.atan2(ahead.y - here.y, ahead.x - here.x)
    for side in (1.0, -1.0):
        spot = (here.x - side * OFF_M * math.sin(look), here.y + side * OFF_M * math.cos(look))
        if shape.contains(Point(spot)):
            return (round(spot[0], 3), round(spot[1], 3))
    return (round(here.x, 3), round(here.y, 3))


def keypads(scheme: ProtectionScheme, names: Names) -> Iterator[DeviceRow]:
    """A keypad in the room behind every final exit, where none is in the design."""
    kinds = [k for k in suitable(scheme, Family.KEYPAD) if not k.radio]
    if scheme.of_family(Family.KEYPAD, Family.ALL_IN_ONE) or not kinds:
        return
    for opening in (o for o in scheme.premises.openings if o.final_exit):
        rooms = [scheme.premises.room(r) for r in opening.room_ids if scheme.premises.room(r).indoors]
        if not rooms:
            continue
        plan = storey_plans(scheme.premises)[rooms[0].storey_id]
        yield DeviceRow(
            id=names.device(kinds[0]),
            kind=kinds[0].id,
            name=f"Keypad, {rooms[0].name}",
            room=rooms[0].id,
            at=_by_door(plan, rooms[0], opening),
            height=KEYPAD_M,
        )


def _by_door(plan: StoreyPlan, room: Room, opening: Opening) -> XY:
    """Nearest place on a wall of the room that the door does not cover and no opening takes."""
    shape = plan.room_shapes[room.id]
    door = next(s for s in plan.openings if s.opening.id == opening.id)
    ring = shape.exterior
    holes = [s.outline for s in plan.openings]
    steps = max(8, int(ring.length / 0.25))
    best: tuple[float, XY] | None = None
    for k in range(steps):
        spot = _inward(shape, k * ring.length / steps)
        away = math.dist(spot, door.centre)
        if away < KEYPAD_AWAY_M or any(h.distance(Point(spot)) < 0.15 for h in holes):
            continue
        if best is None or away < best[0]:
            best = (away, spot)
    return best[1] if best is not None else _inward(shape, 0.0)


def sounders(scheme: ProtectionScheme, names: Names, taken: Sequence[XY]) -> Iterator[DeviceRow]:
    """One sounder outside over the final exit, one inside between those who sleep, where the design has none."""
    outer = suitable(scheme, Family.OUTER_SOUNDER)
    if not scheme.of_family(Family.OUTER_SOUNDER) and outer:
        place = _outside(scheme)
        if place is not None:
            yield DeviceRow(
                id=names.device(outer[0]),
                kind=outer[0].id,
                name="Sounder, outside",
                storey=place[0],
                at=place[1],
                height=OUT_OF_REACH_M,
            )
    inner = suitable(scheme, Family.INNER_SOUNDER)
    if not scheme.of_family(Family.INNER_SOUNDER, Family.ALL_IN_ONE) and inner:
        room = _heard_from(scheme)
        spots = [s for s in wall_spots(scheme.premises) if room is not None and s.room_id == room.id]
        free = [s for s in spots if all(math.dist(s.position, t) > BESIDE_M for t in taken)] or spots
        if room is not None and free:
            yield DeviceRow(
                id=names.device(inner[0]),
                kind=inner[0].id,
                name=f"Sounder, {room.name}",
                room=room.id,
                at=free[-1].position,
                height=INNER_M,
            )


def _outside(scheme: ProtectionScheme) -> tuple[str, XY] | None:
    """Storey and place on the outer face of a wall, beside a final exit where there is one."""
    plans = storey_plans(scheme.premises)
    for wanted in (True, False):
        for plan in plans.values():
            for shape in plan.openings:
                opening = shape.opening
                if not opening.is_outside or opening.place.kind != "wall" or opening.final_exit is not wanted:
                    continue
                nx, ny = shape.normal
                for side in (1.0, -1.0):
                    out = side * (shape.depth_m / 2.0 + 0.05)
                    spot = (round(shape.centre[0] + out * nx, 3), round(shape.centre[1] + out * ny, 3))
                    if all(not room.contains(Point(spot)) for room in plan.room_shapes.values()):
                        return plan.storey.id, spot
    return None


def _heard_from(scheme: ProtectionScheme) -> Room | None:
    """The room an inner sounder is heard from best: the landing or hall of those who sleep, else the largest."""
    premises = scheme.premises
    floors = {premises.room(b.room_id).storey_id for b in premises.beds}
    rooms = [r for r in premises.rooms if r.indoors and r.id not in scheme.brief.ruled_out]
    ways = [r for r in rooms if r.use in (RoomUse.LANDING, RoomUse.HALL, RoomUse.STAIR)]
    shapes = {key: s for plan in storey_plans(premises).values() for key, s in plan.room_shapes.items()}
    order = sorted(ways or rooms, key=lambda r: (r.storey_id not in floors, -shapes[r.id].area))
    return order[0] if order else None


def communicators(scheme: ProtectionScheme, names: Names, at: XY, room: str | None, storey: str) -> list[DeviceRow]:
    """A communicator with two paths beside the panel, where a receiving centre is to listen and there is none."""
    kinds = suitable(scheme, Family.COMMUNICATOR)
    if not scheme.brief.monitored or scheme.of_family(Family.COMMUNICATOR) or not kinds:
        return []
    both = [k for k in kinds if k.words.get("path_ip") == "yes" and k.words.get("path_cellular") == "yes"]
    kind = (both or kinds)[0]
    return [
        DeviceRow(
            id=names.device(kind), kind=kind.id, name="Communicator", room=room, storey=storey, at=at, height=PANEL_M
        )
    ]


def reporting_paths(scheme: ProtectionScheme, rows: Sequence[DeviceRow]) -> tuple[PathRow, ...]:
    """The paths of the communicators placed."""
    found: list[PathRow] = []
    for row in rows:
        kind = scheme.catalogue.kind(row.kind)
        if kind.family is not Family.COMMUNICATOR:
            continue
        for way, word in (("ip", "path_ip"), ("cellular", "path_cellular")):
            if kind.words.get(word) == "yes":
                found.append(
                    PathRow(
                        id=f"path-{way}",
                        kind="ip" if way == "ip" else "cellular",
                        device=row.id,
                        priority=len(found) + 1,
                        category=kind.words.get("ats_category", ""),
                        interval=kind.get("path_check_s"),
                    )
                )
    return tuple(found)
