"""Figures worked out apart from the program, from the formulas its documentation states: supervised loops, buses."""

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import differential_evolution, minimize_scalar

from wardwright.physics import buses, loops
from wardwright.physics.loops import LoopInput, Resistor, Station
from wardwright.physics.resistors import best_resistors, preferred_values

SOURCE = "worked: supervised loops"
IDEAL = LoopInput(1.0, pull_up_tolerance=0.0, leakage=math.inf)
PANEL = LoopInput(4700.0)


@pytest.fixture
def worked(check):
    def run(quantity, expected, actual, tolerance):
        check(
            source=SOURCE, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance
        )

    return run


def double(r1: float, r2: float, tolerance: float = 0.0, cable: float = 0.0, contact: float = 0.0) -> list[Station]:
    return [
        Station("panel"),
        Station(
            "contact",
            contact="series",
            across_contact=Resistor(r2, tolerance),
            in_series=Resistor(r1, tolerance),
            cable=cable,
            contact_resistance=contact,
        ),
    ]


def triple(r1: float, r2: float, r3: float) -> list[Station]:
    return [
        Station("panel"),
        Station(
            "detector",
            contact="series",
            fault_contact=True,
            across_contact=Resistor(r2, 0.0),
            across_fault=Resistor(r3, 0.0),
            in_series=Resistor(r1, 0.0),
            contact_resistance=0.0,
        ),
    ]


def widths(stations: list[Station], at: LoopInput = PANEL) -> list[float]:
    return [g.width for g in loops.gaps(loops.loop_states(stations, at, linked=True), at)]


def test_optimum_levels(worked) -> None:
    states = loops.loop_states(double(0.5, 1.5), IDEAL, linked=True)
    worked("double end of line, free choice: levels", [0, 1 / 3, 2 / 3, 1], [s.nominal for s in states], 1e-12)
    states = loops.loop_states(triple(1 / 3, 2 / 3, 2.0), IDEAL, linked=True)
    levels = {k: s.nominal for s in states for k in s.kinds}
    # The five-state reading leaves out “fault alone”, which then shares its level with alarm and fault or lies between.
    worked(
        "triple end of line, five states: levels",
        [0.25, 0.5, 0.75],
        [levels["normal"], levels["alarm"], levels["alarm and fault"]],
        1e-12,
    )


def test_equal_pair_optimum(worked) -> None:
    best = minimize_scalar(lambda r: -min(widths(double(r, r), IDEAL)), bounds=(0.1, 3.0), options={"xatol": 1e-10})
    worked("double end of line, equal pair: gap and ratio", [0.171573, 0.707107], [-best.fun, best.x], 1e-6)


def test_six_state_optimum(worked) -> None:
    def loss(r: np.ndarray) -> float:
        states = loops.loop_states(triple(*r), IDEAL, linked=True)
        return -min(g.width for g in loops.gaps(states, IDEAL)) if len(states) == 6 else 0.0

    best = differential_evolution(loss, [(0.05, 0.3), (0.3, 1.0), (0.6, 1.6)], seed=1, tol=1e-10, maxiter=150)
    worked("triple end of line, six states: gap", 0.105826, -best.fun, 1e-5)


def test_worked_intervals(worked) -> None:
    loop = double(2200, 6800, 0.01, 100, 1)
    states = loops.loop_states(loop, PANEL, linked=True)
    worked(
        "2.2k and 6.8k, 1 %: bounds",
        [0, 0.02104, 0.30989, 0.33300, 0.63281, 0.66387, 0.95468, 1],
        [x for s in states for x in (s.low, s.high)],
        1e-5,
    )
    worked("2.2k and 6.8k, 1 %: gaps", [0.28885, 0.29982, 0.29081], widths(loop), 2e-5)
    worked("4.7k twice, 1 %: smallest gap", 0.13176, min(widths(double(4700, 4700, 0.01, 100, 1))), 2e-5)
    worked("2.2k twice, 1 %: smallest gap", 0.13490, min(widths(double(2200, 2200, 0.01, 100, 1))), 2e-5)
    worked("1k twice, 1 %: smallest gap", 0.09753, min(widths(double(1000, 1000, 0.01, 100, 1))), 2e-5)
    states = loops.loop_states(double(2200, 6800, 0.05, 100, 1), PANEL, linked=True)
    worked(
        "2.2k and 6.8k, 5 %: mid thresholds",
        [0.16118, 0.48263, 0.81354],
        [(a.high + b.low) / 2 for a, b in itertools.pairwise(states)],
        2e-5,
    )


def test_best_pair(worked) -> None:
    best = best_resistors("double", PANEL, series=24)
    worked("best E24 pair", [2200.0, 6800.0], best.ohm, 1e-6)
    worked("its smallest gap", 0.28885, best.gap, 2e-5)
    # The vectorised search and the ladder agree on the winner.
    assert min(widths(double(*best.ohm, 0.01, 100, 1))) == pytest.approx(best.gap, abs=1e-12)


def test_leakage_limit(worked) -> None:
    worked("least leakage for open above 0.8", 18_988, loops.minimum_leakage(PANEL, 0.8), 1)


def test_single(worked) -> None:
    at = LoopInput(5600.0)
    loop = [Station("panel"), Station("contact", contact="series", in_series=Resistor(5600.0), cable=100.0)]
    short, normal, opened = loops.loop_states(loop, at, linked=True)
    worked(
        "single end of line 5.6k: bounds",
        [0.48152, 0.50942, 0.94647, 0.01772],
        [normal.low, normal.high, opened.low, short.high],
        2e-5,
    )
    assert opened.kinds == {"alarm", "open"}


def test_codes(worked) -> None:
    levels = [loops.level(r, 4700.0) for r in (2200.0, 9000.0)]
    worked("nominal levels of 2.2k and 9.0k", [0.31884, 0.65693], levels, 1e-5)
    worked("10-bit codes", [326, 672], [math.floor(1024 * x) for x in levels], 0)


def test_e96_end(worked) -> None:
    worked("E96 value number 95", 9.76, preferred_values(96)[95], 1e-9)


def test_sampling(worked) -> None:
    worked("15 samples of 20 ms", [0.300, 0.280], loops.acceptance_times(15, 0.020), 1e-12)


def test_buses(worked) -> None:
    worked(
        "32 unit loads, bare and terminated",
        [375.0, 51.72],
        [buses.bus_resistance(32, terminators=0), buses.bus_resistance(32)],
        0.01,
    )
    idle = [buses.idle_voltage(5.0, r, pull_up=560, pull_down=560) for r in (60.0, buses.bus_resistance(32))]
    worked("idle bias", [0.2542, 0.2207], idle, 5e-4)
