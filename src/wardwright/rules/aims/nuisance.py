"""Will it cry wolf? Findings on where motion detectors hang, on pets, and on doors that work loose."""

from collections.abc import Iterable, Iterator

from wardwright.analyses.contact_field import ContactField
from wardwright.analyses.siting_records import SitingCheck
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import PRACTICE, UNSETTLED, outcome_of

PLAY_MM = 3.0
"""A shut timber leaf moves this much with wear and season. Assumption. [mm]"""
GOOD = {
    "window-in-view": "The motion detectors do not look at windows.",
    "sun-patch": "The sun does not disturb the motion detectors.",
    "sun-in-lens": "The sun never shines straight into a motion detector.",
    "heat-in-view": "The motion detectors look past stoves and radiators.",
    "outlet-in-view": "The motion detectors look past warm air.",
    "draught-at-detector": "The motion detectors hang away from heat and draughts.",
    "moving-in-view": "Nothing that moves by itself disturbs the motion detectors.",
    "hatch-in-view": "No hatch to a cold loft disturbs the motion detectors.",
    "warm-room": "The motion detectors still work on the hottest day noted.",
    "pet-in-view": "Your pets do not set off the alarm.",
    "pet-heavier": "The motion detectors are made for pets of this size.",
    "sees-through-wall": "The motion detectors notice nobody beyond your walls.",
    "lamp-near": "Lamps do not disturb the motion detectors.",
    "microwave-shared": "The motion detectors do not disturb one another.",
}
"""The client's sentence where a rule holds."""
BAD = {
    "pet-in-view": "One detector would notice your pet; it is moved or exchanged.",
    "pet-heavier": "One detector is exchanged for a kind made for pets of this size.",
    "warm-room": "One detector is exchanged for a kind that stands hot days.",
}
MOVED = "One motion detector is turned or moved so that everyday things do not disturb it."
TRIED = "Whether one motion detector is disturbed by everyday things is tried before handing over."
ROUTE = ("warm-room",)
REQUIRED = ("pet-in-view",)
"""A pet that sets it off makes the system one that is never set."""


def nuisance_findings(checks: Iterable[SitingCheck], contacts: Iterable[ContactField]) -> tuple[Finding, ...]:
    """Findings on false alarms from siting and workmanship.

    Parameters
    ----------
    checks : iterable of SitingCheck
        Of every fitted motion detector.
    contacts : iterable of ContactField
        Contacts, with their gaps.

    Returns
    -------
    tuple of Finding
        Under nuisance, except heat that blinds, which is under the ways through.
    """
    return (*(_siting(c) for c in checks), *_play(contacts))


def _siting(check: SitingCheck) -> Finding:
    if check.undecided:
        outcome = Outcome.NOT_DECIDED
    elif check.value is None:
        outcome = Outcome.MET
    else:
        assert check.operator  # a figure comes with the way it is held against its limit
        outcome = outcome_of(check.value, check.operator, check.limit, check.interval)
    plain = {Outcome.MET: GOOD[check.rule], Outcome.NOT_MET: BAD.get(check.rule, MOVED)}.get(outcome, TRIED)
    return Finding(
        f"nuisance.{check.rule}" if check.rule not in ROUTE else f"route.{check.rule}",
        Question.ROUTE if check.rule in ROUTE else Question.NUISANCE,
        outcome,
        Weight.REQUIRED if check.rule in REQUIRED else Weight.RECOMMENDED,
        (check.device_id, *check.about),
        f"{check.device_id}: {check.said}",
        plain,
        value=check.value,
        operator=check.operator,
        limit=check.limit,
        unit=check.unit,
        interval=check.interval,
        assumption=check.assumption,
        citation=check.citation,
        fix="" if outcome is Outcome.MET else check.fix,
    )


def _play(contacts: Iterable[ContactField]) -> Iterator[Finding]:
    for c in contacts:
        if c.gap_m is None or c.make_gap_m is None:
            continue
        left = 1000.0 * (c.make_gap_m - c.gap_m)
        low, high = (1000.0 * (c.make_gap_m * (1.0 + s * c.spread) - c.gap_m) for s in (-1.0, 1.0))
        outcome = outcome_of(left, ">=", PLAY_MM, (low, high))
        yield Finding(
            "nuisance.contact-play",
            Question.NUISANCE,
            outcome,
            Weight.RECOMMENDED,
            (c.device_id, c.opening_id),
            f"{c.device_id}: the shut leaf may move {left:.1f} mm before the contact opens.",
            {
                Outcome.MET: "A door that rattles or swells raises no alarm.",
                Outcome.NOT_MET: "One contact is set nearer its magnet, so that a rattling door raises no alarm.",
            }.get(outcome, UNSETTLED),
            value=left,
            operator=">=",
            limit=PLAY_MM,
            unit="mm",
            interval=(low, high),
            assumption="how much a shut leaf moves with wear and season",
            citation=PRACTICE,
            fix="" if outcome is Outcome.MET else "Bring magnet and contact nearer, take the play out of the leaf.",
        )
