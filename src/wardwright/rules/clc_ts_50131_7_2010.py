"""CLC/TS 50131-7:2010, application guidelines: recommendations on extent and indication."""

from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.findings import Outcome
from wardwright.premises.openings import Movement, Opening, OpeningKind
from wardwright.rules.evidence import MOVEMENT, PROCESSING, Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, stated, undecided
from wardwright.rules.register import clause

_DOORS = (OpeningKind.DOOR, OpeningKind.GARAGE_DOOR, OpeningKind.BULKHEAD)
_OTHERS = (OpeningKind.ROOFLIGHT, OpeningKind.HATCH, OpeningKind.DUCT)


@clause("EU-IND-03")
def own_indication(evidence: Evidence) -> Iterator[Judgement]:
    """Each detector with processing has its own indication: no two on one zone."""
    for zone, members in _members(evidence):
        busy = tuple(m for m in members if m in evidence.kinds and evidence.kinds[m].family in PROCESSING)
        if busy:
            yield stated(
                len(busy) == 1,
                f"zone {zone} has one such detector",
                f"zone {zone} has {len(busy)} such detectors: which of them tripped cannot be told",
                plain="It can be told which detector tripped."
                if len(busy) == 1
                else "Some detectors share one indication; which of them tripped cannot be told.",
                about=busy,
                fix="a zone for each",
            )


@clause("EU-IND-04")
def contacts_sharing(evidence: Evidence) -> Iterator[Judgement]:
    """No more than ten contacts share one indication."""
    for zone, members in _members(evidence):
        contacts = tuple(m for m in members if m in evidence.kinds and evidence.kinds[m].family is Family.CONTACT)
        if contacts:
            yield compared(
                f"contacts on zone {zone}",
                float(len(contacts)),
                "<=",
                10.0,
                "",
                plain="A fault at a door or window is found quickly.",
                about=contacts,
                fix="more zones",
            )


def _members(evidence: Evidence) -> Iterator[tuple[int, tuple[str, ...]]]:
    loops = {loop.id: loop for loop in evidence.scheme.design.loops}
    for zone in evidence.programme.zones:
        inputs = loops[zone.loop_id].contacts if zone.loop_id in loops else ()
        yield zone.number, tuple(dict.fromkeys((*zone.device_ids, *inputs)))


def _opens(opening: Opening) -> bool:
    return not opening.leaves or any(leaf.movement is not Movement.FIXED for leaf in opening.leaves)


def _glazed(opening: Opening) -> bool:
    return any(leaf.glazing is not None for leaf in opening.leaves)


def _supervised(evidence: Evidence, opening: Opening, *, penetration: bool) -> Judgement:
    """Opening of the leaf detected, and from grade 3 its penetration."""
    name = f"“{opening.name or opening.id}”"
    contacts = evidence.on_opening(opening, Family.CONTACT)
    through = (
        *evidence.on_opening(opening, Family.SHOCK, Family.BEAM),
        *(evidence.in_rooms_of(opening, Family.GLASS_BREAK) if _glazed(opening) else ()),
    )
    lacking = []
    if _opens(opening) and not contacts:
        lacking.append("opening")
    if penetration and not through:
        lacking.append("penetration")
    about = (opening.id, *(d.id for d in contacts), *(d.id for d in through))
    reach = evidence.reach.get(opening.id)
    if lacking and (reach is None or reach.reachable is None):
        why = reach.explanation if reach else "its reach is not known"
        return undecided(
            f"{name}: {' and '.join(lacking)} is not detected, and whether it can be reached is not decided ({why})",
            "Each way in is measured.",
            about=about,
        )
    good = f"{name}: {'opening and penetration are' if penetration else 'opening is'} detected"
    return stated(
        not lacking,
        good if _opens(opening) or penetration else f"{name} does not open",
        f"{name}: {' and '.join(lacking)} is not detected",
        plain="The ways in are watched to the extent usual for the grade."
        if not lacking
        else "One way in is watched less than is usual for the grade.",
        about=about,
        fix="a contact on the leaf" if "opening" in lacking else "a glass-break or shock detector",
    )


def _extent(evidence: Evidence, kinds: tuple[OpeningKind, ...], from_grade: int) -> Iterator[Judgement]:
    if evidence.grade < from_grade:
        yield not_applicable(f"not asked for at grade {evidence.grade}")
        return
    for opening in evidence.outside_openings(*kinds):
        yield _supervised(evidence, opening, penetration=evidence.grade >= 3)


@clause("EU-EXT-01")
def perimeter_doors(evidence: Evidence) -> Iterator[Judgement]:
    """Perimeter doors: opening at every grade, penetration too from grade 3."""
    yield from _extent(evidence, _DOORS, 1)


@clause("EU-EXT-02")
def windows(evidence: Evidence) -> Iterator[Judgement]:
    """Windows: opening from grade 2, penetration too from grade 3."""
    yield from _extent(evidence, (OpeningKind.WINDOW,), 2)


@clause("EU-EXT-03")
def other_openings(evidence: Evidence) -> Iterator[Judgement]:
    """Rooflights, hatches, ducts: opening from grade 2, penetration too from grade 3."""
    yield from _extent(evidence, _OTHERS, 2)


@clause("EU-EXT-07")
def rooms_trapped(evidence: Evidence) -> Iterator[Judgement]:
    """Movement is detected in chosen areas, at every grade."""
    movers = tuple(d.id for d, _ in evidence.of(*MOVEMENT))
    yield stated(
        bool(movers),
        f"{len(movers)} movement detectors",
        "no movement detector at all",
        plain="Movement inside is watched." if movers else "No movement detector is planned.",
        about=movers,
        fix="a movement detector where a way through must pass",
    )


@clause("EU-EXT-08")
def objects_at_risk(evidence: Evidence) -> Iterator[Judgement]:
    """Objects at high risk need special consideration from grade 3."""
    if evidence.grade < 3:
        yield not_applicable(f"not asked for at grade {evidence.grade}")
        return
    for target in evidence.scheme.premises.targets:
        if target.worth == "high":
            watched = tuple(
                d.id
                for d, _ in evidence.of(*MOVEMENT, Family.SHOCK, Family.BEAM)
                if (room := evidence.room_of[d.id]) is not None and room.id == target.room_id
            )
            yield Judgement(
                Outcome.MET if watched else Outcome.NOT_MET,
                f"“{target.name}”: {', '.join(watched) or 'nothing'} watches its room",
                "What is most valuable is watched where it is kept."
                if watched
                else "What is most valuable is not watched where it is kept.",
                (target.id, *watched),
                fix="a detector in that room",
            )
