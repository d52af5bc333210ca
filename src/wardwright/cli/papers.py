"""Papers: the client's, the firm's, schedules, and the quote."""

import json
import os
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from wardwright.cli.job_argument import AsJson, JobFile
from wardwright.documents.dossier import client_papers, firm_papers
from wardwright.documents.register import issue, next_copy_number
from wardwright.documents.schedules import csv_text, schedules
from wardwright.errors import InputError
from wardwright.storage.firm import catalogue_of, firm_proof, today
from wardwright.storage.job_file import load_job, save_job, write_whole

PASSPHRASE_VARIABLE = "WARDWRIGHT_PASSPHRASE"


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("papers", rich_help_panel="Papers")(papers)
    app.command("quote", rich_help_panel="Papers")(quote)


def papers(
    job_file: JobFile,
    out: Annotated[Path, typer.Option("-o", "--out", help="Folder to write into.")],
    firm: Annotated[bool, typer.Option("--firm", help="The contractor's dossier instead of the client's.")] = False,
    to: Annotated[str, typer.Option("--to", help="Whom this copy is for; named on it and in the register.")] = "",
    passphrase: Annotated[
        str | None,
        typer.Option(
            "--passphrase", envvar=PASSPHRASE_VARIABLE, help="Encrypts the contractor's dossier.", show_envvar=True
        ),
    ] = None,
) -> None:
    """Write papers: the client's PDF, or with --firm the contractor's, copy-numbered and logged in the job."""
    if out.exists() and not out.is_dir():
        raise InputError("this is a file; give a folder", where=str(out))
    if passphrase is not None and not passphrase.strip():
        raise InputError("the passphrase is empty")
    job = load_job(job_file)
    proof = firm_proof(job, for_papers=True)
    day = today()
    catalogue = catalogue_of(job)
    if firm:
        whom = to or job.firm.name or "the firm"
        number = next_copy_number(job, "firm")
        content = firm_papers(proof, copy_number=number, to=whom, date=day, passphrase=passphrase)
        path = out / f"{job.id}-firm-copy-{number}.pdf"
    else:
        if passphrase is not None and os.environ.get(PASSPHRASE_VARIABLE) is None:
            raise InputError("only the contractor's dossier is encrypted; add --firm")
        whom = to or job.brief.client or "the client"
        number = next_copy_number(job, "client")
        content = client_papers(proof, date=day)
        path = out / f"{job.id}-client.pdf"
    logged = issue(
        job,
        paper="firm" if firm else "client",
        copy_number=number,
        to=whom,
        date=day,
        content=content,
        catalogue=catalogue,
        findings=proof.findings,
    )
    write_whole(path, content)
    written = [path]
    if firm and passphrase is None:
        for schedule in schedules(proof):
            table = out / f"{job.id}-{schedule.name}.csv"
            write_whole(table, csv_text(schedule).encode())
            written.append(table)
    save_job(logged, job_file)
    for each in written:
        typer.echo(each)


def quote(job_file: JobFile, as_json: AsJson = False) -> None:
    """Price a job: three offers side by side, with what each changes and gives up."""
    found = firm_proof(load_job(job_file), for_papers=True).offers
    if as_json:
        rows = [
            {
                "offer": offer.name,
                "summary": offer.summary,
                "changes": [{"what": c.what, "effect": c.effect} for c in offer.changes],
                "currency": offer.estimate.currency,
                "net": str(offer.estimate.net),
                "tax": str(offer.estimate.tax),
                "total": str(offer.estimate.total),
                "recurring_year": str(offer.estimate.recurring_year),
                "hours": str(offer.estimate.hours),
                "assumptions": list(offer.estimate.assumptions),
            }
            for offer in found
        ]
        typer.echo(json.dumps(rows, indent=1, ensure_ascii=False))
        return
    if not found:
        raise InputError("nothing to price: the job has no design that hangs together", where=job_file.name)
    money = found[0].estimate.currency
    table = Table("", *[o.name for o in found], title=f"Offers, {money}, valid {found[0].estimate.valid_days} days")
    for label, amount in (
        ("Before tax", "net"),
        ("Tax", "tax"),
        ("Price", "total"),
        ("A year afterwards", "recurring_year"),
        ("Hours of work", "hours"),
    ):
        table.add_row(label, *[f"{getattr(o.estimate, amount):,.2f}" for o in found])
    console = Console()
    console.print(table)
    for offer in found:
        console.print(f"[bold]{offer.name}[/bold]. {offer.summary}")
        for change in offer.changes:
            console.print(f"  {change.what}: {change.effect}")
    for assumption in found[0].estimate.assumptions:
        console.print(f"Assumed: {assumption}", style="dim")
