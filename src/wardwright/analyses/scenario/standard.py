"""How a system works, as scenarios made from the job itself: going out and coming home, and a break-in it notices."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wardwright.analyses.mode import Mode
from wardwright.analyses.route_records import Route, RouteAnalysis
from wardwright.analyses.scenario.playing import play
from wardwright.analyses.scenario.script import Act, Actor, Scenario
from wardwright.analyses.scenario.timeline import Timeline
from wardwright.analyses.timing import WALKED_OUT, TimingAnalysis
from wardwright.design.programme import Right
from wardwright.design.system import ProtectionScheme
from wardwright.errors import WardwrightError

TRIES = 6
"""Ways in tried until one of them makes a story."""
MONDAY = "2026-03-02"
"""Any Monday: rights may depend on the day. Invented."""


@dataclass(frozen=True)
class Story:
    """One scenario and what came of it."""

    heading: str
    scenario: Scenario
    timeline: Timeline


def standard_stories(
    scheme: ProtectionScheme, walks: TimingAnalysis | None, routes: Sequence[RouteAnalysis]
) -> tuple[Story, ...]:
    """The stories a job tells by itself, in their likeliest course.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, system, brief.
    walks : TimingAnalysis, optional
        The walks to the keypads.
    routes : sequence of RouteAnalysis
        The routes of the proof, one for each mode.

    Returns
    -------
    tuple of Story
        Going out and coming home; a break-in while everybody is out; one at night, where people sleep in. What cannot
        be told (no final door, no keypad, no way in that is noticed in time) is left out.
    """
    found = [_out_and_home(scheme, walks)]
    found += [_break_in(scheme, walks, analysis) for analysis in routes]
    return tuple(story for story in found if story is not None)


def _played(scheme: ProtectionScheme, walks: TimingAnalysis | None, heading: str, scenario: Scenario) -> Story | None:
    try:
        return Story(heading, scenario, play(scheme, scenario, walks))
    except WardwrightError:
        return None  # something is missing that the proof says by itself: no floor, no keypad, no way


def _out_and_home(scheme: ProtectionScheme, walks: TimingAnalysis | None) -> Story | None:
    """Somebody sets the system, leaves by the final door, comes home and unsets it."""
    programme = scheme.design.programme
    doors = [o for o in scheme.premises.openings if o.final_exit and o.kind in WALKED_OUT]
    for door in doors:
        on_door = {d.id for d in scheme.fitted if d.opening_id == door.id}
        areas = {a for key in on_door for z in scheme.zones_of_device.get(key, ()) for a in z.area_ids}
        right = _fullest(programme.rights, areas)
        room = next((r for r in door.room_ids if scheme.premises.room(r).indoors), None)
        if not areas or room is None or (programme.rights and right is None):
            continue
        held = sorted(areas & set(right.area_ids)) if right is not None else sorted(areas)
        begins = right.from_time if right is not None and right.from_time else "08:00"
        script = Scenario(
            title="Going out and coming home",
            date=MONDAY,
            begins=begins,
            actor=(
                Actor(
                    id="resident",
                    name=_name(scheme, right),
                    right=right.holder if right is not None else "resident",
                    where=room,
                    act=(
                        Act(do="set away", areas=tuple(held)),
                        Act(do="leave", by=door.id),
                        Act(do="wait", seconds=600.0),
                        Act(do="come in", by=door.id),
                        Act(do="unset", areas=tuple(held)),
                    ),
                ),
            ),
        )
        story = _played(scheme, walks, "Going out and coming home", script)
        if story is not None and not story.timeline.false_alarms and _was_set(story.timeline):
            return story
    return None


def _name(scheme: ProtectionScheme, right: Right | None) -> str:
    """Name of whoever holds a right, where the building knows the person."""
    if right is None:
        return "Somebody who lives here"
    known = (p.name for p in scheme.premises.people if p.id == right.holder and p.name)
    return next(known, f"The {right.holder}")


def _fullest(rights: Sequence[Right], areas: set[str]) -> Right | None:
    """The right that sets and unsets most of these areas."""
    fitting = [r for r in rights if {"set", "unset"} <= set(r.may) and areas & set(r.area_ids) and not r.expires]
    return max(fitting, key=lambda r: (len(areas & set(r.area_ids)), not r.from_time), default=None)


def _was_set(timeline: Timeline) -> bool:
    return any(phase.startswith("set") for m in timeline.moments for _, phase in m.phases)


def _break_in(scheme: ProtectionScheme, walks: TimingAnalysis | None, analysis: RouteAnalysis) -> Story | None:
    """The surest noticed of the fastest routes, if in its likeliest course it is noticed and reported in time."""
    inside = analysis.mode == Mode.INSIDE.value
    areas = tuple(a.id for a in scheme.design.programme.areas)
    heading = "Somebody breaks in at night" if inside else "Somebody breaks in while you are out"
    for route in _surest(analysis):
        if route.target_id not in {t.id for t in scheme.premises.targets}:
            continue
        actor = Actor(
            id="intruder",
            name="Intruder",
            kind="intruder",
            act=(Act(do="break in", by=route.opening_id, to=route.target_id),),
        )
        script = Scenario(
            title=heading,
            date=MONDAY,
            begins="02:00" if inside else "11:00",
            set_away=() if inside else areas,
            set_inside=areas if inside else (),
            actor=(actor,),
        )
        story = _played(scheme, walks, heading, script)
        if story is not None and all(i.in_time(story.timeline.monitored) for i in story.timeline.intrusions):
            return story
    return None


def _surest(analysis: RouteAnalysis) -> Iterator[Route]:
    """One fastest route for each of the ways in that are noticed most surely, and of those alike the soonest."""
    fastest = [r for r in analysis.routes if r.kind == "fastest"]
    fastest.sort(
        key=lambda r: (-round(r.probability, 1), -round(r.confirmed_probability, 1), -(r.left_to_run_s or 0.0))
    )
    seen: set[str] = set()
    for route in fastest:
        if route.opening_id not in seen:
            seen.add(route.opening_id)
            yield route
        if len(seen) >= TRIES:
            return
