"""An invented house with a workshop, furnished with a system and with results, for testing papers. Nothing is real."""

import itertools
import math

import numpy as np

from wardwright.analyses.coverage import CoverageMap
from wardwright.analyses.entry_records import EntryAnalysis, Notice, WayIn
from wardwright.analyses.grid import Grid
from wardwright.analyses.loops import LoopAnalysis, LoopReport, LoopState
from wardwright.analyses.power import PowerAnalysis, Standby, VoltageAt
from wardwright.analyses.route_records import Noticing, Route, RouteAnalysis
from wardwright.analyses.timing import ExitWalk, TimingAnalysis
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.devices import Backup, Cable, Device, Feed, Keep, Loop, RadioLink, Resistor, Scheme
from wardwright.design.programme import Area, Output, Programme, ReportingPath, Right, Timers, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.estimate.offers import offers
from wardwright.estimate.quote import estimate
from wardwright.estimate.tariff import load_tariff
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.job.departures import accept
from wardwright.job.model import Firm, IntakeNote, Job
from wardwright.premises.fabric import Obstacle, Room, RoomUse, Stair, Storey, Wall
from wardwright.premises.life import HeatSource, Person, Pet, Response, Surroundings, Target
from wardwright.premises.model import Premises
from wardwright.premises.openings import Glazing, Leaf, LeafRole, Movement, OnWall, Opening, OpeningKind
from wardwright.prove import Proof

OUT = "outside"


def wall(key: str, storey: str, x0: float, y0: float, x1: float, y1: float, thick: float = 0.3) -> Wall:
    return Wall(id=key, storey_id=storey, axis=((x0, y0), (x1, y1)), thickness_m=thick, outside=thick > 0.2)


def window(key: str, name: str, host: str, at: float, room: str, width: float = 1.2) -> Opening:
    return Opening(
        id=key,
        name=name,
        kind=OpeningKind.WINDOW,
        place=OnWall(wall_id=host, offset_m=at),
        width_m=width,
        height_m=1.2,
        sill_m=0.9,
        sides=(room, OUT),
        leaves=(Leaf(id=f"{key}.a", movement=Movement.TILT_AND_TURN, glazing=Glazing()),),
    )


def door(
    key: str, name: str, host: str, at: float, sides: tuple[str, str], width: float = 0.9, **more: object
) -> Opening:
    leaves = (Leaf(id=f"{key}.a", movement=Movement.HINGED),)
    return Opening.model_validate(
        {
            "id": key,
            "name": name,
            "kind": "door",
            "place": OnWall(wall_id=host, offset_m=at),
            "width_m": width,
            "height_m": 2.0,
            "sill_m": 0.0,
            "sides": sides,
            "leaves": leaves,
        }
        | more
    )


