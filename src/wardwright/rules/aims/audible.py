"""Is the alarm heard? Findings at the pillows, in the rooms, in the street and next door."""

from collections.abc import Iterator

from wardwright.analyses.audibility import Audibility, SoundAt
from wardwright.design.brief import Profile
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.premises.fabric import RoomUse
from wardwright.rules.aims.judging import PRACTICE, bounded
from wardwright.rules.aims.readings import readings

US = (Profile.US_HOME, Profile.US_BUSINESS)
WAKING_DB = 75.0
"""At the pillow, doors shut: what fire rules ask of a waking signal. A design target for intruders. [dB]"""
ROOM_DB = 65.0
"""In a room: general level of BS 5839-1. [dB]"""
STREET_DB = 55.0
"""In the street: 15 dB over a quiet one of 40 dB(A), from memory. [dB]"""
LOUDEST_DB = 110.0
"""Nobody should have to stand more. NFPA 72 clause 18.4.1.2. [dB]"""


def audible_findings(scheme: ProtectionScheme, analysis: Audibility) -> tuple[Finding, ...]:
    """Findings on hearing the alarm.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    analysis : Audibility
        Levels at every place.

    Returns
    -------
    tuple of Finding
        Recommended: fire rules bind an intruder alarm only where it serves a fire alarm too.
    """
    if not analysis.sounder_ids:
        return ()
    return (
        *_pillows(scheme, analysis),
        *_rooms(analysis),
        *_loudest(analysis),
        *_street(analysis),
        *_next_door(scheme, analysis),
        *readings(analysis.compared, Question.LIVING),
    )


def _pillows(scheme: ProtectionScheme, analysis: Audibility) -> Iterator[Finding]:
    bedrooms = {r.id for r in scheme.premises.rooms if r.use is RoomUse.BEDROOM}
    bedded = {b.room_id for b in scheme.premises.beds}
    places = (*analysis.of("bed"), *(p for p in analysis.of("room") if p.id in bedrooms - bedded))
    asked = scheme.brief.pillow_level_db
    limit = asked or WAKING_DB
    rules = "NFPA72-2019 clause 18.4.6.1" if scheme.brief.profile in US else "BS5839-1-GUIDE"
    for place in places:
        ajar = f"; {place.open_db:.0f} dB(A) with every inner door open" if place.open_db is not None else ""
        how = "measured" if place.measured else f"bedroom doors shut, mostly from {place.loudest_id}{ajar}"
        yield bounded(
            "living.alarm-wakes",
            Question.LIVING,
            Weight.RECOMMENDED,
            (place.id,),
            f"{place.name}: {place.level_db:.0f} dB(A), {how}.",
            value=place.level_db,
            operator=">=",
            limit=limit,
            unit="dB(A)",
            interval=place.interval_db,
            assumption=place.assumption,
            good="The alarm is loud enough to wake the people who sleep in.",
            bad="One bedroom gets a sounder nearer to it.",
            unsettled="The loudness of the alarm is tried at the beds.",
            citation="the brief" if asked else f"{rules}, a design target here",
            fix="An inner sounder on the landing or in the bedroom; measure at the pillow with doors shut.",
        )


def _rooms(analysis: Audibility) -> Iterator[Finding]:
    rooms = analysis.of("room")
    if not rooms:
        return
    worst = min(rooms, key=lambda p: p.level_db)
    yield bounded(
        "living.alarm-heard",
        Question.LIVING,
        Weight.RECOMMENDED,
        (worst.id,),
        f"The alarm is faintest in “{worst.name}”: {worst.level_db:.0f} dB(A), of {len(rooms)} rooms.",
        value=worst.level_db,
        operator=">=",
        limit=ROOM_DB,
        unit="dB(A)",
        interval=worst.interval_db,
        assumption=worst.assumption,
        good="The alarm is heard in every room.",
        bad="A second sounder would make the alarm heard in every room.",
        citation="BS5839-1-GUIDE, a design target here",
        fix="A second inner sounder.",
    )


def _loudest(analysis: Audibility) -> Iterator[Finding]:
    beds = analysis.of("bed")
    if not beds:
        return
    worst = max(beds, key=lambda p: p.level_db)
    yield bounded(
        "living.alarm-not-too-loud",
        Question.LIVING,
        Weight.RECOMMENDED,
        (worst.id,),
        f"The alarm is loudest at {worst.name}: {worst.level_db:.0f} dB(A).",
        value=worst.level_db,
        operator="<=",
        limit=LOUDEST_DB,
        unit="dB(A)",
        interval=worst.interval_db,
        assumption=worst.assumption,
        good="Nowhere does the alarm hurt the ears of people in bed.",
        bad="One sounder is moved away from a bed.",
        citation="NFPA72-2019 clause 18.4.1.2, a design target here",
        fix="Move the sounder away from the bed.",
    )


def _street(analysis: Audibility) -> Iterator[Finding]:
    for place in analysis.of("street"):
        yield bounded(
            "signal.alarm-in-street",
            Question.SIGNAL,
            Weight.RECOMMENDED,
            (place.id,),
            f"{place.name}: {place.level_db:.0f} dB(A) in the open.",
            value=place.level_db,
            operator=">=",
            limit=STREET_DB,
            unit="dB(A)",
            interval=place.interval_db,
            assumption=place.assumption,
            good="The outside sounder is heard in the street.",
            bad="The outside sounder is too faint to be noticed.",
            citation="from memory: 15 dB over a quiet street",
            fix="A louder kind, or a place towards the street.",
        )


def _next_door(scheme: ProtectionScheme, analysis: Audibility) -> Iterator[Finding]:
    places = analysis.of("next door")
    if not places:
        return
    worst: SoundAt = max(places, key=lambda p: p.level_db)
    limit, bell = scheme.premises.surroundings.sounder_limit_s, scheme.design.programme.timers.bell_s
    low, high = worst.interval_db
    outcome = Outcome.NOT_DECIDED if limit is None else Outcome.MET if bell <= limit else Outcome.NOT_MET
    known = "is not entered in the job" if limit is None else f"allows {limit:.0f} s"
    yield Finding(
        "nuisance.next-door",
        Question.NUISANCE,
        outcome,
        Weight.RECOMMENDED,
        (worst.id,),
        f"Next door {worst.name}: about {worst.level_db:.0f} dB(A) ({low:.0f} to {high:.0f}) for {bell:.0f} s; local "
        f"law {known}.",
        "The neighbours hear the alarm no longer than local rules allow."
        if outcome is Outcome.MET
        else "How long the alarm may sound beside the neighbours is settled with the local rules.",
        value=bell,
        operator="<=",
        limit=limit,
        unit="s",
        assumption=worst.assumption if limit is not None else "the local limit",
        citation="the local limit as entered in the job" if limit is not None else PRACTICE,
        fix="" if outcome is Outcome.MET else "Ask for the local limit, enter it, and set the sounder time to it.",
    )
