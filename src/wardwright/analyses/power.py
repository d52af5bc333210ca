"""Supply: standby hours, and voltage at every device."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wardwright.analyses.cell_life import CellLife, cell_lives
from wardwright.analyses.demand import power_demand
from wardwright.analyses.readings import Compared, latest, measured_spread, measured_value
from wardwright.analyses.standby import Standby, loop_currents, standby
from wardwright.analyses.supply_network import STATED_V, Run, Supply, alarm_a, load_of, standby_a, supplies
from wardwright.design.brief import Reading
from wardwright.design.system import ProtectionScheme
from wardwright.errors import NoSolutionError, OutOfRangeError
from wardwright.physics.charging import float_voltage
from wardwright.physics.circuits import Branch, Load, OperatingPoint, collapse_multiplier, operating_point, single_cuts
from wardwright.physics.protection import short_circuit_current

DROP_SPREAD = 0.5
"""A measured drop up to this share beside the prediction is explained by temperature, cable and currents. [-]
Assumption."""

VOLT_SPREAD = 0.3
"""And this much more, for the supply's setting and joints. [V] Assumption."""

COLDEST_C = 0.0
"""A charger compensated for temperature gives most in the cold. [°C] Assumption."""


@dataclass(frozen=True)
class VoltageAt:
    """Supply voltage at one device, with everything in alarm, at the end of discharge."""

    device_id: str
    fed_by: str
    voltage_v: float
    minimum_v: float | None
    current_a: float
    collapse_multiplier: float | None
    """Load multiplier at which the supply collapses; None where nothing collapses. Below 1 it has collapsed."""
    measured: bool = False
    steps: tuple[tuple[str, str], ...] = ()
    undecided: str = ""
    nominal_v: float | None = None
    """The same with the supply at its nominal voltage. [V]"""
    float_v: float | None = None
    """On mains with nothing in alarm: the most it sees. [V]"""
    highest_v: float | None = None
    """The same with the charger compensated for the cold. [V]"""
    maximum_v: float | None = None
    drop_v: float = 0.0
    """From the supply's output to the device, both cores together. [V]"""
    assumed: bool = False
    """Some length on the way was allowed for, or some run not drawn."""


@dataclass(frozen=True)
class RingCut:
    """What one cut through a ring leaves."""

    feed_id: str
    worst_device_id: str | None
    voltage_v: float
    """At the device nearest its limit; 0 where the supply collapses. [V]"""
    margin_v: float
    """Its voltage less its limit. [V]"""
    lost: tuple[str, ...]
    """Devices it leaves without supply."""


@dataclass(frozen=True)
class RunProtection:
    """One run with the fuse before it."""

    feed_id: str
    fuse_a: float
    load_a: float
    """Through it in alarm. [A]"""
    short_a: float
    """Into a dead short at its far end, at the end of discharge. [A]"""


@dataclass(frozen=True)
class PowerAnalysis:
    """Every supply and every fed device."""

    standby: tuple[Standby, ...]
    voltages: tuple[VoltageAt, ...]
    problems: tuple[tuple[str, str], ...] = ()
    """Element id and what is wrong: a cycle in the supply, a device fed by nothing."""
    cuts: tuple[RingCut, ...] = ()
    protection: tuple[RunProtection, ...] = ()
    cells: tuple[CellLife, ...] = ()
    compared: tuple[Compared, ...] = ()
    """Readings beside what was predicted."""


def power(scheme: ProtectionScheme) -> PowerAnalysis:
    """Standby of every supply, voltage at every device, life of every cell.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design. Readings taken on site go before predictions.

    Returns
    -------
    PowerAnalysis
        Results with their steps.
    """
    found, problems = supplies(scheme)
    demand = power_demand(scheme)
    loops = loop_currents(scheme)
    hours: list[Standby] = []
    volts: list[VoltageAt] = []
    cuts: list[RingCut] = []
    protection: list[RunProtection] = []
    compared: list[Compared] = []
    for supply in found:
        lasting, told = standby(scheme, supply, demand, loops)
        hours.append(lasting)
        compared += told
        if not supply.members:
            continue
        here, told = _voltages(scheme, supply, loops)
        volts += here
        compared += told
        cuts += _ring_cuts(scheme, supply, loops)
        protection += _protection(scheme, supply, loops)
    return PowerAnalysis(
        tuple(hours),
        tuple(volts),
        problems,
        tuple(cuts),
        tuple(protection),
        cell_lives(scheme),
        tuple(compared),
    )


