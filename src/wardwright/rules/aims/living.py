"""Can people live with it? Findings on the walk to the keypad, the timers, keypad height, and sleeping with it set."""

from collections.abc import Iterator

from wardwright.analyses.night_ways import night_ways
from wardwright.analyses.timing import ExitWalk, TimingAnalysis, must_wait
from wardwright.catalogue.kinds import Family
from wardwright.design.brief import Profile
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import PRACTICE, bounded

BRIEF = "the brief"
US = (Profile.US_HOME, Profile.US_BUSINESS)
KEYPAD_M = (1.2, 1.5)
"""Middle of a keypad above the floor. [m] Common practice, no source."""


def living_findings(scheme: ProtectionScheme, analysis: TimingAnalysis) -> tuple[Finding, ...]:
    """Findings on living with the system. The rules' own limits on timers and heights are judged by their clauses.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    analysis : TimingAnalysis
        The walk from each final exit.

    Returns
    -------
    tuple of Finding
        All of them under the question of living.
    """
    return (
        *_reachable(analysis),
        *(f for walk in analysis.walks if not walk.undecided for f in _walk(scheme, walk)),
        *_heights(scheme),
        *_sleepers(scheme),
    )


def _reachable(analysis: TimingAnalysis) -> Iterator[Finding]:
    if analysis.undecided:
        yield _keypad(Outcome.NOT_DECIDED, (), f"{analysis.undecided[0].upper()}{analysis.undecided[1:]}.")
    for walk in analysis.walks:
        if walk.undecided:
            said = f"{walk.undecided[0].upper()}{walk.undecided[1:]}."
            missing = "no keypad and no" in walk.undecided
            yield _keypad(Outcome.NOT_MET if missing else Outcome.NOT_DECIDED, (walk.opening_id,), said)
        else:
            said = f"{walk.keypad_id} is {walk.length_m:.1f} m on foot from this final exit."
            yield _keypad(Outcome.MET, (walk.opening_id, walk.keypad_id or ""), said, walk.length_m)


def _keypad(outcome: Outcome, about: tuple[str, ...], said: str, length: float | None = None) -> Finding:
    plain = {
        Outcome.MET: "There is a keypad near this door.",
        Outcome.NOT_MET: "A keypad has still to be placed.",
        Outcome.NOT_DECIDED: "Which door you leave and come home by has still to be settled.",
    }
    fix = (
        "" if outcome is Outcome.MET else "Mark the final exit, draw the floor to it, and place a keypad on the way in."
    )
    return Finding(
        "living.keypad-reachable",
        Question.LIVING,
        outcome,
        Weight.REQUIRED,
        about,
        said,
        plain[outcome],
        value=length,
        unit="m" if length is not None else "",
        citation=BRIEF,
        fix=fix,
    )


def _walk(scheme: ProtectionScheme, walk: ExitWalk) -> Iterator[Finding]:
    assert walk.walk_s is not None  # only walks that were decided come here
    assert walk.interval_s is not None
    about = (walk.opening_id, walk.keypad_id or "")
    for name, besides, timer in (
        ("entry", walk.handling_in_s, walk.entry_s),
        ("exit", walk.handling_out_s, walk.exit_s),
    ):
        low, high = (t + besides for t in walk.interval_s)
        yield bounded(
            f"living.{name}-time",
            Question.LIVING,
            Weight.REQUIRED,
            about,
            f"{walk.length_m:.1f} m at {walk.pace_m_s:g} m/s and {besides:g} s besides take "
            f"{walk.walk_s + besides:.0f} s; the {name} time is {timer:g} s.",
            value=walk.walk_s + besides,
            operator="<=",
            limit=timer,
            unit="s",
            interval=(low, high),
            assumption=walk.assumption,
            good="There is time enough, even for the slowest of you, to reach the keypad."
            if name == "entry"
            else "There is time enough, even for the slowest of you, to leave.",
            bad="The slowest of you needs more time; we lengthen it or add a keypad.",
            unsettled="Whether the slowest of you has time enough is tried at handing over.",
            citation=BRIEF,
            fix=f"Lengthen the {name} time as far as the rules allow, or place a keypad nearer to this door.",
        )
    hasty = must_wait(scheme, walk)
    instant = [key for key in hasty if scheme.kind_of(scheme.design.device(key)).family is Family.CONTACT]
    yield Finding(
        "living.walk-waits",
        Question.LIVING,
        Outcome.NOT_MET if hasty else Outcome.MET,
        Weight.REQUIRED if instant else Weight.RECOMMENDED,
        (walk.opening_id, *hasty),
        f"The way from this door to {walk.keypad_id} passes {', '.join(hasty)}, which answers at once."
        if hasty
        else f"All detectors on the way from this door to {walk.keypad_id} wait for the entry time.",
        "Coming home would set off one detector before you reach the keypad; its setting is changed."
        if hasty
        else "You can walk to the keypad without setting anything off.",
        assumption="a motion detector sees all of its rated pattern",
        citation="US-731-09, NFPA731-2015 clause 5.1.6.1" if scheme.brief.profile in US else PRACTICE,
        fix="Make it an interior follower, or turn it away from the way in." if hasty else "",
    )


def _heights(scheme: ProtectionScheme) -> Iterator[Finding]:
    for device in scheme.of_family(Family.KEYPAD, Family.ALL_IN_ONE):
        low, high = KEYPAD_M
        away = max(low - device.height_m, device.height_m - high)
        yield bounded(
            "living.keypad-height",
            Question.LIVING,
            Weight.RECOMMENDED,
            (device.id,),
            f"{device.id} is {device.height_m:.2f} m above the floor; {low:g} to {high:g} m suit most people.",
            value=max(0.0, away),
            operator="<=",
            limit=0.0,
            unit="m beyond the band",
            good="The keypad is at a comfortable height.",
            bad="The keypad is moved to a more comfortable height.",
            citation=PRACTICE,
            fix=f"Mount it between {low:g} and {high:g} m.",
        )


def _sleepers(scheme: ProtectionScheme) -> Iterator[Finding]:
    """Nobody who sleeps in sets off what watches the house around them."""
    if not scheme.brief.asleep_upstairs:
        return
    ways = night_ways(scheme.premises)
    if ways is None:
        return
    caught = [
        device.id
        for device in scheme.of_family(Family.MOTION, Family.DUAL)
        if any(z.set_with_people_inside for z in scheme.zones_of_device.get(device.id, ()))
        and ways.disturb(scheme, device)
    ]
    yield Finding(
        "living.sleep-with-it-set",
        Question.LIVING,
        Outcome.NOT_MET if caught else Outcome.MET,
        Weight.REQUIRED,
        tuple(caught),
        f"{', '.join(caught)} looks where people sleep or walk at night and is watched with people inside."
        if caught
        else "No motion detector that is watched with people inside looks where people sleep or walk at night.",
        "Walking at night would set off the alarm; one setting is changed."
        if caught
        else "You can sleep, and get up at night, with the system set.",
        citation=BRIEF,
        fix="Leave its zone out when set with people inside." if caught else "",
    )
