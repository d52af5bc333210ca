"""The properties of a programme, proved or refuted one by one."""

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from wardwright.panel.events import Ask, Condition, Event, Say, TamperEvent, UserEvent, ZoneEvent
from wardwright.panel.explore import MARK, Check, Explored, Monitor, Seen, World, explore
from wardwright.panel.programme import PanelProgramme, Response
from wardwright.panel.properties import (
    PROPERTIES,
    Property,
    bell_count,
    confirmed_by_two,
    entry_ends,
    exit_ends,
    is_alarm,
    sound_stops,
)
from wardwright.panel.reporting import delivered_in_turn, longest_wait_ms, report_slice
from wardwright.panel.slices import Slice, area_slice, confirm_slice, sounder_slice, zone_classes
from wardwright.panel.state import PanelState, timers, with_timers
from wardwright.panel.step import step
from wardwright.panel.story import as_events, in_words, moments, replay

HUNT = 4000
"""States of the whole programme searched for a story, where the slice's own does not fit."""


@dataclass(frozen=True)
class Answer:
    """One property of one programme."""

    key: str
    claim: str
    over: str
    exclusions: str
    proved: bool | None
    """None: not decided."""
    words: str = ""
    """What is wrong where it is refuted, or why it is not decided."""
    story: str = ""
    """Shortest story that shows it, replayed on the programme itself."""
    area: int = -1
    """Area it was found in; -1: the whole panel."""
    zone: int | None = None
    """Zone of the last step of the story."""
    reductions: tuple[str, ...] = ()
    bound: str = ""
    states: int = 0
    transitions: int = 0
    seconds: float = 0.0


@dataclass(frozen=True)
class _Question:
    key: str
    claim: str
    over: str
    exclusions: str
    check: Check | None = None
    monitor: Monitor | None = None


def verify(
    programme: PanelProgramme,
    bell_limit_ms: int = 900_000,
    own: Sequence[Property] = (),
) -> tuple[Answer, ...]:
    """Prove or refute every property of a programme.

    Parameters
    ----------
    programme : PanelProgramme
        What the panel is told.
    bell_limit_ms : int
        Longest permitted time of a sounder. [ms]
    own : sequence of Property
        The contractor's own.

    Returns
    -------
    tuple of Answer
        One for each property: proved where every area proves it.
    """
    found: list[Answer] = []
    named = {zone for asked in own for zone in asked.zones}
    apart = frozenset(i for i, row in enumerate(programme.zones) if row.number in named)
    for area in range(len(programme.areas)):
        found += _area(programme, area, own, apart)
    if programme.zones:
        found += _sounders(programme, bell_limit_ms)
    found += _reports(programme)
    found += _cross_zones(programme)
    found += _home_through_other_areas(programme)
    found.append(_accepts_everything(found))
    return _merged(found)


def _area(programme: PanelProgramme, area: int, own: Sequence[Property], apart: frozenset[int]) -> Iterator[Answer]:
    part = area_slice(programme, area, apart)
    asked = [_Question(p.key, p.claim, p.over, p.exclusions, p.check) for p in (*PROPERTIES, *own)]
    begin = time.perf_counter()
    explored = explore(part.world, {q.key: q.check for q in asked if q.check})
    seconds = (time.perf_counter() - begin) / len(asked)
    for question in asked:
        yield _answer(programme, question, part, explored, seconds)
    timed = (
        _Question("entry-ends", "Entry time ends in unsetting or an alarm, and nothing prolongs it.", "entry time",
                  "nothing", monitor=entry_ends(part.world.programme, 0)),
        _Question("exit-ends", "Exit time ends, and is started again once at most.", "exit time", "nothing",
                  monitor=exit_ends(part.world.programme, 0)),
    )  # fmt: skip
    for question in timed:
        assert question.monitor is not None
        begin = time.perf_counter()
        explored = explore(part.world, {}, (question.key, question.monitor))
        yield _answer(programme, question, part, explored, time.perf_counter() - begin)
    yield _order(part)
    yield from _confirmation(programme, area)


