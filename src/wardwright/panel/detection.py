"""Loops that change, and what becomes of it: entry time, an alarm, a tamper, or nothing."""

from wardwright.panel.events import Condition, Sound
from wardwright.panel.programme import Response
from wardwright.panel.run import Run
from wardwright.panel.setting import complete_if_ready, stop_setting
from wardwright.panel.state import AreaState
from wardwright.panel.tables import INTRUDER_REPORTS, TAKES, Move, Phase, Stage, Take

FAULTS = {Condition.MASKED, Condition.REDUCED, Condition.FAULT, Condition.MISSING}
SET_STAGES = (Stage.AWAY, Stage.INSIDE, Stage.ENTRY)


def stage(run: Run, zone: int) -> Stage:
    """How a zone's areas stand: the least set of them decides, since a shared zone is watched when all are set."""
    stages = []
    for index in run.p.zones[zone].areas:
        area = run.areas[index]
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


def watched(run: Run, zone: int) -> bool:
    """Whether a trip is listened to: not left out, and not one of those asleep with people inside."""
    row, state = run.p.zones[zone], run.zones[zone]
    if state.inhibited or state.isolated:
        return False
    always = TAKES[row.response][Stage.UNSET] not in (Take.NOTHING, Take.CHIME)
    return always or row.watched_inside or not any(run.areas[a].inside for a in row.areas)


def loop_changed(run: Run, zone: int, condition: Condition) -> None:
    """A loop reads something else than before."""
    before = run.zones[zone].condition
    if condition is before:
        return
    run.zone(zone, condition=condition, unheard=False)
    row, area = run.p.zones[zone], run.p.zones[zone].areas[0]
    if run.zones[zone].isolated:
        return
    if before is Condition.TAMPER:
        run.report("tamper restored", area=area, point=row.number)
    elif before in FAULTS:
        lost = before is Condition.MISSING
        run.report("supervision restored" if lost else "zone trouble restored", area=area, point=row.number)
    elif before is Condition.ACTIVE and run.zones[zone].in_memory:
        restored = {Response.FIRE: "fire restored", Response.TECHNICAL: "technical restored"}
        run.report(restored.get(row.response, "intruder restored"), area=area, point=row.number)
    if condition is Condition.TAMPER:
        tamper(run, area, row.number, row.place)
    elif condition in FAULTS:
        fault(run, zone, condition)
    elif condition is Condition.ACTIVE and run.s.deaf_left_ms:
        run.zone(zone, unheard=True)
    elif condition is Condition.ACTIVE:
        trip(run, zone)
    elif condition is Condition.NORMAL:
        for index in row.areas:
            complete_if_ready(run, index)


def fault(run: Run, zone: int, condition: Condition) -> None:
    """A detector that cannot do its work. A masked one while set is somebody's doing: an alarm."""
    row, area = run.p.zones[zone], run.p.zones[zone].areas[0]
    lost = condition is Condition.MISSING
    run.report("supervision lost" if lost else "zone trouble", area=area, point=row.number)
    run.tell(area, f"{condition}: {row.place}")
    masked = condition in (Condition.MASKED, Condition.REDUCED) and str(row.response) in INTRUDER_REPORTS
    if masked and watched(run, zone) and stage(run, zone) in SET_STAGES:
        intruder(run, zone)


def trip(run: Run, zone: int) -> None:
    """A zone that is listened to went active."""
    if not watched(run, zone):
        return
    row = run.p.zones[zone]
    area = row.areas[0]
    take = TAKES[row.response][stage(run, zone)]
    if take is Take.CHIME:
        if row.chime:
            run.do(Sound("chime", True))
    elif take is Take.EXIT_ROUTE:
        if row.response is Response.ENTRY_EXIT:
            for index in row.areas:
                out_by_the_door(run, index)
    elif take is Take.OFF_EXIT_ROUTE:
        if run.p.off_route_stops_setting:
            for index in row.areas:
                stop_setting(run, index, row.place, Move.OFF_ROUTE_IN_EXIT)
        else:
            intruder(run, zone)
    elif take is Take.START_ENTRY or (take is Take.ENTRY_ROUTE and row.response is Response.ENTRY_EXIT):
        start_entry(run, zone)  # on the entry route of one area, it may open into another that is still set
    elif take is Take.OFF_ENTRY_ROUTE or take is Take.INTRUDER:
        intruder(run, zone)
    elif take is Take.HOLD_UP:
        hold_up(run, area, row.number, silent=row.silent)
        run.zone(zone, in_memory=True)
    elif take is Take.TAMPER:
        tamper(run, area, row.number, row.place)
    elif take in (Take.FIRE, Take.TECHNICAL, Take.TROUBLE):
        ancillary(run, zone, take)


def out_by_the_door(run: Run, area: int) -> None:
    """The final door opened during exit time; the second time the countdown starts afresh, once and once only."""
    state = run.areas[area]
    if state.phase is not Phase.EXIT:
        return
    restart = run.p.exit_restart and state.left_by_door and not state.exit_restarted
    run.area(area, left_by_door=True)
    if restart:  # came back for the keys
        run.area(area, exit_restarted=True, left_ms=run.p.areas[area].exit_ms)


def start_entry(run: Run, zone: int) -> None:
    """Entry time starts in every set area of the door, unless the door has been shut down."""
    row = run.p.zones[zone]
    if run.zones[zone].trips >= row.swinger_count:
        return
    entered = [area for area in row.areas if run.areas[area].phase is Phase.SET]
    for area in entered:
        run.move(area, Move.ENTRY_STARTS)
        run.area(area, left_ms=run.p.areas[area].entry_ms)
        if run.p.entry_stops_confirmation:
            run.area(area, confirm_off=True, confirm_left_ms=0, first_detector="")
        run.do(Sound("entry", True))
        run.tell(area, f"entry: {row.place}")
        if run.p.report_entry_delay:
            run.report("entry started", area=area, point=row.number)
    for area in entered:
        if run.p.areas[area].entry_ms == 0:
            entry_over(run, area, zone)


