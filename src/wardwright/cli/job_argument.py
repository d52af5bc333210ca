"""What several commands share: where the job is, what day it is, which catalogue it uses."""

import datetime
import os
from pathlib import Path
from typing import Annotated

import typer

from wardwright.catalogue.kinds import Catalogue
from wardwright.catalogue.load import load_catalogue
from wardwright.job.model import Job

JobFile = Annotated[Path, typer.Argument(metavar="JOB", help="The job file.", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Write JSON for machines instead of a table.")]


def today() -> str:
    """Today's date; ``SOURCE_DATE_EPOCH`` sets it, so that papers can be made again byte for byte."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is not None:
        return datetime.datetime.fromtimestamp(int(epoch), datetime.UTC).date().isoformat()
    return datetime.date.today().isoformat()


def catalogue_of(job: Job) -> Catalogue:
    """The generic list with the job's own rows over it."""
    return load_catalogue(job.own_kinds or None)
