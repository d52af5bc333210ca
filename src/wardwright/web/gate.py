"""Who may come in: the right name, the right page, the right key. And what every answer says about itself.

A page on another site can make this browser send requests here; a name on the internet can be made to point here. So
every request must be addressed to a name this server was told it has (Host), must come from a page of its own (Origin),
and must carry a session or the launch token.
"""

import hmac
import secrets
from collections.abc import Iterable
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from wardwright.web.refusals import answer, refusal

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; font-src 'self'; "
    "connect-src 'self'{live}; worker-src 'self'; manifest-src 'self'; frame-src 'self' blob:; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
PAPER_POLICY = "frame-ancestors 'self'"
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
LARGEST_BODY = 64_000_000
"""Of any request. [B]"""


@dataclass
class Keys:
    """The launch token, and the sessions opened with it; both end with the server."""

    launch_token: str | None = field(default_factory=lambda: secrets.token_urlsafe(32))
    """None: no launch token opens this server; people sign in."""
    sessions: set[str] = field(default_factory=set)

    def open(self) -> str:
        """A new session."""
        session = secrets.token_urlsafe(32)
        self.sessions.add(session)
        return session

    def holds(self, session: str) -> bool:
        """Whether this is a session, compared in constant time."""
        found = False
        for known in self.sessions:
            found |= hmac.compare_digest(known.encode(), session.encode("utf-8", "replace"))
        return found

    def is_token(self, token: str) -> bool:
        """Whether this is the launch token."""
        known = self.launch_token
        return known is not None and hmac.compare_digest(known.encode(), token.encode("utf-8", "replace"))


class Gate:
    """ASGI middleware in front of everything.

    Parameters
    ----------
    app : ASGI application
        What is behind it.
    keys : Keys
        Launch token and sessions.
    hosts : iterable of str
        Values of Host this server answers to, with port.
    secure : bool
        Reached by TLS only.
    cookie : str
        Name of the session cookie.
    """

    def __init__(self, app: ASGIApp, *, keys: Keys, hosts: Iterable[str], secure: bool, cookie: str) -> None:
        self.app = app
        self.keys = keys
        self.hosts = frozenset(h.lower() for h in hosts)
        self.secure = secure
        self.cookie = f"__Host-{cookie}" if secure else cookie
        scheme = "https" if secure else "http"
        self.origins = frozenset(f"{scheme}://{h}" for h in self.hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let in or refuse."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        refused = self._refused(scope)
        if scope["type"] == "websocket":
            if refused is not None:
                await receive()
                await send({"type": "websocket.close", "code": 1008, "reason": "not allowed here"})
                return
            await self.app(scope, receive, send)
            return
        dressed = self._dressed(scope, send)
        if refused is not None:
            await refused(scope, receive, dressed)
            return
        await self.app(scope, _limited(receive), dressed)

    def _refused(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "").lower()
        if host not in self.hosts:
            return answer(refusal(403, "this server does not go by that name", where="Host"))
        method = scope.get("method", "GET")
        origin = headers.get("origin")
        live = scope["type"] == "websocket"
        if origin is not None and origin.lower() != f"{'https' if self.secure else 'http'}://{host}":
            return answer(refusal(403, "this comes from a page of another site", where="Origin"))
        path = scope["path"]
        if headers.get("sec-fetch-site", "none") not in ("none", "same-origin") and (live or path.startswith("/api/")):
            return answer(refusal(403, "this comes from a page of another site", where="Origin"))
        if _too_large(headers):
            return answer(refusal(413, f"this is larger than {LARGEST_BODY // 1_000_000} MB", where="body"))
        if path == "/open" and method == "GET":
            return self._opened(scope)
        bearer = headers.get("authorization", "")
        if bearer.lower().startswith("bearer ") and self.keys.is_token(bearer[7:].strip()):
            return None
        if not self.keys.holds(self._session(headers)):
            if path.startswith("/api/") or live or method not in SAFE:
                return answer(
                    refusal(401, "open the workbench with the link that the server printed"),
                    {"WWW-Authenticate": "Bearer"},
                )
            return self._shut()
        if origin is None and (method not in SAFE or live):
            return answer(refusal(403, "a request that changes something must say which page it comes from"))
        return None

    def _opened(self, scope: Scope) -> Response:
        """The launch link: change the token for a session and take it out of the address bar."""
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("token", [""])[0]
        if not self.keys.is_token(given):
            return self._shut()
        response = RedirectResponse("/", status_code=303)
        response.set_cookie(
            self.cookie, self.keys.open(), httponly=True, samesite="strict", secure=self.secure, path="/"
        )
        return response

    def _shut(self) -> Response:
        text = "Wardwright is running here, but this link does not open it.\nUse the link that the server printed."
        return Response(text, status_code=401, media_type="text/plain; charset=utf-8")

    def _session(self, headers: Headers) -> str:
        jar: SimpleCookie = SimpleCookie()
        try:
            jar.load(headers.get("cookie", ""))
        except CookieError:
            return ""
        return jar[self.cookie].value if self.cookie in jar else ""

    def _dressed(self, scope: Scope, send: Send) -> Send:
        host = Headers(scope=scope).get("host", "").lower()
        live = f" {'wss' if self.secure else 'ws'}://{host}" if host in self.hosts else ""

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                is_paper = headers.get("content-type", "").startswith("application/pdf")
                headers["Content-Security-Policy"] = PAPER_POLICY if is_paper else POLICY.format(live=live)
                headers["X-Frame-Options"] = "SAMEORIGIN" if is_paper else "DENY"
                headers["X-Content-Type-Options"] = "nosniff"
                headers["Referrer-Policy"] = "no-referrer"
                headers["Cross-Origin-Opener-Policy"] = "same-origin"
                headers["Cross-Origin-Resource-Policy"] = "same-origin"
                headers["Permissions-Policy"] = "camera=(self), geolocation=(), microphone=()"
                headers.setdefault("Cache-Control", "no-store")
                if self.secure:
                    headers["Strict-Transport-Security"] = "max-age=31536000"
            await send(message)

        return dressed


def _too_large(headers: Headers) -> bool:
    try:
        return int(headers.get("content-length", "0")) > LARGEST_BODY
    except ValueError:
        return True


def _limited(receive: Receive) -> Receive:
    """A body without a stated length is counted while it comes in."""
    taken = 0

    async def limited() -> Message:
        nonlocal taken
        message = await receive()
        if message["type"] == "http.request":
            taken += len(message.get("body", b""))
            if taken > LARGEST_BODY:
                return {"type": "http.disconnect"}
        return message

    return limited
