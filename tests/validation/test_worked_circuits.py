"""Figures worked out apart from the program, from the formulas its documentation states: supply networks."""

import pytest

from wardwright.errors import NoSolutionError
from wardwright.physics import circuits, protection
from wardwright.physics.circuits import Branch, Load

SOURCE = "worked: supply networks"
LOOP = 5.29622
"""50 m of 22 AWG, out and back. [Ω]"""

CHAIN = [
    Branch("1", "S", "1", 1.588867),
    Branch("2", "1", "2", 1.059244),
    Branch("3", "2", "3", 2.118489),
    Branch("4", "3", "4", 1.059244),
]
MIXED = {"1": Load(current=0.020), "2": Load(current=0.015), "3": Load(power=0.6), "4": Load(conductance=1 / 40)}
POWERS = {"1": Load(power=0.25), "2": Load(power=0.2), "3": Load(power=0.6), "4": Load(power=2.0)}


@pytest.fixture
def worked(check):
    def run(quantity, expected, actual, tolerance):
        check(
            source=SOURCE, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance
        )

    return run


def one_load(volt: float, load: Load) -> circuits.OperatingPoint:
    return circuits.operating_point({"S": volt}, [Branch("r", "S", "L", LOOP)], {"L": load})


def test_fed_at_both_ends(check) -> None:
    # The statement is published, the answer is worked: 1 A/m over the last 200 m, cut into 1 m pieces.
    at = [0.0, 100.0, 250.0, *[300.5 + k for k in range(200)], 500.0]
    loads = {"1": Load(current=100.0), "2": Load(current=60.0)}
    loads |= {str(3 + k): Load(current=1.0) for k in range(200)}
    last = len(at) - 1
    branches = [Branch(f"b{k}", str(k), str(k + 1), (at[k + 1] - at[k]) * 0.001) for k in range(last)]
    point = circuits.operating_point({"0": 240.0, str(last): 240.0}, branches, loads)
    check(
        source="worked: DC-DISTRIBUTOR-BOTH-ENDS",
        status="computed",
        quantity="feed currents and lowest voltage",
        expected=[150.0, 210.0, 217.5],
        actual=[point.from_source["0"], point.from_source[str(last)], min(point.voltage.values())],
        tolerance=0.01,
    )


def test_even_chain_of_sounders(worked) -> None:
    step = 200.0 / 30 * 0.042
    branches = [Branch(str(k), str(k), str(k + 1), step) for k in range(30)]
    loads = {str(k + 1): Load(current=0.02) for k in range(30)}
    point = circuits.operating_point({"0": 24.0}, branches, loads)
    worked("drop at the last of 30 even sounders", 2.604, 24.0 - point.voltage["30"], 0.002)


def test_constant_power(worked) -> None:
    worked("largest constant power", 5.2042, circuits.constant_power_limit(10.5, LOOP), 0.001)
    point = one_load(10.5, Load(power=1.0))
    worked("voltage and current at 1 W", [9.96872, 0.100314], [point.voltage["L"], point.drawn["L"]], [1e-4, 1e-6])
    worked("voltage near collapse, 5 W", 6.2899, one_load(10.5, Load(power=5.0)).voltage["L"], 1e-3)
    worked("closed form against network", 6.2899, circuits.constant_power_voltage(10.5, LOOP, 5.0), 1e-3)


def test_collapse_is_told_not_iterated_past() -> None:
    with pytest.raises(NoSolutionError):
        one_load(10.5, Load(power=5.3))
    with pytest.raises(NoSolutionError):
        circuits.constant_power_voltage(10.5, LOOP, 5.3)


@pytest.mark.parametrize(("volt", "expected"), [(13.65, [12.3259, 12.2936, 12.3650]), (10.5, [9.1759, 9.4566, 8.6667])])
def test_three_load_laws(worked, volt, expected) -> None:
    loads = (Load(current=0.25), Load(conductance=1 / 48), Load(power=3.0))
    worked(f"one load of each law at {volt} V", expected, [one_load(volt, a).voltage["L"] for a in loads], 1e-3)