def premises() -> Premises:
    walls = [
        wall("W-S", "GF", -0.15, 0, 12.15, 0),
        wall("W-E", "GF", 12, 0, 12, 9),
        wall("W-N", "GF", 12.15, 9, -0.15, 9),
        wall("W-W", "GF", 0, 9, 0, 0),
        wall("W-1", "GF", 0, 4.2, 7.5, 4.2, 0.12),
        wall("W-2", "GF", 4.8, 0, 4.8, 4.2, 0.12),
        wall("W-3", "GF", 7.5, 0, 7.5, 9, 0.2),
        wall("W-4", "GF", 2.6, 4.2, 2.6, 9, 0.12),
        wall("W-5", "GF", 2.6, 6.4, 7.5, 6.4, 0.12),
        wall("U-S", "UF", -0.15, 0, 7.65, 0),
        wall("U-E", "UF", 7.5, 0, 7.5, 9),
        wall("U-N", "UF", 7.65, 9, -0.15, 9),
        wall("U-W", "UF", 0, 9, 0, 0),
        wall("U-1", "UF", 0, 4.2, 7.5, 4.2, 0.12),
        wall("U-2", "UF", 3.8, 0, 3.8, 4.2, 0.12),
        wall("U-3", "UF", 2.6, 4.2, 2.6, 9, 0.12),
    ]
    rooms = [
        ("living", "Living room", "GF", ((0, 0), (4.8, 0), (4.8, 4.2), (0, 4.2)), RoomUse.LIVING),
        ("kitchen", "Kitchen", "GF", ((4.8, 0), (7.5, 0), (7.5, 4.2), (4.8, 4.2)), RoomUse.KITCHEN),
        ("hall", "Hall", "GF", ((2.6, 4.2), (7.5, 4.2), (7.5, 6.4), (2.6, 6.4)), RoomUse.HALL),
        ("study", "Study", "GF", ((2.6, 6.4), (7.5, 6.4), (7.5, 9), (2.6, 9)), RoomUse.STUDY),
        ("cloak", "Cloakroom", "GF", ((0, 4.2), (2.6, 4.2), (2.6, 9), (0, 9)), RoomUse.STORE),
        ("workshop", "Workshop", "GF", ((7.5, 0), (12, 0), (12, 9), (7.5, 9)), RoomUse.WORKSHOP),
        ("bed1", "Bedroom 1", "UF", ((0, 0), (3.8, 0), (3.8, 4.2), (0, 4.2)), RoomUse.BEDROOM),
        ("bed2", "Bedroom 2", "UF", ((3.8, 0), (7.5, 0), (7.5, 4.2), (3.8, 4.2)), RoomUse.BEDROOM),
        ("landing", "Landing", "UF", ((2.6, 4.2), (7.5, 4.2), (7.5, 9), (2.6, 9)), RoomUse.LANDING),
        ("bath", "Bathroom", "UF", ((0, 4.2), (2.6, 4.2), (2.6, 9), (0, 9)), RoomUse.BATHROOM),
    ]
    openings = [
        door("D-1", "Front door", "W-N", 7.0 + 0.15, ("study", OUT), 1.0),
        door("D-2", "Side door", "W-W", 2.4, ("cloak", OUT), final_exit=True),
        door("D-3", "Cloakroom door", "W-4", 1.2, ("cloak", "hall"), 0.8),
        door("D-4", "Living room door", "W-1", 3.6, ("living", "hall"), 0.85),
        door("D-5", "Study door", "W-5", 1.4, ("study", "hall"), 0.85),
        door("D-6", "Workshop door", "W-3", 5.4, ("workshop", "hall"), 0.9, usually="shut"),
        door("D-7", "Kitchen arch", "W-1", 6.2, ("kitchen", "hall"), 1.1, kind="passage", leaves=()),
        Opening(
            id="D-8",
            name="Garden doors",
            kind=OpeningKind.DOOR,
            place=OnWall(wall_id="W-S", offset_m=2.6),
            width_m=2.4,
            height_m=2.1,
            sill_m=0.0,
            sides=("living", OUT),
            leaves=(
                Leaf(id="D-8.a", movement=Movement.SLIDING, glazing=Glazing(), lifts_out=True),
                Leaf(id="D-8.b", role=LeafRole.FIXED, movement=Movement.FIXED, glazing=Glazing()),
            ),
        ),
        Opening(
            id="D-9",
            name="Workshop gate",
            kind=OpeningKind.GARAGE_DOOR,
            place=OnWall(wall_id="W-E", offset_m=3.0),
            width_m=2.6,
            height_m=2.2,
            sill_m=0.0,
            sides=("workshop", OUT),
            leaves=(Leaf(id="D-9.a", movement=Movement.OVERHEAD),),
        ),
        window("F-1", "Living room window", "W-W", 7.0, "living"),
        window("F-2", "Kitchen window", "W-S", 6.3, "kitchen"),
        window("F-3", "Study window", "W-N", 8.9, "study"),
        window("F-4", "Workshop window", "W-S", 9.9, "workshop", 2.0),
        window("F-5", "Bedroom 1 window", "U-S", 2.0, "bed1"),
        window("F-6", "Bedroom 2 window", "U-S", 5.8, "bed2"),
        window("F-7", "Bathroom window", "U-W", 2.4, "bath", 0.8),
        window("F-8", "Landing window", "U-E", 7.0, "landing"),
        door("D-10", "Bedroom 1 door", "U-1", 3.1, ("bed1", "landing"), 0.8),
        door("D-11", "Bedroom 2 door", "U-1", 4.6, ("bed2", "landing"), 0.8),
        door("D-12", "Bathroom door", "U-3", 1.2, ("bath", "landing"), 0.8),
    ]
    return Premises(
        name="Hopgarth Lane 3 (invented)",
        storeys=(
            Storey(id="GF", name="Ground floor", elevation_m=0.0, height_m=2.5),
            Storey(id="UF", name="Upper floor", elevation_m=2.8, height_m=2.4),
        ),
        walls=tuple(walls),
        rooms=tuple(Room(id=k, name=n, storey_id=s, outline=o, use=u) for k, n, s, o, u in rooms),
        openings=tuple(openings),
        stairs=(
            Stair(
                id="ST-1",
                name="Stair",
                lower_storey_id="GF",
                upper_storey_id="UF",
                foot=(6.9, 5.9),
                head=(3.4, 5.9),
                width_m=0.9,
            ),
        ),
        obstacles=(
            Obstacle(
                id="O-1",
                name="Sofa",
                storey_id="GF",
                outline=((0.4, 1.0), (1.3, 1.0), (1.3, 3.0), (0.4, 3.0)),
                height_m=0.8,
            ),
            Obstacle(
                id="O-2",
                name="Bench",
                storey_id="GF",
                outline=((11.0, 5.5), (11.8, 5.5), (11.8, 8.6), (11.0, 8.6)),
                height_m=0.9,
            ),
        ),
        heat_sources=(
            HeatSource(id="H-1", kind="stove", storey_id="GF", position=(4.2, 0.7)),
            HeatSource(id="H-2", kind="radiator", storey_id="GF", position=(6.8, 8.6), size_m=1.0),
        ),
        pets=(
            Pet(id="P-1", kind="dog", name="Bo", mass_kg=18, height_m=0.5, length_m=0.9, room_ids=("hall", "kitchen")),
        ),
        people=(Person(id="A-1", role="elder", walking_speed_m_s=0.7),),
        targets=(
            Target(id="T-1", name="Tools", room_id="workshop", position=(11.2, 4.6), take_s=90),
            Target(id="T-2", name="Jewellery", room_id="bed1", position=(0.6, 3.6), take_s=120),
        ),
        surroundings=Surroundings(north_rad=math.radians(70), country="GB", response=Response(median_s=1200)),
    )


