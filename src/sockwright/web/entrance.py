"""The entrance of a workshop that others can reach.

Whoever has not entered is sent there, from between the guard and the app; besides it only the page
answers that tells a device how to trust the workshop's own certificate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final
from urllib.parse import quote, urlsplit

from fastapi import APIRouter, Depends
from fastapi.responses import RedirectResponse, Response
from pydantic import BaseModel, Field
from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from sockwright.i18n.messages import _
from sockwright.web import errors
from sockwright.web.access.guard import ENTRANCE
from sockwright.web.access.network import is_loopback
from sockwright.web.access.sessions import (
    COOKIE,
    MOST_SIGNS,
    LoggedIn,
    LoginSessions,
    TooManyTries,
    WrongPassPhrase,
)
from sockwright.web.context import Context, RequestContext, read_cookie, request_context
from sockwright.web.errors import NoPage
from sockwright.web.received import AForm, one

page_router = APIRouter()
data_router = APIRouter(tags=["workshop"])


OPEN: Final = (ENTRANCE, f"/data{ENTRANCE}", "/trust", "/trust/authority.crt", "/data/trust")
"""What answers without an entry, besides the static files, which hold nothing of one's own."""

LONGEST_NEXT: Final = 4_000
"""Characters of an address to go on to: those of a plan with many swatches."""

GROUP = 4
"""Pairs of signs that are read together."""


class AuthMiddleware:
    """Lets a request pass to `app` that comes with an entry `logins` knows."""

    def __init__(self, app: ASGIApp, logins: LoginSessions) -> None:
        self.app = app
        self.logins = logins

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or have it enter first."""
        if scope["type"] != "http" or _is_open(scope["path"]) or self._has_entered(scope):
            await self.app(scope, receive, send)
            return
        answer = enter_first(Request(scope))
        await answer(scope, receive, send)

    def _has_entered(self, scope: Scope) -> bool:
        return self.logins.knows(read_cookie(Request(scope), COOKIE))


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
        gone.headers["hx-redirect"] = entrance_to(f"{here.path}?{here.query}")
        return gone
    if safe:
        return RedirectResponse(entrance_to(f"{path}?{query}"), 303)
    # What was typed is not lost: the browser sends it again when this page is loaded again.
    return request_context(request).page("enter_first.html", 401)


def entrance_to(to: str) -> str:
    """The address of the entrance, from which it goes on to a page of ours."""
    to = safe_next(to.removesuffix("?"))
    return ENTRANCE if to == "/" else f"{ENTRANCE}?next={quote(to, safe='/')}"


def safe_next(to: str) -> str:
    """An address to go on to, if it is a page of this workshop; else the first page."""
    plain = len(to) <= LONGEST_NEXT and to.isascii() and to.isprintable() and " " not in to
    if not plain or not to.startswith("/") or to.startswith("//") or "\\" in to:
        return "/"
    return "/" if urlsplit(to).path in (ENTRANCE, "/leave") else to


@dataclass(frozen=True)
class LoginAttempt:
    """A pass-phrase that was tried, the page to go on to, and what came of it."""

    phrase: str
    to: str
    answer: LoggedIn | WrongPassPhrase | TooManyTries


async def tried(context: Context, form: AForm) -> LoginAttempt:
    """Try the pass-phrase that was sent. It may have to wait for seconds, and holds no thread
    meanwhile."""
    logins = _logins(context)
    phrase, client = one(form, "phrase"), context.request.client
    answer = await logins.enter(phrase, client.host if client else "")
    return LoginAttempt(phrase, safe_next(one(form, "next", "/")), answer)


ATry = Annotated[LoginAttempt, Depends(tried)]


@page_router.get(ENTRANCE)
def entrance(context: Context, next: str = "/", left: str = "") -> Response:
    """Ask for the pass-phrase; where none is asked for, or one has logged in, go on."""
    logins, to = context.app_state.logins, safe_next(next)
    if logins is None or logins.knows(context.cookie(COOKIE)):
        return RedirectResponse(to, 303)
    # A link from elsewhere empties nobody's device.
    site = context.request.headers.get("sec-fetch-site", "same-origin")
    return _asked(context, to, left=bool(left) and site == "same-origin")


@page_router.post(ENTRANCE)
def come_in(context: Context, tried: ATry) -> Response:
    """Come in with the pass-phrase."""
    answer, to = tried.answer, tried.to
    if isinstance(answer, LoggedIn):
        going = RedirectResponse(to, 303)
        context.remember(going, COOKIE, answer.token)
        return going
    typed = tried.phrase[:MOST_SIGNS]
    if isinstance(answer, TooManyTries):
        asked = _asked(context, to, 429, "wait", answer.seconds, typed)
        asked.headers["retry-after"] = str(answer.seconds)
        return asked
    return _asked(context, to, 403, "wrong", typed=typed)


@page_router.post("/leave")
def leave(context: Context) -> Response:
    """End this browser's entry."""
    _logins(context).leave(context.cookie(COOKIE))
    going = context.to(f"{ENTRANCE}?left=yes", _("You are signed out."))
    context.forget(going, COOKIE)
    return going


