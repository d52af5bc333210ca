"""EN 50131-1:2006, clause 9: supply, standby and recharge."""

from collections.abc import Iterator

from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, compared, undecided
from wardwright.rules.panel_runs import mains_delay_s
from wardwright.rules.register import clause

STANDBY_H = {1: 12.0, 2: 12.0, 3: 60.0, 4: 60.0}
"""Type A: mains with a battery it charges."""
HALVED_H = {3: 30.0, 4: 30.0}
"""Grades 3 and 4 where the receiving centre is told of a mains fault."""
RECHARGE_H = {1: 72.0, 2: 72.0, 3: 24.0, 4: 24.0}
_NOT_RUN = "standby was not computed"


def standby(evidence: Evidence, hours: float, *, plain: str) -> Iterator[Judgement]:
    """Predicted standby of each supply against so many hours.

    Parameters
    ----------
    evidence : Evidence
        The scheme, with its power analysis.
    hours : float
        Least standby asked for. [h]
    plain : str
        The client's sentence.

    Yields
    ------
    Judgement
        One for each supply.
    """
    if evidence.power is None:
        yield undecided(_NOT_RUN, plain)
        return
    if not evidence.standbys():
        yield undecided("the design has no supply with a battery", plain)
    for supply in evidence.standbys():
        yield compared(
            f"standby of “{supply.at}”",
            supply.predicted_h,
            ">=",
            hours,
            "h",
            plain=plain,
            about=(supply.at,),
            missing=supply.undecided,
            interval=supply.interval_h,
            assumption=supply.assumption,
            fix="a larger battery, or less load",
        )


@clause("EU-PWR-04")
def standby_type_a(evidence: Evidence) -> Iterator[Judgement]:
    """Shortest standby of a mains supply with rechargeable battery."""
    if evidence.grade in HALVED_H and evidence.reports:
        return
    hours = STANDBY_H[evidence.grade]
    yield from standby(evidence, hours, plain=f"Without mains the system works for at least {hours:g} hours.")


@clause("EU-PWR-07")
def standby_when_mains_fault_is_reported(evidence: Evidence) -> Iterator[Judgement]:
    """At grades 3 and 4 half of it is enough where mains faults are reported to a receiving centre."""
    if evidence.grade in HALVED_H and evidence.reports:
        hours = HALVED_H[evidence.grade]
        yield from standby(evidence, hours, plain=f"Without mains the system works for at least {hours:g} hours.")


@clause("EU-PWR-09")
def recharge(evidence: Evidence) -> Iterator[Judgement]:
    """The battery is back at 80 % within 72 h (grades 1, 2) or 24 h (grades 3, 4)."""
    plain = "After a power cut the battery is charged again in good time."
    if evidence.power is None:
        yield undecided(_NOT_RUN, plain)
        return
    for supply in evidence.standbys():
        yield compared(
            f"recharge of “{supply.at}”",
            supply.recharge_h,
            "<=",
            RECHARGE_H[evidence.grade],
            "h",
            plain=plain,
            about=(supply.at,),
            missing=supply.undecided,
            fix="a stronger charger, or a smaller battery that still lasts",
        )


@clause("EU-PWR-12")
def sizing_counts_the_alarm(evidence: Evidence) -> Iterator[Judgement]:
    """The battery is sized for the sounder time on top of the standby time."""
    plain = "The battery still drives the sounders at the end of a power cut."
    if evidence.power is None:
        yield undecided(_NOT_RUN, plain)
        return
    for supply in evidence.standbys():
        yield compared(
            f"alarm time reckoned for “{supply.at}”",
            supply.alarm_s,
            ">=",
            min(evidence.timers.bell_s, 900.0),
            "s",
            plain=plain,
            about=(supply.at,),
            fix="reckon the whole sounder time",
        )


@clause("EU-PSU-01")
def mains_fault_delay(evidence: Evidence) -> Iterator[Judgement]:
    """Loss of mains may be signalled with a delay of up to 60 minutes."""
    yield compared(
        "delay of the mains-fail report",
        None if evidence.panel is None else mains_delay_s(evidence.panel),
        "<=",
        3600.0,
        "s",
        plain="A long power cut is reported.",
        about=("programme",),
        fix="a shorter delay",
    )
