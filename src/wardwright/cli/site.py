"""Site: record what was measured and tested; bring two copies of a job together."""

from pathlib import Path
from typing import Annotated, Literal

import typer

from wardwright.cli.job_argument import JobFile
from wardwright.errors import InputError
from wardwright.job.ids import next_id
from wardwright.job.model import SiteRecord
from wardwright.job.records import add_site_record, merge_site_records, with_reading
from wardwright.storage.firm import today
from wardwright.storage.job_file import load_job, save_job


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("reading", rich_help_panel="Site")(reading)
    app.command("note", rich_help_panel="Site")(note)
    app.command("merge", rich_help_panel="Site")(merge)


def reading(
    job_file: JobFile,
    quantity: Annotated[str, typer.Argument(help="For example “loop resistance”.", show_default=False)],
    at: Annotated[str, typer.Argument(help="Id of the device, loop, cable or room.", show_default=False)],
    value: Annotated[float, typer.Argument(help="What the instrument showed.", show_default=False)],
    unit: Annotated[str, typer.Argument(help="Its unit.", show_default=False)],
    instrument: Annotated[str, typer.Option("--instrument", help="What it was measured with.")],
    by: Annotated[str, typer.Option("--by", help="Who measured.")],
    date: Annotated[str | None, typer.Option("--date", help="ISO date; today if left out.")] = None,
    uncertainty: Annotated[float | None, typer.Option("--uncertainty", help="Of the instrument, in the unit.")] = None,
) -> None:
    """Record something measured on site. It overrules the prediction it answers."""
    job = load_job(job_file)
    recorded = with_reading(
        job,
        quantity=quantity,
        at=at,
        value=value,
        unit=unit,
        instrument=instrument,
        by=by,
        date=date or today(),
        uncertainty=uncertainty,
    )
    save_job(recorded, job_file)
    typer.echo(f"{job_file.name}: {recorded.site[-1].id} recorded, {quantity} at {at} {value:g} {unit}.")


def note(
    job_file: JobFile,
    kind: Annotated[str, typer.Argument(help="test, visit, fault, alteration or note.", show_default=False)],
    text: Annotated[str, typer.Argument(help="What was done or seen.", show_default=False)],
    by: Annotated[str, typer.Option("--by", help="Who.")],
    about: Annotated[list[str] | None, typer.Option("--about", help="Id of an element; may be repeated.")] = None,
    passed: Annotated[bool | None, typer.Option("--passed/--failed", help="Outcome of a test.")] = None,
) -> None:
    """Record something done or seen on site."""
    job = load_job(job_file)
    kinds: tuple[Literal["test", "visit", "fault", "alteration", "note"], ...] = (
        "test",
        "visit",
        "fault",
        "alteration",
        "note",
    )
    chosen = next((k for k in kinds if k == kind), None)
    if chosen is None:
        raise InputError(f"a site record is one of {', '.join(kinds)}, not “{kind}”")
    record = SiteRecord(
        id=next_id(job, "site"), date=today(), by=by, kind=chosen, about=tuple(about or ()), text=text, passed=passed
    )
    save_job(add_site_record(job, record), job_file)
    typer.echo(f"{job_file.name}: {record.id} recorded.")


def merge(
    job_file: JobFile,
    other: Annotated[Path, typer.Argument(metavar="OTHER", help="Another copy of the job.", show_default=False)],
) -> None:
    """Add the site records of another copy of the job, as from a second phone."""
    job = load_job(job_file)
    merged = merge_site_records(job, load_job(other))
    save_job(merged, job_file)
    typer.echo(f"{job_file.name}: {len(merged.site) - len(job.site)} records added.")
