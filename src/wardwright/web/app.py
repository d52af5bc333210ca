"""The application: routes behind the gate, the shipped pages before them."""

import contextlib
from collections.abc import AsyncIterator, Iterable
from pathlib import Path
from typing import Any, Literal

from fastapi import FastAPI
from fastapi.responses import FileResponse, PlainTextResponse, Response
from pydantic import BaseModel
from pydantic.json_schema import models_json_schema
from starlette.staticfiles import StaticFiles

from wardwright import __version__
from wardwright.storage.store import Store
from wardwright.web import closer, jobs, live, papers, proofs, proposals, reference, site, uploads
from wardwright.web import entrance as entrance_module
from wardwright.web.entrance import Entrance, add_entrance
from wardwright.web.gate import Gate, Keys
from wardwright.web.live import LIVE_ANSWERS, LiveAsk, LiveWorkers
from wardwright.web.proofs import Proofs
from wardwright.web.proposals import Proposals
from wardwright.web.refusals import say_errors_in_one_shape
from wardwright.web.worker import Worker

STATIC = Path(__file__).parent / "static"


def make_app(store: Store | None, *, keys: Keys | None = None, entrance: Entrance | None = None) -> FastAPI:
    """The application without its gate.

    Parameters
    ----------
    store : Store or None
        Where jobs are kept; None to look at the interface only.
    keys : Keys, optional
        What opens the server.
    entrance : Entrance, optional
        Beyond this machine: who may come in, and the certificate.

    Returns
    -------
    FastAPI
        Ready to be served behind a `Gate`.
    """

    @contextlib.asynccontextmanager
    async def life(app: FastAPI) -> AsyncIterator[None]:
        yield
        app.state.proofs.close()
        app.state.proposals.close()
        app.state.papers.close()
        app.state.closer.close()
        app.state.live.close()
        if store is not None:
            store.close()

    app = FastAPI(
        title="Wardwright",
        version=__version__,
        lifespan=life,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/v1/openapi.json",
    )
    app.state.store = store
    app.state.entrance = entrance
    app.state.proofs = Proofs()
    app.state.proposals = Proposals()
    app.state.live = LiveWorkers()
    app.state.papers = Worker("wardwright-papers", yielding=5)
    app.state.closer = Worker("wardwright-closer", yielding=5)
    say_errors_in_one_shape(app)
    for part in (jobs, uploads, site, proofs, proposals, closer, live, papers, reference, entrance_module):
        app.include_router(part.router)
    if entrance is not None:
        add_entrance(app, keys or Keys())
    _pages(app)
    _complete_description(app)
    return app


def _complete_description(app: FastAPI) -> None:
    """Adds what the routes do not say: how one comes in, and the messages of the channel, for the browser's types."""
    plain = app.openapi

    def described() -> dict[str, Any]:
        told = plain()
        both: list[tuple[type[BaseModel], Literal["validation", "serialization"]]] = [
            (LiveAsk, "validation"),
            *((model, "serialization") for model in LIVE_ANSWERS),
        ]
        _, found = models_json_schema(both, ref_template="#/components/schemas/{model}")
        for name, schema in found["$defs"].items():
            told["components"]["schemas"].setdefault(name, schema)
        told["components"]["securitySchemes"] = {"launch token": {"type": "http", "scheme": "bearer"}}
        told["security"] = [{"launch token": []}]
        return told

    app.openapi = described  # type: ignore[method-assign]


def gated(app: FastAPI, *, keys: Keys, hosts: Iterable[str], secure: bool = False, cookie: str = "wardwright") -> Gate:
    """The application behind its gate."""
    return Gate(app, keys=keys, hosts=hosts, secure=secure, cookie=cookie)


def _pages(app: FastAPI) -> None:
    index = STATIC / "index.html"

    @app.get("/", include_in_schema=False)
    def page() -> Response:
        if not index.is_file():
            return PlainTextResponse(
                "The interface is here, under /api/v1. The pages are not built; “./dev serve” builds them.",
                status_code=200,
            )
        return FileResponse(index)

    if (STATIC / "assets").is_dir():
        app.mount("/assets", StaticFiles(directory=STATIC / "assets"), name="assets")
