"""Setting: what stands in the way, how it is completed, how it fails."""

from wardwright.panel.events import Condition, Sound
from wardwright.panel.programme import Response
from wardwright.panel.run import Run
from wardwright.panel.tables import TAKES, Move, Phase, Stage, Take

RECENT_MS = 120_000
"""An alarm within this time of setting is reported as a recent closing too (ANSI/SIA CP-01, from memory)."""
ROUTINE = (Response.ENTRY_EXIT, Response.PERIMETER, Response.INTERIOR, Response.INTERIOR_FOLLOWER)


def counts(run: Run, zone: int, area: int) -> bool:
    """Whether a zone has a say in setting an area."""
    row, state = run.p.zones[zone], run.zones[zone]
    if area not in row.areas or state.inhibited or state.isolated:
        return False
    return row.response not in ROUTINE or row.watched_inside or not run.areas[area].inside


def preventing(run: Run, area: int, *, on_route_too: bool = False) -> str:
    """What stands in the way of setting an area; empty if nothing does.

    Detectors on the exit route may still be active when setting starts; ``on_route_too`` asks for them as well, as
    completion does.
    """
    wanted, s = run.p.prevent_set, run.s
    for index, row in enumerate(run.p.zones):
        if not counts(run, index, area):
            continue
        condition = run.zones[index].condition
        if condition is Condition.ACTIVE:
            on_route = TAKES[row.response][Stage.EXIT] is Take.EXIT_ROUTE
            if "active" in wanted and (on_route_too or not on_route):
                return row.place
        elif condition is not Condition.NORMAL and str(condition) in wanted:
            return f"{row.place}: {condition}"
    if run.areas[area].overridden:
        return ""
    lost = bool(run.p.paths) and not all(s.paths_up)
    silent = "sounder" in s.faulty and not (run.p.paths and any(s.paths_up))
    standing = {
        "mains": (not s.mains_good, "mains off"),
        "battery": (not s.battery_good, "battery low"),
        "path": (lost, "a reporting path is down"),
        "tamper": (bool(s.tampered), f"tamper: {min(s.tampered, default='')}"),
        "part": (bool(s.faulty), f"fault: {min(s.faulty, default='')}"),
        "notification": (silent, "nothing left to tell anybody with"),
    }
    return next((words for name, (holds, words) in standing.items() if holds and name in wanted), "")


def stop_setting(run: Run, area: int, cause: str, move: Move) -> None:
    """Setting fails: shown, told, and nothing is set."""
    if run.areas[area].phase is Phase.EXIT:
        run.move(area, move)
        run.area(area, inside=False, overridden=False, failed_to_set=True)
        run.tell(area, f"not set: {cause}")
        run.report("failed to set", area=area)
        run.inner()


def complete_setting(run: Run, area: int, move: Move) -> None:
    """The area is set; nobody left by the final door may mean that somebody stayed."""
    state = run.areas[area]
    inside = state.inside or (run.p.unvacated_to_inside and not state.left_by_door)
    run.move(area, move)
    run.area(area, inside=inside, alarmed=False, confirmed=False, confirm_left_ms=0, first_detector="")
    run.area(area, recent_left_ms=RECENT_MS if run.p.paths else 0, cancel_left_ms=0, released=False, confirm_off=False)
    run.tell(area, "set with people inside" if inside else "set")
    run.report("set inside" if inside else "set away", area=area)


def complete_if_ready(run: Run, area: int) -> None:
    """Two-stage setting: somebody went out by the final door, and everything is at rest."""
    state = run.areas[area]
    if (
        run.p.two_stage_setting
        and state.phase is Phase.EXIT
        and state.left_by_door
        and not preventing(run, area, on_route_too=True)
    ):
        complete_setting(run, area, Move.FINAL_DOOR_SHUT)


def exit_over(run: Run, area: int) -> None:
    """Exit time is over: set, if every watched zone is at rest."""
    if run.p.two_stage_setting and not run.areas[area].inside:
        stop_setting(run, area, "the final door was not shut", Move.NOT_READY)
        return
    cause = preventing(run, area, on_route_too=True)
    if not cause:
        complete_setting(run, area, Move.EXIT_ENDS)
        return
    doors = [
        i
        for i, row in enumerate(run.p.zones)
        if row.response is Response.ENTRY_EXIT and counts(run, i, area) and run.zones[i].condition is Condition.ACTIVE
    ]
    if run.p.exit_error and doors:
        entry_ms = run.p.areas[area].entry_ms
        run.move(area, Move.EXIT_ERROR)
        run.area(area, left_ms=max(entry_ms, 1), alarmed=True)
        run.do(Sound("entry", True))
        run.bell()
        point = run.p.zones[doors[0]].number
        run.report("exit error", area=area, point=point, hold_ms=entry_ms, droppable=entry_ms > 0)
        return
    stop_setting(run, area, cause, Move.NOT_READY)
