"""BS 8243:2021 and its forerunners on confirmed alarms; sounders by the code on noise."""

from collections.abc import Iterator
from itertools import combinations

from wardwright.catalogue.kinds import Family
from wardwright.panel.events import Ask, Condition, Elapse, Event, UserEvent, ZoneEvent
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.state import standing_set
from wardwright.panel.tables import Phase
from wardwright.rules.evidence import INTRUDER, MOVEMENT, SOUNDERS, Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, stated, undecided
from wardwright.rules.panel_runs import (
    NOT_RUN,
    alarming,
    confirm_window_s,
    doors,
    opened,
    ran,
    reports,
    run,
    tripped,
)
from wardwright.rules.register import clause


@clause("UK-CNF-01")
def method_chosen(evidence: Evidence) -> Iterator[Judgement]:
    """Sequential, audio or visual confirmation is used, or a mix (BS 8243:2021 cl. 4.2.1)."""
    plain = "How a real alarm is told from a false one is agreed."
    if evidence.programme.confirmation == "sequential":
        yield stated(True, "sequential confirmation is programmed", "", plain=plain, about=("programme",))
    else:
        yield undecided(
            "no sequential confirmation is programmed; audio or visual confirmation is not modelled: say what is used",
            plain,
            about=("programme",),
        )


@clause("UK-CNF-04")
def outdoor_detectors_confirm_nothing(evidence: Evidence) -> Iterator[Judgement]:
    """Detectors outside the supervised premises never help to confirm an alarm."""
    plain = "Detectors outdoors never call help by themselves."
    outdoors = tuple(
        d.id for d, _ in evidence.of(*MOVEMENT, Family.BEAM) if d.opening_id is None and evidence.is_indoors(d) is False
    )
    zones = evidence.scheme.zones_of_device
    counted = tuple(d for d in outdoors if any(z.response in INTRUDER for z in zones.get(d, ())))
    if not outdoors:
        yield not_applicable("there is no detector outdoors")
    else:
        yield stated(
            not counted,
            "detectors outdoors are on no intruder zone",
            f"{', '.join(counted)}: outdoors and on an intruder zone, so part of a confirmed alarm",
            plain=plain,
            about=outdoors,
            fix="a technical zone, or a place inside",
        )


@clause("UK-CNF-06")
def confirmation_window(evidence: Evidence) -> Iterator[Judgement]:
    """The second activation counts within 30 to 60 minutes."""
    plain = "A second detection within the hour makes the alarm a confirmed one."
    if evidence.panel is None:
        yield undecided(NOT_RUN, plain)
        return
    seconds = confirm_window_s(evidence.panel)
    if seconds is None:
        yield not_applicable("no sequential confirmation is programmed, or nothing alarms")
        return
    window = seconds / 60.0
    yield compared("confirmation window", window, ">=", 30.0, "min", plain=plain, about=("programme",), fix="30 min")
    yield compared("confirmation window", window, "<=", 60.0, "min", plain=plain, about=("programme",), fix="60 min")


@clause("UK-CNF-07")
def overlap_of_like_technology(evidence: Evidence) -> Iterator[Judgement]:
    """Two movement detectors of like technology should not watch the same area."""
    plain = "Two detectors that confirm each other do not share one weakness."
    pairs = [
        (a, b)
        for (a, ka), (b, kb) in combinations(evidence.of(*MOVEMENT), 2)
        if ka.family is kb.family
        and evidence.room_of[a.id] is not None
        and evidence.room_of[a.id] == evidence.room_of[b.id]
    ]
    if not pairs:
        yield stated(True, "no two movement detectors of like technology share a room", "", plain=plain)
    for a, b in pairs:
        yield stated(
            False,
            "",
            f"{a.id} and {b.id} are of like technology and share a room (judged by room, not by field of view)",
            plain="Two detectors in one room work the same way; one of them should work differently.",
            about=(a.id, b.id),
            fix="another technology for one of them",
        )


@clause("UK-CNF-08")
def one_device_twice(evidence: Evidence) -> Iterator[Judgement]:
    """One device that reports twice, or by two outputs, confirms nothing."""
    plain = "A single detector cannot confirm itself."
    panel = evidence.panel
    if panel is None or not panel.confirmation:
        yield not_applicable("no sequential confirmation is programmed")
        return
    start = standing_set(panel)
    by_itself = []
    for device, zones in evidence.scheme.zones_of_device.items():
        mine = [z for z in evidence.panel_zones((device,)) if z in alarming(panel)]
        twice = [e for _ in range(2) for z in mine for e in tripped(panel, z)]
        if zones and "confirmed intruder" in reports(run(panel, twice, start)[1]):
            by_itself.append(device)
    yield ran(
        not by_itself,
        "run: every detector tripped again and again by all its zones confirms nothing by itself",
        f"run: {', '.join(by_itself)} confirms itself",
        plain,
        tuple(by_itself),
    )


