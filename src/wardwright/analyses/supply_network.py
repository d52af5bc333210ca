"""Who feeds whom: the supplies of a design with their runs, as networks to be solved, and what is wrong with them."""

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, field

from wardwright.analyses.cabling import run_resistance
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.check import supply_circles
from wardwright.design.devices import Device, Feed
from wardwright.design.system import ProtectionScheme
from wardwright.physics.circuits import Branch, Load

SUPPLIES = (Family.PANEL, Family.ALL_IN_ONE, Family.SUPPLY)
STATED_V = 12.0
"""Voltage at which the catalogue states currents. [V] Assumption."""


@dataclass(frozen=True)
class Run:
    """One run of supply."""

    name: str
    """Id of the feed; ``aux to …`` where none is drawn."""
    start: str
    end: str
    ohm: float
    steps: tuple[tuple[str, str], ...]
    fuse_a: float | None
    assumed: bool


@dataclass
class Supply:
    """One supply and everything on it."""

    device: Device
    kind: DeviceKind
    members: list[Device] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    unknown: dict[str, str] = field(default_factory=dict)
    """Device id: what has to be measured before its voltage can be told."""

    @property
    def terminal(self) -> str:
        """Node of the auxiliary output, behind fuse, switch and wiring."""
        return f"{self.device.id} output"

    def branches(self) -> list[Branch]:
        """Its network."""
        inner = max(self.kind.get("output_resistance_ohm", 0.0) or 0.0, 1e-3)
        first = Branch(f"{self.device.id} inside", self.device.id, self.terminal, inner)
        node = {self.device.id: self.terminal}
        return [
            first,
            *(Branch(r.name, node.get(r.start, r.start), node.get(r.end, r.end), r.ohm) for r in self.runs),
        ]

    @property
    def is_ring(self) -> bool:
        """True where some device is fed from two sides."""
        return len(self.runs) > len({*(r.start for r in self.runs), *(r.end for r in self.runs)}) - 1

    def ways(self) -> dict[str, tuple[Run, ...]]:
        """Runs on the way from the supply to each device (in a ring, the way with the fewest)."""
        beside: dict[str, list[tuple[Run, str]]] = {}
        for run in self.runs:
            beside.setdefault(run.start, []).append((run, run.end))
            beside.setdefault(run.end, []).append((run, run.start))
        found: dict[str, tuple[Run, ...]] = {self.device.id: ()}
        waiting = deque([self.device.id])
        while waiting:
            here = waiting.popleft()
            for run, there in beside.get(here, ()):
                if there not in found:
                    found[there] = (*found[here], run)
                    waiting.append(there)
        return found


def load_of(kind: DeviceKind, current: float) -> Load:
    """A device's load by the law its kind follows.

    Parameters
    ----------
    kind : DeviceKind
        Its catalogue kind.
    current : float
        Drawn at the stated voltage. [A]

    Returns
    -------
    Load
        Constant current unless the kind says otherwise.
    """
    law = kind.words.get("load_model", "constant current")
    if law == "constant power":
        return Load(power=current * STATED_V)
    if law == "constant resistance":
        return Load(conductance=current / STATED_V)
    return Load(current=current)


def standby_a(kind: DeviceKind) -> float:
    """Standing current of a kind; 0 where it has none. [A]"""
    return kind.get("standby_current_a") or 0.0


def alarm_a(kind: DeviceKind) -> float:
    """Current of a kind in alarm, never below its standing current. [A]"""
    return max(kind.get("alarm_current_a") or 0.0, standby_a(kind))


