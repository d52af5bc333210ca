"""The live channel: while a device is dragged the map and the worst route follow; proofs and other windows' edits too.

The browser sends where the device is; only the newest place counts. Maps come back in binary, everything else as JSON.
"""

import asyncio
import contextlib
import json
import logging
import threading
import time
from collections.abc import Awaitable, Callable
from typing import Annotated, Any, Literal

import anyio
import anyio.to_thread
from fastapi import APIRouter, Query, Request, Response, WebSocket, WebSocketDisconnect
from fastapi.concurrency import run_in_threadpool
from pydantic import Field, ValidationError

from wardwright.analyses.mode import Mode
from wardwright.analyses.route_records import Route
from wardwright.errors import WardwrightError
from wardwright.model import XY, Id
from wardwright.storage.job_file import job_text
from wardwright.storage.store import Store
from wardwright.web.jobs import REFUSALS, store_of
from wardwright.web.live_tasks import draft_map, full_map, hold, ready, worst_route
from wardwright.web.proof_view import ProofState
from wardwright.web.records import Message
from wardwright.web.strict import StrictRoute
from wardwright.web.worker import Stopped, Worker

_log = logging.getLogger("wardwright.web")
router = APIRouter(prefix="/api/v1", tags=["live"], responses=REFUSALS, route_class=StrictRoute)

RESTING_S = 0.12
"""A device that has not moved for this long gets its full map. [s]"""


class HeldDevice(Message):
    """A device in hand: what is left out stays as the design has it; a new one needs kind and storey too."""

    id: Id
    kind: Id | None = None
    storey_id: Id | None = None
    position: XY
    heading_rad: Annotated[float, Field(ge=-100.0, le=100.0)] | None = None
    height_m: Annotated[float, Field(ge=-5.0, le=60.0)] | None = None


class LiveAsk(Message):
    """From the browser: where the device in hand is."""

    n: Annotated[int, Field(ge=0)]
    """Number of the message; comes back with the picture."""
    mode: Mode = Mode.AWAY
    device: HeldDevice


class LiveMapHead(Message):
    """Header of a map; see `packed_map` for the bytes behind it."""

    kind: Literal["map"]
    n: int
    revision: int
    draft: bool
    """True while the device is moved: one pace, few directions."""
    storey_id: str
    mode: Mode
    x0_m: float
    y0_m: float
    step_m: float
    nx: int
    ny: int
    db_step: float
    headings: int
    speeds_m_s: tuple[float, ...]


class LiveRoute(Message):
    """The worst route to the target worst off."""

    kind: Literal["route"]
    n: int
    revision: int
    route: Route | None
    undecided: tuple[str, ...]


class LiveProof(Message):
    """Where the proof stands; the proof itself is read over the interface."""

    kind: Literal["proof"]
    state: ProofState


class LiveChange(Message):
    """Somebody has changed the job."""

    kind: Literal["changed"]
    revision: int


class LiveTrouble(Message):
    """Something could not be worked out."""

    kind: Literal["trouble"]
    n: int
    message: str


LIVE_ANSWERS: tuple[type[Message], ...] = (LiveMapHead, LiveRoute, LiveProof, LiveChange, LiveTrouble)


class LiveWorkers:
    """The two processes that follow the hand: one for the map, one for the route."""

    def __init__(self) -> None:
        self.map = Worker("wardwright-map")
        self.route = Worker("wardwright-route", yielding=19)
        self._holds: dict[Worker, tuple[str, int]] = {}

    def call(self, worker: Worker, store: Store, key: str, task: Any, *args: object) -> Any:
        """Run a task on the job as it stands; the process takes the job in hand first if it holds another."""
        revision = store.revision(key)
        for _ in range(3):
            if self._holds.get(worker) != (key, revision):
                kept = store.get(key)
                worker.call(hold, key, kept.revision, job_text(kept.job))
                revision = kept.revision
                self._holds[worker] = (key, revision)
            try:
                return worker.call(task, key, revision, *args)
            except WardwrightError as error:
                if "another job is in hand" not in str(error) and worker.alive:
                    raise
                self._holds.pop(worker, None)
        raise WardwrightError("too many windows ask at once")

    def warm(self, store: Store, key: str) -> None:
        """Have both processes up with the job in hand before anything is dragged."""
        for worker in (self.map, self.route):
            with contextlib.suppress(WardwrightError, Stopped):
                self.call(worker, store, key, ready)

    def close(self) -> None:
        """End both."""
        self.map.close()
        self.route.close()


