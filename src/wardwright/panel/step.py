"""One pure transition function: ``step(programme, state, event) -> (state, actions)``.

It reads no clock and keeps nothing. What moves an area and how a trip is taken stand in ``tables``; here is only what
the tables cannot say: timers, the report queue and the order of things that fall due at the same moment. That order is
fixed (entry and exit times, then the bell, then supply and paths, then the queue), so that equal input gives equal
result.
"""

from collections.abc import Callable
from typing import Any

from wardwright.panel.events import (
    Action,
    Ask,
    Condition,
    Delivered,
    Dropped,
    Elapse,
    Event,
    PathEvent,
    Queued,
    Refused,
    Report,
    Say,
    Sound,
    SupplyEvent,
    TamperEvent,
    UserEvent,
    WrongCode,
    ZoneEvent,
)
from wardwright.panel.programme import PanelProgramme, Response
from wardwright.panel.state import AreaState, PanelState, Waiting, ZoneState
from wardwright.panel.tables import CODES, PHASES, TAKES, Move, Phase, Stage, Take

RECENT_MS = 120_000
"""An alarm within this time of setting is reported as a recent closing too (ANSI/SIA CP-01, from memory)."""
QUEUE_LIMIT = 64
"""Reports kept; beyond it a repeat of a report already waiting is not queued again, an alarm always is."""


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
    run = _Run(programme, state)
    if isinstance(event, Elapse):
        run.elapse(event.ms)
    elif state.dead and not (isinstance(event, SupplyEvent) and event.what == "power"):
        run.while_dead(event)
    else:
        run.take(event)
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
    return _Run(programme, state).next_due()


