"""Stands between the guard and the app: sends to the door whoever has not entered."""

from __future__ import annotations

from typing import Final
from urllib.parse import quote, urlsplit

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from sockwright.web import errors
from sockwright.web.access.guard import ENTRANCE
from sockwright.web.access.sessions import COOKIE, Door
from sockwright.web.context import read_cookie, visit

OPEN: Final = (ENTRANCE, f"/data{ENTRANCE}", "/trust", "/trust/authority.crt", "/data/trust")
"""What answers without an entry, besides the static files, which hold nothing of one's own."""

LONGEST_NEXT: Final = 4_000
"""Characters of an address to go on to: those of a plan with many swatches."""


class Doorkeeper:
    """Lets a request pass to `app` that comes with an entry `door` knows."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        self.app = app
        self.door = door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or have it enter first."""
        if scope["type"] != "http" or _is_open(scope["path"]) or self._has_entered(scope):
            await self.app(scope, receive, send)
            return
        answer = enter_first(Request(scope))
        await answer(scope, receive, send)

    def _has_entered(self, scope: Scope) -> bool:
        return self.door.knows(read_cookie(Request(scope), COOKIE))


def _is_open(path: str) -> bool:
    return path in OPEN or path.startswith("/static/")


def enter_first(request: Request) -> Response:
    """What somebody gets who has not entered: data say so, pages send to the entrance."""
    path, query = request.url.path, request.url.query
    if errors.is_data(path):
        answer = errors.answer(request, 401, "")
        answer.headers["www-authenticate"] = 'Entry realm="workshop"'
        return answer
    safe = request.method in ("GET", "HEAD")
    if safe and "hx-request" in request.headers:
        # A piece of a page cannot show the entrance: the whole page goes there.
        here = urlsplit(request.headers.get("hx-current-url", ""))
        gone = Response(status_code=401)
        gone.headers["hx-redirect"] = entrance(f"{here.path}?{here.query}")
        return gone
    if safe:
        return RedirectResponse(entrance(f"{path}?{query}"), 303)
    # What was typed is not lost: the browser sends it again when this page is loaded again.
    return visit(request).page("enter_first.html", 401)


def entrance(to: str) -> str:
    """The address of the entrance, from which it goes on to a page of ours."""
    to = safe_next(to.removesuffix("?"))
    return ENTRANCE if to == "/" else f"{ENTRANCE}?next={quote(to, safe='/')}"


def safe_next(to: str) -> str:
    """An address to go on to, if it is a page of this workshop; else the first page."""
    plain = len(to) <= LONGEST_NEXT and to.isascii() and to.isprintable() and " " not in to
    if not plain or not to.startswith("/") or to.startswith("//") or "\\" in to:
        return "/"
    return "/" if urlsplit(to).path in (ENTRANCE, "/leave") else to
