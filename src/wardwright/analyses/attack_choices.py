"""What each choice buys against an attack: the same premises with one thing done otherwise, attacked again."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wardwright.analyses.contact_field import ContactField
from wardwright.analyses.defeats import SIZE, AttackAnalysis, Boxes, attack_analysis, ways_to_boxes
from wardwright.analyses.exposure import Fields
from wardwright.analyses.loops import LoopAnalysis
from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.route_records import RouteAnalysis
from wardwright.analyses.sabotage import faults
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.programme import ReportingPath
from wardwright.design.system import Design, ProtectionScheme
from wardwright.premises.plan import storey_plans

AS_DESIGNED = "as designed"
BOXES = (Family.PANEL, Family.ALL_IN_ONE, Family.COMMUNICATOR)
INSIDE_DOOR_M = 0.5
"""An all-in-one hangs this far inside the final door. Assumption. [m]"""


@dataclass(frozen=True)
class Choice:
    """One way of doing it, attacked."""

    name: str
    ways: int
    """Ways in that were attacked. [-]"""
    too_quick: int
    """Of all ways in and targets, those gone before the word is out, with nothing done. [-]"""
    yields_to_one: int
    """Ways in on which one fault keeps the word in without anybody hearing of it first. [-]"""
    yields_to_two: int
    """The same for one or two faults. [-]"""
    word_out_s: float | None
    """Latest report of those in time, with nothing done. [s]"""
    ahead_of_smash_s: float | None
    """Least time between the report and the panel torn down; negative: it comes too late. [s]"""


def attack_choices(
    scheme: ProtectionScheme,
    away: RouteAnalysis,
    fields: Fields,
    contacts: tuple[ContactField, ...],
    inputs: LoopAnalysis | None,
    supply: PowerAnalysis | None,
    *,
    designed: AttackAnalysis | None = None,
) -> tuple[Choice, ...]:
    """Attack the design as it is and with one choice made otherwise.

    Parameters
    ----------
    scheme, away, fields, contacts, inputs, supply
        As for :func:`wardwright.analyses.defeats.attack_analysis`.
    designed : AttackAnalysis, optional
        The design as it is, attacked already; of use where it was with two things at once or more.

    Returns
    -------
    tuple of Choice
        As designed first; choices that cannot be made here are left out.
    """
    if not scheme.design.programme.paths:
        return ()
    known = designed if designed is not None and designed.size >= SIZE else None
    found = [] if known is None else [_counted(AS_DESIGNED, known)]
    ways: dict[tuple[tuple[str, float, float], ...], Boxes] = {}
    for name, changed, entry in _variants(scheme):
        if known is not None and name == AS_DESIGNED:
            continue
        places = tuple((d.storey_id, *d.position) for d in changed.of_family(*BOXES))
        if places not in ways:
            ways[places] = ways_to_boxes(changed, fields, faults(changed, contacts, inputs, supply))
        analysis = attack_analysis(
            changed, away, fields, contacts, inputs, supply,
            size=SIZE, reports_entry=entry, to_boxes=ways[places], enough=True,
        )  # fmt: skip
        found.append(_counted(name, analysis))
    return tuple(found)


def _variants(scheme: ProtectionScheme) -> Iterator[tuple[str, ProtectionScheme, bool | None]]:
    yield AS_DESIGNED, scheme, None
    by_door = _by_door(scheme)
    if by_door is not None:
        yield "panel and keypad in one, inside the final door", by_door, None
        yield "the same, start of entry time reported at once", by_door, True
    yield "start of entry time reported at once", scheme, True
    paths = scheme.design.programme.paths
    if len(paths) > 1:
        for path in paths:
            yield f"one path only: {path.kind}", _with_paths(scheme, (path,)), None
    else:
        other = "cellular" if paths[0].kind != "cellular" else "ip"
        second = ReportingPath(id="second-path", kind=other, device_id=paths[0].device_id, priority=2)
        yield f"a second path: {other}", _with_paths(scheme, (*paths, second)), None


def _with_paths(scheme: ProtectionScheme, paths: tuple[ReportingPath, ...]) -> ProtectionScheme:
    programme = scheme.design.programme.model_copy(update={"paths": paths})
    return replace(scheme, design=scheme.design.model_copy(update={"programme": programme}))


def _by_door(scheme: ProtectionScheme) -> ProtectionScheme | None:
    """Every panel replaced by an all-in-one just inside the final door; None where there is no such door or kind."""
    kinds = scheme.catalogue.family(Family.ALL_IN_ONE)
    boxes = (*scheme.of_family(Family.PANEL), *scheme.of_family(Family.COMMUNICATOR))
    spot = _inside_final_door(scheme)
    if not kinds or not boxes or spot is None or scheme.of_family(Family.ALL_IN_ONE):
        return None
    storey_id, x, y, room_id = spot
    moved = {b.id for b in boxes}

    def there(device: Device) -> Device:
        kind = kinds[0].id if device.id == boxes[0].id else device.kind
        change = {"kind": kind, "storey_id": storey_id, "position": (x, y), "height_m": 1.4, "room_id": room_id}
        return device.model_copy(update=change)

    devices = tuple(there(d) if d.id in moved else d for d in scheme.design.devices)
    design: Design = scheme.design.model_copy(update={"devices": devices})
    return replace(scheme, design=design)


def _inside_final_door(scheme: ProtectionScheme) -> tuple[str, float, float, str] | None:
    for storey_id, plan in storey_plans(scheme.premises).items():
        for shape in plan.openings:
            if not shape.opening.final_exit:
                continue
            nx, ny = shape.normal
            reach = shape.depth_m / 2.0 + INSIDE_DOOR_M
            for sign in (1.0, -1.0):
                x, y = shape.centre[0] + sign * reach * nx, shape.centre[1] + sign * reach * ny
                room = plan.room_at((x, y))
                if room is not None and room.indoors:
                    return storey_id, x, y, room.id
    return None


def _counted(name: str, analysis: AttackAnalysis) -> Choice:
    silent = [d for d in analysis.defeats if not d.told]
    one = {d.opening_id for d in silent if len(d.faults) == 1}
    two = one | {d.opening_id for d in silent if len(d.faults) == 2}
    reported = [i for i in analysis.intrusions if i.reported_s is not None]
    ahead = [i.smash_s - i.reported_s for i in reported if i.smash_s is not None and i.reported_s is not None]
    return Choice(
        name,
        len(analysis.ways),
        len(analysis.too_quick),
        len(one),
        len(two),
        max((i.reported_s for i in reported if i.reported_s is not None), default=None),
        min(ahead, default=None),
    )
