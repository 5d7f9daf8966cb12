"""What keeps strangers out: headers, hosts, cross-site requests, sizes.

Written as plain ASGI so that nothing, not even an error page, goes round it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from sockwright.i18n.messages import _

MOST_FORM_BYTES = 1_000_000
"""A form holds texts of a few thousand characters; this is a whole book."""

MOST_UPLOAD_BYTES = 33_000_000
"""A whole workshop, which may be 32 MB, and the form about it."""

MOST_ENTRANCE_BYTES = 20_000
"""What strangers may send: a pass-phrase, and the address to go on to."""

ENTRANCE = "/enter"

UPLOAD_PATHS = ("/exchange/workshop",)

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)
"""Everything from here, nothing written into the page: no inline script or style."""

HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}

OPENER = ("cross-origin-opener-policy", "same-origin")
"""Browsers heed this one only where they trust the address, and complain elsewhere."""

FROM_ELSEWHERE = _(
    "It came from another site. If it was you, go back in your browser, copy your entries and "
    "open the workshop at its own address."
)

_TRUSTED = ("localhost", "127.0.0.1", "[::1]")
_SAFE_METHODS = ("GET", "HEAD", "OPTIONS")


Told = Callable[[Request, int, str], Response]
"""Answers a request with a refusal: its status, and what it says."""


def plainly(request: Request, status: int, detail: str) -> Response:
    """A refusal in a line of text."""
    return PlainTextResponse(detail, status)


class Guard:
    """Refuses what is not ours, and puts HEADERS on every answer.

    `hosts` are the names and addresses, without port, by which this workshop may be asked for;
    `told` words a refusal for somebody who asked by one of them.
    """

    def __init__(self, app: ASGIApp, hosts: Iterable[str], told: Told = plainly) -> None:
        self.app = app
        self.hosts = frozenset(host.lower() for host in hosts)
        self.told = told

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refusal = self._refusal(scope, headers)
        trusted = scope.get("scheme") == "https" or host_name(headers.get("host", "")) in _TRUSTED
        guarded = _with_headers(send, dict([OPENER]) if trusted else {})
        if refusal is not None:
            await refusal(scope, receive, guarded)
            return
        await self.app(scope, _bounded(receive, _most_bytes(scope)), guarded)

    def _refusal(self, scope: Scope, headers: Headers) -> Response | None:
        if host_name(headers.get("host", "")) not in self.hosts:
            return PlainTextResponse("This workshop does not go by that name.", 400)
        if scope["method"] not in _SAFE_METHODS and (why := _not_ours(scope, headers)):
            refusal = self.told(Request(scope), 403, why)
            # Whoever sent it shall not change what the browser keeps of us.
            del refusal.headers["set-cookie"]
            return refusal
        length = headers.get("content-length", "0")
        if not length.isdecimal() or len(length) > 15 or int(length) > _most_bytes(scope):
            return self.told(Request(scope), 413, too_large(scope["path"]))
        return None


def host_name(host: str) -> str:
    """The name in a Host header, without its port."""
    name, _, port = host.lower().rpartition(":")
    return name if name and port.isdecimal() else host.lower()


def _not_ours(scope: Scope, headers: Headers) -> str:
    """Why a write did not come from one of our pages, "" where it did.

    Browsers say Sec-Fetch-Site where they trust the address, Origin on plain HTTP and before 2023;
    the oldest say Referer alone.
    """
    site = headers.get("sec-fetch-site")
    if site is not None:
        return "" if site in ("same-origin", "none") else FROM_ELSEWHERE
    host, page = headers["host"].lower(), headers.get("origin", headers.get("referer"))
    own = f"{scope.get('scheme', 'http')}://{host}"
    if page is None:
        return _(
            "It does not say which page sent it. If your browser hides that, allow it here; a "
            "script must send the header “Origin: {origin}”.",
            origin=own,
        )
    # A proxy that decrypts need not say so; what came encrypted was sent by no plain page.
    sender = "/".join(page.lower().split("/", 3)[:3])
    return "" if sender in (own, f"https://{host}") else FROM_ELSEWHERE


def _most_bytes(scope: Scope) -> int:
    if scope["path"] == ENTRANCE:
        return MOST_ENTRANCE_BYTES
    return MOST_UPLOAD_BYTES if scope["path"] in UPLOAD_PATHS else MOST_FORM_BYTES


def too_large(path: str) -> str:
    """How much may be sent to an address at most, and how to go on."""
    if path in UPLOAD_PATHS:
        return _(
            "The largest file you can import is {most} MB.",
            most=MOST_UPLOAD_BYTES // 1_000_000,
        )
    if path == ENTRANCE:
        return _("That is not a passphrase. Go back in your browser and type it again.")
    return _(
        "You can send at most {most} MB at once. Go back in your browser; your entries are "
        "still there. Shorten them and send them again.",
        most=MOST_FORM_BYTES // 1_000_000,
    )


class TooLarge(HTTPException):
    """More was sent than was announced or allowed.

    An HTTPException, for FastAPI takes any other error in reading a body for a fault of the body.
    """

    def __init__(self) -> None:
        super().__init__(413)


def _bounded(receive: Receive, most: int) -> Receive:
    """Receives at most so many bytes, however they come."""
    got = 0

    async def bounded() -> Message:
        nonlocal got
        message = await receive()
        got += len(message.get("body", b""))
        if got > most:
            raise TooLarge
        return message

    return bounded


def _with_headers(send: Send, more: Mapping[str, str]) -> Send:
    async def with_headers(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in {**HEADERS, **more}.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return with_headers
