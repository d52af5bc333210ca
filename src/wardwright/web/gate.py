"""Who may come in: the right name, the right page, the right key. And what every answer says about itself.

A page on another site can make this browser send requests here; a name on the internet can be made to point here. So
every request must be addressed to a name this server was told it has (Host), must come from a page of its own (Origin),
and must carry a session or the launch token.
"""

import hashlib
import hmac
import math
import secrets
import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from wardwright.web.door import SESSION_S, Door
from wardwright.web.refusals import answer, refusal

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; font-src 'self'; "
    "connect-src 'self'{live}; worker-src 'self'; manifest-src 'self'; frame-src 'self' blob:; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
PAPER_POLICY = "frame-ancestors 'self'"
PLAYED_POLICY = "sandbox allow-scripts; frame-ancestors 'self'"
"""A page that moves brings its own policy and asks for nothing; it is kept apart from the workbench and its session."""
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
PUBLIC = frozenset({"/sign-in", "/pair", "/trust", "/trust/wardwright.crt", "/door.css"})
"""Pages before the door; they hold nothing of any job. On this machine alone there are none."""
LARGEST_BODY = 64_000_000
"""Of any request. [B]"""


@dataclass
class Keys:
    """What opens the server: on this machine the launch token; beyond it a password or a paired device's key."""

    launch_token: str | None = field(default_factory=lambda: secrets.token_urlsafe(32))
    """None: no launch token opens this server."""
    door: Door | None = None
    """Beyond this machine: password and paired devices."""
    sessions: dict[bytes, float] = field(default_factory=dict)
    """Digest of each session, and until when it lasts; all end with the server."""

    def open(self) -> str:
        """A new session; beyond this machine it lasts twelve hours."""
        session = secrets.token_urlsafe(32)
        now = time.monotonic()
        self.sessions = {k: until for k, until in self.sessions.items() if until > now}
        self.sessions[_digest(session)] = now + SESSION_S if self.door is not None else math.inf
        return session

    def close(self, session: str) -> None:
        """End a session."""
        self.sessions.pop(_digest(session), None)

    def holds(self, session: str) -> bool:
        """Whether this is a session or the key of a paired device."""
        if not session:
            return False
        if self.sessions.get(_digest(session), 0.0) > time.monotonic():
            return True
        return self.door is not None and self.door.knows(session)

    def is_token(self, token: str) -> bool:
        """Whether this is the launch token."""
        known = self.launch_token
        return known is not None and hmac.compare_digest(known.encode(), token.encode("utf-8", "replace"))


def _digest(text: str) -> bytes:
    """Looking up a digest tells nothing by the time it takes."""
    return hashlib.sha256(text.encode("utf-8", "replace")).digest()


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
        scope["gate"] = self
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
        if origin is None and (method not in SAFE or live) and not self._by_token(headers):
            return answer(refusal(403, "a request that changes something must say which page it comes from"))
        if path == "/open" and method == "GET" and self.keys.launch_token is not None:
            return self._opened(scope)
        if self.keys.door is not None and path in PUBLIC:
            return None
        if self._by_token(headers) or self.keys.holds(self.session(headers)):
            return None
        if path.startswith("/api/") or live or method not in SAFE:
            words = "sign in first" if self.keys.door else "open the workbench with the link that the server printed"
            return answer(refusal(401, words), {"WWW-Authenticate": "Bearer"})
        return RedirectResponse("/sign-in", status_code=303) if self.keys.door else self._shut()

    def _by_token(self, headers: Headers) -> bool:
        bearer = headers.get("authorization", "")
        return bearer.lower().startswith("bearer ") and self.keys.is_token(bearer[7:].strip())

    def _opened(self, scope: Scope) -> Response:
        """The launch link: change the token for a session and take it out of the address bar."""
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("token", [""])[0]
        if not self.keys.is_token(given):
            return self._shut()
        response = RedirectResponse("/", status_code=303)
        self.give(response, self.keys.open())
        return response

    def give(self, response: Response, session: str, *, days: int | None = None) -> None:
        """Hand a session to a browser, out of reach of any script; without days it goes when the browser is closed."""
        response.set_cookie(
            self.cookie,
            session,
            max_age=None if days is None else days * 86_400,
            httponly=True,
            samesite="strict",
            secure=self.secure,
            path="/",
        )

    def _shut(self) -> Response:
        text = "Wardwright is running here, but this link does not open it.\nUse the link that the server printed."
        return Response(text, status_code=401, media_type="text/plain; charset=utf-8")

    def session(self, headers: Headers) -> str:
        """The session a request carries; empty where it carries none."""
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
                is_apart = headers.get("Content-Security-Policy", "") == PLAYED_POLICY
                if not is_apart:
                    headers["Content-Security-Policy"] = PAPER_POLICY if is_paper else POLICY.format(live=live)
                headers["X-Frame-Options"] = "SAMEORIGIN" if is_paper or is_apart else "DENY"
                headers["X-Content-Type-Options"] = "nosniff"
                headers["Referrer-Policy"] = "same-origin"
                headers["Cross-Origin-Opener-Policy"] = "same-origin"
                headers["Cross-Origin-Resource-Policy"] = "same-origin"
                headers["Permissions-Policy"] = "camera=(self), geolocation=(), microphone=()"
                headers.setdefault("Cache-Control", "no-store")
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