def _loads(scheme: ProtectionScheme, supply: Supply, loops: Mapping[str, float], *, alarm: bool) -> dict[str, Load]:
    loads = {}
    for device in supply.members:
        kind = scheme.kind_of(device)
        load = load_of(kind, alarm_a(kind) if alarm else standby_a(kind))
        loads[device.id] = load + Load(current=loops.get(device.id, 0.0))
    return loads


def _levels(scheme: ProtectionScheme, supply: Supply) -> tuple[float, float, float]:
    """Float (as measured at its battery, if it was), nominal and end-of-discharge voltage of a supply. [V]"""
    reading = latest(scheme, "battery voltage", supply.device.id)
    charged = supply.kind.get("output_float_v") or 13.65
    return charged if reading is None else measured_value(reading), STATED_V, supply.kind.get("output_end_v") or 10.2


def _solved(supply: Supply, branches: list[Branch], loads: Mapping[str, Load], volt: float) -> OperatingPoint | None:
    try:
        return operating_point({supply.device.id: volt}, branches, loads)
    except NoSolutionError:
        return None


def _voltages(
    scheme: ProtectionScheme, supply: Supply, loops: Mapping[str, float]
) -> tuple[list[VoltageAt], list[Compared]]:
    """Voltage at each device of one supply."""
    branches = supply.branches()
    loud, quiet = (_loads(scheme, supply, loops, alarm=a) for a in (True, False))
    mains, nominal, end = _levels(scheme, supply)
    at_end, at_nominal = (_solved(supply, branches, loud, v) for v in (end, nominal))
    at_float = _solved(supply, branches, quiet, mains)
    try:
        multiplier = collapse_multiplier({supply.device.id: end}, branches, loud)
    except OutOfRangeError as error:
        return [_undecided(scheme, supply, d.id, str(error)) for d in supply.members], []
    colder = float_voltage(COLDEST_C, at_25c=mains) - mains
    ways = supply.ways()
    found: list[VoltageAt] = []
    compared: list[Compared] = []
    for device in supply.members:
        kind = scheme.kind_of(device)
        runs = ways[device.id]
        reading = latest(scheme, "voltage", device.id)
        unknown = [supply.unknown[r.name] for r in runs if r.name in supply.unknown]
        if unknown and reading is None:
            text = f"{unknown[0]}: measure the voltage at {device.id} on mains with its normal load"
            found.append(_undecided(scheme, supply, device.id, text))
            continue
        result = VoltageAt(
            device.id,
            supply.device.id,
            0.0 if at_end is None else at_end.voltage[device.id],
            kind.get("voltage_min_v"),
            alarm_a(kind) if at_end is None else at_end.drawn[device.id],
            multiplier,
            steps=_steps(supply, runs, at_end, device.id, end, multiplier),
            nominal_v=None if at_nominal is None else at_nominal.voltage[device.id],
            float_v=None if at_float is None else at_float.voltage[device.id],
            highest_v=None if at_float is None else at_float.voltage[device.id] + colder,
            maximum_v=kind.get("voltage_max_v"),
            drop_v=0.0 if at_end is None else at_end.voltage[supply.terminal] - at_end.voltage[device.id],
            assumed=any(r.assumed for r in runs),
        )
        if reading is not None:
            result, told = _measured(result, reading, mains=mains, end=end, cable_known=not unknown)
            compared.append(told)
        found.append(result)
    return found, compared


def _steps(
    supply: Supply,
    runs: tuple[Run, ...],
    point: OperatingPoint | None,
    device_id: str,
    end: float,
    multiplier: float | None,
) -> tuple[tuple[str, str], ...]:
    """The way from the supply to a device, as a calculation sheet."""
    name = supply.kind.name
    lines = [("supply", f"{supply.device.id} ({name}): output {end:g} V at the end of discharge (catalogue)")]
    if point is None:
        worked = (
            f"no voltage satisfies these loads; they would have to fall to {multiplier or 0.0:.2f} of what they are"
        )
        return (*lines, ("collapse", worked))
    at = supply.terminal
    inside = point.voltage[supply.device.id] - point.voltage[at]
    lines.append(("fuse, switch and wiring", f"drop {inside:.3f} V at {point.from_source[supply.device.id]:.3f} A"))
    here = supply.device.id
    for run in runs:
        there = run.end if run.start == here else run.start
        ampere = abs(point.branch_current[run.name])
        lines += run.steps
        lines.append((run.name, f"{ampere:.3f} A × {run.ohm:.3g} Ω: {point.voltage[there]:.2f} V at {there}"))
        here = there
    lines.append(("voltage", f"{point.voltage[device_id]:.2f} V with everything in alarm at the end of discharge"))
    return tuple(lines)


