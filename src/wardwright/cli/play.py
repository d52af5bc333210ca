"""Play: people and intruders walk through building and panel together."""

from pathlib import Path
from typing import Annotated, Literal

import typer
from rich.console import Console

from wardwright.analyses.scenario.playing import play
from wardwright.analyses.scenario.script import scenario_from_text
from wardwright.analyses.scenario.timeline import Timeline
from wardwright.cli.job_argument import AsJson, JobFile, read_text
from wardwright.design.check import check_design
from wardwright.design.system import ProtectionScheme
from wardwright.documents.client_story import IN_PERSON, client_story
from wardwright.documents.client_view import visible_devices
from wardwright.documents.playing_page import playing_page
from wardwright.documents.timeline_table import outcome_lines, timeline_csv, timeline_json, timeline_table
from wardwright.errors import InputError
from wardwright.job.model import Job
from wardwright.prove import scheme_of
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import load_job, write_whole

WRITERS = (".html", ".csv", ".json")


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("play", rich_help_panel="Proof")(play_scenario)


def play_scenario(
    job_file: JobFile,
    scenario_file: Annotated[Path, typer.Argument(metavar="SCENARIO", help="The script, TOML.", show_default=False)],
    out: Annotated[
        list[Path] | None,
        typer.Option("-o", "--out", help="Write it: .html an animated page, .csv a table, .json all. May be repeated."),
    ] = None,
    reader: Annotated[
        Literal["firm", "client"],
        typer.Option("--for", help="The firm's shows everything, the client's only what is noticed in time."),
    ] = "firm",
    seed: Annotated[int | None, typer.Option("--seed", min=0, help="Draw again, instead of the script's seed.")] = None,
    every: Annotated[bool, typer.Option("--all", help="List also devices nobody listens to, and restorals.")] = False,
    as_json: AsJson = False,
) -> None:
    """Play a scenario: who walks where, what trips, what the panel does. Same script and seed, same timeline."""
    wanted = out or []
    for path in wanted:
        if path.suffix.lower() not in WRITERS:
            raise InputError(f"a timeline is written as {', '.join(WRITERS)}", where=path.name)
    job = load_job(job_file)
    scheme = scheme_of(job, catalogue_of(job))
    broken = next((p for p in check_design(scheme) if p.severity == "broken"), None)
    if broken is not None:
        raise InputError(f"the design does not hang together: {broken.where}: {broken.what}", where=job_file.name)
    scenario = scenario_from_text(read_text(scenario_file), where=scenario_file.name)
    if seed is not None:
        scenario = scenario.model_copy(update={"seed": seed})
    timeline = play(scheme, scenario)
    if reader == "client":
        story = client_story(scheme, scenario, timeline)
        timeline = story.timeline
        if story.left_out:
            typer.echo(f"wardwright: {IN_PERSON}", err=True)
    for path in wanted:
        if path.suffix.lower() == ".csv":
            content = timeline_csv(timeline)
        elif path.suffix.lower() == ".json":
            content = timeline_json(timeline)
        else:
            content = _page(job, scheme, timeline, firm=reader == "firm")
        write_whole(path, content.encode())
    if as_json:
        typer.echo(timeline_json(timeline))
        return
    if not wanted:
        console = Console()
        console.print(timeline_table(timeline, every=every))
    for line in outcome_lines(timeline, scheme) if reader == "firm" else ():
        typer.echo(line)
    for path in wanted:
        typer.echo(path)


def _page(job: Job, scheme: ProtectionScheme, timeline: Timeline, *, firm: bool) -> str:
    return playing_page(
        scheme,
        timeline,
        devices=scheme.fitted if firm else visible_devices(scheme),
        firm=firm,
        subtitle=f"{job.title}, {'for the firm, confidential' if firm else 'for the client'}",
        invented=job.invented,
    )
