"""Textbook example 2.18.1: five feeders of different voltage and resistance to one node without load."""

from wardwright.physics.circuits import Branch, operating_point

FEEDERS = [(225.0, 5.0), (210.0, 1.0), (230.0, 1.0), (230.0, 2.0), (240.0, 2.0)]


def test_node(check) -> None:
    sources = {f"S{k}": volt for k, (volt, _) in enumerate(FEEDERS)}
    branches = [Branch(f"F{k}", f"S{k}", "N", ohm) for k, (_, ohm) in enumerate(FEEDERS)]
    point = operating_point(sources, branches, {})
    check(
        source="POWER-SYSTEMS-2.18.1",
        status="seen",
        quantity="voltage of the node",
        expected=225.0,
        actual=point.voltage["N"],
        tolerance=1e-6,
    )
    check(
        source="POWER-SYSTEMS-2.18.1",
        status="seen",
        quantity="currents of the feeders",
        expected=[0.0, -15.0, 5.0, 2.5, 7.5],
        actual=[point.branch_current[f"F{k}"] for k in range(5)],
        tolerance=1e-6,
    )
