"""What trips, when and for how long, while somebody does something: the physics of the proof, drawn by lot.

One lot decides for one detector and one person throughout: the same detector sees the same person, dressed the same,
however often, so two looks are not two independent chances. A detector notices whenever its chance, over the stretch
of the walk that ends now, is at least the lot. So the chance that it has noticed by the end of a walk is what the
proof says (``analyses.detection_along``, central case). A contact's lot is its own: whether it is sound does not depend
on who opens the door.
"""

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from wardwright.analyses.contact_field import leaf_of
from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.detection_along import Step, latest_stretch
from wardwright.analyses.entry_records import Notice
from wardwright.analyses.exposure import CENTRAL, Exposure, Fields
from wardwright.analyses.mode import Mode, watching_devices
from wardwright.analyses.scenario.ground import Trail
from wardwright.analyses.single_walk import walk_margin
from wardwright.analyses.walkable import walk_graph
from wardwright.analyses.ways_in import CONTACT_P, Noticers
from wardwright.catalogue.kinds import Family
from wardwright.design.system import ProtectionScheme
from wardwright.physics.infrared import SIGMA
from wardwright.premises.life import Pet
from wardwright.premises.openings import Opening

HOLD_S = 3.0
"""A detector reports for at least so long once it has tripped. Common practice, no source. [s]"""
LIKELIER = 0.5
"""The lot where nothing is drawn: what is at least as likely as not happens. [-]"""
LOOK_M = 3.0
"""An animal's walk is looked at in pieces of at most this length. [m]"""
FAINT = 0.01
"""Where a person would be noticed with less than this chance, an animal is not looked for. [-]"""
KNOCKS = (Family.SHOCK, Family.GLASS_BREAK)


@dataclass(frozen=True)
class Span:
    """One device reports for a while. Seconds from the beginning of the act."""

    device_id: str
    on_s: float
    off_s: float | None
    """None: until somebody ends it."""


@dataclass(frozen=True)
class Luck:
    """Draws one number for every pair of names; the same names and seed give the same number."""

    seed: int | None

    def __call__(self, *names: str) -> float:
        """From 0 to 1; a device notices where its chance is at least this. [-]"""
        if self.seed is None:
            return LIKELIER
        return random.Random("/".join((str(self.seed), *names))).random()


