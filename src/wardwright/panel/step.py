"""One pure transition function: ``step(programme, state, event) -> (state, actions)``.

It reads no clock and keeps nothing. What moves an area and how a trip is taken stand in ``tables``; the modules beside
this one say what the tables cannot: setting, alarms, reports, supply. Here are dispatch and time. What falls due at the
same moment is done in a fixed order (sounders, entry and exit times, supply and paths, the report queue, listening
again), so that equal input gives equal result.

A timer is only ever compared with nought and with the time that went by: which of two programmes' times is longer
decides nothing but what falls due first. The search of ``explore`` rests on that.
"""

from wardwright.panel.detection import entry_over, listen_again, loop_changed
from wardwright.panel.events import (
    Action,
    DeviceBattery,
    Elapse,
    Event,
    FaultEvent,
    PathEvent,
    Sound,
    SupplyEvent,
    TamperEvent,
    UserEvent,
    WrongCode,
    ZoneEvent,
)
from wardwright.panel.plant import (
    device_battery,
    lid_changed,
    mains_lost,
    part_changed,
    path_changed,
    path_lost,
    supply_changed,
    while_dead,
)
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.run import Run
from wardwright.panel.setting import exit_over
from wardwright.panel.state import PanelState, timers
from wardwright.panel.tables import Phase
from wardwright.panel.users import asked, wrong_code


def step(programme: PanelProgramme, state: PanelState, event: Event) -> tuple[PanelState, tuple[Action, ...]]:
    """What a panel does with one event.

    Parameters
    ----------
    programme : PanelProgramme
        What it was told.
    state : PanelState
        How it stands.
    event : Event
        What happens. Time is an event too: ``Elapse``.

    Returns
    -------
    PanelState
        How it stands afterwards.
    tuple of Action
        What it did, in order.
    """
    run = Run(programme, state)
    if isinstance(event, Elapse):
        _elapse(run, event.ms)
    elif state.dead and not (isinstance(event, SupplyEvent) and event.what == "power"):
        while_dead(run, event)
    else:
        _take(run, event)
        if not run.s.dead:
            run.send()
    return run.state(), tuple(run.actions)


def next_due_ms(programme: PanelProgramme, state: PanelState) -> int | None:
    """Time to the next thing that will happen by itself.

    Parameters
    ----------
    programme : PanelProgramme
        What the panel was told.
    state : PanelState
        How it stands.

    Returns
    -------
    int or None
        Milliseconds to the first expiry; None if nothing is running.
    """
    return _next_due(Run(programme, state))


def _take(run: Run, event: Event) -> None:
    if isinstance(event, ZoneEvent):
        loop_changed(run, event.zone, event.condition)
    elif isinstance(event, UserEvent):
        asked(run, event)
    elif isinstance(event, WrongCode):
        wrong_code(run)
    elif isinstance(event, SupplyEvent):
        supply_changed(run, event)
    elif isinstance(event, PathEvent):
        path_changed(run, event)
    elif isinstance(event, TamperEvent):
        lid_changed(run, event)
    elif isinstance(event, FaultEvent):
        part_changed(run, event)
    elif isinstance(event, DeviceBattery):
        device_battery(run, event)


def _next_due(run: Run) -> int | None:
    if run.s.dead:
        return None
    return min((t for t in timers(run.state()) if t > 0), default=None)


def _elapse(run: Run, ms: int) -> None:
    left = ms
    while left > 0:
        due = _next_due(run)
        if due is None or due > left:
            _run_down(run, left)
            return
        _run_down(run, due)
        left -= due
        run.send()
    run.send()


def _run_down(run: Run, ms: int) -> None:
    """Take the time off every timer, then do what has fallen due, in the fixed order."""
    if run.s.dead:
        return

    def less(value: int) -> int:
        return max(value - ms, 0)

    def due(value: int) -> bool:
        return 0 < value <= ms

    s = run.s
    phases_due = [i for i, a in enumerate(run.areas) if due(a.left_ms)]
    for i, a in enumerate(run.areas):
        confirm = less(a.confirm_left_ms)
        run.areas[i] = a._replace(
            left_ms=less(a.left_ms),
            confirm_left_ms=confirm,
            first_detector=a.first_detector if confirm else "",
            cancel_left_ms=less(a.cancel_left_ms),
            recent_left_ms=less(a.recent_left_ms),
        )
    for i, z in enumerate(run.zones):
        if z.cross_left_ms:
            run.zone(i, cross_left_ms=less(z.cross_left_ms))
    released = [w.report for w in s.queue if due(w.hold_ms)]
    run.system(
        bell_left_ms=less(s.bell_left_ms),
        inner_left_ms=less(s.inner_left_ms),
        sending_ms=less(s.sending_ms),
        mains_report_left_ms=less(s.mains_report_left_ms),
        path_report_left_ms=tuple(less(t) for t in s.path_report_left_ms),
        path_resting_ms=tuple(less(t) for t in s.path_resting_ms),
        deaf_left_ms=less(s.deaf_left_ms),
        lockout_left_ms=less(s.lockout_left_ms),
        queue=tuple(w._replace(hold_ms=less(w.hold_ms)) for w in s.queue),
    )
    for report in released:
        run.let_go(report)
    if due(s.bell_left_ms):
        run.do(Sound("bell", False))
    if due(s.inner_left_ms):
        run.do(Sound("inner", False))
    for i in phases_due:
        if run.areas[i].phase is Phase.EXIT:
            exit_over(run, i)
        elif run.areas[i].phase is Phase.ENTRY:
            entry_over(run, i)
    if due(s.mains_report_left_ms):
        mains_lost(run)
    for i, left in enumerate(s.path_report_left_ms):
        if due(left):
            path_lost(run, i)
    if due(s.sending_ms):
        run.sent()
    if due(s.deaf_left_ms):
        listen_again(run)
