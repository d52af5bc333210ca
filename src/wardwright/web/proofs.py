"""Proofs in the background: one at a time, with progress, stopped when somebody asks or the job has moved on."""

import contextlib
import logging
import threading
from collections.abc import Callable

from fastapi import APIRouter, Request

from wardwright.errors import InputError, WardwrightError
from wardwright.job.departures import accept
from wardwright.job.model import Job
from wardwright.prove import PARTS
from wardwright.same_parts import with_parts_of
from wardwright.storage.firm import firm_proof, today
from wardwright.storage.job_file import job_from_text, job_text
from wardwright.storage.store import Kept
from wardwright.web.jobs import REFUSALS, store_of
from wardwright.web.proof_view import ProofState, ProofView
from wardwright.web.records import JobState, Message, Words
from wardwright.web.strict import StrictRoute
from wardwright.web.worker import Stopped, Tell, Worker

_log = logging.getLogger("wardwright.web")
KEPT = 20
"""Proofs kept in memory."""


_before: Job | None = None
"""In the computing process: the job proved last."""


def prove_text(tell: Tell, text: str, revision: int) -> str:
    """In the computing process: the proof of a job, as JSON."""
    global _before
    job = _before = with_parts_of(job_from_text(text, where="job"), _before)
    proof = firm_proof(job, progress=tell)
    return ProofView.of(proof, revision).model_dump_json()


def ready(_tell: Tell) -> None:
    """In the computing process: nothing but to be there, with everything read that a proof needs."""


class Proofs:
    """The proofs of all jobs."""

    def __init__(self) -> None:
        self.worker = Worker("wardwright-proof", yielding=5)
        self._lock = threading.Condition()
        self._states: dict[str, ProofState] = {}
        self._wanted: list[tuple[int, Kept]] = []
        self._latest: dict[str, int] = {}
        self._count = 0
        self._watchers: list[Callable[[str, ProofState], None]] = []
        self._thread: threading.Thread | None = None
        self._closed = False

    def watch(self, watcher: Callable[[str, ProofState], None]) -> Callable[[], None]:
        """Tell a watcher of every change, from any thread; call what is returned to end it."""
        with self._lock:
            self._watchers.append(watcher)

        def forget() -> None:
            with self._lock:
                self._watchers.remove(watcher)

        return forget

    def warm(self) -> None:
        """Have the computing process up before the first proof is asked for."""
        if self.worker.alive:
            return

        def begin() -> None:
            with contextlib.suppress(WardwrightError, Stopped):
                self.worker.call(ready)

        threading.Thread(target=begin, name="warming", daemon=True).start()

    def state(self, key: str) -> ProofState:
        """Where the proof of a job stands."""
        with self._lock:
            return self._states.get(key, ProofState(state="none", revision=0))

    def want(self, kept: Kept) -> ProofState:
        """Begin the proof of a job as it stands, unless it is done or under way."""
        with self._lock:
            now = self._states.get(kept.key)
            if now is not None and now.revision == kept.revision and now.state in ("computing", "done"):
                return now
            if now is not None and now.state == "computing":
                self.worker.stop()
            self._count += 1
            self._latest[kept.key] = self._count
            self._wanted = [w for w in self._wanted if w[1].key != kept.key] + [(self._count, kept)]
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="proofs", daemon=True)
                self._thread.start()
            state = ProofState(state="computing", revision=kept.revision)
            self._states[kept.key] = state
            self._lock.notify()
        return self._say(kept.key, state)

    def stop(self, key: str) -> ProofState:
        """Stop the proof of a job."""
        with self._lock:
            now = self._states.get(key, ProofState(state="none", revision=0))
            if now.state != "computing":
                return now
            self._wanted = [w for w in self._wanted if w[1].key != key]
            self._latest.pop(key, None)
            self.worker.stop()
        return self._say(key, now.told(state="stopped", part="", done=0))

    def close(self) -> None:
        """Stop everything."""
        with self._lock:
            self._closed = True
            self._wanted.clear()
            self._lock.notify()
        self.worker.close()

    def _say(self, key: str, state: ProofState) -> ProofState:
        with self._lock:
            self._states.pop(key, None)
            self._states[key] = state
            while len(self._states) > KEPT:
                self._states.pop(next(iter(self._states)))
            watchers = tuple(self._watchers)
        for watcher in watchers:
            watcher(key, state)
        return state

    def _still(self, key: str, number: int) -> bool:
        return self._latest.get(key) == number

    def _run(self) -> None:
        while True:
            with self._lock:
                while not self._wanted and not self._closed:
                    self._lock.wait()
                if self._closed:
                    return
                number, kept = self._wanted.pop(0)
            self._one(number, kept)

    def _one(self, number: int, kept: Kept) -> None:
        def tell(part: str) -> None:
            if self._still(kept.key, number):
                state = ProofState(state="computing", revision=kept.revision, part=part, done=PARTS.index(part))
                self._say(kept.key, state)
            else:
                self.worker.stop()

        state = ProofState(state="stopped", revision=kept.revision)
        try:
            text = self.worker.call(prove_text, job_text(kept.job), kept.revision, tell=tell)
            view = ProofView.model_validate_json(text)
            state = ProofState(state="done", revision=kept.revision, done=len(PARTS), proof=view)
        except Stopped:
            pass
        except WardwrightError as error:
            state = state.told(state="failed", message=str(error))
        except Exception:
            _log.exception("the proof of %s failed", kept.key)
            state = state.told(state="failed", message="the program made a mistake; the server's window tells more")
        if self._still(kept.key, number):
            self._say(kept.key, state)


router = APIRouter(prefix="/api/v1", tags=["proof"], responses=REFUSALS, route_class=StrictRoute)


def proofs_of(request: Request) -> Proofs:
    """The proofs the server keeps."""
    proofs: Proofs = request.app.state.proofs
    return proofs


@router.post("/jobs/{key}/proof", status_code=202)
def begin_proof(request: Request, key: str) -> ProofState:
    """Begin the proof of the job as it stands; what is done or under way is not begun again."""
    return proofs_of(request).want(store_of(request).get(key))


@router.get("/jobs/{key}/proof")
def read_proof(request: Request, key: str) -> ProofState:
    """Where the proof stands; the proof itself when it is done."""
    store_of(request).get(key)
    return proofs_of(request).state(key)


@router.delete("/jobs/{key}/proof")
def stop_proof(request: Request, key: str) -> ProofState:
    """Stop the proof that is under way."""
    store_of(request).get(key)
    return proofs_of(request).stop(key)


class Acceptance(Message):
    """Somebody takes on a finding."""

    revision: int
    finding: str
    """Its id, as the proof of this revision gives it."""
    who: Words
    why: Words
    until: Words = ""
    """ISO date; empty: until what it rests on changes."""


def take_on(tell: Tell, text: str, asked: Acceptance) -> str:
    """In the computing process: the job with the departure, as text."""
    job = job_from_text(text, where="job")
    found = [f for f in firm_proof(job, progress=tell).findings if f.identity == asked.finding]
    if not found:
        raise InputError("there is no such finding now; prove the job again", where=asked.finding)
    return job_text(accept(job, found[0], who=asked.who, why=asked.why, when=today(), until=asked.until))


@router.post("/jobs/{key}/departures")
def accept_finding(request: Request, key: str, asked: Acceptance) -> JobState:
    """Take on a finding of the proof of this revision."""
    store, worker = store_of(request), request.app.state.papers

    def change(job: Job) -> Job:
        return job_from_text(worker.call(take_on, job_text(job), asked), where="job")

    return JobState.of(store.edit(key, asked.revision, change, "finding taken on"))
