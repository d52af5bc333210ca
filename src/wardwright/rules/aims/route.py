"""Is every way through caught, and how soon? Findings for each target and mode, by the route that does worst."""

from collections.abc import Sequence

from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import Route, RouteAnalysis
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.premises.plan import storey_plans
from wardwright.rules.aims.entry import WHEN
from wardwright.rules.aims.spread import in_words, judge_at_least

BRIEF = "the brief"
CONFIRMED_P = 0.5
"""A second zone counts as confirming from even odds up, at the pessimistic end. Assumption, no source. [-]"""
DETECTED = {
    Outcome.MET: "Somebody who breaks in is very likely to be noticed before getting to what is to be protected.",
    Outcome.NOT_MET: "The building needs another detector on the inside; our proposal says which.",
    Outcome.NOT_DECIDED: "How surely somebody inside is noticed depends on something still to be tried on site.",
}
CONFIRMED = {
    Outcome.MET: "A second, independent detector backs up the first within the time asked for.",
    Outcome.NOT_MET: "A second detector is wanted so that an alarm can be told from a mistake in time.",
    Outcome.NOT_DECIDED: "Whether a second detector backs up the first in time has still to be tried on site.",
}


def route_findings(scheme: ProtectionScheme, analyses: Sequence[RouteAnalysis]) -> tuple[Finding, ...]:
    """Findings on the ways through the building.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    analyses : sequence of RouteAnalysis
        All routes, one analysis for each mode wanted.

    Returns
    -------
    tuple of Finding
        For each target and mode: detected before it (required), confirmed in time (required away, recommended with
        people inside, who are themselves the confirmation), and what the response can do where one is known.
    """
    found: list[Finding] = []
    for analysis in analyses:
        if analysis.undecided:
            found.append(_not_computed(analysis))
        elif not analysis.routes:
            found.append(_no_way(analysis))
        targets = dict.fromkeys((r.target_id, r.mode) for r in analysis.routes)
        for target_id, mode in targets:
            ways = [r for r in analysis.routes if (r.target_id, r.mode) == (target_id, mode)]
            found += [_detected(scheme, ways), _confirmed(scheme, ways)]
            if any(r.interruption is not None for r in ways):
                found.append(_interrupted(scheme, ways))
            if mode == Mode.AWAY.value and scheme.brief.alarm_in_time is not None:
                found.append(_in_time(scheme, ways, scheme.brief.alarm_in_time))
    return tuple(found)


def bounds(route: Route) -> tuple[float, float]:
    """Pessimistic and optimistic chance of detection; where places were not measured only contacts are sure."""
    return (route.sure_probability, 1.0) if route.assumed else route.interval


def _worst(outcomes: Sequence[Outcome]) -> Outcome:
    return next(o for o in (Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.MET) if o in outcomes)


def _rule(name: str, mode: str) -> str:
    return name if mode == Mode.AWAY.value else f"{name}-with-people-inside"


def _detected(scheme: ProtectionScheme, ways: Sequence[Route]) -> Finding:
    limit = scheme.brief.detect_before_target
    outcomes = [judge_at_least(bounds(r), limit) for r in ways]
    outcome = _worst(outcomes)
    worst = min((r for r, o in zip(ways, outcomes, strict=True) if o is outcome), key=bounds)
    fix = ""
    if worst.assumed and outcome is not Outcome.MET:
        fix = f"Measure where these lie: {', '.join(worst.assumed)}."
    elif outcome is Outcome.NOT_MET:
        fix = f"A motion detector that this route crosses from side to side, in one of: {_rooms(scheme, worst)}."
    elif outcome is Outcome.NOT_DECIDED:
        fix = f"Walk it on site at each pace, or let one more detector cross it; what governs: {worst.assumption}."
    return Finding(
        rule=_rule("route.detected-before-target", worst.mode),
        question=Question.ROUTE,
        outcome=outcome,
        weight=Weight.REQUIRED,
        about=(worst.target_id,),
        explanation=_explain(scheme, worst),
        plain=DETECTED[outcome],
        value=worst.probability,
        operator=">=",
        limit=limit,
        interval=bounds(worst),
        assumption="places that were not measured" if worst.assumed else worst.assumption,
        citation=BRIEF,
        fix=fix,
        digits=2,
    )


