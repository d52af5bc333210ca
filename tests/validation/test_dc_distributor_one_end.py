"""Course example: 500 V, 0.04 Ω/km of loop, 100 A at 2 km and 200 A at 4 km."""

from wardwright.physics.circuits import Branch, Load, operating_point


def test_voltages(check) -> None:
    branches = [Branch("AB", "A", "B", 0.08), Branch("BC", "B", "C", 0.08)]
    point = operating_point({"A": 500.0}, branches, {"B": Load(current=100.0), "C": Load(current=200.0)})
    check(
        source="DC-DISTRIBUTOR-ONE-END",
        status="seen",
        quantity="voltage at two loads",
        expected=[476.0, 460.0],
        actual=[point.voltage["B"], point.voltage["C"]],
        tolerance=0.01,
    )
