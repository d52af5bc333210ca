"""Verify: explore everything the panel's programme can do."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from wardwright.analyses.programme_proof import ProgrammeProof, programme_proof, walked_programme
from wardwright.analyses.timing import timing
from wardwright.cli.job_argument import AsJson, JobFile
from wardwright.errors import InputError, OutOfRangeError
from wardwright.panel.own import own_properties
from wardwright.prove import scheme_of
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import load_job

WORDS = {True: "proved", False: "refuted", None: "not decided"}


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("verify", rich_help_panel="Proof")(verify_job)


def verify_job(
    job_file: JobFile,
    as_json: AsJson = False,
    own: Annotated[Path | None, typer.Option("--own", help="TOML file of your own properties.")] = None,
    reductions: Annotated[bool, typer.Option("--reductions", help="Show which reductions each proof used.")] = False,
) -> None:
    """Search everything the panel's programme can do, and prove or refute each property with its shortest story."""
    job = load_job(job_file)
    scheme = scheme_of(job, catalogue_of(job))
    try:
        walks = timing(scheme)
    except (InputError, OutOfRangeError):
        walks = None  # nothing is then known to be on the way to a keypad
    mine = own_properties(own, walked_programme(scheme, walks)) if own else ()
    proof = programme_proof(scheme, walks, mine)
    if proof.undecided:
        raise InputError(proof.undecided, where=job_file.name)
    if as_json:
        typer.echo(json.dumps({"seconds": proof.seconds, "answers": [asdict(a) for a in proof.answers]}, indent=2))
    else:
        _print(proof, reductions)
    if any(a.proved is False for a in proof.answers):
        raise typer.Exit(1)
    raise typer.Exit(3 if any(a.proved is None for a in proof.answers) else 0)


def _print(proof: ProgrammeProof, reductions: bool) -> None:
    console = Console()
    table = Table("property", "over", "not counted", "answer")
    for answer in sorted(proof.answers, key=lambda a: (a.proved is True, a.proved is None, a.key)):
        bounded = f", bounded: {answer.bound}" if answer.bound else ""
        table.add_row(answer.claim, answer.over, answer.exclusions, WORDS[answer.proved] + bounded)
    console.print(table)
    for answer in proof.answers:
        if not answer.proved:
            console.print(f"\n[bold]{answer.words}[/bold]\n{answer.story}", highlight=False)
        if reductions:
            console.print(f"{answer.key}: {'; '.join(answer.reductions)}", highlight=False)
    console.print(f"{proof.states} states, {proof.transitions} steps, {proof.seconds:.1f} s")
