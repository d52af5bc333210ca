"""The search over differences of times agrees with plain ticking, and each slice can do all the whole can."""

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from wardwright.panel.events import (
    Action,
    Ask,
    Condition,
    Elapse,
    Event,
    PathEvent,
    Say,
    Sound,
    UserEvent,
    WrongCode,
    ZoneEvent,
)
from wardwright.panel.explore import Seen, World, explore
from wardwright.panel.programme import AreaRow, PanelProgramme, PathRow, Response, ZoneRow
from wardwright.panel.slices import Slice, area_slice, sounder_slice, zone_classes
from wardwright.panel.state import PanelState, at_rest, timers, with_timers
from wardwright.panel.step import next_due_ms, step

RESPONSES = [Response.ENTRY_EXIT, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER, Response.DAY_24H]


@st.composite
def programmes(draw: st.DrawFn, zones: int = 2, areas: int = 1) -> PanelProgramme:
    """A few zones; times of a few milliseconds, so that ticking can follow."""
    short = st.integers(0, 4)
    rows = tuple(
        ZoneRow(
            number,
            f"zone {number}",
            draw(st.sampled_from([(0,)] if areas == 1 else [(0,), (1,), (0, 1)])),
            draw(st.sampled_from(RESPONSES)),
            watched_inside=draw(st.booleans()),
            swinger_count=draw(st.integers(1, 2)),
            silent=draw(st.booleans()),
        )
        for number in range(1, draw(st.integers(1, zones)) + 1)
    )
    return PanelProgramme(
        zones=rows,
        areas=tuple(AreaRow(f"area {a}", draw(short), draw(short)) for a in range(areas)),
        bell_ms=draw(st.integers(0, 5)),
        bell_limit=draw(st.integers(1, 2)),
        exit_restart=draw(st.booleans()),
        two_stage_setting=draw(st.booleans()),
        off_route_stops_setting=draw(st.booleans()),
        exit_error=draw(st.booleans()),
        unvacated_to_inside=draw(st.booleans()),
        bell_while_unset=draw(st.booleans()),
        power_return_ignore_ms=2,
        wrong_code_limit=2,
        lockout_ms=draw(st.integers(1, 3)),
    )


def happenings(programme: PanelProgramme) -> list[Event]:
    events: list[Event] = []
    for area in range(len(programme.areas)):
        events += [UserEvent(ask, area) for ask in (Ask.SET_AWAY, Ask.SET_INSIDE, Ask.UNSET)]
    for zone in range(len(programme.zones)):
        events += [ZoneEvent(zone, Condition.ACTIVE), ZoneEvent(zone, Condition.NORMAL)]
    return [*events, WrongCode()]


def untimed(state: PanelState) -> PanelState:
    return with_timers(state, [1 if t else 0 for t in timers(state)])


def forget_fine_print(state: PanelState) -> PanelState:
    """Without paths nothing reads these; they would only multiply states."""
    zones = tuple(z._replace(in_memory=False) for z in state.zones)
    return state._replace(areas=tuple(a._replace(recent_left_ms=0) for a in state.areas), zones=zones)


def flat(programme: PanelProgramme, events: list[Event]) -> set[PanelState]:
    """Every state reached by ticks of one unit."""
    begin = forget_fine_print(at_rest(programme))
    seen, todo = {begin}, deque([begin])
    while todo:
        state = todo.popleft()
        for event in [*events, Elapse(1)]:
            after = forget_fine_print(step(programme, state, event)[0])
            if after not in seen:
                seen.add(after)
                todo.append(after)
    return {untimed(s) for s in seen}


def by_differences(programme: PanelProgramme, events: list[Event]) -> set[PanelState]:
    reached: set[PanelState] = set()

    def remember(state: PanelState) -> PanelState:
        kept = forget_fine_print(state)
        reached.add(untimed(kept))
        return kept

    world = World(programme, lambda state: [(e, state) for e in events], forget=remember)
    assert explore(world, {}).complete
    return reached


@settings(max_examples=12, deadline=None)
@given(programmes())
def test_both_reach_the_same_states(programme: PanelProgramme) -> None:
    events = [e for e in happenings(programme) if not isinstance(e, WrongCode)]
    assert by_differences(programme, events) == flat(programme, events)


def test_both_agree_on_what_can_fall_due_in_which_order() -> None:
    programme = PanelProgramme(
        zones=(ZoneRow(1, "door", (0,), Response.ENTRY_EXIT), ZoneRow(2, "window", (0,), Response.PERIMETER)),
        areas=(AreaRow("house", 3, 5),),
        bell_ms=4,
        wrong_code_limit=2,
        lockout_ms=3,
    )
    events = happenings(programme)
    assert by_differences(programme, events) == flat(programme, events)


Shape = tuple[object, ...]


def shape(state: PanelState, at: int) -> Shape:
    a = state.areas[at]
    return a.phase, a.inside, a.left_ms > 0, a.exit_restarted, a.left_by_door


def told(actions: Iterable[Action]) -> bool:
    return any(isinstance(a, Say) and a.text.startswith("alarm: ") for a in actions)


