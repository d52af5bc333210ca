"""The panel in a scenario: events go in at their moment, and every answer becomes a line of the timeline."""

import datetime

from wardwright.analyses.panel_programme import Numbering
from wardwright.analyses.scenario.timeline import FalseAlarm, Moment, ReportLine
from wardwright.panel.events import Action, Delivered, Dropped, Elapse, Event, Queued, Refused, Report, Say, Sound
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.state import PanelState
from wardwright.panel.step import next_due_ms, step
from wardwright.panel.tables import INTRUDER_REPORTS, Phase

BRIEF = ("chime",)
"""Outputs that sound once and are over."""


class Teller:
    """Runs the panel and writes the timeline.

    Parameters
    ----------
    programme : PanelProgramme
        What the panel was told.
    names : Numbering
        Which index stands for what.
    state : PanelState
        How it stands at the beginning.
    starts : datetime
        Day and time of the beginning.
    """

    def __init__(
        self, programme: PanelProgramme, names: Numbering, state: PanelState, starts: datetime.datetime
    ) -> None:
        self.programme = programme
        self.names = names
        self.state = state
        self.starts = starts
        self.now_ms = 0
        self.moments: list[Moment] = []
        self.alarms: list[tuple[int, str, int, str]] = []
        """Moment, whose doing, area, words."""
        self.delivered: list[tuple[int, Report]] = []
        self._entry_by: dict[int, str] = {}
        self._sounding: list[str] = []

    @property
    def phases(self) -> tuple[tuple[str, str], ...]:
        """Name and phase of every area."""
        return tuple(
            (row.name, "set with people inside" if area.phase is Phase.SET and area.inside else str(area.phase))
            for row, area in zip(self.programme.areas, self.state.areas, strict=True)
        )

    def clock(self, at_ms: int) -> str:
        """Time of day."""
        return f"{self.starts + datetime.timedelta(milliseconds=at_ms):%H:%M:%S}"

    def advance(self, to_ms: int) -> None:
        """Let time pass, and tell what falls due on the way."""
        while self.now_ms < to_ms:
            due = next_due_ms(self.programme, self.state)
            wait = to_ms - self.now_ms if due is None else min(due, to_ms - self.now_ms)
            self.now_ms += wait
            self.tell((Elapse(wait),))

    def tell(
        self,
        events: tuple[Event, ...],
        *,
        actor_id: str = "",
        who: str = "",
        where: str = "",
        what: str = "",
        tripped: tuple[str, ...] = (),
        zones: tuple[str, ...] = (),
        refused: tuple[str, ...] = (),
        or_else: str = "",
        plant: bool = False,
    ) -> None:
        """Give the panel events that happen now, and note a moment if there is anything to note.

        Parameters
        ----------
        events : tuple of Event
            In order.
        actor_id, who, where, what : str
            The cause.
        tripped, zones : tuple of str
            Devices that began to report, and their zones by name.
        refused : tuple of str
            What a keypad says though the panel was not asked: no right to it.
        or_else : str
            What to call it where the panel answers though nobody did anything to speak of.
        plant : bool
            It is about mains, paths, lids or parts.
        """
        before = self.phases
        done: list[Action] = []
        for event in events:
            self.state, actions = step(self.programme, self.state, event)
            done += actions
            for action in actions:
                self._follow(action, actor_id)
        keypads = (*refused, *(line for a in done if (line := self._line(a))))
        reports = tuple(r for a in done if (r := self._report(a)) is not None)
        heard = bool(done) or bool(refused) or before != self.phases
        if not (what or tripped or heard):
            return
        chimes = tuple(a.output for a in done if isinstance(a, Sound) and a.output in BRIEF)
        self.moments.append(
            Moment(
                at_ms=self.now_ms,
                clock=self.clock(self.now_ms),
                actor_id=actor_id,
                who=who,
                where=where,
                what=what or ("" if tripped else or_else or self._by_itself(done)),
                tripped=tripped,
                zones=zones,
                phases=self.phases,
                sounding=(*self._sounding, *chimes),
                keypads=keypads,
                reports=reports,
                plant=plant,
                answered=heard or not tripped,
            )
        )

    def _follow(self, action: Action, actor_id: str) -> None:
        """Keep what sounds, and whose doing each alarm is."""
        if isinstance(action, Sound) and action.output not in BRIEF:
            if action.on and action.output not in self._sounding:
                self._sounding.append(action.output)
            elif not action.on and action.output in self._sounding:
                self._sounding.remove(action.output)
        if isinstance(action, Say) and action.text.startswith("entry: "):
            self._entry_by[action.area] = actor_id
        if isinstance(action, Say) and action.text.startswith("alarm: "):
            by = actor_id or self._entry_by.get(action.area, "")
            self.alarms.append((self.now_ms, by, action.area, action.text))
        if isinstance(action, Delivered):
            self.delivered.append((self.now_ms, action.report))

    def _line(self, action: Action) -> str:
        area = f"{self.programme.areas[action.area].name}: " if isinstance(action, Say) and self._several else ""
        if isinstance(action, Say):
            return area + action.text
        return f"not done ({action.ask}): {action.why}" if isinstance(action, Refused) else ""

    @property
    def _several(self) -> bool:
        return len(self.programme.areas) > 1

    def _report(self, action: Action) -> ReportLine | None:
        if isinstance(action, Queued):
            state, path = "queued", ""
        elif isinstance(action, Delivered):
            state, path = "acknowledged", self.programme.paths[action.path].name
        elif isinstance(action, Dropped):
            state, path = "stopped", ""
        else:
            return None
        r = action.report
        return ReportLine(state, r.what, r.contact_id, r.sia, r.area + 1, r.point, path)

    @staticmethod
    def _by_itself(done: list[Action]) -> str:
        """What happened when only time passed."""
        if any(isinstance(a, Say) and a.text.startswith("set") for a in done):
            return "exit time is over"
        if any(isinstance(a, Say) and a.text.startswith("alarm: ") for a in done):
            return "entry time is over"
        if any(isinstance(a, Sound) and a.output == "bell" and not a.on for a in done):
            return "the sounders have run their time"
        if any(isinstance(a, Delivered) for a in done):
            return "the receiving centre acknowledges"
        return "time passes"

    def reported(self, at_ms: int, area: int, *, confirmed: bool = False) -> int | None:
        """When an alarm of an area, raised at a moment, was acknowledged by the receiving centre. [ms]"""
        wanted = {"confirmed intruder"} if confirmed else INTRUDER_REPORTS
        moments = (t for t, r in self.delivered if t >= at_ms and r.area == area and r.what in wanted)
        return min(moments, default=None)

    def false_alarms(self, intruders: frozenset[str]) -> tuple[FalseAlarm, ...]:
        """Alarms that none of these caused."""
        return tuple(FalseAlarm(at, by, words) for at, by, _, words in self.alarms if by not in intruders)