class _Run:
    """One step under way: the state unpacked, and what was done so far."""

    def __init__(self, programme: PanelProgramme, state: PanelState) -> None:
        self.p = programme
        self.s = state
        self.areas = list(state.areas)
        self.zones = list(state.zones)
        self.actions: list[Action] = []

    def state(self) -> PanelState:
        return self.s._replace(areas=tuple(self.areas), zones=tuple(self.zones))

    # Small changes

    def area(self, index: int, **change: Any) -> None:
        self.areas[index] = self.areas[index]._replace(**change)

    def zone(self, index: int, **change: Any) -> None:
        self.zones[index] = self.zones[index]._replace(**change)

    def system(self, **change: Any) -> None:
        self.s = self.s._replace(**change)

    def do(self, action: Action) -> None:
        self.actions.append(action)

    def move(self, index: int, move: Move) -> None:
        before = self.areas[index].phase
        after = PHASES[before, move]
        self.area(index, phase=after)
        if before is Phase.ENTRY and after is not Phase.ENTRY:
            self.do(Sound("entry", False))
        if before is Phase.EXIT and after is not Phase.EXIT:
            self.do(Sound("exit", False))

    # Reports

    def report(self, what: str, *, area: int = 0, point: int = 0, hold_ms: int = 0, droppable: bool = False) -> None:
        contact_id, sia = CODES[what]
        report = Report(what, contact_id, sia, area, point)
        if not self.p.paths:
            return
        if len(self.s.queue) >= QUEUE_LIMIT and any(w.report == report for w in self.s.queue):
            return
        self.system(queue=(*self.s.queue, Waiting(report, hold_ms, droppable)))
        self.do(Queued(report))

    def send(self) -> None:
        """Start sending the first report whose hold has run down, over the best path that lives."""
        if self.s.sending_ms or not any(w.hold_ms == 0 for w in self.s.queue):
            return
        for index, up in enumerate(self.s.paths_up):
            if up:
                self.system(sending_ms=self.p.paths[index].send_ms, sending_path=index)
                return

    def sent(self) -> None:
        ready = next(i for i, w in enumerate(self.s.queue) if w.hold_ms == 0)
        report, path = self.s.queue[ready].report, self.s.sending_path
        self.system(queue=self.s.queue[:ready] + self.s.queue[ready + 1 :], sending_path=-1)
        self.do(Delivered(report, path))

    # Sounders

    def bell(self) -> None:
        if self.p.bell_ms <= 0 or self.s.bell_count >= self.p.bell_limit:
            return
        if self.s.bell_left_ms == 0:
            self.do(Sound("bell", True))
            self.do(Sound("strobe", True))
            self.system(bell_count=self.s.bell_count + 1, bell_left_ms=self.p.bell_ms)
        self.inner()

    def inner(self) -> None:
        if not self.s.inner_on:
            self.system(inner_on=True)
            self.do(Sound("inner", True))

    def quiet(self) -> None:
        if self.s.bell_left_ms:
            self.do(Sound("bell", False))
        if self.s.inner_on:
            self.do(Sound("inner", False))
        self.system(bell_left_ms=0, inner_on=False)

    # Events

    def take(self, event: Event) -> None:
        if isinstance(event, ZoneEvent):
            self.loop(event.zone, event.condition)
        elif isinstance(event, UserEvent):
            self.user(event)
        elif isinstance(event, WrongCode):
            self.wrong_code()
        elif isinstance(event, SupplyEvent):
            self.supply(event)
        elif isinstance(event, PathEvent):
            self.path(event)
        elif isinstance(event, TamperEvent):
            self.part(event)

    def while_dead(self, event: Event) -> None:
        """A panel without power hears nothing, but finds the world changed when it wakes."""
        if isinstance(event, ZoneEvent):
            self.zone(event.zone, condition=event.condition)
        elif isinstance(event, PathEvent):
            up = list(self.s.paths_up)
            up[event.path] = event.up
            self.system(paths_up=tuple(up))
        elif isinstance(event, SupplyEvent):
            self.system(**{f"{event.what}_good": event.good})

    def stage(self, zone: int) -> Stage:
        """How a zone's areas stand: the least set of them decides, since a shared zone is watched when all are set."""
        stages = []
        for index in self.p.zones[zone].areas:
            area = self.areas[index]
            if area.phase is Phase.UNSET:
                return Stage.UNSET
            if area.phase is Phase.EXIT:
                stages.append(Stage.EXIT)
            elif area.phase is Phase.ENTRY:
                stages.append(Stage.ENTRY)
            else:
                stages.append(Stage.INSIDE if area.inside else Stage.AWAY)
        order = (Stage.EXIT, Stage.ENTRY, Stage.INSIDE, Stage.AWAY)
        return min(stages, key=order.index)

    def watched(self, zone: int) -> bool:
        row, state = self.p.zones[zone], self.zones[zone]
        if state.inhibited or state.isolated:
            return False
        always = TAKES[row.response][Stage.UNSET] not in (Take.NOTHING, Take.CHIME)
        return always or row.watched_inside or not any(self.areas[a].inside for a in row.areas)

    def loop(self, zone: int, condition: Condition) -> None:
        before = self.zones[zone].condition
        if condition is before:
            return
        self.zone(zone, condition=condition)
        row = self.p.zones[zone]
        area = row.areas[0]
        if self.zones[zone].isolated:
            return
        if before is Condition.TAMPER:
            self.report("tamper restored", area=area, point=row.number)
        elif before in (Condition.FAULT, Condition.MASKED):
            self.report("zone trouble restored", area=area, point=row.number)
        elif before is Condition.ACTIVE and self.zones[zone].in_memory:
            restored = {Response.FIRE: "fire restored", Response.TECHNICAL: "technical restored"}
            self.report(restored.get(row.response, "intruder restored"), area=area, point=row.number)
        if condition is Condition.NORMAL:
            self.final_door_shut(zone)
        elif condition is Condition.TAMPER:
            self.tamper(area, row.number, f"zone {row.number} {row.name}")
        elif condition in (Condition.FAULT, Condition.MASKED):
            self.report("zone trouble", area=area, point=row.number)
            self.do(Say(area, f"fault: {row.name}"))
            if self.stage(zone) in (Stage.AWAY, Stage.INSIDE, Stage.ENTRY) and condition is Condition.MASKED:
                self.intruder(zone)
        elif self.s.deaf_left_ms == 0:
            self.trip(zone)

    def trip(self, zone: int) -> None:
        if not self.watched(zone):
            return
        row = self.p.zones[zone]
        area = row.areas[0]
        take = TAKES[row.response][self.stage(zone)]
        if take is Take.CHIME:
            if row.chime:
                self.do(Sound("chime", True))
        elif take is Take.EXIT_ROUTE:
            if row.response is Response.ENTRY_EXIT:
                self.on_exit_route(area)
        elif take is Take.OFF_EXIT_ROUTE:
            if self.p.off_route_stops_setting:
                self.stop_setting(area, row.name, Move.OFF_ROUTE_IN_EXIT)
            else:
                self.intruder(zone)
        elif take is Take.START_ENTRY:
            self.start_entry(zone)
        elif take is Take.OFF_ENTRY_ROUTE or take is Take.INTRUDER:
            self.intruder(zone)
        elif take is Take.HOLD_UP:
            self.hold_up(area, row.number, silent=row.silent)
            self.zone(zone, in_memory=True)
        elif take is Take.TAMPER:
            self.tamper(area, row.number, row.name)
        elif take in (Take.FIRE, Take.TECHNICAL, Take.TROUBLE):
            self.ancillary(zone, take)

    def on_exit_route(self, area: int) -> None:
        state = self.areas[area]
        restart = self.p.exit_restart and state.left_by_door and not state.exit_restarted
        self.area(area, left_by_door=True)
        if restart:  # came back for the keys: once, and once only
            self.area(area, exit_restarted=True, left_ms=self.p.areas[area].exit_ms)

    def final_door_shut(self, zone: int) -> None:
        row = self.p.zones[zone]
        if not self.p.two_stage_setting or row.response is not Response.ENTRY_EXIT:
            return
        for area in row.areas:
            state = self.areas[area]
            if state.phase is Phase.EXIT and state.left_by_door and not self.preventing(area):
                self.complete_setting(area, Move.FINAL_DOOR_SHUT)

    def start_entry(self, zone: int) -> None:
        row = self.p.zones[zone]
        for area in row.areas:
            if self.areas[area].phase is Phase.SET:
                self.move(area, Move.ENTRY_STARTS)
                self.area(area, left_ms=self.p.areas[area].entry_ms)
                self.do(Sound("entry", True))
                self.do(Say(area, f"entry: {row.name}"))
                if self.p.report_entry_delay:
                    self.report("entry started", area=area, point=row.number)
        if all(self.p.areas[a].entry_ms == 0 for a in row.areas):
            self.entry_over(row.areas[0], zone)

    def ancillary(self, zone: int, take: Take) -> None:
        row = self.p.zones[zone]
        what = {Take.FIRE: "fire", Take.TECHNICAL: "technical", Take.TROUBLE: "zone trouble"}[take]
        self.zone(zone, in_memory=True)
        self.report(what, area=row.areas[0], point=row.number)
        self.do(Say(row.areas[0], f"{what}: {row.name}"))
        if take is Take.FIRE:
            self.do(Sound("fire", True))
            self.inner()

    # Intruder alarm

    def intruder(self, zone: int) -> None:
        """A trip that is to become an alarm, unless cross-zoning or swinger shutdown says otherwise."""
        row, state = self.p.zones[zone], self.zones[zone]
        area = row.areas[0]
        if state.trips >= row.swinger_count:
            return
        if row.cross_zone is not None:
            partner = self.zones[row.cross_zone]
            if partner.cross_left_ms == 0:
                self.zone(zone, cross_left_ms=self.p.cross_zone_ms)
                self.do(Say(area, f"waiting for a second zone: {row.name}"))
                return
            self.zone(row.cross_zone, cross_left_ms=0)
        for index in row.areas:
            if self.areas[index].phase is Phase.ENTRY:
                self.move(index, Move.OFF_ROUTE_IN_ENTRY)
        self.raise_alarm(zone, str(row.response))

    def raise_alarm(self, zone: int, what: str) -> None:
        row = self.p.zones[zone]
        area = row.areas[0]
        self.zone(zone, in_memory=True, trips=min(self.zones[zone].trips + 1, row.swinger_count))
        for index in row.areas:
            self.area(index, alarmed=True)
        always = row.response is Response.DAY_24H
        hold = 0 if always else max(self.p.abort_ms, self.p.entry_warning_ms)
        if not row.silent:
            self.bell()
        self.do(Say(area, f"alarm: {row.name}"))
        self.report(what, area=area, point=row.number, hold_ms=hold, droppable=hold > 0)
        if self.areas[area].recent_left_ms:
            self.report("recent closing", area=area, point=row.number, hold_ms=hold, droppable=hold > 0)
        if self.zones[zone].trips == row.swinger_count:
            self.report("swinger shutdown", area=area, point=row.number)
        self.area(area, cancel_left_ms=self.p.cancel_ms + hold)
        if self.p.confirmation:
            self.confirm(zone, hold)

    def confirm(self, zone: int, hold: int) -> None:
        row = self.p.zones[zone]
        area = row.areas[0]
        state = self.areas[area]
        detector = row.detector or f"zone {row.number}"
        if state.confirmed:
            return
        if state.confirm_left_ms == 0:
            self.area(area, confirm_left_ms=self.p.confirm_ms, first_detector=detector)
        elif detector != state.first_detector:
            self.area(area, confirmed=True)
            self.report("confirmed intruder", area=area, point=row.number, hold_ms=hold, droppable=hold > 0)

    def hold_up(self, area: int, point: int, *, silent: bool) -> None:
        self.report("hold-up silent" if silent else "hold-up audible", area=area, point=point)
        if not silent:
            self.bell()

    def tamper(self, area: int, point: int, name: str) -> None:
        self.report("tamper", area=area, point=point)
        self.do(Say(area, f"tamper: {name}"))
        if any(a.phase is not Phase.UNSET for a in self.areas) or self.p.tamper_bell_unset:
            self.bell()
        else:
            self.inner()

    # Setting and unsetting

    def preventing(self, area: int) -> str:
        """What stands in the way of setting an area; empty if nothing does."""
        wanted = self.p.prevent_set
        for index, row in enumerate(self.p.zones):
            state = self.zones[index]
            if area not in row.areas or state.inhibited or state.isolated:
                continue
            on_route = TAKES[row.response][Stage.EXIT] is Take.EXIT_ROUTE
            if state.condition is Condition.ACTIVE and "active" in wanted and self.watched(index) and not on_route:
                return row.name
            if state.condition is not Condition.ACTIVE and str(state.condition) in wanted:
                return f"{row.name}: {state.condition}"
        if "mains" in wanted and not self.s.mains_good:
            return "mains"
        if "battery" in wanted and not self.s.battery_good:
            return "battery"
        if "path" in wanted and self.p.paths and not any(self.s.paths_up):
            return "no reporting path"
        if "tamper" in wanted and self.s.tampered:
            return f"tamper: {sorted(self.s.tampered)[0]}"
        return ""

    def user(self, event: UserEvent) -> None:
        if self.s.lockout_left_ms and event.ask is not Ask.HOLD_UP:
            self.do(Refused(str(event.ask), "too many wrong codes; wait"))
            return
        self.system(wrong_codes=0)
        handlers: dict[Ask, Callable[[UserEvent], None]] = {
            Ask.SET_AWAY: self.ask_set,
            Ask.SET_INSIDE: self.ask_set,
            Ask.UNSET: self.ask_unset,
            Ask.DURESS_UNSET: self.ask_unset,
            Ask.INHIBIT: self.ask_leave_out,
            Ask.ISOLATE: self.ask_leave_out,
            Ask.RESTORE: self.ask_restore,
            Ask.HOLD_UP: lambda e: self.hold_up(e.area, e.user, silent=True),
        }
        handlers[event.ask](event)

    def ask_set(self, event: UserEvent) -> None:
        area = event.area
        if self.areas[area].phase is not Phase.UNSET:
            self.do(Refused(str(event.ask), f"it is {self.areas[area].phase}"))
            return
        inside = event.ask is Ask.SET_INSIDE
        self.area(area, inside=inside)
        cause = self.preventing(area)
        if cause:
            self.area(area, inside=False)
            self.do(Refused(str(event.ask), cause))
            return
        self.move(area, Move.ASK_SET)
        exit_ms = self.p.areas[area].exit_ms
        self.area(area, left_ms=exit_ms, exit_restarted=False, left_by_door=False, failed_to_set=False)
        self.do(Sound("exit", True))
        for index, row in enumerate(self.p.zones):
            if area in row.areas and self.zones[index].isolated:
                self.do(Say(area, f"isolated: {row.name}"))
        if exit_ms == 0:
            self.exit_over(area)

    def stop_setting(self, area: int, cause: str, move: Move) -> None:
        if self.areas[area].phase is Phase.EXIT:
            self.move(area, move)
            self.area(area, left_ms=0, inside=False, failed_to_set=True)
            self.do(Say(area, f"not set: {cause}"))
            self.report("failed to set", area=area)
            self.inner()

    def complete_setting(self, area: int, move: Move) -> None:
        unvacated = self.p.unvacated_to_inside and not self.areas[area].inside and not self.areas[area].left_by_door
        self.move(area, move)
        inside = self.areas[area].inside or unvacated
        self.area(area, left_ms=0, inside=inside, alarmed=False, confirmed=False, confirm_left_ms=0, first_detector="")
        self.area(area, recent_left_ms=RECENT_MS, cancel_left_ms=0)
        self.do(Say(area, "set with people inside" if inside else "set"))
        self.report("set inside" if inside else "set away", area=area)

    def exit_over(self, area: int) -> None:
        """Exit time is over: set, if every watched zone is at rest."""
        open_zones = [
            i
            for i, row in enumerate(self.p.zones)
            if area in row.areas and self.watched(i) and self.zones[i].condition is not Condition.NORMAL
        ]
        routine = (Response.ENTRY_EXIT, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)
        waiting = [i for i in open_zones if self.p.zones[i].response in routine]
        if not waiting and not self.preventing(area):
            self.complete_setting(area, Move.EXIT_ENDS)
            return
        doors = [i for i in waiting if self.p.zones[i].response is Response.ENTRY_EXIT]
        if self.p.exit_error and doors:
            self.move(area, Move.EXIT_ERROR)
            self.area(area, left_ms=self.p.areas[area].entry_ms)
            self.do(Sound("entry", True))
            self.bell()
            self.report("exit error", area=area, point=self.p.zones[doors[0]].number, hold_ms=0)
            return
        cause = self.p.zones[waiting[0]].name if waiting else self.preventing(area)
        self.stop_setting(area, cause, Move.NOT_READY)

    def entry_over(self, area: int, zone: int | None = None) -> None:
        self.move(area, Move.ENTRY_ENDS)
        self.area(area, left_ms=0)
        routes = [i for i, row in enumerate(self.p.zones) if area in row.areas and row.response is Response.ENTRY_EXIT]
        opened = [i for i in routes if self.zones[i].condition is not Condition.NORMAL]
        if zone is None and (opened or routes):
            zone = (opened or routes)[0]
        if zone is not None:
            self.raise_alarm(zone, "entry/exit")

    def ask_unset(self, event: UserEvent) -> None:
        area = event.area
        state = self.areas[area]
        was_set = state.phase is not Phase.UNSET
        self.move(area, Move.ASK_UNSET)
        self.quiet()
        kept: list[Waiting] = []
        stopped: list[Waiting] = []
        for waiting in self.s.queue:
            stop = waiting.droppable and waiting.hold_ms > 0 and waiting.report.area == area
            (stopped if stop else kept).append(waiting)
        self.system(queue=tuple(kept))
        for waiting in stopped:
            self.do(Dropped(waiting.report))
        if stopped:
            self.do(Say(area, "no alarm was sent"))
        elif state.alarmed and state.cancel_left_ms:
            self.report("cancel", area=area, point=event.user)
            self.do(Say(area, "a cancel was sent"))
        if event.ask is Ask.DURESS_UNSET:
            self.report("duress", area=area, point=event.user)
        if was_set:
            self.report("unset", area=area, point=event.user)
        self.areas[area] = AreaState(failed_to_set=False)
        self.end_set_period(area)

    def end_set_period(self, area: int) -> None:
        """An inhibition ends with its set period; an isolation stays. Swinger counts start afresh."""
        for index, row in enumerate(self.p.zones):
            if area in row.areas:
                state = self.zones[index]
                if state.inhibited:
                    self.report("inhibit restored", area=area, point=row.number)
                self.zones[index] = ZoneState(
                    condition=state.condition, isolated=state.isolated, in_memory=state.in_memory
                )
        if all(a.phase is Phase.UNSET for a in self.areas):
            self.system(bell_count=0)

    def ask_leave_out(self, event: UserEvent) -> None:
        if event.zone is None:
            self.do(Refused(str(event.ask), "which zone?"))
            return
        row = self.p.zones[event.zone]
        if not row.may_bypass:
            self.do(Refused(str(event.ask), f"{row.name} may not be left out"))
        elif any(self.areas[a].phase is not Phase.UNSET for a in row.areas):
            self.do(Refused(str(event.ask), "only while unset"))
        elif event.ask is Ask.INHIBIT:
            self.zone(event.zone, inhibited=True)
            self.report("inhibited", area=row.areas[0], point=row.number)
        else:
            self.zone(event.zone, isolated=True)
            self.report("inhibited", area=row.areas[0], point=row.number)

    def ask_restore(self, event: UserEvent) -> None:
        if event.zone is None:
            for index in range(len(self.zones)):
                self.zone(index, in_memory=False)
            return
        row = self.p.zones[event.zone]
        if self.zones[event.zone].isolated or self.zones[event.zone].inhibited:
            self.report("inhibit restored", area=row.areas[0], point=row.number)
        self.zone(event.zone, isolated=False, inhibited=False)

    def wrong_code(self) -> None:
        if self.s.lockout_left_ms:
            return
        self.system(wrong_codes=self.s.wrong_codes + 1)
        if self.s.wrong_codes >= self.p.wrong_code_limit:
            self.system(wrong_codes=0, lockout_left_ms=self.p.lockout_ms)
            self.report("wrong codes")
            self.do(Say(0, "too many wrong codes"))

    # Supply, paths, parts

    def supply(self, event: SupplyEvent) -> None:
        if event.what == "power":
            self.power(event.good)
        elif event.what == "mains" and event.good != self.s.mains_good:
            self.system(mains_good=event.good, mains_report_left_ms=0 if event.good else self.p.mains_report_ms)
            if event.good and self.s.mains_reported:
                self.system(mains_reported=False)
                self.report("mains restored")
            elif not event.good and self.p.mains_report_ms == 0:
                self.mains_lost()
        elif event.what == "battery" and event.good != self.s.battery_good:
            self.system(battery_good=event.good)
            self.report("battery restored" if event.good else "battery low")

    def mains_lost(self) -> None:
        self.system(mains_reported=True)
        self.report("mains lost")
        self.do(Say(0, "mains off"))

    def power(self, good: bool) -> None:
        """All power lost or back: set state and left-out zones are kept, detectors are not heard for a while."""
        if good and self.s.dead:
            self.system(dead=False, deaf_left_ms=self.p.power_return_ignore_ms)
        elif not good and not self.s.dead:
            self.quiet()
            self.system(dead=True, sending_ms=0, sending_path=-1)

    def path(self, event: PathEvent) -> None:
        if self.s.paths_up[event.path] == event.up:
            return
        up, left, reported = list(self.s.paths_up), list(self.s.path_report_left_ms), list(self.s.path_reported)
        up[event.path] = event.up
        left[event.path] = 0 if event.up else max(self.p.path_report_ms, 1)
        restored = event.up and reported[event.path]
        if event.up:
            reported[event.path] = False
        self.system(paths_up=tuple(up), path_report_left_ms=tuple(left), path_reported=tuple(reported))
        if not event.up and self.s.sending_path == event.path:  # not acknowledged: it stays at the head of the queue
            self.system(sending_ms=0, sending_path=-1)
        if restored:
            self.report("path restored", point=event.path + 1)

    def part(self, event: TamperEvent) -> None:
        if event.good and event.part in self.s.tampered:
            self.system(tampered=self.s.tampered - {event.part})
            self.report("tamper restored")
        elif not event.good and event.part not in self.s.tampered:
            self.system(tampered=self.s.tampered | {event.part})
            self.tamper(0, 0, event.part)

    # Time

    def due(self) -> list[int]:
        """Everything that is running down. [ms]"""
        if self.s.dead:
            return []
        times = [self.s.bell_left_ms, self.s.sending_ms, self.s.mains_report_left_ms, self.s.deaf_left_ms]
        times += [self.s.lockout_left_ms, *self.s.path_report_left_ms]
        times += [w.hold_ms for w in self.s.queue]
        times += [z.cross_left_ms for z in self.zones]
        for a in self.areas:
            times += [a.left_ms, a.confirm_left_ms, a.cancel_left_ms, a.recent_left_ms]
        return [t for t in times if t > 0]

    def next_due(self) -> int | None:
        return min(self.due(), default=None)

    def elapse(self, ms: int) -> None:
        left = ms
        while left > 0:
            due = self.next_due()
            if due is None or due > left:
                self.run_down(left)
                return
            self.run_down(due)
            left -= due
            self.send()
        self.send()

    def run_down(self, ms: int) -> None:
        """Take the time off every timer, then do what has fallen due, in the fixed order."""
        if self.s.dead:
            return

        def less(value: int) -> int:
            return max(value - ms, 0)

        expired_phases = [i for i, a in enumerate(self.areas) if 0 < a.left_ms <= ms]
        for i, a in enumerate(self.areas):
            confirm = less(a.confirm_left_ms)
            self.areas[i] = a._replace(
                left_ms=less(a.left_ms),
                confirm_left_ms=confirm,
                first_detector=a.first_detector if confirm else "",
                cancel_left_ms=less(a.cancel_left_ms),
                recent_left_ms=less(a.recent_left_ms),
            )
        for i, z in enumerate(self.zones):
            if z.cross_left_ms:
                self.zones[i] = z._replace(cross_left_ms=less(z.cross_left_ms))
        bell_ends = 0 < self.s.bell_left_ms <= ms
        mains_due = 0 < self.s.mains_report_left_ms <= ms
        paths_due = [i for i, t in enumerate(self.s.path_report_left_ms) if 0 < t <= ms]
        sent = 0 < self.s.sending_ms <= ms
        self.system(
            bell_left_ms=less(self.s.bell_left_ms),
            sending_ms=less(self.s.sending_ms),
            mains_report_left_ms=less(self.s.mains_report_left_ms),
            path_report_left_ms=tuple(less(t) for t in self.s.path_report_left_ms),
            deaf_left_ms=less(self.s.deaf_left_ms),
            lockout_left_ms=less(self.s.lockout_left_ms),
            queue=tuple(w._replace(hold_ms=less(w.hold_ms)) for w in self.s.queue),
        )
        for i in expired_phases:
            if self.areas[i].phase is Phase.EXIT:
                if self.p.two_stage_setting:
                    self.stop_setting(i, "the final door was not shut", Move.NOT_READY)
                else:
                    self.exit_over(i)
            elif self.areas[i].phase is Phase.ENTRY:
                self.entry_over(i)
        if bell_ends:
            self.do(Sound("bell", False))
            if self.s.inner_on:
                self.do(Sound("inner", False))
            self.system(inner_on=False)
        if mains_due:
            self.mains_lost()
        for i in paths_due:
            reported = list(self.s.path_reported)
            reported[i] = True
            self.system(path_reported=tuple(reported))
            self.report("path lost", point=i + 1)
        if sent:
            self.sent()