def _device(key: str, kind: str, storey: str, x: float, y: float, facing: float = 0.0, **more: object) -> Device:
    return Device.model_validate(
        {"id": key, "kind": kind, "storey_id": storey, "position": (x, y), "heading_rad": math.radians(facing)} | more
    )


def design() -> Design:
    devices = (
        _device("CP-1", "panel-8", "GF", 0.4, 8.5, name="Panel behind the coats", room_id="cloak"),
        _device("CM-1", "communicator-dual", "GF", 0.4, 8.0, name="Communicator behind the coats"),
        _device("PS-1", "supply-2a", "GF", 1.0, 8.6, name="Supply behind the coats"),
        _device("KP-1", "keypad", "GF", 0.3, 5.2, height_m=1.3),
        _device("PIR-1", "pir-pet", "GF", 7.2, 4.5, 150),
        _device("PIR-2", "pir-wide", "GF", 7.8, 8.7, -50),
        _device("PIR-3", "pir-wide", "GF", 0.2, 0.2, 45),
        _device("PIR-4", "pir-wide-radio", "UF", 7.3, 8.8, 225),
        _device("MC-1", "contact-surface", "GF", 5.0, 8.9, opening_id="D-1", leaf_id="D-1.a"),
        _device("MC-2", "contact-surface", "GF", 0.1, 6.9, opening_id="D-2", leaf_id="D-2.a", status=Keep.KEPT),
        _device("MC-3", "contact-surface", "GF", 2.1, 0.1, opening_id="D-8", leaf_id="D-8.a"),
        _device("MC-4", "contact-overhead-door", "GF", 11.9, 3.0, opening_id="D-9", leaf_id="D-9.a"),
        _device("GB-1", "glass-break", "GF", 2.4, 4.1, -90),
        _device("SHK-1", "shock", "GF", 9.0, 0.1, opening_id="F-4"),
        _device("IS-1", "sounder-inner", "UF", 5.0, 4.5),
        _device("OS-1", "sounder-outer", "GF", 12.35, 7.5, 0, height_m=4.0),
        _device("SM-1", "smoke", "UF", 4.4, 6.6),
    )
    return Design(
        devices=devices,
        cables=(
            Cable(id="C-1", kind="cable-6x022", from_id="CP-1", to_id="PIR-1", length_m=14.0),
            Cable(id="C-2", kind="cable-4x022", from_id="CP-1", to_id="MC-1"),
            Cable(id="C-3", kind="cable-6x022", from_id="PIR-1", to_id="PIR-2", length_m=9.5),
        ),
        loops=(
            Loop(
                id="L-1",
                at="CP-1",
                terminal="Z1",
                scheme=Scheme.DOUBLE,
                contacts=("PIR-1",),
                cable_ids=("C-1",),
                resistors=(
                    Resistor(role="end of line", ohm=4700, at="PIR-1"),
                    Resistor(role="alarm", ohm=4700, at="PIR-1"),
                ),
            ),
            Loop(
                id="L-2", at="CP-1", terminal="Z2", scheme=Scheme.DOUBLE, contacts=("MC-1", "MC-3"), cable_ids=("C-2",)
            ),
        ),
        feeds=(
            Feed(id="S-1", from_id="CP-1", to_id="PIR-1", cable_id="C-1", fused_a=0.5),
            Feed(id="S-2", from_id="PIR-1", to_id="PIR-2", cable_id="C-3"),
        ),
        radio=(RadioLink(device_id="PIR-4", receiver_id="CP-1"),),
        backups=(Backup(at="CP-1", kind="battery-7ah"),),
        programme=Programme(
            areas=(Area(id="A1", name="House"), Area(id="A2", name="Workshop", entry_s=20)),
            zones=(
                Zone(
                    id="Z-1",
                    number=1,
                    name="Hall",
                    area_ids=("A1",),
                    response=ZoneResponse.INTERIOR_FOLLOWER,
                    loop_id="L-1",
                    set_with_people_inside=False,
                ),
                Zone(
                    id="Z-2",
                    number=2,
                    name="Front and garden doors",
                    area_ids=("A1",),
                    response=ZoneResponse.PERIMETER,
                    loop_id="L-2",
                ),
                Zone(
                    id="Z-3",
                    number=3,
                    name="Side door",
                    area_ids=("A1",),
                    response=ZoneResponse.ENTRY_EXIT,
                    device_ids=("MC-2",),
                ),
                Zone(
                    id="Z-4",
                    number=4,
                    name="Workshop",
                    area_ids=("A2",),
                    response=ZoneResponse.INTERIOR,
                    device_ids=("PIR-2", "MC-4", "SHK-1"),
                ),
                Zone(
                    id="Z-5",
                    number=5,
                    name="Living room",
                    area_ids=("A1",),
                    response=ZoneResponse.INTERIOR,
                    device_ids=("PIR-3", "GB-1"),
                ),
                Zone(
                    id="Z-6",
                    number=6,
                    name="Landing",
                    area_ids=("A1",),
                    response=ZoneResponse.INTERIOR,
                    device_ids=("PIR-4",),
                    set_with_people_inside=False,
                ),
            ),
            timers=Timers(entry_s=30, exit_s=45),
            rights=(
                Right(id="R-1", holder="household", area_ids=("A1", "A2"), may=("set", "unset")),
                Right(
                    id="R-2",
                    holder="cleaner",
                    area_ids=("A1",),
                    may=("set", "unset"),
                    days=("tue",),
                    from_time="09:00",
                    until_time="12:00",
                    expires="2027-03-31",
                ),
            ),
            outputs=(
                Output(device_id="OS-1", on=("intruder", "tamper")),
                Output(device_id="IS-1", on=("intruder", "entry", "exit")),
            ),
            paths=(
                ReportingPath(id="RP-1", kind="ip", device_id="CM-1", category="DP2"),
                ReportingPath(id="RP-2", kind="cellular", device_id="CM-1", priority=2),
            ),
            confirmation="sequential",
        ),
    )


