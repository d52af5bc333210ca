"""Random runs of whole programmes never leave what the slices for reports and for confirmation can do."""

from collections.abc import Iterator
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.properties.test_reduced_and_flat_search import programmes, told

from wardwright.panel.events import (
    Ask,
    Condition,
    Delivered,
    Elapse,
    Event,
    PathEvent,
    Queued,
    SupplyEvent,
    TamperEvent,
    UserEvent,
    ZoneEvent,
)
from wardwright.panel.explore import Seen, Watch, explore
from wardwright.panel.programme import PanelProgramme, PathRow, Response
from wardwright.panel.reporting import delivered_in_turn, parted, report_slice
from wardwright.panel.slices import confirm_slice
from wardwright.panel.state import AreaState, PanelState, at_rest
from wardwright.panel.step import next_due_ms, step
from wardwright.panel.tables import Phase

DETECTORS = ("", "one", "two", "three")


@st.composite
def told_programmes(draw: st.DrawFn) -> PanelProgramme:
    """With paths, holds and delays of a few milliseconds."""
    base = draw(programmes(zones=4))
    short = st.integers(0, 4)
    rows = tuple(replace(row, detector=draw(st.sampled_from(DETECTORS))) for row in base.zones)
    return replace(
        base,
        zones=rows,
        paths=tuple(
            PathRow(name, send_ms=draw(st.integers(1, 3)), silent_when_down=draw(st.booleans()))
            for name in ("ip", "cellular")[: draw(st.integers(1, 2))]
        ),
        abort_ms=draw(short),
        entry_warning_ms=draw(short),
        cancel_ms=draw(short),
        confirm_ms=draw(st.integers(1, 6)),
        mains_report_ms=draw(short),
        path_report_ms=draw(st.integers(1, 6)),
        retry_ms=draw(st.integers(5, 12)),
    )


def steps(
    programme: PanelProgramme, data: st.DataObject, start: PanelState, length: int
) -> Iterator[tuple[PanelState, Event, Seen]]:
    state = start
    zones = range(len(programme.zones))
    for _ in range(length):
        due = next_due_ms(programme, state)
        asks: list[Event] = [UserEvent(ask) for ask in (Ask.SET_AWAY, Ask.SET_INSIDE, Ask.UNSET, Ask.HOLD_UP)]
        trips: list[Event] = [
            ZoneEvent(z, Condition.ACTIVE if state.zones[z].condition is Condition.NORMAL else Condition.NORMAL)
            for z in zones
        ]
        paths: list[Event] = [PathEvent(p, not up) for p, up in enumerate(state.paths_up)]
        plant: list[Event] = [SupplyEvent("mains", not state.mains_good), TamperEvent("lid", bool(state.tampered))]
        later: list[Event] = [Elapse(due)] if due else []
        kinds = [k for k in (asks, trips, trips, paths, plant, later, later, later) if k]
        event = data.draw(st.sampled_from(data.draw(st.sampled_from(kinds))))
        after, actions = step(programme, state, event)
        yield state, event, Seen(programme, state, event, actions, after)
        state = after


def all_set(programme: PanelProgramme) -> PanelState:
    return at_rest(programme)._replace(areas=(AreaState(phase=Phase.SET),))


def on_its_way(state: PanelState, what: str, number: int) -> tuple[object, ...]:
    before, mine, behind = parted(state, what, number)
    own = "none" if not mine else ("held" if mine[0].hold_ms else "ready")
    sending = state.sending
    sent = "nothing" if sending is None else ("it" if (sending.what, sending.point) == (what, number) else "another")
    resting = tuple(t > 0 for t in state.path_resting_ms)
    return own, before > 0, behind > 0, sent, state.sending_path, state.paths_up, resting


@settings(max_examples=120, deadline=None)
@given(told_programmes(), st.data())
def test_a_report_slice_can_do_all_that_the_whole_can(programme: PanelProgramme, data: st.DataObject) -> None:
    at_once = [z for z, r in enumerate(programme.zones) if r.response is not Response.ENTRY_EXIT]
    if not at_once:
        return
    zone = data.draw(st.sampled_from(at_once))
    what, number = str(programme.zones[zone].response), programme.zones[zone].number
    world = report_slice(programme, zone)
    reached: set[tuple[object, ...]] = set()

    def note(seen: Seen) -> str:
        reached.add(on_its_way(seen.before, what, number))
        reached.add(on_its_way(seen.after, what, number))
        return ""

    explored = explore(world, {"note": note})
    assert explored.complete
    monitor = delivered_in_turn(world.programme, 0)
    holds = not explore(world, {}, ("turn", monitor)).violations
    asked, watch = delivered_in_turn(programme, zone), Watch()
    ahead: int | None = None
    for _, event, seen in steps(programme, data, all_set(programme), 60):
        assert on_its_way(seen.after, what, number) in reached
        due = False
        if isinstance(event, Elapse) and watch.left_ms:
            due = watch.left_ms <= event.ms
            watch = watch._replace(left_ms=max(0, watch.left_ms - event.ms))
        heard = asked(watch, seen, due)
        assert isinstance(heard, Watch) or not holds, heard
        watch = heard if isinstance(heard, Watch) else Watch()
        # nothing gets in front of a report that waits
        place = [i for i, w in enumerate(seen.after.queue) if (w.report.what, w.report.point) == (what, number)]
        fresh = any(isinstance(a, Queued) and a.report.point == number for a in seen.actions)
        gone = any(isinstance(a, Delivered) and a.report.point == number for a in seen.actions)
        if place and ahead is not None and not fresh and not gone:
            assert place[0] <= ahead
        ahead = place[0] if place else None


def confirming(area: AreaState) -> tuple[bool, bool, bool]:
    return area.confirm_left_ms > 0, bool(area.first_detector), area.confirmed


def heard_of(seen: Seen) -> tuple[object, ...] | None:
    """How an alarm of a detector was taken: as the first heard again or as another, and whether it confirmed."""
    if not isinstance(seen.event, ZoneEvent) or not told(seen.actions) or seen.after.areas[0].phase is not Phase.SET:
        return None
    row = seen.programme.zones[seen.event.zone]
    same = (row.detector or f"zone {row.number}") == seen.before.areas[0].first_detector
    said = any(isinstance(a, Queued) and a.report.what == "confirmed intruder" for a in seen.actions)
    return confirming(seen.before.areas[0]), same, said, confirming(seen.after.areas[0])


@settings(max_examples=300, deadline=None)
@given(told_programmes(), st.data())
def test_a_confirm_slice_can_do_all_that_the_whole_can(programme: PanelProgramme, data: st.DataObject) -> None:
    programme = replace(programme, confirmation=True)
    world = confirm_slice(programme, 0)
    if world is None:
        return
    reached, taken = {(False, False, False)}, set[tuple[object, ...]]()

    def note(seen: Seen) -> str:
        if seen.after.areas[0].phase is Phase.SET:
            reached.add(confirming(seen.after.areas[0]))
            if (how := heard_of(seen)) is not None:
                taken.add(how)
        return ""

    assert explore(world, {"note": note}).complete
    for _, _, seen in steps(programme, data, all_set(programme), 60):
        if seen.before.areas[0].phase in (Phase.SET, Phase.ENTRY) and seen.after.areas[0].phase is Phase.SET:
            assert confirming(seen.after.areas[0]) in reached
            if (how := heard_of(seen)) is not None:
                assert how in taken
