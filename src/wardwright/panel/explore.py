"""Everything a programme can do: an exhaustive search over states and times, with the shortest story to each.

A node is a panel's state with its times taken out, and the set of times that can be left (``difference_bounds``). From
a node either something happens while all timers run, or some timers fall due together. The panel's own ``step`` is
run for both, with numbered marks for times: a mark that is still there afterwards is a timer that ran on, any other
number a timer that was started. Why that is exact, and what each reduction leaves out, is said in the decision record
on exploring programmes.
"""

from collections import deque
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from itertools import chain, combinations
from typing import NamedTuple

from wardwright.panel.difference_bounds import (
    NOTHING,
    Bounds,
    carried,
    contains,
    falling_due,
    let_time_pass,
)
from wardwright.panel.events import Action, Elapse, Event
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.state import PanelState, at_rest, timers, with_timers
from wardwright.panel.step import step

MARK = 10**12
"""Times left are marked by numbers no programme uses."""


class Seen(NamedTuple):
    """One step, as a property sees it. Of times only whether they run may be asked."""

    programme: PanelProgramme
    before: PanelState
    event: Event
    """``Elapse`` when timers fall due."""
    actions: tuple[Action, ...]
    after: PanelState


class Watch(NamedTuple):
    """What a property remembers, with one timer of its own."""

    memory: Hashable = None
    left_ms: int = 0


Check = Callable[[Seen], str]
"""Empty, or what is wrong with this one step."""
Monitor = Callable[[Watch, Seen, bool], Watch | str]
"""What it remembers next, or what is wrong; the last argument says that its own timer fell due."""


@dataclass(frozen=True)
class World:
    """A programme and what may happen to it."""

    programme: PanelProgramme
    happenings: Callable[[PanelState], Iterable[tuple[Event, PanelState]]]
    """What may happen in a state, each with the state it happens in: that state itself, or one of those it stands for.
    """
    standing_for: Callable[[PanelState], Iterable[PanelState]] = lambda state: (state,)
    """States this one stands for when timers fall due; a time left of -1 is guessed to fall due now."""
    forget: Callable[[PanelState], PanelState] = lambda state: state
    """What is kept of a state."""
    start: PanelState | None = None
    reductions: tuple[str, ...] = ()
    bound: str = ""
    """Said where the search does not cover everything."""
    stop_at_due: bool = False
    """Time does not run out: what is asked is what happens before that."""
    steps: dict[Hashable, tuple[PanelState, tuple[int, ...], Seen]] = field(default_factory=dict, compare=False)


class Leg(NamedTuple):
    """One step of a story, with what is needed to time it."""

    event: Event
    acting: PanelState
    """The state it happened in, as guessed."""
    plain: PanelState
    sources: tuple[int, ...]
    due: frozenset[int]


class Violation(NamedTuple):
    """What is wrong, and the steps that lead to it."""

    words: str
    legs: tuple[Leg, ...]


@dataclass(frozen=True)
class Explored:
    """What a search found."""

    states: int
    transitions: int
    complete: bool
    """False when the search stopped at its limit."""
    violations: Mapping[str, Violation]


class _Node(NamedTuple):
    state: PanelState
    memory: Hashable
    watch_runs: bool
    bounds: Bounds
    parent: int
    leg: Leg | None


