"""Attack: what the system yields to, alone, in pairs and in threes."""

import json
import math
from dataclasses import asdict
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.table import Table

from wardwright.analyses.attack_choices import Choice, attack_choices
from wardwright.analyses.contact_field import contact_fields
from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.defeats import AttackAnalysis, attack_analysis
from wardwright.analyses.loops import loops
from wardwright.analyses.mode import Mode
from wardwright.analyses.power import power
from wardwright.analyses.routes import routes
from wardwright.cli.job_argument import AsJson, JobFile
from wardwright.documents.schedules import Schedule, attack_schedule, choice_schedule, defeat_schedule
from wardwright.errors import InputError
from wardwright.prove import scheme_of
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import load_job


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("attack", rich_help_panel="Proof")(attack)


def attack(
    job_file: JobFile,
    size: Annotated[int, typer.Option("--size", min=0, max=3, help="Things done at once, at most.")] = 3,
    as_json: AsJson = False,
) -> None:
    """Attack the system itself on every way in, by every smallest set of faults. For the firm only."""
    job = load_job(job_file)
    scheme = scheme_of(job, catalogue_of(job))
    fields = hazard_fields(scheme, Mode.AWAY)
    away = routes(scheme, Mode.AWAY, fields)
    given = (away, fields, contact_fields(scheme), loops(scheme), power(scheme))
    analysis = attack_analysis(scheme, *given, size=size)
    if analysis.undecided and not analysis.intrusions:
        raise InputError(analysis.undecided[0], where=job_file.name)
    choices = attack_choices(scheme, *given, designed=analysis)
    if as_json:
        typer.echo(json.dumps(_plain(analysis, choices), indent=2))
        return
    console = Console()
    for schedule in (attack_schedule(analysis), defeat_schedule(analysis), choice_schedule(choices)):
        console.print(_table(schedule))
    console.print(
        f"{len(analysis.faults)} faults, up to {size} at once, {analysis.tried} courses of events. Not tried: somebody "
        "who knows a code. This tells how to get past the system: keep it as you would keys.",
        highlight=False,
    )


def _table(schedule: Schedule) -> Table:
    table = Table(*schedule.columns, title=schedule.title, title_justify="left")
    for row in schedule.rows:
        table.add_row(*("" if cell is None else str(cell) for cell in row))
    return table


def _plain(analysis: AttackAnalysis, choices: tuple[Choice, ...]) -> dict[str, Any]:
    return {
        "size": analysis.size,
        "tried": analysis.tried,
        "intrusions": [asdict(i) for i in analysis.intrusions],
        "sets": [
            {
                "faults": [f.name for f in items[0].faults],
                "openings": [d.opening_id for d in items],
                "seconds_late": [None if math.isinf(d.seconds) else round(d.seconds, 1) for d in items],
                "centre_hears": list(items[0].told),
            }
            for items in analysis.by_set().values()
        ],
        "choices": [asdict(c) for c in choices],
    }
