"""A design looked at again: on a grid half as coarse, and between the candidates by a polish that may only improve."""

import math
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.free_floor import STEP_M
from wardwright.analyses.mode import Mode, modes_wanted
from wardwright.analyses.night_ways import night_ways
from wardwright.analyses.routes import Route, routes
from wardwright.analyses.siting import siting_checks
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import Design, ProtectionScheme
from wardwright.findings import Outcome
from wardwright.placement.wall_spots import slid
from wardwright.placement.watching import ADVICE
from wardwright.rules.aims.route import bounds, confirmation, in_time
from wardwright.rules.aims.spread import judge_at_least

FIELD_M = 0.125
"""Cells of the hazard on the finer grid. [m]"""
TURN_RAD = math.radians(10.0)
"""A detector is turned by this at a time. [rad]"""
TURNS = (-2.0, -1.0, 1.0, 2.0)
SLIDES_M = (-0.6, -0.3, 0.3, 0.6)
"""A detector is slid along its wall by one of these. [m]"""
APART_M = 0.4
"""Between devices on a wall. [m]"""
POLISH_S = 10.0
"""Seconds for the polish. [s]"""
SURER = 0.002
"""An improvement smaller than this is none. [-]"""


@dataclass(frozen=True)
class FinerLook:
    """What a grid half as coarse says of a design."""

    walk_step_m: float
    field_step_m: float
    routes: int
    slipping: tuple[Route, ...]
    """Routes that miss the brief on this grid."""


def look_finer(scheme: ProtectionScheme) -> FinerLook:
    """All routes of a design again, walking grid and hazard both half as coarse.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    """
    found: list[Route] = []
    slipping: list[Route] = []
    for mode in modes_wanted(scheme):
        fields = hazard_fields(scheme, mode, step_m=FIELD_M)
        found += (told := routes(scheme, mode, fields, step=STEP_M / 2.0).routes)
        slipping += [r for r in told if _slips(scheme, r, mode)]
    return FinerLook(STEP_M / 2.0, FIELD_M, len(found), tuple(slipping))


def _slips(scheme: ProtectionScheme, route: Route, mode: Mode) -> bool:
    brief = scheme.brief
    if judge_at_least(bounds(route), brief.detect_before_target) is not Outcome.MET:
        return True
    if mode is not Mode.AWAY:
        return False
    wanted = brief.alarm_in_time
    if wanted is not None and in_time(route, wanted) in (Outcome.NOT_MET, Outcome.NOT_DECIDED):
        return True
    return confirmation(route, brief.confirm_within_s) is not Outcome.MET


def polish(
    scheme: ProtectionScheme,
    kept: Sequence[str] = (),
    *,
    price: Callable[[Design], float] | None = None,
    time_limit_s: float = POLISH_S,
) -> tuple[Design, float, float]:
    """Turn motion detectors a little, or slide them along their wall, where that makes the weakest routes surer.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    kept : sequence of str
        Devices that are not to be touched.
    price : callable, optional
        What a design costs: it may not rise. Without it nothing is slid, because that changes cables.
    time_limit_s : float
        After this the best so far.

    Returns
    -------
    design : Design
        The same devices at the same spots or up to 0.6 m beside them. Never one that is less sure, set either way.
    before, after : float
        Mean over targets of the pessimistic chance on their weakest route, set with nobody in. [-]
    """
    design = scheme.design
    ends = time.monotonic() + time_limit_s
    before = best = _sureness(scheme)
    inside = _missing_inside(scheme)
    ways = night_ways(scheme.premises)
    limit = price(design) if price is not None else 0.0
    for device in scheme.of_family(Family.MOTION, Family.DUAL):
        if device.id in kept or time.monotonic() > ends:
            continue
        asleep = any(z.set_with_people_inside for z in scheme.zones_of_device.get(device.id, ()))
        for moved in _moved(scheme, device, slide=price is not None):
            if time.monotonic() > ends:
                break
            trial = replace(scheme, design=_with(design, moved))
            if any(c.objects and c.rule not in ADVICE for c in siting_checks(trial, moved)):
                continue
            if asleep and ways is not None and ways.disturb(trial, moved):
                continue
            now = _sureness(trial)
            if now[0] > best[0] or now[1] <= best[1] + SURER or _missing_inside(trial) > inside:
                continue
            if price is None or price(trial.design) <= limit:
                best, design = now, trial.design
        scheme = replace(scheme, design=design)
    return design, before[1], best[1]


def _moved(scheme: ProtectionScheme, device: Device, *, slide: bool) -> Iterator[Device]:
    """The device turned, or slid along its wall, a little."""
    for turn in TURNS:
        yield device.model_copy(update={"heading_rad": device.heading_rad + turn * TURN_RAD})
    room = scheme.room_of(device)
    if not slide or room is None:
        return
    others = [d.position for d in scheme.fitted if d.id != device.id and d.storey_id == device.storey_id]
    for step in SLIDES_M:
        place = slid(scheme.premises, room.id, device.position, step)
        if place is not None and all(math.dist(place, other) > APART_M for other in others):
            yield device.model_copy(update={"position": place})


def _missing_inside(scheme: ProtectionScheme) -> int:
    """Routes that miss the brief while people are in."""
    if Mode.INSIDE not in modes_wanted(scheme):
        return 0
    told = routes(scheme, Mode.INSIDE, hazard_fields(scheme, Mode.INSIDE)).routes
    return sum(_slips(scheme, r, Mode.INSIDE) for r in told)


def _sureness(scheme: ProtectionScheme) -> tuple[int, float]:
    """Routes that miss the brief, and the mean over targets of their weakest route."""
    told = routes(scheme, Mode.AWAY, hazard_fields(scheme, Mode.AWAY)).routes
    weakest: dict[str, float] = {}
    for route in told:
        weakest[route.target_id] = min(weakest.get(route.target_id, 1.0), bounds(route)[0])
        second = f"{route.target_id}:second"
        weakest[second] = min(weakest.get(second, 1.0), route.confirmed_interval[0])
    missing = sum(_slips(scheme, r, Mode.AWAY) for r in told)
    return missing, sum(weakest.values()) / len(weakest) if weakest else 1.0


def _with(design: Design, device: Device) -> Design:
    return design.model_copy(update={"devices": tuple(device if d.id == device.id else d for d in design.devices)})
