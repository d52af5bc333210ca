"""Ways in that are no openings: light party walls, roof spaces shared with the neighbours."""

import math

from wardwright.analyses.mode import Mode, watching_devices
from wardwright.catalogue.kinds import Family
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.model import XY
from wardwright.premises.attacks import Attack, fabric_attacks
from wardwright.premises.fabric import Wall
from wardwright.premises.plan import StoreyPlan, storey_plans

RULE = "entry.fabric-backed-by-movement"
PLAIN = {
    Outcome.MET: "Behind a wall or roof shared with others, movement is watched.",
    Outcome.NOT_MET: "Our proposal says what we would add behind a wall or roof shared with others.",
    Outcome.NOT_DECIDED: "What a wall or roof shared with others is made of has still to be looked at.",
}


def fabric_findings(scheme: ProtectionScheme) -> tuple[Finding, ...]:
    """One finding for every room that could be entered through a wall or roof, set with nobody in.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and design.

    Returns
    -------
    tuple of Finding
        Recommended only. Whether the detector sees the very place of the hole is not computed: the finding says that
        one stands in the room.
    """
    plans = storey_plans(scheme.premises)
    behind: dict[str, list[Attack]] = {}
    for attack in fabric_attacks(scheme.premises):
        wall = scheme.premises.wall(attack.wall_id) if attack.wall_id else None
        for room in (attack.room_id,) if attack.room_id else _rooms_behind(wall, plans):
            behind.setdefault(room, []).append(attack)
    watched = _watched_rooms(scheme)
    return tuple(_finding(scheme, room, found, watched.get(room, ())) for room, found in sorted(behind.items()))


def _rooms_behind(wall: Wall | None, plans: dict[str, StoreyPlan]) -> tuple[str, ...]:
    """Rooms a wall faces, looked for every half metre along it."""
    if wall is None:
        return ()
    plan, found = plans[wall.storey_id], set()
    for (x0, y0), (x1, y1) in zip(wall.axis, wall.axis[1:], strict=False):
        length = math.hypot(x1 - x0, y1 - y0)
        count = max(1, round(length / 0.5))
        for n in range(count):
            share, off = (n + 0.5) / count, (wall.thickness_m / 2 + 0.1) / max(length, 1e-9)
            for side in (off, -off):
                spot: XY = (x0 + (x1 - x0) * share - (y1 - y0) * side, y0 + (y1 - y0) * share + (x1 - x0) * side)
                room = plan.room_at(spot)
                if room is not None and room.indoors:
                    found.add(room.id)
    return tuple(sorted(found))


def _watched_rooms(scheme: ProtectionScheme) -> dict[str, tuple[str, ...]]:
    """Movement detectors by room, of those somebody listens to while nobody is in."""
    listening = watching_devices(scheme, Mode.AWAY)
    rooms: dict[str, tuple[str, ...]] = {}
    for device in scheme.of_family(Family.MOTION, Family.DUAL):
        room = scheme.room_of(device)
        if room is not None and device.id in listening:
            rooms[room.id] = (*rooms.get(room.id, ()), device.id)
    return rooms


def _finding(scheme: ProtectionScheme, room: str, found: list[Attack], detectors: tuple[str, ...]) -> Finding:
    name = scheme.premises.room(room).name
    walls = tuple(a.wall_id for a in found if a.wall_id)
    unsure = [a for a in found if "not surveyed" in a.assumption or a.room_id]
    if detectors:
        outcome = Outcome.MET
    else:
        outcome = Outcome.NOT_DECIDED if len(unsure) == len(found) else Outcome.NOT_MET
    first = min(found, key=lambda a: a.delay_s)
    low, high = first.delay_interval_s
    seen = f"movement in it is watched by {', '.join(detectors)}" if detectors else "nothing watches movement in it"
    return Finding(
        rule=RULE,
        question=Question.ENTRY,
        outcome=outcome,
        weight=Weight.RECOMMENDED,
        about=(room, *walls),
        explanation=f"“{name}” could be entered otherwise than by an opening ({first.how}, some {low:.0f} to "
        f"{high:.0f} s; {first.assumption}): {seen}.",
        plain=PLAIN[outcome],
        assumption=first.assumption,
        citation="common practice, no source",
        fix="" if outcome is Outcome.MET else _fix(name, outcome),
    )


def _fix(name: str, outcome: Outcome) -> str:
    if outcome is Outcome.NOT_DECIDED:
        return f"Look what the wall or roof of “{name}” is made of and whether the roof space is divided."
    return f"Put a motion detector in “{name}”, or where one has to pass on leaving it."
