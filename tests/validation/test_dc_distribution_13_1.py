"""Textbook example 13.1: a 300 V distributor fed at one end."""

from wardwright.physics.circuits import Branch, Load, operating_point


def test_voltages(check) -> None:
    per_metre = 0.02 / 1000  # loop
    runs = [("A", "C", 500), ("C", "D", 500), ("D", "E", 600), ("E", "B", 400)]
    branches = [Branch(a + b, a, b, m * per_metre) for a, b, m in runs]
    amperes = {"C": 100.0, "D": 150.0, "E": 200.0, "B": 50.0}
    point = operating_point({"A": 300.0}, branches, {n: Load(current=i) for n, i in amperes.items()})
    check(
        source="DC-DISTRIBUTION-13.1",
        status="seen",
        quantity="voltage along a distributor fed at one end",
        expected=[295.0, 291.0, 288.0, 287.6],
        actual=[point.voltage[n] for n in "CDEB"],
        tolerance=0.01,
    )
