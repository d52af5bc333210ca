"""Is help called in time? Findings on what the paths hang on, what ends, the response, and the chain to help."""

from collections.abc import Iterator
from datetime import timedelta

from wardwright.analyses.signal import SignalAnalysis
from wardwright.design.brief import Profile
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import PRACTICE, bounded

LEVEL_DBM = -95.0
"""Least level of a mobile network at the communicator. Common practice, no source. [dBm]"""
LEVEL_SPREAD_DB = 6.0
"""A level differs so much by day and weather. Assumption. [dB]"""
DOWN_H = 24.0
"""Hours a year without any way to tell that are borne. Assumption. [h/year]"""
SOON = timedelta(days=365)
POLICE = ("police on any alarm", "police on verified alarm", "police on confirmed alarm")
US = (Profile.US_HOME, Profile.US_BUSINESS)


def signal_findings(scheme: ProtectionScheme, analysis: SignalAnalysis) -> tuple[Finding, ...]:
    """Findings on signalling.

    Parameters
    ----------
    scheme : ProtectionScheme
        Brief and programme.
    analysis : SignalAnalysis
        Paths, chain, response.

    Returns
    -------
    tuple of Finding
        Under signal. Nothing where the brief wants no monitoring.
    """
    if not scheme.brief.monitored or not analysis.paths:
        return ()
    return (
        *_mains(analysis),
        *_shared(analysis),
        *_ends(analysis),
        *_levels(scheme, analysis),
        *_down(analysis),
        *_response(scheme, analysis),
        *_in_time(analysis),
    )


def _mains(a: SignalAnalysis) -> Iterator[Finding]:
    """The path that lasts longest without mains, against the hours the system itself must last."""
    best = max(a.paths, key=lambda p: float("inf") if p.without_mains_h is None else p.without_mains_h)
    short = [f"{p.path_id} {p.without_mains_h:g} h" for p in a.paths if p.without_mains_h is not None]
    hours = a.demand_h if best.without_mains_h is None else best.without_mains_h
    said = f"Without mains {best.path_id} lasts " + (
        "as long as the panel" if best.without_mains_h is None else f"{best.without_mains_h:g} h"
    )
    yield bounded(
        "signal.without-mains",
        Question.SIGNAL,
        Weight.REQUIRED,
        tuple(p.path_id for p in a.paths),
        f"{said}; others: {', '.join(short) or 'none'}. The system is to last {a.demand_h:g} h.",
        value=hours,
        operator=">=",
        limit=a.demand_h,
        unit="h",
        assumption="router and modem stop with the mains unless a backup is entered",
        good="Help can still be called during a power cut.",
        bad="What the line to the outside hangs on gets a battery of its own.",
        citation=PRACTICE,
        fix="Back up router and modem for as long as the panel, or add a path that does not hang on them.",
    )


def _shared(a: SignalAnalysis) -> Iterator[Finding]:
    if len(a.paths) == 1:
        said, outcome = f"{a.paths[0].path_id} is the only path: anything it hangs on silences it.", Outcome.NOT_MET
    elif a.shared:
        said, outcome = f"All paths hang on {', '.join(a.shared)}.", Outcome.NOT_MET
    else:
        said, outcome = "No part is shared by all paths, the panel and its supply apart.", Outcome.MET
    yield Finding(
        "signal.no-single-part",
        Question.SIGNAL,
        outcome,
        Weight.RECOMMENDED,
        tuple(p.path_id for p in a.paths),
        said,
        "Help can be called in two separate ways."
        if outcome is Outcome.MET
        else "A second, separate way of calling for help is recommended.",
        citation=PRACTICE,
        assumption="the dependencies entered are all there are",
        fix="" if outcome is Outcome.MET else "A second path over another network and other equipment.",
    )


def _ends(a: SignalAnalysis) -> Iterator[Finding]:
    for path in a.paths:
        for name, when in path.ends:
            yield _ending(a, path.path_id, name, when)


def _ending(a: SignalAnalysis, path_id: str, name: str, when: str) -> Finding:
    over = when <= a.today.isoformat()
    soon = when <= (a.today + SOON).isoformat()
    outcome = Outcome.NOT_MET if over or soon else Outcome.MET
    renew, stays = "One contract or network has to be renewed.", "The ways of calling for help are there to stay."
    return Finding(
        "signal.lasts",
        Question.SIGNAL,
        outcome,
        Weight.REQUIRED if over else Weight.RECOMMENDED,
        (path_id, name),
        f"{name} of {path_id} ends on {when}" + (", which is past." if over else "."),
        renew if over or soon else stays,
        citation="the design itself",
        fix="Renew it, or move to a network that stays." if over or soon else "",
    )