def supplies(scheme: ProtectionScheme) -> tuple[tuple[Supply, ...], tuple[tuple[str, str], ...]]:
    """Every supply with what it feeds, and what is wrong with the supply as drawn.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.

    Returns
    -------
    tuple
        The supplies; and (element id, what is wrong) for feeds that go round in a circle, devices fed by nothing or
        from two supplies, feeds between things that are not there.
    """
    devices = {d.id: d for d in scheme.fitted}
    kinds = {key: scheme.kind_of(d) for key, d in devices.items()}
    found = {key: Supply(d, kinds[key]) for key, d in devices.items() if kinds[key].family in SUPPLIES}
    problems: list[tuple[str, str]] = []
    neighbours: dict[str, list[str]] = {}
    feeds: list[Feed] = []
    for feed in scheme.design.feeds:
        missing = [end for end in (feed.from_id, feed.to_id) if end not in devices]
        if missing:
            problems.append((feed.id, f"runs to “{missing[0]}”, which is not fitted"))
        elif feed.from_id == feed.to_id:
            problems.append((feed.id, f"feeds “{feed.from_id}” from itself"))
        elif feed.from_id in found and feed.to_id in found:
            problems.append((feed.id, f"joins two supplies, “{feed.from_id}” and “{feed.to_id}”"))
        else:
            feeds.append(feed)
            neighbours.setdefault(feed.from_id, []).append(feed.to_id)
            neighbours.setdefault(feed.to_id, []).append(feed.from_id)
    for circle in supply_circles(scheme):
        problems.append((circle[0], f"is fed in a circle: {' → '.join((*circle, circle[0]))}"))
    fed_by: dict[str, str] = {}
    for key, supply in found.items():
        waiting = [key]
        while waiting:
            for node in neighbours.get(waiting.pop(), ()):
                if node in found or fed_by.get(node) == key:
                    continue
                if node in fed_by:
                    problems.append((node, f"is fed from two supplies, “{fed_by[node]}” and “{key}”"))
                    continue
                fed_by[node] = key
                waiting.append(node)
                supply.members.append(devices[node])
    cables = {c.id: c for c in scheme.design.cables}
    for feed in feeds:
        owner = fed_by.get(feed.to_id) or fed_by.get(feed.from_id)
        if owner is None:
            continue
        supply = found[owner]
        run = run_resistance(
            scheme,
            devices[feed.from_id],
            devices[feed.to_id],
            cable=cables.get(feed.cable_id or ""),
            length_m=feed.length_m,
            area_m2=feed.conductor_area_m2,
        )
        fuse = feed.fused_a
        if fuse is None and feed.from_id == owner:
            fuse = supply.kind.get("fuse_a")
        if run.ohm is None:
            supply.unknown[feed.id] = run.unknown
        # An unknown run is solved with the cable assumed elsewhere, and what hangs on it is reported as not decided.
        ohm = run.ohm if run.ohm is not None else max(0.19 * run.length.metres, 0.1)
        supply.runs.append(Run(feed.id, feed.from_id, feed.to_id, ohm, run.steps, fuse, run.length.assumed))
    problems += _without_feed(scheme, devices, kinds, found, fed_by, neighbours)
    return tuple(found.values()), tuple(problems)


def _without_feed(
    scheme: ProtectionScheme,
    devices: Mapping[str, Device],
    kinds: Mapping[str, DeviceKind],
    found: Mapping[str, Supply],
    fed_by: Mapping[str, str],
    neighbours: Mapping[str, list[str]],
) -> list[tuple[str, str]]:
    """Devices that draw current and have no feed: taken as fed straight from where their loop ends, or a problem."""
    problems = []
    ends = {contact: loop.at for loop in scheme.design.loops for contact in loop.contacts}
    first = next((k for k, s in found.items() if s.kind.family is not Family.SUPPLY), next(iter(found), None))
    for key, device in devices.items():
        if key in found or key in fed_by or kinds[key].radio or alarm_a(kinds[key]) <= 0.0:
            continue
        if key in neighbours:
            problems.append((key, "is fed by a run that leads to no supply"))
            continue
        wanted = ends.get(key, "")
        at = wanted if wanted in found else fed_by.get(wanted, first)
        if at is None:
            problems.append((key, "is fed by nothing: there is no panel and no supply"))
            continue
        run = run_resistance(scheme, found[at].device, device, cable=None)
        assert run.ohm is not None  # without a cable the resistance is assumed, never unknown
        found[at].members.append(device)
        found[at].runs.append(
            Run(f"aux to {key}", at, key, run.ohm, run.steps, found[at].kind.get("fuse_a"), assumed=True)
        )
    return problems
