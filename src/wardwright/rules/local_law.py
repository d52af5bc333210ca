"""Local law: codes of towns, counties and states on sounders, attendance, standby, calls; else the usual limit.

A code speaks only where the surroundings name its place under ``jurisdictions``; ask the place itself for today's text.
"""

from collections.abc import Callable, Iterable, Iterator

from wardwright.catalogue.kinds import Family
from wardwright.rules.declared import declares
from wardwright.rules.en_50131_1_2006.notification import local_limit
from wardwright.rules.en_50131_1_2006.power import standby
from wardwright.rules.evidence import CONTROL, Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, stated
from wardwright.rules.profiles import grade_of
from wardwright.rules.register import clause

SOUNDER_S: dict[str, dict[str, float]] = {
    "LAW-11": {"Lexington KY": 600.0, "Travelers Rest SC": 600.0},
    "LAW-12": {"Wyandotte MI": 900.0, "Cleburne TX": 900.0, "Reedley CA": 900.0},
    "LAW-13": {"Helena MT": 1200.0},
    "LAW-14": {"Tool TX": 1800.0},
}
"""Longest time an outside sounder may run, by row and place. [s]"""
ATTEND_S = {"Lexington KY": 1800.0, "Helena MT": 1800.0, "Cleburne TX": 3600.0}
"""Within what time somebody must come when asked. [s]"""
STANDBY_PLACES = ("Montgomery County MD", "Prince George's County MD")
STANDBY_H = 4.0
LISTED_PLACES = ("Montgomery County MD",)
TWO_CALL_PLACES = ("Florida",)


def _plainly(name: str) -> str:
    return " ".join(name.replace(",", " ").casefold().split())


def _named(evidence: Evidence, places: Iterable[str]) -> tuple[str, ...]:
    """Those of some places that the job names; commas, capitals and spaces do not matter."""
    said = {_plainly(j) for j in evidence.scheme.premises.surroundings.jurisdictions}
    return tuple(p for p in places if _plainly(p) in said)


def _sounder(row_id: str) -> Callable[[Evidence], Iterator[Judgement]]:
    limits = SOUNDER_S[row_id]

    def outside_sounder_by_code(evidence: Evidence) -> Iterator[Judgement]:
        if not evidence.of(Family.OUTER_SOUNDER):
            return
        for place in _named(evidence, limits):
            yield compared(
                f"outside sounder, {place}",
                evidence.bell_s,
                "<=",
                limits[place],
                "s",
                plain="The outside sounder keeps to the time local law allows.",
                about=("programme",),
                fix="a shorter sounder time",
            )

    return outside_sounder_by_code


for _row in SOUNDER_S:
    clause(_row)(_sounder(_row))


@clause("LAW-16")
def somebody_attends(evidence: Evidence) -> Iterator[Judgement]:
    """Somebody comes within 30 min (Lexington, Helena) or an hour (Cleburne) when asked."""
    response = evidence.scheme.premises.surroundings.response
    for place in _named(evidence, ATTEND_S):
        median = response.median_s
        yield compared(
            f"time until somebody is on site, {place}",
            None if median is None else median / 60.0,
            "<=",
            ATTEND_S[place] / 60.0,
            "min",
            plain="Somebody with a key comes soon enough after an alarm.",
            about=("surroundings",),
            missing="the response time is not noted",
            interval=None
            if median is None
            else (max(0.0, 1.0 - 2.0 * response.spread) * median / 60.0, (1.0 + 2.0 * response.spread) * median / 60.0),
            assumption="median of the response, twice its spread to either side",
            fix="a keyholder who lives nearer",
        )


@clause("LAW-18")
def standby_of_the_county(evidence: Evidence) -> Iterator[Judgement]:
    """Montgomery and Prince George's County: 4 h of standby that raises no alarm."""
    if _named(evidence, STANDBY_PLACES):
        yield from standby(evidence, STANDBY_H, plain="Without mains the system works for at least four hours.")


@clause("LAW-19")
def control_listed(evidence: Evidence) -> Iterator[Judgement]:
    """Montgomery County: new and replaced controls are listed to CP-01."""
    if _named(evidence, LISTED_PLACES):
        yield from declares(evidence, CONTROL, "cp01", "is listed to ANSI/SIA CP-01", "a control listed to CP-01")


@clause("LAW-10")
def calls_before_dispatch(evidence: Evidence) -> Iterator[Judgement]:
    """Florida: a call and a second one before the police are sent, waived with working audio or video."""
    response = evidence.scheme.premises.surroundings.response
    if not _named(evidence, TWO_CALL_PLACES):
        return
    if not response.policy.startswith("police"):
        yield not_applicable("the police are not sent")
        return
    holds = response.verification in ("two calls", "audio or video")
    yield stated(
        holds,
        f"before the police are sent: {response.verification}",
        f"before the police are sent: {response.verification}; two calls, or audio or video, are asked for",
        plain="You are called before the police are sent." if holds else "Calls before the police are sent are agreed.",
        about=("surroundings",),
        fix="agree two calls with the receiving centre",
    )


@clause("LAW-25")
def spanish_grade_one(evidence: Evidence) -> Iterator[Judgement]:
    """Spain: a grade 1 system sounds only; it is not monitored."""
    country = evidence.scheme.premises.surroundings.country.upper()
    if country in ("ES", "ESP", "SPAIN") and evidence.grade == 1:
        yield stated(
            not evidence.scheme.brief.monitored,
            "a grade 1 system without monitoring",
            "a grade 1 system is monitored; from grade 2 it may be",
            plain="The system is of the grade that its use asks for.",
            about=("programme",),
            fix="grade 2 components, or sounders only",
        )


@clause("LAW-15")
def outside_sounder(evidence: Evidence) -> Iterator[Judgement]:
    """Where the local limit is not known: 10 min in the United States, 15 min in Europe; a stricter place wins."""
    if not evidence.of(Family.OUTER_SOUNDER):
        return
    limit = evidence.scheme.premises.surroundings.sounder_limit_s
    if limit is not None:
        yield from local_limit(evidence, limit)
        return
    if _named(evidence, (place for limits in SOUNDER_S.values() for place in limits)):
        yield not_applicable("the code of the place is known")
        return
    default = 600.0 if grade_of(evidence.scheme.brief.profile) is None else 900.0
    yield compared(
        "outside sounder",
        evidence.bell_s,
        "<=",
        default,
        "s",
        plain="The outside sounder keeps to a time that is usual; the local limit is still to be asked for.",
        about=("programme",),
        assumption="the local limit is not entered in the job",
        fix="a shorter sounder time, and the local limit entered with the surroundings",
    )
