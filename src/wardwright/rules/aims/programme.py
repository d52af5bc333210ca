"""Does the panel's programme do what it must? One finding for each property, and what a programme should not hold."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from wardwright.analyses.panel_programme import AMERICAN, DETECTING, right_rows
from wardwright.analyses.programme_proof import ProgrammeProof
from wardwright.catalogue.kinds import Family
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.panel.events import Ask
from wardwright.panel.rights import without_anybody
from wardwright.panel.verify import Answer
from wardwright.panel.words import in_terms_of_cp_01
from wardwright.rules.aims.judging import PRACTICE

BRIEF = "the brief"
MONDAY = datetime(2024, 1, 1)  # any Monday: rights that last repeat by the week
QUESTIONS: dict[str, Question] = {
    "zone-answered": Question.ROUTE,
    "way-in-answered-inside": Question.ENTRY,
    "answers-again": Question.ATTACK,
    "alarm-audible": Question.SIGNAL,
    "silent-alarm-silent": Question.SIGNAL,
    "entry-by-final-door": Question.ENTRY,
    "off-route-alarms": Question.ROUTE,
    "coming-home": Question.LIVING,
    "leaving": Question.LIVING,
    "set-at-rest": Question.NUISANCE,
    "tamper-told": Question.ATTACK,
    "hold-up-told": Question.SIGNAL,
    "fire-told": Question.SIGNAL,
    "cross-zone-alarms": Question.ROUTE,
    "supply-harmless": Question.NUISANCE,
    "duress-told": Question.SIGNAL,
    "wrong-codes-locked": Question.ATTACK,
    "can-unset": Question.LIVING,
    "left-out-ends": Question.ATTACK,
    "isolation-shown": Question.LIVING,
    "quiet-by-day": Question.NUISANCE,
    "bell-rests-while-unset": Question.NUISANCE,
    "exit-disturbed": Question.NUISANCE,
    "entry-ends": Question.ROUTE,
    "exit-ends": Question.LIVING,
    "bell-stops": Question.NUISANCE,
    "inner-stops": Question.NUISANCE,
    "bell-count": Question.NUISANCE,
    "confirmed-by-two": Question.SIGNAL,
    "alarm-reported": Question.SIGNAL,
    "never-stuck": Question.ATTACK,
    "same-in-any-order": Question.LIVING,
}
RECOMMENDED = {"answers-again", "bell-count", "exit-disturbed", "bell-rests-while-unset"}
"""Good practice; the rest is required of any system that is to be relied on."""
PLAIN: dict[Question, str] = {
    Question.ENTRY: "Every way in is answered as it should be.",
    Question.ROUTE: "Whatever is meant to notice somebody is answered at once.",
    Question.ATTACK: "The system notices when somebody works on the system itself.",
    Question.SIGNAL: "An alarm is heard and told as agreed.",
    Question.NUISANCE: "Ordinary days raise no alarm, and no alarm goes on for ever.",
    Question.LIVING: "You can come, go and unset without setting anything off.",
    Question.POWER: "The supply does as it should.",
    Question.RULES: "The programme does as it should.",
}
SEES = "a motion detector sees all of its rated pattern"
OPEN = "One setting of the panel has still to be put right."
FIXES: dict[str, str] = {
    "zone-answered": "Give the zone a response that alarms, and watch it while set away.",
    "way-in-answered-inside": "Watch this way in while people are inside.",
    "answers-again": "Allow at least two alarms before the zone is shut down, or a second detector on the way.",
    "alarm-audible": "Give the sounders a time, and program silent only what must be.",
    "entry-by-final-door": "Give entry time to final doors only; mark the final exit, or change the response.",
    "coming-home": "Final door: entry/exit. Detectors on the way to the keypad: interior follower, in the same area.",
    "leaving": "Final door: entry/exit. Detectors on the way out: interior or interior follower.",
    "quiet-by-day": "Change the 24-hour response to perimeter or interior.",
    "bell-stops": "Shorten the sounder's time.",
    "inner-stops": "Shorten the sounder's time.",
    "hold-up-told": "Give it the hold-up response, and a reporting path.",
    "fire-told": "Give it the fire response.",
    "cross-zone-alarms": "Pair zones that are watched together, each with the other.",
    "alarm-reported": "Add a reporting path.",
}


def _tongue(scheme: ProtectionScheme, finding: Finding) -> Finding:
    """The firm's sentence in the terms of the profile's standard."""
    if scheme.brief.profile not in AMERICAN:
        return finding
    return replace(finding, explanation=in_terms_of_cp_01(finding.explanation), fix=in_terms_of_cp_01(finding.fix))


def programme_findings(scheme: ProtectionScheme, proof: ProgrammeProof) -> tuple[Finding, ...]:
    """Findings on the panel's programme.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    proof : ProgrammeProof
        What the programme does.

    Returns
    -------
    tuple of Finding
        One for each property, and those on areas, doors and rights.
    """
    if proof.undecided:
        said = f"{proof.undecided[0].upper()}{proof.undecided[1:]}."
        return (_finding("panel.programme", Question.LIVING, Outcome.NOT_MET, Weight.REQUIRED, (), said, OPEN, BRIEF),)
    found = (
        *(_answer(scheme, proof, answer) for answer in proof.answers),
        *_shared_zones(scheme),
        *_two_keypads(scheme),
        *_unsettable(scheme),
        *_outputs(scheme),
        *_heard_by_nobody(scheme),
    )
    return tuple(_tongue(scheme, finding) for finding in found)


def _finding(
    rule: str,
    question: Question,
    outcome: Outcome,
    weight: Weight,
    about: tuple[str, ...],
    said: str,
    plain: str,
    citation: str,
    fix: str = "",
    assumption: str = "",
) -> Finding:
    return Finding(
        rule, question, outcome, weight, about, said, plain, citation=citation, fix=fix, assumption=assumption
    )


def _answer(scheme: ProtectionScheme, proof: ProgrammeProof, answer: Answer) -> Finding:
    own = answer.key.startswith("own-")
    question = QUESTIONS.get(answer.key, Question.LIVING)
    if answer.key in ("alarm-reported", "hold-up-told") and not proof.programme.paths and not scheme.brief.monitored:
        said = "Nobody is to be told: the brief asks for a system that is heard on the spot only."
        return _finding(f"panel.{answer.key}", question, Outcome.DOES_NOT_APPLY, Weight.REQUIRED, (), said, said, BRIEF)
    outcome = {True: Outcome.MET, False: Outcome.NOT_MET, None: Outcome.NOT_DECIDED}[answer.proved]
    about: tuple[str, ...] = ()
    if answer.zone is not None:
        about = (proof.names.zone_ids[answer.zone],)
    elif answer.area >= 0 and not answer.proved:
        about = (proof.names.area_ids[answer.area],)
    seen_only = _only_seen(scheme, proof, answer)
    covered = f"Over: {answer.over}. Not counted: {answer.exclusions}. Reduced by: {'; '.join(answer.reductions)}."
    bounded = f" Bounded: {answer.bound}." if answer.bound else ""
    size = f" {answer.states} states, {answer.transitions} steps."
    if answer.proved:
        said = f"{answer.claim} Proved.{bounded} {covered}{size}"
    else:
        told = f"\n{answer.story}" if answer.story else ""
        said = f"{answer.words[:1].upper()}{answer.words[1:]}.{told}\n{answer.claim} {covered}{bounded}"
    return _finding(
        f"panel.{answer.key}",
        question,
        outcome,
        Weight.RECOMMENDED if answer.key in RECOMMENDED or seen_only else Weight.REQUIRED,
        about,
        said,
        PLAIN[question] if answer.proved else OPEN,
        BRIEF if own else PRACTICE,
        "" if answer.proved else FIXES.get(answer.key, "Change the programme so that the story cannot happen."),
        SEES if seen_only else "the control equipment does as it is programmed",
    )


def _only_seen(scheme: ProtectionScheme, proof: ProgrammeProof, answer: Answer) -> bool:
    """Somebody coming or going is only taken to be seen, by the rated pattern of a motion detector."""
    if answer.key not in ("coming-home", "leaving") or answer.zone is None:
        return False
    zone = proof.names.zone_ids[answer.zone]
    behind = [d for d, zones in scheme.zones_of_device.items() if any(z.id == zone for z in zones)]
    return all(scheme.kind_of(scheme.design.device(d)).family in (Family.MOTION, Family.DUAL) for d in behind)


def _shared_zones(scheme: ProtectionScheme) -> Iterator[Finding]:
    """A zone in two areas is watched only while both are set: fine for a lobby, a hole anywhere else."""
    shared = [z for z in scheme.design.programme.zones if len(set(z.area_ids)) > 1]
    for zone in shared:
        said = (
            f"Zone {zone.number}, {zone.name}, is in {len(set(zone.area_ids))} areas: watched only while all are set."
        )
        yield _finding(
            "panel.zone-in-two-areas",
            Question.ROUTE,
            Outcome.NOT_MET,
            Weight.RECOMMENDED,
            (zone.id,),
            said,
            OPEN,
            PRACTICE,
            "Put it in one area, or make sure that it is a way common to both.",
        )


def _two_keypads(scheme: ProtectionScheme) -> Iterator[Finding]:
    """Two final doors whose ways end at different keypads double what has to be learnt, and what can go wrong."""
    doors = [o for o in scheme.premises.openings if o.final_exit]
    keypads = scheme.design.programme.entry_path_keypad_ids
    if len(doors) < 2 or len(set(keypads)) < 2:
        return
    yield _finding(
        "panel.final-exits-on-two-keypads",
        Question.LIVING,
        Outcome.NOT_MET,
        Weight.RECOMMENDED,
        tuple(o.id for o in doors),
        f"{', '.join(o.name or o.id for o in doors)} are final exits, with {len(set(keypads))} keypads on the ways in.",
        OPEN,
        PRACTICE,
        "Agree on one final exit, or show each user which keypad belongs to which door.",
    )


def _unsettable(scheme: ProtectionScheme) -> Iterator[Finding]:
    """Somebody may set and somebody may unset every area, at every hour of the week."""
    programme = scheme.design.programme
    rows = right_rows(scheme)
    fix = "Give somebody the right, at all hours and without an end."
    for index, area in enumerate(programme.areas):
        if not rows:
            said, plain = "No rights are given yet.", "Who may set and unset is settled with you."
            outcome, weight = Outcome.NOT_DECIDED, Weight.RECOMMENDED
        else:
            lasting = [r for r in rows if r.expires is None]
            asked = (("set", Ask.SET_AWAY), ("unset", Ask.UNSET))
            gaps = {word: without_anybody(lasting, ask, index, MONDAY) for word, ask in asked}
            missing = [f"{word} it on a {when:%A} at {when:%H:%M}" for word, when in gaps.items() if when]
            said = f"“{area.name}”: nobody may {' or '.join(missing)}." if missing else f"“{area.name}”: at all hours."
            plain = OPEN if missing else "Somebody can always set and unset it."
            outcome, weight = (Outcome.NOT_MET if missing else Outcome.MET), Weight.REQUIRED
        yield _finding(
            "panel.somebody-may-unset", Question.LIVING, outcome, weight, (area.id,), said, plain, BRIEF,
            "" if outcome is Outcome.MET else fix,
        )  # fmt: skip


def _outputs(scheme: ProtectionScheme) -> Iterator[Finding]:
    """Something must sound for an intruder, or somebody must be told."""
    programme = scheme.design.programme
    fitted = {d.id for d in scheme.fitted}
    sounding = [o.device_id for o in programme.outputs if "intruder" in o.on and o.device_id in fitted]
    met = bool(sounding or programme.paths)
    yield _finding(
        "panel.alarm-has-an-output",
        Question.SIGNAL,
        Outcome.MET if met else Outcome.NOT_MET,
        Weight.REQUIRED,
        tuple(sounding),
        f"{', '.join(sounding) or 'No sounder'} sounds for an intruder; {len(programme.paths)} reporting paths.",
        "An alarm is heard or told." if met else OPEN,
        "EN50131-1-2006 cl. 5",
        "" if met else "Give a sounder the intruder output, or add a reporting path.",
    )


def _heard_by_nobody(scheme: ProtectionScheme) -> Iterator[Finding]:
    """A detector on no zone notices for nobody."""
    listened = (*DETECTING, Family.HOLD_UP, Family.SMOKE)
    for device in scheme.of_family(*listened):
        if not scheme.zones_of_device.get(device.id):
            yield _finding(
                "panel.detector-on-no-zone",
                Question.ROUTE,
                Outcome.NOT_MET,
                Weight.REQUIRED,
                (device.id,),
                f"{device.name or device.id} reports by no zone.",
                OPEN,
                PRACTICE,
                "Give it a zone, or put it on a loop that has one.",
            )
