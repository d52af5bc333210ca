"""The workbench: on this machine or, with TLS and a password, in the house."""

from pathlib import Path
from typing import Annotated

import typer

Store = Annotated[Path | None, typer.Option("--store", help="File the jobs are kept in.")]


def register(app: typer.Typer) -> None:
    """Add the commands of the workbench."""
    app.command("serve", rich_help_panel="Workbench")(serve)
    app.command("password", rich_help_panel="Workbench")(password)


def serve(
    store: Store = None,
    address: Annotated[
        str, typer.Option("--address", help="An address of this machine in the house, to let a tablet in.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", help="Port; 0 for any that is free.", min=0, max=65535)] = 8765,
) -> None:
    """Open the workbench over a store of jobs, on this machine alone unless an address is given."""
    from wardwright.web.serve import default_store
    from wardwright.web.serve import serve as run

    run(store=store or default_store(), address=address, port=port, say=typer.echo)


def password(store: Store = None) -> None:
    """Set the password for the workbench beyond this machine; every paired device is forgotten."""
    from wardwright.web.door import Door
    from wardwright.web.serve import default_store, door_file

    given = typer.prompt("New password, at least 12 characters", hide_input=True, confirmation_prompt=True)
    place = door_file(store or default_store())
    Door(place).set_password(given)
    typer.echo(f"Set; its hash is kept in {place}.")
