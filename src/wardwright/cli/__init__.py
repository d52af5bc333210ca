"""The wardwright command: files in, files out; the exit status tells the verdict.

0: all that is required is met. 1: something is refuted. 2: wrong use or unusable input. 3: something required is
undecided.
"""

import sys

import typer

from wardwright.cli.verbs import Verbs
from wardwright.errors import WardwrightError

app = typer.Typer(
    name="wardwright",
    cls=Verbs,
    help="Design, quote, prove and document intruder alarms in homes and small businesses.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
app.callback()(lambda: None)  # a group, though no verb is imported yet


def main() -> None:
    """Entry point: every error a person can cause is one plain sentence on standard error."""
    try:
        app()
    except WardwrightError as error:
        typer.echo(f"wardwright: {error}", err=True)
        sys.exit(2)
    except BrokenPipeError:
        sys.exit(0)
    except (KeyboardInterrupt, typer.Abort):
        typer.echo("wardwright: stopped", err=True)
        sys.exit(2)
