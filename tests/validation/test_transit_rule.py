"""The closing of rooms against a published traverse.

Source: lecture note on the transit rule, an illustrative problem of six courses: latitudes, departures, both closing
errors and the first latitude corrections as printed. The tolerance is half of the last digit printed, and for the
corrections what rounding the factor to 0.00579 (from 0.005785) makes of them.
"""

from wardwright.intake.tape_rooms import close_by_transit_rule

LATITUDES = (493.57, 590.53, -325.53, -996.99, -121.96, 377.19)
DEPARTURES = (47.53, 612.23, 791.09, 219.51, -1110.58, -541.70)


def test_closing_errors_and_corrections(check) -> None:
    closed, gap = close_by_transit_rule(list(zip(DEPARTURES, LATITUDES, strict=True)))
    check(
        source="TRANSIT-RULE-2022",
        status="seen",
        quantity="closing errors in departure and latitude",
        expected=(18.08, 16.81),
        actual=gap,
        tolerance=0.005,
    )
    check(
        source="TRANSIT-RULE-2022",
        status="seen",
        quantity="latitude correction of the first course",
        expected=2.86,
        actual=LATITUDES[0] - closed[0][1],
        tolerance=0.006,
    )


def test_corrections_by_hand(check) -> None:
    closed, _ = close_by_transit_rule(list(zip(DEPARTURES, LATITUDES, strict=True)))
    total = 493.57 + 590.53 + 325.53 + 996.99 + 121.96 + 377.19
    check(
        source="transit rule by hand",
        status="computed",
        quantity="latitude corrections",
        expected=[16.81 * abs(latitude) / total for latitude in LATITUDES],
        actual=[latitude - leg[1] for latitude, leg in zip(LATITUDES, closed, strict=True)],
        tolerance=1e-9,
    )
