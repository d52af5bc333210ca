"""Storeys put in order, with heights, and everything set on the storey it really stands on."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass, replace

from wardwright.errors import IntakeError
from wardwright.intake.draft import Draft, DraftRoom
from wardwright.intake.report import Ids, Report

DEFAULT_HEIGHT_M = 2.5
"""Clear height of a storey nothing else speaks of. Assumption. [m]"""
SPLIT_M = 0.6
"""A floor further than this from its storey's level is a level of its own. [m]"""
_STRAY_M = 1.0
_HIGHEST_M = 90.0


@dataclass(frozen=True)
class Level:
    """A storey of the building being put together."""

    key: str
    id: str
    name: str
    elevation: float
    height: float

    @property
    def ceiling(self) -> float:
        """Height of its ceiling above the building's zero. [m]"""
        return self.elevation + self.height


def settled(draft: Draft, report: Report) -> Draft:
    """A draft whose storeys are in order, near zero, and whose rooms stand on the storey at their own floor.

    Parameters
    ----------
    draft : Draft
        As read.
    report : Report
        Takes the guesses.
    """
    storeys = sorted(draft.storeys, key=lambda s: s.elevation_m)
    if not storeys:
        raise IntakeError("the file has no storey and nothing to tell one by", where=draft.source)
    used = {r.storey_key for r in draft.rooms} or {w.storey_key for w in draft.walls}
    lowest = next((s.elevation_m for s in storeys if s.key in used), storeys[0].elevation_m)
    shift = 0.0
    if abs(lowest) > _HIGHEST_M:
        shift = -lowest
        report.add(
            "level of the building",
            (),
            f"its lowest floor, drawn at {lowest:.2f} m, was taken as zero",
            "nothing to do; heights are counted from that floor",
        )
        storeys = [replace(s, elevation_m=s.elevation_m + shift) for s in storeys]
    elevation = {s.key: s.elevation_m for s in storeys}
    rooms: list[DraftRoom] = []
    for room in draft.rooms:
        floor = elevation.get(room.storey_key, 0.0) + room.base_m
        nearest = min(storeys, key=lambda s: abs(s.elevation_m - floor))
        if abs(nearest.elevation_m - floor) > SPLIT_M:
            key = f"{nearest.key}@{floor:.2f}"
            nearest = type(nearest)(key, f"{nearest.name} {floor:+.2f} m", floor)
            storeys = sorted([*storeys, nearest], key=lambda s: s.elevation_m)
            elevation[key] = floor
            report.add(
                "storey",
                (room.key,),
                f"a level of its own at {floor:.2f} m: its floor lies on none of the storeys",
                "move the room to the right storey",
            )
        elif nearest.key != room.storey_key:
            report.add(
                "storey", (room.key,), f"“{nearest.name}”, at whose level its floor lies", "move it if that is wrong"
            )
        rooms.append(replace(room, storey_key=nearest.key, base_m=floor - nearest.elevation_m))
    ground = None if draft.ground_m is None else draft.ground_m + shift
    standings = tuple(replace(s, level_m=s.level_m + shift) for s in draft.standings)
    services = tuple(
        replace(s, level_m=s.level_m + shift, bottom_m=s.bottom_m + shift, top_m=s.top_m + shift)
        for s in draft.services
    )
    settled_draft = replace(
        draft,
        storeys=tuple(storeys),
        rooms=tuple(rooms),
        standings=standings,
        services=services,
        ground_m=ground,
    )
    return _without_strays(settled_draft, report)


