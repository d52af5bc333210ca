"""Proof: prove a job, take on a finding, confirm a remembered row of a standard."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from wardwright.cli.job_argument import AsJson, JobFile
from wardwright.documents.verdict_table import verdict_json, verdict_table
from wardwright.errors import InputError
from wardwright.job.departures import accept as accept_departure
from wardwright.rules.confirmations import Confirmation, stale
from wardwright.storage.firm import firm_folder, firm_proof, load_confirmations, save_confirmations, today
from wardwright.storage.job_file import load_job, save_job


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("prove", rich_help_panel="Proof")(prove_job)
    app.command("accept", rich_help_panel="Proof")(accept)
    app.command("confirm", rich_help_panel="Proof")(confirm)


def prove_job(
    job_file: JobFile,
    as_json: AsJson = False,
    question: Annotated[str | None, typer.Option("--question", help="Only this one of the eight.")] = None,
    every: Annotated[bool, typer.Option("--all", help="List what is met and what does not apply too.")] = False,
) -> None:
    """Prove a job: every finding with its number, limit and source. The exit status tells the verdict."""
    proof = firm_proof(load_job(job_file))
    if as_json:
        typer.echo(verdict_json(proof))
    else:
        Console().print(verdict_table(proof, question=question, every=every))
    raise typer.Exit(int(proof.verdict))


def accept(
    job_file: JobFile,
    finding: Annotated[str, typer.Argument(help="Its identity, as prove prints it.", show_default=False)],
    who: Annotated[str, typer.Option("--who", help="Who takes it on.")],
    why: Annotated[str, typer.Option("--why", help="Why.")],
    until: Annotated[str, typer.Option("--until", help="ISO date on which it ends.")] = "",
) -> None:
    """Take on a finding: printed on the papers, and void as soon as what it rests on changes."""
    job = load_job(job_file)
    found = [f for f in firm_proof(job).findings if f.identity.startswith(finding)]
    if len(found) != 1:
        raise InputError(f"{'no' if not found else 'more than one'} finding is called “{finding}”", where=job_file.name)
    save_job(accept_departure(job, found[0], who=who, why=why, when=today(), until=until), job_file)
    typer.echo(f"{job_file.name}: {who} takes on {found[0].rule} ({', '.join(found[0].about)}).")


def confirm(
    row: Annotated[str, typer.Argument(help="Id of the row, for example EU-PWR-04.", show_default=False)],
    edition: Annotated[str, typer.Option("--edition", help="Edition of the text you hold.")],
    by: Annotated[str, typer.Option("--by", help="Who read it.")],
    firm: Annotated[Path | None, typer.Option("--firm", help="Folder of the firm's own records.")] = None,
) -> None:
    """Confirm a remembered row from the standard's own text, so that it can refute. Kept with the firm."""
    folder = firm or firm_folder()
    kept = load_confirmations(folder)
    new = Confirmation.of(row, edition=edition, by=by, when=today())
    save_confirmations(folder, (*(c for c in kept if c.row != new.row), new))
    typer.echo(f"{row} confirmed from {edition} by {by}; kept in {folder}.")
    for old in stale(kept):
        typer.echo(f"{old.row}, confirmed by {old.by} on {old.when}, is no row any more: look at it again.", err=True)
