"""The design's programme in the panel's own terms."""

import re
from dataclasses import dataclass
from datetime import date

from wardwright.catalogue.kinds import Family
from wardwright.design.brief import Profile
from wardwright.design.system import ProtectionScheme
from wardwright.panel.programme import AreaRow, PanelProgramme, PathRow, Response, ZoneRow
from wardwright.panel.rights import RightRow
from wardwright.premises.openings import OpeningKind

GRADE_1_PREVENTS = frozenset({"active", "notification"})
"""EN 50131-1 Table 4, grade 1: conditions that prevent setting."""
GRADE_2_PREVENTS = GRADE_1_PREVENTS | {"fault", "missing", "tamper", "mains", "battery", "path", "part"}
"""EN 50131-1 Table 4, grade 2: conditions that prevent setting."""
PREVENTS: dict[Profile, frozenset[str]] = {
    Profile.US_HOME: frozenset({"active"}),
    Profile.US_BUSINESS: frozenset({"active"}),
    Profile.EU_GRADE_1: GRADE_1_PREVENTS,
    Profile.EU_GRADE_2: GRADE_2_PREVENTS,
    Profile.EU_GRADE_3: GRADE_2_PREVENTS | {"masked"},
    Profile.EU_GRADE_4: GRADE_2_PREVENTS | {"masked", "range reduced"},
    Profile.UK_CONFIRMED: GRADE_2_PREVENTS,
}
DETECTING = (Family.CONTACT, Family.MOTION, Family.DUAL, Family.GLASS_BREAK, Family.SHOCK, Family.BEAM)
DAILY = (Family.CONTACT, Family.MOTION, Family.DUAL, Family.BEAM)
OPENED_DAILY = (OpeningKind.DOOR, OpeningKind.WINDOW, OpeningKind.GARAGE_DOOR)
AMERICAN = (Profile.US_HOME, Profile.US_BUSINESS)
ENTRY_WARNING_MS = 30_000
"""Local warning before remote notification (EN 50131-1 cl. 8.3.8.2, from memory)."""


@dataclass(frozen=True)
class Numbering:
    """Which index of the panel stands for which element of the design."""

    zone_ids: tuple[str, ...]
    area_ids: tuple[str, ...]
    path_ids: tuple[str, ...]


def numbering(scheme: ProtectionScheme) -> Numbering:
    """Indices the panel uses for zones, areas and paths.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.

    Returns
    -------
    Numbering
        Ids in the order of the panel's indices: zones by number, areas as listed, paths by priority.
    """
    programme = scheme.design.programme
    return Numbering(
        zone_ids=tuple(z.id for z in sorted(programme.zones, key=lambda z: (z.number, z.id))),
        area_ids=tuple(a.id for a in programme.areas),
        path_ids=tuple(p.id for p in sorted(programme.paths, key=lambda p: (p.priority, p.id))),
    )