def _without_strays(draft: Draft, report: Report) -> Draft:
    """Storeys without a room that lie just above or below one with rooms are reference levels: folded into it."""
    roomed = {r.storey_key for r in draft.rooms if r.indoors}
    by_key = {s.key: s for s in draft.storeys}
    into: dict[str, str] = {}
    for storey in draft.storeys:
        if storey.key in roomed or not roomed:
            continue
        nearest = min((by_key[k] for k in roomed), key=lambda s: abs(s.elevation_m - storey.elevation_m))
        if abs(nearest.elevation_m - storey.elevation_m) < _STRAY_M:
            into[storey.key] = nearest.key
            report.add(
                "storey",
                (storey.name,),
                f"taken as part of “{nearest.name}”: no room stands on it and it lies "
                f"{abs(nearest.elevation_m - storey.elevation_m):.2f} m away",
                "nothing to do, unless it is a floor of its own",
            )
    if not into:
        return draft
    lift = {k: by_key[k].elevation_m - by_key[v].elevation_m for k, v in into.items()}

    def key(old: str) -> str:
        return into.get(old, old)

    def up(old: str, value: float) -> float:
        return value + lift.get(old, 0.0)

    return replace(
        draft,
        storeys=tuple(s for s in draft.storeys if s.key not in into),
        walls=tuple(replace(w, storey_key=key(w.storey_key), base_m=up(w.storey_key, w.base_m)) for w in draft.walls),
        rooms=tuple(replace(r, storey_key=key(r.storey_key), base_m=up(r.storey_key, r.base_m)) for r in draft.rooms),
        openings=tuple(
            replace(o, storey_key=key(o.storey_key), sill_m=None if o.sill_m is None else up(o.storey_key, o.sill_m))
            for o in draft.openings
        ),
        stairs=tuple(replace(s, lower_key=key(s.lower_key), upper_key=key(s.upper_key)) for s in draft.stairs),
        obstacles=tuple(
            replace(
                o,
                storey_key=key(o.storey_key),
                base_m=max(0.0, up(o.storey_key, o.base_m)),
                height_m=max(0.05, up(o.storey_key, o.height_m)),
            )
            for o in draft.obstacles
        ),
        heat=tuple((k, kind, key(s), p, max(0.0, up(s, h))) for k, kind, s, p, h in draft.heat),
    )


def levels_of(draft: Draft, ids: Ids, report: Report) -> list[Level]:
    """Storeys with their heights, lowest first.

    Parameters
    ----------
    draft : Draft
        With storeys settled.
    ids : Ids
        Gives out ids.
    report : Report
        Takes the guesses.
    """
    storeys = draft.storeys
    levels = []
    for n, storey in enumerate(storeys):
        above = storeys[n + 1].elevation_m - storey.elevation_m if n + 1 < len(storeys) else None
        height = _height(draft, storey.key, storey.height_m, above)
        key = ids.name("storey", storey.name)
        if height is None:
            height = DEFAULT_HEIGHT_M if above is None or above < 0.3 else above
            if above is None:
                report.add(
                    "storey height",
                    (key,),
                    f"{height:.2f} m: nothing in the source gives it",
                    "measure it, set height_m",
                )
        levels.append(Level(storey.key, key, storey.name, storey.elevation_m, min(max(height, 0.1), 60.0)))
    return levels


def _height(draft: Draft, key: str, stated: float | None, above: float | None) -> float | None:
    limit = above if above is not None and above > 1.8 else None

    def within(values: Sequence[float]) -> float | None:
        if not values:
            return None
        middle = statistics.median(values)
        return middle if limit is None else min(middle, limit)

    if stated is not None and 0.1 < stated < 60.0:
        return stated
    rooms = [r.base_m + r.height_m for r in draft.rooms if r.storey_key == key and r.height_m is not None and r.indoors]
    walls = [
        w.base_m + w.height_m for w in draft.walls if w.storey_key == key and w.height_m and w.base_m + w.height_m > 1.5
    ]
    return within(rooms) or within(walls)


def level_at(levels: Sequence[Level], z: float) -> Level | None:
    """The highest level whose floor lies below a height and whose ceiling is not far under it.

    Parameters
    ----------
    levels : sequence of Level
        Lowest first.
    z : float
        Height above the building's zero. [m]
    """
    fitting = [lv for lv in levels if lv.elevation - 0.3 <= z <= lv.ceiling + 0.8]
    return fitting[-1] if fitting else None