def _finishes(panel: PanelProgramme, area: int) -> tuple[bool, bool]:
    """Whether an area is set by its exit time alone, and whether shutting the final door sets it."""
    asked: list[Event] = [UserEvent(Ask.SET_AWAY, area)]
    by_time, _ = run(panel, [*asked, Elapse(2 * panel.areas[area].exit_ms + 1)])
    door = next((d for d in doors(panel, area) if panel.zones[d].areas == (area,)), None)
    by_door, _ = run(panel, [*asked, *([] if door is None else opened(door))])
    return by_time.areas[area].phase is Phase.SET, by_door.areas[area].phase is Phase.SET


@clause("UK-CNF-09")
def two_stages(evidence: Evidence) -> Iterator[Judgement]:
    """Setting starts inside and is completed by a positive act: here the final door shut behind one."""
    plain = "The system is set by a deliberate act at the door as you leave."
    if evidence.panel is None:
        yield undecided(NOT_RUN, plain)
        return
    for i, area in enumerate(evidence.names.area_ids):
        _, by_door = _finishes(evidence.panel, i)
        good = f"run: “{area}” is set by opening and shutting its final door"
        bad = f"run: opening and shutting a final door does not set “{area}”"
        yield ran(by_door, good, bad, plain, (area,))


@clause("UK-CNF-10")
def no_timed_exit(evidence: Evidence) -> Iterator[Judgement]:
    """Setting is completed by a positive act, not by a timed exit."""
    plain = "The system is not set by the clock while you may still be inside."
    if evidence.panel is None:
        yield undecided(NOT_RUN, plain)
        return
    for i, area in enumerate(evidence.names.area_ids):
        by_time, _ = _finishes(evidence.panel, i)
        good = f"run: time running out does not set “{area}”"
        yield ran(not by_time, good, f"run: “{area}” is set by its exit time alone", plain, (area,))


@clause("UK-CNF-12")
def nothing_confirmed_after_entry(evidence: Evidence) -> Iterator[Judgement]:
    """From the start of entry until the next setting nothing is confirmed, where opening the door stops it."""
    panel = evidence.panel
    plain = "A mistake at your own door never brings the police."
    if panel is None:
        yield undecided(NOT_RUN, plain)
        return
    if not panel.confirmation or not any(doors(panel, area) for area in range(len(panel.areas))):
        yield not_applicable("no sequential confirmation, or no entry door")
        return
    wrong = []
    for area, key in enumerate(evidence.names.area_ids):
        for door in doors(panel, area):
            others = [i for i, r in enumerate(panel.zones) if i != door and area in r.areas and r.guards]
            events = [ZoneEvent(door, Condition.ACTIVE), *(e for z in others for e in opened(z))]
            events += [Elapse(panel.areas[area].entry_ms), *(e for z in others for e in opened(z))]
            if "confirmed intruder" in reports(run(panel, events, standing_set(panel))[1]):
                wrong.append(key)
    good = "run: entry by each door, then all others, before and after entry time: nothing confirmed"
    yield ran(not wrong, good, "run: confirmed after entry", plain, tuple(dict.fromkeys(wrong)))


@clause("UK-NSE-01")
def twenty_minutes(evidence: Evidence) -> Iterator[Judgement]:
    """The 1982 code on noise asks for a cut-out after 20 minutes; still quoted."""
    yield from _sounder(evidence, 1200.0)


@clause("UK-NSE-05")
def fifteen_minutes_meets_both(evidence: Evidence) -> Iterator[Judgement]:
    """15 minutes meets the European limit and the code."""
    yield from _sounder(evidence, 900.0)


def _sounder(evidence: Evidence, limit: float) -> Iterator[Judgement]:
    if evidence.of(*SOUNDERS):
        yield compared(
            "sounder time",
            evidence.bell_s,
            "<=",
            limit,
            "s",
            plain="The sounders stop before they become a nuisance to the neighbours.",
            about=("programme",),
            fix="a shorter sounder time",
        )
