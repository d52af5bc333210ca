"""Ways in: for every opening and attack on it, who notices, and how surely."""

import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from wardwright.analyses.entry_records import EntryAnalysis, Notice, WayIn
from wardwright.analyses.exposure import CENTRAL, HIGH, LOW, Exposure, Fields
from wardwright.analyses.mode import Mode, modes_wanted, watching_devices
from wardwright.analyses.walkable import MOVES, WalkGraph, entry_place, nearest_heading, walk_graph
from wardwright.analyses.ways_in import Attackable, Noticers, attackable_openings
from wardwright.design.system import ProtectionScheme

__all__ = ["EntryAnalysis", "Notice", "WayIn", "entry"]

INWARD_M = 1.5
"""Seen coming in means seen within this of the opening. Assumption, no source. [m]"""
COMES_IN_M_S = 1.0
"""Pace at which somebody comes in, central assumption; all paces of the field bound it. [m/s]"""
FAINT_P = 0.01
"""A device less likely than this to notice, even at best, is not listed. [-]"""


def entry(scheme: ProtectionScheme, fields: Mapping[Mode, Fields]) -> EntryAnalysis:
    """For every opening, leaf and attack, in every mode wanted: who notices.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    fields : mapping of Mode to Fields
        Detection hazard of the motion detectors in each mode; a mode that is missing is judged without them.

    Returns
    -------
    EntryAnalysis
        Every way in, also those out of reach, marked so.
    """
    graph = walk_graph(scheme.premises)
    openings = attackable_openings(scheme)
    ways: list[WayIn] = []
    for mode in modes_wanted(scheme):
        noticers = Noticers(scheme, mode)
        exposure = Exposure(graph, fields.get(mode, {}), watching_devices(scheme, mode))
        for item in openings:
            seen = seen_coming_in(graph, exposure, item)
            for attack in item.attacks:
                notices = tuple(sorted([*noticers.of(attack, item.shape), *seen], key=lambda n: -n.probability))
                ways.append(
                    WayIn(
                        opening_id=item.shape.opening.id,
                        leaf_id=attack.leaf_id,
                        attack=attack.name,
                        mode=mode.value,
                        reachable=item.reachable,
                        delay_s=attack.delay_s,
                        notices=notices,
                        probability=_any(n.probability for n in notices),
                        interval=(_any(n.interval[0] for n in notices), _any(n.interval[1] for n in notices)),
                        undecided=_undecided(scheme, item, notices),
                        deaf=_deaf(scheme, noticers, item, attack.leaf_id, mode),
                    )
                )
    return EntryAnalysis(tuple(ways))


def _any(chances: Iterable[float]) -> float:
    """Chance that at least one of several independent chances comes off."""
    return 1.0 - math.prod(1.0 - p for p in chances)


def seen_coming_in(graph: WalkGraph, exposure: Exposure, item: Attackable) -> list[Notice]:
    """Motion detectors that see the body come through, wherever in the first stretch they see it best.

    Parameters
    ----------
    graph : WalkGraph
        The building's places.
    exposure : Exposure
        Motion detectors that watch.
    item : Attackable
        The opening.

    Returns
    -------
    list of Notice
        One for each detector that may see it.
    """
    place = entry_place(graph, item.shape)
    if place is None or not exposure.device_ids:
        return []
    dx, dy = graph.x[place] - item.shape.centre[0], graph.y[place] - item.shape.centre[1]
    inward = nearest_heading(math.atan2(dy, dx))
    places, along = [place], math.hypot(dx, dy)
    pace = math.hypot(*MOVES[inward]) * graph.step_m
    while along + pace <= INWARD_M and graph.neighbour[places[-1], inward] >= 0:
        places.append(int(graph.neighbour[places[-1], inward]))
        along += pace
    spots = np.array(places, dtype=np.intp)
    moves = np.full(len(spots), inward, dtype=np.intp)
    chances = [
        -np.expm1(-exposure.along(spots, spots, moves, v).max(axis=2) * exposure.stretch_m)
        for v in range(len(exposure.speeds_m_s))
    ]
    usual = min(range(len(chances)), key=lambda v: abs(exposure.speeds_m_s[v] - COMES_IN_M_S))
    found = []
    for i, device_id in enumerate(exposure.device_ids):
        low, high = min(float(c[LOW, i]) for c in chances), max(float(c[HIGH, i]) for c in chances)
        if high >= FAINT_P:
            central = float(chances[usual][CENTRAL, i])
            found.append(Notice(device_id, central, (low, high), "seen coming in", exposure.assumption, True))
    return found


def _undecided(scheme: ProtectionScheme, item: Attackable, notices: Sequence[Notice]) -> str:
    """Why the chance cannot be relied on: reach not decided, or a place nobody measured."""
    said = []
    if item.reachable is None:
        said.append(item.reach.explanation if item.reach is not None else "it is not known whether it can be reached")
    opening, premises = item.shape.opening, scheme.premises
    loose = (
        premises.survey == "approximate"
        or opening.position_assumed
        or any(premises.room(r).position_assumed for r in opening.room_ids)
    )
    if loose and any(n.rests_on_position for n in notices):
        said.append(f"measure where “{opening.name}” lies on its wall and where its room lies on the plan")
    return "; ".join(said)


def _deaf(
    scheme: ProtectionScheme, noticers: Noticers, item: Attackable, leaf_id: str | None, mode: Mode
) -> tuple[tuple[str, str], ...]:
    """Contacts on the leaf that cannot notice, with the reason; and those nobody listens to in this mode."""
    watched = watching_devices(scheme, mode)
    found = []
    for device in noticers.contacts_on(item.shape.opening, leaf_id):
        if device.id not in watched:
            found.append((device.id, "not watched in this mode"))
            continue
        why = noticers.why_deaf(device, item.shape.opening)
        if why:
            found.append((device.id, why))
    return tuple(found)