def _confirmed(scheme: ProtectionScheme, ways: Sequence[Route]) -> Finding:
    limit = scheme.brief.confirm_within_s
    outcomes = [confirmation(r, limit) for r in ways]
    outcome = _worst(outcomes)
    same = [r for r, o in zip(ways, outcomes, strict=True) if o is outcome]
    worst = max(same, key=lambda r: (-r.confirmed_probability, r.confirm_gap_s or 0.0))
    low, high = worst.confirmed_interval
    said = f"Confirmed by a second zone: {in_words(worst.confirmed_probability)}"
    if worst.confirm_gap_s is not None:
        said += f", {worst.confirm_gap_s:.0f} s after the first at the median"
    inside = worst.mode == Mode.INSIDE.value
    ends = [g for g in worst.confirm_gap_interval_s if g is not None]
    # what decides is printed: the time between the two where a second is sure enough, else the chance of a second
    by_time = low >= CONFIRMED_P and worst.confirm_gap_s is not None and not worst.assumed
    return Finding(
        rule=_rule("route.confirmed-in-time", worst.mode),
        question=Question.ROUTE,
        outcome=outcome,
        weight=Weight.RECOMMENDED if inside else Weight.REQUIRED,
        about=(worst.target_id,),
        explanation=f"{_explain(scheme, worst)} {said} (chance between {low:.1f} and {high:.1f}).",
        plain=CONFIRMED[outcome],
        value=worst.confirm_gap_s if by_time else worst.confirmed_probability,
        operator="<=" if by_time else ">=",
        limit=limit if by_time else CONFIRMED_P,
        unit="s" if by_time else "",
        interval=((min(ends), max(ends)) if ends else None) if by_time else (low, high),
        assumption="places that were not measured" if worst.assumed else worst.assumption,
        citation=BRIEF,
        fix="" if outcome is Outcome.MET else f"A detector on another zone in one of: {_rooms(scheme, worst)}.",
        digits=2,
    )


def confirmation(route: Route, limit: float) -> Outcome:
    """Whether a second zone confirms the first in time.

    Parameters
    ----------
    route : Route
        One route.
    limit : float
        Wanted time from first to confirming detection. [s]

    Returns
    -------
    Outcome
        Met only if it does so at the pessimistic end as well.
    """
    low, high = (0.0, 1.0) if route.assumed else route.confirmed_interval
    slow, quick = route.confirm_gap_interval_s
    if low >= CONFIRMED_P and slow is not None and max(slow, quick or 0.0, route.confirm_gap_s or 0.0) <= limit:
        return Outcome.MET
    gaps = [g for g in (slow, quick, route.confirm_gap_s) if g is not None]
    if high < CONFIRMED_P or (not route.assumed and gaps and min(gaps) > limit):
        return Outcome.NOT_MET
    return Outcome.NOT_DECIDED


def _interrupted(scheme: ProtectionScheme, ways: Sequence[Route]) -> Finding:
    """What the response can do: information, since the brief sets no limit."""
    worst = min(ways, key=lambda r: r.interruption if r.interruption is not None else 1.0)
    chance = worst.interruption or 0.0
    after = f", {worst.after_first_s:.0f} s in the building after first detection" if worst.after_first_s else ""
    return Finding(
        rule=_rule("route.interrupted", worst.mode),
        question=Question.ROUTE,
        outcome=Outcome.DOES_NOT_APPLY,
        weight=Weight.RECOMMENDED,
        about=(worst.target_id,),
        explanation=(
            f"{_explain(scheme, worst)} That the response arrives before the target is gone: "
            f"{in_words(chance)}{after}. The brief asks for no such chance; it is told for what it is."
        ),
        plain="How soon somebody comes after an alarm is not in the hands of the system.",
        value=chance,
        assumption="delays and response times spread by about a third",
        citation="EASI-1977",
        digits=1,
    )


def in_time(route: Route, limit: float) -> Outcome:
    """Whether the alarm is given early enough for the response, where the response is quick enough to matter.

    Parameters
    ----------
    route : Route
        One route.
    limit : float
        Wanted chance. [-]

    Returns
    -------
    Outcome
        Does not apply where no response time is known, or an alarm at the end of the attack would be too late already.
    """
    if route.in_time is None:
        return Outcome.DOES_NOT_APPLY
    return judge_at_least(_in_time_bounds(route), limit)


