"""Can people live with it? Findings on the walk to the keypad, the timers, keypad height, and sleeping with it set."""

from collections.abc import Iterator

from wardwright.analyses.timing import ExitWalk, TimingAnalysis, must_wait
from wardwright.catalogue.kinds import Family
from wardwright.design.brief import Profile
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.premises.fabric import RoomUse
from wardwright.premises.plan import storey_plans
from wardwright.rules.aims.judging import PRACTICE, bounded

BRIEF = "the brief"
EUROPE = (
    Profile.EU_GRADE_1,
    Profile.EU_GRADE_2,
    Profile.EU_GRADE_3,
    Profile.EU_GRADE_4,
    Profile.UK_CONFIRMED,
)
US = (Profile.US_HOME, Profile.US_BUSINESS)
KEYPAD_M = (1.2, 1.5)
"""Middle of a keypad above the floor. [m] Common practice, no source."""

ACCESSIBLE = {
    Profile.US_BUSINESS: (1.22, "MNT-09", "ADA-2010 clauses 308.2.1 and 308.3.1", Weight.RECOMMENDED),
    Profile.UK_CONFIRMED: (1.20, "MNT-10", "Building Regulations part M, from memory", Weight.REMEMBERED),
}
"""Highest reach for a control by profile, with its row, source and weight. [m]"""


def living_findings(scheme: ProtectionScheme, analysis: TimingAnalysis) -> tuple[Finding, ...]:
    """Findings on living with the system.

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
        *_timer_limits(scheme),
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
    if scheme.brief.profile in US:
        yield bounded(
            "US-731-07",
            Question.LIVING,
            Weight.RECOMMENDED,
            about,
            f"The walk from this door to {walk.keypad_id} takes {walk.walk_s:.0f} s.",
            value=walk.walk_s,
            operator="<=",
            limit=15.0,
            unit="s",
            interval=walk.interval_s,
            assumption=walk.assumption,
            good="The keypad is close to the door.",
            bad="A keypad nearer to the door would be better.",
            citation="NFPA731-2015 clause 5.1.6.2",
            fix="Place a keypad nearer to this door.",
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


def _timer_limits(scheme: ProtectionScheme) -> Iterator[Finding]:
    """The longest entry and the exit time of any area, against the profile's limits."""
    programme, profile = scheme.design.programme, scheme.brief.profile
    entries = {a.id: programme.timers.entry_s if a.entry_s is None else a.entry_s for a in programme.areas}
    exits = {a.id: programme.timers.exit_s if a.exit_s is None else a.exit_s for a in programme.areas}
    entries, exits = entries or {"": programme.timers.entry_s}, exits or {"": programme.timers.exit_s}
    slow = max(entries, key=lambda key: (entries[key], key))
    rows: list[tuple[str, str, str, float, str, float, str, Weight]] = []
    if profile in EUROPE:
        cited = "CLCTS50131-7-2010, quoting EN 50131-1:2006 clause 8.3.8.2"
        rows.append(("EU-ENT-01", "entry", slow, entries[slow], "<=", 45.0, cited, Weight.REQUIRED))
    elif profile is Profile.US_HOME:
        cited = "UL1023, from memory"
        rows.append(("US-UNT-08", "entry", slow, entries[slow], "<=", 45.0, cited, Weight.REMEMBERED))
    else:
        cited = "NFPA731-2015 clause 5.1.6.3"
        rows.append(("US-731-08", "entry", slow, entries[slow], "<=", 240.0, cited, Weight.RECOMMENDED))
    if profile in US:
        quick = min(exits, key=lambda key: (exits[key], key))
        late = max(exits, key=lambda key: (exits[key], key))
        cited = "CP-01 clause 4.2.2.1, from memory"
        rows.append(("US-CP-01", "exit", quick, exits[quick], ">=", 45.0, cited, Weight.REMEMBERED))
        rows.append(("US-CP-01-longest", "exit", late, exits[late], "<=", 255.0, cited, Weight.REMEMBERED))
        hasty = min(entries, key=lambda key: (entries[key], key))
        cited = "CP-01 clause 4.2.3.1, from memory"
        rows.append(("US-CP-07", "entry", hasty, entries[hasty], ">=", 30.0, cited, Weight.REMEMBERED))
    for rule, name, area, value, operator, limit, cited, weight in rows:
        word = "at most" if operator == "<=" else "at least"
        yield bounded(
            rule,
            Question.LIVING,
            weight,
            (area,) if area else (),
            f"The {name} time is {value:g} s; {word} {limit:g} s are asked for.",
            value=value,
            operator="<=" if operator == "<=" else ">=",
            limit=limit,
            unit="s",
            good=f"The {name} time is within what the rules allow.",
            bad=f"The {name} time is changed to what the rules allow.",
            citation=cited,
            fix=f"Set the {name} time to {limit:g} s, or move the keypad.",
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
        row = ACCESSIBLE.get(scheme.brief.profile)
        if row is None:
            continue
        limit, rule, cited, weight = row
        yield bounded(
            rule,
            Question.LIVING,
            weight,
            (device.id,),
            f"{device.id} is {device.height_m:.2f} m above the floor; a person in a wheelchair reaches up to "
            f"{limit:.2f} m.",
            value=device.height_m,
            operator="<=",
            limit=limit,
            unit="m",
            good="The keypad can be reached from a wheelchair.",
            bad="The keypad cannot be reached from a wheelchair; tell us if that matters.",
            citation=cited,
            fix=f"Mount it no higher than {limit:.2f} m.",
            digits=3,
        )


def _sleepers(scheme: ProtectionScheme) -> Iterator[Finding]:
    """Nobody who sleeps in sets off what watches the house around them."""
    if not scheme.brief.asleep_upstairs:
        return
    premises = scheme.premises
    beds = {b.room_id for b in premises.beds} | {r.id for r in premises.rooms if r.use is RoomUse.BEDROOM}
    floors = {r.storey_id for r in premises.rooms if r.id in beds}
    at_night = (RoomUse.LANDING, RoomUse.BATHROOM)
    paths = {r.id for r in premises.rooms if r.storey_id in floors and r.use in at_night}
    plans = storey_plans(premises)
    caught: list[str] = []
    for device in scheme.of_family(Family.MOTION, Family.DUAL):
        room_id = device.room_id
        if room_id is None and device.storey_id in plans:
            room = plans[device.storey_id].room_at(device.position)
            room_id = room.id if room else None
        watched = any(z.set_with_people_inside for z in scheme.zones_of_device.get(device.id, ()))
        if watched and room_id in beds | paths:
            caught.append(device.id)
    if not beds:
        return
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
