"""The pages before the workbench: sign in, pair a tablet, trust the certificate; and pairing over the interface."""

import html
import io
from dataclasses import dataclass
from urllib.parse import parse_qs

import segno
from fastapi import APIRouter, FastAPI, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from wardwright.errors import InputError, UnknownReferenceError
from wardwright.storage.firm import today
from wardwright.web.certificate import Certificate
from wardwright.web.door import CODE_S, Door, TooManyTriesError
from wardwright.web.gate import Gate, Keys
from wardwright.web.jobs import REFUSALS
from wardwright.web.records import Message
from wardwright.web.strict import StrictRoute

router = APIRouter(prefix="/api/v1", tags=["entrance"], responses=REFUSALS, route_class=StrictRoute)

TRUST_STEPS = (
    "Open the address on the tablet. It warns, for it does not know the certificate yet; choose to go on to the page "
    "“Trust”, and nothing else.",
    "Compare the fingerprint there, letter by letter, with the one on this screen. If one letter differs, stop: "
    "somebody is in between.",
    "Load the certificate and open it. An iPad or iPhone: Settings, Profile downloaded, Install; then General, About, "
    "Certificate trust settings, switch it on. An Android tablet: Settings, Security, More, Install a certificate, CA "
    "certificate. The words differ a little between makes.",
    "Open the address again: there is no warning now. Type the code, or point the camera at the square.",
    "When the tablet is sold or lost: take it off the list of paired devices here, and the certificate off the tablet.",
)


@dataclass(frozen=True)
class Entrance:
    """What the pages need to know."""

    door: Door
    certificate: Certificate
    address: str
    """As typed into a tablet, with scheme and port."""


class PairingView(Message):
    """How to pair a tablet or phone."""

    code: str
    good_for_s: int
    address: str
    qr_svg: str
    """A square for the tablet's camera: address and code."""
    fingerprint: str
    """Of the certificate to trust, SHA-256."""
    steps: tuple[str, ...]


class DeviceView(Message):
    """A paired tablet or phone."""

    id: str
    name: str
    since: str


def _entrance(request: Request) -> Entrance:
    entrance: Entrance | None = request.app.state.entrance
    if entrance is None:
        raise UnknownReferenceError("this workbench is open to this machine only; start it with --address to pair")
    return entrance


@router.post("/pairings", status_code=201)
def make_pairing_code(request: Request) -> PairingView:
    """A code that pairs one device, once, within five minutes."""
    entrance = _entrance(request)
    code = entrance.door.new_code()
    return PairingView(
        code=f"{code[:4]}-{code[4:]}",
        good_for_s=int(CODE_S),
        address=entrance.address,
        qr_svg=_square(f"{entrance.address}/pair?code={code}"),
        fingerprint=entrance.certificate.fingerprint,
        steps=TRUST_STEPS,
    )


@router.get("/devices")
def list_devices(request: Request) -> list[DeviceView]:
    """Paired tablets and phones."""
    return [DeviceView(id=d.id, name=d.name, since=d.since) for d in _entrance(request).door.devices()]


@router.delete("/devices/{device_id}", status_code=204)
def forget_device(request: Request, device_id: str) -> None:
    """Take a device off the list: it is out at once."""
    if not _entrance(request).door.forget(device_id):
        raise UnknownReferenceError("there is no such device", where=device_id)


@router.delete("/session", status_code=204)
def sign_out(request: Request) -> None:
    """End this window's session."""
    gate: Gate = request.scope["gate"]
    gate.keys.close(gate.session(request.headers))


def _square(text: str) -> str:
    out = io.BytesIO()
    segno.make(text, error="m").save(out, kind="svg", scale=4, border=4, xmldecl=False, svgns=True, light="white")
    return out.getvalue().decode()


