"""The report of one alarm on its way out: the slice it is followed in, and what is asked of it.

However many reports wait, three things are enough. A report that waits is never lost. While a path lives, some report
is acknowledged within a time that depends on the paths alone. And nothing that was queued later is sent before it. So
an alarm with *n* reports before it is out after at most *n* + 1 such times, and one more where another report was
under way when its hold ended.
"""

from collections.abc import Iterator
from dataclasses import replace

from wardwright.panel.events import Ask, Condition, Delivered, Dropped, Event, PathEvent, Queued, Report, UserEvent
from wardwright.panel.events import ZoneEvent as Trip
from wardwright.panel.explore import Monitor, Seen, Watch, World
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.run import may_be_sent
from wardwright.panel.state import AreaState, PanelState, Waiting, at_rest
from wardwright.panel.tables import CODES, Phase

OTHER = Waiting(Report("hold-up silent", *CODES["hold-up silent"]), 0, False)
"""Stands for every other report that is ready to go."""


def report_slice(programme: PanelProgramme, zone: int) -> World:
    """The report of one alarm on its way out, any number of others before and behind it, paths that come and go.

    Of the others that are ready one is kept before it and one behind; more may stand there at any time, and one that
    was held may become ready at any time.

    Parameters
    ----------
    programme : PanelProgramme
        The whole of it, with at least one path.
    zone : int
        Whose alarm.

    Returns
    -------
    World
        To be explored from the moment the area is set.
    """
    row = replace(programme.zones[zone], areas=(0,), cross_zone=None, swinger_count=9)
    small = replace(programme, zones=(row,), areas=(programme.areas[programme.zones[zone].areas[0]],))
    start = at_rest(small)
    what = str(row.response)

    def kept(state: PanelState) -> PanelState:
        before, mine, behind = parted(state, what, row.number)
        sending = state.sending if state.sending is None or state.sending.what == what else OTHER.report
        return start._replace(
            areas=(AreaState(phase=state.areas[0].phase),),
            queue=(*(OTHER,) * min(before, 1), *mine[:1], *(OTHER,) * min(behind, 1)),
            sending_ms=state.sending_ms,
            sending_path=state.sending_path,
            sending=sending,
            paths_up=state.paths_up,
            path_resting_ms=state.path_resting_ms,
        )

    def standing_for(state: PanelState) -> Iterator[PanelState]:
        before, mine, behind = parted(state, what, row.number)
        for ahead in {before, 1}:
            for after in {behind, 1} if mine else {behind}:
                queue = (*(OTHER,) * ahead, *mine, *(OTHER,) * after)
                for known in _known_down(small, state):
                    yield state._replace(queue=queue, path_reported=known)

    def happenings(state: PanelState) -> Iterator[tuple[Event, PanelState]]:
        _, mine, _ = parted(state, what, row.number)
        for acting in standing_for(state):
            if not mine and state.areas[0].phase is Phase.SET:
                yield Trip(0, Condition.ACTIVE), acting
            yield UserEvent(Ask.HOLD_UP, user=0), acting
            yield UserEvent(Ask.UNSET, user=0), acting
            for path, up in enumerate(state.paths_up):
                yield PathEvent(path, up=not up), acting

    return World(
        small,
        happenings,
        standing_for,
        kept,
        start=start._replace(areas=(AreaState(phase=Phase.SET),)),
        reductions=(
            "one report followed; any number of others, of which one before it and one behind are looked at",
            "zones and timers that queue nothing left out",
            "time advanced to what falls due next (differences of times left)",
        ),
    )


def parted(state: PanelState, what: str, number: int) -> tuple[int, tuple[Waiting, ...], int]:
    """A queue as one report sees it: how many that are ready before it, itself, how many that are ready behind.

    Parameters
    ----------
    state : PanelState
        How a panel stands.
    what : str
        What the report says.
    number : int
        Zone it names. Where several are alike, the first is meant.

    Returns
    -------
    int
        Ready before it; where it does not wait, all that are ready. [-]
    tuple of Waiting
        Itself, where it waits.
    int
        Ready behind it. [-]
    """
    queue = state.queue
    place = next((i for i, w in enumerate(queue) if w.report.what == what and w.report.point == number), len(queue))
    before = sum(w.hold_ms == 0 for w in queue[:place])
    return before, queue[place : place + 1], sum(w.hold_ms == 0 for w in queue[place + 1 :])


def _known_down(programme: PanelProgramme, state: PanelState) -> Iterator[tuple[bool, ...]]:
    """What the panel may know of paths whose loss it does not see at once: nothing, or that they are down."""
    yield state.path_reported
    hidden = tuple(not up and row.silent_when_down for up, row in zip(state.paths_up, programme.paths, strict=True))
    if any(hidden):
        yield hidden


def delivered_in_turn(programme: PanelProgramme, zone: int) -> Monitor:
    """An alarm that is not stopped in its abort window is never lost, kept waiting while a path lives, or overtaken.

    Parameters
    ----------
    programme : PanelProgramme
        With its paths.
    zone : int
        Whose alarm.

    Returns
    -------
    Monitor
        To be explored, or replayed on the whole programme.
    """
    row = programme.zones[zone]
    what, number = str(row.response), row.number
    limit = longest_wait_ms(programme)

    def its(report: Report) -> bool:
        return report.what == what and report.point == number

    def monitor(watch: Watch, seen: Seen, due: bool) -> Watch | str:
        was = sum(its(w.report) for w in seen.before.queue)
        now = sum(its(w.report) for w in seen.after.queue)
        gone = sum(its(a.report) for a in seen.actions if isinstance(a, Delivered | Dropped))
        queued = sum(its(a.report) for a in seen.actions if isinstance(a, Queued))
        if any(isinstance(a, Dropped) for a in seen.actions) and not isinstance(seen.event, UserEvent):
            return "a report is dropped though nobody stopped it"
        if was + queued != now + gone:
            return "a report is lost from the queue"
        if _overtaken(seen, what, number):
            return "another report is sent before it out of turn"
        acknowledged = any(isinstance(a, Delivered) for a in seen.actions)
        queue = seen.after.queue
        waits = any(may_be_sent(queue, place) for place in range(len(queue))) and any(seen.after.paths_up)
        if due and waits and not acknowledged:
            return f"a path lives for {limit / 1000:g} s and nothing is acknowledged"
        if not waits:
            return Watch()
        fresh = isinstance(seen.event, PathEvent) or watch.left_ms == 0 or acknowledged
        return Watch(left_ms=limit) if fresh else watch

    return monitor


def longest_wait_ms(programme: PanelProgramme) -> int:
    """Longest time to the next acknowledgement while a path lives: every path tried once. [ms]"""
    return sum(path.send_ms for path in programme.paths) + 1


def _overtaken(seen: Seen, what: str, number: int) -> bool:
    """Whether another report starts to be sent while this one is ready and nothing that is ready stands before it."""
    before, mine, _ = parted(seen.after, what, number)
    sending = seen.after.sending
    if not mine or mine[0].hold_ms or before or sending is None or sending == mine[0].report:
        return False
    acknowledged = any(isinstance(a, Delivered) for a in seen.actions)
    return acknowledged or seen.before.sending is None or seen.before.sending_path != seen.after.sending_path
