"""A timeline as a table in a terminal, as CSV for a spreadsheet, as JSON for machines."""

import json
from collections.abc import Iterable
from dataclasses import asdict

from rich.table import Table

from wardwright.analyses.scenario.timeline import Intrusion, Moment, ReportLine, Timeline
from wardwright.design.system import ProtectionScheme
from wardwright.documents.schedules import Schedule, csv_text

JSON_FORMAT = 1
COLUMNS = ("clock", "second", "who", "where", "what", "tripped", "zone", "phases", "sounders", "keypad", "reports")


def phase_words(moment: Moment) -> str:
    """How every area stands; the name left out where there is only one."""
    if len(moment.phases) == 1:
        return moment.phases[0][1]
    return ", ".join(f"{name}: {phase}" for name, phase in moment.phases)


def report_words(report: ReportLine) -> str:
    """A report as the receiving centre gets it: event, code with area and point (DC-05), code (DC-03), what became."""
    path = f" over {report.path}" if report.path else ""
    code = f"{report.contact_id} {report.area:02d} {report.point:03d}"
    return f"{report.what} [{code}; {report.sia}] {report.state}{path}"


def cells(moment: Moment) -> tuple[str, ...]:
    """One line of the table, in the order of ``COLUMNS``."""
    return (
        moment.clock,
        f"{moment.at_ms / 1000:.1f}",
        moment.who,
        moment.where,
        moment.what,
        " ".join(moment.tripped),
        ", ".join(moment.zones),
        phase_words(moment),
        ", ".join(moment.sounding),
        "; ".join(moment.keypads),
        "; ".join(report_words(r) for r in moment.reports),
    )


def shown(timeline: Timeline, *, every: bool) -> Iterable[Moment]:
    """Moments worth a line: with ``every`` also the devices nobody listens to and what the report queue does."""
    for moment in timeline.moments:
        idle = not moment.what and not moment.answered
        routine = not moment.tripped and moment.what in ("is at rest again", "the receiving centre acknowledges")
        telling = any("restored" not in r.what for r in moment.reports)
        if every or not (idle or (routine and not moment.keypads and not telling)):
            yield moment


def timeline_table(timeline: Timeline, *, every: bool = False) -> Table:
    """The timeline for a terminal.

    Parameters
    ----------
    timeline : Timeline
        The timeline.
    every : bool
        Also devices nobody listens to, and restorals.

    Returns
    -------
    Table
        One line for each moment.
    """
    lot = "likeliest course" if timeline.seed is None else f"seed {timeline.seed}"
    table = Table(title=f"{timeline.title}, {timeline.date}, {lot}")
    for name in ("clock", "who, where", "what", "tripped", "panel", "keypads", "reports"):
        table.add_column(name, overflow="fold")
    phases, sounding = "", ""
    for moment in shown(timeline, every=every):
        place = ", ".join(x for x in (moment.who, moment.where) if x)
        trip = f"{' '.join(moment.tripped)} ({', '.join(moment.zones)})" if moment.tripped else ""
        now = phase_words(moment)
        panel = [] if now == phases else [now]
        sounds = ", ".join(moment.sounding)
        if sounds != sounding:
            panel.append(f"sounding: {sounds or 'nothing'}")
        phases, sounding = now, sounds
        reports = "\n".join(report_words(r) for r in moment.reports)
        table.add_row(moment.clock, place, moment.what, trip, "\n".join(panel), "\n".join(moment.keypads), reports)
    return table


def timeline_csv(timeline: Timeline) -> str:
    """The whole timeline for a spreadsheet; no cell can turn into a formula."""
    rows = tuple(cells(moment) for moment in timeline.moments)
    return csv_text(Schedule(name="timeline", title=timeline.title, columns=COLUMNS, rows=rows))


def timeline_json(timeline: Timeline) -> str:
    """The whole timeline for machines, tracks and lit devices included."""
    return json.dumps({"format": JSON_FORMAT, **asdict(timeline)}, indent=1, ensure_ascii=False)


def outcome_lines(timeline: Timeline, scheme: ProtectionScheme) -> list[str]:
    """What became of every intruder, and every alarm nobody broke in for.

    Parameters
    ----------
    timeline : Timeline
        The timeline.
    scheme : ProtectionScheme
        For names.

    Returns
    -------
    list of str
        One sentence each.
    """
    names = {t.actor_id: t.name for t in timeline.tracks}
    lines = [_intrusion(names[i.actor_id], i, timeline, scheme) for i in timeline.intrusions]
    for alarm in timeline.false_alarms:
        cause = names.get(alarm.actor_id, "")
        lines.append(f"{_clock(timeline, alarm.at_ms)} {alarm.words}: no intruder; {cause or 'nobody'} set it off.")
    return lines


def _intrusion(name: str, i: Intrusion, timeline: Timeline, scheme: ProtectionScheme) -> str:
    way = scheme.premises.opening(i.opening_id).name
    if i.alarm_ms is None:
        return f"{name} by {way}: no alarm."
    said = [f"alarm {_after(i.began_ms, i.alarm_ms)} after it began"]
    if timeline.monitored:
        told = "never reported" if i.reported_ms is None else f"reported after {_after(i.began_ms, i.reported_ms)}"
        said.append(told)
    if i.confirmed_ms is not None:
        said.append(f"confirmed after {_after(i.began_ms, i.confirmed_ms)}")
    if i.had_ms is not None:
        said.append(f"target taken after {_after(i.began_ms, i.had_ms)}")
    return f"{name} by {way}: {', '.join(said)}."


def _after(start_ms: int, at_ms: int) -> str:
    return f"{(at_ms - start_ms) / 1000:.0f} s"


def _clock(timeline: Timeline, at_ms: int) -> str:
    return next((m.clock for m in timeline.moments if m.at_ms == at_ms), "")
