"""Loops: do the states of each supervised input stay apart, and does each contact get told from a fault?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from wardwright.analyses.loop_build import BuiltLoop, build_loop
from wardwright.analyses.readings import Compared, latest, measured_spread, measured_value
from wardwright.catalogue.kinds import DeviceKind
from wardwright.design.brief import Reading
from wardwright.design.devices import Loop, Scheme
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError, OutOfRangeError
from wardwright.physics.loops import (
    Condition,
    Gap,
    LoopInput,
    State,
    Station,
    contributions,
    gaps,
    loop_states,
    minimum_leakage,
    parallel,
    seen_resistance,
)
from wardwright.physics.resistors import BestValues, best_resistors

LOOP_SPREAD = 0.02
"""A loop reading may lie this far outside its bounds (meter, temperature) and still be explained. [-] Assumption."""

LOOP_SPREAD_OHM = 20.0
"""And this much more. [Ω] Assumption."""

CLAD_RATIO = (1.45, 1.85)
"""Measured over expected cable resistance that hints at copper-clad aluminium. [-] From memory: 1.55 to 1.65."""

PREFERRED = {Scheme.SINGLE: "single", Scheme.DOUBLE: "double", Scheme.TRIPLE: "triple"}


@dataclass(frozen=True)
class LoopState:
    """One electrical state of a loop as the input sees it, as a share of the reference."""

    name: str
    low: float
    high: float


@dataclass(frozen=True)
class LoopReport:
    """One loop."""

    loop_id: str
    states: tuple[LoopState, ...]
    tightest_gap: float | None
    """Smallest gap between neighbouring states, share of the reference; negative when they overlap."""
    tightest_between: tuple[str, str] | None
    cause: str
    """What eats the gap."""
    merged: tuple[str, ...]
    """Things this loop cannot tell apart, in plain words: a resistor in the panel, several contacts in one zone."""
    best_ohm: tuple[float, ...] = ()
    """Preferred resistor values with the best margin for this scheme and input. [ohm]"""
    steps: tuple[tuple[str, str], ...] = ()
    undecided: str = ""
    best_gap: float | None = None
    """Smallest gap with those values."""
    threshold_margin: float | None = None
    """Least distance of a state from the panel's own threshold, share of the reference; None where not known."""
    unseen: tuple[str, ...] = ()
    """What happens to the cable or a contact and reads as normal."""
    faults: tuple[tuple[str, str], ...] = ()
    """How it is built wrongly, as (what, in plain words): ``missing resistor``, ``resistor in the panel``,
    ``resistor before the end``, ``contact without resistor``, ``contact state``."""
    contacts: tuple[str, ...] = ()
    resistance_ohm: tuple[float, float] | None = None
    """At the terminals with all at rest, least and greatest. [ohm]"""
    measured: bool = False
    insulation_ohm: float | None = None
    """Measured insulation of the cable. [ohm]"""


@dataclass(frozen=True)
class LoopAnalysis:
    """Every loop of the design."""

    reports: tuple[LoopReport, ...]
    compared: tuple[Compared, ...] = ()
    """Readings beside what was predicted."""


def loops(scheme: ProtectionScheme) -> LoopAnalysis:
    """What every wired input of a design sees.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design. Readings of loop and insulation resistance go before predictions.

    Returns
    -------
    LoopAnalysis
        One report for each loop, in the design's order.
    """
    reports: list[LoopReport] = []
    compared: list[Compared] = []
    fitted = {d.id: d for d in scheme.fitted}
    for loop in scheme.design.loops:
        if loop.at not in fitted:
            reports.append(_undecided(loop, f"it ends on “{loop.at}”, which is not fitted"))
            continue
        try:
            report, told = _report(scheme, loop, scheme.kind_of(fitted[loop.at]))
        except (OutOfRangeError, InputError) as error:
            reports.append(_undecided(loop, str(error)))
            continue
        reports.append(report)
        compared += told
    return LoopAnalysis(tuple(reports), tuple(compared))


def _undecided(loop: Loop, why: str) -> LoopReport:
    return LoopReport(loop.id, (), None, None, "", (), undecided=why, contacts=loop.contacts)


