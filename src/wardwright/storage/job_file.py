"""One readable JSON file per job: saved whole or not at all, migrated on loading."""

import json
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from wardwright.errors import JobFileError
from wardwright.job.model import FORMAT, Job
from wardwright.model import plain_errors

Tree = dict[str, Any]


def _firm_becomes_record(tree: Tree) -> Tree:
    """Format 1 kept the firm as a bare name; papers need its address and licence too."""
    return {**tree, "firm": {"name": tree.get("firm", "")}, "format": 2}


MIGRATIONS: dict[int, Callable[[Tree], Tree]] = {1: _firm_becomes_record}
"""One small step per change of format; each has a kept sample in the tests."""


def job_from_text(text: str, *, where: str) -> Job:
    """A job from the text of its file, migrated to the present format.

    Parameters
    ----------
    text : str
        JSON.
    where : str
        Name of the file, for messages.

    Returns
    -------
    Job
        The job.

    Raises
    ------
    JobFileError
        If the text is no job, is newer than this program, or a value in it cannot be.
    """
    try:
        tree = json.loads(text, parse_constant=_refuse_constant)
    except json.JSONDecodeError as error:
        raise JobFileError(
            f"{where}: not a job file: {error.msg} at line {error.lineno}, column {error.colno}"
        ) from None
    except ValueError as error:
        raise JobFileError(f"{where}: {error}") from None
    except RecursionError:
        raise JobFileError(f"{where}: not a job file: nested too deeply") from None
    if not isinstance(tree, dict) or "format" not in tree or "premises" not in tree:
        raise JobFileError(f"{where}: not a job file: a job has “format” and “premises”")
    number = tree["format"]
    if not isinstance(number, int) or isinstance(number, bool):
        raise JobFileError(f"{where}: the format number {number!r} is not a whole number")
    if number > FORMAT:
        raise JobFileError(
            f"{where}: written by a newer Wardwright (format {number}; this one reads up to {FORMAT}). Update first."
        )
    while number < FORMAT:
        step = MIGRATIONS.get(number)
        if step is None:
            raise JobFileError(f"{where}: format {number} was never released")
        tree = step(tree)
        number = tree["format"]
    try:
        return Job.model_validate(tree)
    except ValidationError as error:
        raise JobFileError(
            "\n".join(f"{where}: {line}" for line in plain_errors(error, tree, with_given=True))
        ) from None


def load_job(path: Path) -> Job:
    """A job from its file.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    Job
        The job.

    Raises
    ------
    JobFileError
        If it cannot be read or is no job.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise JobFileError(f"{path}: there is no such file") from None
    except UnicodeDecodeError:
        raise JobFileError(f"{path}: not a job file: it is not text") from None
    except OSError as error:
        raise JobFileError(f"{path}: cannot be read ({error.strerror})") from None
    return job_from_text(text, where=path.name)


def save_job(job: Job, path: Path) -> None:
    """Write a job: to a new file first, then in place of the old one, so that a crash loses nothing.

    Parameters
    ----------
    job : Job
        The job.
    path : Path
        Where to.

    Raises
    ------
    JobFileError
        If the folder cannot be written.
    """
    write_whole(path, job_text(job).encode())


def job_text(job: Job) -> str:
    """The text of a job file: readable, whole, only what is not known left out.

    Defaults are written too: a later version with another default must not change what an old job means.
    """
    return (
        json.dumps(job.model_dump(mode="json", exclude_none=True), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    )


def write_whole(path: Path, data: bytes) -> None:
    """Write bytes to a file so that a reader sees the old content or the new, never a part.

    Parameters
    ----------
    path : Path
        Where to.
    data : bytes
        The content.

    Raises
    ------
    JobFileError
        If the folder cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise JobFileError(f"{path}: cannot be written ({error.strerror})") from None


def _refuse_constant(name: str) -> float:
    raise ValueError(f"the file holds {name}, which is not a number anybody can build with")
