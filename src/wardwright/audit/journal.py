"""What an audit leaves on disk: a line for every job as it is done, and the whole once all are."""

import hashlib
import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from wardwright.audit.one_job import Terms, program_hash
from wardwright.audit.records import Audit, Audited
from wardwright.errors import JobFileError
from wardwright.storage.job_file import write_whole

FORMAT = 1
RUNNING = "running.jsonl"
LAST = "last.json"


def basis_of(terms: Terms) -> str:
    """Hash of everything a proof depends on beside the job: this program with its lists, the firm's terms, the day."""
    told = hashlib.sha256(program_hash().encode())
    told.update(terms.today.encode())
    told.update(repr(terms.seconds_each).encode())
    told.update("".join(c.model_dump_json() for c in terms.confirmations).encode())
    told.update(b"" if terms.tariff is None else terms.tariff.model_dump_json().encode())
    return told.hexdigest()


class Journal:
    """Lines of an audit under way. A run by the same basis goes on where a killed one stopped."""

    def __init__(self, folder: Path, basis: str) -> None:
        self.path = folder / RUNNING
        self.basis = basis
        self.done: dict[str, Audited] = {}
        """By file, of a run that was not finished."""
        head, lines = _lines(self.path)
        if head.get("basis") == basis:
            self.done = {job.file: job for job in (Audited.from_tree(line) for line in lines)}
        kept = [json.dumps({"format": FORMAT, "basis": basis})]
        kept += [json.dumps(job.as_tree(), ensure_ascii=False) for job in self.done.values()]
        write_whole(self.path, ("\n".join(kept) + "\n").encode())

    def add(self, job: Audited) -> None:
        """Keep one more job, on disk when this returns."""
        try:
            with self.path.open("a", encoding="utf-8") as file:
                file.write(json.dumps(job.as_tree(), ensure_ascii=False) + "\n")
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            raise JobFileError(f"{self.path}: cannot be written ({error.strerror})") from None

    def finish(self, audit: Audit) -> None:
        """All jobs are done: the whole takes the place of the audit before."""
        tree = {
            "format": FORMAT,
            "date": audit.date,
            "basis": audit.basis,
            "jobs": [job.as_tree() for job in audit.jobs],
        }
        write_whole(self.path.with_name(LAST), (json.dumps(tree, indent=1, ensure_ascii=False) + "\n").encode())
        self.path.unlink(missing_ok=True)


def last_audit(folder: Path) -> Audit | None:
    """The last audit that was finished; None where there was none.

    Raises
    ------
    JobFileError
        If the file is there and cannot be read.
    """
    path = folder / LAST
    if not path.exists():
        return None
    try:
        tree = json.loads(path.read_text(encoding="utf-8"))
        return Audit(tree["date"], tree["basis"], tuple(Audited.from_tree(job) for job in tree["jobs"]))
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise JobFileError(
            f"{path}: this is no record of an audit ({type(error).__name__}); move it away to begin anew"
        ) from None


def _lines(path: Path) -> tuple[dict[str, Any], Iterator[dict[str, Any]]]:
    """Head and lines that were written whole; the last one of a killed run may be a part."""
    try:
        texts = path.read_text(encoding="utf-8").split("\n")
    except (OSError, UnicodeDecodeError):
        return {}, iter(())
    read = []
    for text in texts[:-1]:
        try:
            read.append(json.loads(text))
        except ValueError:
            break
    head = read[0] if read and isinstance(read[0], dict) else {}
    return head, iter(read[1:])
