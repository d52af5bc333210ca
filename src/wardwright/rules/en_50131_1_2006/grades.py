"""EN 50131-1:2006, clauses 5 to 8.2: grade, class, parts of a system, masking and range reduction."""

from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.premises.fabric import RoomUse
from wardwright.rules.evidence import CONTROL, DETECTING, MOVEMENT, SOUNDERS, Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, stated, undecided
from wardwright.rules.register import clause

_CLASSES = ("I", "II", "III", "IV")
_UNHEATED = (
    RoomUse.GARAGE,
    RoomUse.ATTIC,
    RoomUse.BASEMENT,
    RoomUse.CRAWL_SPACE,
    RoomUse.CONSERVATORY,
    RoomUse.STORE,
    RoomUse.HALL,
    RoomUse.STAIR,
    RoomUse.LANDING,
    RoomUse.WORKSHOP,
)
"""Corridors, stairs and rooms that may stand unheated: class II."""


@clause("EU-GRD-05")
def system_grade(evidence: Evidence) -> Iterator[Judgement]:
    """The system has the lowest grade of any of its parts."""
    plain = f"Every part of the system is made for security grade {evidence.grade} or better."
    known = [(key, value) for key, kind in evidence.kinds.items() if (value := kind.get("grade")) is not None]
    if not known:
        yield undecided("no part declares a grade", plain)
        return
    lowest = min(value for _, value in known)
    about = tuple(key for key, value in known if value < evidence.grade) or (min(known, key=lambda kv: kv[1])[0],)
    yield compared(
        "lowest grade of any part",
        lowest,
        ">=",
        evidence.grade,
        "",
        plain=plain if lowest >= evidence.grade else f"Some parts are made for a lower grade than {evidence.grade}.",
        about=about,
        fix="choose kinds of the grade asked for",
    )


@clause("EU-GRD-07")
def parts_of_a_system(evidence: Evidence) -> Iterator[Judgement]:
    """A system has control equipment, a detector, something that warns or reports, and a supply."""
    wanted = {
        "control equipment": bool(evidence.of(*CONTROL)),
        "a detector": bool(evidence.of(*DETECTING)),
        "a sounder or a reporting path": bool(evidence.of(*SOUNDERS) or evidence.programme.paths),
        "a supply with its battery": bool(evidence.scheme.design.backups),
    }
    lacking = [name for name, there in wanted.items() if not there]
    yield stated(
        not lacking,
        "control equipment, detector, sounder or reporting path, and supply are all there",
        f"the design has no {', no '.join(lacking)}",
        plain="The system has all the parts a system must have." if not lacking else "The system is not complete yet.",
        fix="add what is lacking",
    )


def place_class(evidence: Evidence, device: Device) -> str | None:
    """Environmental class of the place a device is fixed at.

    Parameters
    ----------
    evidence : Evidence
        The scheme.
    device : Device
        One of its devices.

    Returns
    -------
    str or None
        ``I`` to ``IV``; None where the building has no rooms to tell by.
    """
    if evidence.kinds[device.id].family in (Family.OUTER_SOUNDER, Family.STROBE):
        return "IV"
    if evidence.is_indoors(device) is None:
        return None
    room = evidence.room_of[device.id]
    if room is None or not room.indoors:
        return "IV"
    if room.use is RoomUse.PORCH:
        return "III"
    if room.temperature_min_c is not None:
        if room.temperature_min_c >= 5.0 and (room.temperature_max_c or 20.0) <= 40.0:
            return "I"
        return "II" if room.temperature_min_c >= -10.0 and (room.temperature_max_c or 20.0) <= 40.0 else "III"
    return "II" if room.use in _UNHEATED else "I"


@clause("EU-ENV-05")
def class_fits_place(evidence: Evidence) -> Iterator[Judgement]:
    """A part's environmental class is at least that of the place it is fixed at."""
    for device in evidence.scheme.fitted:
        kind = evidence.kinds.get(device.id)
        declared = kind.words.get("environment_class") if kind else None
        if declared is None:
            continue
        place = place_class(evidence, device)
        plain = "Each part is made for the cold, heat and damp of its place."
        if place is None:
            yield undecided(f"{device.id}: the building has no rooms to tell its place by", plain, about=(device.id,))
        else:
            holds = _CLASSES.index(declared) >= _CLASSES.index(place)
            yield stated(
                holds,
                f"{device.id} is class {declared} in a place of class {place}",
                f"{device.id} is class {declared}, its place asks for class {place}",
                plain=plain if holds else "One part is not made for the climate of its place.",
                about=(device.id,),
                fix=f"a kind of class {place}, or another place",
            )


def _movement(evidence: Evidence, word: str, from_grade: int, what: str) -> Iterator[Judgement]:
    if evidence.grade < from_grade:
        yield not_applicable(f"optional at grade {evidence.grade}")
        return
    for device, kind in evidence.of(*MOVEMENT):
        declared = kind.words.get(word)
        plain = f"The motion detectors report it when {what}."
        if declared is None:
            yield undecided(f"{device.id}: its kind does not say", plain, about=(device.id,))
        else:
            yield stated(
                declared == "yes",
                f"{device.id} tells when {what}",
                f"{device.id} does not tell when {what}; mandatory at grade {evidence.grade}",
                plain=plain if declared == "yes" else "A motion detector lacks a self-check this grade asks for.",
                about=(device.id,),
                fix="a kind that does",
            )


@clause("EU-FLT-01")
def masking(evidence: Evidence) -> Iterator[Judgement]:
    """From grade 3 movement detectors tell when they are masked."""
    yield from _movement(evidence, "masking_detection", 3, "its view is blocked")


@clause("EU-FLT-02")
def range_reduction(evidence: Evidence) -> Iterator[Judgement]:
    """At grade 4 movement detectors tell when their range is much reduced."""
    yield from _movement(evidence, "range_reduction_detection", 4, "its reach is much shortened")
