"""Beams and shock detectors against worked values and a published rule."""

from wardwright.physics.photo_beam import block_time, excess_gain, fog_loss
from wardwright.physics.shock import detectors_for_pane

WORKED = "beams, worked apart"


def test_beams(check) -> None:
    for quantity, expected, actual, tolerance in (
        ("time a body breaks a beam", (0.3, 0.1, 0.05), [block_time(0.3, v) for v in (1, 3, 6)], 1e-9),
        ("loss of fog", (303, 71, 12), [fog_loss(v) for v in (50, 200, 1000)], 0.6),
        ("gain at half the rated length", 40.0, excess_gain(10, 60, 30), 1e-9),
    ):
        check(
            source=WORKED, status="computed", quantity=quantity, expected=expected, actual=actual, tolerance=tolerance
        )


def test_a_shock_detector_for_each_six_feet_of_glass(check) -> None:
    six = 6 * 0.3048
    got = [detectors_for_pane(*pane) for pane in ((six, six), (six + 0.1, six), (2 * six, 2 * six))]
    check(source="NAVFAC-DM13", status="seen", quantity="shock detectors on a pane", expected=(1, 2, 4), actual=got,
          tolerance=0)  # fmt: skip
