"""Can the cables be laid? Findings on runs for which no way is left, and on the whole."""

from collections.abc import Iterator

from wardwright.analyses.cables import CablePlan
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import PRACTICE


def cable_findings(plan: CablePlan) -> tuple[Finding, ...]:
    """Findings on the ways of cables.

    Parameters
    ----------
    plan : CablePlan
        Every run of new cable.

    Returns
    -------
    tuple of Finding
        Under power: one for each run that cannot be made, one for those that can, one for each run too long for any
        standard section.
    """
    return (*_blocked(plan), *_whole(plan), *_thin(plan))


def _blocked(plan: CablePlan) -> Iterator[Finding]:
    for item in plan.runs:
        if not item.blocked:
            continue
        yield Finding(
            "power.cable-way",
            Question.POWER,
            Outcome.NOT_MET,
            Weight.REQUIRED,
            (item.run.from_id, item.run.to_id),
            f"No way is left for a cable from {item.run.from_id} to {item.run.to_id}: what lies between may not be "
            "drilled.",
            "One device gets a radio link, because no cable can be laid to it without damage.",
            citation="what the survey says may not be drilled",
            fix="A radio kind; or a chase that was not drawn; or leave to drill where it was withheld.",
        )


def _whole(plan: CablePlan) -> Iterator[Finding]:
    routed = [r for r in plan.runs if r.run.length.way is not None]
    if routed:
        metres = sum(r.run.length.metres for r in routed)
        yield Finding(
            "power.cable-way",
            Question.POWER,
            Outcome.MET,
            Weight.REQUIRED,
            (),
            f"{len(routed)} runs are routed along ceilings and chases: {metres:.0f} m with slack, {len(plan.holes)} "
            f"holes, about {plan.minutes / 60.0:.0f} h to lay. Kept 50 mm from mains, crossed at right angles.",
            "There is a way for every cable that was routed.",
            citation=PRACTICE,
            assumption="minutes a metre and a hole; heights of ceilings; that walls not spoken of may be drilled",
        )
    if plan.undrawn_storeys:
        yield Finding(
            "power.cable-way",
            Question.POWER,
            Outcome.NOT_DECIDED,
            Weight.RECOMMENDED,
            plan.undrawn_storeys,
            "Storeys without rooms have no walls to run a cable along; lengths there are an allowance.",
            "The ways of some cables are settled on site.",
            citation="the drawing itself",
            fix="Draw the rooms of these storeys.",
        )


def _thin(plan: CablePlan) -> Iterator[Finding]:
    for item in plan.runs:
        if item.current_a > 0.0 and item.area_m2 is None:
            yield Finding(
                "power.cable-section",
                Question.POWER,
                Outcome.NOT_MET,
                Weight.RECOMMENDED,
                (item.run.from_id, item.run.to_id),
                f"{item.run.length.metres:.0f} m with {1000 * item.current_a:.0f} mA want more than any standard "
                "section.",
                "One device is fed from a supply nearer to it.",
                citation=PRACTICE,
                fix="Feed it from a nearer supply, or split the load.",
            )
