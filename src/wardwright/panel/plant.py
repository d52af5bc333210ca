"""Mains, battery, paths, lids and sounders: what the panel lives on and talks through."""

from wardwright.panel.detection import FAULTS, fault, tamper
from wardwright.panel.events import (
    Condition,
    DeviceBattery,
    Event,
    FaultEvent,
    PathEvent,
    SupplyEvent,
    TamperEvent,
    ZoneEvent,
)
from wardwright.panel.run import Run


def supply_changed(run: Run, event: SupplyEvent) -> None:
    """Mains, battery, or all of it."""
    if event.what == "power":
        power(run, event.good)
    elif event.what == "mains" and event.good != run.s.mains_good:
        run.system(mains_good=event.good, mains_report_left_ms=0 if event.good else run.p.mains_report_ms)
        if event.good and run.s.mains_reported:
            run.system(mains_reported=False)
            run.report("mains restored")
        elif not event.good and run.p.mains_report_ms == 0:
            mains_lost(run)
    elif event.what == "battery" and event.good != run.s.battery_good:
        run.system(battery_good=event.good)
        run.report("battery restored" if event.good else "battery low")


def mains_lost(run: Run) -> None:
    """Told after its delay, so that a short cut worries nobody."""
    run.system(mains_reported=True)
    run.report("mains lost")
    run.tell(0, "mains off")


def power(run: Run, good: bool) -> None:
    """All power lost or back: set state and left-out zones are kept, detectors are not heard for a while.

    Tampers and faults that stand when power returns are told afresh: they may be new.
    """
    if not good and not run.s.dead:
        run.quiet()
        run.system(dead=True, sending_ms=0, sending_path=-1, sending=None)
    elif good and run.s.dead:
        run.system(dead=False, deaf_left_ms=run.p.power_return_ignore_ms)
        for index, state in enumerate(run.zones):
            row = run.p.zones[index]
            if state.isolated:
                continue
            if state.condition is Condition.TAMPER:
                tamper(run, row.areas[0], row.number, row.place)
            elif state.condition in FAULTS:
                fault(run, index, state.condition)
        for part in sorted(run.s.tampered):
            tamper(run, 0, 0, part)


def while_dead(run: Run, event: Event) -> None:
    """A panel without power hears nothing, but finds the world changed when it wakes."""
    s = run.s
    if isinstance(event, ZoneEvent):
        active = event.condition is Condition.ACTIVE
        fresh = active and run.zones[event.zone].condition is not Condition.ACTIVE
        run.zone(event.zone, condition=event.condition, unheard=active and (fresh or run.zones[event.zone].unheard))
    elif isinstance(event, PathEvent):
        path_changed(run, event)
    elif isinstance(event, SupplyEvent):
        run.system(**{f"{event.what}_good": event.good})
    elif isinstance(event, TamperEvent):
        run.system(tampered=s.tampered - {event.part} if event.good else s.tampered | {event.part})
    elif isinstance(event, FaultEvent):
        run.system(faulty=s.faulty - {event.part} if event.good else s.faulty | {event.part})


def path_changed(run: Run, event: PathEvent) -> None:
    """A path went down or came back. What was being sent over it was not acknowledged and keeps its place."""
    s, index = run.s, event.path
    if s.paths_up[index] == event.up:
        return
    up, left, reported = list(s.paths_up), list(s.path_report_left_ms), list(s.path_reported)
    resting = list(s.path_resting_ms)
    restored = event.up and reported[index]
    up[index] = event.up
    left[index] = 0 if event.up else max(run.p.path_report_ms, 1)
    if event.up:
        reported[index], resting[index] = False, 0
    run.system(
        paths_up=tuple(up),
        path_report_left_ms=tuple(left),
        path_reported=tuple(reported),
        path_resting_ms=tuple(resting),
    )
    if not event.up and s.sending_path == index and not run.p.paths[index].silent_when_down:
        run.system(sending_ms=0, sending_path=-1, sending=None)
    if restored:
        run.report("path restored", point=index + 1)


def path_lost(run: Run, index: int) -> None:
    """A path has been down for as long as is borne."""
    reported = list(run.s.path_reported)
    reported[index] = True
    run.system(path_reported=tuple(reported))
    run.report("path lost", point=index + 1)
    run.tell(0, f"reporting path down: {run.p.paths[index].name}")


def lid_changed(run: Run, event: TamperEvent) -> None:
    """A lid was opened or shut."""
    if event.good and event.part in run.s.tampered:
        run.system(tampered=run.s.tampered - {event.part})
        run.report("tamper restored")
    elif not event.good and event.part not in run.s.tampered:
        run.system(tampered=run.s.tampered | {event.part})
        tamper(run, 0, 0, event.part)


def part_changed(run: Run, event: FaultEvent) -> None:
    """A sounder or an interconnection went wrong or was put right."""
    kind = "sounder" if event.part == "sounder" else "part"
    if event.good and event.part in run.s.faulty:
        run.system(faulty=run.s.faulty - {event.part})
        run.report(f"{kind} restored")
    elif not event.good and event.part not in run.s.faulty:
        run.system(faulty=run.s.faulty | {event.part})
        run.report(f"{kind} fault")
        run.tell(0, f"fault: {event.part}")


def device_battery(run: Run, event: DeviceBattery) -> None:
    """The battery of a radio device ran low or was changed."""
    row, low = run.p.zones[event.zone], not event.good
    if run.zones[event.zone].battery_low == low:
        return
    run.zone(event.zone, battery_low=low)
    run.report("radio battery low" if low else "radio battery restored", area=row.areas[0], point=row.number)
    if low:
        run.tell(row.areas[0], f"battery low: {row.place}")