def _order(part: Slice) -> Answer:
    """Two zones that trip at the same moment, in both orders, in every state of the area that can be reached."""
    begin = time.perf_counter()
    programme, reached = part.world.programme, set[PanelState]()

    def remember(state: PanelState) -> PanelState:
        kept = part.world.forget(state)
        reached.add(with_timers(kept, [MARK if t else 0 for t in timers(kept)]))
        return kept

    explored = explore(replace(part.world, forget=remember, steps={}), {})
    differ: set[str] = set()
    for state in reached:
        for one, other in combinations(range(len(programme.zones)), 2):
            ends = []
            for pair in ((one, other), (other, one)):
                now = state
                for zone in pair:
                    now, _ = step(programme, now, ZoneEvent(zone, Condition.ACTIVE))
                ends.append((now.areas[0].phase, now.areas[0].inside))
            if ends[0] != ends[1]:
                names = " and ".join(f"“{programme.zones[z].place}”" for z in (one, other))
                differ.add(f"{names} ({state.areas[0].phase})")
    listed = f"In either order, save {', '.join(sorted(differ))}." if differ else ""
    return Answer(
        "same-in-any-order",
        f"Equal input gives equal result; which of two zones trips first leaves it set the same way. {listed}".strip(),
        "every mode",
        "pairs listed in the claim",
        explored.complete or None,
        area=part.area,
        reductions=part.world.reductions,
        states=explored.states,
        transitions=explored.transitions,
        seconds=time.perf_counter() - begin,
    )


def _confirmation(programme: PanelProgramme, area: int) -> Iterator[Answer]:
    world = confirm_slice(programme, area) if programme.confirmation else None
    if world is None:
        return
    question = _Question(
        "confirmed-by-two",
        "Two independent detectors within the window give just one confirmed signal, one alone never does.",
        "set away",
        "after an entry that stops confirmation, until the next setting; after entry time",
        monitor=confirmed_by_two(world.programme),
    )
    assert question.monitor is not None
    begin = time.perf_counter()
    explored = explore(world, {}, (question.key, question.monitor))
    numbers = [row.number for row in programme.zones]
    part = Slice(world, tuple(numbers.index(row.number) for row in world.programme.zones), area)
    yield _answer(programme, question, part, explored, time.perf_counter() - begin)


def _sounders(programme: PanelProgramme, limit_ms: int) -> Iterator[Answer]:
    for output, name in (("bell", "outer"), ("inner", "inner")):
        part = sounder_slice(programme, output)
        claim = f"The {name} sounder always stops within {limit_ms / 1000:g} s."
        asked = [
            _Question(f"{output}-stops", claim, "every mode", "a fire signal", monitor=sound_stops(output, limit_ms))
        ]
        if output == "bell":
            claim = f"The outer sounder sounds {programme.bell_limit} times at most before somebody unsets."
            asked.append(_Question("bell-count", claim, "every mode", "nothing", monitor=bell_count(programme)))
        for question in asked:
            assert question.monitor is not None
            begin = time.perf_counter()
            explored = explore(part.world, {}, (question.key, question.monitor))
            yield _answer(programme, question, part, explored, time.perf_counter() - begin)


def _reports(programme: PanelProgramme) -> Iterator[Answer]:
    each = longest_wait_ms(programme) / 1000
    question = _Question(
        "alarm-reported",
        "An alarm is reported over some path whenever any lives, and no report is lost before. "
        f"While a path lives, reports are acknowledged in turn, each within {each:.0f} s of the one before.",
        "every mode in which it alarms",
        "stopped by a user within the abort window; no power at all; the time starts afresh when a path comes or goes",
    )
    if not programme.paths:
        yield Answer(*_named(question), False, "there is no path over which an alarm could be reported")
        return
    held: dict[tuple[bool, bool], int] = {}
    for index, row in enumerate(programme.zones):
        if row.guards and row.response not in (Response.ENTRY_EXIT,):
            held.setdefault((row.response is Response.DAY_24H, row.silent), index)
    for index in held.values():
        world = report_slice(programme, index)
        monitor = delivered_in_turn(world.programme, 0)
        begin = time.perf_counter()
        explored = explore(world, {}, (question.key, monitor))
        part = Slice(world, (index,), programme.zones[index].areas[0])
        timed = replace(question, monitor=delivered_in_turn(programme, index))
        yield _answer(programme, timed, part, explored, time.perf_counter() - begin)