def told_of(action: Action, area: int) -> bool:
    return isinstance(action, Say) and action.area == area


def offered(part: Slice) -> set[tuple[object, ...]]:
    """Every step the slice can make: from where, by what, to where, and whether it alarms."""
    steps: set[tuple[object, ...]] = set()

    def note(seen: Seen) -> str:
        event = seen.event
        by: object = type(event)
        if isinstance(event, ZoneEvent):
            by = (event.zone, event.condition)
        elif isinstance(event, UserEvent):
            by = (event.ask, event.area)
        steps.add((shape(seen.before, 0), by, shape(seen.after, 0), told(seen.actions)))
        return ""

    assert explore(part.world, {"note": note}).complete
    return steps


def random_walk(programme: PanelProgramme, data: st.DataObject, length: int) -> Iterator[tuple[PanelState, Event]]:
    """A run that gets somewhere: mostly what is likely to happen next, now and then anything at all."""
    state = at_rest(programme)
    asks = [UserEvent(ask, a) for a in range(len(programme.areas)) for ask in (Ask.SET_AWAY, Ask.SET_INSIDE)]
    zones = range(len(programme.zones))
    trips = [ZoneEvent(z, c) for z in zones for c in (Condition.ACTIVE, Condition.NORMAL)]
    rest: list[Event] = [UserEvent(Ask.UNSET, a) for a in range(len(programme.areas))]
    rest += [UserEvent(Ask.INHIBIT, programme.zones[z].areas[0], z) for z in zones]
    rest.append(WrongCode())
    for _ in range(length):
        due = next_due_ms(programme, state)
        later: list[Event] = [Elapse(due)] if due else []
        fresh = [e for e in trips if state.zones[e.zone].condition is not e.condition]
        kinds: list[list[Event]] = [k for k in ([*asks], [*fresh], later, later, rest) if k]
        event = data.draw(st.sampled_from(data.draw(st.sampled_from(kinds))))
        yield state, event
        state, _ = step(programme, state, event)


@settings(max_examples=600, deadline=None)
@given(programmes(zones=4, areas=2), st.data())
def test_an_area_slice_can_do_all_that_the_whole_can(programme: PanelProgramme, data: st.DataObject) -> None:
    area = data.draw(st.integers(0, 1))
    classes = list(zone_classes(programme, area).values())
    if not classes:
        return
    steps = offered(area_slice(programme, area))
    for state, event in random_walk(programme, data, 40):
        after, actions = step(programme, state, event)
        before, ends, alarm = shape(state, area), shape(after, area), told(actions)
        by: object = type(event)
        if isinstance(event, ZoneEvent):
            here = [i for i, members in enumerate(classes) if event.zone in members]
            by = (here[0], event.condition) if here else "a zone elsewhere"
            alarm = alarm and bool(here)
        elif isinstance(event, UserEvent):
            by = (event.ask, 0) if event.area == area else "asked of another area"
        elif before == ends:
            alarm = False  # of another area
        if before == ends and not alarm:
            continue  # nothing the slice keeps has changed
        # two areas may run out at the same moment: an alarm told of the other one is none of this slice's
        elsewhere = isinstance(event, Elapse) and alarm and not told(a for a in actions if told_of(a, area))
        assert (before, by, ends, alarm) in steps or (elsewhere and (before, by, ends, False) in steps)


@settings(max_examples=40, deadline=None)
@given(programmes(zones=3, areas=2), st.data())
def test_a_sounder_slice_can_do_all_that_the_whole_can(programme: PanelProgramme, data: st.DataObject) -> None:
    part = sounder_slice(programme, "bell")
    reached = {(False, 0)}
    original = part.world.forget

    def remember(state: PanelState) -> PanelState:
        kept = original(state)
        reached.add((kept.bell_left_ms > 0, kept.bell_count))
        return kept

    explore(replace(part.world, forget=remember, steps={}), {})
    for state, event in random_walk(programme, data, 40):
        after, actions = step(programme, state, event)
        assert (after.bell_left_ms > 0, after.bell_count) in reached
        if Sound("bell", True) in actions:
            assert programme.bell_ms > 0


@settings(max_examples=60, deadline=None)
@given(programmes(zones=3), st.data())
def test_times_left_decide_only_what_falls_due_first(programme: PanelProgramme, data: st.DataObject) -> None:
    """The premise of the search: other times left, same order, same step."""
    programme = replace(programme, paths=(PathRow("ip", send_ms=2),), abort_ms=3, entry_warning_ms=2, cancel_ms=4)
    state = at_rest(programme)
    for _ in range(25):
        due = next_due_ms(programme, state)
        choices: list[Event] = [*happenings(programme), PathEvent(0, up=not state.paths_up[0])]
        event = data.draw(st.sampled_from([*choices, *([Elapse(due)] if due else [])]))
        left = timers(state)
        first = min((t for t in left if t), default=0)
        later = [0 if t == 0 else (1 if t == first else 10**9 + t) for t in left]
        one, did = step(programme, state, event)
        other, also = step(programme, with_timers(state, later), Elapse(1) if isinstance(event, Elapse) else event)
        assert did == also
        assert untimed(one) == untimed(other)
        state = one
