"""Smaller worlds that can do all a programme can do to what a property asks about, and a little more.

One area is kept; every other one stands in any phase, afresh at each step. Zones keep nothing: each may be at rest,
open, tampered with, left out or shut down whenever that matters. So whatever the whole programme can do, the slice can
do too, and what the slice cannot do is proved. What it can do is replayed on the whole programme before it is called
refuted.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from wardwright.panel.events import (
    Ask,
    Condition,
    Event,
    PathEvent,
    SupplyEvent,
    TamperEvent,
    UserEvent,
    WrongCode,
    ZoneEvent,
)
from wardwright.panel.explore import World
from wardwright.panel.programme import AreaRow, PanelProgramme, Response, ZoneRow
from wardwright.panel.state import AreaState, PanelState, ZoneState, at_rest
from wardwright.panel.tables import Phase

ANY_AREA = 1
PHASES_OF_OTHERS = (
    AreaState(),
    AreaState(phase=Phase.EXIT),
    AreaState(phase=Phase.SET),
    AreaState(phase=Phase.SET, inside=True),
    AreaState(phase=Phase.ENTRY),
)


@dataclass(frozen=True)
class Slice:
    """A world, and which zone of the whole programme each of its zones stands for."""

    world: World
    zones: tuple[int, ...]
    """Index in the whole programme of each zone here."""
    area: int
    """Index in the whole programme of the area kept; -1: any."""


def zone_classes(programme: PanelProgramme, area: int, apart: frozenset[int] = frozenset()) -> dict[ZoneRow, list[int]]:
    """Zones that the programme treats alike, save for number, name, room and detector.

    Parameters
    ----------
    programme : PanelProgramme
        The whole of it.
    area : int
        The area looked at.
    apart : frozenset of int
        Zones that are a class of their own, since a property names them.

    Returns
    -------
    dict of ZoneRow to list of int
        Indices of the zones of each class.
    """
    found: dict[ZoneRow, list[int]] = {}
    for index, row in enumerate(programme.zones):
        if area not in row.areas:
            continue
        areas = (0, ANY_AREA) if len(row.areas) > 1 else (0,)
        number = row.number if index in apart else 0
        key = replace(row, number=number, name="", room="", detector="", areas=areas, cross_zone=None, chime=False)
        found.setdefault(key, []).append(index)
    return found


def area_slice(programme: PanelProgramme, area: int, apart: frozenset[int] = frozenset()) -> Slice:
    """One area with its countdowns, zones as classes, sounders and reports left out.

    Parameters
    ----------
    programme : PanelProgramme
        The whole of it.
    area : int
        Which area.
    apart : frozenset of int
        Zones that stand for nobody but themselves.

    Returns
    -------
    Slice
        The world to explore.
    """
    classes = zone_classes(programme, area, apart)
    members = tuple(indices[0] for indices in classes.values())
    rows = tuple(
        replace(key, number=programme.zones[i].number, name=programme.zones[i].name, room=programme.zones[i].room)
        for key, i in zip(classes, members, strict=True)
    )
    shared = any(ANY_AREA in row.areas for row in rows)
    beside = {a for indices in classes.values() for i in indices for a in programme.zones[i].areas if a != area}
    hasty = any(programme.areas[a].entry_ms == 0 for a in beside)
    another = AreaRow("another", 0 if hasty else 1, 1)
    areas = (programme.areas[area], another) if shared else (programme.areas[area],)
    small = replace(programme, zones=rows, areas=areas)
    start = at_rest(small)
    world = World(
        small,
        partial(_happenings, small),
        partial(_standing_for, small),
        partial(_kept, start),
        reductions=_words(programme, classes),
    )
    return Slice(world, members, area)


def _words(programme: PanelProgramme, classes: dict[ZoneRow, list[int]]) -> tuple[str, ...]:
    zones = sum(map(len, classes.values()))
    words = [f"{zones} zones as {len(classes)} that are treated alike, each in any condition at any time"]
    if len(programme.areas) > 1:
        words.append("one area at a time, the others in any phase")
    words.append("report queue, supply and sounders left out, since they move no area")
    words.append("time advanced to what falls due next (differences of times left)")
    return tuple(words)


def _kept(start: PanelState, state: PanelState) -> PanelState:
    area = state.areas[0]
    kept = AreaState(
        phase=area.phase,
        inside=area.inside,
        left_ms=area.left_ms,
        exit_restarted=area.exit_restarted,
        left_by_door=area.left_by_door,
    )
    return start._replace(areas=(kept, *start.areas[1:]))


def _others(programme: PanelProgramme, state: PanelState) -> Iterator[PanelState]:
    if len(programme.areas) == 1:
        yield state
        return
    for other in PHASES_OF_OTHERS:
        yield state._replace(areas=(state.areas[0], other))


def _with_zone(state: PanelState, zone: int, kept: ZoneState) -> PanelState:
    return state._replace(zones=(*state.zones[:zone], kept, *state.zones[zone + 1 :]))


def _zone_variants(programme: PanelProgramme, state: PanelState) -> Iterator[PanelState]:
    """All at rest, or one zone open: enough for every way in which setting can turn out."""
    yield state
    for zone in range(len(programme.zones)):
        yield _with_zone(state, zone, ZoneState(condition=Condition.ACTIVE))


def _standing_for(programme: PanelProgramme, state: PanelState) -> Iterator[PanelState]:
    if state.areas[0].phase is Phase.EXIT:
        yield from _zone_variants(programme, state)
        if "mains" in programme.prevent_set:
            yield state._replace(mains_good=False)
    else:
        yield state


def _happenings(programme: PanelProgramme, state: PanelState) -> Iterable[tuple[Event, PanelState]]:
    for ask in (Ask.SET_AWAY, Ask.SET_INSIDE):
        for acting in _zone_variants(programme, state):
            yield UserEvent(ask), acting
    for zone, row in enumerate(programme.zones):
        variants = list(_others(programme, state)) if row.areas != (0,) else [state]
        for acting in variants:
            yield ZoneEvent(zone, Condition.ACTIVE), acting
            yield ZoneEvent(zone, Condition.TAMPER), acting
            yield ZoneEvent(zone, Condition.MASKED), acting
        yield ZoneEvent(zone, Condition.FAULT), state
        yield ZoneEvent(zone, Condition.MISSING), state
        yield ZoneEvent(zone, Condition.ACTIVE), _with_zone(state, zone, ZoneState(trips=1))
        opened = ZoneState(condition=Condition.ACTIVE)
        yield ZoneEvent(zone, Condition.NORMAL), _with_zone(state, zone, opened)
        for other in range(len(programme.zones)):
            if programme.two_stage_setting and other != zone:
                yield ZoneEvent(zone, Condition.NORMAL), _with_zone(_with_zone(state, zone, opened), other, opened)
        if state.areas[0].phase is Phase.UNSET and 0 in row.areas:
            for out in (ZoneState(inhibited=True), ZoneState(isolated=True)):
                for ask in (Ask.SET_AWAY, Ask.SET_INSIDE):
                    if row.may_bypass:
                        yield UserEvent(ask), _with_zone(state, zone, out)
            yield UserEvent(Ask.INHIBIT, zone=zone), state
            yield UserEvent(Ask.ISOLATE, zone=zone), state
        elif row.may_bypass:
            for out in (ZoneState(inhibited=True), ZoneState(isolated=True)):
                yield UserEvent(Ask.UNSET), _with_zone(state, zone, out)
                yield ZoneEvent(zone, Condition.ACTIVE), _with_zone(state, zone, out)
    for acting in _others(programme, state):
        yield UserEvent(Ask.UNSET), acting
        yield UserEvent(Ask.DURESS_UNSET), acting
    yield UserEvent(Ask.HOLD_UP), state
    yield UserEvent(Ask.RESTORE), state
    yield WrongCode(), state._replace(wrong_codes=programme.wrong_code_limit - 1)
    yield TamperEvent("panel lid", good=False), state
    for what in ("mains", "battery"):
        yield SupplyEvent(what, good=False), state
    yield SupplyEvent("mains", good=True), state._replace(mains_good=False, mains_reported=True)
    for path in range(len(programme.paths)):
        yield PathEvent(path, up=False), state


def sounder_slice(programme: PanelProgramme, output: str) -> Slice:
    """What sounds, and how often it has; areas and zones stand in any way at any time.

    Parameters
    ----------
    programme : PanelProgramme
        The whole of it.
    output : str
        ``bell`` or ``inner``.

    Returns
    -------
    Slice
        To be explored from rest.
    """
    rows: dict[ZoneRow, int] = {}
    for index, row in enumerate(programme.zones):
        alike = ZoneRow(
            0, "", (0,), row.response, watched_inside=row.watched_inside, silent=row.silent, swinger_count=9
        )
        rows.setdefault(alike, index)
    small = replace(programme, zones=tuple(rows), areas=(AreaRow("any", 1, 1), AreaRow("another", 1, 1)))
    start = at_rest(small)
    now = -1
    phases = [
        *PHASES_OF_OTHERS,
        AreaState(phase=Phase.ENTRY, left_ms=now),
        AreaState(phase=Phase.EXIT, left_ms=now),
        AreaState(phase=Phase.EXIT, left_ms=now, left_by_door=True),
    ]
    others = [AreaState(), AreaState(phase=Phase.SET), AreaState(phase=Phase.SET, alarmed=True)]
    others.append(AreaState(alarmed=True))

    def kept(state: PanelState) -> PanelState:
        if output == "inner":
            return start._replace(inner_left_ms=state.inner_left_ms)
        return start._replace(bell_left_ms=state.bell_left_ms, bell_count=state.bell_count)

    def ways(state: PanelState, due: bool) -> Iterator[PanelState]:
        for area in phases:
            if (area.left_ms == now) is due:
                for other in others:
                    yield state._replace(areas=(area, other))

    def standing_for(state: PanelState) -> Iterator[PanelState]:
        yield state
        for acting in ways(state, due=True):
            yield from _zone_variants(small, acting)

    def happenings(state: PanelState) -> Iterator[tuple[Event, PanelState]]:
        for acting in ways(state, due=False):
            for zone in range(len(small.zones)):
                for condition in (Condition.ACTIVE, Condition.TAMPER, Condition.MASKED):
                    yield ZoneEvent(zone, condition), acting
            for ask in (Ask.UNSET, Ask.DURESS_UNSET, Ask.HOLD_UP, Ask.RESTORE, Ask.SET_AWAY, Ask.SET_INSIDE):
                yield UserEvent(ask), acting
            yield TamperEvent("panel lid", good=False), acting
        yield SupplyEvent("power", good=False), state

    world = World(
        small,
        happenings,
        standing_for,
        kept,
        reductions=(
            f"{len(programme.zones)} zones as {len(rows)} that are treated alike, each in any condition at any time",
            "areas in any phase at any time, their countdowns falling due whenever they like",
            "report queue and supply left out, since they sound nothing",
            "time advanced to what falls due next (differences of times left)",
        ),
    )
    return Slice(world, tuple(rows.values()), -1)


def confirm_slice(programme: PanelProgramme, area: int) -> World | None:
    """Alarms of three detectors in one area, for the rule of confirmation; None where fewer than two watch.

    Parameters
    ----------
    programme : PanelProgramme
        The whole of it.
    area : int
        Which area.

    Returns
    -------
    World or None
        To be explored from the moment it is set.
    """
    instant = (Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)
    rows = [
        replace(row, areas=(0,), cross_zone=None, swinger_count=9)
        for row in programme.zones
        if area in row.areas and row.response in instant and row.guards
    ]
    by_detector = {row.detector or f"zone {row.number}": row for row in rows}
    chosen = list(by_detector.values())[:3]
    if len(chosen) < 2:
        return None
    twins = [r for r in rows if r not in chosen and r.detector == chosen[0].detector][:1]
    small = replace(programme, zones=(*chosen, *twins), areas=(programme.areas[area],))
    start = at_rest(small)

    def kept(state: PanelState) -> PanelState:
        a = state.areas[0]
        return start._replace(
            areas=(
                AreaState(
                    phase=a.phase,
                    confirm_left_ms=a.confirm_left_ms,
                    first_detector=a.first_detector,
                    confirmed=a.confirmed,
                    confirm_off=a.confirm_off,
                ),
            )
        )

    def happenings(state: PanelState) -> Iterator[tuple[Event, PanelState]]:
        for zone in range(len(small.zones)):
            yield ZoneEvent(zone, Condition.ACTIVE), state
        yield UserEvent(Ask.UNSET), state

    return World(
        small,
        happenings,
        forget=kept,
        start=start._replace(areas=(AreaState(phase=Phase.SET),)),
        reductions=(
            "three detectors stand for all, since only alike and not alike are told apart",
            "time advanced to what falls due next (differences of times left)",
        ),
    )