def _undecided(scheme: ProtectionScheme, supply: Supply, device_id: str, why: str) -> VoltageAt:
    kind = scheme.kind_of(scheme.design.device(device_id))
    return VoltageAt(device_id, supply.device.id, 0.0, kind.get("voltage_min_v"), alarm_a(kind), None, undecided=why)


def _measured(
    result: VoltageAt, reading: Reading, *, mains: float, end: float, cable_known: bool
) -> tuple[VoltageAt, Compared]:
    """A voltage read on mains under the standing load: its drop, scaled, takes the place of the predicted one."""
    volt, spread = measured_value(reading), measured_spread(reading)
    predicted = result.float_v
    ceiling = mains + VOLT_SPREAD + spread
    low = None
    if predicted is not None and cable_known:
        low = predicted - DROP_SPREAD * (mains - predicted) - VOLT_SPREAD - spread
    told = Compared(
        reading.id, "voltage", result.device_id, volt, predicted, low, ceiling, "V", "on mains, standing load"
    )
    drop, expected = max(0.0, mains - volt), 0.0 if predicted is None else mains - predicted
    if predicted is None or expected <= 0.0 or result.voltage_v <= 0.0:
        return replace(result, undecided="the reading cannot be carried to the end of discharge"), told
    grown = (end - result.voltage_v) / expected
    carried = end - drop * grown
    line = (
        "measured",
        f"{volt:.2f} V on {reading.date} with {reading.instrument}, in place of {predicted:.2f} V predicted "
        f"({volt - predicted:+.2f} V); its drop of {drop:.2f} V grows {grown:.2f} times to {carried:.2f} V at the end "
        "of discharge with everything in alarm",
    )
    return replace(result, voltage_v=carried, measured=True, steps=(*result.steps, line)), told


def _ring_cuts(scheme: ProtectionScheme, supply: Supply, loops: Mapping[str, float]) -> list[RingCut]:
    """Every single cut, where the supply has a ring."""
    if not supply.is_ring:
        return []
    loads = _loads(scheme, supply, loops, alarm=True)
    end = _levels(scheme, supply)[2]
    least = {d.id: scheme.kind_of(d).get("voltage_min_v") or 0.0 for d in supply.members}
    found = []
    for cut in single_cuts({supply.device.id: end}, supply.branches(), loads):
        if cut.branch == f"{supply.device.id} inside":
            continue
        fed = {key: limit for key, limit in least.items() if key not in cut.lost}
        volt = {key: 0.0 if cut.point is None else cut.point.voltage[key] for key in fed}
        worst = min(fed, key=lambda key: (volt[key] - fed[key], key), default=None)
        here = (0.0, 0.0) if worst is None else (volt[worst], volt[worst] - fed[worst])
        found.append(RingCut(cut.branch, worst, *here, tuple(sorted(cut.lost))))
    return found


def _protection(scheme: ProtectionScheme, supply: Supply, loops: Mapping[str, float]) -> list[RunProtection]:
    """Load and short-circuit current of each run that starts at a fuse."""
    fused = [r for r in supply.runs if r.fuse_a is not None]
    if not fused:
        return []
    end = _levels(scheme, supply)[2]
    point = _solved(supply, supply.branches(), _loads(scheme, supply, loops, alarm=True), end)
    ways = supply.ways()
    inner = max(supply.kind.get("output_resistance_ohm") or 0.0, 1e-3)
    found = []
    for run in fused:
        assert run.fuse_a is not None
        before = sum(r.ohm for r in ways.get(run.start, ()))
        load = 0.0 if point is None else abs(point.branch_current[run.name])
        found.append(RunProtection(run.name, run.fuse_a, load, short_circuit_current(end, inner + before + run.ohm)))
    return found
