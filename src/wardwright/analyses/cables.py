"""The cables of a design: which way each runs, how long, how thick it has to be, how long it takes to lay."""

from dataclasses import dataclass, replace

from wardwright.analyses.cabling import HOTTEST_C
from wardwright.analyses.readings import cable_length_read
from wardwright.analyses.supply_network import alarm_a
from wardwright.design.cable_runs import CableRun, cable_runs
from wardwright.design.lengths import ALLOWED, MEASURED, place_of
from wardwright.design.system import ProtectionScheme
from wardwright.physics.conductors import IEC_60228_OHM_PER_KM, maximum_resistance_iec60228, temperature_correction
from wardwright.premises.drilling import Hole

DROP_V = 0.6
"""Kept for one run: 5 % of 12 V. Common practice, no source. [V]"""


@dataclass(frozen=True)
class RunPlan:
    """One run of cable to be laid."""

    run: CableRun
    current_a: float
    """What runs over it with everything in alarm. [A]"""
    area_m2: float | None
    """The cable chosen where that keeps the drop, else the smallest standard section; None where none does. [m²]"""
    drop_v: float | None
    """Over that section, out and back. [V]"""
    blocked: bool
    """No way was found that may be made."""
    steps: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class CablePlan:
    """All runs."""

    runs: tuple[RunPlan, ...]
    undrawn_storeys: tuple[str, ...]
    """Storeys with devices but no rooms: nothing can be routed there."""

    @property
    def length_m(self) -> float:
        """All cable, with slack. [m]"""
        return sum(r.run.length.metres for r in self.runs)

    @property
    def holes(self) -> frozenset[Hole]:
        """Every hole once, however many runs go through it."""
        return frozenset(h for r in self.runs if r.run.length.way is not None for h in r.run.length.way.holes)

    @property
    def minutes(self) -> float:
        """To lay what was routed, each hole drilled once. [min]"""
        ways = [r.run.length.way for r in self.runs if r.run.length.way is not None]
        return sum(w.minutes - sum(h.minutes for h in w.holes) for w in ways) + sum(h.minutes for h in self.holes)


def cable_plan(scheme: ProtectionScheme) -> CablePlan:
    """Route every run of new cable and choose its section.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design in its building.

    Returns
    -------
    CablePlan
        One entry for each run, those of a takeover that stay left out.
    """
    runs = tuple(_as_measured(scheme, r) for r in cable_runs(scheme.design, scheme.catalogue, scheme.premises))
    carried = _currents(scheme, runs)
    drawn = {r.storey_id for r in scheme.premises.rooms}
    bare = tuple(dict.fromkeys(d.storey_id for d in scheme.fitted if d.storey_id not in drawn))
    known = {d.id for d in scheme.fitted}
    return CablePlan(tuple(_planned(scheme, r, carried[k], bare, known) for k, r in enumerate(runs)), bare)


def _as_measured(scheme: ProtectionScheme, run: CableRun) -> CableRun:
    """A run whose cable was measured has that length, by the way it was routed."""
    metres = cable_length_read(scheme, run.cable_id)
    return run if metres is None else replace(run, length=replace(run.length, metres=metres, how=MEASURED))


def _planned(
    scheme: ProtectionScheme, run: CableRun, current: float, bare: tuple[str, ...], known: set[str]
) -> RunPlan:
    metres, way = run.length.metres, run.length.way
    area, drop, worked = _section(scheme, run, current)
    storeys = {place_of(scheme.design.device(end))[0] for end in (run.from_id, run.to_id) if end in known}
    blocked = run.length.how == ALLOWED and not storeys & set(bare)
    steps = [("length", f"{metres:.1f} m, {run.length.how}")]
    if way is not None:
        steps.append(("way", f"{' → '.join(way.through) or 'along the ceiling of one room'}; {way.minutes:.0f} min"))
        steps.append(("of these for holes", f"{sum(h.minutes for h in way.holes):.0f} min"))
    if current > 0.0:
        steps.append(("section", worked))
    return RunPlan(run, current, area, drop, blocked, tuple(steps))


def _section(scheme: ProtectionScheme, run: CableRun, current: float) -> tuple[float | None, float | None, str]:
    """The cable chosen where it keeps the drop, else the smallest standard section above it. [m²], [V], in words"""
    kind = scheme.catalogue.kinds.get(run.kind or "")
    own = kind.get("conductor_area_m2") if kind is not None else None
    sizes = [(size * 1e-6, maximum_resistance_iec60228(size, "flexible")) for size in sorted(IEC_60228_OHM_PER_KM)]
    if kind is not None and own is not None and (ohm := kind.get("resistance_ohm_m")) is not None:
        sizes = [(own, ohm), *((area, per_metre) for area, per_metre in sizes if area > own)]
    for area, per_metre in sizes:
        warm = per_metre * temperature_correction(HOTTEST_C)
        drop = 2.0 * run.length.metres * warm * current
        if drop <= DROP_V:
            return (
                area,
                drop,
                (
                    f"{area * 1e6:.2g} mm², {1e3 * per_metre:.3g} Ω/km × {temperature_correction(HOTTEST_C):.3f} at "
                    f"{HOTTEST_C:.0f} °C: 2 × {run.length.metres:.1f} m × {1000 * current:.0f} mA drop {drop:.2g} V of "
                    f"{DROP_V:g} V"
                ),
            )
    return None, None, f"{1000 * current:.0f} mA over {run.length.metres:.1f} m: no standard section keeps {DROP_V:g} V"


def _currents(scheme: ProtectionScheme, runs: tuple[CableRun, ...]) -> list[float]:
    """What each run carries: the devices fed at its end and all that are fed through them. [A]"""
    after: dict[str, list[str]] = {}
    for feed in scheme.design.feeds:
        after.setdefault(feed.from_id, []).append(feed.to_id)
    kinds = scheme.catalogue.kinds
    own = {d.id: alarm_a(kinds[d.kind]) for d in scheme.fitted if d.kind in kinds}

    def beyond(key: str, seen: frozenset[str]) -> float:
        if key in seen:
            return 0.0  # a ring of feeds: each device counts once
        return own.get(key, 0.0) + sum(beyond(k, seen | {key}) for k in after.get(key, ()))

    inside = {f.cable_id: f.to_id for f in scheme.design.feeds if f.cable_id is not None}
    joined = {frozenset((f.from_id, f.to_id)): f.to_id for f in scheme.design.feeds}
    found = []
    for run in runs:
        # a drawn cable without a feed in it carries a loop only; one nobody drew brings its device what it draws
        far = inside.get(run.cable_id or "") or joined.get(frozenset((run.from_id, run.to_id)))
        far = far or (run.from_id if run.cable_id is None else "")
        found.append(beyond(far, frozenset()) if far else 0.0)
    return found
