"""The wardwright command."""

import typer

app = typer.Typer(no_args_is_help=True, add_completion=False)


@app.callback()
def wardwright() -> None:
    """Design, quote, prove and document intruder alarms."""


def main() -> None:
    """Entry point."""
    app()
