"""Accepted departures: who takes on a finding, why, until when; and when that lapses."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass

from wardwright.errors import InputError
from wardwright.findings import Finding, Outcome
from wardwright.job.model import Departure, Job


@dataclass(frozen=True)
class Standing:
    """A departure held against the findings of today."""

    departure: Departure
    finding: Finding | None
    """The finding it takes on; None when there is no such finding any more."""
    lapsed: str
    """Why it no longer holds; empty while it does."""


def fingerprint(finding: Finding) -> str:
    """What an acceptance rests on: outcome, numbers and elements of the finding, as printed.

    Parameters
    ----------
    finding : Finding
        The finding.

    Returns
    -------
    str
        Short hash. Digits that are not printed do not count: nobody accepted them.
    """

    def shown(value: float | None) -> str:
        return "" if value is None else f"{value:.{max(finding.digits, 2)}g}"

    parts = (finding.rule, *finding.about, finding.outcome, shown(finding.value), shown(finding.limit), finding.unit)
    return hashlib.sha256("|".join(parts).encode()).hexdigest()[:16]


def accept(job: Job, finding: Finding, *, who: str, why: str, when: str, until: str = "") -> Job:
    """The job with one more departure.

    Parameters
    ----------
    job : Job
        The job.
    finding : Finding
        What is taken on: refuted or not decided.
    who, why : str
        Who takes it on and why; neither may be empty.
    when, until : str
        ISO dates; ``until`` may be empty.

    Returns
    -------
    Job
        With the departure added, replacing an earlier one for the same finding.

    Raises
    ------
    InputError
        If there is nothing to accept or a word is missing.
    """
    if finding.outcome not in (Outcome.NOT_MET, Outcome.NOT_DECIDED):
        raise InputError(f"nothing to accept: it is {finding.outcome.value}", where=finding.rule)
    if not who.strip() or not why.strip():
        raise InputError("a departure needs a name and a reason", where=finding.rule)
    departure = Departure(
        finding=finding.identity,
        rule=finding.rule,
        about=finding.about,
        who=who,
        why=why,
        when=when,
        until=until,
        rests_on=fingerprint(finding),
    )
    kept = tuple(d for d in job.departures if d.finding != finding.identity)
    return job.model_copy(update={"departures": (*kept, departure)})


def standings(departures: Iterable[Departure], findings: Iterable[Finding], *, today: str) -> tuple[Standing, ...]:
    """Which departures still hold.

    Parameters
    ----------
    departures : iterable of Departure
        As stored.
    findings : iterable of Finding
        As computed now.
    today : str
        ISO date.

    Returns
    -------
    tuple of Standing
        One for each departure.
    """
    by_identity = {f.identity: f for f in findings}
    result = []
    for departure in departures:
        finding = by_identity.get(departure.finding)
        if finding is None:
            lapsed = "what it was about is no longer there"
        elif finding.outcome is Outcome.MET:
            lapsed = "no longer needed: the finding is met"
        elif departure.until and departure.until < today:
            lapsed = f"it ran until {departure.until}"
        elif fingerprint(finding) != departure.rests_on:
            lapsed = "what it rests on has changed"
        else:
            lapsed = ""
        result.append(Standing(departure, finding, lapsed))
    return tuple(result)
