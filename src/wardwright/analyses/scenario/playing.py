"""A scenario played: building and panel together, moment after moment, the same seed giving the same timeline."""

import datetime
import heapq
from dataclasses import dataclass

from wardwright.analyses.mode import Mode
from wardwright.analyses.panel_programme import numbering, right_rows
from wardwright.analyses.programme_proof import walked_programme
from wardwright.analyses.scenario.asking import Keypads
from wardwright.analyses.scenario.deeds import Keyed, Standing
from wardwright.analyses.scenario.ground import Spot
from wardwright.analyses.scenario.people import People
from wardwright.analyses.scenario.performing import perform
from wardwright.analyses.scenario.plant import plant_events
from wardwright.analyses.scenario.reporting import Devices
from wardwright.analyses.scenario.script import Actor, Happening, Scenario
from wardwright.analyses.scenario.senses import Luck
from wardwright.analyses.scenario.telling import Teller
from wardwright.analyses.scenario.timeline import Intrusion, Timeline
from wardwright.analyses.scenario.tracking import Tracks
from wardwright.analyses.timing import TimingAnalysis, timing
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError, OutOfRangeError
from wardwright.panel.events import Condition, WrongCode
from wardwright.panel.state import AreaState, PanelState, at_rest
from wardwright.panel.tables import Phase

AFTERWARDS_MS = 120_000
"""A scenario without an end runs on for so long after the last thing that happens. [ms]"""

NOBODY = Actor(id="nobody")
"""Whose doing it is when a device trips by itself."""
FORCED = {"device masked": Condition.MASKED, "device lost": Condition.MISSING}


@dataclass(frozen=True)
class _Edge:
    """A device begins or ceases to report; ``shut`` ends whatever still made it report."""

    device_id: str
    on: bool
    actor: Actor
    shut: bool = False


@dataclass(frozen=True)
class _Turn:
    """An actor comes to its next act."""

    actor: Actor
    number: int
    standing: Standing


_Item = _Edge | _Turn | tuple[Actor, Keyed] | Happening


def play(scheme: ProtectionScheme, scenario: Scenario, walks: TimingAnalysis | None = None) -> Timeline:
    """Play a scenario.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, system, brief.
    scenario : Scenario
        Who does what.
    walks : TimingAnalysis, optional
        The walks to the keypads, where they are worked out already.

    Returns
    -------
    Timeline
        What comes of it. The same seed gives the same timeline.

    Raises
    ------
    InputError
        If the script names what the building or the programme has not, or somebody cannot do what it says: with actor,
        act and place.
    """
    return _Play(scheme, scenario, walks).run()


