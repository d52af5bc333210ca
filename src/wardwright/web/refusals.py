"""Turns every error into one shape, in words."""

import logging
import re

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from wardwright.errors import JobFileError, SeveralPlansError, UnknownReferenceError, WardwrightError
from wardwright.storage.store import ConflictError, StoreError
from wardwright.web.records import JobState, Refusal, RefusalLine
from wardwright.web.worker import Stopped

_log = logging.getLogger("wardwright.web")

KINDS = {
    401: "not signed in",
    403: "not allowed here",
    404: "not found",
    405: "not found",
    409: "conflict",
    413: "too large",
    429: "too many tries",
    500: "fault of the program",
    503: "not possible now",
}


def refusal(status: int, message: str, **more: object) -> Refusal:
    """A refusal with the kind that goes with its status."""
    return Refusal.model_validate(
        {"status": status, "kind": KINDS.get(status, "cannot be used"), "message": message, **more}
    )


def answer(refused: Refusal, headers: dict[str, str] | None = None) -> Response:
    """The refusal as an answer."""
    text = refused.model_dump_json(exclude={"current"} if refused.current is None else None)
    return Response(text, status_code=refused.status, media_type="application/json", headers=headers)


def say_errors_in_one_shape(app: FastAPI) -> None:
    """Install the handlers."""
    app.add_exception_handler(RequestValidationError, _unusable)
    app.add_exception_handler(WardwrightError, _wardwright)
    app.add_exception_handler(Stopped, _stopped)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(Exception, _fault)


def _clean(text: object) -> str:
    """What a client sent may hold half characters, which no answer can carry."""
    return str(text).encode("utf-8", "replace").decode()


async def _unusable(_request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    lines = [
        RefusalLine(where=_clean(".".join(str(s) for s in e["loc"][1:] or e["loc"])), message=_clean(e["msg"]))
        for e in error.errors()[:50]
    ]
    first = lines[0] if lines else RefusalLine(where="", message="cannot be read")
    return answer(refusal(422, f"this cannot be used: {first.message}", where=first.where, lines=lines))


async def _wardwright(_request: Request, error: Exception) -> Response:
    if isinstance(error, ConflictError):
        return answer(refusal(409, _clean(error), current=JobState.of(error.present)))
    if isinstance(error, StoreError):
        return answer(refusal(503, _clean(error)))
    if isinstance(error, SeveralPlansError):
        plans = [RefusalLine(where="plan", message=_clean(p)) for p in error.plans]
        return answer(refusal(422, f"it holds {len(plans)} plans: choose one", where=_clean(error.where), lines=plans))
    lines = [_clean(s) for s in str(error).splitlines()[:50]]
    message = _clean(getattr(error, "message", "")) or (lines[0] if lines else "this cannot be used")
    if isinstance(error, JobFileError) and len(lines) > 1:
        message = f"{lines[0]} (and {len(lines) - 1} more)"
    status = 404 if isinstance(error, UnknownReferenceError) else 422
    each = [RefusalLine(where="", message=s) for s in lines] if len(lines) > 1 else []
    return answer(refusal(status, message, where=_clean(getattr(error, "where", "")), lines=each))


async def _stopped(_request: Request, _error: Exception) -> Response:
    return answer(refusal(503, "the computation was stopped"))


async def _http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    words = {"Not Found": "there is nothing under this address", "Method Not Allowed": "this cannot be done here"}
    headers = dict(error.headers or {})
    if error.status_code == 405:
        headers["Allow"] = ", ".join(sorted(_methods(request)))
    return answer(refusal(error.status_code, words.get(error.detail, _clean(error.detail))), headers)


def _methods(request: Request) -> set[str]:
    """Everything that can be done with an address: one route knows only what it does itself."""
    paths: dict[str, dict[str, object]] = request.app.openapi()["paths"]
    fitting = (
        item for path, item in paths.items() if re.fullmatch(re.sub(r"\{\w+\}", "[^/]+", path), request.url.path)
    )
    return {method.upper() for item in fitting for method in item} or {"GET"}


async def _fault(request: Request, error: Exception) -> Response:
    _log.error("fault while answering %s", request.url.path, exc_info=error)
    return answer(refusal(500, "the program made a mistake; nothing was changed. The server's window tells more"))
