"""What several commands share: the job file, the choice of JSON, reading a file somebody named."""

from pathlib import Path
from typing import Annotated

import typer

from wardwright.errors import InputError

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="The job file.", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Write JSON for machines instead of a table.")]


def read_text(path: Path) -> str:
    """Text of a file somebody named, or one plain sentence why not."""
    try:
        return path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise InputError("there is no such file", where=str(path)) from None
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"cannot be read as text ({error})", where=str(path)) from None
