"""Do the contacts operate where they sit? Findings on gap, steel, offset, the edge of the leaf, and foreign magnets."""

from collections.abc import Iterable, Iterator

from wardwright.analyses.contact_field import LEAF_M, SPREAD, ContactField
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import PRACTICE, bounded

SHARE = 0.5
"""A contact is mounted with no more than this share of the gap at which it operates. Common practice. [-]"""
EDGE_MM = 50.0
"""A leaf is told by the time its edge has opened this far. From memory. [mm]"""
MODEL = "the field of the magnet at the reed, spread assumed"


def contact_findings(scheme: ProtectionScheme, fields: Iterable[ContactField]) -> tuple[Finding, ...]:
    """Findings on magnetic contacts.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    fields : iterable of ContactField
        Every contact where it sits.

    Returns
    -------
    tuple of Finding
        One for each contact on steel, out of line, or with its gap measured; the rest by groups.
    """
    found = tuple(fields)
    return (*_gaps(found), *_unmeasured(found), *_edges(scheme, found), *_magnets(scheme, found))


def _gaps(found: tuple[ContactField, ...]) -> Iterator[Finding]:
    for one in found:
        changed = one.on == "steel" or one.offset_m != 0.0
        if one.undecided or (one.make_gap_m is None and changed):
            yield Finding(
                "entry.contact-gap",
                Question.ENTRY,
                Outcome.NOT_MET if changed and one.make_gap_m is None else Outcome.NOT_DECIDED,
                Weight.RECOMMENDED,
                (one.device_id, one.opening_id),
                f"{one.device_id}: {one.undecided or 'it does not operate so mounted'}.",
                "One of the contacts has to be changed or moved to do its work.",
                citation=MODEL,
                fix="Put both parts in line, on spacers of 6 to 10 mm, or use a wide-gap kind.",
            )
        elif one.gap_m is not None and changed and one.make_gap_m is not None:
            limit = SHARE * one.make_gap_m * 1000.0
            gap = one.gap_m * 1000.0
            yield bounded(
                "entry.contact-gap",
                Question.ENTRY,
                Weight.RECOMMENDED,
                (one.device_id, one.opening_id),
                f"{one.device_id} is mounted with {gap:.1f} mm; here ({one.on}, {1000 * one.offset_m:.0f} mm out of "
                f"line) it operates within {1000 * one.make_gap_m:.1f} mm.",
                value=gap,
                operator="<=",
                limit=limit,
                unit="mm",
                interval=(gap * (1.0 - one.spread), gap * (1.0 + one.spread)),
                assumption="how far reeds and magnets of one kind differ" + (", and the steel" * (one.on == "steel")),
                good="The contacts have their gap well in hand.",
                bad="One of the contacts is mounted nearer, or on a spacer.",
                citation=MODEL,
                fix="Bring both parts nearer and in line; on steel put both on spacers of 6 to 10 mm.",
            )


def _unmeasured(found: tuple[ContactField, ...]) -> Iterator[Finding]:
    """On steel the gap cannot be left to chance: it is measured at fitting."""
    for one in found:
        if one.on == "steel" and one.gap_m is None and one.make_gap_m is not None:
            yield Finding(
                "entry.contact-on-steel",
                Question.ENTRY,
                Outcome.NOT_DECIDED,
                Weight.RECOMMENDED,
                (one.device_id, one.opening_id),
                f"{one.device_id} sits on steel, where it operates only within {1000 * one.make_gap_m:.1f} mm; the gap "
                "as mounted is not noted.",
                "The fitting of one contact is measured when it is done.",
                limit=SHARE * one.make_gap_m * 1000.0,
                operator="<=",
                unit="mm",
                assumption="the gap it will be mounted with",
                citation=MODEL,
                fix=f"Mount it with no more than {SHARE * one.make_gap_m * 1000.0:.1f} mm, or on spacers, and note the "
                "gap.",
            )


def _edges(scheme: ProtectionScheme, found: tuple[ContactField, ...]) -> Iterator[Finding]:
    """Leaves told late one by one; the rest together, by the latest of them."""
    told = [one for one in found if one.edge_m is not None]
    early = [one for one in told if (one.edge_m or 0.0) * (1.0 + one.spread) * 1000.0 <= EDGE_MM]
    groups = [[one] for one in told if one not in early] + ([early] if early else [])
    for group in groups:
        one = max(group, key=lambda x: (x.edge_m or 0.0) * (1.0 + x.spread))
        edge = (one.edge_m or 0.0) * 1000.0
        name = scheme.premises.opening(one.opening_id).name
        most = "" if len(group) == 1 else f" (the latest of {len(group)})"
        yield bounded(
            "entry.leaf-told-early",
            Question.ENTRY,
            Weight.RECOMMENDED,
            tuple(x.device_id for x in group),
            f"“{name}” has opened {edge:.0f} mm at its edge when {one.device_id} reports{most}.",
            value=edge,
            operator="<=",
            limit=EDGE_MM,
            unit="mm",
            interval=(edge * (1.0 - one.spread), edge * (1.0 + one.spread)),
            assumption="how far reeds and magnets of one kind differ",
            good="Doors and windows are told before anybody can pass.",
            bad="One contact is moved so that it tells earlier.",
            citation="limit from memory; " + MODEL,
            fix="Mount the contact at the opening edge of the leaf, or use a kind of smaller gap.",
        )


def _magnets(scheme: ProtectionScheme, found: tuple[ContactField, ...]) -> Iterator[Finding]:
    """Plain contacts on outside leaves, together."""
    plain = [x for x in found if x.foreign_m is not None and scheme.premises.opening(x.opening_id).is_outside]
    if not plain:
        return
    reaches = sorted((x.foreign_m or 0.0) * 1000.0 for x in plain)
    yield bounded(
        "attack.foreign-magnet",
        Question.ATTACK,
        Weight.RECOMMENDED,
        tuple(x.device_id for x in plain),
        f"A strong magnet holds the {len(plain)} plain contacts on outside leaves from {reaches[0]:.0f} to "
        f"{reaches[-1]:.0f} mm; an outside leaf is {1000 * LEAF_M[0]:.0f} to {1000 * LEAF_M[1]:.0f} mm thick. Only "
        "what else watches these leaves counts against it.",
        value=reaches[-1],
        operator="<=",
        limit=LEAF_M[0] * 1000.0,
        unit="mm",
        interval=(reaches[0] * (1.0 - SPREAD), reaches[-1] * (1.0 + SPREAD)),
        assumption="the strength of the magnet brought",
        good="The contacts tell when they are interfered with.",
        bad="A better kind of contact can be had for the outside doors.",
        citation=f"{PRACTICE}; {MODEL}",
        fix="Balanced contacts on the outside doors where the grade or the risk asks for it.",
    )
