"""UL 1641:2015 (homes) and UL 681:2014 (businesses): installation and extent."""

from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.premises.openings import Movement, Opening, OpeningKind
from wardwright.rules.evidence import CONTROL, MOVEMENT, Evidence
from wardwright.rules.judgement import Judgement, compared, stated, undecided
from wardwright.rules.register import clause
from wardwright.units import INCH_M

WINDOW_OPEN_M = 6.0 * INCH_M
_SWINGS = (Movement.HINGED, Movement.TILT_AND_TURN, Movement.LOUVRE)


def _moves(opening: Opening) -> bool:
    return not opening.leaves or any(leaf.movement is not Movement.FIXED for leaf in opening.leaves)


@clause("US-INS-01")
def window_opening(evidence: Evidence) -> Iterator[Judgement]:
    """A window may not open more than 6 in without an alarm (UL 1641 cl. 10.1)."""
    plain = "A watched window alarms before a person could get through it."
    for opening in evidence.outside_openings(OpeningKind.WINDOW):
        for leaf in opening.leaves:
            if leaf.vent is not None and leaf.vent.wanted_when_set:
                yield compared(
                    f"“{opening.name}” left open on purpose",
                    leaf.vent.gap_m,
                    "<=",
                    WINDOW_OPEN_M,
                    "m",
                    plain=plain,
                    about=(opening.id, leaf.id),
                    fix="a vent stop that holds it nearer shut",
                )
        for device in evidence.on_opening(opening, Family.CONTACT):
            yield compared(
                f"“{opening.name}”: {device.id} has opened by",
                evidence.kinds[device.id].need("release_gap_m"),
                "<=",
                WINDOW_OPEN_M,
                "m",
                plain=plain,
                about=(opening.id, device.id),
                assumption="fitted at the opening edge, where gap and opening are the same",
                fix="a contact at the opening edge with a shorter release gap",
            )


@clause("US-INS-03")
def sound_detector_with_contact(evidence: Evidence) -> Iterator[Judgement]:
    """A sound or vibration unit on a movable opening needs a contact there as well (UL 1641 cl. 15.4.1)."""
    for opening in evidence.outside_openings():
        heard = (
            *evidence.on_opening(opening, Family.SHOCK, Family.GLASS_BREAK),
            *(
                evidence.in_rooms_of(opening, Family.GLASS_BREAK)
                if any(leaf.glazing is not None for leaf in opening.leaves)
                else ()
            ),
        )
        if heard and _moves(opening):
            contacts = evidence.on_opening(opening, Family.CONTACT)
            name = opening.name or opening.id
            yield stated(
                bool(contacts),
                f"“{name}” has a contact as well as {heard[0].id}",
                f"“{name}” opens, is watched by {heard[0].id} and has no contact",
                plain="Windows and doors that open are watched both for breaking and for opening."
                if contacts
                else "A window or door that opens is watched for breaking only.",
                about=(opening.id, *(d.id for d in heard)),
                fix="a contact on the leaf",
            )


@clause("US-INS-05")
def control_inside(evidence: Evidence) -> Iterator[Judgement]:
    """The control unit stands inside the protected area (UL 1641 cl. 17.1)."""
    for device, _ in evidence.of(*CONTROL):
        inside = evidence.is_indoors(device)
        plain = "The control unit stands inside the protected building."
        if inside is None:
            yield undecided(f"{device.id}: the building has no rooms to tell by", plain, about=(device.id,))
        else:
            yield stated(
                inside,
                f"{device.id} stands in a room",
                f"{device.id} stands outside all rooms",
                plain=plain if inside else "The control unit is not inside the protected building.",
                about=(device.id,),
                fix="a place inside",
            )


_LEAVES = (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR, OpeningKind.BULKHEAD)


def _bare(evidence: Evidence, *kinds: OpeningKind, movable_only: bool = True) -> tuple[str, ...]:
    """Openings within reach that no contact, shock or glass-break detector watches."""
    found = []
    for opening in evidence.outside_openings(*kinds):
        watched = evidence.on_opening(opening, Family.CONTACT, Family.SHOCK, Family.BEAM)
        if any(leaf.glazing is not None for leaf in opening.leaves) and not _moves(opening):
            watched = (*watched, *evidence.in_rooms_of(opening, Family.GLASS_BREAK))
        if not watched and (_moves(opening) or not movable_only):
            found.append(opening.id)
    return tuple(found)


@clause("US-EXT-04")
def extent_three(evidence: Evidence) -> Iterator[Judgement]:
    """Extent 3: all openings within reach, or contacts on doors with motion detection in every area."""
    every = _bare(evidence, movable_only=False)
    doors = _bare(evidence, *_LEAVES)
    watched = {room.id for d, _ in evidence.of(*MOVEMENT) if (room := evidence.room_of[d.id]) is not None}
    dark = tuple(r.id for r in evidence.scheme.premises.rooms if r.indoors and r.id not in watched)
    holds = not every or (not doors and not dark)
    good = "all openings within reach are watched" if not every else "all doors have contacts and every room a detector"
    yield stated(
        holds,
        f"extent 3: {good}",
        f"extent 3 is not reached: openings not watched {', '.join(every)}; rooms without movement detector "
        f"{', '.join(dark) or 'none'}",
        plain="The extent of protection is the third of four."
        if holds
        else "The third extent of protection is not reached.",
        about=() if holds else every,
        fix="a contact on each opening within reach, or a movement detector in each room",
    )


@clause("US-EXT-05")
def extent_four(evidence: Evidence) -> Iterator[Judgement]:
    """Extent 4: contacts on doors within reach and at least one movement detector."""
    doors = _bare(evidence, *_LEAVES)
    movers = evidence.of(*MOVEMENT)
    yield stated(
        not doors and bool(movers),
        "extent 4: all doors within reach have contacts, and there is a movement detector",
        f"extent 4 is not reached: doors not watched {', '.join(doors) or 'none'}; {len(movers)} movement detectors",
        plain="At least the fourth, least extent of protection is reached."
        if not doors and movers
        else "Even the least extent of protection is not reached yet.",
        about=doors,
        fix="a contact on each door, and a movement detector",
    )