def brief(profile: Profile = Profile.EU_GRADE_2) -> Brief:
    return Brief(
        client="M. and T. Ostrander",
        address="3 Hopgarth Lane, Nowhere",
        profile=profile,
        wishes=(
            "Sleep upstairs with the ground floor watched",
            "The dog stays in the hall and kitchen",
            "The workshop set by itself in the evening",
        ),
        limits=("No cable to be seen in the living room",),
        currency="GBP",
    )


def scheme(profile: Profile = Profile.EU_GRADE_2) -> ProtectionScheme:
    return ProtectionScheme(premises(), design(), load_catalogue(), brief(profile))


def job(profile: Profile = Profile.EU_GRADE_2) -> Job:
    return Job(
        id="J-1",
        title="Hopgarth Lane 3",
        firm=Firm(name="Example Alarms", address="1 Sample Road, Nowhere", telephone="00 0000 0000"),
        brief=brief(profile),
        premises=premises(),
        design=design(),
        intake=(
            IntakeNote(what="sill height", where=("F-3",), assumed="0.90 m", correct_by="measure the sill of F-3"),
            IntakeNote(what="position of the heat meter", assumed="not there", correct_by="draw it", missing=True),
        ),
        invented=True,
    )


def margin_map() -> CoverageMap:
    grid = Grid("GF", 0.0, 0.0, 0.1, 121, 91)
    xx, yy = grid.centres()
    margin = np.full(xx.shape, -np.inf)
    least = np.zeros(xx.shape)
    for px, py, (x0, y0, x1, y1) in (
        (7.2, 4.5, (2.6, 4.2, 7.5, 6.4)),
        (7.8, 8.7, (7.5, 0, 12, 9)),
        (0.2, 0.2, (0, 0, 4.8, 4.2)),
    ):
        inside = (xx > x0) & (xx < x1) & (yy > y0) & (yy < y1)
        reach = np.hypot(xx - px, yy - py)
        value = 16.0 - 2.6 * reach
        margin = np.where(inside, value, margin)
        least = np.where(inside, np.arctan2(py - yy, px - xx), least)
    return CoverageMap(grid, margin, least, (0.3, 1.0), "away")


