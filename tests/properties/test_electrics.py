"""What must hold of circuits, batteries and loops whatever the figures."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wardwright.errors import NoSolutionError, OutOfRangeError
from wardwright.physics import battery, cells, charging, circuits, conductors, discharge, loops
from wardwright.physics.circuits import Branch, Load
from wardwright.physics.loops import LoopInput, Resistor, Station

ohm = st.floats(0.05, 8.0)
load = st.builds(Load, current=st.floats(0.0, 0.05), conductance=st.floats(0.0, 0.01), power=st.floats(0.0, 0.4))


@st.composite
def trees(draw: st.DrawFn) -> tuple[list[Branch], dict[str, Load]]:
    """A supply tree of up to eight devices, each fed from one before it."""
    size = draw(st.integers(1, 8))
    branches = [
        Branch(f"b{k}", "S" if k == 0 else f"n{draw(st.integers(0, k - 1))}", f"n{k}", draw(ohm)) for k in range(size)
    ]
    return branches, {f"n{k}": draw(load) for k in range(size)}


def voltages(branches: list[Branch], loads: dict[str, Load], source: float = 12.0) -> dict[str, float] | None:
    try:
        return dict(circuits.operating_point({"S": source}, branches, loads).voltage)
    except NoSolutionError:
        return None


def lengthened(branches: list[Branch], which: int, longer: float) -> list[Branch]:
    return [Branch(b.name, b.start, b.end, b.resistance * longer) if k == which else b for k, b in enumerate(branches)]


@settings(max_examples=60, deadline=None)
@given(trees(), st.integers(0, 7), st.floats(1.0, 5.0))
def test_more_cable_never_raises_the_voltage_beyond_it(tree, which, longer) -> None:
    branches, loads = tree
    which %= len(branches)
    before, after = voltages(branches, loads), voltages(lengthened(branches, which, longer), loads)
    if before is None or after is None:
        return
    beyond = {branches[which].end}
    for branch in branches[which:]:
        if branch.start in beyond:
            beyond.add(branch.end)
    assert all(after[n] <= before[n] + 1e-9 for n in beyond)


@settings(max_examples=60, deadline=None)
@given(trees(), st.integers(0, 7), st.floats(1.0, 5.0))
def test_more_cable_raises_no_voltage_at_all_without_resistive_loads(tree, which, longer) -> None:
    # A resistive load draws less at the end of a longer run, which relieves its neighbours; the others do not.
    branches, loads = tree
    loads = {n: Load(current=a.current, power=a.power) for n, a in loads.items()}
    before = voltages(branches, loads)
    after = voltages(lengthened(branches, which % len(branches), longer), loads)
    if before is None:
        assert after is None
    elif after is not None:
        assert all(after[n] <= before[n] + 1e-9 for n in before)


@settings(max_examples=60, deadline=None)
@given(trees())
def test_large_networks_are_solved_as_small_ones_are(tree) -> None:
    branches, loads = tree
    with pytest.MonkeyPatch.context() as patch:
        small = voltages(branches, loads)
        patch.setattr(circuits, "DENSE_NODES", 0)
        large = voltages(branches, loads)
    assert (small is None) == (large is None)
    if small is not None and large is not None:
        assert all(large[n] == pytest.approx(small[n], rel=1e-9) for n in small)


@settings(max_examples=60, deadline=None)
@given(trees(), st.randoms(use_true_random=False))
def test_the_order_of_loads_and_runs_does_not_matter(tree, random) -> None:
    branches, loads = tree
    shuffled = list(branches)
    random.shuffle(shuffled)
    names = list(loads)
    random.shuffle(names)
    before, after = voltages(branches, loads), voltages(shuffled, {n: loads[n] for n in names})
    assert (before is None) == (after is None)
    if before is not None and after is not None:
        assert all(after[n] == pytest.approx(before[n], abs=1e-9) for n in before)


@settings(max_examples=60, deadline=None)
@given(trees())
def test_currents_balance_at_every_node(tree) -> None:
    branches, loads = tree
    try:
        point = circuits.operating_point({"S": 12.0}, branches, loads)
    except NoSolutionError:
        assume(False)
        return
    for node in loads:
        into = sum(point.branch_current[b.name] for b in branches if b.end == node)
        out = sum(point.branch_current[b.name] for b in branches if b.start == node)
        assert into - out == pytest.approx(point.drawn[node], abs=1e-8)
    assert point.from_source["S"] == pytest.approx(sum(point.drawn.values()), abs=1e-7)


@settings(max_examples=40, deadline=None)
@given(trees())
def test_the_multiplier_is_the_edge_of_collapse(tree) -> None:
    branches, loads = tree
    edge = circuits.collapse_multiplier({"S": 12.0}, branches, loads)
    assume(edge is not None and edge < 1e4)
    assert edge is not None

    def scaled(by: float) -> dict[str, Load]:
        return {n: Load(a.current * by, a.conductance * by, a.power * by) for n, a in loads.items()}

    assert voltages(branches, scaled(edge * 0.999)) is not None
    assert voltages(branches, scaled(edge * 1.001)) is None


@settings(max_examples=40, deadline=None)
@given(trees())
def test_the_sufficient_bound_never_promises_too_much(tree) -> None:
    branches, loads = tree
    powers = {n: Load(power=a.power) for n, a in loads.items()}
    assume(any(a.power > 1e-3 for a in powers.values()))
    edge = circuits.collapse_multiplier({"S": 12.0}, branches, powers)
    assert edge is None or circuits.sufficient_multiplier({"S": 12.0}, branches, powers) <= edge * (1 + 1e-4)


@settings(max_examples=40, deadline=None)
@given(
    st.floats(1.0, 60.0),
    st.floats(1.0, 3.0),
    st.floats(0.02, 1.0),
    st.floats(0.0, 2.0),
    st.floats(0.0, 0.5),
    st.floats(1.0, 1.3),
)
def test_more_battery_never_shortens_standby(capacity, more, standby, alarm, hours, exponent) -> None:
    def lasts(ah: float) -> float:
        return discharge.standby_hours(ah, standby=standby, alarm=alarm, alarm_hours=hours, exponent=exponent)

    assert lasts(capacity * more) >= lasts(capacity) - 1e-6


@settings(max_examples=40, deadline=None)
@given(st.floats(0.02, 1.0), st.floats(1.0, 72.0), st.floats(0.0, 3.0), st.floats(1.0, 1.3), st.floats(-3.0, 45.0))
def test_sizing_covers_its_own_duty(standby, hours, alarm, exponent, celsius) -> None:
    duty = [battery.Phase(standby, hours), battery.Phase(alarm, 0.25)]
    need = battery.required_capacity(duty, temperature_c=celsius, exponent=exponent)
    assert need.capacity >= need.charge * need.temperature_factor * battery.AGEING * battery.DESIGN_MARGIN * (1 - 1e-9)
    longer = battery.required_capacity(
        [battery.Phase(standby, hours * 1.1), duty[1]], temperature_c=celsius, exponent=exponent
    )
    assert longer.capacity > need.capacity


@st.composite
def ladders(draw: st.DrawFn) -> list[Station]:
    """A double end-of-line loop of one to four contacts, each with its own resistor."""
    count = draw(st.integers(1, 4))
    value = st.floats(500.0, 20_000.0)
    tolerance = draw(st.floats(0.0, 0.1))
    stations = [Station("panel")]
    for k in range(count):
        stations.append(
            Station(
                f"c{k}",
                contact="series",
                across_contact=Resistor(draw(value), tolerance),
                in_series=Resistor(draw(value), tolerance) if k == count - 1 else None,
                cable=draw(st.floats(0.0, 50.0)),
                contact_resistance=draw(st.floats(0.0, 10.0)),
            )
        )
    return stations


def spread(stations: list[Station], tolerance: float) -> list[Station]:
    """The same loop with other resistor tolerances."""
    return [
        Station(
            s.name,
            contact=s.contact,
            across_contact=s.across_contact and Resistor(s.across_contact.ohm, tolerance),
            in_series=s.in_series and Resistor(s.in_series.ohm, tolerance),
            cable=s.cable,
            contact_resistance=s.contact_resistance,
        )
        for s in stations
    ]


@settings(max_examples=60, deadline=None)
@given(ladders(), st.floats(0.0, 0.05), st.floats(0.0, 0.05))
def test_wider_tolerance_never_widens_a_gap(stations, tolerance, more) -> None:
    at = LoopInput(4700.0)
    tight = loops.gaps(loops.loop_states(spread(stations, tolerance), at, linked=True), at)
    wide = loops.gaps(loops.loop_states(spread(stations, tolerance + more), at, linked=True), at)
    assert len(tight) == len(wide)
    assert all(w.width <= t.width + 1e-12 for t, w in zip(tight, wide, strict=True))


@settings(max_examples=80, deadline=None)
@given(ladders(), st.data())
def test_the_interval_encloses_every_draw(stations, data) -> None:
    """A loop drawn at random within its tolerances, leakage at the terminals, never leaves its interval."""
    at = LoopInput(4700.0, pull_up_tolerance=0.02, leakage=50e3)
    unit = st.floats(-1.0, 1.0)

    def part(resistor: Resistor | None) -> float:
        return 0.0 if resistor is None else resistor.ohm * (1.0 + data.draw(unit) * resistor.tolerance)

    for condition in loops.conditions(stations):
        if condition.broken is not None:
            continue
        ohms = 0.0
        for k, station in enumerate(stations):
            ohms += part(station.in_series) + abs(data.draw(unit)) * station.cable
            if k in condition.tripped:
                ohms += part(station.across_contact)
            elif station.contact == "series":
                ohms += abs(data.draw(unit)) * station.contact_resistance
        leak = at.leakage * (1.0 + abs(data.draw(unit)) * 100.0)
        seen = loops.parallel(ohms, leak)
        pull_up = at.pull_up * (1.0 + data.draw(unit) * at.pull_up_tolerance)
        low, high = loops.level_interval(stations, condition, at, linked=True)
        assert low - 1e-12 <= loops.level(seen, pull_up) <= high + 1e-12


@pytest.mark.parametrize(
    "call",
    [
        lambda: conductors.awg_diameter(60),
        lambda: conductors.resistance_per_metre(0.0),
        lambda: conductors.temperature_correction(400.0),
        lambda: conductors.loop_resistance(-1.0, 0.1),
        lambda: circuits.operating_point({"S": -12.0}, [Branch("b", "S", "n", 1.0)], {}),
        lambda: circuits.operating_point({"S": 12.0}, [Branch("b", "S", "n", 0.0)], {}),
        lambda: circuits.operating_point({"S": 12.0}, [Branch("b", "S", "n", 1.0)], {"n": Load(power=-1.0)}),
        lambda: circuits.constant_power_limit(12.0, 0.0),
        lambda: battery.temperature_factor(-40.0),
        lambda: battery.discharge_hours(7.0, 0.0, exponent=1.1),
        lambda: battery.discharge_hours(7.0, 1.0, exponent=3.0),
        lambda: battery.required_capacity([battery.Phase(-1.0, 1.0)], temperature_c=20.0),
        lambda: discharge.standby_hours(0.0, standby=0.1, alarm=1.0, alarm_hours=0.1),
        lambda: discharge.discharge_voltage(discharge.LEAD_ACID_7AH, 8.0, 0.1),
        lambda: charging.float_voltage(90.0),
        lambda: charging.service_life(5.0, [(0.5, 20.0)]),
        lambda: cells.cell_life(1.4, 0.0, self_discharge=0.0),
        lambda: loops.level(-1.0, 4700.0),
        lambda: loops.level_interval([Station("p", in_series=Resistor(-5.0))], loops.Condition("normal"),
                                     LoopInput(4700.0), linked=True),
        lambda: loops.acceptance_times(0, 0.02),
        lambda: loops.minimum_leakage(LoopInput(4700.0), 1.0),
    ],
)  # fmt: skip
def test_out_of_range_is_named(call) -> None:
    with pytest.raises(OutOfRangeError):
        call()


def test_nothing_left_for_charging_never_ends() -> None:
    assert math.isinf(charging.recharge_hours(7.0, 0.0, to=0.8))