def panel_input(kind: DeviceKind, *, scheme: Scheme, leakage: float) -> LoopInput:
    """The input of a panel or expander by its catalogue figures.

    Parameters
    ----------
    kind : DeviceKind
        Panel or expander.
    scheme : Scheme
        How the loop is supervised: the catalogue's thresholds are those of double end of line.
    leakage : float
        Least insulation resistance. [ohm]

    Returns
    -------
    LoopInput
        The input.

    Raises
    ------
    InputError
        If the catalogue gives no pull-up.
    """
    names = ("threshold_short", "threshold_alarm", "threshold_open")
    limits = tuple(value for name in names if (value := kind.get(name)) is not None)
    return LoopInput(
        kind.need("input_pull_up_ohm"),
        pull_up_tolerance=kind.get("input_pull_up_tolerance", 0.01) or 0.0,
        error=kind.get("input_error", 0.0) or 0.0,
        leakage=leakage,
        thresholds=limits if scheme is Scheme.DOUBLE else (),
    )


def _report(scheme: ProtectionScheme, loop: Loop, kind: DeviceKind) -> tuple[LoopReport, list[Compared]]:
    insulation = latest(scheme, "insulation", loop.id)
    leakage = LoopInput(1.0).leakage
    if insulation is not None:
        leakage = min(leakage, measured_value(insulation))
    at = panel_input(kind, scheme=loop.scheme, leakage=leakage)
    built = build_loop(scheme, loop)
    reading = latest(scheme, "loop resistance", loop.id)
    if built.unknown and reading is None:
        text = f"{built.unknown}: measure the resistance of loop {loop.id} at {loop.at} with its cores taken off"
        return _undecided(loop, text), []
    stations, steps, compared = built.stations, list(built.steps), []
    if reading is not None:
        stations, line, told = _with_reading(built, reading, at, loop.id)
        steps += line
        compared.append(told)
    if insulation is not None:
        value = measured_value(insulation)
        line_of = f"{value / 1e6:.3g} MΩ on {insulation.date} with {insulation.instrument}"
        steps.append(("insulation measured", line_of))
    steps.append(
        (
            "input",
            f"pull-up {at.pull_up:g} Ω ± {at.pull_up_tolerance:.0%}, error {at.error:.1%}, leakage from "
            f"{at.leakage / 1e3:g} kΩ ({kind.name}, catalogue; leakage an assumption unless measured)",
        )
    )
    states = loop_states(stations, at, linked=built.linked)
    between = gaps(states, at)
    tightest = min(between, key=lambda g: g.width, default=None)
    names = [_name(s) for s in states]
    steps += [
        (name, f"{s.low:.4f} to {s.high:.4f} of the reference (nominal {s.nominal:.4f})")
        for name, s in zip(names, states, strict=True)
    ]
    cause = ""
    if tightest is not None:
        eaten = contributions(stations, at, linked=built.linked, between=tightest)
        cause = _cause(tightest, eaten)
        steps.append(
            (
                "smallest gap",
                f"{tightest.upper.low:.4f} − {tightest.lower.high:.4f} − 2 × {at.error:g} = {tightest.width:.4f}; "
                + ", ".join(f"{what} {share:.4f}" for what, share in eaten.items() if share > 5e-5),
            )
        )
    if at.thresholds:
        least = minimum_leakage(at, at.thresholds[-1])
        steps.append(
            ("least insulation", f"{least / 1e3:.1f} kΩ for a cut still to read open by the panel's threshold")
        )
    best = _best(loop, at, stations)
    known = [g.threshold_margin for g in between if g.threshold_margin is not None]
    normal = Condition("normal")
    corners = [seen_resistance(stations, normal, linked=built.linked, end=e) for e in ("low", "high")]
    report = LoopReport(
        loop_id=loop.id,
        states=tuple(LoopState(n, s.low, s.high) for n, s in zip(names, states, strict=True)),
        tightest_gap=None if tightest is None else tightest.width,
        tightest_between=None if tightest is None else (_name(tightest.lower), _name(tightest.upper)),
        cause=cause,
        merged=tuple(_merged(states, built)),
        best_ohm=() if best is None else best.ohm,
        steps=tuple(steps),
        best_gap=None if best is None else best.gap,
        threshold_margin=min(known) if known else None,
        unseen=tuple(_unseen(states)),
        faults=built.faults,
        contacts=loop.contacts,
        resistance_ohm=(parallel(corners[0], at.leakage), corners[1]),
        measured=reading is not None,
        insulation_ohm=None if insulation is None else measured_value(insulation),
    )
    return report, compared


def _name(state: State) -> str:
    order = ("short", "normal", "alarm", "fault", "alarm and fault", "open")
    return " or ".join(k for k in order if k in state.kinds)