def _route(
    kind: str,
    points: list[tuple[str, float, float]],
    pace: float,
    noticed: list[tuple[str, str, float, float, float, float]],
    chance: float,
) -> Route:
    times, length = [0.0], 0.0
    for (_, x0, y0), (_, x1, y1) in itertools.pairwise(points):
        length += math.hypot(x1 - x0, y1 - y0)
        times.append(20.0 + length / pace)
    noticings = tuple(Noticing(d, (z,), "GF", (x, y), t, p) for d, z, x, y, t, p in noticed)
    return Route(
        kind=kind,
        mode="away",
        opening_id="F-4",
        attack="glass broken and climbed through",
        target_id="T-1",
        points=tuple(points),
        times_s=tuple(times),
        length_m=length,
        time_s=times[-1],
        probability=chance,
        interval=(max(0.0, chance - 0.3), min(1.0, chance + 0.2)),
        noticings=noticings,
        first_s=noticings[0].time_s if noticings else None,
        first_device_id=noticings[0].device_id if noticings else None,
        first_at=("GF", *noticings[0].position) if noticings else None,
        confirmed_probability=0.4,
        confirm_gap_s=14.0,
        left_to_run_s=12.0,
        after_first_s=140.0,
        interruption=0.1,
        assumption="clothing and room temperature",
        dependence="each device counted once at its best, which never overstates",
    )


