"""Runs the workbench on this machine."""

import os
import socket
import sys
from collections.abc import Callable
from pathlib import Path

import uvicorn

from wardwright.errors import InputError
from wardwright.storage.store import Store
from wardwright.web.app import gated, make_app
from wardwright.web.gate import Keys

PORT = 8765
LOOPBACK = "127.0.0.1"


def default_store() -> Path:
    """Where jobs are kept: ``WARDWRIGHT_STORE``, else in the user's data folder."""
    given = os.environ.get("WARDWRIGHT_STORE")
    if given:
        return Path(given)
    base = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(base) / "wardwright" / "jobs.sqlite"


def serve(*, store: Path, port: int = PORT, say: Callable[[str], None] = print) -> None:
    """Serve the workbench on loopback until stopped.

    Parameters
    ----------
    store : Path
        File the jobs are kept in.
    port : int
        Port; 0 for any that is free.
    say : callable
        Told the launch link.

    Raises
    ------
    InputError
        If the port is taken.
    """
    listening = _listen(LOOPBACK, port)
    port = listening.getsockname()[1]
    keys = Keys()
    hosts = (f"{LOOPBACK}:{port}", f"localhost:{port}")
    app = gated(make_app(Store.at(store)), keys=keys, hosts=hosts, cookie=f"wardwright-{port}")
    say(f"Wardwright is open at  http://{hosts[0]}/open?token={keys.launch_token}")
    say(f"Jobs are kept in {store}. Stop with Ctrl-C.")
    sys.stdout.flush()
    uvicorn.Server(settings(app)).run(sockets=[listening])


def settings(app: object, **more: object) -> uvicorn.Config:
    """How the server runs: no banner, no access log, no guessing at proxies."""
    return uvicorn.Config(
        app,  # type: ignore[arg-type]
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        ws="websockets-sansio",
        ws_max_size=1_000_000,
        timeout_graceful_shutdown=3,
        **more,  # type: ignore[arg-type]
    )


def _listen(address: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    listening = socket.socket(family)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
    except OSError as error:
        listening.close()
        raise InputError(
            f"port {port} cannot be used ({error.strerror}); choose another with --port", where=address
        ) from None
    listening.listen(64)
    return listening
