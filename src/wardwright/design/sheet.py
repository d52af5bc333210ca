"""A design as a person writes it: a short TOML sheet in the trade's words, turned into loops, zones and feeds.

The sheet says what is fixed where and how it should answer. What follows from that by rule is worked out here: one
loop for each wired zone with its resistors in the last device, one feed for each device that draws current, one zone
for each detector that names none. So the sheet stays as short as the work order it replaces.
"""

import itertools
import math
import tomllib
from collections.abc import Collection, Iterable
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from wardwright.catalogue.kinds import Catalogue, DeviceKind, Family
from wardwright.design.brief import Profile
from wardwright.design.devices import Backup, Cable, Device, Feed, Keep, Loop, RadioLink, Resistor, Scheme
from wardwright.design.programme import (
    Area,
    Dependency,
    Output,
    Programme,
    ReportingPath,
    Right,
    Timers,
    Zone,
    ZoneResponse,
)
from wardwright.design.system import Design
from wardwright.design.timer_limits import timer_limits
from wardwright.errors import InputError
from wardwright.model import XY, Id, plain_errors
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import storey_plans

CONTROL = (Family.PANEL, Family.ALL_IN_ONE)
SOUNDERS = (Family.INNER_SOUNDER, Family.OUTER_SOUNDER, Family.STROBE)
ANCILLARY = {
    Family.SMOKE: ZoneResponse.FIRE,
    Family.CO: ZoneResponse.TECHNICAL,
    Family.FLOOD: ZoneResponse.TECHNICAL,
    Family.COLD: ZoneResponse.TECHNICAL,
}
INSIDE_OUT = (ZoneResponse.INTERIOR, ZoneResponse.INTERIOR_FOLLOWER)
"""Responses left out when set with people inside, unless the sheet says otherwise."""


class _Row(BaseModel):
    model_config = ConfigDict(extra="forbid", allow_inf_nan=False, frozen=True)


class DeviceRow(_Row):
    """One device of the sheet."""

    id: Id
    kind: Id
    name: str = ""
    room: Id | None = None
    storey: Id | None = None
    at: XY | None = None
    """Place on the plan. Not needed for what sits on an opening. [m]"""
    height: float | None = None
    """Above the floor; None: the middle of the kind's range. [m]"""
    facing: float = 0.0
    """Degrees anticlockwise from +x."""
    opening: Id | None = None
    leaf: Id | None = None
    zone: str = ""
    """Name of its zone; devices that share a name share a zone. Empty: a zone of its own."""
    response: ZoneResponse | None = None
    inside: bool | None = None
    """Watched when set with people inside."""
    area: tuple[Id, ...] = ()
    ends_on: Id | None = None
    """Panel or expander it is wired to; None: the panel."""
    battery: Id | None = None
    silent: bool = False
    chime: bool = False
    status: Keep = Keep.NEW
    settings: dict[str, float] = {}


class Wiring(_Row):
    """How wired inputs are supervised."""

    scheme: Scheme = Scheme.DOUBLE
    end_ohm: Annotated[float, Field(gt=0)] = 2200.0
    alarm_ohm: Annotated[float, Field(gt=0)] = 6800.0
    fault_ohm: Annotated[float, Field(gt=0)] = 4700.0
    tolerance: Annotated[float, Field(gt=0, le=0.2)] = 0.01
    resistors: Literal["in the last device", "in the panel"] = "in the last device"
    alarm_resistor: Literal["one across the string", "one across each contact"] = "one across the string"
    """Where several contacts share a loop: with one across each, two open at once read as another state."""
    cable: Id | None = None


class PathRow(_Row):
    """One reporting path."""

    id: Id
    kind: Literal["ip", "cellular", "line"]
    device: Id
    priority: int = 1
    category: str = ""
    interval: float | None = None
    hangs_on: tuple[Dependency, ...] = ()


class Sheet(_Row):
    """The whole sheet."""

    area: tuple[Area, ...] = ()
    device: tuple[DeviceRow, ...] = ()
    wiring: Wiring = Wiring()
    timers: Timers = Timers()
    confirmation: Literal["none", "sequential"] = "none"
    path: tuple[PathRow, ...] = ()
    right: tuple[Right, ...] = ()