def entry_over(run: Run, area: int, zone: int | None = None) -> None:
    """Nobody unset in time: the alarm names the door that is open, or the area's first."""
    run.move(area, Move.ENTRY_ENDS)
    doors = [i for i, row in enumerate(run.p.zones) if area in row.areas and row.response is Response.ENTRY_EXIT]
    opened = [i for i in doors if run.zones[i].condition is not Condition.NORMAL]
    for door in (() if zone is None else (zone,)) + tuple(opened) + tuple(doors):
        raise_alarm(run, door, "entry/exit", area)
        return


def ancillary(run: Run, zone: int, take: Take) -> None:
    """Fire and technical inputs, and troubles: told in every mode, no intruder alarm."""
    row = run.p.zones[zone]
    what = {Take.FIRE: "fire", Take.TECHNICAL: "technical", Take.TROUBLE: "zone trouble"}[take]
    run.zone(zone, in_memory=True)
    run.report(what, area=row.areas[0], point=row.number)
    run.tell(row.areas[0], f"{what}: {row.place}")
    if take is Take.FIRE and not run.s.fire_on:
        run.system(fire_on=True)
        run.do(Sound("fire", True))


def intruder(run: Run, zone: int) -> None:
    """A trip that is to become an alarm, unless cross-zoning or swinger shutdown says otherwise."""
    row, state = run.p.zones[zone], run.zones[zone]
    if state.trips >= row.swinger_count:
        return
    if row.cross_zone is not None:
        if run.zones[row.cross_zone].cross_left_ms == 0:
            run.zone(zone, cross_left_ms=run.p.cross_zone_ms)
            run.tell(row.areas[0], f"waiting for a second zone: {row.place}")
            return
        run.zone(row.cross_zone, cross_left_ms=0)
    if row.response is not Response.DAY_24H:
        for index in row.areas:
            if run.areas[index].phase is Phase.ENTRY:
                run.move(index, Move.OFF_ROUTE_IN_ENTRY)
    raise_alarm(run, zone, str(row.response), row.areas[0])


def raise_alarm(run: Run, zone: int, what: str, area: int) -> None:
    """An intruder alarm: sound, keypads, report; then shutdown of a swinging zone, and confirmation."""
    row = run.p.zones[zone]
    trips = min(run.zones[zone].trips + 1, row.swinger_count)
    run.zone(zone, in_memory=True, trips=trips)
    for index in {area, *row.areas}:
        run.area(index, alarmed=True)
    hold = 0 if row.response is Response.DAY_24H else max(run.p.abort_ms, run.p.entry_warning_ms)
    held = hold > 0
    if not row.silent:
        run.alarm_sound()
    run.tell(area, f"alarm: {row.place}")
    run.report(what, area=area, point=row.number, hold_ms=hold, droppable=held)
    if run.areas[area].recent_left_ms:
        run.report("recent closing", area=area, point=row.number, hold_ms=hold, droppable=held)
    if trips == row.swinger_count:
        run.report("swinger shutdown", area=area, point=row.number, hold_ms=hold, droppable=held)
    if run.p.paths and run.p.cancel_ms:
        run.area(area, cancel_left_ms=run.p.cancel_ms + hold)
    if run.p.confirmation:
        confirm(run, zone, area, hold)


def confirm(run: Run, zone: int, area: int, hold: int) -> None:
    """A second detector within the window confirms the first; the first heard again opens the window afresh."""
    row, state = run.p.zones[zone], run.areas[area]
    detector = row.detector or f"zone {row.number}"
    if state.confirmed or state.confirm_off or not row.guards:
        return
    if state.confirm_left_ms == 0 or detector == state.first_detector:
        run.area(area, confirm_left_ms=run.p.confirm_ms, first_detector=detector)
    else:
        run.area(area, confirmed=True, confirm_left_ms=0, first_detector="")
        run.report("confirmed intruder", area=area, point=row.number, hold_ms=hold, droppable=hold > 0)


def hold_up(run: Run, area: int, point: int, *, silent: bool) -> None:
    """A call for help: told at once, without a sound where so programmed."""
    run.report("hold-up silent" if silent else "hold-up audible", area=area, point=point)
    if not silent:
        run.alarm_sound()
        run.tell(area, "hold-up alarm")


def tamper(run: Run, area: int, point: int, name: str) -> None:
    """Somebody is at the system itself: told in every mode."""
    run.report("tamper", area=area, point=point)
    run.tell(area, f"tamper: {name}")
    run.alarm_sound()


def listen_again(run: Run) -> None:
    """After a loss of all power: what opened while nobody listened is heard now, if it is still open."""
    for index, state in enumerate(run.zones):
        if state.unheard:
            run.zone(index, unheard=False)
            if state.condition is Condition.ACTIVE:
                trip(run, index)


def end_set_period(run: Run, area: int) -> None:
    """An inhibition ends with its set period; an isolation stays. Swinger counts start afresh."""
    run.areas[area] = AreaState()
    for index, row in enumerate(run.p.zones):
        if area in row.areas:
            if run.zones[index].inhibited:
                run.report("inhibit restored", area=area, point=row.number)
            run.zone(index, inhibited=False, trips=0, cross_left_ms=0)
    if not run.anything_set:
        run.system(bell_count=0)
