"""Rooms as drawn made fit to stand on: mended, each once, with their use read from the name."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import Polygon

from wardwright.intake.draft import DraftRoom, DraftStorey
from wardwright.intake.names import folded, is_outdoors, room_use
from wardwright.intake.report import Report
from wardwright.intake.rooms_from_walls import rings_of
from wardwright.intake.wall_axes import polygons_of
from wardwright.premises.fabric import RoomUse

SMALLEST_M2 = 0.15
ABSURD_M = 100.0
"""A room longer than this is a slip of scale until somebody says otherwise. [m]"""
SAME_SHARE = 0.9


@dataclass(frozen=True)
class Floor:
    """A room whose outline is sound."""

    draft: DraftRoom
    shape: Polygon
    low: float
    """Floor above the building's zero. [m]"""
    high: float

    @property
    def key(self) -> str:
        """Key in the draft."""
        return self.draft.key


def floors_of(rooms: Sequence[DraftRoom], storeys: Sequence[DraftStorey], report: Report) -> list[Floor]:
    """Rooms mended and each kept once.

    Parameters
    ----------
    rooms : sequence of DraftRoom
        As the source has them.
    storeys : sequence of DraftStorey
        With elevations.
    report : Report
        Takes the guesses.

    Returns
    -------
    list of Floor
        In the source's order.
    """
    elevation = {s.key: s.elevation_m for s in storeys}
    floors: list[Floor] = []
    for room in rooms:
        shape = _mended(room, report)
        if shape is None:
            continue
        low = elevation.get(room.storey_key, 0.0) + room.base_m
        height = room.height_m
        if height is not None and not 0.3 < height < 60.0:
            report.add("room height", (room.key,), f"not taken: {height:.2f} m is no room's height", "measure it")
            height = None
        indoors = room.indoors and not is_outdoors(room.name)
        use = room.use if room.use is not None else room_use(room.name)
        outline, holes = rings_of(shape, tolerance=0.001)
        tidy = replace(room, outline=outline, holes=holes, height_m=height, indoors=indoors, use=use)
        floors.append(Floor(tidy, Polygon(outline, holes), low, low + (height or 2.5)))
    return _without_containers(_once(floors, report), report)


def _mended(room: DraftRoom, report: Report) -> Polygon | None:
    if not all(math.isfinite(v) for ring in (room.outline, *room.holes) for p in ring for v in p):
        report.add("room outline", (room.key,), "left out: a coordinate is not a number", "draw it again", missing=True)
        return None
    if len({(round(x, 4), round(y, 4)) for x, y in room.outline}) < 3:
        report.add("room outline", (room.key,), "left out: fewer than three corners", "draw it again", missing=True)
        return None
    raw = Polygon(room.outline, [h for h in room.holes if len(h) >= 3])
    if raw.is_valid:
        shape = raw
    else:
        parts = polygons_of(shapely.make_valid(raw))
        if not parts:
            report.add("room outline", (room.key,), "left out: it encloses nothing", "draw it again", missing=True)
            return None
        shape = max(parts, key=lambda p: p.area)
        lost = sum(p.area for p in parts) - shape.area
        if lost > 0.01 * shape.area:
            report.add(
                "room outline",
                (room.key,),
                f"its largest part, {shape.area:.2f} m²: the outline crosses itself and {lost:.2f} m² fell away",
                "draw the outline again without a crossing",
            )
    if shape.area < SMALLEST_M2:
        report.add("room outline", (room.key,), f"left out: {shape.area:.3f} m² is no room", "check the scale")
        return None
    x0, y0, x1, y1 = shape.bounds
    if max(x1 - x0, y1 - y0) > ABSURD_M:
        report.add(
            "room size",
            (room.key,),
            f"kept as drawn, {x1 - x0:.0f} by {y1 - y0:.0f} m, which no room in a home or small business is",
            "check the scale, or split the room",
        )
    return shape


def _overlap_in_height(a: Floor, b: Floor) -> bool:
    return min(a.high, b.high) - max(a.low, b.low) > 0.5 * min(a.high - a.low, b.high - b.low)


def _once(floors: list[Floor], report: Report) -> list[Floor]:
    kept: list[Floor] = []
    for floor in floors:
        twin = next(
            (
                n
                for n, k in enumerate(kept)
                if _overlap_in_height(k, floor)
                and k.shape.intersects(floor.shape)
                and k.shape.intersection(floor.shape).area > SAME_SHARE * k.shape.union(floor.shape).area
            ),
            None,
        )
        if twin is None:
            kept.append(floor)
            continue
        held = kept[twin]
        better = held.draft.use is RoomUse.OTHER and floor.draft.use is not RoomUse.OTHER
        keep, drop = (floor, held) if better else (held, floor)
        kept[twin] = keep
        report.add(
            "the same room stored several times",
            (keep.key, drop.draft.name),
            "counted once",
            "nothing to do, unless they really are two rooms",
        )
    return kept


def _without_containers(floors: list[Floor], report: Report) -> list[Floor]:
    """Without outlines that only gather others: a flat, a floor's gross area."""
    kept: list[Floor] = []
    for floor in floors:
        inside = [
            f
            for f in floors
            if f is not floor
            and f.shape.area < 0.8 * floor.shape.area
            and _overlap_in_height(f, floor)
            and f.shape.intersection(floor.shape).area > 0.9 * f.shape.area
        ]
        if len(inside) >= 2:
            covered = shapely.union_all([f.shape for f in inside]).intersection(floor.shape).area
            if covered > 0.7 * floor.shape.area:
                report.add(
                    "a space that only gathers others",
                    (floor.draft.name,),
                    f"left out: {len(inside)} rooms fill it",
                    "nothing to do, unless it is a room of its own",
                )
                continue
        for other in kept:
            shared = other.shape.intersection(floor.shape).area if _overlap_in_height(other, floor) else 0.0
            if shared > 0.1 * min(other.shape.area, floor.shape.area) and not _overlooks(other, floor):
                report.add(
                    "rooms that overlap",
                    (other.key, floor.key),
                    f"both kept, though {shared:.1f} m² lie in both",
                    "mend the outline of one of them",
                )
        kept.append(floor)
    return kept


def _overlooks(a: Floor, b: Floor) -> bool:
    """One is a space through two storeys, the other the floor it is seen from."""
    return abs(a.low - b.low) > 1.5


def outdoors_word(name: str) -> str:
    """Kind of standing surface an outdoor space makes.

    Parameters
    ----------
    name : str
        Its name.
    """
    text = folded(name)
    if any(w in text for w in ("balk", "balc", "loggia")):
        return "balcony"
    if "roof" in text or "dach" in text:
        return "roof"
    return "terrace"