def design_from_sheet(
    text: str,
    premises: Premises,
    catalogue: Catalogue,
    *,
    profile: Profile = Profile.EU_GRADE_2,
    where: str = "sheet",
) -> Design:
    """A design from its sheet.

    Parameters
    ----------
    text : str
        TOML.
    premises : Premises
        The building it is for.
    catalogue : Catalogue
        Kinds it may use.
    profile : Profile
        The brief's: timers the sheet leaves out are the profile's.
    where : str
        Name of the sheet, for messages.

    Returns
    -------
    Design
        Devices, loops, feeds, zones and programme.

    Raises
    ------
    InputError
        One line for each thing that cannot be used, naming the row.
    """
    try:
        tree = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"not a design sheet: {error}", where=where) from None
    try:
        sheet = Sheet.model_validate(tree)
    except ValidationError as error:
        raise InputError("\n  ".join(["cannot be used:", *plain_errors(error, tree)]), where=where) from None
    return design_of(sheet, premises, catalogue, profile=profile, where=where)


def design_of(
    sheet: Sheet, premises: Premises, catalogue: Catalogue, *, profile: Profile, where: str = "sheet"
) -> Design:
    """The design a sheet stands for.

    Parameters
    ----------
    sheet : Sheet
        Its rows.
    premises : Premises
        The building it is for.
    catalogue : Catalogue
        Kinds it may use.
    profile : Profile
        The brief's.
    where : str
        Name of the sheet, for messages.

    Returns
    -------
    Design
        Devices, loops, feeds, zones and programme.

    Raises
    ------
    InputError
        One line for each row that cannot be used.
    """
    faults: list[str] = []
    placed = [(row, device) for row in sheet.device if (device := _place(row, premises, catalogue, faults))]
    if faults:
        raise InputError("\n  ".join(["cannot be used:", *faults]), where=where)
    kinds = {row.id: catalogue.kind(row.kind) for row, _ in placed}
    panel = next((row.id for row, _ in placed if kinds[row.id].family in CONTROL), None)
    loops = loops_of(placed, kinds, sheet.wiring, panel)
    return Design(
        devices=tuple(device for _, device in placed),
        cables=tuple(_cables(placed, kinds, sheet.wiring, panel, loops)),
        loops=tuple(loops.values()),
        feeds=tuple(feeds_of(placed, kinds, sheet.wiring, panel)),
        radio=tuple(radio_of(placed, kinds, panel)),
        backups=tuple(Backup(at=row.id, kind=row.battery) for row, _ in placed if row.battery),
        programme=Programme(
            areas=sheet.area or (Area(id="house", name="House"),),
            zones=tuple(zones_of(placed, kinds, loops, sheet, premises)),
            timers=timers_of(sheet.timers, profile),
            rights=sheet.right,
            outputs=tuple(Output(device_id=row.id) for row, _ in placed if kinds[row.id].family in SOUNDERS),
            paths=tuple(
                ReportingPath(
                    id=row.id,
                    kind=row.kind,
                    device_id=row.device,
                    priority=row.priority,
                    category=row.category,
                    reporting_interval_s=row.interval,
                    hangs_on=row.hangs_on,
                )
                for row in sheet.path
            ),
            confirmation=sheet.confirmation,
            entry_path_keypad_ids=tuple(row.id for row, _ in placed if kinds[row.id].family is Family.KEYPAD),
        ),
    )


def timers_of(given: Timers, profile: Profile) -> Timers:
    """The sheet's timers; what it leaves out is what the profile says, or the usual where that says nothing."""
    left_out = timer_limits(profile).keys() - given.model_fields_set
    return given.model_copy(update={name: timer_limits(profile)[name].default_s for name in left_out})


