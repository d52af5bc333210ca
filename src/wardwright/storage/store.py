"""The store of jobs: every accepted edit is on the disk before it is acknowledged, and can be undone.

An edit carries the revision it was made on. Where somebody else was faster, nothing is written and the caller gets both
states to choose from. Undo and redo walk along the kept states; what was done on site and which papers left the house
is never undone.
"""

import contextlib
import datetime
import secrets
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import (
    Column,
    Engine,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    create_engine,
    delete,
    event,
    func,
    insert,
    select,
    update,
)
from sqlalchemy.engine import Connection
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import DatabaseError, OperationalError
from sqlalchemy.pool import ConnectionPoolEntry

from wardwright.errors import InputError, UnknownReferenceError, WardwrightError
from wardwright.job.ids import live_ids, replaced
from wardwright.job.model import Job
from wardwright.storage.job_file import job_from_text, job_text

KEPT_STATES = 500
"""States kept for undo in each job; the oldest are dropped first."""
BUSY_S = 20.0
"""How long a writer waits for another one. [s]"""

_meta = MetaData()
_jobs = Table(
    "jobs",
    _meta,
    Column("key", String(40), primary_key=True),
    Column("revision", Integer, nullable=False),
    Column("cursor", Integer, nullable=False),
    Column("title", String, nullable=False),
    Column("changed", String(40), nullable=False),
    Column("content", LargeBinary, nullable=False),
)
_states = Table(
    "states",
    _meta,
    Column("job", String(40), ForeignKey("jobs.key", ondelete="CASCADE"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("what", String, nullable=False),
    Column("content", LargeBinary, nullable=False),
)
pictures = Table(
    "pictures",
    _meta,
    Column("job", String(40), ForeignKey("jobs.key", ondelete="CASCADE"), primary_key=True),
    Column("name", String(40), primary_key=True),
    Column("content", LargeBinary, nullable=False),
)


class ConflictError(WardwrightError):
    """An edit was made on a revision that is no longer the present one.

    Parameters
    ----------
    made_on : int
        Revision the edit was made on.
    present : Kept
        The job as it stands now.
    """

    def __init__(self, made_on: int, present: "Kept") -> None:
        super().__init__(
            f"the job has been changed in another window: your edit was made on revision {made_on}, "
            f"it stands at {present.revision} now"
        )
        self.made_on = made_on
        self.present = present


class StoreError(WardwrightError):
    """The store cannot be opened or written."""


@dataclass(frozen=True)
class Listed:
    """One line in the list of jobs."""

    key: str
    title: str
    revision: int
    changed: str
    """When it was last changed, ISO, UTC."""


@dataclass(frozen=True)
class Kept:
    """A job as the store holds it."""

    key: str
    revision: int
    job: Job
    changed: str
    undo: str
    """What undo would take back, in words; empty where there is nothing."""
    redo: str
    """What redo would do again; empty where there is nothing."""


class Store:
    """Jobs in a database.

    Parameters
    ----------
    url : str
        Database address; ``sqlite:///path`` by default.
    """

    def __init__(self, url: str) -> None:
        self.engine: Engine = create_engine(url)
        self._watchers: list[Callable[[str, int], None]] = []
        if self.engine.dialect.name == "sqlite":
            event.listen(self.engine, "connect", _durable)
        try:
            _meta.create_all(self.engine)
        except DatabaseError as error:
            raise StoreError(f"the store of jobs cannot be opened: {error.orig}") from None

    @classmethod
    def at(cls, path: Path) -> "Store":
        """The store in a file, made if it is not there; only its owner can read it."""
        try:
            path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            path.touch(mode=0o600, exist_ok=True)
        except OSError as error:
            raise StoreError(f"{path}: the store of jobs cannot be made here ({error.strerror})") from None
        return cls(f"sqlite:///{path}")

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def watch(self, watcher: Callable[[str, int], None]) -> Callable[[], None]:
        """Tell a watcher key and revision after every change made here; call what is returned to end it."""
        self._watchers.append(watcher)
        return lambda: self._watchers.remove(watcher)

    def revision(self, key: str) -> int:
        """The present revision of a job."""
        with self.engine.connect() as link:
            found = link.execute(select(_jobs.c.revision).where(_jobs.c.key == key)).scalar()
        if found is None:
            raise UnknownReferenceError("there is no such job in the store", where=key)
        return int(found)

    def jobs(self) -> tuple[Listed, ...]:
        """Every job, last changed first."""
        wanted = select(_jobs.c.key, _jobs.c.title, _jobs.c.revision, _jobs.c.changed)
        with self.engine.connect() as link:
            rows = link.execute(wanted.order_by(_jobs.c.changed.desc(), _jobs.c.key)).all()
        return tuple(Listed(r.key, r.title, r.revision, r.changed) for r in rows)

    def add(self, job: Job, what: str = "new job") -> Kept:
        """Take in a job.

        Parameters
        ----------
        job : Job
            The job.
        what : str
            What happened, in words.
        """
        key = secrets.token_hex(6)
        content, now = _packed(job), _now()
        with self.writing() as link:
            link.execute(
                insert(_jobs).values(key=key, revision=1, cursor=0, title=job.title, changed=now, content=content)
            )
            link.execute(insert(_states).values(job=key, number=0, what=what, content=content))
        return Kept(key, 1, job, now, "", "")

    def get(self, key: str) -> Kept:
        """The job with this key, as it stands."""
        with self.engine.connect() as link:
            return self._kept(link, key)

    def edit(self, key: str, made_on: int, change: Callable[[Job], Job], what: str) -> Kept:
        """Change a job.

        Parameters
        ----------
        key : str
            The job.
        made_on : int
            Revision the edit was made on.
        change : callable
            Gives the job as it is to be.
        what : str
            What is done, in words, for undo.

        Returns
        -------
        Kept
            The job as it stands now; on the disk when this returns. An edit that changes nothing leaves the revision.

        Raises
        ------
        ConflictError
            If the job has moved on since ``made_on``.
        InputError
            If the edit drops or changes what was recorded on site or issued.
        """
        with self.engine.connect() as link:
            before = self._kept(link, key)
        if before.revision != made_on:
            raise ConflictError(made_on, before)
        asked = change(before.job)
        _keeps_the_record(before.job, asked)
        after = replaced(before.job, asked)
        if after == before.job:
            return before
        content, now = _packed(after), _now()
        with self.writing() as link:
            cursor = self._move_on(link, key, made_on, after, content, now, step=1)
            link.execute(delete(_states).where(_states.c.job == key, _states.c.number >= cursor))
            link.execute(insert(_states).values(job=key, number=cursor, what=what, content=content))
            link.execute(delete(_states).where(_states.c.job == key, _states.c.number <= cursor - KEPT_STATES))
        self._tell(key, made_on + 1)
        return Kept(key, made_on + 1, after, now, what, "")

    def _tell(self, key: str, revision: int) -> None:
        for watcher in tuple(self._watchers):
            watcher(key, revision)

    def undo(self, key: str, made_on: int) -> Kept:
        """Take back the last edit. What was recorded on site and issued stays."""
        return self._walk(key, made_on, -1)

    def redo(self, key: str, made_on: int) -> Kept:
        """Do again what was taken back last."""
        return self._walk(key, made_on, 1)

    def remove(self, key: str, made_on: int) -> None:
        """Delete a job with its history and its underlays.

        Raises
        ------
        ConflictError
            If the job has moved on since ``made_on``.
        """
        with self.writing() as link:
            gone = link.execute(delete(_jobs).where(_jobs.c.key == key, _jobs.c.revision == made_on))
            if gone.rowcount:
                link.execute(delete(_states).where(_states.c.job == key))
                link.execute(delete(pictures).where(pictures.c.job == key))
        if not gone.rowcount:
            raise ConflictError(made_on, self.get(key))

    def _walk(self, key: str, made_on: int, step: int) -> Kept:
        with self.engine.connect() as link:
            before = self._kept(link, key)
            if before.revision != made_on:
                raise ConflictError(made_on, before)
            cursor = link.execute(select(_jobs.c.cursor).where(_jobs.c.key == key)).scalar_one()
            held = link.execute(
                select(_states.c.content).where(_states.c.job == key, _states.c.number == cursor + step)
            ).scalar()
        if held is None:
            raise InputError(f"there is nothing to {'undo' if step < 0 else 'do again'}", where=before.job.title)
        after = _back_to(_unpacked(held, key), before.job)
        with self.writing() as link:
            self._move_on(link, key, made_on, after, _packed(after), _now(), step=step)
            kept = self._kept(link, key)
        self._tell(key, kept.revision)
        return kept

    def _move_on(
        self, link: Connection, key: str, made_on: int, job: Job, content: bytes, now: str, *, step: int
    ) -> int:
        """Write the present state if nobody was faster; the statement that looks is the one that writes."""
        done = link.execute(
            update(_jobs)
            .where(_jobs.c.key == key, _jobs.c.revision == made_on)
            .values(revision=made_on + 1, cursor=_jobs.c.cursor + step, title=job.title, changed=now, content=content)
        )
        if not done.rowcount:
            raise ConflictError(made_on, self._kept(link, key))
        return int(link.execute(select(_jobs.c.cursor).where(_jobs.c.key == key)).scalar_one())

    def _kept(self, link: Connection, key: str) -> Kept:
        row = link.execute(select(_jobs).where(_jobs.c.key == key)).one_or_none()
        if row is None:
            raise UnknownReferenceError("there is no such job in the store", where=key)
        near = link.execute(
            select(_states.c.number, _states.c.what).where(
                _states.c.job == key, _states.c.number.in_((row.cursor, row.cursor + 1))
            )
        ).all()
        words = {r.number: r.what for r in near}
        first = link.execute(select(func.min(_states.c.number)).where(_states.c.job == key)).scalar()
        undo = words.get(row.cursor, "") if row.cursor > (first or 0) else ""
        return Kept(key, row.revision, _unpacked(row.content, key), row.changed, undo, words.get(row.cursor + 1, ""))

    @contextlib.contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction that says in words when the disk is full or the file cannot be written."""
        try:
            with self.engine.begin() as link:
                yield link
        except OperationalError as failed:
            raise StoreError(f"the store of jobs cannot be written: {failed.orig}") from None


def _durable(link: DBAPIConnection, _record: ConnectionPoolEntry) -> None:
    """Write-ahead log, flushed to the disk at every commit."""
    cursor = link.cursor()
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", f"busy_timeout={int(BUSY_S * 1000)}"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _packed(job: Job) -> bytes:
    return zlib.compress(job_text(job).encode(), 6)


def _unpacked(content: bytes, key: str) -> Job:
    return job_from_text(zlib.decompress(content).decode(), where=key)


def _now() -> str:
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="microseconds")


def _keeps_the_record(before: Job, after: Job) -> None:
    """Site records and papers issued are only ever added."""
    for name, held, asked in (("site", before.site, after.site), ("issued", before.issued, after.issued)):
        if not {r.model_dump_json() for r in held} <= {r.model_dump_json() for r in asked}:
            raise InputError("what was recorded on site or issued is only ever added, never changed", where=name)


def _back_to(wanted: Job, present: Job) -> Job:
    """An earlier or later state, with the records of the present and every id that is not in it retired."""
    target = wanted.model_copy(update={"site": present.site, "issued": present.issued})
    ever = live_ids(present) | frozenset(present.retired_ids) | frozenset(wanted.retired_ids)
    return target.model_copy(update={"retired_ids": tuple(sorted(ever - live_ids(target)))})