def _cross_zones(programme: PanelProgramme) -> Iterator[Answer]:
    """Each cross-zoned zone is tripped with its partner in every mode in which it is watched."""
    crossed = [(i, row, row.cross_zone) for i, row in enumerate(programme.zones) if row.cross_zone is not None]
    if not crossed:
        return
    answer = Answer(
        "cross-zone-alarms",
        "A zone that waits for a second one alarms as soon as that one trips.",
        "set away, set with people inside",
        "a second zone that trips after the cross-zone time",
        True,
        reductions=("each pair run in each mode",),
    )
    for zone, row, partner in crossed:
        for ask in (Ask.SET_AWAY, Ask.SET_INSIDE):
            if ask is Ask.SET_INSIDE and not row.watched_inside:
                continue
            exit_ms = max(area.exit_ms for area in programme.areas)
            doors = [] if ask is Ask.SET_INSIDE else [i for i, r in enumerate(programme.zones) if r.final_exit][:1]
            happened: list[tuple[int, Event]] = [(0, UserEvent(ask, area)) for area in range(len(programme.areas))]
            for door in doors:
                happened += [(0, ZoneEvent(door, Condition.ACTIVE)), (0, ZoneEvent(door, Condition.NORMAL))]
            happened += [
                (exit_ms, ZoneEvent(zone, Condition.ACTIVE)),
                (exit_ms, ZoneEvent(zone, Condition.NORMAL)),
                (exit_ms, ZoneEvent(partner, Condition.ACTIVE)),
            ]
            _, told = replay(programme, happened, None, None)
            if not any(isinstance(a, Say) and a.text.startswith("alarm: ") for m in told for a in m.actions):
                words = f"“{row.place}” waits for “{programme.zones[partner].place}” ({ask}), and never alarms"
                yield replace(answer, proved=False, words=words, story=in_words(programme, told), zone=zone)
                return
    yield answer


def _home_through_other_areas(programme: PanelProgramme) -> Iterator[Answer]:
    """Coming home by the only final door, past what is on the way in whatever area, with everything set."""
    doors = [i for i, row in enumerate(programme.zones) if row.final_exit]
    home = next(p for p in PROPERTIES if p.key == "coming-home")
    passed = [i for i, row in enumerate(programme.zones) if row.on_way and i not in doors]
    if len(doors) != 1 or len(programme.areas) < 2:
        return
    exit_ms = max(area.exit_ms for area in programme.areas)
    happened: list[tuple[int, Event]] = [(0, UserEvent(Ask.SET_AWAY, area)) for area in range(len(programme.areas))]
    happened += [(0, ZoneEvent(doors[0], Condition.ACTIVE)), (0, ZoneEvent(doors[0], Condition.NORMAL))]
    happened += [(exit_ms, ZoneEvent(zone, Condition.ACTIVE)) for zone in (*doors, *passed)]

    def alarms(seen: Seen) -> str:
        if not is_alarm(seen) or not isinstance(seen.event, ZoneEvent):
            return ""
        return f"coming home, “{seen.programme.zones[seen.event.zone].place}” alarms: its area is not entered"

    words, told = replay(programme, happened, alarms, None)
    yield Answer(
        home.key,
        home.claim,
        home.over,
        home.exclusions,
        not words,
        words,
        in_words(programme, told) if words else "",
        zone=_last_zone(told[-1].event) if words else None,
        reductions=("the way home run once with everything set",),
    )


def _accepts_everything(found: list[Answer]) -> Answer:
    """The search ran the transition function on everything; a state without an answer would have stopped it."""
    return Answer(
        "never-stuck",
        "The panel never deadlocks: in every state it has an answer to everything that can happen.",
        "every mode",
        "nothing",
        True,
        states=sum(a.states for a in found),
        transitions=sum(a.transitions for a in found),
        reductions=("the searches of all other properties together",),
    )


def _named(question: _Question) -> tuple[str, str, str, str]:
    return question.key, question.claim, question.over, question.exclusions