def _cause(gap: Gap, eaten: dict[str, float]) -> str:
    """What eats a gap, in words."""
    whole = gap.upper.nominal - gap.lower.nominal
    what, share = next(iter(eaten.items()))
    if share <= 0.05 * whole:
        return f"the values themselves: nominal levels lie {whole:.3f} apart"
    return f"{what} takes {share:.3f} of the {whole:.3f} that the values leave"


def _unseen(states: Sequence[State]) -> list[str]:
    """Conditions that read as normal though they are not."""
    found = []
    for state in states:
        if "normal" not in state.kinds:
            continue
        for condition in state.conditions:
            if condition.kind == "short":
                found.append(f"a short of the cable {condition.where}")
            elif condition.kind == "open":
                found.append(f"a cut of the cable {condition.where}")
            elif condition.kind != "normal":
                found.append(f"{condition.kind} of {condition.where}")
    return found


def _merged(states: Sequence[State], built: BuiltLoop) -> list[str]:
    """What the input cannot tell apart, in plain words."""
    found = [f"{what} looks like all is well" for what in _unseen(states)]
    for state in states:
        kinds = state.kinds - {"normal"}
        if "alarm" in kinds and "open" in kinds:
            found.append("a cut cable looks like an opened contact")
        if "alarm" in kinds and "short" in kinds:
            found.append("a shorted cable looks like an opened contact")
        if "alarm" in kinds and "fault" in kinds:
            found.append("a fault looks like an opened contact")
    count = sum(s.contact != "none" for s in built.stations)
    if count > 1:
        found.append(f"which of its {count} contacts has opened")
    return list(dict.fromkeys(found))


def _best(loop: Loop, at: LoopInput, stations: Sequence[Station]) -> BestValues | None:
    """Preferred values for this loop's scheme; None where it has no resistors."""
    scheme = PREFERRED.get(loop.scheme)
    if scheme is None:
        return None
    tolerance = max((r.tolerance for r in loop.resistors), default=0.01)
    # Cable is rounded up to the next 25 Ω so that loops alike share one search.
    cable = 25.0 * math.ceil(sum(s.cable for s in stations) / 25.0)
    contact = max((s.contact_resistance for s in stations), default=1.0)
    return _searched(scheme, at, tolerance, cable, contact)


@lru_cache(maxsize=256)
def _searched(scheme: str, at: LoopInput, tolerance: float, cable: float, contact: float) -> BestValues:
    kind = "single" if scheme == "single" else "double" if scheme == "double" else "triple"
    series = 12 if kind == "triple" else 24
    return best_resistors(kind, at, series=series, tolerance=tolerance, cable=cable, contact=contact)  # type: ignore[arg-type]


def _with_reading(
    built: BuiltLoop, reading: Reading, at: LoopInput, loop_id: str
) -> tuple[tuple[Station, ...], list[tuple[str, str]], Compared]:
    """Stations with the cable resistance that a reading of the loop leaves."""
    normal = Condition("normal")
    ends = {e: seen_resistance(built.stations, normal, linked=built.linked, end=e) for e in ("low", "nominal", "high")}
    value, spread = measured_value(reading), measured_spread(reading)
    cable = sum(s.cable for s in built.stations)
    slack = LOOP_SPREAD * value + LOOP_SPREAD_OHM + spread
    high = math.inf if built.unknown else ends["high"]
    low = parallel(ends["low"], at.leakage)
    expected = ends["nominal"] if math.isinf(ends["nominal"]) else ends["nominal"] + cable / 2.0
    left = max(0.0, value + spread - ends["low"])
    note = ""
    if not built.unknown and cable > 0.0 and math.isfinite(ends["nominal"]):
        ratio = (value - ends["nominal"]) / cable
        if CLAD_RATIO[0] <= ratio <= CLAD_RATIO[1]:
            note = "the cable has about 1.6 times its resistance: copper-clad aluminium is likely"
    told = Compared(
        reading.id,
        "loop resistance",
        loop_id,
        value,
        None if built.unknown else expected,
        low - slack,
        None if built.unknown else high + slack,
        "ohm",
        note,
    )
    scale = left / cable if cable > 0.0 else 0.0
    stations = tuple(
        Station(
            s.name,
            s.contact,
            s.fault_contact,
            s.across_contact,
            s.across_fault,
            s.in_series,
            s.across_pair,
            s.cable * scale,
            s.contact_resistance,
        )
        for s in built.stations
    )
    line = (
        "loop resistance measured",
        f"{value:.0f} Ω on {reading.date} with {reading.instrument}, {low:.0f} to {high:.0f} Ω predicted; "
        f"it leaves {left:.0f} Ω at most for cable and contacts, in place of {cable:.0f} Ω",
    )
    return stations, [line], told