class _Channel:
    """One window's channel."""

    def __init__(self, socket: WebSocket, key: str) -> None:
        self.socket = socket
        self.key = key
        self.store: Store = socket.app.state.store
        self.workers: LiveWorkers = socket.app.state.live
        self.ask: LiveAsk | None = None
        self.for_map, self.for_route = asyncio.Event(), asyncio.Event()
        self.out: asyncio.Queue[str | bytes] = asyncio.Queue(maxsize=64)

    async def run(self) -> None:
        """Serve the channel until the window closes it."""
        loop = asyncio.get_running_loop()

        def put(text: str) -> None:
            with contextlib.suppress(asyncio.QueueFull):  # a window that does not read misses news, not the server
                self.out.put_nowait(text)

        def proof(key: str, state: ProofState) -> None:
            if key == self.key:
                told = LiveProof(kind="proof", state=state.told(proof=None)).model_dump_json()
                loop.call_soon_threadsafe(put, told)

        def change(key: str, revision: int) -> None:
            if key == self.key:
                loop.call_soon_threadsafe(put, LiveChange(kind="changed", revision=revision).model_dump_json())

        forget_proof = self.socket.app.state.proofs.watch(proof)
        forget_change = self.store.watch(change)
        threading.Thread(target=self.workers.warm, args=(self.store, self.key), name="warming", daemon=True).start()
        self.socket.app.state.proofs.warm()
        try:
            async with anyio.create_task_group() as group:

                async def until_closed(part: Callable[[], Awaitable[None]]) -> None:
                    with contextlib.suppress(WebSocketDisconnect):
                        await part()
                    group.cancel_scope.cancel()

                for part in (self._listen, self._send, self._maps, self._routes):
                    group.start_soon(until_closed, part)
        finally:
            forget_proof()
            forget_change()

    async def _listen(self) -> None:
        while True:
            text = await self.socket.receive_text()
            try:
                self.ask = LiveAsk.model_validate_json(text)
            except ValidationError as error:
                where = ".".join(str(s) for s in error.errors()[0]["loc"])
                told = LiveTrouble(kind="trouble", n=0, message=f"{where}: {error.errors()[0]['msg']}")
                await self.out.put(told.model_dump_json())
                continue
            self.for_map.set()
            self.for_route.set()

    async def _send(self) -> None:
        while True:
            message = await self.out.get()
            if isinstance(message, bytes):
                await self.socket.send_bytes(message)
            else:
                await self.socket.send_text(message)

    async def _maps(self) -> None:
        while True:
            await self.for_map.wait()
            self.for_map.clear()
            ask = self.ask
            assert ask is not None
            device = ask.device.model_dump(exclude_none=True)
            drawn = await self._worked(ask, self.workers.map, draft_map, ask.mode.value, device, {"n": ask.n})
            if drawn is None:
                continue
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self.for_map.wait(), RESTING_S)
            if not self.for_map.is_set():
                storey = json.loads(drawn[4 : 4 + int.from_bytes(drawn[:4], "little")])["storey_id"]
                await self._worked(ask, self.workers.map, full_map, ask.mode.value, storey, device, {"n": ask.n})

    async def _routes(self) -> None:
        while True:
            await self.for_route.wait()
            self.for_route.clear()
            ask = self.ask
            assert ask is not None
            device = ask.device.model_dump(exclude_none=True)
            begin = time.monotonic()
            await self._worked(ask, self.workers.route, worst_route, ask.mode.value, device, {"n": ask.n})
            await asyncio.sleep(
                3 * (time.monotonic() - begin)
            )  # what follows the hand, the map, is to have a core to itself

    async def _worked(self, ask: LiveAsk, worker: Worker, task: Any, *args: object) -> Any:
        try:
            found = await anyio.to_thread.run_sync(
                self.workers.call, worker, self.store, self.key, task, *args, abandon_on_cancel=True
            )
        except (WardwrightError, ValidationError) as error:
            told = LiveTrouble(kind="trouble", n=ask.n, message=str(error).splitlines()[0])
            await self.out.put(told.model_dump_json())
            return None
        except Stopped:
            return None
        except RuntimeError:
            _log.exception("the live picture failed")
            told = LiveTrouble(kind="trouble", n=ask.n, message="the program made a mistake")
            await self.out.put(told.model_dump_json())
            return None
        await self.out.put(found if isinstance(found, bytes) else json.dumps(found))
        return found


@router.websocket("/jobs/{key}/live")
async def live(socket: WebSocket, key: str) -> None:
    """Follow the hand."""
    await socket.accept()
    try:
        await run_in_threadpool(socket.app.state.store.revision, key)
    except WardwrightError as error:
        await socket.send_text(LiveTrouble(kind="trouble", n=0, message=str(error)).model_dump_json())
        await socket.close(code=4404)
        return
    await _Channel(socket, key).run()


@router.get(
    "/jobs/{key}/maps/{storey_id}",
    response_class=Response,
    responses={200: {"content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}}}},
)
def read_map(request: Request, key: str, storey_id: str, mode: Annotated[Mode, Query()] = Mode.AWAY) -> Response:
    """The margin map of a storey as the job stands; packed as on the live channel."""
    store = store_of(request)
    store.get(key).job.premises.storey(storey_id)
    workers: LiveWorkers = request.app.state.live
    content = workers.call(workers.map, store, key, full_map, mode.value, storey_id, None, {"n": 0})
    return Response(content, media_type="application/octet-stream")
