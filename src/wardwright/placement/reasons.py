"""Why a device is there: what slips by without it."""

from dataclasses import dataclass, replace
from typing import Literal

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.entry import entry
from wardwright.analyses.entry_records import WayIn
from wardwright.analyses.mode import Mode, modes_wanted
from wardwright.analyses.routes import Route, routes
from wardwright.catalogue.kinds import DETECTORS
from wardwright.design.system import Design, ProtectionScheme
from wardwright.errors import InputError
from wardwright.findings import Outcome
from wardwright.rules.aims.entry import bounds as entry_bounds
from wardwright.rules.aims.route import bounds, confirmation
from wardwright.rules.aims.spread import judge_at_least

WORSE = {Outcome.NOT_MET: 0, Outcome.NOT_DECIDED: 1, Outcome.MET: 2, Outcome.DOES_NOT_APPLY: 3}
FALLS = 0.005
"""A chance that falls by less is not told. [-]"""


@dataclass(frozen=True)
class Reason:
    """One thing that is worse without the device."""

    what: Literal["way in", "route", "second zone"]
    mode: str
    opening_id: str
    attack: str
    target_id: str
    with_it: float
    without: float
    """Pessimistic chance. [-]"""
    limit: float
    outcome_with: Outcome
    outcome_without: Outcome
    route: Route | None = None
    """The route that does worst without it."""

    @property
    def decides(self) -> bool:
        """True where the brief is met less surely without it."""
        return WORSE[self.outcome_without] < WORSE[self.outcome_with]


def without(design: Design, device_id: str) -> Design:
    """A design with one device taken out of devices, zones and loops."""
    programme = design.programme
    zones = tuple(
        z.model_copy(update={"device_ids": tuple(d for d in z.device_ids if d != device_id)}) for z in programme.zones
    )
    loops = tuple(
        x.model_copy(update={"contacts": tuple(c for c in x.contacts if c != device_id)}) for x in design.loops
    )
    return design.model_copy(
        update={
            "devices": tuple(d for d in design.devices if d.id != device_id),
            "loops": loops,
            "programme": programme.model_copy(update={"zones": zones}),
        }
    )


def reasons(scheme: ProtectionScheme, device_id: str) -> tuple[Reason, ...]:
    """What gets worse when one detector is left out, worst first.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    device_id : str
        A detector of the design.

    Returns
    -------
    tuple of Reason
        For every opening, and every target, the attack or route that does worst without it, set away and with people
        inside; what it decides first. Empty where nothing gets worse.

    Raises
    ------
    InputError
        If there is no such device, or it detects nothing.
    """
    found = next((d for d in scheme.fitted if d.id == device_id), None)
    if found is None:
        known = ", ".join(d.id for d in scheme.fitted if scheme.kind_of(d).family in DETECTORS)
        raise InputError(f"no device is called “{device_id}”; detectors are {known or 'none'}")
    if scheme.kind_of(found).family not in DETECTORS:
        raise InputError(f"“{device_id}” detects nothing by itself: ask for a detector")
    bare = replace(scheme, design=without(scheme.design, device_id))
    told = [*_openings(scheme, bare), *_routes(scheme, bare)]
    return tuple(sorted(told, key=lambda r: (not r.decides, WORSE[r.outcome_without], r.without - r.with_it)))


def _openings(scheme: ProtectionScheme, bare: ProtectionScheme) -> list[Reason]:
    def ways(of: ProtectionScheme) -> dict[tuple[str, str | None, str, str], WayIn]:
        fields = {mode: hazard_fields(of, mode) for mode in modes_wanted(of)}
        return {
            (w.opening_id, w.leaf_id, w.attack, w.mode): w for w in entry(of, fields).ways if w.reachable is not False
        }

    before, after = ways(scheme), ways(bare)
    limit = scheme.brief.notice_way_in
    worst: dict[tuple[str, str], Reason] = {}
    for key, way in after.items():
        held = before.get(key)
        if held is None or entry_bounds(held)[0] - entry_bounds(way)[0] < FALLS:
            continue
        told = Reason(
            "way in",
            way.mode,
            way.opening_id,
            way.attack,
            "",
            entry_bounds(held)[0],
            entry_bounds(way)[0],
            limit,
            judge_at_least(entry_bounds(held), limit),
            judge_at_least(entry_bounds(way), limit),
        )
        kept = worst.get((way.opening_id, way.mode))
        if kept is None or told.without < kept.without:
            worst[(way.opening_id, way.mode)] = told
    return list(worst.values())


def _routes(scheme: ProtectionScheme, bare: ProtectionScheme) -> list[Reason]:
    found: list[Reason] = []
    for mode in modes_wanted(scheme):
        before = routes(scheme, mode, hazard_fields(scheme, mode)).routes
        after = routes(bare, mode, hazard_fields(bare, mode)).routes
        for target in dict.fromkeys(r.target_id for r in after):
            found += _to_target(scheme, mode, target, before, after)
    return found


def _to_target(
    scheme: ProtectionScheme, mode: Mode, target: str, before: tuple[Route, ...], after: tuple[Route, ...]
) -> list[Reason]:
    limit, seconds = scheme.brief.detect_before_target, scheme.brief.confirm_within_s
    held = [r for r in before if r.target_id == target]
    slips = [r for r in after if r.target_id == target]
    if not held or not slips:
        return []
    weak, was = min(slips, key=bounds), min(held, key=bounds)
    found: list[Reason] = []
    if bounds(was)[0] - bounds(weak)[0] >= FALLS:
        found.append(
            Reason(
                "route",
                mode.value,
                weak.opening_id,
                weak.attack,
                target,
                bounds(was)[0],
                bounds(weak)[0],
                limit,
                judge_at_least(bounds(was), limit),
                judge_at_least(bounds(weak), limit),
                weak,
            )
        )
    one, two = (min(rs, key=lambda r: (WORSE[confirmation(r, seconds)], r.confirmed_interval)) for rs in (held, slips))
    if one.confirmed_interval[0] - two.confirmed_interval[0] >= FALLS:
        found.append(
            Reason(
                "second zone",
                mode.value,
                two.opening_id,
                two.attack,
                target,
                one.confirmed_interval[0],
                two.confirmed_interval[0],
                0.5,
                confirmation(one, seconds),
                confirmation(two, seconds),
                two,
            )
        )
    return found
