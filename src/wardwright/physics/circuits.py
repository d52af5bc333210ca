"""Direct-current supply networks: trees, chains and rings with constant-current, resistive and constant-power loads."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array, diags_array
from scipy.sparse.linalg import splu

from wardwright.errors import InputError, NoSolutionError, OutOfRangeError

MULTIPLIER_CEILING = 1e6
"""Above this load multiplier a network counts as not collapsing at all. [-]"""

DENSE_NODES = 120
"""Networks no larger are solved densely, which is quicker for them. [-]"""


@dataclass(frozen=True)
class Load:
    """What is drawn at a node: the sum of three laws."""

    current: float = 0.0
    """Drawn whatever the voltage. [A]"""
    conductance: float = 0.0
    """Of the resistive part. [S]"""
    power: float = 0.0
    """Drawn whatever the voltage: switch-mode supplied devices. [W]"""

    def __add__(self, other: "Load") -> "Load":
        return Load(self.current + other.current, self.conductance + other.conductance, self.power + other.power)


@dataclass(frozen=True)
class Branch:
    """A run of cable between two nodes, out and back."""

    name: str
    start: str
    end: str
    resistance: float
    """Of the loop, out and back. [Ω]"""


@dataclass(frozen=True)
class OperatingPoint:
    """Voltages and currents of a network that holds."""

    voltage: Mapping[str, float]
    """At each node. [V]"""
    branch_current: Mapping[str, float]
    """From start to end of each branch. [A]"""
    drawn: Mapping[str, float]
    """By the load at each node. [A]"""
    from_source: Mapping[str, float]
    """Delivered by each source. [A]"""


@dataclass(frozen=True)
class Cut:
    """What is left when one branch is cut through."""

    branch: str
    lost: frozenset[str]
    """Nodes with a load that no source reaches any more."""
    point: OperatingPoint | None
    """What the rest does; None where it collapses."""


class _Network:
    """Matrices of a network, worked out once."""

    def __init__(self, sources: Mapping[str, float], branches: Sequence[Branch], loads: Mapping[str, Load]) -> None:
        for name, volt in sources.items():
            if not volt > 0.0:
                raise OutOfRangeError("supply network", f"voltage of {name}", volt, "more than 0 V")
        for branch in branches:
            if not branch.resistance > 0.0:
                raise OutOfRangeError("supply network", f"resistance of {branch.name}", branch.resistance, "over 0 Ω")
        for name, load in loads.items():
            if not min(load.current, load.conductance, load.power) >= 0.0:
                raise OutOfRangeError(
                    "supply network", f"load at {name}", min(load.current, load.conductance, load.power), "0 or more"
                )
        reached = reached_nodes(sources, branches)
        unfed = sorted(set(loads) - reached)
        if unfed:
            raise InputError(f"no source reaches {', '.join(unfed)}", where="supply network")
        self.sources, self.loads = sources, loads
        self.branches = [b for b in branches if b.start in reached]
        self.nodes = sorted(reached - set(sources))
        index = {name: i for i, name in enumerate(self.nodes)}
        size = len(self.nodes)
        rows: list[int] = []
        columns: list[int] = []
        values: list[float] = []
        self.injected = np.zeros(size)
        """Current that the fixed voltages push in."""
        for branch in self.branches:
            g = 1.0 / branch.resistance
            for here, there in ((branch.start, branch.end), (branch.end, branch.start)):
                if here not in index:
                    continue
                i = index[here]
                rows.append(i)
                columns.append(i)
                values.append(g)
                if there in index:
                    rows.append(i)
                    columns.append(index[there])
                    values.append(-g)
                else:
                    self.injected[i] += g * sources[there]
        self.conductance = csc_array((values, (rows, columns)), shape=(size, size))
        self.dense = self.conductance.toarray() if size <= DENSE_NODES else None
        at = [loads.get(name, Load()) for name in self.nodes]
        self.load_current = np.array([a.current for a in at])
        self.load_conductance = np.array([a.conductance for a in at])
        self.load_power = np.array([a.power for a in at])

    def voltages(self, scale: float = 1.0) -> NDArray[np.float64] | None:
        """High-voltage solution with all loads scaled, or None where there is none."""
        if not self.nodes:
            return np.zeros(0)
        current, power = scale * self.load_current, scale * self.load_power
        shunt = scale * self.load_conductance
        volt = self._solved(shunt, self.injected - current)
        top = max(self.sources.values())
        # Without constant power this is the answer; with it, it lies above the answer, which Newton's method then
        # approaches from above (convex, M-matrix). A step that does not go down means there is no answer.
        for _ in range(60):
            if volt is None or not np.all(volt > 0.0):
                return None
            if not power.any():
                return volt
            excess = self.conductance @ volt + shunt * volt + current + power / volt - self.injected
            step = self._solved(shunt - power / volt**2, excess)
            if step is None:
                return None
            if np.max(np.abs(step)) < 1e-11 * top:
                # a voltage all but nought makes steps vanish too, without any balance of currents
                return volt if np.max(np.abs(excess)) < 1e-6 * np.max(np.abs(self.injected)) else None
            if np.min(step) < -1e-9 * top:
                return None
            volt = volt - step
        return None

    def _solved(self, diagonal: NDArray[np.float64], right: NDArray[np.float64]) -> NDArray[np.float64] | None:
        """Solution with more on the diagonal; None where it is exactly singular: the very edge of collapse."""
        try:
            if self.dense is None:
                matrix = (self.conductance + diags_array(diagonal)).tocsc()
                return np.asarray(splu(matrix).solve(right), dtype=np.float64)
            full = self.dense.copy()
            np.einsum("ii->i", full)[:] += diagonal
            return np.asarray(np.linalg.solve(full, right), dtype=np.float64)
        except (RuntimeError, np.linalg.LinAlgError):
            return None

    def point(self, volt: NDArray[np.float64], scale: float = 1.0) -> OperatingPoint:
        """Voltages put back on names, with the currents they make."""
        at = {name: float(v) for name, v in zip(self.nodes, volt, strict=True)} | dict(self.sources)
        flow = {b.name: (at[b.start] - at[b.end]) / b.resistance for b in self.branches}
        drawn = {
            name: scale * (load.current + load.conductance * at[name] + load.power / at[name])
            for name, load in self.loads.items()
        }
        given = {name: drawn.get(name, 0.0) for name in self.sources}
        for branch in self.branches:
            if branch.start in given:
                given[branch.start] += flow[branch.name]
            if branch.end in given:
                given[branch.end] -= flow[branch.name]
        return OperatingPoint(at, flow, drawn, given)


def reached_nodes(sources: Iterable[str], branches: Sequence[Branch]) -> set[str]:
    """Nodes that some source feeds.

    Parameters
    ----------
    sources : iterable of str
        Source nodes.
    branches : sequence of Branch
        The runs.

    Returns
    -------
    set of str
        All nodes joined to a source, the sources among them.
    """
    neighbours: dict[str, list[str]] = {}
    for branch in branches:
        neighbours.setdefault(branch.start, []).append(branch.end)
        neighbours.setdefault(branch.end, []).append(branch.start)
    found = set(sources)
    waiting = list(found)
    while waiting:
        for node in neighbours.get(waiting.pop(), ()):
            if node not in found:
                found.add(node)
                waiting.append(node)
    return found


def operating_point(
    sources: Mapping[str, float], branches: Sequence[Branch], loads: Mapping[str, Load]
) -> OperatingPoint:
    """Voltages and currents of a supply network.

    Solves ``G V + I + g V + P / V = b`` for the solution with the highest voltages, by Newton's method from above.

    Parameters
    ----------
    sources : mapping of str to float
        Voltage held at each source node. [V]
    branches : sequence of Branch
        Runs out and back; trees, chains, rings and meshes alike.
    loads : mapping of str to Load
        What each node draws.

    Returns
    -------
    OperatingPoint
        The high-voltage solution. The lower one is unstable and never returned.

    Raises
    ------
    NoSolutionError
        If the voltage collapses: no operating point exists.
    InputError
        If no source reaches a load.
    OutOfRangeError
        If a voltage, resistance or load is negative, or a voltage or resistance zero.

    Valid range
    -----------
    Steady direct current; loads of constant current, resistance or power, all of them consumers.

    References
    ----------
    [TAHERI-KEKATOS-2018]_ for the high-voltage solution being reached from above if one exists;
    [ORTEGA-RHEINBOLDT-1970]_ for Newton's method descending on it.
    """
    network = _Network(sources, branches, loads)
    volt = network.voltages()
    if volt is None:
        raise NoSolutionError("the supply collapses: no voltage satisfies these loads over these cables")
    return network.point(volt)


def collapse_multiplier(
    sources: Mapping[str, float], branches: Sequence[Branch], loads: Mapping[str, Load]
) -> float | None:
    """How many times all loads together could grow before the voltage collapses.

    Parameters
    ----------
    sources : mapping of str to float
        Voltage held at each source node. [V]
    branches : sequence of Branch
        Runs out and back.
    loads : mapping of str to Load
        What each node draws.

    Returns
    -------
    float or None
        Largest multiplier with an operating point, to 1 part in 10⁵; below 1 the network has collapsed as it is. None
        where no multiplier up to a million collapses it (nothing but resistive loads, or none). [-]

    Valid range
    -----------
    As `operating_point`.

    References
    ----------
    [JEENINGA-2020]_: the feasible loads form a convex set, so that bisection finds its edge.
    """
    network = _Network(sources, branches, loads)
    sure = sufficient_multiplier(sources, branches, loads) if _power_alone(sources, loads) else 0.0
    if sure > MULTIPLIER_CEILING:
        return None
    low, high = sure, max(1.0, 2.0 * sure)
    while network.voltages(high) is not None:
        low, high = high, 2.0 * high
        if high > MULTIPLIER_CEILING:
            return None
    while high - low > 1e-5 * high:
        middle = (low + high) / 2
        if network.voltages(middle) is None:
            high = middle
        else:
            low = middle
    return low


def _power_alone(sources: Mapping[str, float], loads: Mapping[str, Load]) -> bool:
    """Nothing but constant-power loads, on sources of one voltage: the sure bound then holds."""
    one = max(sources.values()) - min(sources.values()) <= 1e-9
    return one and any(a.power for a in loads.values()) and not any(a.current or a.conductance for a in loads.values())


def sufficient_multiplier(sources: Mapping[str, float], branches: Sequence[Branch], loads: Mapping[str, Load]) -> float:
    """A load multiplier at which constant-power loads certainly do not collapse, without searching.

    ``λ = (1/4) / max_i Σ_j Z_ij P_j / Vs²``

    Parameters
    ----------
    sources : mapping of str to float
        Voltage held at each source node, all equal. [V]
    branches : sequence of Branch
        Runs out and back.
    loads : mapping of str to Load
        Constant-power loads only.

    Returns
    -------
    float
        Lower bound on `collapse_multiplier`. [-]

    Raises
    ------
    OutOfRangeError
        If a load has a current or a conductance, or the sources differ.

    Valid range
    -----------
    Constant-power loads on sources of one voltage.

    References
    ----------
    [SIMPSON-PORCO-2016]_
    """
    volts = sorted(sources.values())
    if volts[-1] - volts[0] > 1e-9:
        raise OutOfRangeError("sufficient multiplier", "sources", volts[0], "all of one voltage")
    other = max((max(a.current, a.conductance) for a in loads.values()), default=0.0)
    if other > 0.0:
        raise OutOfRangeError("sufficient multiplier", "loads", other, "constant power only")
    network = _Network(sources, branches, loads)
    worst = float(np.max(splu(network.conductance.tocsc()).solve(network.load_power), initial=0.0)) / volts[0] ** 2
    return 0.25 / worst if worst > 0.0 else MULTIPLIER_CEILING


def single_cuts(sources: Mapping[str, float], branches: Sequence[Branch], loads: Mapping[str, Load]) -> tuple[Cut, ...]:
    """Every branch cut through, one at a time.

    Parameters
    ----------
    sources : mapping of str to float
        Voltage held at each source node. [V]
    branches : sequence of Branch
        Runs out and back.
    loads : mapping of str to Load
        What each node draws.

    Returns
    -------
    tuple of Cut
        One for each branch: which loads it loses, and how the rest fares. A ring loses none, but becomes two spurs.

    Valid range
    -----------
    As `operating_point`.

    References
    ----------
    As `operating_point`.
    """
    cuts = []
    for branch in branches:
        rest = [b for b in branches if b is not branch]
        reached = reached_nodes(sources, rest)
        still = {name: load for name, load in loads.items() if name in reached}
        network = _Network(sources, rest, still)
        volt = network.voltages()
        cuts.append(
            Cut(branch.name, frozenset(loads) - frozenset(still), None if volt is None else network.point(volt))
        )
    return tuple(cuts)


def constant_power_limit(voltage: float, resistance: float) -> float:
    """Largest constant power that one load can take over a loop.

    ``P_max = Vs² / (4 R)``

    Parameters
    ----------
    voltage : float
        Of the source. [V]
    resistance : float
        Of the loop, out and back. [Ω]

    Returns
    -------
    float
        Power at which the load sees half the source voltage; above it nothing holds. [W]

    Raises
    ------
    OutOfRangeError
        If either is not positive.

    Valid range
    -----------
    One load at the end of one loop.

    References
    ----------
    Maximum power transfer.
    """
    if not voltage > 0.0:
        raise OutOfRangeError("constant-power limit", "voltage", voltage, "more than 0 V")
    if not resistance > 0.0:
        raise OutOfRangeError("constant-power limit", "resistance", resistance, "more than 0 Ω")
    return voltage**2 / (4.0 * resistance)


def constant_power_voltage(source: float, resistance: float, power: float) -> float:
    """Voltage at one constant-power device at the end of a loop: the high root.

    ``V = [Vs + √(Vs² − 4 P R)] / 2``

    Parameters
    ----------
    source : float
        Source voltage. [V]
    resistance : float
        Of the loop. [Ω]
    power : float
        Drawn. [W]

    Returns
    -------
    float
        Voltage at the device. [V]

    Raises
    ------
    NoSolutionError
        If the power is more than the loop can carry: the voltage collapses.
    OutOfRangeError
        If the source is not positive, or power or resistance negative.

    Valid range
    -----------
    One device, direct current.

    References
    ----------
    Quadratic formula; the lower root is unstable.
    """
    if not source > 0.0:
        raise OutOfRangeError("constant power", "source", source, "more than 0 V")
    if not min(resistance, power) >= 0.0:
        raise OutOfRangeError("constant power", "resistance or power", min(resistance, power), "0 or more")
    inside = source**2 - 4.0 * power * resistance
    if inside < 0.0:
        raise NoSolutionError(f"{power:g} W cannot be carried over {resistance:g} Ω from {source:g} V")
    return (source + math.sqrt(inside)) / 2.0