def route_analysis() -> RouteAnalysis:
    low = [("GF", 9.8, -0.6), ("GF", 9.8, 0.6), ("GF", 11.6, 0.9), ("GF", 11.6, 4.2), ("GF", 11.3, 4.5)]
    fast = [("GF", 9.8, -0.6), ("GF", 9.8, 0.6), ("GF", 11.1, 4.5)]
    timed = [("GF", 9.8, -0.6), ("GF", 9.8, 0.6), ("GF", 10.6, 1.6), ("GF", 11.2, 4.5)]
    return RouteAnalysis(
        routes=(
            _route(
                "quietest",
                low,
                0.3,
                [("SHK-1", "Z-4", 9.8, 0.1, 6.0, 0.5), ("PIR-2", "Z-4", 11.6, 3.0, 34.0, 0.45)],
                0.72,
            ),
            _route(
                "fastest",
                fast,
                2.5,
                [("SHK-1", "Z-4", 9.8, 0.1, 6.0, 0.5), ("PIR-2", "Z-4", 10.3, 2.2, 21.0, 0.95)],
                0.97,
            ),
            _route(
                "best-timed",
                timed,
                1.0,
                [("SHK-1", "Z-4", 9.8, 0.1, 6.0, 0.5), ("PIR-2", "Z-4", 10.9, 2.9, 25.0, 0.8)],
                0.9,
            ),
        ),
    )


def findings() -> tuple[Finding, ...]:
    met, fails, unsure, idle = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.DOES_NOT_APPLY
    needed, wished, recalled = Weight.REQUIRED, Weight.RECOMMENDED, Weight.REMEMBERED
    ways = [
        Finding(
            rule="entry.opening-watched",
            question=Question.ENTRY,
            outcome=met if i % 5 else unsure,
            weight=needed,
            about=(o.id,),
            explanation=f"{o.name}: forced, likely noticed by the nearest contact.",
            plain="Every outside door is watched." if o.kind is OpeningKind.DOOR else "Windows in reach are watched.",
            value=0.9,
            operator=">=",
            limit=0.8,
            interval=(0.7, 0.95),
            assumption="how the leaf is forced",
            citation="the brief",
            digits=1,
        )
        for i, o in enumerate(premises().openings, 1)
        if o.is_outside
    ]
    return (
        *ways,
        Finding(
            "route.detected-before-target",
            Question.ROUTE,
            fails,
            needed,
            ("F-4", "T-1"),
            "The quietest way from Workshop window to Tools is noticed only 7 times in 10 before the target.",
            "A way through the building is noticed less surely than you asked.",
            0.72,
            ">=",
            0.9,
            "",
            (0.42, 0.92),
            "clothing and room temperature",
            "the brief",
            "Turn PIR-2 so that the window wall crosses its field.",
            1,
        ),
        Finding(
            "route.confirmed",
            Question.ROUTE,
            unsure,
            needed,
            ("F-4", "T-1"),
            "No second zone lies on the way.",
            "Between the Workshop window and the Workshop nothing confirms.",
            citation="the brief",
        ),
        Finding(
            "power.standby-hours",
            Question.POWER,
            met,
            needed,
            ("CP-1",),
            "The battery carries 14 h in standby.",
            "The system runs on when the mains fails.",
            14.2,
            ">=",
            12.0,
            "h",
            (11.8, 16.9),
            "battery age",
            "EN50131-1 table 23",
        ),
        Finding(
            "power.voltage",
            Question.POWER,
            fails,
            wished,
            ("PIR-2",),
            "Voltage at PIR-2 at the end of discharge.",
            "A detector could run short of power after many hours.",
            9.3,
            ">=",
            9.5,
            "V",
            (9.1, 9.5),
            "cable length",
            "common practice, no source",
            "Use 0.5 mm² for C-3.",
        ),
        Finding(
            "living.entry-walk",
            Question.LIVING,
            met,
            needed,
            ("D-2", "KP-1"),
            "The walk to the keypad takes 9 s.",
            "The slowest of you reaches the keypad in time.",
            9.0,
            "<=",
            30.0,
            "s",
            (7.0, 13.0),
            "walking pace",
            "the brief",
        ),
        Finding(
            "nuisance.heat",
            Question.NUISANCE,
            met,
            wished,
            ("PIR-3", "H-1"),
            "The stove lies 2 m outside the field.",
            "No detector looks at a stove.",
            2.1,
            ">=",
            1.5,
            "m",
            citation="common practice, no source",
        ),
        Finding(
            "EU-GEN-09",
            Question.RULES,
            unsure,
            recalled,
            ("CP-1",),
            "Tamper on the panel's cover is remembered as required.",
            "One point of the standard waits for its text.",
            citation="from memory",
        ),
        Finding("rules.hold-up", Question.RULES, idle, needed, (), "No hold-up device.", "", citation="the brief"),
    )


