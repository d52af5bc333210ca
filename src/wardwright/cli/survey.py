"""Survey: take in a building, check a job file, publish the schema."""

import json
from pathlib import Path
from typing import Annotated

import typer
from pydantic import ValidationError

from wardwright.analyses.scenario.script import Scenario
from wardwright.catalogue.load import load_catalogue
from wardwright.cli.job_argument import AsJson, JobFile, read_text
from wardwright.design.brief import Brief
from wardwright.design.check import check_design
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.job.from_file import job_from_file
from wardwright.job.ids import replaced
from wardwright.job.model import Firm, Job
from wardwright.model import Record
from wardwright.premises.notes import with_notes
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import load_job, save_job


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("intake", rich_help_panel="Survey")(intake)
    app.command("brief", rich_help_panel="Survey")(brief)
    app.command("survey", rich_help_panel="Survey")(survey)
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


def brief(
    job_file: JobFile,
    settings: Annotated[
        list[str] | None, typer.Argument(metavar="FIELD=VALUE", help="For example profile=“Europe grade 2”.")
    ] = None,
) -> None:
    """Show or set what was asked for: client, profile, aims. ``firm.name=…`` and the like set the firm's own lines."""
    job = load_job(job_file)
    asked, firm = job.brief.model_dump(), job.firm.model_dump()
    for setting in settings or ():
        field, equals, value = setting.partition("=")
        record, name = (firm, field[5:]) if field.startswith("firm.") else (asked, field)
        if not equals or name not in record:
            fields = ", ".join((*asked, *(f"firm.{key}" for key in firm)))
            raise InputError(f"write FIELD=VALUE; fields are {fields}", where=setting)
        several = isinstance(record[name], tuple | list)
        record[name] = tuple(part.strip() for part in value.split(";") if part.strip()) if several else value
    try:
        job = job.model_copy(update={"brief": Brief.model_validate(asked), "firm": Firm.model_validate(firm)})
    except ValidationError as error:
        raise InputError("; ".join(f"{e['loc'][0]}: {e['msg']}" for e in error.errors()), where="brief") from None
    if settings:
        save_job(job, job_file)
    for name, value in (*job.brief.model_dump(mode="json").items(), *job.firm.model_dump(mode="json").items()):
        shown = "; ".join(value) if isinstance(value, list) else value
        typer.echo(f"{name:22} {shown}")


def survey(
    job_file: JobFile,
    notes: Annotated[Path, typer.Argument(metavar="NOTES", help="The survey notes, TOML.", show_default=False)],
) -> None:
    """Add to a job what no drawing shows: goods, beds, pets, people, heat, locks, glass, roofs, response."""
    job = load_job(job_file)
    premises = with_notes(job.premises, read_text(notes), where=notes.name)
    save_job(replaced(job, job.model_copy(update={"premises": premises})), job_file)
    p = premises
    typer.echo(
        f"{job_file.name}: {len(p.targets)} targets, {len(p.beds)} beds, {len(p.pets)} pets, {len(p.people)} people."
    )


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
    record: Annotated[str, typer.Argument(help="job, kinds or scenario.")] = "job",
) -> None:
    """Print the JSON Schema of a stored record, or of a scenario."""
    if record == "job":
        typer.echo(json.dumps(Job.model_json_schema(), indent=1))
    elif record == "kinds":
        catalogue: Record = load_catalogue()
        typer.echo(json.dumps(type(catalogue).model_json_schema(), indent=1))
    elif record == "scenario":
        typer.echo(json.dumps(Scenario.model_json_schema(), indent=1))
    else:
        raise InputError(f"there is a schema for “job”, for “kinds” and for “scenario”, not for “{record}”")