class _Play:
    def __init__(self, scheme: ProtectionScheme, scenario: Scenario, walks: TimingAnalysis | None) -> None:
        self.scheme = scheme
        self.scenario = scenario
        self.luck = Luck(scenario.seed)
        self.names = numbering(scheme)
        if not self.names.area_ids or not self.names.zone_ids:
            raise InputError("the programme has no area or no zone: there is nothing to play")
        if walks is None:
            try:
                walks = timing(scheme)
            except OutOfRangeError:
                walks = None
        programme = walked_programme(scheme, walks)
        self.keypads = Keypads(programme, self.names, scheme.design.programme.zones, right_rows(scheme))
        self.teller = Teller(programme, self.names, self._beginning(at_rest(programme)), scenario.starts)
        self.tracks = Tracks(scenario.actor)
        self._people: dict[Mode, People] = {}
        self._heap: list[tuple[int, int, _Item]] = []
        self._pushed = 0
        self.devices = Devices(scheme, self.names)
        self._tripped: dict[str, int] = {}
        self._broke: dict[str, tuple[int, str]] = {}
        self._had: dict[str, int] = {}

    def _beginning(self, state: PanelState) -> PanelState:
        areas = list(state.areas)
        for ids, inside in ((self.scenario.set_away, False), (self.scenario.set_inside, True)):
            for key in ids:
                areas[self.keypads.area(key, "the beginning")] = AreaState(phase=Phase.SET, inside=inside)
        return state._replace(areas=tuple(areas))

    def people(self) -> People:
        """The actors as things stand: with people inside, bedroom doors are shut and some detectors asleep."""
        mode = Mode.INSIDE if any(a.inside for a in self.teller.state.areas) else Mode.AWAY
        if mode not in self._people:
            self._people[mode] = People(self.scheme, mode, self.luck)
        return self._people[mode]

    def _push(self, at_ms: int, item: _Item) -> None:
        self._pushed += 1
        heapq.heappush(self._heap, (at_ms, self._pushed, item))

    def run(self) -> Timeline:
        """All of it."""
        scenario, teller = self.scenario, self.teller
        limit = scenario.ms(scenario.ends) if scenario.ends else None
        for actor in scenario.actor:
            self.keypads.check(actor)
            standing = self.people().begin(actor)
            if standing.node is not None:
                self.tracks.appear(actor, 0, self.people().ground.spot(standing.node))
            self._next(actor, 0, standing, 0)
        for happening in scenario.event:
            self._push(scenario.ms(happening.at), happening)
        last = 0
        while self._heap:
            at, _, item = heapq.heappop(self._heap)
            if limit is not None and at > limit:
                break
            teller.advance(at)
            last = max(last, at)
            self._take(item)
        teller.advance(limit if limit is not None else last + AFTERWARDS_MS)
        return self._told()

    def _next(self, actor: Actor, number: int, standing: Standing, at_ms: int) -> None:
        if number < len(actor.act):
            wanted = actor.act[number].at
            self._push(max(at_ms, self.scenario.ms(wanted) if wanted else at_ms), _Turn(actor, number, standing))

    def _take(self, item: _Item) -> None:
        if isinstance(item, _Turn):
            self._act(item)
        elif isinstance(item, _Edge):
            self._edge(item)
        elif isinstance(item, Happening):
            self._happen(item)
        else:
            self._key(*item)

    def _act(self, turn: _Turn) -> None:
        actor, act, now = turn.actor, turn.actor.act[turn.number], self.teller.now_ms
        deed = perform(self.people(), actor, turn.standing, act, turn.number + 1)
        if deed.words:
            where = self._where(actor, deed.frames[0][1] if deed.frames else None)
            self.teller.tell((), actor_id=actor.id, who=actor.called, where=where, what=deed.words)
        for span in deed.spans:
            self._push(now + _ms(span.on_s), _Edge(span.device_id, True, actor))
            if span.off_s is not None:
                self._push(now + _ms(span.off_s), _Edge(span.device_id, False, actor))
        for at_s, device_id in deed.ended:
            self._push(now + _ms(at_s), _Edge(device_id, False, actor, shut=True))
        for keyed in deed.keyed:
            self._push(now + _ms(keyed.at_s), (actor, keyed))
        if deed.opening_id:
            self._broke.setdefault(actor.id, (now, deed.opening_id))
        if deed.had_s is not None:
            self._had.setdefault(actor.id, now + _ms(deed.had_s))
        self.tracks.follow(actor, now, deed)
        self._next(actor, turn.number + 1, deed.after, now + _ms(deed.seconds))

    def _where(self, actor: Actor, spot: Spot | None = None) -> str:
        spot = spot or self.tracks.spot(actor)
        return (self.people().ground.room_name(spot) if spot is not None else "") or "outside"

    def _edge(self, edge: _Edge) -> None:
        device_id, now = edge.device_id, self.teller.now_ms
        if not self.devices.change(device_id, edge.on, now, shut=edge.shut):
            return
        events, place = self.devices.events(device_id), self.devices.place(device_id)
        if edge.shut or not edge.on:
            self.teller.tell(events, actor_id=edge.actor.id, where=place, or_else="is at rest again")
            return
        self._tripped.setdefault(edge.actor.id, now)
        self.teller.tell(
            events,
            actor_id=edge.actor.id,
            who=edge.actor.called,
            where=place,
            tripped=(device_id,),
            zones=tuple(self.teller.programme.zones[z].name for z in self.devices.zones_of.get(device_id, ())),
        )

    def _happen(self, happening: Happening) -> None:
        where, what = f"event at {happening.at}", happening.what
        about = happening.path or happening.part or happening.device or ""
        if happening.device is None:
            events = plant_events(happening, self.names, where)
            self.teller.tell(events, what=f"{what}{f': {about}' if about else ''}", plant=True)
            return
        device_id = self.devices.known(happening.device, where)
        if what == "device trips":
            self._edge(_Edge(device_id, True, NOBODY))
            return
        self.devices.force(device_id, FORCED.get(what))
        self.devices.change(device_id, False, self.teller.now_ms, shut=what == "device at rest")
        place = self.devices.place(device_id)
        self.teller.tell(self.devices.events(device_id), where=place, what=f"{what}: {about}", plant=True)

    def _key(self, actor: Actor, keyed: Keyed) -> None:
        where, teller = self._where(actor), self.teller
        if keyed.ask is None:
            teller.tell((WrongCode(),), actor_id=actor.id, who=actor.called, where=where, what="enters a wrong code")
            return
        when = teller.starts + datetime.timedelta(milliseconds=teller.now_ms)
        events, refused = self.keypads.asked(actor, keyed, teller.state, when)
        teller.tell(
            events, actor_id=actor.id, who=actor.called, where=where, what=f"asks: {keyed.ask}", refused=refused
        )

    def _told(self) -> Timeline:
        teller, end = self.teller, self.teller.now_ms
        intruders = frozenset(self._broke)
        intrusions = []
        for key, (began, opening_id) in self._broke.items():
            own = next(((at, area) for at, by, area, _ in teller.alarms if by == key), None)
            had = self._had.get(key)
            intrusions.append(
                Intrusion(
                    actor_id=key,
                    opening_id=opening_id,
                    began_ms=began,
                    tripped_ms=self._tripped.get(key),
                    alarm_ms=own[0] if own else None,
                    confirmed_ms=teller.reported(*own, confirmed=True) if own else None,
                    reported_ms=teller.reported(*own) if own else None,
                    had_ms=had if had is not None and had <= end else None,
                )
            )
        return Timeline(
            title=self.scenario.title,
            date=self.scenario.date,
            begins=self.scenario.begins,
            seed=self.scenario.seed,
            moments=tuple(teller.moments),
            tracks=self.tracks.told(end),
            lit=self.devices.lit(end),
            intrusions=tuple(intrusions),
            false_alarms=teller.false_alarms(intruders),
            ends_ms=end,
            monitored=self.scheme.brief.monitored and bool(teller.programme.paths),
        )


def _ms(seconds: float) -> int:
    return round(seconds * 1000)