def power() -> PowerAnalysis:
    return PowerAnalysis(
        standby=(
            Standby(
                "CP-1", 0.21, 0.9, 7.0, 5.4, 12.0, "EN50131-1 table 23", 900.0, 14.2, (11.8, 16.9), 9.0, "battery age",
                (("standby current, all devices", "0.21 A"), ("alarm current", "0.90 A for 15 min"),
                 ("capacity at this rate, 20 °C", "6.3 Ah")),
            ),
        ),
        voltages=(
            VoltageAt("PIR-1", "CP-1", 10.3, 9.5, 0.012, 9.0, steps=(("14 m of 0.22 mm²", "2.2 Ω"), ("drop", "0.2 V"))),
            VoltageAt("PIR-2", "PIR-1", 9.3, 9.5, 0.012, None, undecided=""),
        ),
    )  # fmt: skip


def loops() -> LoopAnalysis:
    return LoopAnalysis(
        (
            LoopReport(
                "L-1",
                (LoopState("short", 0.0, 0.02), LoopState("rest", 0.31, 0.36), LoopState("alarm", 0.48, 0.53)),
                0.12,
                ("rest", "alarm"),
                "resistor tolerance",
                ("PIR-1 in alarm and its cover off",),
                (4700.0, 4700.0),
            ),
            LoopReport("L-2", (), None, None, "", (), undecided="the resistance of C-2 is not known: measure it at Z2"),
        )
    )


def timing() -> TimingAnalysis:
    return TimingAnalysis(
        (ExitWalk("D-2", "KP-1", 5.1, 9.0, (7.0, 13.0), 30.0, 45.0, ("PIR-1",), "walking pace of the slowest"),)
    )


def entry() -> EntryAnalysis:
    heard = Notice("GB-1", 0.8, (0.5, 0.9), "glass heard at 4.2 m", "curtains")
    return EntryAnalysis(
        (
            WayIn("F-1", "F-1.a", "glass broken and climbed through", "away", True, 20.0, (heard,), 0.8, (0.5, 0.9)),
            WayIn("F-8", "F-8.a", "forced", "away", False, 60.0, (), 0.1, (0.0, 0.2)),
        )
    )


def proof(profile: Profile = Profile.EU_GRADE_2) -> Proof:
    whole = scheme(profile)
    made = findings()
    taken = next(f for f in made if f.rule == "power.voltage")
    job_with = accept(job(profile), taken, who="T. Ostrander", why="the cable is bricked in", when="2026-11-20")
    tariff = load_tariff()
    return Proof(
        job=job_with,
        scheme=whole,
        findings=made,
        accepted=((taken, job_with.departures[0]),),
        lapsed=((job_with.departures[0].model_copy(update={"rule": "power.old", "about": ("PIR-9",)}), "it is gone"),),
        entry=entry(),
        routes=(route_analysis(),),
        power=power(),
        loops=loops(),
        timing=timing(),
        coverage={"GF": margin_map()},
        estimate=estimate(whole.design, whole.catalogue, tariff=tariff, premises=whole.premises),
        offers=offers(whole.design, whole.catalogue, tariff=tariff, premises=whole.premises),
    )