def _in_time_bounds(route: Route) -> tuple[float, float]:
    assert route.in_time is not None
    return (0.0, 1.0) if route.assumed else (route.in_time[0], route.in_time[2])


def _in_time(scheme: ProtectionScheme, ways: Sequence[Route], limit: float) -> Finding:
    """Whether a response of median length would still come before the target is gone, on the worst route."""
    reply = scheme.premises.surroundings.response.median_s
    told = [(r, in_time(r, limit)) for r in ways if r.in_time is not None]
    rule, plain = "route.alarm-in-time", "How soon the alarm is given is weighed against how soon somebody comes."
    if not told:
        why = "no response time is known" if reply is None else f"{reply:.0f} s are longer than any way in and out"
        return Finding(
            rule,
            Question.ROUTE,
            Outcome.DOES_NOT_APPLY,
            Weight.REQUIRED,
            (ways[0].target_id,),
            f"The response is not quick enough to matter, or not known: {why}.",
            plain,
            citation=BRIEF,
        )
    outcome = _worst([o for _, o in told])
    worst = min((r for r, o in told if o is outcome), key=_in_time_bounds)
    assert worst.in_time is not None
    late = len(ways) - len(told)
    besides = f" {late} other routes are over before any response of {reply or 0.0:.0f} s could come." if late else ""
    return Finding(
        rule=rule,
        question=Question.ROUTE,
        outcome=outcome,
        weight=Weight.REQUIRED,
        about=(worst.target_id,),
        explanation=(
            f"{_explain(scheme, worst)} To be answered in {reply or 0.0:.0f} s, before the target is gone, the alarm "
            f"has to be given within {worst.last_moment_s or 0.0:.0f} s of the start of the attack.{besides}"
        ),
        plain=plain,
        value=worst.in_time[1],
        operator=">=",
        limit=limit,
        interval=_in_time_bounds(worst),
        assumption="places that were not measured" if worst.assumed else worst.assumption,
        citation=BRIEF,
        fix=""
        if outcome is Outcome.MET
        else "Detectors nearer to the way in, or more delay between them and the target.",
        digits=2,
    )


def _explain(scheme: ProtectionScheme, route: Route) -> str:
    name = scheme.premises.opening(route.opening_id).name
    said = (
        f"{route.kind.capitalize()} route by “{name}” ({route.attack}), {WHEN[route.mode]}, through "
        f"{_rooms(scheme, route)}: {route.length_m:.0f} m, {route.time_s:.0f} s, noticed before the target: "
        f"{in_words(route.probability)}"
    )
    if route.first_s is not None and route.first_device_id is not None:
        said += (
            f", first by {route.first_device_id} after {route.first_s:.0f} s with {route.left_to_run_s:.0f} s to run"
        )
    return f"{said}."


def _rooms(scheme: ProtectionScheme, route: Route) -> str:
    plans = storey_plans(scheme.premises)
    names: list[str] = []
    for storey_id, x, y in route.points:
        room = plans[storey_id].room_at((x, y))
        if room is not None and (not names or names[-1] != room.name):
            names.append(room.name)
    return ", ".join(dict.fromkeys(names))


def _not_computed(analysis: RouteAnalysis) -> Finding:
    return Finding(
        rule=_rule("route.computed", analysis.mode or Mode.AWAY.value),
        question=Question.ROUTE,
        outcome=Outcome.NOT_DECIDED,
        weight=Weight.REQUIRED,
        about=(),
        explanation=f"Some routes could not be worked out: {'; '.join(analysis.undecided)}.",
        plain="Some of the plan has still to be completed before the ways through the building can be judged.",
        citation=BRIEF,
        fix="Complete the plan: " + "; ".join(analysis.undecided) + ".",
    )


def _no_way(analysis: RouteAnalysis) -> Finding:
    return Finding(
        rule=_rule("route.computed", analysis.mode or Mode.AWAY.value),
        question=Question.ROUTE,
        outcome=Outcome.NOT_DECIDED,
        weight=Weight.REQUIRED,
        about=(),
        explanation="No way in can be reached, or none is drawn, so there is no route to judge.",
        plain="The doors and windows have still to be surveyed.",
        citation=BRIEF,
        fix="Survey every door, window and hatch to the outside, and what can be climbed.",
    )
