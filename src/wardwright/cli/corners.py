"""Before a design: from how few corners each floor can be seen at all."""

import json
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from wardwright.analyses.mode import Mode
from wardwright.cli.job_argument import AsJson, JobFile
from wardwright.errors import InputError
from wardwright.placement.gallery import Gallery, storey_corners
from wardwright.storage.job_file import load_job


def register(app: typer.Typer) -> None:
    """Add the commands of this stage."""
    app.command("corners", rich_help_panel="Design")(corners)


def corners(
    job_file: JobFile,
    inside: Annotated[
        bool, typer.Option("--inside", help="With people inside: bedroom and bathroom doors are shut.")
    ] = False,
    time_limit: Annotated[float, typer.Option("--time-limit", min=0.1, help="Seconds for each storey.")] = 60.0,
    as_json: AsJson = False,
) -> None:
    """Fewest corners that between them see the whole of each floor: no layout of corner detectors does with fewer.

    Range and field of view are left out, so this is a bound before any product is chosen, not a layout: that is what
    place proposes.
    """
    premises = load_job(job_file).premises
    found = storey_corners(premises, Mode.INSIDE if inside else Mode.AWAY, time_limit_s=time_limit)
    if not found:
        raise InputError("no storey has a room whose floor could be seen", where=job_file.name)
    names = {storey.id: storey.name for storey in premises.storeys}
    if as_json:
        tree = {
            key: {
                "corners": [[round(x, 3), round(y, 3)] for x, y in floor.corners],
                "at_least": floor.at_least,
                "proved": floor.proved,
                "unseen_m2": round(floor.unseen_m2, 4),
            }
            for key, floor in found.items()
        }
        typer.echo(json.dumps(tree, indent=1, ensure_ascii=False))
        return
    table = Table("Storey", "Corners", "", "Where (x, y in metres)")
    for key, floor in found.items():
        places = "  ".join(f"({x:.2f}, {y:.2f})" for x, y in floor.corners)
        table.add_row(names[key], str(len(floor.corners)), _known(floor), places)
    Console().print(table)


def _known(floor: Gallery) -> str:
    if floor.proved:
        return "the fewest there can be"
    if not floor.whole:
        return f"at least {floor.at_least}; stopped with {floor.unseen_m2:.2f} m² unseen"
    return f"at least {floor.at_least}"
