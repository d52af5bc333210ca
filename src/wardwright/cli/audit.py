"""Many sites: prove a folder of jobs and say what no longer holds."""

import csv
import io
import json
import os
import sys
from collections import Counter
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn
from rich.table import Table

from wardwright.audit.engines import in_processes, on_cluster
from wardwright.audit.journal import last_audit
from wardwright.audit.one_job import Terms
from wardwright.audit.records import FAILED, Audit, Audited, Lost, Moved, lost, moved
from wardwright.audit.run import RECORDS, audit_folder
from wardwright.cli.job_argument import AsJson
from wardwright.errors import InputError
from wardwright.storage.firm import firm_folder, firm_tariff, load_confirmations, today
from wardwright.storage.job_file import write_whole

WORDS = {"holds": "all that is required holds", "refuted": "refuted", "open": "open", FAILED: "could not be proved"}


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("audit", rich_help_panel="Proof")(audit)


def audit(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder with the job files.", show_default=False)],
    workers: Annotated[
        int | None, typer.Option("--workers", min=1, help="Processes of this machine; by default one to a core.")
    ] = None,
    scheduler: Annotated[
        str, typer.Option("--scheduler", help="Address of a Dask scheduler, to use its workers instead.")
    ] = "",
    seconds_each: Annotated[float, typer.Option("--seconds-each", min=1.0, help="Give a job up after this.")] = 600.0,
    as_json: AsJson = False,
    table: Annotated[Path | None, typer.Option("--csv", help="Write every claim that does not hold as CSV.")] = None,
    records: Annotated[
        Path | None, typer.Option("--records", help=f"Where audits are kept; by default {RECORDS} in the folder.")
    ] = None,
) -> None:
    """Prove a folder of jobs: what held in the last audit or on the last papers, and no longer does.

    A killed audit goes on where it stopped when it is started again on the same day with the same rules and prices.

    The exit status is that of the worst job: 1 refuted or not to be proved, 3 open, 0 all hold.
    """
    if scheduler and workers:
        raise InputError("give either --workers or --scheduler")
    kept = records or folder / RECORDS
    before = last_audit(kept)
    terms = Terms(today(), load_confirmations(firm_folder()), firm_tariff(), seconds_each)
    count = workers or min(os.cpu_count() or 1, 61)
    shown = Console(file=sys.stderr)
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeElapsedColumn())
    with Progress(*columns, console=shown, disable=not shown.is_terminal) as bar:
        line = bar.add_task("audit", total=None)

        def tell(done: int, of: int, job: Audited | None) -> None:
            bar.update(line, completed=done, total=of, description="audit" if job is None else job.file)
            if job is None and done:
                shown.print(f"going on with an audit that was stopped: {done} of {of} are done")

        found = audit_folder(
            folder,
            terms,
            engine=(lambda tasks: on_cluster(tasks, scheduler))
            if scheduler
            else (lambda tasks: in_processes(tasks, count)),
            records=kept,
            progress=tell,
        )
    gone, prices = lost(found.jobs, before), moved(found.jobs, before)
    if table is not None:
        write_whole(table, claims_csv(found, gone).encode())
    if as_json:
        typer.echo(json.dumps(audit_tree(found, gone, prices), indent=1, ensure_ascii=False))
    else:
        print_audit(Console(), found, before, gone, prices)
    verdicts = {job.verdict for job in found.jobs}
    raise typer.Exit(1 if verdicts & {"refuted", FAILED} else 3 if "open" in verdicts else 0)


def audit_tree(found: Audit, gone: Iterable[Lost], prices: Iterable[Moved]) -> dict[str, object]:
    """The audit for machines."""
    return {
        "format": 1,
        "date": found.date,
        "jobs": [{k: v for k, v in job.as_tree().items() if k not in ("held", "rules", "paper")} for job in found.jobs],
        "no_longer_holds": [asdict(each) for each in gone],
        "prices_moved": [asdict(each) for each in prices],
    }


def claims_csv(found: Audit, gone: Iterable[Lost]) -> str:
    """One line for every required claim that does not hold, and for every job that could not be proved."""
    lost_before = {(each.file, each.claim.identity): each.before for each in gone}
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["file", "job", "title", "verdict", "rule", "about", "outcome", "before", "explanation"])
    for job in found.jobs:
        head = [job.file, job.job, job.title, job.verdict]
        if job.verdict == FAILED:
            writer.writerow([*head, "", "", "", "", job.error])
        for claim in job.standing:
            before = lost_before.get((job.file, claim.identity), "")
            writer.writerow([*head, claim.rule, " ".join(claim.about), claim.outcome, before, claim.explanation])
    return text.getvalue()


def print_audit(console: Console, found: Audit, before: Audit | None, gone: list[Lost], prices: list[Moved]) -> None:
    """The audit for a person: totals, then only what asks for something to be done."""
    totals = Counter(job.verdict for job in found.jobs)
    said = ", ".join(f"{totals[verdict]} {words}" for verdict, words in WORDS.items() if totals[verdict])
    console.print(f"{len(found.jobs)} jobs on {found.date}: {said}.")
    failures = [job for job in found.jobs if job.verdict == FAILED]
    if failures:
        view = Table("File", "Why", title="Could not be proved", title_justify="left")
        for job in failures:
            view.add_row(job.file, job.error.removeprefix(f"{job.file}: "))
        console.print(view)
    papers = sum(job.paper is not None for job in found.jobs)
    if before is None and not papers:
        console.print("Nothing to compare with yet: this audit is the first, and no paper kept what it showed.")
    elif not gone:
        console.print(f"All that held {'before' if before is None else f'on {before.date}'} still holds.")
    if gone:
        console.print("[bold]No longer holds[/bold] (every word of it: --csv or --json)")
        view = Table("Job and claim", "Now", "Before", "Why")
        for each in gone:
            why = each.claim.explanation.splitlines()[0]
            view.add_row(
                f"{each.file}\n{each.claim.rule}\n{', '.join(each.claim.about)}",
                each.claim.outcome,
                each.before,
                f"{why} The job was edited since." if each.job_changed else why,
            )
        console.print(view)
    if prices:
        view = Table("Job", "Before", "Now", title="Prices that moved", title_justify="left")
        for price in prices:
            view.add_row(price.file, price.before, price.now)
        console.print(view)
