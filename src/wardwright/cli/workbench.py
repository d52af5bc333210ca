"""The workbench's interface, served on this machine. There is no page over it yet."""

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Add the commands of the workbench."""
    app.command("serve", rich_help_panel="Workbench")(serve)


def serve(
    store: Annotated[Path | None, typer.Option("--store", help="File the jobs are kept in.")] = None,
    port: Annotated[int, typer.Option("--port", help="Port; 0 for any that is free.", min=0, max=65535)] = 8765,
) -> None:
    """Serve a store of jobs to programs on this machine, under /api/v1. There is no page over it yet."""
    from wardwright.web.serve import default_store
    from wardwright.web.serve import serve as run

    run(store=store or default_store(), port=port, say=typer.echo)
