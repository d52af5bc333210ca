"""What users ask at a keypad, and what comes of it. Whether they may ask is decided in ``rights``."""

from collections.abc import Callable

from wardwright.panel.detection import end_set_period, hold_up
from wardwright.panel.events import Ask, Condition, Refused, Sound, UserEvent
from wardwright.panel.run import Run
from wardwright.panel.setting import exit_over, preventing
from wardwright.panel.tables import Move, Phase


def asked(run: Run, event: UserEvent) -> None:
    """A user with the right to it asked for something; a locked keypad lets only calls for help through."""
    if event.ask is Ask.HOLD_UP:
        hold_up(run, event.area, event.user, silent=True)
        return
    if run.s.lockout_left_ms:
        run.do(Refused(str(event.ask), "too many wrong codes; wait"))
        return
    run.system(wrong_codes=0)
    HANDLERS[event.ask](run, event)


def ask_set(run: Run, event: UserEvent) -> None:
    """Start setting, unless something stands in the way."""
    area = event.area
    if run.areas[area].phase is not Phase.UNSET:
        run.do(Refused(str(event.ask), f"it is {run.areas[area].phase}"))
        return
    inside = event.ask is Ask.SET_INSIDE
    run.area(area, inside=inside)
    if inside:
        leave_vented_out(run, area)
    cause = preventing(run, area)
    if cause:
        run.area(area, inside=False)
        run.do(Refused(str(event.ask), cause))
        return
    run.move(area, Move.ASK_SET)
    exit_ms = run.p.areas[area].exit_ms
    run.area(area, left_ms=exit_ms, exit_restarted=False, left_by_door=False, failed_to_set=False)
    run.do(Sound("exit", True))
    for index, row in enumerate(run.p.zones):
        if area in row.areas and (run.zones[index].isolated or run.zones[index].inhibited):
            kind = "isolated" if run.zones[index].isolated else "left out"
            run.tell(area, f"{kind}: {row.place}")
    if exit_ms == 0:
        exit_over(run, area)


def leave_vented_out(run: Run, area: int) -> None:
    """Windows that stand open for air are left out while people are inside, for this set period."""
    for index, row in enumerate(run.p.zones):
        open_now = run.zones[index].condition is Condition.ACTIVE
        if row.may_be_vented and area in row.areas and open_now and not run.zones[index].isolated:
            run.zone(index, inhibited=True)
            run.report("inhibited", area=area, point=row.number)


def ask_unset(run: Run, event: UserEvent) -> None:
    """Unset: silence, stop what is still held, cancel what is not, end the set period."""
    area = event.area
    state = run.areas[area]
    run.move(area, Move.ASK_UNSET)
    if not any(a.alarmed for i, a in enumerate(run.areas) if i != area):
        run.quiet()
    stopped = run.drop_held(area)
    if state.released and state.cancel_left_ms:
        run.report("cancel", area=area, point=event.user)
        run.tell(area, "a cancel was sent")
    elif stopped and not state.released:
        run.tell(area, "no alarm was sent")
    if event.ask is Ask.DURESS_UNSET:
        run.report("duress", area=area, point=event.user)
    if state.phase is not Phase.UNSET:
        run.report("unset", area=area, point=event.user)
    end_set_period(run, area)


def ask_leave_out(run: Run, event: UserEvent) -> None:
    """Leave a zone out: for one set period, or until it is restored."""
    if event.zone is None:
        run.do(Refused(str(event.ask), "which zone?"))
        return
    row, limit = run.p.zones[event.zone], run.p.bypass_limit
    out = sum(1 for z in run.zones if z.inhibited or z.isolated)
    if not row.may_bypass:
        run.do(Refused(str(event.ask), f"{row.place} may not be left out"))
    elif any(run.areas[a].phase is not Phase.UNSET for a in row.areas):
        run.do(Refused(str(event.ask), "only while unset"))
    elif limit is not None and out >= limit:
        run.do(Refused(str(event.ask), f"no more than {limit} zones may be left out"))
    else:
        if event.ask is Ask.INHIBIT:
            run.zone(event.zone, inhibited=True)
        else:
            run.zone(event.zone, isolated=True)
        run.report("inhibited", area=row.areas[0], point=row.number)


def ask_restore(run: Run, event: UserEvent) -> None:
    """Take a zone back in; without a zone, clear the alarm memory and silence what sounds."""
    if event.zone is None:
        run.quiet()
        for index in range(len(run.zones)):
            run.zone(index, in_memory=False)
        return
    row, state = run.p.zones[event.zone], run.zones[event.zone]
    if any(run.areas[a].phase is not Phase.UNSET for a in row.areas):
        run.do(Refused(str(event.ask), "only while unset"))
        return
    if state.isolated or state.inhibited:
        run.report("inhibit restored", area=row.areas[0], point=row.number)
    run.zone(event.zone, isolated=False, inhibited=False)


def ask_override(run: Run, event: UserEvent) -> None:
    """Set in spite of mains, battery, path, tamper or part: for one set period."""
    if run.areas[event.area].phase is not Phase.UNSET:
        run.do(Refused(str(event.ask), "only while unset"))
    else:
        run.area(event.area, overridden=True)


HANDLERS: dict[Ask, Callable[[Run, UserEvent], None]] = {
    Ask.SET_AWAY: ask_set,
    Ask.SET_INSIDE: ask_set,
    Ask.UNSET: ask_unset,
    Ask.DURESS_UNSET: ask_unset,
    Ask.INHIBIT: ask_leave_out,
    Ask.ISOLATE: ask_leave_out,
    Ask.RESTORE: ask_restore,
    Ask.OVERRIDE: ask_override,
}


def wrong_code(run: Run) -> None:
    """A code that fits nobody: so many lock the keypads for a while, and that is told."""
    if run.s.lockout_left_ms:
        return
    run.system(wrong_codes=run.s.wrong_codes + 1)
    if run.s.wrong_codes >= run.p.wrong_code_limit:
        run.system(wrong_codes=0, lockout_left_ms=run.p.lockout_ms)
        run.report("wrong codes")
        run.tell(0, "too many wrong codes")
