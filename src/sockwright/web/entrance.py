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

from sockwright.web import errors
from sockwright.web.access.guard import ENTRANCE
from sockwright.web.access.network import is_loopback
from sockwright.web.access.sessions import COOKIE, MOST_SIGNS, Door, Entered, Wait, Wrong
from sockwright.web.context import AVisit, Visit, read_cookie, visit
from sockwright.web.errors import NoPage
from sockwright.web.received import AForm, one
from sockwright.words.said import said

page_router = APIRouter()
data_router = APIRouter(tags=["workshop"])


OPEN: Final = (ENTRANCE, f"/data{ENTRANCE}", "/trust", "/trust/authority.crt", "/data/trust")
"""What answers without an entry, besides the static files, which hold nothing of one's own."""

LONGEST_NEXT: Final = 4_000
"""Characters of an address to go on to: those of a plan with many swatches."""

GROUP = 4
"""Pairs of signs that are read together."""


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
        gone.headers["hx-redirect"] = entrance_to(f"{here.path}?{here.query}")
        return gone
    if safe:
        return RedirectResponse(entrance_to(f"{path}?{query}"), 303)
    # What was typed is not lost: the browser sends it again when this page is loaded again.
    return visit(request).page("enter_first.html", 401)


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
class Tried:
    """A pass-phrase that was tried, the page to go on to, and what the door said to it."""

    phrase: str
    to: str
    answer: Entered | Wrong | Wait


async def tried(visit: AVisit, form: AForm) -> Tried:
    """Try the pass-phrase that was sent. It may have to wait for seconds, and holds no thread
    meanwhile."""
    door = _door(visit)
    phrase, client = one(form, "phrase"), visit.request.client
    answer = await door.enter(phrase, client.host if client else "")
    return Tried(phrase, safe_next(one(form, "next", "/")), answer)


ATry = Annotated[Tried, Depends(tried)]


@page_router.get(ENTRANCE)
def entrance(visit: AVisit, next: str = "/", left: str = "") -> Response:
    """Ask for the pass-phrase; where there is no door, or one has entered, go on."""
    door, to = visit.parts.door, safe_next(next)
    if door is None or door.knows(visit.cookie(COOKIE)):
        return RedirectResponse(to, 303)
    # A link from elsewhere empties nobody's device.
    site = visit.request.headers.get("sec-fetch-site", "same-origin")
    return _asked(visit, to, left=bool(left) and site == "same-origin")


@page_router.post(ENTRANCE)
def come_in(visit: AVisit, tried: ATry) -> Response:
    """Come in with the pass-phrase."""
    answer, to = tried.answer, tried.to
    if isinstance(answer, Entered):
        going = RedirectResponse(to, 303)
        visit.remember(going, COOKIE, answer.token)
        return going
    typed = tried.phrase[:MOST_SIGNS]
    if isinstance(answer, Wait):
        asked = _asked(visit, to, 429, "wait", answer.seconds, typed)
        asked.headers["retry-after"] = str(answer.seconds)
        return asked
    return _asked(visit, to, 403, "wrong", typed=typed)


@page_router.post("/leave")
def leave(visit: AVisit) -> Response:
    """End this browser's entry."""
    _door(visit).leave(visit.cookie(COOKIE))
    going = visit.to(f"{ENTRANCE}?left=yes", said("You are signed out."))
    visit.forget(going, COOKIE)
    return going


def _door(visit: Visit) -> Door:
    if visit.parts.door is None:
        raise NoPage(said("this workshop asks for no passphrase"))
    return visit.parts.door


def _asked(
    visit: Visit,
    to: str,
    status: int = 200,
    problem: str = "",
    seconds: int = 0,
    typed: str = "",
    left: bool = False,
) -> Response:
    """The entrance, with what was wrong last: "wait", "wrong" or nothing."""
    url, client = visit.request.url, visit.request.client
    away = client is None or not is_loopback(client.host)
    return visit.page(
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
def trust_page(visit: AVisit) -> Response:
    """What the browser warns of, what to compare, and the way on each kind of device."""
    secured = visit.parts.reach.secured
    return visit.page(
        "trust.html",
        secured=secured is not None,
        encrypted=visit.request.url.scheme == "https",
        fingerprint=[] if secured is None else in_groups(secured.fingerprint),
        ends=None if secured is None else secured.ends,
    )


def in_groups(fingerprint: str) -> list[str]:
    """A fingerprint in the parts that it is read in: "AB:CD:EF:01"."""
    pairs = fingerprint.split(":")
    return [":".join(pairs[at : at + GROUP]) for at in range(0, len(pairs), GROUP)]


@page_router.get("/trust/authority.crt")
def authority(visit: AVisit) -> Response:
    """The authority's certificate (PEM), as devices take it in."""
    secured = visit.parts.reach.secured
    if secured is None:
        raise NoPage(said("this workshop has not made a certificate"))
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
def enter(visit: AVisit) -> EnterData:
    """Whether the asking browser may see the workshop."""
    door = visit.parts.door
    entered = door is None or door.knows(visit.cookie(COOKIE))
    return EnterData(needed=door is not None, entered=entered)


class TrustData(BaseModel):
    """What a device is told to trust; nulls where this workshop has not made a certificate."""

    encrypted: bool = Field(description="Whether this answer came over https.")
    fingerprint: str | None = Field(description="SHA-256 of the authority's certificate.")
    authority: str | None = Field(description="The authority's certificate (PEM).")


@data_router.get("/trust")
def trust(visit: AVisit) -> TrustData:
    """The authority of this workshop's certificate."""
    secured = visit.parts.reach.secured
    return TrustData(
        encrypted=visit.request.url.scheme == "https",
        fingerprint=None if secured is None else secured.fingerprint,
        authority=None if secured is None else secured.authority.decode(),
    )
