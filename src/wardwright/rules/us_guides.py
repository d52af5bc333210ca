"""American guides, no law: UFC 4-021-02NF (2006) on glass-break and infrared, MIL-HDBK-1013/1A on contacts."""

import math
from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import storey_plans
from wardwright.rules.evidence import MOVEMENT, Evidence
from wardwright.rules.judgement import Judgement, compared, stated
from wardwright.rules.register import clause

NEAR_DOOR_M = 1.5
"""What "near" means is not said: assumption. [m]"""


@clause("US-DET-05")
def glass_break_backed(evidence: Evidence) -> Iterator[Judgement]:
    """Glass-break detection is backed by volumetric detection."""
    watched = {evidence.room_of[d.id] for d, _ in evidence.of(*MOVEMENT)}
    for device, _ in evidence.of(Family.GLASS_BREAK):
        backed = evidence.room_of[device.id] in watched
        yield stated(
            backed,
            f"{device.id} has a movement detector in its room",
            f"{device.id} is the only detector of its room",
            plain="Where glass is listened to, movement is watched as well."
            if backed
            else "In one room only the breaking of glass is listened to.",
            about=(device.id,),
            fix="a movement detector in that room",
        )


@clause("US-DET-06")
def infrared_away_from_doors(evidence: Evidence) -> Iterator[Judgement]:
    """No passive infrared detector near exterior doors or heat registers."""
    plans = storey_plans(evidence.scheme.premises)
    for device, _ in evidence.of(Family.MOTION):
        near = []
        if device.storey_id in plans:
            for shape in plans[device.storey_id].openings:
                if shape.opening.is_outside and shape.opening.kind is OpeningKind.DOOR:
                    near.append((math.dist(shape.centre, device.position), shape.opening.id))
        for heat in evidence.scheme.premises.heat_sources:
            if heat.kind == "air vent" and heat.storey_id == device.storey_id:
                near.append((math.dist(heat.position, device.position), heat.id))
        if near:
            distance, what = min(near)
            yield compared(
                f"{device.id} from “{what}”",
                distance,
                ">=",
                NEAR_DOOR_M,
                "m",
                plain="Motion detectors stand clear of draughts.",
                about=(device.id, what),
                assumption="1.5 m counts as near",
                fix="a place farther off",
            )


@clause("US-DET-07")
def contacts_against_magnets(evidence: Evidence) -> Iterator[Judgement]:
    """A strong magnet holds a plain contact: where much is at stake, contacts are biased or balanced."""
    high = {t.room_id for t in evidence.scheme.premises.targets if t.worth == "high"}
    openings = {o.id: o for o in evidence.scheme.premises.openings}
    for device, kind in evidence.of(Family.CONTACT):
        opening = openings.get(device.opening_id or "")
        if opening is None or not opening.is_outside or not high & set(opening.room_ids):
            continue
        sort = kind.words.get("foreign_magnet", "plain")
        yield stated(
            sort != "plain",
            f"{device.id} is {sort}",
            f"{device.id} is a plain contact on the way into a room with something of high worth",
            plain="Contacts where much is at stake are of the better kind."
            if sort != "plain"
            else "One contact is better of a higher kind.",
            about=(device.id, opening.id),
            fix="a balanced contact",
        )