def explore(
    world: World,
    checks: Mapping[str, Check],
    monitor: tuple[str, Monitor] | None = None,
    limit: int = 200_000,
) -> Explored:
    """Search everything a programme can do in a world.

    Parameters
    ----------
    world : World
        Programme, what may happen, what is kept.
    checks : mapping of str to Check
        Asked of every step.
    monitor : (str, Monitor), optional
        One property with a memory; the search ends when it is violated.
    limit : int
        States after which the search gives up.

    Returns
    -------
    Explored
        First violation of each, which is a shortest one in steps.
    """
    begin = world.forget(world.start or at_rest(world.programme))
    nodes = [_Node(*_marked(begin, Watch()), NOTHING, -1, None)] if not any(timers(begin)) else [_started(begin)]
    passed: dict[Hashable, list[Bounds]] = {(nodes[0].state, None, False): [nodes[0].bounds]}
    todo = deque([0])
    found: dict[str, Violation] = {}
    transitions = 0
    while todo:
        at = todo.popleft()
        node = nodes[at]
        for bounds, event, acting, due in _moves(world, node):
            state, sources, seen = _stepped(world, event, acting, due)
            transitions += 1
            leg = Leg(event, acting, node.state, sources, due)
            for name, check in checks.items():
                if name not in found and (words := check(seen)):
                    found[name] = Violation(words, _way(nodes, at, leg))
            watch = Watch(node.memory, MARK if node.watch_runs else 0)
            if monitor:
                own = len(node.bounds) - 1 if node.watch_runs else -1
                next_watch = monitor[1](watch._replace(left_ms=0) if own in due else watch, seen, own in due)
                if isinstance(next_watch, str):
                    found[monitor[0]] = Violation(next_watch, _way(nodes, at, leg))
                    return Explored(len(nodes), transitions, True, found)
                watch = next_watch
                if watch.left_ms == MARK:
                    sources = (*sources, -own)
                elif watch.left_ms:
                    sources = (*sources, watch.left_ms)
                leg = leg._replace(sources=sources)
            after = let_time_pass(carried(bounds, sources)) if sources else NOTHING
            key = (state, watch.memory, watch.left_ms > 0)
            known = passed.setdefault(key, [])
            if any(contains(b, after) for b in known):
                continue
            known[:] = [b for b in known if not contains(after, b)]
            known.append(after)
            nodes.append(_Node(*key, after, at, leg))
            if len(nodes) > limit:
                return Explored(len(nodes), transitions, False, found)
            todo.append(len(nodes) - 1)
    return Explored(len(nodes), transitions, True, found)


def _started(state: PanelState) -> _Node:
    left = [t for t in timers(state) if t]
    return _Node(*_marked(state, Watch()), let_time_pass(carried(NOTHING, left)), -1, None)


def _marked(state: PanelState, watch: Watch) -> tuple[PanelState, Hashable, bool]:
    """The state with its running timers numbered from one."""
    number = 0
    marks = []
    for left in timers(state):
        number += 1 if left else 0
        marks.append(number if left else 0)
    return (with_timers(state, marks) if number else state), watch.memory, watch.left_ms > 0


def _moves(world: World, node: _Node) -> Iterable[tuple[Bounds, Event, PanelState, frozenset[int]]]:
    nothing: frozenset[int] = frozenset()
    for event, acting in world.happenings(node.state):
        yield node.bounds, event, acting, nothing
    running = len(node.bounds) - 1
    if world.stop_at_due:
        return
    numbers = range(1, running + 1)
    for first in chain.from_iterable(combinations(numbers, size) for size in range(running + 1)):
        due = frozenset(first)
        bounds = falling_due(node.bounds, due)
        if bounds is not None:
            for acting in world.standing_for(node.state):
                if due or -1 in timers(acting):
                    yield bounds, Elapse(1), acting, due


def _stepped(
    world: World, event: Event, acting: PanelState, due: frozenset[int]
) -> tuple[PanelState, tuple[int, ...], Seen]:
    """State afterwards, numbered; where each running timer came from; and the step as properties see it."""
    key = (acting, event, due)
    known = world.steps.get(key)
    if known is not None:
        return known
    later = 1 if isinstance(event, Elapse) else 0
    marks = [0 if m == 0 else (1 if m in due or m < 0 else MARK + m + later) for m in timers(acting)]
    before = with_timers(acting, marks) if any(marks) else acting
    after, actions = step(world.programme, before, event)
    kept = world.forget(after)
    sources: list[int] = []
    numbers: list[int] = []
    for left in timers(kept):
        if left:
            sources.append(MARK - left if left >= MARK else left)
            numbers.append(len(sources))
        else:
            numbers.append(0)
    state = with_timers(kept, numbers) if sources else kept
    result = (state, tuple(sources), Seen(world.programme, before, event, actions, after))
    world.steps[key] = result
    return result


def _way(nodes: list[_Node], at: int, last: Leg) -> tuple[Leg, ...]:
    legs = [last]
    while (leg := nodes[at].leg) is not None:
        legs.append(leg)
        at = nodes[at].parent
    return tuple(reversed(legs))
