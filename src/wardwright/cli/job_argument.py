"""What several commands share: where the job is, and how they answer."""

from pathlib import Path
from typing import Annotated

import typer

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="The job file.", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Write JSON for machines instead of a table.")]
