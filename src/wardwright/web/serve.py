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
from wardwright.web.certificate import certificate_for, private_address
from wardwright.web.door import Door
from wardwright.web.entrance import Entrance
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


def serve(*, store: Path, address: str = LOOPBACK, port: int = PORT, say: Callable[[str], None] = print) -> None:
    """Serve the workbench until stopped.

    Parameters
    ----------
    store : Path
        File the jobs are kept in; password, paired devices and certificate lie beside it.
    address : str
        Where to listen: on this machine only, or an address of a private network. Beyond this machine only with TLS
        and a sign-in.
    port : int
        Port; 0 for any that is free.
    say : callable
        Told how to open it.

    Raises
    ------
    InputError
        If the port is taken, the address is public, or no password was set.
    """
    if address == LOOPBACK:
        listening = listen(address, port)
        host = f"{LOOPBACK}:{listening.getsockname()[1]}"
        keys = Keys()
        server = _server(store, keys, listening, (host, host.replace(LOOPBACK, "localhost")), None)
        say(f"Wardwright is open at  http://{host}/open?token={keys.launch_token}")
    else:
        place = private_address(address)
        door = Door(door_file(store))
        if not door.has_password:
            raise InputError("beyond this machine people sign in: set a password first with “wardwright password”")
        certificate = certificate_for(place, store.parent / "certificate")
        listening = listen(address, port)
        name = f"[{place}]" if place.version == 6 else str(place)
        host = f"{name}:{listening.getsockname()[1]}"
        entrance = Entrance(door, certificate, f"https://{host}")
        server = _server(store, Keys(launch_token=None, door=door), listening, (host,), entrance)
        say(f"Wardwright is open at  https://{host}  for people with the password, and paired devices.")
        say(f"Fingerprint of its certificate (SHA-256): {certificate.fingerprint}")
    say(f"Jobs are kept in {store}. Stop with Ctrl-C.")
    sys.stdout.flush()
    server.run(sockets=[listening])


def _server(
    store: Path, keys: Keys, listening: socket.socket, hosts: tuple[str, ...], entrance: Entrance | None
) -> uvicorn.Server:
    app = make_app(Store.at(store), keys=keys, entrance=entrance)
    cookie = f"wardwright-{listening.getsockname()[1]}"
    gate = gated(app, keys=keys, hosts=hosts, secure=entrance is not None, cookie=cookie)
    if entrance is None:
        return uvicorn.Server(settings(gate))
    shown = entrance.certificate
    return uvicorn.Server(settings(gate, ssl_certfile=shown.chain, ssl_keyfile=shown.key))


def door_file(store: Path) -> Path:
    """Where password and paired devices are kept: beside the jobs."""
    return store.parent / "door.json"


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


def listen(address: str, port: int) -> socket.socket:
    """A socket that listens there; port 0 for any that is free."""
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    # named as TCP, so that asyncio sends small messages at once (TCP_NODELAY) on what is accepted
    listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
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