def _place(row: DeviceRow, premises: Premises, catalogue: Catalogue, faults: list[str]) -> Device | None:
    """The device of a row, or None with a fault noted."""
    if row.kind not in catalogue.kinds:
        faults.append(f"“{row.id}”: no kind of device is called “{row.kind}”")
        return None
    kind = catalogue.kind(row.kind)
    storey_id, position, height = row.storey, row.at, row.height
    if row.opening is not None:
        opening = next((o for o in premises.openings if o.id == row.opening), None)
        if opening is None:
            faults.append(f"“{row.id}”: no opening is called “{row.opening}”")
            return None
        if row.leaf is not None and row.leaf not in {leaf.id for leaf in opening.leaves}:
            faults.append(f"“{row.id}”: the opening “{opening.name}” has no leaf called “{row.leaf}”")
            return None
        storey_id = storey_id or premises.storey_of(opening).id
        shape = next(s for s in storey_plans(premises)[storey_id].openings if s.opening.id == opening.id)
        position = position or shape.centre
        if height is None:
            height = opening.sill_m + (
                0.9 * opening.height_m if kind.family is Family.CONTACT else opening.height_m + 0.2
            )
    if row.room is not None:
        room = next((r for r in premises.rooms if r.id == row.room), None)
        if room is None:
            faults.append(f"“{row.id}”: no room is called “{row.room}”")
            return None
        storey_id = storey_id or room.storey_id
        if position is None:
            spot = storey_plans(premises)[room.storey_id].room_shapes[room.id].representative_point()
            position = (spot.x, spot.y)
    if storey_id is None or position is None:
        faults.append(f"“{row.id}”: give the opening it sits on, or its room, or its storey and at")
        return None
    if storey_id not in {s.id for s in premises.storeys}:
        faults.append(f"“{row.id}”: no storey is called “{storey_id}”")
        return None
    if height is None:
        low, high = kind.get("mount_low_m"), kind.get("mount_high_m")
        height = (low + high) / 2 if low is not None and high is not None else 1.5
    return Device(
        id=row.id,
        kind=row.kind,
        name=row.name,
        storey_id=storey_id,
        position=position,
        height_m=height,
        heading_rad=math.radians(row.facing),
        opening_id=row.opening,
        leaf_id=row.leaf,
        room_id=row.room,
        status=row.status,
        settings=row.settings,
    )


Placed = list[tuple[DeviceRow, Device]]


def _zone_name(row: DeviceRow, device: Device) -> str:
    return row.zone or row.name or device.id


def _has_input(kind: DeviceKind) -> bool:
    """True for what reports by a zone."""
    quiet = (
        *CONTROL,
        *SOUNDERS,
        Family.KEYPAD,
        Family.EXPANDER,
        Family.SUPPLY,
        Family.BATTERY,
        Family.COMMUNICATOR,
        Family.RESISTOR,
        Family.CABLE,
        Family.LABOUR,
    )
    return kind.family not in quiet


def loops_of(
    placed: Placed,
    kinds: dict[str, DeviceKind],
    wiring: Wiring,
    panel: str | None,
    *,
    after: int = 0,
    taken: Collection[str] = (),
) -> dict[str, Loop]:
    """One loop for each zone with wired detectors, by zone name; numbered on ``after`` those there are."""
    members: dict[str, list[DeviceRow]] = {}
    for row, device in placed:
        if _has_input(kinds[row.id]) and not kinds[row.id].radio:
            members.setdefault(_zone_name(row, device), []).append(row)
    loops: dict[str, Loop] = {}
    numbers = (n for n in itertools.count(after + 1) if f"loop-{n}" not in taken)
    for name, rows in members.items():
        number = next(numbers)
        ends_on = next((r.ends_on for r in rows if r.ends_on), panel)
        if ends_on is None:
            continue
        last = rows[-1].id
        seat = last if wiring.resistors == "in the last device" else ends_on
        # an output that is open at rest can only be supervised by a single resistor across it
        open_at_rest = any(kinds[r.id].words.get("state_when_secure") == "open" for r in rows)
        scheme = Scheme.SINGLE if open_at_rest and wiring.scheme is not Scheme.NO else wiring.scheme
        resistors: list[Resistor] = []
        if scheme in (Scheme.SINGLE, Scheme.DOUBLE, Scheme.TRIPLE):
            resistors.append(Resistor(role="end of line", ohm=wiring.end_ohm, tolerance=wiring.tolerance, at=seat))
        if scheme in (Scheme.DOUBLE, Scheme.TRIPLE):
            each = rows if wiring.alarm_resistor == "one across each contact" else rows[-1:]
            inside = wiring.resistors == "in the last device"
            resistors.extend(
                Resistor(role="alarm", ohm=wiring.alarm_ohm, tolerance=wiring.tolerance, at=r.id if inside else ends_on)
                for r in each
            )
        if scheme is Scheme.TRIPLE:
            resistors.append(Resistor(role="fault", ohm=wiring.fault_ohm, tolerance=wiring.tolerance, at=seat))
        loops[name] = Loop(
            id=f"loop-{number}",
            at=ends_on,
            terminal=f"Z{number}",
            scheme=scheme,
            contacts=tuple(r.id for r in rows),
            resistors=tuple(resistors),
            cable_ids=tuple(f"cable-{r.id}" for r in rows) if wiring.cable else (),
        )
    return loops


