"""What every candidate gives towards every opening and route: minus the logarithm of the chance to slip by it.

Chances come from the same functions that prove a design; here they are asked for all candidates at once, so that what
any choice of them comes to is a sum.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.detection_along import account, median_time
from wardwright.analyses.entry import seen_coming_in
from wardwright.analyses.exposure import HIGH, LOW, Exposure, Fields
from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import WalkedRoute
from wardwright.analyses.walkable import WalkGraph, walk_graph
from wardwright.analyses.ways_in import Attackable, Noticers, attackable_openings
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.placement.candidates import BY_RADIO, Candidate
from wardwright.placement.two_hands import share_fields
from wardwright.premises.attacks import Attack

Array = NDArray[np.float64]
SEERS = (Family.MOTION, Family.DUAL, Family.BEAM)
SITTERS = (Family.CONTACT, Family.SHOCK)
"""What notices wherever it is drawn: it sits on the opening."""
MOST = 20.7
"""No candidate gives more than this: a chance of 1 - 1e-9. [-]"""


def zones_of(candidates: Sequence[Candidate]) -> tuple[Zone, ...]:
    """One zone for each candidate, under its own id."""
    return tuple(
        Zone(
            id=f"z{i}",
            number=i + 1,
            name=c.name or c.id,
            area_ids=("all",),
            response=ZoneResponse.PERIMETER,
            device_ids=tuple(d.id for d in c.devices),
            set_with_people_inside=c.inside,
        )
        for i, c in enumerate(candidates)
    )


def trial(scheme: ProtectionScheme, candidates: Sequence[Candidate]) -> ProtectionScheme:
    """The scheme with these candidates as its detectors, each a zone of its own."""
    devices = tuple({d.id: d for c in candidates for d in c.devices}.values())
    programme = Programme(areas=(Area(id="all", name="all"),), zones=zones_of(candidates))
    return replace(scheme, design=Design(devices=devices, programme=programme))


@dataclass(frozen=True, eq=False)
class Chances:
    """Contributions of all candidates of one job."""

    scheme: ProtectionScheme
    candidates: tuple[Candidate, ...]
    modes: tuple[Mode, ...]
    step_m: float = 0.25
    """Cell size of the hazard. [m]"""

    @cached_property
    def graph(self) -> WalkGraph:
        """Where an intruder can walk."""
        return walk_graph(self.scheme.premises)

    @cached_property
    def openings(self) -> tuple[Attackable, ...]:
        """Ways in that can be reached, or may be."""
        return tuple(a for a in attackable_openings(self.scheme) if a.reachable is not False and a.attacks)

    @cached_property
    def _owner(self) -> dict[str, list[int]]:
        owner: dict[str, list[int]] = {}
        for i, candidate in enumerate(self.candidates):
            for device in candidate.devices:
                owner.setdefault(device.id, []).append(i)
        return owner

    @cached_property
    def _seers(self) -> dict[Mode, tuple[Device, ...]]:
        kind_of = self.scheme.kind_of
        return {
            mode: tuple(
                d
                for c in self.candidates
                if mode is Mode.AWAY or c.inside
                for d in c.devices
                if kind_of(d).family in SEERS
            )
            for mode in self.modes
        }

    @cached_property
    def fields(self) -> dict[Mode, Fields]:
        """Hazard of all candidates that see, by mode."""
        found: dict[Mode, Fields] = {}
        for mode in self.modes:
            held = [c for c in self.candidates if any(d in self._seers[mode] for d in c.devices)]
            # what sees by radio sees like the same by wire: the two side by side, so that one field serves both
            held.sort(key=lambda c: c.id.removesuffix(BY_RADIO))
            once = list({c.id.removesuffix(BY_RADIO): c for c in held}.values())
            share_fields(lambda some, mode=mode: self._hazard(some, mode), once)  # type: ignore[misc]
            found[mode] = self._hazard(held, mode)
        return found

    def _hazard(self, candidates: Sequence[Candidate], mode: Mode) -> Fields:
        return hazard_fields(trial(self.scheme, candidates), mode, step_m=self.step_m)

    def fields_of(self, chosen: Sequence[int], mode: Mode) -> Fields:
        """Hazard of some candidates, cut from that of all.

        Parameters
        ----------
        chosen : sequence of int
            Candidates.
        mode : Mode
            How the system is set.
        """
        wanted = {d.id for i in chosen for d in self.candidates[i].devices}
        found = {}
        for storey_id, by_speed in self.fields[mode].items():
            some = next(iter(by_speed.values()))
            rows = [k for k, key in enumerate(some.device_ids) if key in wanted]
            ids = tuple(some.device_ids[k] for k in rows)
            found[storey_id] = {
                speed: replace(f, device_ids=ids, margin_db=f.margin_db[rows]) for speed, f in by_speed.items()
            }
        return found

    @cached_property
    def _exposure(self) -> dict[Mode, Exposure]:
        ids = frozenset(self._owner)
        return {mode: Exposure(self.graph, self.fields[mode], ids) for mode in self.modes}

    @cached_property
    def on_attack(self) -> dict[tuple[Mode, Attack], Array]:
        """By mode and attack: what each candidate gives by noticing the attack itself, shape (3, candidates)."""
        found = {
            (mode, attack): np.zeros((3, len(self.candidates)))
            for mode in self.modes
            for item in self.openings
            for attack in item.attacks
        }
        for layer in self._layers():
            scheme = trial(self.scheme, [self.candidates[i] for i in layer])
            for mode in self.modes:
                noticers = Noticers(scheme, mode)
                for item in self.openings:
                    for attack in item.attacks:
                        for notice in noticers.of(attack, item.shape):
                            for i in set(self._owner[notice.device_id]) & set(layer):
                                given = (notice.interval[0], notice.probability, notice.interval[1])
                                found[(mode, attack)][:, i] += _exponents(np.array(given))
        return found

    def _layers(self) -> Iterator[list[int]]:
        """Candidates in layers of which each holds no spot twice: how many detectors an opening has matters."""
        by_spot: dict[str, list[int]] = {}
        for i, candidate in enumerate(self.candidates):
            if any(self.scheme.kind_of(d).family not in SEERS for d in candidate.devices):
                by_spot.setdefault(candidate.spot, []).append(i)
        for k in range(max((len(held) for held in by_spot.values()), default=0)):
            yield [held[k] for held in by_spot.values() if k < len(held)]

    @cached_property
    def sure(self) -> NDArray[np.bool_]:
        """Candidates made of contacts and shock detectors alone: true wherever they are drawn."""
        kind_of = self.scheme.kind_of
        return np.array([all(kind_of(d).family in SITTERS for d in c.devices) for c in self.candidates], dtype=bool)

    @cached_property
    def _on_door(self) -> dict[tuple[Mode, str], Array]:
        """What each candidate gives where a shut inner door is opened."""
        found: dict[tuple[Mode, str], Array] = {}
        held = [c for c in self.candidates if c.kept]
        inner = [o for o in self.scheme.premises.openings if not o.is_outside] if held else []
        for mode in self.modes:
            noticers = Noticers(trial(self.scheme, held), mode)
            for opening in inner:
                given = np.zeros((3, len(self.candidates)))
                for notice in noticers.on_inner_door(opening):
                    chance = np.array((notice.interval[0], notice.probability, notice.interval[1]))
                    for i in self._owner[notice.device_id]:
                        given[:, i] += _exponents(chance)
                if given.any():
                    found[(mode, opening.id)] = given
        return found

    def coming_in(self, mode: Mode, item: Attackable) -> Array:
        """What each candidate gives by seeing somebody come in by an opening, shape (3, candidates)."""
        given = np.zeros((3, len(self.candidates)))
        for notice in seen_coming_in(self.graph, self._exposure[mode], item):
            chance = np.array((notice.interval[0], notice.probability, notice.interval[1]))
            for i in self._owner[notice.device_id]:
                given[:, i] += _exponents(chance)
        return given

    def along(self, mode: Mode, walked: WalkedRoute) -> "Along":
        """What each candidate gives on a walk up to the target, the attack included, by each moment."""
        exposure = self._exposure[mode]
        walk, pace = walked.walk, walked.pace_m_s
        rates = np.zeros((3, len(exposure.device_ids), len(walk.start)))
        for speed, held in enumerate(exposure.speeds_m_s):
            on = np.flatnonzero(np.isclose(pace, held))
            if len(on) and exposure.device_ids:
                rates[:, :, on] = exposure.along(walk.start[on], walk.end[on], walk.move[on], speed)
        story = account(rates, exposure.stretch_m, exposure.device_ids, walk, pace, walked.attack.delay_s, ())
        given = np.repeat(self.on_attack[(mode, walked.attack)][:, :, None], len(story.times_s), axis=2)
        seeing = np.flatnonzero(story.chance[HIGH, :, -1] > 0.0)
        for k in seeing:
            for i in self._owner[exposure.device_ids[k]]:
                given[:, i] += _exponents(story.chance[:, k])
        for step, door_id in walk.doors:
            told = self._on_door.get((mode, door_id))
            if told is not None:
                given[:, :, step + 1 :] += told[:, :, None]
        if walked.route.assumed:
            given[LOW] = np.where(self.sure[:, None], given[LOW], 0.0)
        return Along(story.times_s, np.minimum(given, MOST))


@dataclass(frozen=True, eq=False)
class Along:
    """What candidates give by each moment of a walk."""

    times_s: Array
    given: Array
    """Shape (3, candidates, moments), never falling with time. [-]"""

    @property
    def whole(self) -> Array:
        """Over the whole walk, shape (3, candidates)."""
        return np.asarray(self.given[:, :, -1])

    def by(self, moment: float) -> Array:
        """What each candidate gives by a moment of the walk, shape (3, candidates).

        Parameters
        ----------
        moment : float
            From the start of the attack, at or after its end. [s]
        """
        at = int(np.searchsorted(self.times_s, moment, side="right")) - 1
        return np.asarray(self.given[:, :, max(at, 0)])

    def soon_after(self, chosen: Sequence[int], end: int, seconds: float) -> Array | None:
        """What each candidate gives within a time of the first detection by a choice.

        Parameters
        ----------
        chosen : sequence of int
            Candidates that are there.
        end : int
            Pessimistic, central or optimistic.
        seconds : float
            From the median of the first detection. [s]

        Returns
        -------
        array or None
            One exponent for each candidate; None where the choice never notices.
        """
        by = -np.expm1(-self.given[end, list(chosen)].sum(axis=0))
        first = median_time(self.times_s, by)
        if first is None:
            return None
        at = min(int(np.searchsorted(self.times_s, first + seconds, side="right")), len(self.times_s)) - 1
        return np.asarray(self.given[end, :, max(at, 0)])


def _exponents(chance: Array) -> Array:
    """Minus the logarithm of slipping by."""
    return np.asarray(-np.log1p(-np.minimum(chance, 1.0 - 1e-9)))
