"""Design: put a design sheet into a job, look at the catalogue."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from wardwright.catalogue.kinds import Family
from wardwright.catalogue.load import load_catalogue
from wardwright.cli.job_argument import AsJson, JobFile, read_text
from wardwright.design.sheet import design_from_sheet
from wardwright.errors import InputError
from wardwright.job.ids import next_id, replaced
from wardwright.job.model import Revision
from wardwright.job.records import keep_revision
from wardwright.storage.firm import catalogue_of, today
from wardwright.storage.job_file import load_job, save_job


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("design", rich_help_panel="Design")(design)
    app.command("kinds", rich_help_panel="Design")(kinds)
    app.command("keep", rich_help_panel="Design")(keep)


def design(
    job_file: JobFile,
    sheet: Annotated[Path, typer.Argument(metavar="SHEET", help="The design sheet, TOML.", show_default=False)],
    own_kinds: Annotated[
        Path | None, typer.Option("--kinds", help="Your own catalogue rows, CSV; kept with the job.")
    ] = None,
) -> None:
    """Read a design sheet into a job: devices, loops, zones, feeds and the panel's programme."""
    job = load_job(job_file)
    if own_kinds is not None:
        job = job.model_copy(update={"own_kinds": read_text(own_kinds)})
    made = design_from_sheet(
        read_text(sheet), job.premises, catalogue_of(job), profile=job.brief.profile, where=sheet.name
    )
    save_job(replaced(job, job.model_copy(update={"design": made})), job_file)
    zones = len(made.programme.zones)
    typer.echo(f"{job_file.name}: {len(made.devices)} devices on {zones} zones. Next: wardwright prove {job_file}")


def kinds(
    family: Annotated[str | None, typer.Argument(help="Only this family, for example “contact”.")] = None,
    own_kinds: Annotated[Path | None, typer.Option("--kinds", help="Your own catalogue rows, CSV.")] = None,
    as_json: AsJson = False,
) -> None:
    """List the kinds of device a design may use, or check your own CSV."""
    catalogue = load_catalogue(own_kinds)
    if family is not None and family not in {f.value for f in Family}:
        raise InputError(f"no family is called “{family}”; there are: {', '.join(f.value for f in Family)}")
    chosen = [k for k in catalogue.kinds.values() if family is None or k.family.value == family]
    if as_json:
        typer.echo("[" + ",\n ".join(k.model_dump_json() for k in chosen) + "]")
        return
    table = Table("Id", "Name", "Family", "Tag", "Radio", title=f"Catalogue {catalogue.edition}")
    for kind in chosen:
        table.add_row(kind.id, kind.name, kind.family.value, kind.tag, "radio" if kind.radio else "")
    Console().print(table)


def keep(
    job_file: JobFile,
    name: Annotated[str, typer.Argument(help="surveyed, sold, as fitted or altered.", show_default=False)],
    by: Annotated[str, typer.Option("--by", help="Who says so.")],
    note: Annotated[str, typer.Option("--note", help="What it is about.")] = "",
) -> None:
    """Keep the present design under the name of what it is: surveyed, sold, as fitted, altered."""
    job = load_job(job_file)
    names = ("surveyed", "sold", "as fitted", "altered")
    if name not in names:
        raise InputError(f"a revision is one of {', '.join(names)}, not “{name}”")
    revision = Revision.model_validate(
        {"id": next_id(job, "rev"), "name": name, "date": today(), "by": by, "design": job.design, "note": note}
    )
    save_job(keep_revision(job, revision), job_file)
    typer.echo(f"{job_file.name}: kept as {revision.id}, “{name}”.")