def panel_programme(scheme: ProtectionScheme, on_way: frozenset[str] = frozenset()) -> PanelProgramme:
    """What the panel is told, from the design and the brief's profile.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design. A zone that names no area there is goes to the first: ``check_design`` reports it.
    on_way : frozenset of str
        Ids of devices that people pass between a final door and its keypad.

    Returns
    -------
    PanelProgramme
        Ready for :func:`wardwright.panel.step.step`.
    """
    programme, profile = scheme.design.programme, scheme.brief.profile
    names = numbering(scheme)
    area_index = {key: i for i, key in enumerate(names.area_ids)}
    zone_index = {key: i for i, key in enumerate(names.zone_ids)}
    by_id = {z.id: z for z in programme.zones}
    timers = programme.timers
    american = profile in AMERICAN
    behind = {zone.id: _devices_behind(scheme, zone.id) for zone in programme.zones}
    final_exits = {o.id for o in scheme.premises.openings if o.final_exit}
    zones = tuple(
        ZoneRow(
            number=zone.number,
            name=zone.name,
            areas=tuple(area_index[a] for a in zone.area_ids if a in area_index) or (0,),
            response=Response(zone.response.value),
            watched_inside=zone.set_with_people_inside,
            may_bypass=zone.may_bypass,
            chime=zone.chime,
            silent=zone.silent,
            cross_zone=zone_index.get(zone.cross_zone_id) if zone.cross_zone_id else None,
            swinger_count=zone.swinger_count or timers.swinger_count,
            detector="+".join(behind[zone.id]),
            guards=_of_family(scheme, behind[zone.id], *DETECTING),
            final_exit=any(scheme.design.device(d).opening_id in final_exits for d in behind[zone.id]),
            calls_help=_of_family(scheme, behind[zone.id], Family.HOLD_UP),
            warns_of_fire=_of_family(scheme, behind[zone.id], Family.SMOKE),
            on_way=any(d in on_way for d in behind[zone.id]),
            used_daily=any(_used_daily(scheme, d) for d in behind[zone.id]),
            may_be_vented=zone.may_be_vented,
            room=_room(scheme, behind[zone.id]),
        )
        for zone in (by_id[key] for key in names.zone_ids)
    )
    return PanelProgramme(
        zones=zones,
        areas=tuple(
            AreaRow(
                name=area.name,
                entry_ms=_ms(timers.entry_s if area.entry_s is None else area.entry_s),
                exit_ms=_ms(timers.exit_s if area.exit_s is None else area.exit_s),
            )
            for area in programme.areas
        ),
        paths=tuple(PathRow(name=key) for key in names.path_ids),
        bell_ms=_ms(timers.bell_s),
        abort_ms=_ms(timers.abort_s),
        cancel_ms=_ms(timers.cancel_s),
        confirm_ms=_ms(timers.confirm_window_s),
        confirmation=programme.confirmation == "sequential",
        cross_zone_ms=_ms(timers.cross_zone_s),
        exit_restart=timers.exit_restart,
        two_stage_setting=profile is Profile.UK_CONFIRMED,
        off_route_stops_setting=not american,
        exit_error=american,
        unvacated_to_inside=american,
        prevent_set=PREVENTS[profile],
        entry_warning_ms=0 if american else ENTRY_WARNING_MS,
        mains_report_ms=_ms(timers.mains_fail_delay_s),
        path_report_ms=_ms(timers.path_fail_delay_s),
        bell_while_unset=american,
        entry_stops_confirmation=profile is Profile.UK_CONFIRMED,
    )


def _ms(seconds: float) -> int:
    return round(seconds * 1000)


def right_rows(scheme: ProtectionScheme) -> tuple[RightRow, ...]:
    """Rights in the panel's own terms.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design. Hours and dates that cannot be read are taken as not given: ``check_design`` reports them.

    Returns
    -------
    tuple of RightRow
        Ready for :func:`wardwright.panel.rights.allowed`.
    """
    index = {key: i for i, key in enumerate(numbering(scheme).area_ids)}
    return tuple(
        RightRow(
            holder=right.holder,
            areas=tuple(index[a] for a in right.area_ids if a in index),
            may=frozenset(right.may),
            days=right.days,
            from_minute=_minute(right.from_time),
            until_minute=_minute(right.until_time),
            expires=_day(right.expires),
        )
        for right in scheme.design.programme.rights
    )


def _minute(text: str) -> int | None:
    found = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)", text)
    return int(found[1]) * 60 + int(found[2]) if found else None


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        return None


def _devices_behind(scheme: ProtectionScheme, zone_id: str) -> tuple[str, ...]:
    """Fitted devices that report by a zone: two zones of one detector are seen as one."""
    fitted = {d.id for d in scheme.fitted}
    found = (d for d, zones in scheme.zones_of_device.items() if any(z.id == zone_id for z in zones))
    return tuple(sorted(d for d in found if d in fitted))


def _of_family(scheme: ProtectionScheme, devices: tuple[str, ...], *families: Family) -> bool:
    kinds = (scheme.catalogue.kinds.get(scheme.design.device(d).kind) for d in devices)
    return any(kind is not None and kind.family in families for kind in kinds)


def _used_daily(scheme: ProtectionScheme, device_id: str) -> bool:
    """People open it or walk past it in the course of a day; hatches and fixed panes they do not."""
    device = scheme.design.device(device_id)
    kind = scheme.catalogue.kinds.get(device.kind)
    if kind is None or kind.family not in DAILY:
        return False
    opening = next((o for o in scheme.premises.openings if o.id == device.opening_id), None)
    return kind.family is not Family.CONTACT or (opening is not None and opening.kind in OPENED_DAILY)


def _room(scheme: ProtectionScheme, devices: tuple[str, ...]) -> str:
    """Name of the room a zone's devices stand in, where the drawing says and they agree."""
    names = {r.id: r.name for r in scheme.premises.rooms}
    found = {names.get(scheme.design.device(d).room_id or "", "") for d in devices}
    return found.pop() if len(found) == 1 else ""
