"""The firm's own records: which rows of which standards somebody of the firm confirmed from the text."""

import json
import os
from collections.abc import Iterable
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from wardwright.errors import JobFileError
from wardwright.rules.confirmations import Confirmation
from wardwright.storage.job_file import write_whole

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
