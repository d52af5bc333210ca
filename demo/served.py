"""The workbench served from a thread of this process, for pictures, measurements and tests that look at its pages."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager

import uvicorn

from wardwright.storage.store import Store
from wardwright.web.app import gated, make_app
from wardwright.web.gate import Keys
from wardwright.web.serve import listen, settings


@contextmanager
def served(store: Store) -> Iterator[tuple[str, str]]:
    """Serve a store on a port of this machine's choosing: its address, and the token that opens it."""
    listening = listen("127.0.0.1", 0)
    host = f"127.0.0.1:{listening.getsockname()[1]}"
    keys = Keys()
    server = uvicorn.Server(settings(gated(make_app(store, keys=keys), keys=keys, hosts=(host,))))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    assert keys.launch_token is not None
    try:
        yield f"http://{host}", keys.launch_token
    finally:
        server.should_exit = True
        thread.join(timeout=15)