def _logins(context: RequestContext) -> LoginSessions:
    if context.app_state.logins is None:
        raise NoPage(_("this workshop asks for no passphrase"))
    return context.app_state.logins


def _asked(
    context: RequestContext,
    to: str,
    status: int = 200,
    problem: str = "",
    seconds: int = 0,
    typed: str = "",
    left: bool = False,
) -> Response:
    """The entrance, with what was wrong last: "wait", "wrong" or nothing."""
    url, client = context.request.url, context.request.client
    away = client is None or not is_loopback(client.host)
    return context.page(
        "enter.html",
        status,
        to=to,
        problem=problem,
        seconds=seconds,
        typed=typed,
        left=left,
        most=MOST_SIGNS,
        readable=away and url.scheme != "https",
    )


@page_router.get("/trust")
def trust_page(context: Context) -> Response:
    """What the browser warns of, what to compare, and the way on each kind of device."""
    secured = context.app_state.reach.secured
    return context.page(
        "trust.html",
        secured=secured is not None,
        encrypted=context.request.url.scheme == "https",
        fingerprint=[] if secured is None else in_groups(secured.fingerprint),
        ends=None if secured is None else secured.ends,
    )


def in_groups(fingerprint: str) -> list[str]:
    """A fingerprint in the parts that it is read in: "AB:CD:EF:01"."""
    pairs = fingerprint.split(":")
    return [":".join(pairs[at : at + GROUP]) for at in range(0, len(pairs), GROUP)]


@page_router.get("/trust/authority.crt")
def authority(context: Context) -> Response:
    """The authority's certificate (PEM), as devices take it in."""
    secured = context.app_state.reach.secured
    if secured is None:
        raise NoPage(_("this workshop has not made a certificate"))
    return Response(
        secured.authority,
        media_type="application/x-x509-ca-cert",
        headers={"content-disposition": 'attachment; filename="sockwright-workshop.crt"'},
    )


class EnterData(BaseModel):
    """Whether this workshop asks for a pass-phrase, and whether the asking browser is in."""

    needed: bool
    entered: bool


@data_router.get("/enter")
def enter(context: Context) -> EnterData:
    """Whether the asking browser may see the workshop."""
    logins = context.app_state.logins
    entered = logins is None or logins.knows(context.cookie(COOKIE))
    return EnterData(needed=logins is not None, entered=entered)


class TrustData(BaseModel):
    """What a device is told to trust; nulls where this workshop has not made a certificate."""

    encrypted: bool = Field(description="Whether this answer came over https.")
    fingerprint: str | None = Field(description="SHA-256 of the authority's certificate.")
    authority: str | None = Field(description="The authority's certificate (PEM).")


@data_router.get("/trust")
def trust(context: Context) -> TrustData:
    """The authority of this workshop's certificate."""
    secured = context.app_state.reach.secured
    return TrustData(
        encrypted=context.request.url.scheme == "https",
        fingerprint=None if secured is None else secured.fingerprint,
        authority=None if secured is None else secured.authority.decode(),
    )