class Senses:
    """The devices of a system in one mode, as they notice people.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and system.
    mode : Mode
        How it is set; devices left out with people inside are not followed then.
    luck : Luck
        The lots.
    """

    def __init__(self, scheme: ProtectionScheme, mode: Mode, luck: Luck) -> None:
        self.scheme = scheme
        self.mode = mode
        self.luck = luck
        _, self.exposure, self.noticers = watching(scheme, mode)
        self._heard = watching_devices(scheme, mode)

    def of_person(self, trail: Trail, who: str) -> list[Span]:
        """Motion detectors and inner doors' contacts while a person walks."""
        rates = self._rates(trail)
        found = self.of_rates(rates, self.exposure.device_ids, trail, 0.0, who)
        for step, opening_id in trail.walk.doors:
            opening = self.scheme.premises.opening(opening_id)
            at = float(trail.times_s[step + 1])
            found += [
                Span(n.device_id, at, at + HOLD_S)
                for n in self.noticers.on_inner_door(opening)
                if n.probability >= self.luck("contact", n.device_id)
            ]
        return found

    def _rates(self, trail: Trail) -> NDArray[np.float64]:
        walk, speeds = trail.walk, self.exposure.speeds_m_s
        if not speeds:
            return np.zeros((3, 0, len(walk.move)))
        pace = min(range(len(speeds)), key=lambda v: abs(speeds[v] - float(np.median(trail.pace))))
        return self.exposure.along(walk.start, walk.end, walk.move, pace)

    def of_rates(
        self, rates: NDArray[np.float64], device_ids: Sequence[str], trail: Trail, delay: float, who: str
    ) -> list[Span]:
        """Motion detectors along a walk whose exponents per metre are known.

        Parameters
        ----------
        rates : array
            Exponent per metre of each detector on each step: pessimistic, central, optimistic. [1/m]
        device_ids : sequence of str
            The detectors.
        trail : Trail
            The walk.
        delay : float
            Time before its first step. [s]
        who : str
            Whose lot counts.

        Returns
        -------
        list of Span
            When each detector reports.
        """
        walk = trail.walk
        exponents = rates[CENTRAL : CENTRAL + 1] * walk.length_m
        chance = -np.expm1(-latest_stretch(exponents, walk.length_m, self.exposure.stretch_m))[0]
        times = delay + trail.times_s
        found: list[Span] = []
        for device_id, row in zip(device_ids, chance, strict=True):
            seen = row >= max(self.luck(who, device_id), 1e-9)
            found += _held(device_id, times[seen].tolist())
        return found

    def of_steps(self, steps: Iterable[Step], trail: Trail, delay: float, who: str) -> list[Span]:
        """Contacts, shock and glass-break detectors along a walk: each at its one moment."""
        times = delay + trail.times_s
        return [s for step in steps for s in self.of_attack((step.notice,), float(times[step.at]), who)]

    def of_attack(self, notices: Iterable[Notice], at: float, who: str) -> list[Span]:
        """Devices that notice an attack on an opening as it succeeds.

        Parameters
        ----------
        notices : iterable of Notice
            Who would notice, and how surely.
        at : float
            When it succeeds. [s]
        who : str
            Whose lot counts; a contact has its own.

        Returns
        -------
        list of Span
            A contact stays open; blows and breaking glass are over soon.
        """
        found = []
        for notice in notices:
            contact = self.scheme.kind_of(self.scheme.design.device(notice.device_id)).family is Family.CONTACT
            if notice.probability >= self.luck("contact" if contact else who, notice.device_id):
                found.append(Span(notice.device_id, at, None if contact else at + HOLD_S))
        return found

    def of_door(self, opening: Opening) -> list[str]:
        """Contacts that tell when somebody opens the leaf people use."""
        found = []
        for device in self.noticers.contacts_on(opening, None):
            leaf = leaf_of(device, opening)
            used = next((x for x in opening.leaves if x.role == "active"), None)
            if device.id not in self._heard or self.noticers.why_deaf(device, opening):
                continue
            moves = leaf is None or used is None or leaf.id == used.id
            if moves and CONTACT_P[0] >= self.luck("contact", device.id):
                found.append(device.id)
        return found

    def of_animal(self, trail: Trail, pet: Pet, who: str) -> list[Span]:
        """Motion detectors while an animal walks: a body of its height and length, as warm as a clothed person.

        It is looked for only where a person would be noticed, in pieces of at most three metres, each a look by itself;
        a piece that is noticed is noticed at its middle.
        """
        walk, found = trail.walk, []
        exponents = self._rates(trail)[CENTRAL] * walk.length_m
        for a, b in _pieces(trail):
            persons = -np.expm1(-exponents[:, a:b].sum(axis=1))
            points = [s[1:] for s in trail.spots[a : b + 1]]
            pace = float(np.median(trail.pace))
            middle = float(trail.times_s[a] + trail.times_s[b]) / 2.0
            for i in np.flatnonzero(persons >= FAINT):
                device = self.scheme.design.device(self.exposure.device_ids[i])
                if self.scheme.kind_of(device).family not in (Family.MOTION, Family.DUAL):
                    continue
                if device.storey_id != trail.spots[a][0]:
                    continue
                margin = walk_margin(
                    self.scheme, device, points, pace, self.mode, top=pet.height_m, width=pet.length_m, sway=0.0
                )
                if float(ndtr(margin / SIGMA)) >= max(self.luck(who, device.id), 1e-9):
                    found.append(Span(device.id, middle, middle + HOLD_S))
        return found


@lru_cache(maxsize=4)
def watching(scheme: ProtectionScheme, mode: Mode) -> tuple[Fields, Exposure, Noticers]:
    """What all plays of one system in one mode share: hazard fields, who sees where, who notices an attack."""
    fields = hazard_fields(scheme, mode)
    exposure = Exposure(walk_graph(scheme.premises), fields, watching_devices(scheme, mode))
    return fields, exposure, Noticers(scheme, mode)


def _held(device_id: str, times: list[float]) -> list[Span]:
    """Moments of noticing as spans: each lasts a while, and those that touch are one."""
    spans: list[Span] = []
    for at in times:
        if spans and spans[-1].off_s is not None and at <= spans[-1].off_s:
            spans[-1] = Span(device_id, spans[-1].on_s, at + HOLD_S)
        else:
            spans.append(Span(device_id, at, at + HOLD_S))
    return spans


def _pieces(trail: Trail) -> list[tuple[int, int]]:
    """First and last moment of each piece of a walk, on one storey each."""
    found: list[tuple[int, int]] = []
    a, length = 0, 0.0
    for i, step in enumerate(trail.walk.length_m):
        stairs = trail.spots[i][0] != trail.spots[i + 1][0]
        if i > a and (length + step > LOOK_M or stairs):
            found.append((a, i))
            a, length = i, 0.0
        if stairs:
            a, length = i + 1, 0.0
        else:
            length += float(step)
    if a < len(trail.walk.length_m):
        found.append((a, len(trail.walk.length_m)))
    return found