def _levels(scheme: ProtectionScheme, a: SignalAnalysis) -> Iterator[Finding]:
    for path in a.paths:
        if path.kind != "cellular":
            continue
        level = path.level_dbm
        yield bounded(
            "signal.network-level",
            Question.SIGNAL,
            Weight.RECOMMENDED,
            (path.path_id,),
            f"The mobile network of {path.path_id} "
            + (
                "has not been measured where the aerial hangs."
                if level is None
                else f"was measured at {level:.0f} dBm."
            ),
            value=level,
            operator=">=",
            limit=LEVEL_DBM,
            unit="dBm",
            interval=None if level is None else (level - LEVEL_SPREAD_DB, level + LEVEL_SPREAD_DB),
            assumption="day, weather and load of the network",
            good="The mobile signal is strong enough.",
            bad="The mobile signal is weak; the aerial is moved or the network changed.",
            unsettled="The mobile signal is measured where the aerial is to hang.",
            citation=PRACTICE,
            fix="Measure it there; another place for the aerial, another network.",
        )
    for ordered in scheme.design.programme.paths:
        if any(d.kind == "wi-fi" for d in ordered.hangs_on):
            yield Finding(
                "signal.wireless-network",
                Question.SIGNAL,
                Outcome.NOT_MET,
                Weight.RECOMMENDED,
                (ordered.id,),
                f"{ordered.id} hangs on the household's wireless network: a changed password silences it.",
                "The alarm is wired to your router, so that a new password does not silence it.",
                citation=PRACTICE,
                fix="Run a cable to the router.",
            )


def _down(a: SignalAnalysis) -> Iterator[Finding]:
    yield bounded(
        "signal.availability",
        Question.SIGNAL,
        Weight.RECOMMENDED,
        tuple(p.path_id for p in a.paths),
        "What a path hangs on is not entered." if a.down_h_year is None else f"No word can get out for about "
        f"{a.down_h_year:.1f} h a year, common causes counted.",
        value=a.down_h_year,
        operator="<=",
        limit=DOWN_H,
        unit="h a year",
        interval=a.down_interval_h,
        assumption="hours a year by kind of network, within a factor of three; 5 % of failures take both",
        good="There is nearly always a way to call for help.",
        bad="There is too often no way to call for help; a second one is recommended.",
        unsettled="How often no help could be called is not known well enough; a second way settles it.",
        citation="availability of parts in series and parallel, textbook; hours a year are assumptions",
        fix="A second path over another network, or backup for what the path hangs on.",
        digits=1,
    )  # fmt: skip


def _response(scheme: ProtectionScheme, a: SignalAnalysis) -> Iterator[Finding]:
    r = a.response
    unmet: list[str] = []
    open_: list[str] = []
    if r.policy == "none":
        unmet.append("somebody listens and nobody comes")
    if r.confirmed_only and scheme.design.programme.confirmation == "none":
        unmet.append("police come on confirmed alarms only, and the programme makes none")
    if r.policy == "police on verified alarm" and r.verification == "none":
        unmet.append("police come on verified alarms only, and nobody verifies")
    if r.verification == "two calls" and len(r.call_list) < 2:
        (unmet if r.call_list else open_).append("two calls are asked for: name two to be called")
    if r.policy in POLICE and scheme.brief.profile in US and not r.permit:
        open_.append("whether the place asks for a permit, and whether there is one, is not noted")
    if r.permit_expires and r.permit_expires <= a.today.isoformat():
        unmet.append(f"the permit ran out on {r.permit_expires}")
    elif r.permit_expires and r.permit_expires <= (a.today + timedelta(days=60)).isoformat():
        open_.append(f"the permit runs out on {r.permit_expires}")
    if r.policy in ("keyholder", "guard") and not r.call_list:
        open_.append("who is called is not noted")
    outcome = Outcome.NOT_MET if unmet else Outcome.NOT_DECIDED if open_ else Outcome.MET
    said = "; ".join([*unmet, *open_]) or f"{r.policy}, verification: {r.verification}"
    yield Finding(
        "signal.response-policy",
        Question.SIGNAL,
        outcome,
        Weight.REQUIRED if unmet else Weight.RECOMMENDED,
        ("response",),
        f"{said[0].upper()}{said[1:]}.",
        {
            Outcome.MET: "It is settled who comes when the alarm goes.",
            Outcome.NOT_MET: "What those who come ask for and what the system sends do not fit yet; this is changed.",
        }.get(outcome, "Who is called, and on what terms anybody comes, has still to be settled with you."),
        citation="the survey; local law and the centre's own terms decide",
        fix="" if outcome is Outcome.MET else "Settle it with client and centre, and note it under [surroundings].",
    )


def _in_time(a: SignalAnalysis) -> Iterator[Finding]:
    """The whole chain against the least time an intruder is still inside after the first detection."""
    if a.response.median_s is None or a.response.policy == "none" or a.inside_s is None:
        return
    legs = "; ".join(f"{leg.name} {leg.usual_s:.0f} to {leg.most_s:.0f} s" for leg in a.chain)
    yield bounded(
        "signal.help-in-time",
        Question.SIGNAL,
        Weight.RECOMMENDED,
        ("response",),
        f"From the first detection to help: {legs}. By the quickest way the intruder is inside for {a.inside_s:.0f} s "
        "after it.",
        value=a.usual_s,
        operator="<=",
        limit=a.inside_s,
        unit="s",
        interval=(a.usual_s, a.most_s),
        assumption="operator, calls and response are people",
        good="Help can be there while an intruder is still inside.",
        bad="Help will mostly come after a quick intruder has gone; the alarm itself has to drive him off.",
        unsettled="Whether help comes while an intruder is still inside depends on people.",
        citation="EN 50518 answer times from memory; response as noted on the survey",
        fix="Earlier detection, things of worth deeper in the building, a sounder that is heard; a quicker response.",
    )