def _answer(programme: PanelProgramme, question: _Question, part: Slice, explored: Explored, seconds: float) -> Answer:
    world = part.world
    proved = Answer(
        *_named(question),
        proved=True,
        area=part.area,
        reductions=world.reductions,
        bound=world.bound,
        states=explored.states,
        transitions=explored.transitions,
        seconds=seconds,
    )
    violation = explored.violations.get(question.key)
    if violation is None:
        if explored.complete:
            return proved
        return replace(proved, proved=None, words=f"the search stopped at {explored.states} states")
    begin = time.perf_counter()
    events = as_events(programme, violation.legs, part.zones, part.area)
    if events is not None:
        words, told = replay(programme, events, question.check, question.monitor)
        if words:
            spent = seconds + time.perf_counter() - begin
            zone = _last_zone(told[-1].event) if told else None
            return replace(
                proved, proved=False, words=words, story=in_words(programme, told), zone=zone, bound="", seconds=spent
            )
    hunted = _hunt(programme, question, part)
    spent = seconds + time.perf_counter() - begin
    if hunted is not None:
        words, story, zone = hunted
        return replace(proved, proved=False, words=words, story=story, zone=zone, bound="", seconds=spent)
    words = f"the reduced search finds: {violation.words}; no story of the whole programme was found to show it"
    bound = f"{HUNT} states of the whole programme searched"
    return replace(proved, proved=None, words=words, bound=bound, seconds=spent)


def _last_zone(event: Event) -> int | None:
    return event.zone if isinstance(event, ZoneEvent) else None


def _hunt(programme: PanelProgramme, question: _Question, part: Slice) -> tuple[str, str, int | None] | None:
    """Search the whole programme itself, a representative of each class of zones, for a story; bounded."""
    areas = range(len(programme.areas)) if part.area < 0 else (part.area,)
    chosen = sorted({members[0] for area in areas for members in zone_classes(programme, area).values()})
    events: list[Event] = []
    for area in range(len(programme.areas)):
        events += [UserEvent(ask, area) for ask in (Ask.SET_AWAY, Ask.SET_INSIDE, Ask.UNSET)]
    for zone in chosen:
        events += [ZoneEvent(zone, Condition.ACTIVE), ZoneEvent(zone, Condition.NORMAL)]
    events.append(TamperEvent("panel lid", good=False))

    def happenings(state: PanelState) -> Iterator[tuple[Event, PanelState]]:
        for event in events:
            if not isinstance(event, ZoneEvent) or state.zones[event.zone].condition is not event.condition:
                yield event, state

    def without_reports(state: PanelState) -> PanelState:
        areas = tuple(a._replace(recent_left_ms=0, cancel_left_ms=0) for a in state.areas)
        return state._replace(areas=areas, queue=(), sending_ms=0, sending_path=-1, sending=None)

    world = World(programme, happenings, forget=without_reports)
    checks = {question.key: question.check} if question.check else {}
    monitor = (question.key, question.monitor) if question.monitor else None
    explored = explore(world, checks, monitor, HUNT)
    violation = explored.violations.get(question.key)
    if violation is None:
        return None
    times = moments(violation.legs)
    if times is None:
        return None
    happened = [(at, leg.event) for at, leg in zip(times, violation.legs, strict=True)]
    words, told = replay(programme, happened, question.check, question.monitor)
    return (words, in_words(programme, told), _last_zone(told[-1].event)) if words else None


def _merged(found: list[Answer]) -> tuple[Answer, ...]:
    """One answer for each property: the first that refutes it, else one that leaves it open, else proved."""
    rank = {False: 0, None: 1, True: 2}
    kept: dict[str, Answer] = {}
    for answer in found:
        before = kept.get(answer.key)
        if before is None:
            kept[answer.key] = answer
            continue
        worse = answer if rank[answer.proved] < rank[before.proved] else before
        kept[answer.key] = replace(
            worse,
            states=before.states + answer.states,
            transitions=before.transitions + answer.transitions,
            seconds=before.seconds + answer.seconds,
            area=worse.area if not worse.proved else -1,
        )
    return tuple(kept.values())
