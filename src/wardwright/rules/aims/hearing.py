"""Do the glass-break detectors hear their panes, and what else might they hear? Findings on both."""

from collections.abc import Iterable, Iterator

from shapely import Point

from wardwright.analyses.glass_hearing import Hearing
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.programme import ZoneResponse
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.premises.fabric import RoomUse
from wardwright.premises.plan import storey_plans
from wardwright.rules.aims.judging import PRACTICE, bounded
from wardwright.rules.aims.spread import judge_at_least

TOLD = 0.5
"""A detector that is meant for a pane tells at least as likely as not. [-]"""
NEAR_M = 2.0
"""A sounder, or a noisy thing, within this sets a glass-break detector off. Assumption. [m]"""
SMALL_M2 = 9.0
"""On a 24-hour zone a room should not be smaller. Assumption. [m²]"""
BOTH_VIEWS = (
    "Common practice holds that a good detector insists on the thump before the shatter, which keeps out other noise. "
    "A published crash test of windows found that the low part does not lead the high part [GLASS-CRASH-TESTS]."
)


def hearing_findings(scheme: ProtectionScheme, hearings: Iterable[Hearing]) -> tuple[Finding, ...]:
    """Findings on glass-break detectors.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    hearings : iterable of Hearing
        Every detector with every pane, in the modes wanted.

    Returns
    -------
    tuple of Finding
        Under entry, whether panes are heard; under nuisance, noise nearby. All recommended: the way in itself is
        judged with everything else that watches it.
    """
    told = tuple(hearings)
    devices = scheme.of_family(Family.GLASS_BREAK)
    return (
        *(f for device in devices for f in _panes(scheme, device, told)),
        *_order(scheme, devices),
        *(f for device in devices for f in _noise(scheme, device)),
    )


def _panes(scheme: ProtectionScheme, device: Device, told: tuple[Hearing, ...]) -> Iterator[Finding]:
    mine = [h for h in told if h.device_id == device.id]
    names = {o.id: o.name for o in scheme.premises.openings}
    heard = [h for h in mine if h.counts]
    if not heard:
        why = "; ".join(sorted({f"“{names[h.opening_id]}”: {h.deaf}" for h in mine if h.deaf}))
        yield Finding(
            "entry.glass-heard",
            Question.ENTRY,
            Outcome.NOT_MET,
            Weight.RECOMMENDED,
            (device.id,),
            f"{device.id} hears no pane of an outside door or window as it is drawn. {why}".strip(),
            "One of the detectors has to be moved to do its work.",
            citation="the acoustic model, its inputs assumed",
            fix="Move it into the room of the panes, in line of sight and within its reach, or use another kind.",
        )
        return
    worst = min(heard, key=lambda h: (h.interval[0], h.probability))
    outcome = judge_at_least(worst.interval, TOLD)
    panes = len({(h.opening_id, h.leaf_id) for h in heard})
    assert worst.margin_db is not None  # it counts, so its margin was worked out
    yield Finding(
        "entry.glass-heard",
        Question.ENTRY,
        outcome,
        Weight.RECOMMENDED,
        (device.id,),
        f"{device.id} may hear {panes} panes. Least surely “{names[worst.opening_id]}”, {worst.mode}, "
        f"{worst.distance_m or 0.0:.1f} m away: {worst.margin_db:+.0f} dB against its rating; the "
        f"{worst.weakest} decides.",
        {
            Outcome.MET: "The detectors that listen for breaking glass hear the panes they are meant for.",
            Outcome.NOT_MET: "One detector that listens for breaking glass is moved or changed.",
        }.get(outcome, "The detectors that listen for breaking glass are tried with a tester before handing over."),
        value=worst.probability,
        operator=">=",
        limit=TOLD,
        interval=worst.interval,
        assumption=worst.assumption,
        citation="the acoustic model, its inputs assumed",
        fix=""
        if outcome is Outcome.MET
        else "Note kind of glass, furnishing and what hangs over the panes; try it with a simulator, curtains drawn; "
        "else move it nearer, between curtain and pane, or put shock detectors on the panes.",
        digits=1,
    )


def _order(scheme: ProtectionScheme, devices: tuple[Device, ...]) -> Iterator[Finding]:
    for key in dict.fromkeys(d.kind for d in devices):
        kind = scheme.catalogue.kind(key)
        order = kind.words.get("order", "either")
        window = kind.get("window_s")
        within = f"within {window:g} s" if window is not None else "within one window"
        free = order == "either"
        yield Finding(
            "entry.glass-order",
            Question.ENTRY,
            Outcome.MET if free else Outcome.NOT_DECIDED,
            Weight.RECOMMENDED,
            tuple(d.id for d in devices if d.kind == key),
            f"“{kind.name}” wants both bands {within}, " + ("in either order. " if free else f"{order}. ") + BOTH_VIEWS,
            "How the detectors tell breaking glass from other noise is settled."
            if free
            else "The detectors that listen for breaking glass are tried with a tester before handing over.",
            assumption="" if free else "whether the thump of these panes really comes first",
            citation="GLASS-CRASH-TESTS; common practice, no source",
            fix="" if free else "A kind that takes either order, or a shock detector beside it.",
        )


def _noise(scheme: ProtectionScheme, device: Device) -> Iterator[Finding]:
    room = scheme.room_of(device)
    spot = Point(device.position)
    close = [
        d.id
        for d in scheme.of_family(Family.INNER_SOUNDER, Family.ALL_IN_ONE)
        if d.storey_id == device.storey_id and spot.distance(Point(d.position)) < NEAR_M
    ]
    vents = [
        h.id
        for h in scheme.premises.heat_sources
        if h.kind == "air vent" and h.storey_id == device.storey_id and spot.distance(Point(h.position)) < NEAR_M
    ]
    rings = room is not None and room.use in (RoomUse.KITCHEN, RoomUse.UTILITY, RoomUse.WORKSHOP)
    noisy = [f"it hangs in “{room.name}”, where crockery and tools ring like glass"] if rings and room else []
    noisy += [f"{key} sounds within {NEAR_M:g} m of it" for key in close]
    noisy += [f"{key} blows within {NEAR_M:g} m of it" for key in vents]
    always = any(z.response is ZoneResponse.DAY_24H for z in scheme.zones_of_device.get(device.id, ()))
    yield Finding(
        "nuisance.glass-noise",
        Question.NUISANCE,
        Outcome.NOT_MET if noisy else Outcome.MET,
        Weight.RECOMMENDED,
        (device.id, *close, *vents),
        f"{device.id}: {'; '.join(noisy) or 'nothing known near it rings like breaking glass'}.",
        "One detector is moved away from everyday noise."
        if noisy
        else "The detectors that listen for breaking glass hang away from everyday noise.",
        citation="common practice, no source",
        fix="Hang it elsewhere, or put shock detectors on the panes of this room." if noisy else "",
    )
    if always and room is not None:
        area = storey_plans(scheme.premises)[room.storey_id].room_shapes[room.id].area
        yield bounded(
            "nuisance.glass-always-on",
            Question.NUISANCE,
            Weight.RECOMMENDED,
            (device.id,),
            f"{device.id} is watched day and night in “{room.name}”, {area:.0f} m².",
            value=area,
            operator=">=",
            limit=SMALL_M2,
            unit="m²",
            good="The detector that is always on has a room large enough.",
            bad="One detector that is always on would answer to daily life; its setting is changed.",
            citation=PRACTICE,
            fix="Watch it only while set.",
        )