def _wired(placed: Placed, kinds: dict[str, DeviceKind], panel: str | None) -> Iterable[tuple[DeviceRow, str]]:
    """Every wired device that is not the panel, with where it ends."""
    for row, _ in placed:
        kind = kinds[row.id]
        end = row.ends_on or panel
        if end is not None and end != row.id and not kind.radio and kind.family not in CONTROL:
            yield row, end


def _cables(
    placed: Placed, kinds: dict[str, DeviceKind], wiring: Wiring, panel: str | None, loops: dict[str, Loop]
) -> Iterable[Cable]:
    """One for each wired device: from the one before it on its loop where it draws nothing, else from where it ends."""
    if wiring.cable is None:
        return
    before = {far: near for loop in loops.values() for near, far in itertools.pairwise(loop.contacts)}
    for row, end in _wired(placed, kinds, panel):
        start = end if _draws(kinds[row.id]) else before.get(row.id, end)
        yield Cable(id=f"cable-{row.id}", kind=wiring.cable, from_id=start, to_id=row.id, status=row.status)


def _draws(kind: DeviceKind) -> bool:
    return max(kind.get("standby_current_a") or 0.0, kind.get("alarm_current_a") or 0.0) > 0.0


def radio_of(placed: Placed, kinds: dict[str, DeviceKind], panel: str | None) -> Iterable[RadioLink]:
    """One link for each radio device, to where it ends."""
    for row, _ in placed:
        end = row.ends_on or panel
        if end is not None and kinds[row.id].radio and kinds[row.id].family not in CONTROL:
            yield RadioLink(device_id=row.id, receiver_id=end)


def feeds_of(placed: Placed, kinds: dict[str, DeviceKind], wiring: Wiring, panel: str | None) -> Iterable[Feed]:
    """One run of supply for each wired device that draws current."""
    for row, end in _wired(placed, kinds, panel):
        if _draws(kinds[row.id]) and kinds[row.id].family is not Family.SUPPLY:
            cable = f"cable-{row.id}" if wiring.cable is not None else None
            yield Feed(id=f"feed-{row.id}", from_id=end, to_id=row.id, cable_id=cable)


def _response(row: DeviceRow, kind: DeviceKind, premises: Premises) -> ZoneResponse:
    """What the trade would programme where the sheet leaves it open."""
    if row.response is not None:
        return row.response
    if kind.family in ANCILLARY:
        return ANCILLARY[kind.family]
    if kind.family is Family.HOLD_UP:
        return ZoneResponse.HOLD_UP
    if kind.family in (Family.MOTION, Family.DUAL):
        return ZoneResponse.INTERIOR_FOLLOWER
    if row.opening is not None:
        opening = premises.opening(row.opening)
        if opening.final_exit and kind.family is Family.CONTACT and opening.kind is not OpeningKind.WINDOW:
            return ZoneResponse.ENTRY_EXIT
    return ZoneResponse.PERIMETER


def zones_of(
    placed: Placed,
    kinds: dict[str, DeviceKind],
    loops: dict[str, Loop],
    sheet: Sheet,
    premises: Premises,
    *,
    after: int = 0,
    taken: Collection[str] = (),
) -> Iterable[Zone]:
    """One zone for each name; numbered on after the last there is."""
    areas = tuple(a.id for a in sheet.area) or ("house",)
    members: dict[str, list[tuple[DeviceRow, Device]]] = {}
    for row, device in placed:
        if _has_input(kinds[row.id]):
            members.setdefault(_zone_name(row, device), []).append((row, device))
    numbers = (n for n in itertools.count(after + 1) if f"zone-{n}" not in taken)
    for name, rows in members.items():
        number = next(numbers)
        first = rows[0][0]
        response = _response(first, kinds[first.id], premises)
        inside = first.inside if first.inside is not None else response not in INSIDE_OUT
        yield Zone(
            id=f"zone-{number}",
            number=number,
            name=name,
            area_ids=first.area or areas[:1],
            response=response,
            loop_id=loops[name].id if name in loops else None,
            device_ids=tuple(device.id for _, device in rows),
            set_with_people_inside=inside,
            may_bypass=response not in (ZoneResponse.HOLD_UP, ZoneResponse.TAMPER, ZoneResponse.FIRE),
            chime=first.chime,
            silent=first.silent or response is ZoneResponse.HOLD_UP,
        )