@pytest.mark.parametrize(
    ("volt", "expected", "total"),
    [
        (13.65, [13.05213, 12.67474, 11.95172, 11.64339], 0.376287),
        (10.5, [9.98855, 9.66876, 9.06097, 8.82722], 0.321898),
    ],
)
def test_mixed_chain(worked, volt, expected, total) -> None:
    point = circuits.operating_point({"S": volt}, CHAIN, MIXED)
    worked(f"mixed chain at {volt} V, voltages", expected, [point.voltage[n] for n in "1234"], 1e-4)
    worked(f"mixed chain at {volt} V, current", total, point.from_source["S"], 2e-6)


def test_ring(worked) -> None:
    ring = [*CHAIN, Branch("5", "4", "S", 2.648111)]
    point = circuits.operating_point({"S": 10.5}, ring, MIXED)
    worked("ring, voltages", [10.29264, 10.17559, 9.97326, 9.93582], [point.voltage[n] for n in "1234"], 1e-4)
    cuts = {cut.branch: cut for cut in circuits.single_cuts({"S": 10.5}, ring, MIXED)}
    assert set(cuts) == set("12345")
    assert all(not cut.lost for cut in cuts.values())
    # Cut the run that closes the ring and the chain of before is left.
    left = cuts["5"].point
    assert left is not None
    worked("ring cut open again", [9.98855, 9.66876, 9.06097, 8.82722], [left.voltage[n] for n in "1234"], 1e-4)


def test_a_cut_chain_loses_what_lies_beyond() -> None:
    cuts = {cut.branch: cut.lost for cut in circuits.single_cuts({"S": 10.5}, CHAIN, MIXED)}
    assert cuts["3"] == {"3", "4"}
    assert cuts["1"] == {"1", "2", "3", "4"}


def test_collapse_multiplier(worked) -> None:
    point = circuits.operating_point({"S": 10.5}, CHAIN, POWERS)
    worked(
        "all constant power, voltages", [9.95826, 9.62369, 8.99857, 8.75664], [point.voltage[n] for n in "1234"], 1e-4
    )
    multiplier = circuits.collapse_multiplier({"S": 10.5}, CHAIN, POWERS)
    bound = circuits.sufficient_multiplier({"S": 10.5}, CHAIN, POWERS)
    assert multiplier is not None
    worked("collapse multiplier", 1.8729, multiplier, 0.002)
    worked("sufficient bound on the multiplier", 1.7853, bound, 0.001)
    assert bound < multiplier


@pytest.mark.parametrize("share", [0.5, 1.0, 3.0])
def test_more_than_the_most_a_run_can_carry_has_no_voltage(worked, share: float) -> None:
    """The most constant power at the end of one run is V²/4R, where source and load are matched."""
    most = 12.0**2 / (4 * 2.5)
    run = [Branch("b", "S", "n", 2.5)]
    multiplier = circuits.collapse_multiplier({"S": 12.0}, run, {"n": Load(power=share * most)})
    assert multiplier is not None
    worked(f"matched load, {share:g} of it asked", 1.0 / share, multiplier, 1e-4)
    for over in (1.001, 2.0, 1.998, 50.0):
        with pytest.raises(NoSolutionError):
            circuits.operating_point({"S": 12.0}, run, {"n": Load(power=over * most)})


def test_a_load_of_nothing_never_collapses() -> None:
    run = [Branch("b", "S", "n", 2.5)]
    assert circuits.collapse_multiplier({"S": 12.0}, run, {"n": Load(power=5e-324)}) is None


def test_class_2(worked) -> None:
    low, high = (protection.class2_limits(v, inherently_limited=False) for v in (13.8, 24.0))
    worked(
        "Class 2 at 13.8 V: fuse, power, current",
        [5.0, 69.0, 72.46],
        [low.fuse, low.nameplate_power, low.current],
        0.01,
    )
    worked("Class 2 at 24 V: current and fuse", [4.1667, 4.1667], [high.nameplate_current, high.fuse], 1e-3)


def test_inrush(worked) -> None:
    worked("let-through of 1000 µF", 0.144, protection.inrush_let_through(1000e-6, 12.0, 0.5), 1e-6)


def test_keypad_on_24_awg(worked) -> None:
    loop = 2 * 60.0 * 0.084213
    volts = [
        circuits.operating_point({"S": v}, [Branch("r", "S", "K", loop)], {"K": Load(current=0.12)}).voltage["K"]
        for v in (12.0, 10.5)
    ]
    worked("keypad over 60 m of 24 AWG", [10.787, 9.287], volts, 0.002)
