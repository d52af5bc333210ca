"""Placement: propose a design that is proved cheapest, and say why a device is there."""

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal, InvalidOperation
from pathlib import Path
from types import FrameType
from typing import Annotated

import typer
from rich.console import Console

from wardwright.cli.job_argument import AsJson, JobFile
from wardwright.documents.placed import offers_json, offers_table, reasons_table, statement
from wardwright.documents.slipping_route import slipping_route
from wardwright.errors import InputError
from wardwright.placement.layout import Standing
from wardwright.placement.proposal import problem_of
from wardwright.placement.reasons import reasons, without
from wardwright.placement.three_offers import KINDS, TITLES, Kind, three_offers
from wardwright.prove import Verdict, scheme_of
from wardwright.storage.firm import catalogue_of, firm_folder, firm_tariff, load_confirmations, today
from wardwright.storage.job_file import load_job, save_job, write_whole


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("place", rich_help_panel="Design")(place)
    app.command("explain", rich_help_panel="Design")(explain)


def place(
    job_file: JobFile,
    out: Annotated[
        Path | None, typer.Option("-o", "--out", help="Write the job with the offer taken into this file.")
    ] = None,
    offer: Annotated[
        str, typer.Option("--offer", help="Which offer is taken: least, margin or budget; all: compare the three.")
    ] = "least",
    budget: Annotated[
        str | None, typer.Option("--budget", help="Price of the whole job with tax, for the budget offer.")
    ] = None,
    time_limit: Annotated[float, typer.Option("--time-limit", help="Seconds for each search.")] = 60.0,
    check: Annotated[
        bool, typer.Option(help="Turn detectors a little where that helps, and look again on a grid half as coarse.")
    ] = True,
    as_json: AsJson = False,
) -> None:
    """Propose detectors, panel and wiring for a job's brief, and say how much cheaper it could still be.

    What is placed already is kept; what the brief rules out is left out. Stop it at any time (Ctrl-C): the best design
    so far is shown with its bound.
    """
    if offer not in (*KINDS, "all"):
        raise InputError(f"an offer is least, margin, budget or all, not “{offer}”")
    if offer == "all" and out is not None:
        raise InputError("say which offer is to be written: --offer least, margin or budget")
    if not time_limit > 0.0:
        raise InputError(f"a time limit is more than 0 s, not {time_limit:g}")
    limit = _money(budget)
    wanted: tuple[Kind, ...] = KINDS if offer == "all" else tuple(k for k in KINDS if k == offer)
    job = load_job(job_file)
    folder = firm_folder()
    problem = problem_of(job, catalogue_of(job), firm_tariff())
    console = Console(stderr=True)
    interrupted: list[bool] = []
    with console.status("looking at every place a detector could hang") as status:

        def tell(kind: Kind, at: Standing) -> None:
            status.update(
                f"{TITLES[kind].lower()}: round {at.round}, {at.cost:.0f}, at least {at.bound:.0f}, "
                f"{at.evading} routes still slip by"
            )

        with _until_interrupted(interrupted):
            offers = three_offers(
                problem,
                today=today(),
                wanted=wanted,
                budget=limit,
                time_limit_s=time_limit,
                check=check,
                confirmations=load_confirmations(folder),
                progress=tell,
                stop=lambda: bool(interrupted),
            )
    if as_json:
        typer.echo(offers_json(offers))
    else:
        shown = Console()
        shown.print(offers_table(offers))
        for each in offers:
            shown.print(statement(each))
    if out is not None:
        save_job(offers[0].proposal.job, out)
        placed = len(offers[0].proposal.job.design.devices)
        typer.echo(f"{out.name}: {placed} devices. Next: wardwright prove {out}", err=as_json)
    raise typer.Exit(int(max((o.proposal.proof.verdict for o in offers), default=Verdict.HOLDS)))


def explain(
    job_file: JobFile,
    device: Annotated[str, typer.Argument(help="Id of a detector.", show_default=False)],
    out: Annotated[
        Path | None,
        typer.Option("-o", "--out", help="Folder for drawings of the route that slips by."),
    ] = None,
) -> None:
    """Say why a detector is there: which way in or route slips by without it."""
    job = load_job(job_file)
    scheme = scheme_of(job, catalogue_of(job))
    told = reasons(scheme, device)
    if not told:
        typer.echo(f"{device}: nothing gets worse without it.")
        return
    Console().print(reasons_table(scheme, device, told))
    if out is None:
        return
    route = next((r.route for r in told if r.route is not None), None)
    if route is None:
        typer.echo("No route gets worse without it, so there is none to draw.")
        return
    if out.exists() and not out.is_dir():
        raise InputError("this is a file; give a folder", where=str(out))
    bare = job.model_copy(update={"design": without(job.design, device)})
    drawings = slipping_route(bare, scheme_of(bare, catalogue_of(bare)), route, without=device, date=today())
    out.mkdir(parents=True, exist_ok=True)
    for number, drawing in enumerate(drawings, 1):
        path = out / f"without-{device}-{number}.svg"
        write_whole(path, drawing.svg.encode())
        typer.echo(f"{path}: {drawing.title}, 1:{drawing.scale}")


def _money(text: str | None) -> Decimal | None:
    if text is None:
        return None
    try:
        value = Decimal(text)
    except InvalidOperation:
        raise InputError(f"a budget is a sum of money such as 4500, not “{text}”") from None
    if not value.is_finite() or value <= 0:
        raise InputError(f"a budget is more than nothing, not “{text}”")
    return value


@contextmanager
def _until_interrupted(said: list[bool]) -> Iterator[None]:
    """The first Ctrl-C ends the search with the best so far; the second ends the command."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def note(_number: int, _frame: FrameType | None) -> None:
        if said:
            raise KeyboardInterrupt
        said.append(True)

    before = signal.signal(signal.SIGINT, note)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
