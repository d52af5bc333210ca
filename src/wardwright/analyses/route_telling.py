"""Telling a route: from the chances along one walk to the record that is judged and drawn."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.detection_along import DEPENDENCE, FAINT, Account, Walk, median_time
from wardwright.analyses.entry_records import Notice
from wardwright.analyses.exposure import CENTRAL, HIGH, LOW, Exposure
from wardwright.analyses.mode import Mode
from wardwright.analyses.route_records import Noticing, Route
from wardwright.analyses.timely import Task, interruption
from wardwright.analyses.walkable import WalkGraph
from wardwright.catalogue.kinds import Family
from wardwright.design.system import ProtectionScheme
from wardwright.model import XY
from wardwright.premises.attacks import Attack
from wardwright.premises.openings import Opening

COMMUNICATION_P = 0.95
"""That an alarm reaches those who respond. Assumption, as in the published example. [-]"""
DELAY_SPREAD = 0.3
"""Standard deviation of a delay as a share of its mean: the usual default, from memory. [-]"""
PIECES = 8
"""Pieces the walk is cut into for the estimate of interruption."""


@dataclass(frozen=True)
class Goal:
    """What must not be reached undetected."""

    id: str
    name: str
    storey_id: str
    room_id: str
    position: XY
    take_s: float


@dataclass(frozen=True)
class Entered:
    """A way in, the place it leads to, and what can be done to it."""

    opening: Opening
    place: int
    centre: XY
    storey_id: str
    stretch: tuple[float, float]
    """Length and heading of the first stretch, from the opening to that place. [m], [rad]"""
    attacks: tuple[tuple[Attack, tuple[Notice, ...], float], ...]
    """Attack, who notices it, and its detection exponent."""


@dataclass(frozen=True, eq=False)
class Teller:
    """What the telling of all routes of one analysis shares."""

    scheme: ProtectionScheme
    mode: Mode
    graph: WalkGraph
    exposure: Exposure
    run: float

    @cached_property
    def _zones(self) -> dict[str, str]:
        """Zone by which each device counts: the first watched in this mode."""
        found = {}
        for device_id, zones in self.scheme.zones_of_device.items():
            watched = [z for z in zones if self.mode is Mode.AWAY or z.set_with_people_inside]
            if watched:
                found[device_id] = watched[0].id
        return found

    def counts_by(self, device_ids: Sequence[str]) -> tuple[tuple[str, tuple[str, ...], str, bool], ...]:
        """Devices with the zones they report by, the one that counts here, and whether they notice wherever drawn."""
        zones = self.scheme.zones_of_device
        return tuple(
            (d, tuple(z.id for z in zones.get(d, ())), self._zones.get(d, ""), d in self.placeless) for d in device_ids
        )

    @cached_property
    def placeless(self) -> frozenset[str]:
        """Devices that notice wherever they are drawn: what sits on an opening."""
        return frozenset(d.id for d in self.scheme.of_family(Family.CONTACT, Family.SHOCK))

    def told(
        self,
        kind: str,
        goal: Goal,
        way: Entered,
        attack: Attack,
        walk: Walk,
        story: Account,
        steps: tuple[Notice, ...],
        reply: float | None,
    ) -> Route:
        """The record of one walk."""
        zone_of = self._zones
        by, twice = story.detected(), story.confirmed(zone_of)
        first_s = median_time(story.times_s, by[CENTRAL])
        end_s = float(story.times_s[-1])
        away_s = float(walk.flat_m.sum()) / self.run
        gaps = [_gap(story.times_s, once, again) for once, again in zip(by, twice, strict=True)]
        shares = story.first_by()
        interrupted = last_moment = in_time = None
        if reply is not None:
            policy = self.scheme.premises.surroundings.response
            counted = twice if policy.confirmed_only else by
            rest = goal.take_s + away_s
            interrupted = _interrupted(attack.delay_s, story.times_s, counted[CENTRAL], rest, reply, policy.spread)
            last_moment = end_s + rest - reply
            at = int(np.searchsorted(story.times_s, last_moment, side="right")) - 1
            if at >= 0:
                in_time = (float(counted[LOW][at]), float(counted[CENTRAL][at]), float(counted[HIGH][at]))
        sure = [story.chance[LOW, i, -1] for i, d in enumerate(story.device_ids) if d in self.placeless]
        return Route(
            kind=kind,
            mode=self.mode.value,
            opening_id=way.opening.id,
            attack=attack.name,
            target_id=goal.id,
            points=self._points(way, walk),
            times_s=(0.0, *(float(t) for t in story.times_s[self._kept(walk)])),
            length_m=float(walk.length_m.sum()),
            time_s=end_s,
            probability=float(by[CENTRAL][-1]),
            interval=(float(by[LOW][-1]), float(by[HIGH][-1])),
            noticings=self._noticings(walk, story),
            first_s=first_s,
            first_device_id=story.device_ids[int(np.argmax(shares))] if first_s is not None else None,
            first_at=None if first_s is None else self._where(walk, story, first_s),
            confirmed_probability=float(twice[CENTRAL][-1]),
            confirm_gap_s=gaps[1],
            left_to_run_s=None if first_s is None else end_s - first_s,
            after_first_s=None if first_s is None else end_s - first_s + goal.take_s + away_s,
            interruption=interrupted,
            last_moment_s=last_moment,
            in_time=in_time,
            assumption=self._assumption(story, steps),
            dependence=DEPENDENCE,
            confirmed_interval=(float(twice[LOW][-1]), float(twice[HIGH][-1])),
            confirm_gap_interval_s=(gaps[0], gaps[2]),
            sure_probability=1.0 - math.prod(1.0 - p for p in sure),
            assumed=self._assumed(way, walk),
            chance_by=_growth(story.times_s, by[CENTRAL]),
        )

    def _kept(self, walk: Walk) -> NDArray[np.intp]:
        """Moments worth drawing: the ends, and where heading or door changes."""
        turns = np.flatnonzero(np.diff(walk.move) != 0) + 1
        doors = np.array([i for at, _ in walk.doors for i in (at, at + 1)], dtype=np.intp)
        last = len(walk.move)
        return np.unique(np.concatenate([[0, 1, last], turns, doors])).astype(np.intp)

    def _points(self, way: Entered, walk: Walk) -> tuple[tuple[str, float, float], ...]:
        kept = self._kept(walk)
        outside = (way.storey_id, *way.centre)
        # moment 0 is the end of the attack, still at the opening; moment i is at place i - 1
        return (outside, *(outside if i == 0 else self._spot(walk.nodes[i - 1]) for i in kept))

    def _spot(self, node: int) -> tuple[str, float, float]:
        graph = self.graph
        return (graph.storey_ids[graph.storey[node]], round(float(graph.x[node]), 3), round(float(graph.y[node]), 3))

    def _where(self, walk: Walk, story: Account, time: float) -> tuple[str, float, float]:
        at = int(np.searchsorted(story.times_s, time))
        return self._spot(walk.nodes[min(max(at - 1, 0), len(walk.nodes) - 1)])

    def _noticings(self, walk: Walk, story: Account) -> tuple[Noticing, ...]:
        found = []
        for device_id, chance in zip(story.device_ids, story.chance[CENTRAL], strict=True):
            time = median_time(story.times_s, chance)
            if time is None or chance[-1] < FAINT:
                continue
            storey_id, x, y = self._where(walk, story, time)
            zones = tuple(z.id for z in self.scheme.zones_of_device.get(device_id, ()))
            found.append(Noticing(device_id, zones, storey_id, (x, y), time, float(chance[-1])))
        return tuple(sorted(found, key=lambda n: n.time_s))

    def _assumption(self, story: Account, steps: tuple[Notice, ...]) -> str:
        """What governs the interval: the device whose own spread is widest."""
        if not story.device_ids:
            return "nothing watches this way"
        spread = story.chance[HIGH, :, -1] - story.chance[LOW, :, -1]
        widest = int(np.argmax(spread))
        if widest < len(story.device_ids) - len(steps):
            return self.exposure.assumption
        return next(n.assumption for n in steps if n.device_id == story.device_ids[widest])

    def _assumed(self, way: Entered, walk: Walk) -> tuple[str, ...]:
        """Openings and rooms on the way whose place was not measured; the whole building where the survey is rough."""
        premises = self.scheme.premises
        rooms = [self.graph.room_ids[i] for i in np.unique(self.graph.room[walk.end]) if i >= 0]
        loose = [r for r in rooms if premises.survey == "approximate" or premises.room(r).position_assumed]
        doors = [way.opening, *(premises.opening(key) for _, key in walk.doors)]
        return tuple(dict.fromkeys([*(o.id for o in doors if o.position_assumed), *loose]))


def _growth(times: NDArray[np.float64], by: NDArray[np.float64]) -> tuple[tuple[float, float], ...]:
    """Moments at which the chance has grown by a fiftieth, the first and the last always among them."""
    steps = np.flatnonzero(np.diff(np.floor(by * 50.0)) > 0) + 1
    kept = np.unique(np.concatenate([[0], steps, [len(by) - 1]])).astype(np.intp)
    return tuple((round(float(t), 2), round(float(p), 4)) for t, p in zip(times[kept], by[kept], strict=True))


def _gap(times: NDArray[np.float64], once: NDArray[np.float64], twice: NDArray[np.float64]) -> float | None:
    """From first to confirming detection, each at its median. [s]"""
    first, second = median_time(times, once), median_time(times, twice)
    return None if first is None or second is None else max(0.0, second - first)


def _interrupted(
    delay: float,
    times: NDArray[np.float64],
    by: NDArray[np.float64],
    rest: float,
    reply: float,
    spread: float,
) -> float:
    """Estimate of interruption over the attack, the walk in pieces, and what comes after the target is reached. [-]"""
    edges = np.unique(np.linspace(0, len(times) - 1, PIECES + 1).astype(int))
    tasks = [Task(float(by[0]), delay, DELAY_SPREAD * delay, "E")]
    for a, b in pairwise(edges):
        left = 1.0 - by[a]
        share = float((by[b] - by[a]) / left) if left > 1e-12 else 0.0
        span = float(times[b] - times[a])
        tasks.append(Task(share, span, DELAY_SPREAD * span, "B"))
    tasks.append(Task(0.0, rest, DELAY_SPREAD * rest, "B"))
    return interruption(tasks, reply, spread * reply, COMMUNICATION_P)
