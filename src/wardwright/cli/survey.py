"""Survey: take in a building, check a job file, publish the schema."""

import json
from pathlib import Path
from typing import Annotated

import typer

from wardwright.catalogue.load import load_catalogue
from wardwright.cli.job_argument import AsJson, JobFile
from wardwright.design.check import check_design
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.job.from_file import job_from_file
from wardwright.job.model import Job
from wardwright.model import Record
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import load_job, save_job


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("intake", rich_help_panel="Survey")(intake)
    app.command("check", rich_help_panel="Survey")(check)
    app.command("schema", rich_help_panel="Survey")(schema)


def intake(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="IFC, DXF, plan JSON or tape survey.", show_default=False)
    ],
    out: Annotated[Path, typer.Option("-o", "--out", help="The job file to write.")],
    scale: Annotated[float | None, typer.Option("--scale", help="Metres for one unit of the drawing.")] = None,
    unit: Annotated[str | None, typer.Option("--unit", help="Length unit of the file: m, cm, mm, ft or in.")] = None,
    plan: Annotated[str | None, typer.Option("--plan", help="Which plan, where the file holds several.")] = None,
    title: Annotated[str | None, typer.Option("--title", help="Title of the job.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Write over a job that is there.")] = False,
) -> None:
    """Read a building from a file into a new job, and report every guess that was made."""
    if out.exists() and not force:
        raise InputError("there is a job here already; choose another name or add --force", where=str(out))
    stem = "".join(c if c.isalnum() else "-" for c in out.stem.lower()).strip("-") or "job"
    job = job_from_file(file, key=stem, title=title, scale=scale, unit=unit, plan=plan)
    save_job(job, out)
    p, notes = job.premises, job.intake
    typer.echo(
        f"{out.name}: {len(p.storeys)} storeys, {len(p.rooms)} rooms, {len(p.walls)} walls, "
        f"{len(p.openings)} openings ({sum(o.is_outside for o in p.openings)} to the outside)."
    )
    if notes:
        typer.echo(f"\nIntake report: {len(notes)} guesses and gaps, kept in the job.")
        for note in notes:
            where = ", ".join(note.where[:6]) + (f" and {len(note.where) - 6} more" if len(note.where) > 6 else "")
            typer.echo(f"  {'missing' if note.missing else 'assumed'}  {note.what}" + (f" ({where})" if where else ""))
            typer.echo(f"           {note.assumed}")
            typer.echo(f"           to correct: {note.correct_by}")


def check(job_file: JobFile, as_json: AsJson = False) -> None:
    """Check a job file and explain every broken reference and impossible value in it."""
    job = load_job(job_file)
    scheme = ProtectionScheme(job.premises, job.design, catalogue_of(job), job.brief)
    problems = check_design(scheme)
    if as_json:
        rows = [{"where": p.where, "what": p.what, "expected": p.expected, "severity": p.severity} for p in problems]
        typer.echo(json.dumps(rows, indent=1, ensure_ascii=False))
    elif not problems:
        typer.echo(f"{job_file.name}: nothing broken.")
    else:
        for p in problems:
            typer.echo(f"{p.where}: {p.what}. Expected: {p.expected}")
    if problems:
        raise typer.Exit(1)


def schema(
    record: Annotated[str, typer.Argument(help="job or kinds.")] = "job",
) -> None:
    """Print the JSON Schema of a stored record."""
    if record == "job":
        typer.echo(json.dumps(Job.model_json_schema(), indent=1))
    elif record == "kinds":
        catalogue: Record = load_catalogue()
        typer.echo(json.dumps(type(catalogue).model_json_schema(), indent=1))
    else:
        raise InputError(f"there is a schema for “job” and for “kinds”, not for “{record}”")