def add_entrance(app: FastAPI, keys: Keys) -> None:
    """The pages anybody in the house may see: they hold nothing of any job."""

    @app.get("/sign-in", include_in_schema=False)
    def sign_in_page(request: Request) -> Response:
        _entrance(request)
        return _page("Sign in", _sign_in_form(""))

    @app.post("/sign-in", include_in_schema=False)
    async def sign_in(request: Request) -> Response:
        entrance = _entrance(request)
        given = await _form(request)
        try:
            right = await run_in_threadpool(entrance.door.signs_in, given.get("password", ""))
        except TooManyTriesError as error:
            return _page("Sign in", _sign_in_form(str(error)), 429)
        if not right:
            return _page("Sign in", _sign_in_form("That is not the password."), 401)
        return _let_in(request, keys.open())

    @app.get("/pair", include_in_schema=False)
    def pair_page(request: Request, code: str = "") -> Response:
        _entrance(request)
        return _page("Pair this device", _pair_form(code, ""))

    @app.post("/pair", include_in_schema=False)
    async def pair(request: Request) -> Response:
        entrance = _entrance(request)
        given = await _form(request)
        try:
            key = entrance.door.pair(given.get("code", ""), given.get("name", ""), today=today())
        except TooManyTriesError as error:
            return _page("Pair this device", _pair_form("", str(error)), 429)
        if key is None:
            words = "That code is wrong, was used before, or is older than five minutes."
            return _page("Pair this device", _pair_form("", words), 401)
        return _let_in(request, key, days=365)

    @app.get("/trust", include_in_schema=False)
    def trust_page(request: Request) -> Response:
        entrance = _entrance(request)
        return _page("Trust", _trust(entrance))

    @app.get("/trust/wardwright.crt", include_in_schema=False)
    def authority(request: Request) -> Response:
        content = _entrance(request).certificate.authority
        headers = {"Content-Disposition": 'attachment; filename="wardwright.crt"'}
        return Response(content, media_type="application/x-x509-ca-cert", headers=headers)

    @app.get("/door.css", include_in_schema=False)
    def style() -> Response:
        return Response(_STYLE, media_type="text/css")


def _let_in(request: Request, session: str, days: int | None = None) -> Response:
    gate: Gate = request.scope["gate"]
    response = RedirectResponse("/", status_code=303)
    gate.give(response, session, days=days)
    return response


async def _form(request: Request) -> dict[str, str]:
    body = await request.body()
    if len(body) > 10_000:
        raise InputError("this is no form of ours")
    return {name: values[0] for name, values in parse_qs(body.decode("utf-8", "replace")).items()}


def _page(title: str, body: str, status: int = 200) -> Response:
    return HTMLResponse(
        '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        f'<title>{title} · Wardwright</title><link rel="stylesheet" href="/door.css">'
        f"<main><h1>{title}</h1>{body}</main>",
        status_code=status,
    )


def _words(text: str) -> str:
    return f'<p role="alert">{html.escape(text)}</p>' if text else ""


def _sign_in_form(trouble: str) -> str:
    return (
        f'{_words(trouble)}<form method="post"><label>Password <input name="password" type="password" required '
        'autocomplete="current-password" autofocus></label><button>Sign in</button></form>'
        '<p>A tablet or phone is let in by a code instead: <a href="/pair">Pair this device</a>. '
        'If this page came with a warning: <a href="/trust">Trust</a>.</p>'
    )


def _pair_form(code: str, trouble: str) -> str:
    return (
        f'{_words(trouble)}<form method="post"><label>Code <input name="code" required autocomplete="off" '
        f'autocapitalize="characters" value="{html.escape(code[:20], quote=True)}"></label>'
        '<label>Name of this device <input name="name" required maxlength="60" placeholder="Ann’s tablet"></label>'
        "<button>Pair</button></form><p>The code is made on the machine that runs Wardwright, and is good once.</p>"
    )


def _trust(entrance: Entrance) -> str:
    steps = "".join(f"<li>{html.escape(step)}</li>" for step in TRUST_STEPS)
    print_ = entrance.certificate.fingerprint
    rows = "<br>".join(html.escape(print_[i : i + 48].strip(":")) for i in range(0, len(print_), 48))
    return (
        f"<p>Fingerprint (SHA-256) of the certificate:</p><p><code>{rows}</code></p><ol>{steps}</ol>"
        '<p><a href="/trust/wardwright.crt">Load the certificate</a> · <a href="/pair">Pair this device</a> · '
        '<a href="/sign-in">Sign in</a></p>'
    )


_STYLE = """
:root { color-scheme: light dark; --paper: #fbfaf6; --ink: #1c1f23; --quiet: #5b5f66; }
@media (prefers-color-scheme: dark) { :root { --paper: #16181b; --ink: #ece9e2; --quiet: #a4a7ad; } }
body { background: var(--paper); color: var(--ink); font: 18px/1.5 sans-serif; margin: 0; padding: 24px 16px; }
main { max-width: 34rem; margin: auto; }
h1 { font-size: 24px; }
label { display: block; margin: 16px 0; }
input { display: block; box-sizing: border-box; width: 100%; min-height: 44px; font: inherit; padding: 8px;
  color: inherit; background: transparent; border: 1px solid var(--quiet); border-radius: 0; }
button { min-height: 44px; padding: 8px 24px; font: inherit; font-weight: 600; color: var(--paper);
  background: var(--ink); border: 0; }
a { color: inherit; }
a:focus-visible, input:focus-visible, button:focus-visible { outline: 3px solid var(--ink); outline-offset: 2px; }
code { font-size: 15px; overflow-wrap: anywhere; }
p[role=alert] { border: 2px solid var(--ink); padding: 8px 12px; }
"""
