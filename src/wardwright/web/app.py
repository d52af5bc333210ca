"""The application: routes behind the gate, the shipped pages before them."""

import contextlib
from collections.abc import AsyncIterator, Iterable
from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import FileResponse, PlainTextResponse, Response
from starlette.staticfiles import StaticFiles

from wardwright import __version__
from wardwright.storage.store import Store
from wardwright.web import jobs, papers, proofs, reference, uploads
from wardwright.web.gate import Gate, Keys
from wardwright.web.proofs import Proofs
from wardwright.web.refusals import say_errors_in_one_shape
from wardwright.web.worker import Worker

STATIC = Path(__file__).parent / "static"


def make_app(store: Store | None) -> FastAPI:
    """The application without its gate.

    Parameters
    ----------
    store : Store or None
        Where jobs are kept; None to look at the interface only.

    Returns
    -------
    FastAPI
        Ready to be served behind a `Gate`.
    """

    @contextlib.asynccontextmanager
    async def life(app: FastAPI) -> AsyncIterator[None]:
        yield
        app.state.proofs.close()
        app.state.papers.close()
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
    app.state.proofs = Proofs()
    app.state.papers = Worker("wardwright-papers")
    say_errors_in_one_shape(app)
    for part in (jobs, uploads, proofs, papers, reference):
        app.include_router(part.router)
    _pages(app)
    return app


def gated(app: FastAPI, *, keys: Keys, hosts: Iterable[str], secure: bool = False, cookie: str = "wardwright") -> Gate:
    """The application behind its gate."""
    return Gate(app, keys=keys, hosts=hosts, secure=secure, cookie=cookie)


def _pages(app: FastAPI) -> None:
    index = STATIC / "index.html"

    @app.get("/", include_in_schema=False)
    def page() -> Response:
        if not index.is_file():
            return PlainTextResponse(
                "The interface is here under /api/v1; the pages were not built. Run: ./dev pages", status_code=200
            )
        return FileResponse(index)

    if (STATIC / "assets").is_dir():
        app.mount("/assets", StaticFiles(directory=STATIC / "assets"), name="assets")
