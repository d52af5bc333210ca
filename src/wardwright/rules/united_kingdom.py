"""BS 8243:2021 and its forerunners on confirmed alarms; sounders by the code on noise."""

from collections.abc import Iterator
from itertools import combinations

from wardwright.catalogue.kinds import Family
from wardwright.rules.evidence import INTRUDER, MOVEMENT, SOUNDERS, Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, stated, undecided
from wardwright.rules.register import clause


@clause("UK-CNF-01")
def method_chosen(evidence: Evidence) -> Iterator[Judgement]:
    """Sequential, audio or visual confirmation is used, or a mix (BS 8243:2021 cl. 4.2.1)."""
    plain = "How a real alarm is told from a false one is agreed."
    if evidence.programme.confirmation == "sequential":
        yield stated(True, "sequential confirmation is programmed", "", plain=plain, about=("programme",))
    else:
        yield undecided(
            "no sequential confirmation is programmed; audio or visual confirmation is not modelled: say what is used",
            plain,
            about=("programme",),
        )


@clause("UK-CNF-04")
def outdoor_detectors_confirm_nothing(evidence: Evidence) -> Iterator[Judgement]:
    """Detectors outside the supervised premises never help to confirm an alarm."""
    plain = "Detectors outdoors never call help by themselves."
    outdoors = tuple(
        d.id for d, _ in evidence.of(*MOVEMENT, Family.BEAM) if d.opening_id is None and evidence.is_indoors(d) is False
    )
    zones = evidence.scheme.zones_of_device
    counted = tuple(d for d in outdoors if any(z.response in INTRUDER for z in zones.get(d, ())))
    if not outdoors:
        yield not_applicable("there is no detector outdoors")
    else:
        yield stated(
            not counted,
            "detectors outdoors are on no intruder zone",
            f"{', '.join(counted)}: outdoors and on an intruder zone, so part of a confirmed alarm",
            plain=plain,
            about=outdoors,
            fix="a technical zone, or a place inside",
        )


@clause("UK-CNF-06")
def confirmation_window(evidence: Evidence) -> Iterator[Judgement]:
    """The second activation counts within 30 to 60 minutes."""
    if evidence.programme.confirmation != "sequential":
        yield not_applicable("no sequential confirmation is programmed")
        return
    plain = "A second detection within the hour makes the alarm a confirmed one."
    window = evidence.timers.confirm_window_s / 60.0
    yield compared("confirmation window", window, ">=", 30.0, "min", plain=plain, about=("programme",), fix="30 min")
    yield compared("confirmation window", window, "<=", 60.0, "min", plain=plain, about=("programme",), fix="60 min")


@clause("UK-CNF-07")
def overlap_of_like_technology(evidence: Evidence) -> Iterator[Judgement]:
    """Two movement detectors of like technology should not watch the same area."""
    plain = "Two detectors that confirm each other do not share one weakness."
    pairs = [
        (a, b)
        for (a, ka), (b, kb) in combinations(evidence.of(*MOVEMENT), 2)
        if ka.family is kb.family
        and evidence.room_of[a.id] is not None
        and evidence.room_of[a.id] == evidence.room_of[b.id]
    ]
    if not pairs:
        yield stated(True, "no two movement detectors of like technology share a room", "", plain=plain)
    for a, b in pairs:
        yield stated(
            False,
            "",
            f"{a.id} and {b.id} are of like technology and share a room (judged by room, not by field of view)",
            plain="Two detectors in one room work the same way; one of them should work differently.",
            about=(a.id, b.id),
            fix="another technology for one of them",
        )


@clause("UK-CNF-08")
def one_device_twice(evidence: Evidence) -> Iterator[Judgement]:
    """One device that reports twice, or by two outputs, confirms nothing."""
    plain = "A single detector cannot confirm itself."
    twice = tuple(
        d for d, zones in evidence.scheme.zones_of_device.items() if sum(z.response in INTRUDER for z in zones) > 1
    )
    yield stated(
        not twice,
        "no device reports by two intruder zones",
        f"{', '.join(twice)}: on two intruder zones, so it would confirm itself",
        plain=plain if not twice else "One detector would confirm itself.",
        about=twice,
        fix="one zone for each device",
    )


@clause("UK-CNF-10")
def no_timed_exit(evidence: Evidence) -> Iterator[Judgement]:
    """Setting is completed by a positive act, not by a timed exit."""
    for area, seconds in evidence.exit_s().items():
        yield stated(
            seconds == 0.0,
            f"“{area}” has no timed exit",
            f"“{area}” is set by a timed exit of {seconds:g} s; a positive act at the door is asked for",
            plain="The system is set by a deliberate act at the door as you leave."
            if seconds == 0.0
            else "How the system is set on leaving is not yet the way confirmed alarms ask for.",
            about=(area,),
            fix="an exit time of 0 and a push button, lock or contact at the final exit that completes setting",
        )


@clause("UK-NSE-01")
def twenty_minutes(evidence: Evidence) -> Iterator[Judgement]:
    """The 1982 code on noise asks for a cut-out after 20 minutes; still quoted."""
    yield from _sounder(evidence, 1200.0)


@clause("UK-NSE-05")
def fifteen_minutes_meets_both(evidence: Evidence) -> Iterator[Judgement]:
    """15 minutes meets the European limit and the code."""
    yield from _sounder(evidence, 900.0)


def _sounder(evidence: Evidence, limit: float) -> Iterator[Judgement]:
    if evidence.of(*SOUNDERS):
        yield compared(
            "sounder time",
            evidence.timers.bell_s,
            "<=",
            limit,
            "s",
            plain="The sounders stop before they become a nuisance to the neighbours.",
            about=("programme",),
            fix="a shorter sounder time",
        )
