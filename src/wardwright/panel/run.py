"""One step under way: the state unpacked, the small changes everything else is made of, reports and sounders."""

from collections.abc import Sequence
from typing import Any

from wardwright.panel.events import Action, Delivered, Dropped, Queued, Report, Say, Sound
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.state import PanelState, Waiting
from wardwright.panel.tables import CODES, INTRUDER_REPORTS, PHASES, Move, Phase

QUEUE_LIMIT = 64
"""Reports kept; beyond it a repeat of a report already waiting is not queued again, an alarm always is."""

RESTORED = "intruder restored"


def _same_zone(one: Waiting, other: Waiting) -> bool:
    return (one.report.area, one.report.point) == (other.report.area, other.report.point)


def may_be_sent(queue: Sequence[Waiting], place: int) -> bool:
    """Whether a report's hold has run down and it is no restoral whose alarm is still held.

    Nobody is told that something is over before being told of it.

    Parameters
    ----------
    queue : sequence of Waiting
        The queue.
    place : int
        Which of it.

    Returns
    -------
    bool
        True if it may go out.
    """
    waiting = queue[place]
    if waiting.hold_ms > 0:
        return False
    return waiting.report.what != RESTORED or not any(o.hold_ms > 0 and _same_zone(waiting, o) for o in queue[:place])


class Run:
    """A state being changed, and what was done so far."""

    def __init__(self, programme: PanelProgramme, state: PanelState) -> None:
        self.p = programme
        self.s = state
        self.areas = list(state.areas)
        self.zones = list(state.zones)
        self.actions: list[Action] = []

    def state(self) -> PanelState:
        """What it came to."""
        return self.s._replace(areas=tuple(self.areas), zones=tuple(self.zones))

    def area(self, index: int, **change: Any) -> None:
        """Change an area."""
        self.areas[index] = self.areas[index]._replace(**change)

    def zone(self, index: int, **change: Any) -> None:
        """Change a zone."""
        self.zones[index] = self.zones[index]._replace(**change)

    def system(self, **change: Any) -> None:
        """Change what belongs to the whole panel."""
        self.s = self.s._replace(**change)

    def do(self, action: Action) -> None:
        """Note an action."""
        self.actions.append(action)

    def move(self, index: int, move: Move) -> None:
        """Move an area by the table. A countdown ends with its phase."""
        before = self.areas[index].phase
        after = PHASES[before, move]
        if after is before:
            return
        self.area(index, phase=after, left_ms=0)
        if before is Phase.ENTRY:
            self.do(Sound("entry", False))
        if before is Phase.EXIT:
            self.do(Sound("exit", False))

    @property
    def anything_set(self) -> bool:
        """Any area is other than unset."""
        return any(a.phase is not Phase.UNSET for a in self.areas)

    # Reports

    def report(self, what: str, *, area: int = 0, point: int = 0, hold_ms: int = 0, droppable: bool = False) -> None:
        """Queue a report; without a path there is nobody to report to."""
        contact_id, sia = CODES[what]
        report = Report(what, contact_id, sia, area, point)
        if not self.p.paths:
            return
        if len(self.s.queue) >= QUEUE_LIMIT and any(w.report == report for w in self.s.queue):
            return
        self.system(queue=(*self.s.queue, Waiting(report, hold_ms, droppable)))
        self.do(Queued(report))
        if hold_ms == 0:
            self.let_go(report)

    def let_go(self, report: Report) -> None:
        """A report that can no longer be stopped: unsetting from now on sends a cancel."""
        if report.what in INTRUDER_REPORTS:
            self.area(report.area, released=True)

    def drop_held(self, area: int) -> bool:
        """A user stops the reports of an area that are still held. True if there were any."""
        kept: list[Waiting] = []
        stopped: list[Waiting] = []
        for waiting in self.s.queue:
            held = waiting.droppable and waiting.hold_ms > 0 and waiting.report.area == area
            over = waiting.report.what == RESTORED and any(_same_zone(waiting, other) for other in stopped)
            (stopped if held or over else kept).append(waiting)
        self.system(queue=tuple(kept))
        for waiting in stopped:
            self.do(Dropped(waiting.report))
        return bool(stopped)

    def send(self) -> None:
        """Start sending the first report whose hold has run down, over the best path that is thought to live."""
        if self.s.sending_ms:
            return
        ready = next((w for i, w in enumerate(self.s.queue) if may_be_sent(self.s.queue, i)), None)
        if ready is None:
            return
        for index, row in enumerate(self.p.paths):
            hidden = row.silent_when_down and not self.s.path_reported[index]
            if self.s.path_resting_ms[index] == 0 and (self.s.paths_up[index] or hidden):
                self.system(sending_ms=row.send_ms, sending_path=index, sending=ready.report)
                return

    def sent(self) -> None:
        """The time an acknowledgement takes is over: it came, or the path is left alone for a while."""
        report, path = self.s.sending, self.s.sending_path
        self.system(sending_ms=0, sending_path=-1, sending=None)
        if not self.s.paths_up[path]:
            resting = list(self.s.path_resting_ms)
            resting[path] = self.p.retry_ms
            self.system(path_resting_ms=tuple(resting))
            return
        queue = list(self.s.queue)
        place = next(i for i, w in enumerate(queue) if w.report == report and w.hold_ms == 0)
        done = queue.pop(place).report
        self.system(queue=tuple(queue))
        self.do(Delivered(done, path))

    # Sounders

    def bell(self) -> None:
        """Outer sounder and strobe, as long and as often as the programme allows; the inner one with it."""
        if self.p.bell_ms > 0 and self.s.bell_left_ms == 0 and self.s.bell_count < self.p.bell_limit:
            self.do(Sound("bell", True))
            self.do(Sound("strobe", True))
            self.system(bell_count=self.s.bell_count + 1, bell_left_ms=self.p.bell_ms)
        self.inner()

    def inner(self) -> None:
        """Inner sounder, for as long as the outer one would sound."""
        if self.s.inner_left_ms == 0 and self.p.bell_ms > 0:
            self.system(inner_left_ms=self.p.bell_ms)
            self.do(Sound("inner", True))

    def alarm_sound(self) -> None:
        """What sounds for an alarm that may come while unset: the outer bell only where the profile lets it."""
        if self.anything_set or self.p.bell_while_unset:
            self.bell()
        else:
            self.inner()

    def quiet(self) -> None:
        """Stop what sounds."""
        if self.s.bell_left_ms:
            self.do(Sound("bell", False))
        if self.s.inner_left_ms:
            self.do(Sound("inner", False))
        if self.s.bell_count:
            self.do(Sound("strobe", False))
        if self.s.fire_on:
            self.do(Sound("fire", False))
        self.system(bell_left_ms=0, inner_left_ms=0, fire_on=False)

    def tell(self, area: int, text: str) -> None:
        """A line on the keypads of an area."""
        self.do(Say(area, text))
