"""The firm's own records: rows of standards it confirmed from the text, its prices; and a job proved by them."""

import datetime
import json
import os
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import TypeAdapter, ValidationError

from wardwright.catalogue.kinds import Catalogue
from wardwright.catalogue.load import load_catalogue
from wardwright.errors import JobFileError
from wardwright.estimate.tariff import Tariff, load_tariff
from wardwright.job.model import Job
from wardwright.rules.confirmations import Confirmation
from wardwright.storage.job_file import write_whole

if TYPE_CHECKING:
    from wardwright.prove import Proof

_FILE = "confirmations.json"
_LIST = TypeAdapter(tuple[Confirmation, ...])


def firm_folder() -> Path:
    """Where the firm's records lie: ``WARDWRIGHT_FIRM``, else ``wardwright`` in the user's configuration folder."""
    given = os.environ.get("WARDWRIGHT_FIRM")
    if given:
        return Path(given)
    base = os.environ.get("XDG_CONFIG_HOME") or str(Path.home() / ".config")
    return Path(base) / "wardwright"


def load_confirmations(folder: Path) -> tuple[Confirmation, ...]:
    """Rows the firm confirmed.

    Parameters
    ----------
    folder : Path
        The firm's folder.

    Returns
    -------
    tuple of Confirmation
        Empty where nothing was ever confirmed.

    Raises
    ------
    JobFileError
        If the file is there and cannot be read.
    """
    path = folder / _FILE
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ()
    except (OSError, UnicodeDecodeError) as error:
        raise JobFileError(f"{path}: the firm's confirmations cannot be read") from error
    try:
        return _LIST.validate_python(json.loads(text))
    except (json.JSONDecodeError, ValidationError) as error:
        raise JobFileError(f"{path}: this is no list of confirmations; nothing in it was used") from error


def save_confirmations(folder: Path, confirmations: Iterable[Confirmation]) -> None:
    """Keep the firm's confirmations: the new file replaces the old one whole.

    Parameters
    ----------
    folder : Path
        The firm's folder; made if it is not there.
    confirmations : iterable of Confirmation
        All of them, in any order; kept sorted by row.

    Raises
    ------
    JobFileError
        If the folder cannot be written.
    """
    rows = sorted(confirmations, key=lambda c: c.row)
    text = json.dumps([c.model_dump(mode="json") for c in rows], indent=1, ensure_ascii=False) + "\n"
    write_whole(folder / _FILE, text.encode())


def today() -> str:
    """Today's date; ``SOURCE_DATE_EPOCH`` sets it, so that papers can be made again byte for byte."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is not None:
        return datetime.datetime.fromtimestamp(int(epoch), datetime.UTC).date().isoformat()
    return datetime.date.today().isoformat()


def catalogue_of(job: Job) -> Catalogue:
    """The generic list with the job's own rows over it."""
    return load_catalogue(job.own_kinds or None)


def firm_tariff() -> Tariff:
    """The firm's prices; the generic ones where it has none of its own."""
    own = firm_folder() / "tariff.toml"
    return load_tariff(own if own.is_file() else None)


def firm_proof(job: Job, *, for_papers: bool = False, progress: Callable[[str], None] | None = None) -> "Proof":
    """The proof of a job with the firm's confirmations, as of today.

    Parameters
    ----------
    job : Job
        The job.
    for_papers : bool
        With prices and margin maps too.
    progress : callable, optional
        Told the name of each part before it is worked out; what it raises stops the work.

    Returns
    -------
    Proof
        Everything that can be said about the job.
    """
    folder = firm_folder()
    from wardwright.prove import prove  # what only reads or keeps the firm's records need not wait for every analysis

    return prove(
        job,
        catalogue_of(job),
        today=today(),
        confirmations=load_confirmations(folder),
        tariff=firm_tariff() if for_papers else None,
        with_coverage=for_papers,
        progress=progress,
    )
