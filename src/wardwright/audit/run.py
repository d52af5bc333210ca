"""An audit from its folder to its record: which files, which of them are done, who proves the rest."""

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from wardwright.audit.engines import in_processes
from wardwright.audit.journal import Journal, basis_of
from wardwright.audit.one_job import Task, Terms
from wardwright.audit.records import Audit, Audited
from wardwright.errors import InputError

Engine = Callable[[Sequence[Task]], Iterator[Audited]]

RECORDS = ".audit"
"""Name of the folder an audit keeps beside the jobs."""


def job_files(folder: Path) -> list[Path]:
    """Every JSON file under a folder, hidden folders left out.

    Raises
    ------
    InputError
        If it is no folder, or none lies in it.
    """
    if not folder.is_dir():
        raise InputError("this is no folder; an audit takes a folder of jobs", where=str(folder))
    # A link that leads nowhere is told among what could not be proved, not left out.
    found = [
        path
        for path in sorted(folder.rglob("*.json"))
        if (path.is_file() or (path.is_symlink() and not path.exists()))
        and not any(part.startswith(".") for part in path.relative_to(folder).parts)
    ]
    if not found:
        raise InputError("no job lies in it; job files end in .json", where=str(folder))
    return found


def audit_folder(
    folder: Path,
    terms: Terms,
    *,
    engine: Engine | None = None,
    records: Path | None = None,
    progress: Callable[[int, int, Audited | None], None] | None = None,
) -> Audit:
    """Prove every job of a folder.

    Parameters
    ----------
    folder : Path
        With the jobs, in folders of their own if wanted.
    terms : Terms
        What they are proved by.
    engine : callable, optional
        Proves tasks and hands each back as it is finished, in any order; by default one process of this machine.
    records : Path, optional
        Where the audit keeps its lines and its result; by default beside the jobs.
    progress : callable, optional
        Told how many are done, of how many, and the one just done; at the beginning None, and how many an audit that
        was killed has done already.

    Returns
    -------
    Audit
        Every job in the order of the files, those that could not be proved among them.
    """
    paths = job_files(folder)
    journal = Journal(records or folder / RECORDS, basis_of(terms))
    done: dict[str, Audited] = {}
    tasks = []
    for path in paths:
        name = path.relative_to(folder).as_posix()
        try:
            task = Task(name, path.read_bytes(), terms)
        except OSError as error:
            done[name] = Audited(name, "", error=f"{name}: cannot be read ({error.strerror})")
            continue
        before = journal.done.get(name)
        if before is not None and before.sha256 == task.sha256:
            done[name] = before
        else:
            tasks.append(task)
    if progress is not None:
        progress(len(done), len(paths), None)
    for found in (engine or (lambda all_: in_processes(all_, 1)))(tasks):
        journal.add(found)
        done[found.file] = found
        if progress is not None:
            progress(len(done), len(paths), found)
    audit = Audit(terms.today, journal.basis, tuple(done[path.relative_to(folder).as_posix()] for path in paths))
    journal.finish(audit)
    return audit
